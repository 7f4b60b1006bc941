package sim

import "turnplate/sim/adjust"

func init() { register[Reach, ReachResult]() }

// Reach gives how much caster and camber this vehicle's adjusters can hold: the range of caster at a camber, the range of
// camber at a caster, and the edge of the whole region of both, with toe reset by the tie rod everywhere, at
// rest and as lifted. The cams go as far as CamLimit lets them; the upper arm's legs and shift are used as
// far as LegTravel and ShiftTravel say.
//
// The range of caster over a span of cambers, or EdgeCaster over EdgeCamber, drawn for several arms, is the
// picture of what each arm buys. A corner without cams, LegTravel or ShiftTravel holds one point only.
//
// The ranges are good to 1e-6 degree (with the upper arm's settings, as the best of several local ones). The
// edge is exact for two cams; with the upper arm's settings as well it can lie inside the true one by up to
// about 0.1°. Points of the edge that the upper ball joint's JointLimit forbids are absent, and so is a range
// where the camber (or caster) can't be held at all.
//
// Valid for any two-arm front corner whose joints can be reached as it is set now. Method: own working,
// described at package adjust. Signs: ISO 8855:2011.
type Reach struct {
	Vehicle     Vehicle
	Camber      *Sides  `unit:"deg" default:"none" must:">=-45 <=45"` // at which caster's range is wanted; left out: as it is
	Caster      *Sides  `unit:"deg" default:"none" must:">=-45 <=45"` // at which camber's range is wanted; left out: as it is
	Toe         *Sides  `unit:"deg" default:"none" must:">=-45 <=45"` // held everywhere, one wheel's; left out: as it is
	LegTravel   float64 `unit:"mm" us:"inch" default:"0" must:">=0"`  // most that an upper leg may be longer or shorter than measured; 0: none
	ShiftTravel float64 `unit:"mm" us:"inch" default:"0" must:">=0"`  // most that spacers may move the upper arm either way from where measured; 0: none
}

// ReachResult is what can be held; plain outputs mean the left wheel.
type ReachResult struct {
	WheelReach
	Right WheelReach

	EdgeCamber []float64 `unit:"deg" absent:"the upper ball joint's JointLimit forbids it" called:"camber at the cams' end"` // once round the edge of the left wheel's region: camber; the last point is the first
	EdgeCaster []float64 `unit:"deg" absent:"the upper ball joint's JointLimit forbids it" called:"caster at the cams' end"` // caster at the same points
}

// WheelReach is one wheel's part of a ReachResult.
type WheelReach struct {
	CasterMin float64 `unit:"deg" absent:"the camber can't be held" called:"least caster"` // least caster at Camber
	CasterMax float64 `unit:"deg" absent:"the camber can't be held" called:"most caster"`  // most caster at Camber
	CamberMin float64 `unit:"deg" absent:"the caster can't be held"`                       // least camber at Caster
	CamberMax float64 `unit:"deg" absent:"the caster can't be held"`                       // most camber at Caster
}

// edgePoints are enough for a smooth line, and share out evenly over the sides that two to five adjusters make.
const edgePoints = 121

// Uses lists what the result depends on.
func (Reach) Uses() []string { return kinematicFields() }

// Optional lists what the model can do without.
func (Reach) Optional() []string { return kinematicOptional }

// Run gives the ranges, or an error that names the joint that can't be reached.
func (m Reach) Run() (ReachResult, error) {
	if err := checkInputs(&m); err != nil {
		return ReachResult{}, err
	}
	a, err := newAxle(&m.Vehicle)
	if err != nil {
		return ReachResult{}, err
	}
	var r ReachResult
	edge := make([]adjust.Angles, edgePoints)
	if r.WheelReach, err = m.side(&a.left, &m.Vehicle.Front.Adjust, "Front", sideLeft, edge); err != nil {
		return ReachResult{}, err
	}
	r.EdgeCamber, r.EdgeCaster = make([]float64, len(edge)), make([]float64, len(edge))
	for i, e := range edge {
		r.EdgeCamber[i], r.EdgeCaster[i] = e.Camber, e.Caster
	}
	r.Right = r.WheelReach
	if !a.mirrored || sidesDiffer(m.Camber, m.Caster, m.Toe) {
		c, name := &m.Vehicle.Front, "Front"
		if !a.mirrored {
			c, name = m.Vehicle.Right, "Right"
		}
		if r.Right, err = m.side(&a.right, &c.Adjust, name, sideRight, nil); err != nil {
			return ReachResult{}, err
		}
	}
	return r, nil
}

// side gives one wheel's ranges and, if wanted, its edge.
func (m *Reach) side(k *corner, a *Adjusters, name string, of side, edge []adjust.Angles) (WheelReach, error) {
	if err := a.checkUpper(name, m.LegTravel, m.ShiftTravel); err != nil {
		return WheelReach{}, err
	}
	at := k.anglesAtRest()
	of.read(m.Camber, &at.Camber)
	of.read(m.Caster, &at.Caster)
	of.read(m.Toe, &at.Toe)
	within := a.ranges(m.LegTravel, m.ShiftTravel)
	from := a.presentSetting(&within)
	solver := k.adjustable()
	var w WheelReach
	w.CasterMin, w.CasterMax = solver.Extreme(from, &within, at, false)
	w.CamberMin, w.CamberMax = solver.Extreme(from, &within, at, true)
	if edge != nil {
		if err := solver.Outline(from, &within, at.Toe, edge); err != nil {
			return w, k.explain(err)
		}
	}
	return w, nil
}
