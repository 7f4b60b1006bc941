package wishbone

import (
	"math"

	"turnplate/sim/geom"
)

// ArmTurns gives how far each arm has turned about its pivot axis from one pose to another, in radians, + ball
// joint up. A rubber bush that was tightened in the first pose is twisted by this in the second.
//
// Both poses are of this linkage. Valid for less than half a turn, which no arm makes.
func (l *Linkage) ArmTurns(from, to *Pose) (upper, lower float64) {
	return l.upper.turn(from.Upper, to.Upper), to.LowerAngle - from.LowerAngle
}

// turn is the angle about the arm's axis between two places of its ball joint.
func (a *arm) turn(from, to geom.Point) float64 {
	u, v := from.Sub(a.centre), to.Sub(a.centre)
	return math.Atan2(u.Cross(v).Dot(a.axis), u.Dot(v))
}

// UpperEyeTilt is how far the bores at the inner ends of the upper arm's legs lean from the pivot bolt, in
// radians, because the legs' lengths were changed unequally; + where the ball joint moved rearward.
//
// A threaded leg is screwed out along itself, so its eye keeps its angle to the leg, while the triangle of pivot,
// pivot and ball joint changes its angles. The front eye then leans by the change of the angle between pivot axis
// and leg at the front pivot, the rear one by that at the rear pivot, the other way round. An arm whose legs are
// one piece at the ball joint turns as a whole by the mean of both; what is left, half the change of the angle
// between the legs, they must bend by, and it is of second order for legs alike. Own working by the law of
// cosines; no published source was found.
func (l *Linkage) UpperEyeTilt() float64 {
	if l.set.UpperFrontLeg == 0 && l.set.UpperRearLeg == 0 { // as measured, as most arms are: no arccosine, and no rounding
		return 0
	}
	frontBefore, rearBefore := l.upperAsMeasured.corners(l.upperFrontLeg, l.upperRearLeg)
	front, rear := l.upper.corners(l.upperFrontLeg+l.set.UpperFrontLeg, l.upperRearLeg+l.set.UpperRearLeg)
	return ((rear - rearBefore) - (front - frontBefore)) / 2
}

// corners are the triangle's angles at the front and the rear pivot.
func (a *arm) corners(frontLeg, rearLeg float64) (front, rear float64) {
	base := a.front.Sub(a.rear).Norm()
	angle := func(beside, opposite float64) float64 {
		return math.Acos((base*base + beside*beside - opposite*opposite) / (2 * base * beside))
	}
	return angle(frontLeg, rearLeg), angle(rearLeg, frontLeg)
}
