package sim

import (
	"errors"
	"math"
	"slices"

	"turnplate/sim/root"
)

func init() { register[ReturnTorque, ReturnTorqueResult]() }

// ReturnTorque gives the torque that turns the steering back to straight ahead in a steady turn at speed, part by
// part. A torque is positive when it returns, at a wheel's steering axis and at the handwheel alike.
//
// Each wheel's torque about its steering axis is k·(r×F) + k·M of what the ground and the drive shaft do to it
// (statics), with its own load:
//
//	mechanical trail   Fy·n·k_z        lateral force Fy behind the axis by the trail n
//	pneumatic trail    Mz·k_z          the tyre's aligning moment, Fy·t with t = a/3 at small slip (brush tyre)
//	jacking            W·dz/dδ         vertical load W on a body that rises as the wheel turns
//	traction           k·(F·(C−A)×h)   drive F, acting at the wheel's centre C for a level half-shaft (see steering.HalfShaft)
//
// k is the steering axis's unit direction, k_z its upward part, A a point on it, h the wheel's heading, a half the contact's
// length; the brush tyre is Pacejka's (Tire and Vehicle Dynamics, ch. 3, from memory). The jacking part is exact: the lowest
// point of a tyre moves round it as it steers, while textbooks' sets (Gillespie, Fundamentals of Vehicle Dynamics, ch. 8;
// Barton & Fieldhouse, section 2.9) carry the contact round with the knuckle and so differ already to first order.
// Both wheels' torques go to the rack by virtual work, ΣM·dδ/ds, and to the handwheel by RackPerTurn.
//
// Let go (the default), the gear passes on ReverseEfficiency of the rack force less the dry friction (rack and both steering
// axes); what is lost stands under Friction, and within the friction band the wheel doesn't return at all. Held, Total is
// the steady torque in the middle of the friction band, and HandwheelTorque what the driver feels of it with assistance
// (as in ParkingEffort, without the gear's loss).
//
// Of the dry friction, Steering.RollingFriction is left while the vehicle rolls. On a road everything shakes: under a
// vibration of speed amplitude v_d a slower mean motion v meets only F·(2/π)·asin(v/v_d) of a dry friction F, and a joint at
// rest that is shaken with a force F_d breaks loose at F − F_d (classical averaging, from memory; that vibration can strongly
// lower both was seen in Popov and others, Frontiers in Mechanical Engineering 6:69, 2020). How much is left on which road
// isn't published: it is an assumption, and the friction band goes with it. Breakaway counts as no more than sliding friction.
//
// Compliant lets bushes, tie rods and rack mount give way under each wheel's side force, aligning moment and drive, linear about
// its pose (see Compliance), until forces and places agree; else all is rigid.
//
// Load moves to the outer wheel by FrontRollShare; the slip angles are those of a steady circle, each wheel at its own
// place. The tyre is a brush whose stiffness follows load (see tyre.Brush). Left out: roll, rolling resistance, the tyres' own
// yaw moments on the vehicle (2 to 4 % of its balance), ply steer. Valid on a level road up to the tyres' limit; a turn that
// the tyres or the rack can't make is an error, and so is standing still (see ParkingEffort).
type ReturnTorque struct {
	Vehicle             Vehicle
	Speed               float64  `unit:"kph" us:"mph" must:">0: a tyre that stands is ParkingEffort's matter"` // along the road, above zero
	LateralAcceleration *float64 `unit:"gravity" default:"by Angle"`                                           // + turning left; give this or Angle
	Angle               *float64 `unit:"deg" default:"by LateralAcceleration"`                                 // mean of both wheels' headings, + left
	DriveForce          float64  `unit:"N" us:"lbf" default:"0"`                                               // of all wheels; the front axle takes FrontDriveShare of it, half each side
	Compliant           bool     `default:"no"`                                                                // bushes, tie rods and rack mount give under the forces, as in Compliance
	Held                bool     `default:"no"`                                                                // the driver holds the handwheel still; else it's let go
}

// ReturnTorqueResult is the torque at the handwheel, + towards straight ahead (in a turn of exactly nothing: to the right).
type ReturnTorqueResult struct {
	MechanicalTrail float64 `unit:"N*m" us:"lbf*ft"`                       // before the gear's losses
	PneumaticTrail  float64 `unit:"N*m" us:"lbf*ft"`                       // before the gear's losses
	Jacking         float64 `unit:"N*m" us:"lbf*ft"`                       // before the gear's losses
	Traction        float64 `unit:"N*m" us:"lbf*ft"`                       // before the gear's losses
	Friction        float64 `unit:"N*m" us:"lbf*ft"`                       // what friction and the gear's losses take; none when Held
	Total           float64 `unit:"N*m" us:"lbf*ft"`                       // sum of the five
	HandwheelTorque float64 `unit:"N*m" us:"lbf*ft"`                       // Held: what the driver holds, assistance taken off; let go: as Total
	RackForce       float64 `unit:"N" us:"lbf" called:"force at the rack"` // of the tyres, before losses

	LateralAcceleration float64 `unit:"gravity"`                                                                                                                              // + turning left
	Angle               float64 `unit:"deg"`                                                                                                                                  // mean of both wheels' headings, + left
	HandwheelAngle      float64 `unit:"deg"`                                                                                                                                  // + left
	FrictionBand        float64 `unit:"N*m" us:"lbf*ft"`                                                                                                                      // dry friction at the handwheel, either way
	Gradient            float64 `unit:"N*m/deg" us:"lbf*ft/deg" absent:"no straight course can be held at this speed"`                                                        // on centre, before losses: return torque per handwheel angle
	GradientPerG        float64 `unit:"N*m/gravity" us:"lbf*ft/gravity" absent:"no straight course can be held at this speed"`                                                // on centre, before losses: return torque per lateral acceleration
	HoldAngle           float64 `unit:"deg" absent:"friction holds throughout, or no straight course can be held at this speed" called:"handwheel angle that friction holds"` // handwheel angle to the left inside which friction holds and the wheel doesn't return; absent when it holds throughout
	HoldAcceleration    float64 `unit:"gravity" absent:"friction holds throughout, or no straight course can be held at this speed"`                                          // lateral acceleration at HoldAngle

	Left  WheelReturn // torques about the left wheel's steering axis, + returning
	Right WheelReturn // the same about the right wheel's
}

// WheelReturn is one wheel: torque about its steering axis, + returning, and what makes it.
type WheelReturn struct {
	MechanicalTrail float64 `unit:"N*m" us:"lbf*ft"` // of the lateral force behind the axis
	PneumaticTrail  float64 `unit:"N*m" us:"lbf*ft"` // of the tyre's own aligning moment
	Jacking         float64 `unit:"N*m" us:"lbf*ft"` // of the load
	Traction        float64 `unit:"N*m" us:"lbf*ft"` // of the drive
	Total           float64 `unit:"N*m" us:"lbf*ft"` // sum of the four
	WheelLoad       float64 `unit:"N" us:"lbf"`      // on the ground
	LateralForce    float64 `unit:"N" us:"lbf"`      // across the wheel's heading, + left
	SlipAngle       float64 `unit:"deg"`             // + when the tyre moves to the left of its heading
}

// Uses lists what the result depends on.
func (ReturnTorque) Uses() []string {
	return slices.Concat(rollingFields(), assistFields, givingFields, []string{"FrontDriveShare"})
}

// Optional lists what the model can do without.
func (ReturnTorque) Optional() []string { return slices.Concat(rollingOptional, givingOptional) }

// Run gives the torque, or an error that says why there is no such turn.
func (m ReturnTorque) Run() (ReturnTorqueResult, error) {
	if err := checkInputs(&m); err != nil {
		return ReturnTorqueResult{}, err
	}
	if (m.LateralAcceleration == nil) == (m.Angle == nil) {
		return ReturnTorqueResult{}, errors.New("ReturnTorque needs either LateralAcceleration or Angle, and not both")
	}
	v := &m.Vehicle
	r, err := newRolling(v, m.Speed)
	if err != nil {
		return ReturnTorqueResult{}, err
	}
	r.drive = m.DriveForce * v.FrontDriveShare / 2
	if m.Compliant {
		r.giving = v
	}
	var out ReturnTorqueResult
	var rack float64
	var w wheels
	var p pair
	if m.Angle != nil {
		if rack, w, err = r.axle.turned(&r.rest, *m.Angle); err == nil {
			out.LateralAcceleration, p, err = r.turnAt(&w, r.turnGuess(*m.Angle))
		}
	} else {
		out.LateralAcceleration = *m.LateralAcceleration
		rack, w, p, err = r.steerFor(out.LateralAcceleration, out.LateralAcceleration/m.Speed)
	}
	if err != nil {
		return ReturnTorqueResult{}, err
	}
	out.Angle = r.axle.meanHeading(&w)
	out.HandwheelAngle = rack / r.gear.RackPerRadian
	out.parts(&r, &p, m.Held)
	out.onCentre(&r)
	return out, nil
}

// parts fills in the torques at the wheels and at the handwheel.
func (out *ReturnTorqueResult) parts(r *rolling, p *pair, held bool) {
	back := -1.0 // from "to the left" to "returning"
	if turn := out.LateralAcceleration; turn < 0 || turn == 0 && out.Angle < 0 {
		back = 1
	}
	at := func(part func(wheelForce) float64) float64 { return back * p.rack(part) * r.gear.RackPerRadian }
	out.MechanicalTrail = at(func(w wheelForce) float64 { return w.mechanical })
	out.PneumaticTrail = at(func(w wheelForce) float64 { return w.pneumatic })
	out.Jacking = at(func(w wheelForce) float64 { return w.jacking })
	out.Traction = at(func(w wheelForce) float64 { return w.traction })
	out.RackForce = back * p.rack(wheelForce.total)
	dry := r.friction(p)
	out.FrictionBand = dry * r.gear.RackPerRadian
	out.Total = out.MechanicalTrail + out.PneumaticTrail + out.Jacking + out.Traction
	if held {
		out.HandwheelTorque = r.gear.Held(out.RackForce)
	} else {
		driven, lost := r.gear.LetGo(out.RackForce, dry)
		out.Friction, out.Total, out.HandwheelTorque = -lost, driven, driven
	}
	for _, side := range []struct {
		to   *WheelReturn
		from *wheelForce
	}{{&out.Left, &p.left}, {&out.Right, &p.right}} {
		w := side.from
		*side.to = WheelReturn{
			MechanicalTrail: back * w.mechanical, PneumaticTrail: back * w.pneumatic, Jacking: back * w.jacking,
			Traction: back * w.traction, Total: back * w.total(),
			WheelLoad: w.load, LateralForce: w.lateral, SlipAngle: math.Atan(w.slip),
		}
	}
}

// onCentreStep is the rack's travel either side of its middle for the slope there, as a handwheel angle: small enough
// that the pneumatic trail hasn't begun to fall (a brush's falls with |slip|, 3 % by 1°), far outside rounding.
const onCentreStep = 0.1 * math.Pi / 180

// onCentre fills in the slopes at straight ahead and the band that friction holds. They are absent for a vehicle that can't be
// held on a straight line at this speed: one that oversteers, past its critical speed.
func (out *ReturnTorqueResult) onCentre(r *rolling) {
	out.Gradient, out.GradientPerG, out.HoldAngle, out.HoldAcceleration = math.NaN(), math.NaN(), math.NaN(), math.NaN()
	step := onCentreStep * r.gear.RackPerRadian
	guess := r.turnGuess(step / 2 * (r.axle.left.headingRate(&r.rest.left) + r.axle.right.headingRate(&r.rest.right)))
	left, leftTurn, err := r.returnAt(step, guess)
	if err != nil {
		return
	}
	right, rightTurn := rackForces{-left.rightward, left.friction}, -leftTurn
	if !r.axle.mirrored || r.weight.left != r.weight.right {
		if right, rightTurn, err = r.returnAt(-step, -guess); err != nil {
			return
		}
	}
	// returnAt gives the force to the right, so it rises through the middle with the rack to the left.
	perRack := (left.rightward - right.rightward) / (2 * step)
	out.Gradient = perRack * r.gear.RackPerRadian * r.gear.RackPerRadian
	out.GradientPerG = (left.rightward - right.rightward) * r.gear.RackPerRadian / (leftTurn - rightTurn)
	out.HoldAngle, out.HoldAcceleration = r.holds(perRack, (leftTurn-rightTurn)/(2*step), (left.rightward+right.rightward)/2)
}

// rackForces is the tyres' force on the rack to the right and the dry friction against it, N.
type rackForces struct{ rightward, friction float64 }

// returnAt gives the rack forces in the steady turn with the rack held at a place, and the turn's acceleration, near a guess.
func (r *rolling) returnAt(rack, guess float64) (f rackForces, turn float64, err error) {
	w, err := r.axle.steered(&r.rest, rack)
	if err != nil {
		return f, 0, err
	}
	turn, p, err := r.turnAt(&w, guess)
	return rackForces{-p.rack(wheelForce.total), r.friction(&p)}, turn, err
}

// holds finds the handwheel angle to the left, and the turn there, up to which the gear lets through less than
// friction takes: |force|·ηr = friction. slope and turning are the force's and the turn's rise per rack travel on centre,
// middle the force there. Absent (NaN) when friction is never overcome on the way to the lock or to the tyres' limit.
func (r *rolling) holds(slope, turning, middle float64) (angle, turn float64) {
	friction := r.friction(&pair{wheelForce{axisRate: r.axle.left.axisRate(&r.rest.left)}, wheelForce{axisRate: r.axle.right.axisRate(&r.rest.right)}})
	through := r.gear.ReverseEfficiency
	if friction <= math.Max(0, through*middle) {
		return 0, 0
	}
	if !(slope > 0) {
		return math.NaN(), math.NaN()
	}
	end := 0.5
	if r.axle.rackLimit > 0 {
		end = r.axle.rackLimit
	}
	const close = 1e-3 // N: nothing beside any friction worth the name
	last := rackForces{middle, friction}
	at := 0.0
	search := root.Search{
		From: math.Min(end, (friction-through*middle)/(through*slope)), Least: 0, Most: end,
		Step: 0.02, Close: close, Resolution: 1e-12,
	}
	rack, err := search.Follow(func(rack float64) (float64, float64, error) {
		guess := turning * rack
		if at > 0 {
			guess = turn * rack / at
		}
		now, t, err := r.returnAt(rack, guess)
		if err != nil {
			return 0, 0, err
		}
		turn = t
		// The slope by secant from the place before; the first place has the straight-ahead one.
		over := through*now.rightward - now.friction
		secant := through * slope
		if rack != at {
			secant = (over - (through*last.rightward - last.friction)) / (rack - at)
		}
		last, at = now, rack
		return over, secant, nil
	})
	if err != nil {
		return math.NaN(), math.NaN()
	}
	return rack / r.gear.RackPerRadian, turn
}
