// Package clearance measures the gap between a tyre on its rim and an edge near them.
//
//	Tyre    a body of revolution: a cylinder of the tread's radius and the section's width with rounded shoulders,
//	        hollow where the rim is
//	Edge    a straight edge with a rounding of its own: a capsule
//	Sweep   a search for where the gap is smallest while the tyre moves two ways
//	Gap     the distance between their surfaces, negative where they overlap
//
// Lengths are metres, points in whatever axes the caller uses for all of them.
//
// # Method
//
// A cylinder with rounded shoulders is a smaller one, drawn in all round by the shoulder's radius, blown up
// again by it (a Minkowski sum with a ball). Its signed distance at a point is therefore the smaller
// cylinder's less that radius, and the smaller cylinder's follows from two numbers: how far the point lies
// beyond its rim (a) and beyond its flat side (b): √(a² + b²) where both are positive, else the larger of
// them. Outside this is the distance to the nearest place, inside, negative, how far the point would have to
// go to come out. The signed distance to a convex body is convex along a line, so the edge's nearest place is
// where its slope changes sign, which halving finds; the edge's own radius comes off at the end (S. Boyd and
// L. Vandenberghe, Convex Optimization, Cambridge 2004, §3.2.5 and §8.1, for convexity of distances; from
// memory).
//
// A rim is hollow: its barrel is a ring of the rim's width, RimWall thick, and inside it nothing is modelled, not
// the wheel's disc either. The rounded cylinder is then the hull of the wheel: where its nearest place is on the
// tyre, the gap is the hull's; else the edge is searched piece by piece, because a hollow body isn't convex
// (hollow.go).
package clearance

import (
	"math"

	"turnplate/sim/geom"
)

// Tyre is the shape of a tyre on its rim, taken as rigid and round all the way: it isn't flattened by its load.
type Tyre struct {
	Radius    float64
	Width     float64
	Shoulder  float64 // rounding between tread and side, at most half of Width and no more than Radius
	RimRadius float64 // half of the rim's diameter, less than Radius − Shoulder; 0: not hollow
	RimWidth  float64 // no more than Width
}

// RimWall is how much smaller than the rim's radius its bore is, in m: bead seat, well and weights (common practice,
// no source).
const RimWall = 15e-3

// Placed is a tyre's place: its centre and the unit direction of its axis.
type Placed struct{ Centre, Axis geom.Point }

// Edge is a straight edge with a rounding.
type Edge struct {
	From, To geom.Point
	Radius   float64
}

// halvings leave the edge's nearest place uncertain by a thousand-millionth of its length. Along a straight
// edge the gap changes by no more than that, and mostly by its square.
const halvings = 30

// Gap gives the distance between a tyre and an edge, negative by the depth where they overlap, and where
// along the edge they are nearest, from 0 at From to 1 at To.
func (t *Tyre) Gap(at *Placed, e *Edge) (gap, along float64) { return t.gap(at, e, math.Inf(1)) }

// Within gives the Gap if it is no more than enough, and else some value between the two, for less work.
func (t *Tyre) Within(at *Placed, e *Edge, enough float64) float64 {
	gap, _ := t.gap(at, e, enough)
	return gap
}

// gap stops when the gap is known to be more than enough: a convex function lies nowhere below its tangents.
func (t *Tyre) gap(at *Placed, e *Edge, enough float64) (gap, along float64) {
	l := t.line(at, e)
	round := t.Shoulder + e.Radius
	lo, hi := 0.0, 1.0
	distance, slope := l.tangent(0.5)
	if least := distance - math.Abs(slope)/2 - round; least > enough {
		return least, 0.5
	}
	if _, slope = l.tangent(0); !(slope < 0) {
		hi = 0
	} else if _, slope = l.tangent(1); !(slope > 0) {
		lo = 1
	}
	for n := 0; n < halvings && hi > lo; n++ {
		middle := (lo + hi) / 2
		if distance, slope = l.tangent(middle); distance-math.Abs(slope)*(hi-lo)/2-round > enough {
			return distance - math.Abs(slope)*(hi-lo)/2 - round, middle
		}
		if slope < 0 {
			lo = middle
		} else {
			hi = middle
		}
	}
	along = (lo + hi) / 2
	distance, _ = l.tangent(along)
	if _, _, radial, _ := l.beyond(along); t.RimRadius == 0 || radial >= t.RimRadius && distance >= t.Shoulder {
		return distance - round, along
	}
	w := t.hollow(l)
	distance, along = w.throughout(along, enough+e.Radius)
	return distance - e.Radius, along
}

// hollow gives the wheel with its rim that a line meets.
func (t *Tyre) hollow(l line) wheel {
	return wheel{
		line: l, shoulder: t.Shoulder, half: t.Width / 2,
		rim: t.RimRadius, bore: math.Max(0, t.RimRadius-RimWall), rimHalf: t.RimWidth / 2,
		length: math.Sqrt(l.squareStep + l.axialStep*l.axialStep),
	}
}

// Between gives the places on both surfaces between which a Gap is measured: as far apart as it is long, and the
// tyre's beyond the edge's where they overlap.
func (t *Tyre) Between(at *Placed, e *Edge) (onTyre, onEdge geom.Point) {
	gap, along := t.Gap(at, e)
	l := t.line(at, e)
	rim, side, _, axial := l.beyond(along)
	middle := e.From.Add(e.To.Sub(e.From).Scale(along))
	aside := at.Axis.Scale(math.Copysign(1, axial))
	out := middle.Sub(at.Centre).Sub(at.Axis.Scale(axial))
	if out.Norm() == 0 { // on the axis every way out is as good
		out = at.Axis.Cross(geom.Point{X: 1})
		if other := at.Axis.Cross(geom.Point{Z: 1}); other.Norm() > out.Norm() {
			out = other
		}
	}
	out = out.Unit()
	switch {
	case t.RimRadius > 0:
		w := t.hollow(l)
		across, along := w.outward(along)
		out = out.Scale(across).Add(aside.Scale(along))
	case rim > 0 && side > 0:
		out = out.Scale(rim).Add(aside.Scale(side)).Unit()
	case side >= rim:
		out = aside
	}
	return middle.Sub(out.Scale(gap + e.Radius)), middle.Sub(out.Scale(e.Radius))
}

// line is an edge as the drawn-in cylinder sees it: where it starts and how it goes, along the axis and
// square to it.
type line struct {
	radius, half float64 // of the drawn-in cylinder: its radius and half of its width
	axial        float64
	axialStep    float64
	square       float64 // distance from the axis, squared, at s is square + 2·mixed·s + squareStep·s²
	mixed        float64
	squareStep   float64
}

func (t *Tyre) line(at *Placed, e *Edge) line {
	p, d := e.From.Sub(at.Centre), e.To.Sub(e.From)
	l := line{radius: t.Radius - t.Shoulder, half: t.Width/2 - t.Shoulder, axial: p.Dot(at.Axis), axialStep: d.Dot(at.Axis)}
	p = p.Sub(at.Axis.Scale(l.axial))
	d = d.Sub(at.Axis.Scale(l.axialStep))
	l.square, l.mixed, l.squareStep = p.Dot(p), p.Dot(d), d.Dot(d)
	return l
}

// beyond gives how far the place lies beyond the drawn-in cylinder's rim and beyond its side, and its
// distances from the axis and from the middle plane.
func (l *line) beyond(s float64) (rim, side, radial, axial float64) {
	radial = math.Sqrt(math.Max(0, l.square+s*(2*l.mixed+s*l.squareStep)))
	axial = l.axial + s*l.axialStep
	return radial - l.radius, math.Abs(axial) - l.half, radial, axial
}

// tangent gives the signed distance from the drawn-in cylinder and its derivative (one of them, where there
// are two).
func (l *line) tangent(s float64) (distance, slope float64) {
	rim, side, radial, axial := l.beyond(s)
	rimSlope, sideSlope := 0.0, math.Copysign(1, axial)*l.axialStep
	if radial > 0 {
		rimSlope = (l.mixed + s*l.squareStep) / radial
	}
	switch {
	case rim > 0 && side > 0:
		distance = math.Hypot(rim, side)
		return distance, (rim*rimSlope + side*sideSlope) / distance
	case rim > side:
		return rim, rimSlope
	}
	return side, sideSlope
}
