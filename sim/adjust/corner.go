// Package adjust solves for the settings that give a two-arm front corner the alignment asked for, and says what
// its adjusters can reach.
//
//	Corner      one corner to be set: its fixed shape, the wheel height that is held, the ground
//	Settings    how far each of the six adjusters stands from where the corner was measured
//	Range       how far one adjuster may go, and what counts as one unit of moving it
//	State       the corner set one way, with its angles and their exact rates
//	Corner.Solve    the settings for a target, or the best that can be when it is out of reach
//	Corner.Extreme  the most (or least) caster at a camber, and the other way round
//	Corner.Outline  the edge of everything that can be reached
//
// Angles are the wheel's own, with the rack in its middle and the wheel centre's height held; the tie rod always
// brings toe to its target, so what is left to choose is camber and caster. Lengths are metres, angles radians;
// signs are wishbone's.
//
// # Method
//
// Near any setting camber and caster are linear in the adjusters, with toe reset: one generator (a rate of
// camber, a rate of caster) for each. Adjusters that each move within a range reach the sum of as many
// segments, a zonotope: a convex polygon of at most ten sides in the plane of camber and caster. A target
// inside is met with the smallest scaled movement; for one outside, the best point of the polygon's edge is
// found exactly, in the order of importance that Target states. Both are repeated with rates taken anew at
// the setting found, which is Newton's method once the active limits no longer change. The linkage is nearly
// linear over an adjuster's range, so that takes four or five poses.
//
// Zonotopes as sums of segments: G. M. Ziegler, Lectures on Polytopes, Springer 1995, lecture 7 (from memory);
// Newton's method on successive linear programmes: R. Fletcher, Practical Methods of Optimization, 2nd ed., Wiley
// 1987, ch. 12 and 14 (from memory).
package adjust

import (
	"math"

	"turnplate/sim/wishbone"
)

// Kind names an adjuster.
type Kind int

// The adjusters, in the order of Settings.
const (
	CamFront Kind = iota
	CamRear
	UpperShift
	UpperFrontLeg
	UpperRearLeg
	TieRod

	Kinds   = 6
	setters = 5 // those that camber and caster are set with: all but the tie rod
)

// Settings is how far each adjuster stands from where the corner was measured: lower pivots in +y, the upper arm
// rearward, legs and tie rod longer; metres.
type Settings [Kinds]float64

// FromWishbone takes the settings of a linkage.
func FromWishbone(s wishbone.Settings) Settings {
	return Settings{s.LowerFront, s.LowerRear, s.UpperShift, s.UpperFrontLeg, s.UpperRearLeg, s.TieRod}
}

// Wishbone gives the settings as a linkage takes them.
func (s Settings) Wishbone() wishbone.Settings {
	return wishbone.Settings{LowerFront: s[0], LowerRear: s[1], UpperShift: s[2], UpperFrontLeg: s[3], UpperRearLeg: s[4], TieRod: s[5]}
}

// Corner is one corner to be set.
type Corner struct {
	Measured *wishbone.Measured
	Height   float64 // of the measured wheel centre, in body axes; held
	Ground   wishbone.Ground
	// Allowed, if given, refuses a setting that can be assembled but not used (a joint at the end of its swing).
	Allowed func(*State) error
}

// Angles is what is being set.
type Angles struct{ Camber, Caster, Toe float64 }

// State is a corner set one way.
type State struct {
	Set  Settings
	Link wishbone.Linkage
	Pose wishbone.Pose
	Angles
	Ground wishbone.Ground

	swing wishbone.Twist // of the pose
}

// Posed makes a State of a pose that was found by other means, so that its rates can be asked for.
func Posed(link wishbone.Linkage, pose wishbone.Pose, ground wishbone.Ground) State {
	return State{Link: link, Pose: pose, Ground: ground, swing: link.Swing(&pose)}
}

// At sets the corner. The error is wishbone.Unreachable.
func (c *Corner) At(x Settings, s *State) error {
	if err := s.Link.Assemble(c.Measured, x.Wishbone()); err != nil {
		return err
	}
	// The setting is usually close to the last one, so the search starts at the lower arm's last angle.
	if err := s.Link.Raise(&s.Pose, c.Height, 0, s.Pose.LowerAngle); err != nil {
		return err
	}
	a := s.Pose.Angles(wishbone.Wheel{}, c.Ground)
	s.Set, s.Ground, s.swing = x, c.Ground, s.Link.Swing(&s.Pose)
	s.Angles = Angles{a.Camber, a.Caster, a.Toe}
	return nil
}

// unitOf is a movement of each adjuster by one metre, as a linkage takes it.
var unitOf = func() (unit [Kinds]wishbone.Settings) {
	for k := range unit {
		var s Settings
		s[k] = 1
		unit[k] = s.Wishbone()
	}
	return unit
}()

// Rate is the exact change of the angles per metre of an adjuster, the others, the rack and the wheel centre's
// height held.
func (s *State) Rate(k Kind) Angles {
	r := s.Pose.Rates(s.Link.Response(&s.Pose, s.swing, unitOf[k]), s.Ground)
	return Angles{r.Camber, r.Caster, r.Toe}
}

// Range is how far an adjuster may go.
type Range struct {
	Least, Most float64 // as settings; equal: it isn't used
	Unit        float64 // movement that counts as one when the smallest movement is sought
}

// Used tells whether the adjuster can move at all.
func (r Range) Used() bool { return r.Most > r.Least }

// Ranges are those of the adjusters that camber and caster are set with.
type Ranges [setters]Range

// Unreachable is the error where no setting within the ranges respects some limit, such as a joint's. Cause says which.
type Unreachable struct{ Cause error }

func (e Unreachable) Error() string { return e.Cause.Error() }

// Unwrap gives the cause.
func (e Unreachable) Unwrap() error { return e.Cause }

func clamp(x, least, most float64) float64 { return math.Max(least, math.Min(most, x)) }
