package sim

import (
	"errors"
	"fmt"
	"math"

	"turnplate/sim/adjust"
	"turnplate/sim/wishbone"
)

// What the models of setting an alignment share: AlignTo, Coupling and Reach.

// upperUnit is the movement of the upper arm's settings that weighs as much as a cam's whole range from its
// middle to its end, when the smallest movement is sought. Ten millimetres is about what either of them takes to
// move caster by a degree or two.
const upperUnit = 10e-3

// adjustable gives the corner as package adjust takes it.
func (k *corner) adjustable() adjust.Corner {
	c := adjust.Corner{Measured: &k.link.Measured, Height: k.measuredZ - k.lift, Ground: k.ground}
	if k.jointLimit > 0 {
		c.Allowed = func(s *adjust.State) error {
			set := *k
			set.link = s.Link
			if set.checkStud(&s.Pose) != nil {
				return wishbone.Unreachable{Joint: wishbone.UpperBallJoint}
			}
			return nil
		}
	}
	return c
}

// hasCams tells whether the lower arm's pivots can be moved.
func (a *Adjusters) hasCams() bool { return a.CamLimit > 0 && a.CamOffset > 0 }

// camMost is the furthest that a cam moves its pivot from the bolt's middle.
func (a *Adjusters) camMost() float64 { return a.CamOffset * math.Sin(a.CamLimit) }

// ranges says how far the adjusters go that this corner has. legs and shift are the most that an upper leg may be
// made longer or shorter, and the arm shifted either way; 0: none.
func (a *Adjusters) ranges(legs, shift float64) adjust.Ranges {
	var r adjust.Ranges
	if a.hasCams() {
		most := a.camMost()
		front, rear := a.CamOffset*math.Sin(a.CamFrontMeasured), a.CamOffset*math.Sin(a.CamRearMeasured)
		r[adjust.CamFront] = adjust.Range{Least: -most - front, Most: most - front, Unit: most}
		r[adjust.CamRear] = adjust.Range{Least: -most - rear, Most: most - rear, Unit: most}
	}
	r[adjust.UpperShift] = adjust.Range{Least: -shift, Most: shift, Unit: upperUnit}
	r[adjust.UpperFrontLeg] = adjust.Range{Least: -legs, Most: legs, Unit: upperUnit}
	r[adjust.UpperRearLeg] = adjust.Range{Least: -legs, Most: legs, Unit: upperUnit}
	return r
}

// checkUpper refuses an arm that already stands beyond its limits. Where a limit is zero nothing is moved, so that the
// arm may stand anywhere.
func (a *Adjusters) checkUpper(name string, legs, shift float64) error {
	for _, s := range [...]struct {
		field, limit string
		at, most     float64
	}{
		{"UpperFrontLeg", "LegTravel", a.UpperFrontLeg, legs},
		{"UpperRearLeg", "LegTravel", a.UpperRearLeg, legs},
		{"UpperShift", "ShiftTravel", a.UpperShift, shift},
	} {
		if s.most > 0 && math.Abs(s.at) > s.most*(1+rounding) {
			return fmt.Errorf("%s.Adjust.%s of %.4g mm is beyond %s, %.4g mm", name, s.field, s.at*1e3, s.limit, s.most*1e3)
		}
	}
	return nil
}

// presentSetting gives how the corner is set now, kept within the ranges against rounding.
func (a *Adjusters) presentSetting(within *adjust.Ranges) adjust.Settings {
	s := adjust.FromWishbone(a.settings())
	for i, r := range within {
		if r.Used() {
			s[i] = math.Max(r.Least, math.Min(r.Most, s[i]))
		}
	}
	return s
}

// take sets the adjusters; only those in use and the tie rod move.
func (a *Adjusters) take(s *adjust.Settings, within *adjust.Ranges) {
	if within[adjust.CamFront].Used() {
		a.CamFront = a.camAngle(s[adjust.CamFront], a.CamFrontMeasured)
		a.CamRear = a.camAngle(s[adjust.CamRear], a.CamRearMeasured)
	}
	a.UpperShift = s[adjust.UpperShift]
	a.UpperFrontLeg = s[adjust.UpperFrontLeg]
	a.UpperRearLeg = s[adjust.UpperRearLeg]
	a.TieRod = s[adjust.TieRod]
}

// camAngle is the cam's angle for a pivot moved by shift from where it was measured: u = CamOffset·sin(angle)
// counts from the bolt's middle.
func (a *Adjusters) camAngle(shift, measured float64) float64 {
	sin := shift/a.CamOffset + math.Sin(measured)
	angle := math.Asin(math.Max(-1, math.Min(1, sin)))
	return math.Max(-a.CamLimit, math.Min(a.CamLimit, angle))
}

// anglesAtRest is the alignment that the corner has now.
func (k *corner) anglesAtRest() adjust.Angles {
	a := k.rest.Angles(k.wheel, k.ground)
	return adjust.Angles{Camber: a.Camber, Caster: a.Caster, Toe: a.Toe}
}

// side tells which wheel of a pair of targets is meant.
type side int

const (
	sideLeft side = iota
	sideRight
)

// read takes the target for one wheel, where there is one.
func (s side) read(target *Sides, into *float64) {
	switch {
	case target == nil:
	case s == sideLeft:
		*into = target.Left
	default:
		*into = target.Right
	}
}

// name is what a reader calls it.
func (s side) name() string {
	if s == sideRight {
		return "right"
	}
	return "left"
}

// rename names this side in an error of a corner that was described as a left one.
func (s side) rename(err error) error {
	var joint Unreachable
	if errors.As(err, &joint) {
		joint.Side = s.name() + " front"
		return joint
	}
	return err
}

// sidesDiffer tells whether any target asks unlike things of the two wheels.
func sidesDiffer(targets ...*Sides) bool {
	for _, t := range targets {
		if t != nil && t.Left != t.Right {
			return true
		}
	}
	return false
}
