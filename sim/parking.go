package sim

import (
	"math"
	"slices"

	"turnplate/sim/tyre"
)

func init() { register[ParkingEffort, ParkingEffortResult]() }

// ParkingEffort gives the effort to steer further from straight ahead with the vehicle standing on level
// hard ground. All torques and forces are positive against the way the wheels are being turned: left when
// Angle is zero or positive, right when it is negative.
//
// Each wheel's torque about its steering axis has three parts, each with that wheel's own load W:
//
//	scrub      µ·W·h·k_z       h the mean distance of the contact's points from a centre E off its middle (see tyre.Patch.ScrubTorque)
//	jacking    W·dz/dδ         virtual work on the exact geometry (see wishbone.Pose.JackRate)
//	friction   Steering.KingpinFriction
//
// with µ the friction, z the body's rise and δ the turning about the axis. The contact is a rectangle of uniform pressure,
// Tyre.PatchLength long (given, or estimated from Radius and LoadedRadius) and W/(Tyre.Pressure·PatchLength) wide; where that
// would be wider than Tyre.Width, it is as wide as the tyre and so much longer. The integral over it is exact (own derivation);
// Gough's formula, M = (µ/3)·√(W³/p), lies 11 to 19 % below it and knows nothing of the contact's shape. The scrub torque is
// about the vertical; k_z, the upward part of the steering axis's unit direction, carries it to the axis (the ground's
// friction lies in the ground, so only its moment about the vertical is there to turn the knuckle). The lever E lies across the
// contact: the scrub radius with the brakes held, as the contact must slide fore and aft with it; a wheel free to roll
// turns about its own contact centre, E = 0, which is a lower bound. Trail is left out of it: it asks both contacts to move
// sideways the same way, and the nose of the standing vehicle goes with them.
//
// Rack force is the sum over both wheels of torque times the wheel's rotation about its steering axis per rack
// movement, from the exact linkage (virtual work). At the handwheel the rack's friction is added, the efficiency η counted
// and assistance taken off. Assistance at the rack is, with the driver's torque T and the rack's travel i per radian,
//
//	min(AssistCeiling, AssistGain·η/i·max(0, T − AssistOnset)),  and T·η/i + assistance = rack force + friction
//
// The vehicle stands, so nothing shakes friction loose: Friction and KingpinFriction count whole, whatever RollingFriction.
//
// Valid for slow steering within the lock. The standing torque is good to about a tenth; its steep rise past about
// 300° of handwheel, as the patch winds up, is not modelled. The tread's grooves and the carcass's stiffness, which W/p
// leaves out, make a real contact larger or smaller.
type ParkingEffort struct {
	Vehicle    Vehicle
	Angle      float64  `unit:"deg" default:"0"`                 // mean of both wheels' headings; + left
	BrakesHeld bool     `default:"yes"`                          // brakes on: the wheels can't roll
	Friction   *float64 `unit:"1" default:"the tyre" must:">=0"` // coefficient of friction instead of Tyre.Friction
}

// ParkingEffortResult is the effort.
type ParkingEffortResult struct {
	ParkingWheel
	Right           ParkingWheel
	RackForce       float64 `unit:"N" us:"lbf" called:"force at the rack"` // both wheels', at the rack, without the rack's own friction
	HandwheelTorque float64 `unit:"N*m" us:"lbf*ft"`                       // from the driver, assistance taken off
	RimForce        float64 `unit:"N" us:"lbf" called:"force at the rim"`  // HandwheelTorque at HandwheelRadius
	Rack            float64 `unit:"mm" us:"inch"`                          // rack from its middle; + turns left
	HandwheelAngle  float64 `unit:"deg"`                                   // handwheel from its middle; + left
}

// ParkingWheel is one wheel's part of a ParkingEffortResult.
type ParkingWheel struct {
	KingpinTorque  KingpinTorque // about this wheel's steering axis, + against the way it is being turned
	WheelLoad      float64       `unit:"N" us:"lbf"`           // on the ground, tyre and rim included
	RoadWheelAngle float64       `unit:"deg"`                  // + left
	AxisRate       float64       `unit:"deg/mm" us:"deg/inch"` // rotation about the steering axis per rack movement
}

// KingpinTorque is a torque about one wheel's steering axis in its parts; + against the way it is being turned.
type KingpinTorque struct {
	Scrub    float64 `unit:"N*m" us:"lbf*ft"` // of the tyre turned against the ground
	Jacking  float64 `unit:"N*m" us:"lbf*ft"` // of raising the body; negative where the body sinks
	Friction float64 `unit:"N*m" us:"lbf*ft"` // in the joints
	Total    float64 `unit:"N*m" us:"lbf*ft"` // sum of the three
}

// Uses lists what the result depends on.
func (ParkingEffort) Uses() []string {
	return slices.Concat(steeringFields(), loadFields, assistFields, []string{"Tyre.Pressure", "Tyre.Friction", "Tyre.Radius", "Tyre.Width", "Tyre.PatchLength",
		"Steering.RackPerTurn", "Steering.HandwheelRadius", "Steering.Friction", "Steering.KingpinFriction",
		"Steering.Efficiency", "Steering.ReverseEfficiency"})
}

// Optional lists what the model can do without.
func (ParkingEffort) Optional() []string { return kinematicOptional }

// Run gives the effort.
func (m ParkingEffort) Run() (ParkingEffortResult, error) {
	if err := checkInputs(&m); err != nil {
		return ParkingEffortResult{}, err
	}
	v := &m.Vehicle
	friction := v.Tyre.Friction
	if m.Friction != nil {
		friction = *m.Friction
	}
	load := newWeight(v)
	a, err := newAxle(v)
	if err != nil {
		return ParkingEffortResult{}, err
	}
	length, err := patchLength(&v.Tyre)
	if err != nil {
		return ParkingEffortResult{}, err
	}
	ahead := a.atRest()
	rack, w, err := a.turned(&ahead, m.Angle)
	if err != nil {
		return ParkingEffortResult{}, err
	}
	turning := 1.0
	if m.Angle < 0 {
		turning = -1
	}
	wheel := func(k *corner, s *stance, load float64) ParkingWheel {
		lever := 0.0
		if m.BrakesHeld {
			lever = s.ScrubRadius
		}
		patch := tyre.StandingPatch(load, v.Tyre.Pressure, length, v.Tyre.Width)
		t := KingpinTorque{
			Scrub:    patch.ScrubTorque(friction, load, lever) * s.pose.Axis.Dot(k.ground.Up),
			Jacking:  turning * load * k.jackRate(s),
			Friction: v.Steering.KingpinFriction,
		}
		t.Total = t.Scrub + t.Jacking + t.Friction
		return ParkingWheel{t, load, k.heading(s), k.axisRate(s)}
	}
	r := ParkingEffortResult{
		ParkingWheel: wheel(&a.left, &w.left, load.left), Right: wheel(&a.right, &w.right, load.right),
		Rack: rack, HandwheelAngle: rack * 2 * math.Pi / v.Steering.RackPerTurn,
	}
	r.RackForce = r.KingpinTorque.Total*r.AxisRate + r.Right.KingpinTorque.Total*r.Right.AxisRate
	r.HandwheelTorque = handwheelTorque(&v.Steering, r.RackForce)
	r.RimForce = r.HandwheelTorque / v.Steering.HandwheelRadius
	return r, nil
}

// handwheelTorque is what the driver gives to move the rack against a force, + against the motion. Where the
// force helps the motion (the body sinking on slippery ground) the driver holds back what the rack's friction
// leaves of it, unassisted.
func handwheelTorque(s *Steering, force float64) float64 {
	gear := gearOf(s)
	if force+s.Friction >= 0 {
		return gear.Turning(force)
	}
	driven, _ := gear.LetGo(force, s.Friction)
	return driven
}

// loadFields are the Vehicle fields on which the load under each front tyre depends.
var loadFields = []string{"Mass", "FrontShare", "LeftShare", "Tyre.Mass", "Tyre.RimMass"}
