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
// where its slope changes sign, which false position finds; the edge's own radius comes off at the end (S. Boyd and
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

// The edge's nearest place is found to this share of its length. Along a straight edge the gap changes by no more than
// that, and mostly by its square.
const closeBy = 1e-9

// Gap gives the distance between a tyre and an edge, negative by the depth where they overlap, and where
// along the edge they are nearest, from 0 at From to 1 at To.
func (t *Tyre) Gap(at *Placed, e *Edge) (gap, along float64) {
	return t.Within(at, e, math.Inf(1), 0.5)
}

// Within gives the Gap if it is no more than enough, and else some value between the two, for less work: the less, the
// nearer along the edge the place was guessed.
func (t *Tyre) Within(at *Placed, e *Edge, enough, guess float64) (gap, along float64) {
	l := t.line(at, e)
	round := t.Shoulder + e.Radius
	distance, along := l.nearest(enough+round, guess)
	if distance > enough+round || t.RimRadius == 0 {
		return distance - round, along
	}
	if _, _, radial, _ := l.beyond(along); radial >= t.RimRadius && distance >= t.Shoulder {
		return distance - round, along
	}
	w := t.hollow(l)
	distance, along = w.throughout(along, enough+e.Radius)
	return distance - e.Radius, along
}

// nearest gives the smallest signed distance from the drawn-in cylinder and where along the line it is, starting from a
// guess. It stops when the distance is known to be more than enough: a convex function lies nowhere below its tangents.
func (l *line) nearest(enough, guess float64) (distance, along float64) {
	distance, slope := l.tangent(guess)
	if least := distance - max(slope*guess, slope*(guess-1)); least > enough {
		return least, guess
	}
	lo, hi := 0.0, 1.0
	from, to, fall, rise := distance, distance, slope, slope
	switch {
	case slope > 0:
		hi = guess
		if from, fall = l.tangent(lo); !(fall < 0) {
			return from, lo
		}
	case slope < 0:
		lo = guess
		if to, rise = l.tangent(hi); !(rise > 0) {
			return to, hi
		}
	default:
		return distance, guess
	}
	// False position with the Illinois rule, that an end which stays loses half of its weight (M. Dowell and P. Jarratt,
	// BIT 11, 1971, from memory); every third step is a halving, for kinks.
	left, right, moved := fall, rise, 0 // the ends' weights, and which end moved last
	for n := 0; ; n++ {
		width := hi - lo
		meet := max(0, min(width, (to-from-rise*width)/(fall-rise))) // where the ends' tangents do: at a kink, there
		if least := from + fall*meet; least > enough {
			return least, lo
		}
		if width <= closeBy {
			along = lo + meet
			distance, _ = l.tangent(along)
			return distance, along
		}
		share := left / (left - right)
		if n%3 == 2 {
			share = 0.5
		}
		along = lo + share*width
		switch distance, slope = l.tangent(along); {
		case slope < 0:
			if lo, from, fall, left = along, distance, slope, slope; moved < 0 {
				right /= 2
			}
			moved = -1
		case slope > 0:
			if hi, to, rise, right = along, distance, slope, slope; moved > 0 {
				left /= 2
			}
			moved = 1
		default:
			return distance, along
		}
	}
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
	radial = math.Sqrt(max(0, l.square+s*(2*l.mixed+s*l.squareStep)))
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
		distance = hypot(rim, side)
		return distance, (rim*rimSlope + side*sideSlope) / distance
	case rim > side:
		return rim, rimSlope
	}
	return side, sideSlope
}
