package sim

import "math"

func init() { register[CasterSweep, CasterSweepResult]() }

// CasterSweep reads caster as an alignment shop does: each front wheel in turn stands on a turnplate
// zeroed with the steering straight ahead, is steered out by Sweep and in by Sweep, and the camber is read at
// both ends. The arms stay where the vehicle rests.
//
// Turning about an axis leaned back by τ and in by σ by the angle δ gives an upright wheel the camber
// sin γ = (tan τ/N)·sin δ + (tan σ/N²)·(1 − cos δ), N² = 1 + tan² τ + tan² σ; the inclination's part is the same
// both ways and drops out of the difference, so caster ≈ (γ_out − γ_in)/(2·sin δ) (own derivation by Rodrigues'
// rotation; same structure in Dixon, Suspension Geometry and Computation, Wiley 2009, from memory). The
// turnplate shows heading, which is less than the rotation about the axis, and this too is part of what the gauge shows.
// Near zero camber the reading with the exact factor is high by less than 0.5 % for a caster up to 5° with an inclination
// up to 12°, and by less than 1 % up to 8° and 14° (computed); the shop's factor of 1.5 adds 2.6 %.
//
// Valid for a Sweep up to 45° within what the rack allows.
type CasterSweep struct {
	Vehicle Vehicle
	Sweep   float64 `unit:"deg" default:"20" must:">0 <=45"` // turnplate angle to either side
}

// CasterSweepResult is what the gauge shows.
type CasterSweepResult struct {
	SweepWheel
	Right                 SweepWheel
	GaugeCasterDifference float64 `unit:"deg"` // left less right
}

// SweepWheel is one wheel's part of a CasterSweepResult.
type SweepWheel struct {
	CamberTurnedLeft  float64 `unit:"deg"`                                                       // camber with this wheel's turnplate at Sweep to the left
	CamberTurnedRight float64 `unit:"deg"`                                                       // camber with it at Sweep to the right
	CamberChange      float64 `unit:"deg"`                                                       // camber steered out less camber steered in; + with positive caster
	GaugeCaster       float64 `unit:"deg"`                                                       // CamberChange/(2·sin Sweep): what a gauge with the exact factor shows
	ShopCaster        float64 `unit:"deg" absent:"the shop's factor is for a Sweep of 20° only"` // 1.5·CamberChange: the shop's rule (common practice, no source), for a Sweep of 20° only, else absent
	Caster            float64 `unit:"deg"`                                                       // the true one, straight ahead
	GaugeError        float64 `unit:"deg"`                                                       // GaugeCaster less Caster
	RackTurnedLeft    float64 `unit:"mm" us:"inch"`                                              // rack from its middle for CamberTurnedLeft; + left
	RackTurnedRight   float64 `unit:"mm" us:"inch"`                                              // rack from its middle for CamberTurnedRight; + left
}

// shopSweep is the sweep for which shops multiply by 1.5.
const shopSweep = 20 * math.Pi / 180

// Uses lists what the result depends on.
func (CasterSweep) Uses() []string { return steeringFields() }

// Optional lists what the model can do without.
func (CasterSweep) Optional() []string { return kinematicOptional }

// Run gives the readings, or an error that names the joint or stop that keeps a wheel from Sweep.
func (m CasterSweep) Run() (CasterSweepResult, error) {
	if err := checkInputs(&m); err != nil {
		return CasterSweepResult{}, err
	}
	a, err := newAxle(&m.Vehicle)
	if err != nil {
		return CasterSweepResult{}, err
	}
	left, err := a.sweep(&a.left, func(w *wheels) *stance { return &w.left }, m.Sweep)
	if err != nil {
		return CasterSweepResult{}, err
	}
	right, err := a.sweep(&a.right, func(w *wheels) *stance { return &w.right }, m.Sweep)
	if err != nil {
		return CasterSweepResult{}, err
	}
	return CasterSweepResult{left, right, left.GaugeCaster - right.GaugeCaster}, nil
}

// sweep steers the axle until the turnplate under one wheel shows the sweep to either side.
func (a *axle) sweep(k *corner, of func(*wheels) *stance, sweep float64) (SweepWheel, error) {
	ahead := a.atRest()
	zero := k.heading(of(&ahead))
	turn := func(angle float64) (rack, camber float64, err error) {
		rack, w, err := a.findRack(&ahead, func(w *wheels) (float64, float64) {
			s := of(w)
			return k.heading(s) - zero - angle, k.headingRate(s)
		})
		return rack, of(&w).Camber, err
	}
	r := SweepWheel{Caster: of(&ahead).Caster, ShopCaster: math.NaN()}
	var err error
	if r.RackTurnedLeft, r.CamberTurnedLeft, err = turn(sweep); err != nil {
		return r, err
	}
	if r.RackTurnedRight, r.CamberTurnedRight, err = turn(-sweep); err != nil {
		return r, err
	}
	// The left wheel is steered out to the left, the right wheel to the right.
	r.CamberChange = k.mirror * (r.CamberTurnedLeft - r.CamberTurnedRight)
	r.GaugeCaster = r.CamberChange / (2 * math.Sin(sweep))
	r.GaugeError = r.GaugeCaster - r.Caster
	if math.Abs(sweep-shopSweep) < shopSweep*rounding {
		r.ShopCaster = 1.5 * r.CamberChange
	}
	return r, nil
}
