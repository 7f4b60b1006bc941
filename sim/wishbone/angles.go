package wishbone

import (
	"math"

	"turnplate/sim/geom"
)

// Ground is the attitude of level ground seen from the body: two unit directions in body axes, square to
// each other. It has no height: each wheel stands on the plane through its own contact centre.
type Ground struct{ Up, Forward geom.Point }

// Level is the ground under a body that stands as it was measured.
var Level = Ground{Up: geom.Point{Z: 1}, Forward: geom.Point{X: 1}}

// Pitched is the ground under a body whose nose has risen by angle.
func Pitched(angle float64) Ground {
	sin, cos := math.Sincos(angle)
	return Ground{Up: geom.Point{X: sin, Z: cos}, Forward: geom.Point{X: cos, Z: -sin}}
}

// Wheel is what the fitted wheel and tyre add to the geometry.
type Wheel struct {
	LoadedRadius float64 // wheel centre to ground, down the wheel's plane
	OffsetChange float64 // wheel centre moved inboard along the wheel's axis from where it was measured
}

// Angles is a pose seen against the ground, for a left wheel. Signs are ISO 8855:2011's (static toe angle,
// §7.1.6, seen; the others from memory): camber + top outward, toe + toe-in, caster + axis leans back at the
// top, inclination + axis leans inward at the top.
type Angles struct {
	Camber      float64 // lean of the wheel's plane from the ground's vertical, about the wheel's own heading
	Toe         float64 // heading of the wheel from straight ahead seen from above, + inward
	Caster      float64 // steering axis projected on the side plane
	Inclination float64 // steering axis projected on the rear plane

	ScrubRadius   float64 // contact centre from AxisGround, across the heading, + outboard
	Trail         float64 // AxisGround from the contact centre, along the heading, + ahead
	SpindleLength float64 // wheel centre from the steering axis, level and across the heading, at the wheel centre's height, + outboard
	GroundHeight  float64 // of the ground above the body's origin, along the ground's vertical

	Centre     geom.Point // wheel centre, body axes
	Contact    geom.Point // contact centre, body axes
	AxisGround geom.Point // where the steering axis meets the ground, body axes
	Heading    geom.Point // unit, level
	Outboard   geom.Point // unit, level, square to Heading
}

// Angles sees the pose against the ground.
//
//	s  wheel's axis (unit, outboard)   u  ground's vertical   k  steering axis   C  wheel centre
//	camber γ = −asin(s·u)              heading h = s × u, levelled
//	contact centre = C − R_loaded·(u − (s·u)s)/cos γ, the steepest way down in the wheel's plane
//	caster = atan2(−k·x, k·u)          inclination = atan2(−k·y, k·u)
//
// SpindleLength is measured level at the wheel centre's height, as in W. F. and D. L. Milliken, Race Car
// Vehicle Dynamics, SAE 1995, ch. 17 (from memory); kingpin inclination turns it into the scrub radius.
func (p *Pose) Angles(w Wheel, g Ground) (a Angles) {
	k := p.Axis
	up := k.Dot(g.Up)
	a.Caster = math.Atan2(-k.Dot(g.Forward), up)
	a.Inclination = math.Atan2(-k.Dot(g.Up.Cross(g.Forward)), up)
	p.Steered(&a, w, g)
	return a
}

// Steered brings the Angles of a pose with the same arms and another rack to this pose: caster and inclination stay.
func (p *Pose) Steered(a *Angles, w Wheel, g Ground) {
	u, s, k := g.Up, p.Spin, p.Axis
	left := u.Cross(g.Forward)

	lean := s.Dot(u)
	perLevel := 1 / math.Sqrt(1-lean*lean)
	a.Camber = -math.Atan(lean * perLevel)
	ahead := s.Cross(u)
	a.Toe = math.Atan2(-ahead.Dot(left), ahead.Dot(g.Forward))
	a.Heading = ahead.Scale(perLevel)
	a.Outboard = u.Cross(a.Heading)
	perUp := 1 / k.Dot(u)

	a.Centre = p.Centre.Sub(s.Scale(w.OffsetChange))
	a.Contact = a.Centre.Sub(u.Sub(s.Scale(lean)).Scale(w.LoadedRadius * perLevel))
	a.GroundHeight = a.Contact.Dot(u)
	a.AxisGround = p.Lower.Add(k.Scale((a.GroundHeight - p.Lower.Dot(u)) * perUp))
	from := a.Contact.Sub(a.AxisGround)
	a.ScrubRadius = from.Dot(a.Outboard)
	a.Trail = -from.Dot(a.Heading)
	atCentre := p.Lower.Add(k.Scale(a.Centre.Sub(p.Lower).Dot(u) * perUp))
	a.SpindleLength = a.Centre.Sub(atCentre).Dot(a.Outboard)
}

// Rates is how fast the angles change in a motion, per unit of what drives it.
type Rates struct{ Camber, Toe, Caster, Inclination float64 }

// Rates gives the exact derivative of the angles for a motion of the knuckle in the pose.
func (p *Pose) Rates(t Twist, g Ground) Rates {
	u, s, k := g.Up, p.Spin, p.Axis
	left := u.Cross(g.Forward)
	ds, dk := t.Turn.Cross(s), t.Turn.Cross(k)
	lean := s.Dot(u)
	square := 1 - lean*lean
	sx, sy := s.Dot(g.Forward), s.Dot(left)
	up, back, in := k.Dot(u), -k.Dot(g.Forward), -k.Dot(left)
	return Rates{
		Camber: -ds.Dot(u) / math.Sqrt(square),
		// The heading turns as the wheel's axis does, seen from above; toe-in is a right turn of a left wheel.
		Toe:         -(sx*ds.Dot(left) - sy*ds.Dot(g.Forward)) / square,
		Caster:      (-dk.Dot(g.Forward)*up - back*dk.Dot(u)) / (back*back + up*up),
		Inclination: (-dk.Dot(left)*up - in*dk.Dot(u)) / (in*in + up*up),
	}
}

// JackRate is dz/dδ: how far the corner's body rises above the ground under its own wheel per radian of
// rotation about the steering axis (+ left), with the arms held; m/rad.
//
// The contact centre is the lowest place of the wheel's circle, so although it moves round the tyre as the
// wheel steers, its height changes at the rate of the material at it (the derivative of a minimum is the
// derivative at the minimum): dz/dδ = −(k × c)·u = −k·(c × u), with c from the axis to the contact centre.
// The vertical load W turns the wheel with k·(c × W·u) = −W·dz/dδ.
func (p *Pose) JackRate(a *Angles, g Ground) float64 {
	return -p.Axis.Dot(a.Contact.Sub(p.Lower).Cross(g.Up))
}
