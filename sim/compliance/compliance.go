// Package compliance holds the small movements of a two-arm front corner under load: what bushes, tie rod and coil give,
// linear about a pose, on plain numbers and points in SI units.
//
//	Bush     a rubber bush or a joint at an arm's pivot: stiffness along and across its axis, in twist and in tilt
//	Corner   two arms on their bushes, a knuckle on their ball joints, a tie rod and a coil
//	Load     a force and a moment on the knuckle
//	Give     Corner.Give solves for the knuckle's movement
//
// # The equations
//
// The knuckle moves by u at its reference and turns by θ; each arm shares its ball joint's place with the knuckle and turns
// by an angle of its own: twelve unknowns. Every bush stores the energy of its six stiffnesses, K_t = k_a·P + k_r·(I − P) and
// K_θ = k_t·P + k_c·(I − P) with P = e·eᵀ and e the line through its arm's pivots; the rod and the coil that of one
// stiffness along themselves. The sum's second derivative is the stiffness matrix K. What is rigid is a condition A·q = 0
// instead, and so is the reference's height where it is held: with N a basis of A's null space (by singular values),
// q = N·(Nᵀ·K·N)⁻¹·Nᵀ·F.
//
// The structure is that of M. Blundell and D. Harty, The Multibody Systems Approach to Vehicle Dynamics, ch. 4, and J. C.
// Dixon, Suspension Geometry and Computation, Wiley 2009, on compliance matrices (both from memory); own working.
// Left out: that the load the corner stands under turns with its parts (geometric stiffness), damping, and rubber
// that stiffens as it gives.
package compliance

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"

	"turnplate/sim/geom"
)

// Bush is what holds an arm at one pivot. A stiffness of zero is none; an infinite one is rigid.
type Bush struct {
	Radial, Axial float64 // N/m, across and along the axis
	Torsion, Tilt float64 // N·m/rad, about the axis and square to it
}

// Arm is one of the two arms: two pivots with their bushes and a ball joint that passes force only.
type Arm struct {
	Front, Rear, Ball   geom.Point
	FrontBush, RearBush Bush
}

// Corner is a corner in one position.
type Corner struct {
	Upper, Lower       Arm
	TieInner, TieOuter geom.Point
	Rod                float64    // N/m along the tie rod; infinite: rigid
	Seat, Along        geom.Point // the coil's end on its arm, and its direction
	Coil               float64    // N/m
	CoilOnUpper        bool
	Reference          geom.Point // of the knuckle: the wheel's centre
	Held               bool       // the reference keeps its height
}

// Load is a force acting at a place of the knuckle, and a moment on it.
type Load struct{ At, Force, Moment geom.Point }

// Motion is the knuckle's movement: its reference moves, and it turns (a small right-handed rotation, rad).
type Motion struct{ Move, Turn geom.Point }

// ErrLoose is the error of a corner that something doesn't hold.
var ErrLoose = errors.New("bushes, joints and rod don't hold the knuckle in this position")

const (
	size      = 12
	knuckle   = 0 // first of the knuckle's movement, then of its turning
	upperTurn = 6
	lowerTurn = 9
)

// row is how one thing that is stiff moves with the twelve unknowns.
type row [size]float64

// Response is a corner's answer to loads: Corner.Respond works it out once for all of them.
type Response struct {
	flexibility [moving][moving]float64 // the knuckle's movement for each unit force and moment at its reference
	reference   geom.Point
}

// moving is how many of the unknowns are the knuckle's.
const moving = 6

// length, in m, makes turns comparable with movements where rigid conditions are told apart.
const length = 0.3

// dependent is the singular value, as a share of the largest, below which a rigid condition says nothing new.
const dependent = 1e-9

// Respond sets the equations up.
func (c *Corner) Respond() (*Response, error) {
	var stiff, rigid []row
	add := func(r row, stiffness float64) {
		switch {
		case math.IsInf(stiffness, 1):
			rigid = append(rigid, r)
		case stiffness > 0:
			for i := range r {
				r[i] *= math.Sqrt(stiffness)
			}
			stiff = append(stiff, r)
		}
	}
	c.arm(&c.Upper, upperTurn, add)
	c.arm(&c.Lower, lowerTurn, add)
	rod := c.TieInner.Sub(c.TieOuter).Unit()
	add(c.onKnuckle(rod, c.TieOuter), c.Rod)
	carrying, turn := &c.Lower, lowerTurn
	if c.CoilOnUpper {
		carrying, turn = &c.Upper, upperTurn
	}
	add(c.onArm(c.Along.Unit(), c.Seat, carrying, turn), c.Coil)
	if c.Held {
		add(c.onKnuckle(geom.Point{Z: 1}, c.Reference), math.Inf(1))
	}
	r := &Response{reference: c.Reference}
	n, free := nullSpace(rigid)
	if free == 0 {
		return r, nil
	}
	// Nᵀ·K·N = (S·N)ᵀ·(S·N), with S the stiff rows times the root of their stiffness.
	if len(stiff) == 0 {
		return nil, ErrLoose
	}
	var moved mat.Dense
	moved.Mul(matrix(stiff), n)
	sum := mat.NewSymDense(free, nil)
	sum.SymOuterK(1, moved.T())
	var stiffness mat.Cholesky
	if !stiffness.Factorize(sum) || !(stiffness.Cond() < poorest) {
		return nil, ErrLoose
	}
	// Forces act on the knuckle alone, so of N·(Nᵀ·K·N)⁻¹·Nᵀ its own rows and columns do.
	own := n.Slice(knuckle, knuckle+moving, 0, free)
	var given, all mat.Dense
	if err := stiffness.SolveTo(&given, own.T()); err != nil {
		return nil, ErrLoose
	}
	all.Mul(own, &given)
	for i := range moving {
		for j := range moving {
			r.flexibility[i][j] = all.At(i, j)
		}
	}
	return r, nil
}

// poorest is the condition number past which the corner counts as loose: bushes from rubber to steel stay below 1e8.
const poorest = 1e12

// To gives the knuckle's movement under loads.
func (r *Response) To(loads ...Load) Motion {
	var force, moment geom.Point
	for _, l := range loads {
		force = force.Add(l.Force)
		moment = moment.Add(l.Moment).Add(l.At.Sub(r.reference).Cross(l.Force))
	}
	f := [moving]float64{force.X, force.Y, force.Z, moment.X, moment.Y, moment.Z}
	var q [moving]float64
	for i, row := range r.flexibility {
		for j, x := range row {
			q[i] += x * f[j]
		}
	}
	return Motion{Move: geom.Point{X: q[0], Y: q[1], Z: q[2]}, Turn: geom.Point{X: q[3], Y: q[4], Z: q[5]}}
}

// arm adds an arm's bushes. Two directions square to the axis stand for all.
func (c *Corner) arm(a *Arm, turn int, add func(row, float64)) {
	axis := a.Front.Sub(a.Rear).Unit()
	across := a.Ball.Sub(a.Rear)
	across = across.Sub(axis.Scale(across.Dot(axis))).Unit()
	third := axis.Cross(across)
	for _, pivot := range [...]struct {
		at   geom.Point
		bush Bush
	}{{a.Front, a.FrontBush}, {a.Rear, a.RearBush}} {
		add(c.onArm(axis, pivot.at, a, turn), pivot.bush.Axial)
		add(c.onArm(across, pivot.at, a, turn), pivot.bush.Radial)
		add(c.onArm(third, pivot.at, a, turn), pivot.bush.Radial)
		add(turned(axis, turn), pivot.bush.Torsion)
		add(turned(across, turn), pivot.bush.Tilt)
		add(turned(third, turn), pivot.bush.Tilt)
	}
}

// onKnuckle is the movement along a direction of the knuckle's place x.
func (c *Corner) onKnuckle(along, x geom.Point) (r row) {
	r.set(knuckle, along)
	r.set(knuckle+3, x.Sub(c.Reference).Cross(along))
	return r
}

// onArm is the movement along a direction of an arm's place x: the ball joint's, which is the knuckle's, and the arm's turning
// about it.
func (c *Corner) onArm(along, x geom.Point, a *Arm, turn int) row {
	r := c.onKnuckle(along, a.Ball)
	r.set(turn, x.Sub(a.Ball).Cross(along))
	return r
}

// turned is the turning of an arm about a direction.
func turned(about geom.Point, turn int) (r row) {
	r.set(turn, about)
	return r
}

func (r *row) set(at int, p geom.Point) { r[at], r[at+1], r[at+2] = p.X, p.Y, p.Z }

func matrix(rows []row) *mat.Dense {
	m := mat.NewDense(len(rows), size, nil)
	for i := range rows {
		m.SetRow(i, rows[i][:])
	}
	return m
}

// nullSpace gives an orthonormal basis (in lengths) of all that the rigid conditions leave free.
func nullSpace(rigid []row) (basis *mat.Dense, free int) {
	// Turns are counted in lengths, so that rows of movements and of turns are alike.
	scale := func(i int) float64 {
		if i >= 3 {
			return length
		}
		return 1
	}
	// Rows of zeros make it square at least: then all twelve directions come out.
	a := mat.NewDense(max(size, len(rigid)), size, nil)
	for i := range rigid {
		for j := range size {
			a.Set(i, j, rigid[i][j]/scale(j))
		}
	}
	var svd mat.SVD
	if !svd.Factorize(a, mat.SVDFullV) {
		return nil, 0
	}
	values := svd.Values(nil)
	held := 0
	for held < size && values[held] > dependent*values[0] {
		held++
	}
	var v mat.Dense
	svd.VTo(&v)
	if free = size - held; free == 0 {
		return nil, 0
	}
	basis = mat.DenseCopyOf(v.Slice(0, size, held, size))
	for i := range size {
		for j := range free {
			basis.Set(i, j, basis.At(i, j)/scale(i))
		}
	}
	return basis, free
}
