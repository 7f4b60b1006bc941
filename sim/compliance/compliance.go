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
// instead, and so is the reference's height where it is held: with N a basis of A's null space, q = N·(Nᵀ·K·N)⁻¹·Nᵀ·F.
//
// N comes of Householder reflections of the unknowns, each of which turns the condition furthest from those before onto one
// unknown alone (orthogonal triangularisation with pivoting: G. H. Golub and C. F. Van Loan, Matrix Computations, ch. 5, from
// memory); Nᵀ·K·N is taken apart by Cholesky.
//
// The structure is that of M. Blundell and D. Harty, The Multibody Systems Approach to Vehicle Dynamics, ch. 4, and J. C.
// Dixon, Suspension Geometry and Computation, Wiley 2009, on compliance matrices (both from memory); own working.
// Left out: that the load the corner stands under turns with its parts (geometric stiffness), damping, and rubber
// that stiffens as it gives.
package compliance

import (
	"errors"
	"math"

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

// The knuckle comes last: forces act on it alone, so what is solved for them starts there.
const (
	size      = 12
	upperTurn = 0
	lowerTurn = 3
	knuckle   = 6 // first of its movement, then of its turning
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

// unit is each unknown's: the knuckle's movements count in metres, and turns in parts of 0.3 m, which makes them comparable where
// rigid conditions are told apart.
var unit = func() (u row) {
	for i := range u {
		u[i] = 1 / 0.3
	}
	u.set(knuckle, geom.Point{X: 1, Y: 1, Z: 1})
	return u
}()

// mostRows is how many things can be stiff or rigid: eight of each arm, rod, coil and height.
const mostRows = 2*8 + 3

// Respond sets the equations up and solves them. It allocates nothing.
func (c *Corner) Respond() (Response, error) {
	r := Response{reference: c.Reference}
	stiff, rigid := make([]row, 0, mostRows), make([]row, 0, mostRows)
	add := func(r row, stiffness float64) {
		for i := range r {
			r[i] *= unit[i]
		}
		switch {
		case math.IsInf(stiffness, 1):
			rigid = append(rigid, r)
		case stiffness > 0:
			root := math.Sqrt(stiffness)
			for i := range r {
				r[i] *= root
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
	// Forces act on the knuckle alone, so of the inverse its own rows and columns do.
	var own [moving]row
	for i := range own {
		own[i][knuckle+i] = unit[knuckle+i]
	}
	held := free(rigid, stiff, own[:])
	if held == size {
		return r, nil
	}
	if !solve(stiff, own[:], held) {
		return r, ErrLoose
	}
	for i := range own {
		for j := range i + 1 {
			x := own[i].dot(&own[j], held)
			r.flexibility[i][j], r.flexibility[j][i] = x, x
		}
	}
	return r, nil
}

// dependent is the part of a rigid condition, as a share of the largest, below which it says nothing new.
const dependent = 1e-9

// free turns the unknowns until the rigid conditions hold the first of them and leave the others free, and gives how many they
// hold. What else is written in the unknowns turns along.
func free(rigid []row, others ...[]row) (held int) {
	first := 0.0
	for ; held < min(size, len(rigid)); held++ {
		furthest, most := held, 0.0
		for i := held; i < len(rigid); i++ {
			if square := rigid[i].dot(&rigid[i], held); square > most {
				furthest, most = i, square
			}
		}
		first = math.Max(first, most)
		if !(most > dependent*dependent*first) {
			break
		}
		rigid[held], rigid[furthest] = rigid[furthest], rigid[held]
		mirror := &rigid[held]
		mirror[held] += math.Copysign(math.Sqrt(most), mirror[held])
		per := 2 / mirror.dot(mirror, held)
		mirror.reflect(rigid[held+1:], held, per)
		for _, rows := range others {
			mirror.reflect(rows, held, per)
		}
	}
	return held
}

func (r *row) dot(s *row, from int) (sum float64) {
	for i := from; i < size; i++ {
		sum += r[i] * s[i]
	}
	return sum
}

// reflect mirrors rows at the plane square to r, from one unknown on; per is 2/r².
func (r *row) reflect(rows []row, from int, per float64) {
	for i := range rows {
		s := &rows[i]
		by := per * r.dot(s, from)
		for j := from; j < size; j++ {
			s[j] -= by * r[j]
		}
	}
}

// loose is the share of a direction's own stiffness below which the corner counts as loose in it, once all others are left to
// give: from rubber to steel it stays above 1e-8.
const loose = 1e-12

// solve puts L⁻¹·x in the place of each row x, with L·Lᵀ the sum of s·sᵀ over the stiff rows s, from one unknown on. It is
// false where they leave a direction loose.
func solve(stiff, rows []row, from int) bool {
	var l [size]row // below the diagonal and on it
	for n := range stiff {
		s := &stiff[n]
		for i := from; i < size; i++ {
			if s[i] == 0 { // most are: an arm's rows know nothing of the other's turning
				continue
			}
			for j := from; j <= i; j++ {
				l[i][j] += s[i] * s[j]
			}
		}
	}
	for i := from; i < size; i++ {
		own := l[i][i]
		for j := from; j <= i; j++ {
			for k := from; k < j; k++ {
				l[i][j] -= l[i][k] * l[j][k]
			}
			if j < i {
				l[i][j] /= l[j][j]
			}
		}
		if !(l[i][i] > loose*own) {
			return false
		}
		l[i][i] = math.Sqrt(l[i][i])
	}
	for n := range rows {
		x := &rows[n]
		first := from
		for first < size-1 && x[first] == 0 {
			first++
		}
		for i := first; i < size; i++ {
			for k := first; k < i; k++ {
				x[i] -= l[i][k] * x[k]
			}
			x[i] /= l[i][i]
		}
	}
	return true
}

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

// arm adds an arm's bushes. Two directions square to the axis stand for all; along it, and in turning, both bushes do the same.
func (c *Corner) arm(a *Arm, turn int, add func(row, float64)) {
	axis := a.Front.Sub(a.Rear).Unit()
	across := a.Ball.Sub(a.Rear)
	across = across.Sub(axis.Scale(across.Dot(axis))).Unit()
	third := axis.Cross(across)
	front, rear := &a.FrontBush, &a.RearBush
	add(c.onArm(axis, a.Front, a, turn), front.Axial+rear.Axial)
	add(c.onArm(across, a.Front, a, turn), front.Radial)
	add(c.onArm(third, a.Front, a, turn), front.Radial)
	add(c.onArm(across, a.Rear, a, turn), rear.Radial)
	add(c.onArm(third, a.Rear, a, turn), rear.Radial)
	add(turned(axis, turn), front.Torsion+rear.Torsion)
	add(turned(across, turn), front.Tilt+rear.Tilt)
	add(turned(third, turn), front.Tilt+rear.Tilt)
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
