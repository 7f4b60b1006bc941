package sim

import (
	"math"
	"slices"

	"turnplate/sim/root"
	"turnplate/sim/unit"
)

func init() { register[Pull, PullResult]() }

// Pull gives the handwheel torque that keeps the vehicle running straight on a road that falls to one side, with
// whatever differs between its sides: caster, camber, toe, load (Vehicle.Right and LeftShare). So it tells how far apart the
// sides may be set before they are felt, and how much cross-caster or cross-camber balances a crowned road.
//
// The vehicle runs straight along the road, a little askew, with the rack where the front tyres carry their part of the
// weight's component down the slope θ, m·g·sin θ, and the rear tyres theirs, so that nothing turns it. Each front
// wheel's torque about its steering axis then has the parts of ReturnTorque (statics on the exact geometry); their sum at
// the rack is what the driver holds against, assistance taken off, in the middle of the friction band.
//
// With the hands off the steering stays if friction (through the gear's ReverseEfficiency) is more than that force; of the dry
// friction Steering.RollingFriction is left (see ReturnTorque). If it isn't, the
// vehicle drifts: Drift is how far aside it gets in 100 m on the circle on which friction just stops the steering.
//
// Valid for slopes up to 10 % and small differences. Loads move down the slope by FrontRollShare. Left out: the tyres' own ply steer
// and conicity, which on a real vehicle often pull more than the alignment does (swap the front tyres to tell), wind,
// unlike brakes and pressures.
type Pull struct {
	Vehicle   Vehicle
	RoadCrown float64 `unit:"percent" default:"0" must:">=-10 <=10"`                                // slope across the road; + falls to the right
	Speed     float64 `unit:"kph" us:"mph" must:">0: a tyre that stands is ParkingEffort's matter"` // along the road
	Compliant bool    `default:"no"`                                                                // bushes, tie rods and rack mount give under the forces, as in ReturnTorque
}

// PullResult is what the driver holds: + to the left, so a positive torque means that the vehicle pulls to the right.
type PullResult struct {
	HandwheelTorque float64 `unit:"N*m" us:"lbf*ft"`                       // assistance taken off
	RackForce       float64 `unit:"N" us:"lbf" called:"force at the rack"` // to be held, before assistance
	MechanicalTrail float64 `unit:"N*m" us:"lbf*ft"`                       // part at the handwheel, before assistance
	PneumaticTrail  float64 `unit:"N*m" us:"lbf*ft"`                       // part at the handwheel, before assistance
	Jacking         float64 `unit:"N*m" us:"lbf*ft"`                       // part at the handwheel, before assistance: unlike casters and inclinations under load

	FrictionBand   float64 `unit:"N*m" us:"lbf*ft"` // dry friction at the handwheel, either way
	StaysStraight  bool    // hands off, friction holds the steering where it is
	Drift          float64 `unit:"m" us:"ft" absent:"no circle within the tyres' range has friction just hold the steering"` // aside in 100 m with the hands off; + to the left, none when it stays straight
	HandwheelAngle float64 `unit:"deg"`                                                                                      // off its middle while running straight; + left
	CrabAngle      float64 `unit:"deg"`                                                                                      // of the body's nose from the way it goes; + left
	AxleAlignment
}

// driftDistance is the distance over which Drift is read, m: a common length for road tests of pull (common practice, no source).
const driftDistance = 100.0

// Uses lists what the result depends on.
func (Pull) Uses() []string {
	return slices.Concat(rollingFields(), assistFields, givingFields)
}

// Optional lists what the model can do without.
func (Pull) Optional() []string { return slices.Concat(rollingOptional, givingOptional) }

// Run gives the torque, or an error that says why the vehicle can't run straight.
func (m Pull) Run() (PullResult, error) {
	if err := checkInputs(&m); err != nil {
		return PullResult{}, err
	}
	r, err := newRolling(&m.Vehicle, m.Speed)
	if err != nil {
		return PullResult{}, err
	}
	if m.Compliant {
		r.giving = &m.Vehicle
	}
	down := unit.StandardGravity * math.Sin(math.Atan(m.RoadCrown))
	rack, _, p, err := r.steerFor(down, 0)
	if err != nil {
		return PullResult{}, err
	}
	c, _, err := r.on(down, 0)
	if err != nil {
		return PullResult{}, err
	}
	at := func(part func(wheelForce) float64) float64 { return -p.rack(part) * r.gear.RackPerRadian }
	out := PullResult{
		RackForce:       -p.rack(wheelForce.total),
		MechanicalTrail: at(func(w wheelForce) float64 { return w.mechanical }),
		PneumaticTrail:  at(func(w wheelForce) float64 { return w.pneumatic }),
		Jacking:         at(func(w wheelForce) float64 { return w.jacking }),
		FrictionBand:    r.friction(&p) * r.gear.RackPerRadian,
		HandwheelAngle:  rack / r.gear.RackPerRadian,
		CrabAngle:       -math.Atan2(c.sideways, m.Speed),
		AxleAlignment:   together(r.axle.left.alignment(&r.rest.left), r.axle.right.alignment(&r.rest.right)),
	}
	out.HandwheelTorque = r.gear.Held(out.RackForce)
	out.StaysStraight = math.Abs(out.RackForce)*r.gear.ReverseEfficiency <= r.friction(&p)
	if !out.StaysStraight {
		out.Drift = r.drift(down, -out.RackForce)
	}
	return out, nil
}

// drift finds the circle on which the hands-off steering comes to rest: where friction just holds the tyres' force
// on the rack, `push` when running straight. Absent (NaN) when there's no such circle within the tyres' range.
func (r *rolling) drift(down, push float64) float64 {
	way := math.Copysign(1, push)
	last, at := math.NaN(), math.NaN()
	// Curvature is searched in units of lateral acceleration; the first slope is the linear front axle's trail.
	search := root.Search{From: 0, Least: 0, Most: 10, Step: 0.5, Close: 1e-3, Resolution: 1e-9}
	turn, err := search.Follow(func(a float64) (float64, float64, error) {
		_, _, p, err := r.steerFor(down+way*a, way*a/r.speed)
		if err != nil {
			return 0, 0, err
		}
		// Rising: the further it turns, the less the tyres push it on.
		miss := r.friction(&p)/r.gear.ReverseEfficiency - way*p.rack(wheelForce.total)
		slope := r.frontAsked(1) * (r.rest.left.Trail + r.tyre.PatchLength/6) * math.Abs(p.left.axisRate)
		if !math.IsNaN(at) && a != at {
			slope = (miss - last) / (a - at)
		}
		last, at = miss, a
		return miss, slope, nil
	})
	if err != nil {
		return math.NaN()
	}
	return way * turn / (r.speed * r.speed) * driftDistance * driftDistance / 2
}
