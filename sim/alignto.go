package sim

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"turnplate/sim/adjust"
	"turnplate/sim/wishbone"
)

func init() { register[AlignTo, AlignToResult]() }

// AlignTo finds how this vehicle's adjusters must be set for the caster, camber and toe that are asked for: the cams
// when CamLimit and CamOffset are above zero, the tie rod always, and the upper arm's shift and legs only with
// UseUpper. The vehicle stands at rest, as lifted, steered straight ahead (rack in its middle), and its wheel
// centres keep their height. A target that is left out stays as the vehicle has it.
//
// It is solved in the pivots' movements u = CamOffset·sin(angle), each at most CamOffset·sin(CamLimit) either
// way. Where the target is out of range, toe is exact, and then in this order: least camber outside
// CamberTolerance, least caster error, least camber error; that leaves two cams no choice. With UseUpper many
// settings give the same alignment, and the one that moves least from the present one is taken: least sum of
// squares of the movements, a cam's in shares of its range from middle to end, the upper arm's in units of 10
// mm, the tie rod's not counted.
//
// Where a joint is what ends it (the upper ball joint's JointLimit among them), Nearest is as far along the
// straight way from the present caster and camber as the joint allows, with toe exact, and LimitedBy names
// the joint.
//
// Valid for any two-arm front corner whose joints can be reached as it is set now. The upper arm's own
// threads and spacers have no limit in Adjusters: LegTravel and ShiftTravel give it, and what has none stays
// as it is. Roll isn't modelled; bushings and links are rigid.
//
// Method: own working, described at package adjust. Terms and signs: ISO 8855:2011.
type AlignTo struct {
	Vehicle         Vehicle
	Caster          *Sides  `unit:"deg" default:"none" must:">=-45 <=45"` // target; left out: as it is
	Camber          *Sides  `unit:"deg" default:"none" must:">=-45 <=45"` // target; left out: as it is
	Toe             *Sides  `unit:"deg" default:"none" must:">=-45 <=45"` // target for one wheel, + toe-in; left out: as it is
	CamberTolerance float64 `unit:"deg" default:"0.25" must:">=0"`        // camber this near to its target will do, where caster is short (common practice, no source)
	UseUpper        bool    `default:"no"`                                // the upper arm's shift and legs may be changed too
	LegTravel       float64 `unit:"mm" us:"inch" default:"0" must:">=0"`  // most that an upper leg may be longer or shorter than measured; 0: none
	ShiftTravel     float64 `unit:"mm" us:"inch" default:"0" must:">=0"`  // most that spacers may move the upper arm either way from where measured; 0: none
}

// AlignToResult is the settings; plain outputs mean the left wheel. Where the target isn't reached they are
// Nearest's.
type AlignToResult struct {
	WheelSetting
	Right     WheelSetting
	Vehicle   *Vehicle // as set; absent when the target isn't reached
	Nearest   *Vehicle // as set, or the best that can be
	Reached   bool     // both wheels have every angle asked for, to within rounding
	UpperFree bool     // the upper arm's shift and legs could be changed too (UseUpper)
}

// WheelSetting is how one wheel is set.
type WheelSetting struct {
	CamFront      float64 `unit:"deg"`          // eccentric bolt at the lower arm's front pivot
	CamRear       float64 `unit:"deg"`          // eccentric bolt at its rear pivot
	TieRodTurns   float64 `unit:"turn"`         // from the present setting; + lengthens the rod
	UpperShift    float64 `unit:"mm" us:"inch"` // upper arm rearward of where it was measured
	UpperFrontLeg float64 `unit:"mm" us:"inch"` // front leg longer than measured
	UpperRearLeg  float64 `unit:"mm" us:"inch"` // rear leg longer than measured

	CasterLeft float64 `unit:"deg"` // target less what is given
	CamberLeft float64 `unit:"deg"` // target less what is given
	LimitedBy  string  // what stands at its end when the target isn't reached, or "nothing"

	AtLimit string // what stands at an end of its range, reached or not, or "nothing"

	CamUse      float64 `unit:"percent" absent:"there are no cams" called:"share of the cams' range used"` // share of its range, from middle to end, that the further cam uses; absent without cams
	CamUseFront float64 `unit:"percent" absent:"there are no cams"`                                        // the front cam's share
	CamUseRear  float64 `unit:"percent" absent:"there are no cams"`                                        // the rear cam's share
}

// Uses lists what the result depends on.
func (AlignTo) Uses() []string { return kinematicFields() }

// Optional lists what the model can do without.
func (AlignTo) Optional() []string { return kinematicOptional }

// Run gives the settings, or an error that names the joint or field which keeps even toe from being set.
func (m AlignTo) Run() (AlignToResult, error) {
	r := AlignToResult{UpperFree: m.UseUpper}
	if err := checkInputs(&m); err != nil {
		return r, err
	}
	if m.UseUpper && m.LegTravel == 0 && m.ShiftTravel == 0 {
		return r, errors.New("UseUpper needs LegTravel or ShiftTravel: with neither, nothing of the upper arm can be moved")
	}
	a, err := newAxle(&m.Vehicle)
	if err != nil {
		return r, err
	}
	set := m.Vehicle
	left, leftReached, err := m.side(&a.left, &set.Front, "Front", sideLeft)
	if err != nil {
		return r, err
	}
	r.WheelSetting, r.Right, r.Reached = left, left, leftReached
	if !a.mirrored || sidesDiffer(m.Caster, m.Camber, m.Toe) {
		other := m.Vehicle.Front
		name := "Front"
		if !a.mirrored {
			other, name = *m.Vehicle.Right, "Right"
		}
		right, rightReached, err := m.side(&a.right, &other, name, sideRight)
		if err != nil {
			return r, err
		}
		r.Right, r.Reached = right, leftReached && rightReached
		set.Right = &other
	}
	r.Nearest = &set
	if r.Reached {
		r.Vehicle = &set
	}
	return r, nil
}

// side sets one corner; c is its description, which is changed to what it is set to.
func (m *AlignTo) side(k *corner, c *Corner, name string, of side) (WheelSetting, bool, error) {
	a := &c.Adjust
	legs, shift := 0.0, 0.0
	if m.UseUpper {
		if err := a.checkUpper(name, m.LegTravel, m.ShiftTravel); err != nil {
			return WheelSetting{}, false, err
		}
		legs, shift = m.LegTravel, m.ShiftTravel
	}
	within := a.ranges(legs, shift)
	target := adjust.Target{Angles: k.anglesAtRest(), CamberTolerance: m.CamberTolerance}
	of.read(m.Camber, &target.Camber)
	of.read(m.Caster, &target.Caster)
	of.read(m.Toe, &target.Toe)
	solver := k.adjustable()
	var s adjust.State
	out, err := solver.Solve(a.presentSetting(&within), &within, target, &s)
	if err != nil {
		return WheelSetting{}, false, k.explain(err)
	}
	before := a.TieRod
	a.take(&s.Set, &within)
	w := WheelSetting{
		CamFront: a.CamFront, CamRear: a.CamRear,
		TieRodTurns: 2 * math.Pi * (a.TieRod - before) / orAbsent(a.TiePitch),
		UpperShift:  a.UpperShift, UpperFrontLeg: a.UpperFrontLeg, UpperRearLeg: a.UpperRearLeg,
		CasterLeft: out.Short.Caster, CamberLeft: out.Short.Camber,
		CamUse: math.NaN(), CamUseFront: math.NaN(), CamUseRear: math.NaN(),
	}
	if a.hasCams() {
		most := math.Sin(a.CamLimit)
		w.CamUseFront, w.CamUseRear = math.Abs(math.Sin(a.CamFront))/most, math.Abs(math.Sin(a.CamRear))/most
		w.CamUse = math.Max(w.CamUseFront, w.CamUseRear)
	}
	w.LimitedBy, w.AtLimit = limitedBy(&out, &within), atLimit(&out, &within)
	return w, out.Reached, nil
}

// Missed says by how much a target is missed, and what is in reach instead; "" for one that is reached. It works both
// out anew, so a model that is run many times asks once.
func (m AlignTo) Missed() string {
	r, err := m.Run()
	if err != nil || r.Reached {
		return ""
	}
	reach := Reach{Vehicle: m.Vehicle, Camber: m.Camber, Caster: m.Caster, Toe: m.Toe}
	if m.UseUpper {
		reach.LegTravel, reach.ShiftTravel = m.LegTravel, m.ShiftTravel
	}
	within, err := reach.Run()
	nearest, errNearest := Alignment{Vehicle: *r.Nearest}.Run()
	if err != nil || errNearest != nil {
		return fmt.Sprintf("the target isn't reached: the left wheel is limited by %s, the right by %s", r.LimitedBy, r.Right.LimitedBy)
	}
	left, right := r.missed(&within.WheelReach, &nearest.WheelAlignment), r.Right.missed(&within.Right, &nearest.Right)
	switch {
	case left == right:
		return "the target isn't reached: both wheels are " + left
	case left == "":
		return "the target isn't reached: the right wheel is " + right
	case right == "":
		return "the target isn't reached: the left wheel is " + left
	}
	return "the target isn't reached: the left wheel is " + left + "; the right wheel is " + right
}

// missed says it of one wheel.
func (w *WheelSetting) missed(within *WheelReach, nearest *WheelAlignment) string {
	if w.LimitedBy == "nothing" {
		return ""
	}
	var off []string
	for _, a := range [...]struct {
		name string
		left float64
	}{{"caster", w.CasterLeft}, {"camber", w.CamberLeft}} {
		switch by := math.Abs(degrees(a.left)); {
		case by < 0.005: // less than is shown
		case a.left > 0:
			off = append(off, fmt.Sprintf("%.2f° short of the %s", by, a.name))
		default:
			off = append(off, fmt.Sprintf("%.2f° over the %s", by, a.name))
		}
	}
	if off == nil {
		off = []string{"less than 0.005° off what was"}
	}
	by := "limited by " + w.LimitedBy
	if w.LimitedBy == "no cams" {
		by = "no cams can be set"
	}
	return fmt.Sprintf("%s asked for (%s); the nearest is %.2f° of caster with %.2f° of camber; in reach is %s, and %s", strings.Join(off, " and "), by, degrees(nearest.Caster), degrees(nearest.Camber),
		inReach("caster", "camber", within.CasterMin, within.CasterMax), inReach("camber", "caster", within.CamberMin, within.CamberMax))
}

func inReach(angle, at string, low, high float64) string {
	if math.IsNaN(low) {
		return fmt.Sprintf("no %s at that %s", angle, at)
	}
	return fmt.Sprintf("%s from %.2f° to %.2f° at that %s", angle, degrees(low), degrees(high), at)
}

// adjusterNames are what LimitedBy calls them.
var adjusterNames = [...]string{
	adjust.CamFront: "front cam", adjust.CamRear: "rear cam", adjust.UpperShift: "upper arm's shift",
	adjust.UpperFrontLeg: "upper front leg", adjust.UpperRearLeg: "upper rear leg",
}

// atLimit lists the adjusters that can be set and stand at an end of their range.
func atLimit(out *adjust.Outcome, within *adjust.Ranges) string {
	var ends []string
	for i, at := range out.AtEnd {
		if at && within[i].Used() {
			ends = append(ends, adjusterNames[i])
		}
	}
	if ends == nil {
		return "nothing"
	}
	return strings.Join(ends, " and ")
}

func limitedBy(out *adjust.Outcome, within *adjust.Ranges) string {
	if out.Reached {
		return "nothing"
	}
	if joint, ok := wishbone.IsUnreachable(out.Blocked); ok {
		return joint
	}
	var ends []string
	used := false
	for i, at := range out.AtEnd {
		used = used || within[i].Used()
		if at {
			ends = append(ends, adjusterNames[i])
		}
	}
	switch {
	case !used:
		return "no cams" // nothing but the tie rod can be set
	case out.AtEnd[adjust.CamFront] && out.AtEnd[adjust.CamRear] && len(ends) == 2:
		return "both cams"
	}
	return strings.Join(ends, " and ")
}
