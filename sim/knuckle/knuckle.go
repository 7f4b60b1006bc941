// Package knuckle holds the statics of a two-arm front corner: which forces its joints carry for given forces on the
// wheel, on plain numbers and points in SI units.
//
//	Linkage     where joints, pivots and spring are
//	Load        a force and a moment on the wheel or the knuckle
//	Balance     Linkage.Balance solves for the forces at the joints
//	Reactions   those forces, and what is left over of the equilibrium
//
// # The six equations
//
// The knuckle with its wheel is one rigid body held by three joints. An arm without a spring can only push and
// pull in its own plane (the ball joint gives no moment, the pivots no torque about their axis), so its ball
// joint brings two unknown forces; the arm that carries the spring brings three; the tie rod brings one, along
// itself. Six unknowns for the three force and three moment equations of the knuckle. The spring's force then
// follows from the moments of its arm about the pivot axis, and the pivots' forces from the rest of each arm's
// equilibrium.
//
// Arms, spring and rod are taken without weight, joints without friction and rubber bushings without stiffness
// of their own in twist. Thrust along an arm's pivot axis can't be divided between its two bushings by statics;
// equal halves are taken, as for bushings of equal stiffness.
//
// The same setting up of the knuckle's equilibrium is described in M. Blundell and D. Harty, The Multibody
// Systems Approach to Vehicle Dynamics, ch. 4 (from memory).
package knuckle

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"

	"turnplate/sim/geom"
)

// Arm is one of the two arms: its pivots on the body and its ball joint on the knuckle.
type Arm struct{ Front, Rear, Ball geom.Point }

// Linkage is a corner in one position.
type Linkage struct {
	Upper, Lower           Arm
	TieInner, TieOuter     geom.Point // joints on the rack and on the knuckle
	SpringArm, SpringFrame geom.Point // the spring's end on its arm and on the body
	OnUpper                bool       // the upper arm carries the spring
}

// Load is a force acting at a place, and a moment.
type Load struct{ At, Force, Moment geom.Point }

// Reactions is what the joints carry. A force is what the named part does to its neighbour on the wheel's side:
// an arm to the knuckle at its ball joint, the tie rod to the knuckle, the body to an arm at a pivot.
type Reactions struct {
	Upper, Lower, Tie     geom.Point // on the knuckle
	Tension               float64    // of the tie rod; below zero it's pushed
	UpperFront, UpperRear geom.Point // on the upper arm
	LowerFront, LowerRear geom.Point // on the lower arm
	Spring                float64    // + pressed
	SpringOnArm           geom.Point
	Residual              float64 // N: largest sum of forces left over on the knuckle or an arm
	ResidualMoment        float64 // N·m: largest sum of moments left over, about a ball joint
}

// Errors of a corner that can't hold its wheel.
var (
	ErrLoose = errors.New("the joints don't hold the knuckle in this position: an arm lies in line with the steering axis, or the tie rod points at it")
	ErrSlack = errors.New("the spring can't hold its arm up: its line of force meets the arm's pivot axis")
)

// poorest is the condition number past which the joints are taken as not holding the knuckle: forces would be a
// million times the load and more.
const poorest = 1e8

// tiny is a length, in m, below which two places count as one.
const tiny = 1e-6

// Balance gives the forces at the joints under the given loads.
func (l *Linkage) Balance(loads ...Load) (Reactions, error) {
	about := l.Lower.Ball
	size := l.Upper.Ball.Sub(about).Norm() // makes moments comparable with forces
	var u unknowns
	free, carrying := l.Lower, l.Upper
	if !l.OnUpper {
		free, carrying = l.Upper, l.Lower
	}
	in1, in2, ok := free.plane()
	if !ok || !(size > tiny) {
		return Reactions{}, ErrLoose
	}
	u.add(in1, free.Ball.Sub(about), size)
	u.add(in2, free.Ball.Sub(about), size)
	for _, axis := range [...]geom.Point{{X: 1}, {Y: 1}, {Z: 1}} {
		u.add(axis, carrying.Ball.Sub(about), size)
	}
	rod := l.TieInner.Sub(l.TieOuter).Unit()
	u.add(rod, l.TieOuter.Sub(about), size)

	force, moment := sum(about, loads)
	x, err := u.solve(force, moment.Scale(1/size))
	if err != nil {
		return Reactions{}, err
	}
	inPlane := in1.Scale(x[0]).Add(in2.Scale(x[1]))
	held := geom.Point{X: x[2], Y: x[3], Z: x[4]}
	r := Reactions{Upper: inPlane, Lower: held, Tension: x[5], Tie: rod.Scale(x[5])}
	if l.OnUpper {
		r.Upper, r.Lower = held, inPlane
	}
	if err := l.spring(&r, carrying, held); err != nil {
		return Reactions{}, err
	}
	onUpper, onLower := geom.Point{}, r.SpringOnArm
	if l.OnUpper {
		onUpper, onLower = r.SpringOnArm, geom.Point{}
	}
	r.UpperFront, r.UpperRear = l.Upper.pivots(r.Upper, l.SpringArm, onUpper)
	r.LowerFront, r.LowerRear = l.Lower.pivots(r.Lower, l.SpringArm, onLower)
	l.check(&r, loads, onUpper, onLower)
	return r, nil
}

// plane gives two directions, square to each other, that span the arm's plane.
func (a *Arm) plane() (in1, in2 geom.Point, ok bool) {
	in1 = a.Front.Sub(a.Rear).Unit()
	out := a.Ball.Sub(a.Rear)
	out = out.Sub(in1.Scale(out.Dot(in1)))
	return in1, out.Unit(), out.Norm() > tiny && in1.Norm() > 0
}

// spring finds the spring's force from the moments about its arm's pivot axis: the knuckle's −ball force and the
// spring must balance there.
func (l *Linkage) spring(r *Reactions, arm Arm, ball geom.Point) error {
	axis := arm.Front.Sub(arm.Rear).Unit()
	push := l.SpringArm.Sub(l.SpringFrame).Unit() // on the arm, when pressed
	lever := axis.Dot(l.SpringArm.Sub(arm.Rear).Cross(push))
	if !(math.Abs(lever) > 1e-4) { // m: a tenth of a millimetre
		return ErrSlack
	}
	r.Spring = axis.Dot(arm.Ball.Sub(arm.Rear).Cross(ball)) / lever
	r.SpringOnArm = push.Scale(r.Spring)
	return nil
}

// pivots gives the body's forces on the arm: square to the pivot axis from moments about the other pivot, along it in
// equal halves.
func (a *Arm) pivots(ball, springAt, spring geom.Point) (front, rear geom.Point) {
	total := ball.Sub(spring)
	base := a.Front.Sub(a.Rear)
	moment := a.Ball.Sub(a.Rear).Cross(ball).Sub(springAt.Sub(a.Rear).Cross(spring))
	axis := base.Unit()
	along := axis.Scale(total.Dot(axis) / 2)
	front = moment.Cross(base).Scale(1 / base.Dot(base)).Add(along)
	return front, total.Sub(front)
}

// check adds up forces and moments anew on each of the three bodies.
func (l *Linkage) check(r *Reactions, loads []Load, onUpper, onLower geom.Point) {
	force := func(at, f geom.Point) Load { return Load{At: at, Force: f} }
	all := func(about geom.Point, loads ...Load) {
		f, m := sum(about, loads)
		r.Residual = math.Max(r.Residual, f.Norm())
		r.ResidualMoment = math.Max(r.ResidualMoment, m.Norm())
	}
	knuckle := append([]Load{force(l.Upper.Ball, r.Upper), force(l.Lower.Ball, r.Lower), force(l.TieOuter, r.Tie)}, loads...)
	all(l.Upper.Ball, knuckle...)
	all(l.Upper.Ball, force(l.Upper.Ball, r.Upper.Scale(-1)), force(l.Upper.Front, r.UpperFront), force(l.Upper.Rear, r.UpperRear), force(l.SpringArm, onUpper))
	all(l.Lower.Ball, force(l.Lower.Ball, r.Lower.Scale(-1)), force(l.Lower.Front, r.LowerFront), force(l.Lower.Rear, r.LowerRear), force(l.SpringArm, onLower))
}

// sum gives the resultant of loads about a place.
func sum(about geom.Point, loads []Load) (force, moment geom.Point) {
	for _, l := range loads {
		force = force.Add(l.Force)
		moment = moment.Add(l.Moment).Add(l.At.Sub(about).Cross(l.Force))
	}
	return force, moment
}

// unknowns is the system of six equations, filled column by column.
type unknowns struct {
	matrix [36]float64
	filled int
}

// add brings in an unknown force along a direction.
func (u *unknowns) add(direction, arm geom.Point, size float64) {
	moment := arm.Cross(direction).Scale(1 / size)
	for row, value := range [6]float64{direction.X, direction.Y, direction.Z, moment.X, moment.Y, moment.Z} {
		u.matrix[6*row+u.filled] = value
	}
	u.filled++
}

// solve finds the unknowns that balance a force and a (scaled) moment.
func (u *unknowns) solve(force, moment geom.Point) ([]float64, error) {
	right := []float64{-force.X, -force.Y, -force.Z, -moment.X, -moment.Y, -moment.Z}
	var lu mat.LU
	lu.Factorize(mat.NewDense(6, 6, u.matrix[:]))
	x := mat.NewVecDense(6, nil)
	if cond := lu.Cond(); !(cond < poorest) {
		return nil, ErrLoose
	}
	if err := lu.SolveVecTo(x, false, mat.NewVecDense(6, right)); err != nil {
		return nil, ErrLoose
	}
	return x.RawVector().Data, nil
}
