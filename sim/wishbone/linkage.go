// Package wishbone is one two-arm front corner as a linkage of points, solved in closed form.
//
//	Hardpoints   where the joints and pivots were measured
//	Measured     what never changes however the corner is set: leg lengths and the shape of the knuckle
//	Settings     how far the adjusters have moved pivots and lengths from there
//	Linkage      a corner as set, ready to be posed; posing allocates nothing
//	Pose         where every moving part is, for one lower-arm angle (or wheel height) and one rack position
//	Twist        the knuckle's velocity in a pose, per unit of whatever moves it
//	Angles       a pose seen against the ground: camber, caster, toe, trail, scrub radius, contact centre
//
// The corner is a left one in ISO 8855:2011 body axes (x forward, y left, z up), lengths in metres, angles
// in radians. A right corner is described, set and read as if it were a left one; the caller mirrors it.
//
// # Method
//
// The mechanism has two freedoms, taken as the lower arm's angle about its pivot axis and the rack's place.
// With the arm's angle, the lower ball joint is known. The upper ball joint then lies on a circle about the
// upper pivot axis and on a sphere about the lower ball; the outer tie-rod joint lies on a circle about the
// steering axis (two spheres: about the lower and the upper ball) and on a sphere about the inner tie-rod
// joint. Each of these is one quadratic with two roots, told apart by a sign that can change only where the
// links lie in line, so the root with the measured position's sign is the one that the corner can move to.
// A wheel height takes one bracketed Newton iteration on the arm's angle, with the exact slope.
//
// These are the constraints of the five-link description of independent suspensions with two pairs of links
// joined at a ball (e.g. W. Matschinsky, Radführungen der Straßenfahrzeuge, 3rd ed., Springer 2007, ch. 3,
// from memory); the closed form by circle and sphere is our own working.
package wishbone

import (
	"errors"
	"math"

	"turnplate/sim/geom"
)

// Hardpoints are the measured places of a left corner, in body axes.
type Hardpoints struct {
	UpperFront, UpperRear, UpperBall geom.Point // upper arm: pivots and ball joint
	LowerFront, LowerRear, LowerBall geom.Point // lower arm: pivots and ball joint
	TieInner, TieOuter               geom.Point // tie rod: joint on the rack, joint on the knuckle
	WheelCentre                      geom.Point // on the wheel's axis, in the tyre's middle plane
	Spin                             geom.Point // direction of the wheel's axis, outboard (+y); any length
}

// Settings is how far the adjusters stand from where the hardpoints were measured. The zero value is the
// corner as measured.
type Settings struct {
	LowerFront, LowerRear       float64 // lower-arm pivots moved by this in +y, and in no other direction
	UpperShift                  float64 // upper arm slid rearward along its own pivot axis
	UpperFrontLeg, UpperRearLeg float64 // upper arm's legs (pivot to ball joint) made longer
	TieRod                      float64 // tie rod made longer
}

// Joint names used by Unreachable.
const (
	LowerBallJoint = "lower ball joint"
	UpperBallJoint = "upper ball joint"
	OuterTieJoint  = "outer tie-rod joint"
	WheelHeight    = "wheel height"
)

// Unreachable says which part of the corner can't get to where it was asked to be.
type Unreachable struct{ Joint string }

func (e Unreachable) Error() string { return e.Joint + " can't be reached" }

// Degenerate says that the measured points don't describe a two-arm corner, and why.
type Degenerate struct{ Why string }

func (e Degenerate) Error() string { return e.Why }

// Errors are made once, so that a pose that can't be costs no allocation either.
var (
	errLower  error = Unreachable{LowerBallJoint}
	errUpper  error = Unreachable{UpperBallJoint}
	errTie    error = Unreachable{OuterTieJoint}
	errHeight error = Unreachable{WheelHeight}
)

// tiny is the length in metres below which two joints count as the same place: a thousandth of a millimetre,
// far finer than anyone measures and far coarser than rounding.
const tiny = 1e-6

// Measured is a corner's fixed shape: what stays the same whichever way it is set and moved.
type Measured struct {
	at Hardpoints

	lowerFrontLeg, lowerRearLeg float64 // pivot to ball joint
	upperFrontLeg, upperRearLeg float64
	tieRod                      float64

	lowerTurn, upperTurn float64 // ±1: sense of each arm's axis that makes a rising ball a growing angle

	// The knuckle. Its frame stands at the lower ball: along the steering axis, towards the outer
	// tie-rod joint square to the axis, and the third direction.
	axisLength float64    // lower to upper ball
	tieHeight  float64    // how far along the axis the tie-rod joint stands
	tieArm     float64    // its distance from the axis
	frame      frame      // as measured
	centre     geom.Point // wheel centre, in the knuckle's frame
	spin       geom.Point // wheel's axis, in the knuckle's frame

	upperSide, tieSide float64 // ±1: which of the two roots the measured position is

	lowerAsMeasured, upperAsMeasured arm // in which places on the arms are described
}

// Measure takes in the hardpoints. It fails with Degenerate when two joints that must be apart coincide or
// an arm or the steering arm has no length, and with Unreachable when the corner as measured stands exactly
// where a joint's links lie in line, so that it could go either way.
func Measure(h Hardpoints) (Measured, error) {
	m := Measured{at: h, lowerTurn: 1, upperTurn: 1}
	for _, p := range [...]struct {
		a, b geom.Point
		why  string
	}{
		{h.LowerFront, h.LowerRear, "the lower arm's two pivots are in the same place"},
		{h.UpperFront, h.UpperRear, "the upper arm's two pivots are in the same place"},
		{h.LowerBall, h.UpperBall, "the two ball joints are in the same place"},
		{h.TieInner, h.TieOuter, "the tie rod's two joints are in the same place"},
		{h.Spin, geom.Point{}, "the wheel's axis has no direction"},
	} {
		if !(p.a.Sub(p.b).Norm() > tiny) { // so put that NaN is caught too
			return m, Degenerate{p.why}
		}
	}
	m.lowerFrontLeg = h.LowerBall.Sub(h.LowerFront).Norm()
	m.lowerRearLeg = h.LowerBall.Sub(h.LowerRear).Norm()
	m.upperFrontLeg = h.UpperBall.Sub(h.UpperFront).Norm()
	m.upperRearLeg = h.UpperBall.Sub(h.UpperRear).Norm()
	m.tieRod = h.TieOuter.Sub(h.TieInner).Norm()

	var ok bool
	m.lowerAsMeasured, ok = newArm(h.LowerFront, h.LowerRear, m.lowerFrontLeg, m.lowerRearLeg, h.LowerBall, 1)
	if !ok {
		return m, Degenerate{"the lower ball joint lies on the lower arm's pivot axis"}
	}
	m.upperAsMeasured, ok = newArm(h.UpperFront, h.UpperRear, m.upperFrontLeg, m.upperRearLeg, h.UpperBall, 1)
	if !ok {
		return m, Degenerate{"the upper ball joint lies on the upper arm's pivot axis"}
	}
	m.lowerTurn, m.upperTurn = m.lowerAsMeasured.raise(), m.upperAsMeasured.raise()

	axis := h.UpperBall.Sub(h.LowerBall)
	m.axisLength = axis.Norm()
	k := axis.Scale(1 / m.axisLength)
	m.tieHeight = h.TieOuter.Sub(h.LowerBall).Dot(k)
	arm := h.TieOuter.Sub(h.LowerBall.Add(k.Scale(m.tieHeight)))
	m.tieArm = arm.Norm()
	if !(m.tieArm > tiny) {
		return m, Degenerate{"the outer tie-rod joint lies on the steering axis"}
	}
	g := arm.Scale(1 / m.tieArm)
	m.frame = frame{k, g, k.Cross(g)}
	m.centre = m.frame.into(h.WheelCentre.Sub(h.LowerBall))
	m.spin = m.frame.into(h.Spin.Unit())

	// Which root: the side on which the ball lies of the line through the other two joints.
	side := m.upperAsMeasured.e2.Dot(h.LowerBall.Sub(m.upperAsMeasured.centre))
	if math.Abs(side) < tiny {
		return m, errUpper
	}
	m.upperSide = -sign(side)
	side = arm.Dot(k.Cross(h.TieInner.Sub(h.LowerBall)))
	if math.Abs(side) < tiny*tiny {
		return m, errTie
	}
	m.tieSide = sign(side)
	return m, nil
}

// Linkage is a corner as set, with everything computed once that doesn't change as it moves.
type Linkage struct {
	Measured
	set Settings

	lower, upper arm
	inner        geom.Point // inner tie-rod joint with the rack in its middle
	rod          float64    // tie rod as set

	// For the lower arm at angle t the upper ball joint's place on its circle solves
	// A·cos + B·sin = C; each is affine in (cos t, sin t).
	a, b, c   affine
	reach0    float64 // A² + B² − C² at t = 0; negative: out of reach
	reachBend float64 // greatest |second derivative| of A² + B² − C² in t

	// The wheel centre's height and its slope at t = 0 with the rack in its middle, from which a search for a
	// height starts. NaN when that pose can't be reached.
	startZ, startRise float64
}

// Set gives the corner with its adjusters at s.
//
// The lower arm keeps the distance from each pivot to its ball joint: when the cams move the two pivots by
// unlike amounts the distance between the pivots changes by a second-order amount (the rubber or the slot's
// play takes it, a few hundredths of a millimetre), and it is the steel from pivot to ball that stays true. The upper
// arm's ball joint is where its two legs, each as long as set, meet in the arm's plane.
//
// The error is Unreachable with the ball joint whose two legs can't meet.
func (m *Measured) Set(s Settings) (l Linkage, err error) {
	if err = l.Assemble(m, s); err != nil {
		return l, err
	}
	l.startZ, l.startRise = math.NaN(), math.NaN()
	if p, err := l.At(0, 0); err == nil {
		l.startZ, l.startRise = p.Centre.Z, l.rise(&p)
	}
	return l, nil
}

// Assemble makes l what Set gives, without working out where a search for a height starts: for a linkage that is posed
// by Raise alone.
func (l *Linkage) Assemble(m *Measured, s Settings) error {
	l.Measured, l.set, l.inner, l.rod = *m, s, m.at.TieInner, m.tieRod+s.TieRod
	h := &m.at
	across := geom.Point{Y: 1}
	var ok bool
	l.lower, ok = newArm(h.LowerFront.Add(across.Scale(s.LowerFront)), h.LowerRear.Add(across.Scale(s.LowerRear)),
		m.lowerFrontLeg, m.lowerRearLeg, h.LowerBall, m.lowerTurn)
	if !ok {
		return errLower
	}
	shift := rearward(h.UpperFront, h.UpperRear).Scale(s.UpperShift)
	l.upper, ok = newArm(h.UpperFront.Add(shift), h.UpperRear.Add(shift),
		m.upperFrontLeg+s.UpperFrontLeg, m.upperRearLeg+s.UpperRearLeg, h.UpperBall.Add(shift), m.upperTurn)
	if !ok {
		return errUpper
	}
	if !(l.rod > tiny) {
		return errTie
	}
	l.precompute()
	return nil
}

// New measures and sets in one step.
func New(h Hardpoints, s Settings) (Linkage, error) {
	m, err := Measure(h)
	if err != nil {
		return Linkage{}, err
	}
	return m.Set(s)
}

// precompute fills the affine parts of the upper ball joint's equation. With d from the upper circle's
// centre to the lower ball, R the upper circle's radius and K the distance between the balls,
// |R(f1·cos + f2·sin) − d| = K gives A = f1·d, B = f2·d, C = (R² + d² − K²)/(2R).
func (l *Linkage) precompute() {
	lo, up := &l.lower, &l.upper
	d := lo.centre.Sub(up.centre)
	l.a = affine{up.e1.Dot(d), lo.radius * up.e1.Dot(lo.e1), lo.radius * up.e1.Dot(lo.e2)}
	l.b = affine{up.e2.Dot(d), lo.radius * up.e2.Dot(lo.e1), lo.radius * up.e2.Dot(lo.e2)}
	l.c = affine{
		(up.radius*up.radius + d.Dot(d) + lo.radius*lo.radius - l.axisLength*l.axisLength) / (2 * up.radius),
		lo.radius * d.Dot(lo.e1) / up.radius,
		lo.radius * d.Dot(lo.e2) / up.radius,
	}
	l.reach0, _ = l.reach(0)
	// A² + B² − C² has the harmonics 0, 1 and 2; its second derivative is at most the sum of their
	// amplitudes times 1 and 4.
	quad := func(f func(affine) float64) float64 { return f(l.a) + f(l.b) - f(l.c) }
	first := math.Hypot(
		quad(func(q affine) float64 { return 2 * q.one * q.cos }),
		quad(func(q affine) float64 { return 2 * q.one * q.sin }))
	second := math.Hypot(
		quad(func(q affine) float64 { return (q.cos*q.cos - q.sin*q.sin) / 2 }),
		quad(func(q affine) float64 { return q.cos * q.sin }))
	l.reachBend = first + 4*second
}

// reach gives A² + B² − C² at lower-arm angle t, and its slope.
func (l *Linkage) reach(t float64) (value, slope float64) {
	sin, cos := math.Sincos(t)
	a, b, c := l.a.at(cos, sin), l.b.at(cos, sin), l.c.at(cos, sin)
	return a*a + b*b - c*c, 2 * (a*l.a.slope(cos, sin) + b*l.b.slope(cos, sin) - c*l.c.slope(cos, sin))
}

// affine is one + cos·cos t + sin·sin t.
type affine struct{ one, cos, sin float64 }

func (q affine) at(cos, sin float64) float64    { return q.one + q.cos*cos + q.sin*sin }
func (q affine) slope(cos, sin float64) float64 { return q.sin*cos - q.cos*sin }

// arm is the circle on which an arm's ball joint moves: centre + radius·(e1·cos t + e2·sin t), about axis.
type arm struct {
	front, rear  geom.Point
	centre, axis geom.Point
	e1, e2       geom.Point // t = 0 is nearest to where the ball joint was measured
	radius       float64
}

// newArm builds the triangle pivot, pivot, ball joint from its two legs. turn chooses the sense of the axis.
// It isn't ok when the legs can't meet off the axis.
func newArm(front, rear geom.Point, frontLeg, rearLeg float64, measured geom.Point, turn float64) (arm, bool) {
	a := arm{front: front, rear: rear}
	along := front.Sub(rear)
	base := along.Norm()
	u := along.Scale(1 / base)
	foot := (rearLeg*rearLeg - frontLeg*frontLeg + base*base) / (2 * base)
	square := rearLeg*rearLeg - foot*foot
	if !(square > tiny*tiny) || !(frontLeg > 0) || !(rearLeg > 0) {
		return a, false
	}
	a.radius = math.Sqrt(square)
	a.centre = rear.Add(u.Scale(foot))
	out := measured.Sub(a.centre)
	out = out.Sub(u.Scale(out.Dot(u)))
	a.axis = u.Scale(turn)
	a.e1 = out.Unit()
	a.e2 = a.axis.Cross(a.e1)
	return a, true
}

// raise turns the arm's sense about, where needed, so that a growing angle raises its ball joint from where it
// was measured, and gives the factor that was needed.
func (a *arm) raise() float64 {
	if a.e2.Z >= 0 {
		return 1
	}
	a.axis, a.e2 = a.axis.Scale(-1), a.e2.Scale(-1)
	return -1
}

// rearward is the direction in which spacers move the upper arm.
func rearward(front, rear geom.Point) geom.Point {
	u := rear.Sub(front).Unit()
	if u.X > 0 {
		return u.Scale(-1)
	}
	return u
}

// frame is three directions square to one another, right-handed.
type frame struct{ k, g, n geom.Point }

func (f *frame) into(p geom.Point) geom.Point {
	return geom.Point{X: p.Dot(f.k), Y: p.Dot(f.g), Z: p.Dot(f.n)}
}

func (f *frame) out(p geom.Point) geom.Point {
	return geom.Point{
		X: p.X*f.k.X + p.Y*f.g.X + p.Z*f.n.X,
		Y: p.X*f.k.Y + p.Y*f.g.Y + p.Z*f.n.Y,
		Z: p.X*f.k.Z + p.Y*f.g.Z + p.Z*f.n.Z,
	}
}

func sign(x float64) float64 {
	if x < 0 {
		return -1
	}
	return 1
}

// IsUnreachable tells whether err names a joint that can't be reached, and which.
func IsUnreachable(err error) (joint string, ok bool) {
	var u Unreachable
	ok = errors.As(err, &u)
	return u.Joint, ok
}
