package wishbone

import (
	"math"

	"turnplate/sim/geom"
	"turnplate/sim/root"
)

// Pose is where the moving parts of a corner are.
type Pose struct {
	LowerAngle float64    // lower arm's angle about its pivot axis from about where it was measured, + ball joint up
	Rack       float64    // inner tie-rod joint moved by this in +y
	Lower      geom.Point // lower ball joint
	Upper      geom.Point // upper ball joint
	TieInner   geom.Point // inner tie-rod joint
	TieOuter   geom.Point // outer tie-rod joint
	Axis       geom.Point // steering axis, a unit direction from the lower to the upper ball joint
	Centre     geom.Point // wheel centre as measured, carried by the knuckle
	Spin       geom.Point // the wheel's axis, a unit direction, outboard

	knuckle      frame
	lowerTangent geom.Point // d Lower / d LowerAngle
	upperTangent geom.Point // d Upper / d(upper arm's angle)
}

// At gives the pose with the lower arm at angle t and the inner tie-rod joint moved by rack in +y.
//
// The pose is one the corner can move to from the measured position, first by swinging the arms and then by
// moving the rack: a place that has a solution but lies beyond a point where links come into line is out of
// reach. For the upper joint and the rack this is proved by a bound on curvature (see clearTo), not sampled.
// The error is Unreachable with UpperBallJoint or OuterTieJoint.
func (l *Linkage) At(t, rack float64) (p Pose, err error) {
	err = l.pose(&p, t, rack)
	return p, err
}

func (l *Linkage) pose(p *Pose, t, rack float64) error {
	if err := l.swing(p, t); err != nil {
		return err
	}
	return l.Steer(p, rack)
}

// swing places what the arms carry: the ball joints, and with them the steering axis.
func (l *Linkage) swing(p *Pose, t float64) error {
	// The lower ball joint, from the arm's angle.
	sin, cos := math.Sincos(t)
	lo, up := &l.lower, &l.upper
	p.LowerAngle = t
	p.Lower = lo.centre.Add(turned(lo, cos, sin))
	p.lowerTangent = turned(lo, -sin, cos)

	// The upper ball joint: circle about the pivot axis, sphere about the lower ball.
	a, b, c := l.a.at(cos, sin), l.b.at(cos, sin), l.c.at(cos, sin)
	square := a*a + b*b
	reach := square - c*c
	if !(reach > 0) || !(l.reach0 > 0) || !(math.Abs(t) < math.Pi/2) {
		return errUpper
	}
	if least := l.reachBend * t * t / 8; (reach < least || l.reach0 < least) && !clearTo(t, l.reachBend, l.reach) {
		return errUpper
	}
	root, perSquare := l.upperSide*math.Sqrt(reach), 1/square
	upCos, upSin := (a*c-b*root)*perSquare, (b*c+a*root)*perSquare
	p.Upper = up.centre.Add(turned(up, upCos, upSin))
	p.upperTangent = turned(up, -upSin, upCos)
	p.Axis = p.Upper.Sub(p.Lower).Scale(1 / l.axisLength)
	return nil
}

// Steer moves the rack of a pose of this linkage to rack, with the arms held. The error is Unreachable with
// OuterTieJoint.
func (l *Linkage) Steer(p *Pose, rack float64) error {
	// The outer tie-rod joint: circle about the steering axis, sphere about the inner joint.
	k := p.Axis
	p.Rack, p.TieInner = rack, l.inner
	p.TieInner.Y += rack
	q := p.Lower.Add(k.Scale(l.tieHeight))
	w := p.TieInner.Sub(q)
	ww, wk := w.Dot(w), w.Dot(k)
	flat := w.Sub(k.Scale(wk))
	flatSquare := flat.Dot(flat)
	e := (l.tieArm*l.tieArm + ww - l.rod*l.rod) / 2
	reach := l.tieArm*l.tieArm*flatSquare - e*e
	if !(reach > 0) || rack != 0 && !l.rackClear(ww-rack*(2*w.Y-rack), wk-rack*k.Y, w.Y-rack, k.Y, rack, reach) {
		return errTie
	}
	side := k.Cross(w) // also k × flat
	perArm := 1 / (flatSquare * l.tieArm)
	along, across := e*perArm, l.tieSide*math.Sqrt(reach)*perArm
	g := flat.Scale(along).Add(side.Scale(across))
	p.TieOuter = q.Add(g.Scale(l.tieArm))

	// The rest of the knuckle follows its three joints.
	p.knuckle = frame{k, g, side.Scale(along).Sub(flat.Scale(across))} // the third is k × g
	p.Centre = p.Lower.Add(p.knuckle.out(l.centre))
	p.Spin = p.knuckle.out(l.spin)
	return nil
}

// turned is the arm of the circle at the angle with this cosine and sine.
func turned(a *arm, cos, sin float64) geom.Point {
	c, s := a.radius*cos, a.radius*sin
	return geom.Point{X: c*a.e1.X + s*a.e2.X, Y: c*a.e1.Y + s*a.e2.Y, Z: c*a.e1.Z + s*a.e2.Z}
}

// rackClear tells whether the rack can move from its middle to rack without the tie rod and the steering arm
// coming into line. With w from the tie circle's centre to the inner joint, the rack in its middle, ww is w²,
// wk is w·k and wy and ky are sideways parts; end is the reach at the end. The reach
// H = ρ²(w² − (w·k)²) − ((ρ² + w² − rod²)/2)² is a quartic in the rack's place whose second derivative is at
// most 2ρ²(1 − k_y²) − (ρ² − rod² + least w²).
func (l *Linkage) rackClear(ww, wk, wy, ky, rack, end float64) bool {
	rho := l.tieArm * l.tieArm
	lack := rho - l.rod*l.rod
	e := (lack + ww) / 2
	start := rho*(ww-wk*wk) - e*e
	if !(start > 0) {
		return false
	}
	bend := 2*rho*(1-ky*ky) - (lack + ww - wy*wy)
	if least := bend * rack * rack / 8; bend <= 0 || start > least && end > least {
		return true
	}
	return clearTo(rack, bend, func(s float64) (float64, float64) {
		n, p := ww+2*s*wy+s*s, wk+s*ky
		e := (lack + n) / 2
		half := wy + s // half the slope of n
		return rho*(n-p*p) - e*e, 2*rho*(half-p*ky) - 2*e*half
	})
}

// clearTo tells whether f stays positive from 0 to end, given that its second derivative is nowhere below
// −bend. From a place with value g and slope d the parabola g + d·h − bend·h²/2 lies below f, so as far as
// the parabola is positive f is too: the march can't step over a gap, however narrow.
func clearTo(end, bend float64, f func(float64) (value, slope float64)) bool {
	const (
		mostSteps = 200
		// A step this small a share of the way means that the march is closing in on a zero.
		leastStep = 1e-9
	)
	towards := sign(end)
	for at, i := 0.0, 0; i < mostSteps; i++ {
		g, d := f(at)
		if !(g > 0) {
			return false
		}
		d *= towards
		step := (d + math.Sqrt(d*d+2*bend*g)) / bend
		if math.Abs(end-at) <= step {
			return true
		}
		if step < leastStep*math.Abs(end) {
			return false
		}
		at += towards * step
	}
	return false
}

// heightClose is a ten-millionth of the promised 1e-6 mm, and a few hundred roundings of a length in metres.
const heightClose = 1e-13

// angleStep is the most, in rad, that the arm swings between two places at which reach is checked in a search
// for a height: finer than any gap in the tie rod's reach that a real corner could have.
const angleStep = 0.15

// AtHeight gives the pose with the measured wheel centre at height z (body axes) and the inner tie-rod joint
// moved by rack in +y. The search starts near where the lower arm was measured, as Raise does from elsewhere.
func (l *Linkage) AtHeight(z, rack float64) (p Pose, err error) {
	near := 0.0
	if guess := (z - l.startZ) / l.startRise; math.Abs(guess) <= angleStep {
		near = guess
	}
	err = l.Raise(&p, z, rack, near)
	return p, err
}

// Raise brings p to where the measured wheel centre is at height z, from a guess of the lower arm's angle: it follows
// the wheel up or down with the exact slope, kept inside a shrinking bracket and to places that can be reached. What
// was in p doesn't matter.
//
// The error is Unreachable: with UpperBallJoint or OuterTieJoint when that joint ends the travel before the
// height is reached, with WheelHeight when the wheel turns back before it.
func (l *Linkage) Raise(p *Pose, z, rack, near float64) error {
	search := root.Search{
		From:  near,
		Least: -math.Pi / 2, Most: math.Pi / 2,
		Step:       angleStep,
		Close:      heightClose,
		Resolution: 1e-14, // rad
	}
	miss := func(t float64) (miss, rise float64, err error) {
		if err = l.pose(p, t, rack); err != nil {
			return 0, 0, err
		}
		return p.Centre.Z - z, l.rise(p), nil
	}
	_, err := search.Follow(miss)
	if err != nil && search.From != 0 { // the guess may lie beyond the end of a travel that holds the height
		search.From = 0
		_, err = search.Follow(miss)
	}
	if err == root.ErrTurnsBack || err == root.ErrEnd {
		err = errHeight
	}
	return err
}

// OnKnuckle describes a measured place in the knuckle's own axes, for Pose.Knuckle.
func (m *Measured) OnKnuckle(at geom.Point) geom.Point { return m.frame.into(at.Sub(m.at.LowerBall)) }

// AlongKnuckle describes a measured direction in the knuckle's own axes, for Pose.KnuckleDirection.
func (m *Measured) AlongKnuckle(direction geom.Point) geom.Point { return m.frame.into(direction) }

// Knuckle gives where a place on the knuckle is, from its description by OnKnuckle.
func (p *Pose) Knuckle(local geom.Point) geom.Point { return p.Lower.Add(p.knuckle.out(local)) }

// KnuckleDirection gives where a direction fixed to the knuckle points, from AlongKnuckle.
func (p *Pose) KnuckleDirection(local geom.Point) geom.Point { return p.knuckle.out(local) }

// Moved gives the pose after a small movement of the knuckle, to second order in its turning: what gives way moves it away
// from where rigid links would hold it. The arms' own motions stay those of the pose.
func (p *Pose) Moved(t Twist) Pose {
	turned := func(v geom.Point) geom.Point {
		once := t.Turn.Cross(v)
		return v.Add(once).Add(t.Turn.Cross(once).Scale(0.5)).Unit().Scale(v.Norm())
	}
	at := func(x geom.Point) geom.Point { return t.About.Add(t.Move).Add(turned(x.Sub(t.About))) }
	q := *p
	q.Lower, q.Upper, q.TieOuter, q.Centre = at(p.Lower), at(p.Upper), at(p.TieOuter), at(p.Centre)
	q.Axis, q.Spin = turned(p.Axis), turned(p.Spin)
	g := turned(p.knuckle.g)
	q.knuckle = frame{q.Axis, g, q.Axis.Cross(g)}
	return q
}

// OnLowerArm gives where a place on the lower arm is that was measured at `at`. It keeps its place in the arm:
// along the pivot axis from the foot of the ball joint, towards the ball joint, and square to both.
func (l *Linkage) OnLowerArm(p *Pose, at geom.Point) geom.Point {
	return carry(&l.lowerAsMeasured, &l.lower, p.Lower, at)
}

// OnUpperArm does the same for the upper arm.
func (l *Linkage) OnUpperArm(p *Pose, at geom.Point) geom.Point {
	return carry(&l.upperAsMeasured, &l.upper, p.Upper, at)
}

func carry(measured, now *arm, ball, at geom.Point) geom.Point {
	from := frame{measured.axis, measured.e1, measured.e2}
	out := ball.Sub(now.centre).Scale(1 / now.radius)
	to := frame{now.axis, out, now.axis.Cross(out)}
	return now.centre.Add(to.out(from.into(at.Sub(measured.centre))))
}

// UpperArmNormal is the direction square to the upper arm's plane, upward, in which the socket of its ball
// joint is taken to point.
func (l *Linkage) UpperArmNormal(p *Pose) geom.Point { return p.upperTangent.Scale(1 / l.upper.radius) }

// LowerArmNormal is the same of the lower arm.
func (l *Linkage) LowerArmNormal(p *Pose) geom.Point { return p.lowerTangent.Scale(1 / l.lower.radius) }

// Pivots gives where the four pivots stand as set: they don't move with the pose.
func (l *Linkage) Pivots() (lowerFront, lowerRear, upperFront, upperRear geom.Point) {
	return l.lower.front, l.lower.rear, l.upper.front, l.upper.rear
}
