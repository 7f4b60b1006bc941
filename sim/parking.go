package sim

import (
	"math"
	"slices"

	"turnplate/sim/steering"
	"turnplate/sim/tyre"
)

func init() { register[ParkingEffort, ParkingEffortResult]() }

// ParkingEffort gives the effort to steer further from straight ahead with the vehicle standing on level
// hard ground. All torques and forces are positive against the way the wheels are being turned: left when
// Angle is zero or positive, right when it is negative.
//
// Each wheel's torque about its steering axis has three parts, each with that wheel's own load W:
//
//	scrub      µ·W·√(k² + E²)·k_z, k = ⅓·√(W/p)   Gough's formula carried to a lever E (see tyre.StandingScrubTorque)
//	jacking    W·dz/dδ                            virtual work on the exact geometry (see wishbone.Pose.JackRate)
//	friction   Steering.KingpinFriction
//
// with µ the friction, p Tyre.Pressure, z the body's rise and δ the turning about the axis. Gough's formula is the one
// that R. S. Sharp and R. Granger quote (On car steering torques at parking speeds, Proc. IMechE D 217, 2003, from
// memory). The scrub torque is about the vertical; k_z, the upward part of the steering axis's unit direction, carries it
// to the axis (the ground's friction lies in the ground, so only its moment about the vertical is there to turn the
// knuckle). The lever E is the scrub radius with the brakes held, as the contact must slide fore and aft with it; a wheel
// free to roll turns about its own contact centre, E = 0, which is a lower bound. Trail is left out of E: it asks both
// contacts to move sideways the same way, and the nose of the standing vehicle goes with them. Were the nose held, E²
// would be scrub² + trail².
//
// Rack force is the sum over both wheels of torque times the wheel's rotation about its steering axis per rack
// movement, from the exact linkage (virtual work). At the handwheel the rack's friction is added, assistance
// taken off (driver + min(AssistGain·driver, AssistCeiling) = rack force) and the efficiency counted.
//
// Valid for slow steering within the lock. The standing torque is good to about a tenth; its steep rise past about
// 300° of handwheel, as the patch winds up, is not modelled.
type ParkingEffort struct {
	Vehicle    Vehicle
	Angle      float64  `unit:"deg" default:"0"`      // mean of both wheels' headings; + left
	BrakesHeld bool     `default:"yes"`               // brakes on: the wheels can't roll
	Friction   *float64 `unit:"1" default:"the tyre"` // coefficient of friction instead of Tyre.Friction
}

// ParkingEffortResult is the effort.
type ParkingEffortResult struct {
	ParkingWheel
	Right           ParkingWheel
	RackForce       float64 `unit:"N" us:"lbf"`      // both wheels', at the rack, without the rack's own friction
	HandwheelTorque float64 `unit:"N*m" us:"lbf*ft"` // from the driver, assistance taken off
	RimForce        float64 `unit:"N" us:"lbf"`      // HandwheelTorque at HandwheelRadius
	Rack            float64 `unit:"mm" us:"inch"`    // rack from its middle; + turns left
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
	return slices.Concat(steeringFields, loadFields, []string{"Tyre.Pressure", "Tyre.Friction",
		"Steering.RackPerTurn", "Steering.HandwheelRadius", "Steering.Friction", "Steering.KingpinFriction",
		"Steering.Efficiency", "Steering.AssistGain", "Steering.AssistCeiling", "Steering.ReverseEfficiency"})
}

// Optional lists what the model can do without.
func (ParkingEffort) Optional() []string { return kinematicOptional }

// Run gives the effort.
func (m ParkingEffort) Run() (ParkingEffortResult, error) {
	v := &m.Vehicle
	friction := v.Tyre.Friction
	if m.Friction != nil {
		friction = *m.Friction
	}
	if err := checkParking(v, friction); err != nil {
		return ParkingEffortResult{}, err
	}
	load, err := newWeight(v)
	if err != nil {
		return ParkingEffortResult{}, err
	}
	a, err := newAxle(v)
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
		t := KingpinTorque{
			Scrub:    tyre.StandingScrubTorque(friction, load, v.Tyre.Pressure, lever) * s.pose.Axis.Dot(k.ground.Up),
			Jacking:  turning * load * k.jackRate(s),
			Friction: v.Steering.KingpinFriction,
		}
		t.Total = t.Scrub + t.Jacking + t.Friction
		return ParkingWheel{t, load, k.heading(s), k.axisRate(s)}
	}
	r := ParkingEffortResult{ParkingWheel: wheel(&a.left, &w.left, load.left), Right: wheel(&a.right, &w.right, load.right), Rack: rack}
	r.RackForce = r.KingpinTorque.Total*r.AxisRate + r.Right.KingpinTorque.Total*r.Right.AxisRate
	r.HandwheelTorque = handwheelTorque(&v.Steering, r.RackForce)
	r.RimForce = r.HandwheelTorque / v.Steering.HandwheelRadius
	return r, nil
}

func checkParking(v *Vehicle, friction float64) error {
	s := &v.Steering
	return firstOf(
		aboveZero(
			amount{"Tyre.Pressure", v.Tyre.Pressure, "kPa"},
			amount{"Steering.RackPerTurn", s.RackPerTurn, "mm"},
			amount{"Steering.HandwheelRadius", s.HandwheelRadius, "mm"},
			amount{"Steering.Efficiency", s.Efficiency, "1"},
			amount{"Steering.ReverseEfficiency", s.ReverseEfficiency, "1"}),
		notBelowZero(
			amount{"Friction", friction, "1"},
			amount{"Steering.Friction", s.Friction, "N"},
			amount{"Steering.KingpinFriction", s.KingpinFriction, "N*m"},
			amount{"Steering.AssistGain", s.AssistGain, "1"},
			amount{"Steering.AssistCeiling", s.AssistCeiling, "N"}),
		share(
			amount{"Steering.Efficiency", s.Efficiency, "1"},
			amount{"Steering.ReverseEfficiency", s.ReverseEfficiency, "1"}),
	)
}

// handwheelTorque is what the driver gives to move the rack against a force, + against the motion. Where the
// force helps the motion (the body sinking on slippery ground) the driver holds back what the rack's friction
// leaves of it, unassisted.
func handwheelTorque(s *Steering, force float64) float64 {
	gear := steering.Gear{
		RackPerRadian: s.RackPerTurn / (2 * math.Pi), Friction: s.Friction,
		Efficiency: s.Efficiency, ReverseEfficiency: s.ReverseEfficiency,
		AssistGain: s.AssistGain, AssistCeiling: s.AssistCeiling,
	}
	if force+s.Friction >= 0 {
		return gear.Turning(force)
	}
	driven, _ := gear.LetGo(force, s.Friction)
	return driven
}

// loadFields are the Vehicle fields on which the load under each front tyre depends.
var loadFields = []string{"Mass", "FrontShare", "LeftShare", "Tyre.Mass", "Tyre.RimMass"}
