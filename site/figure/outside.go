package figure

import (
	"math"
	"slices"

	"turnplate/site/canvas"
)

// This file is what a map shows where there is no value: out of reach.

// reach gives the outlines of what is in reach: through the last points that have a value or, where Z at the edge is
// known, between them and the next, as far as Z runs on straight.
func (f Field) reach(until *float64) [][]vertex {
	if until == nil {
		return f.outlines(func(float64) bool { return true }, 0)
	}
	return f.beyond(*until).outlines(func(z float64) bool { return z <= *until }, *until)
}

// beyond is a map carried on straight past its edge, by one point in each direction, where Z is more than at the edge.
func (f Field) beyond(until float64) Field {
	at := func(i, j int) float64 {
		if j < 0 || j >= len(f.Z) || i < 0 || i >= len(f.Z[j]) {
			return math.NaN()
		}
		return f.Z[j][i]
	}
	out := f
	out.Z = nil
	for j, row := range f.Z {
		row = slices.Clone(row)
		for i := range row {
			if finite(row[i]) {
				row[i] = min(row[i], until)
				continue
			}
			sum, n := 0.0, 0.0
			for _, d := range [4][2]int{{-1, 0}, {1, 0}, {0, -1}, {0, 1}} {
				if z := 2*at(i+d[0], j+d[1]) - at(i+2*d[0], j+2*d[1]); finite(z) {
					sum, n = sum+z, n+1
				}
			}
			const least = 1e-6 // of Z at the edge: the point is out of reach, whatever the straight line says
			if n > 0 {
				row[i] = max(sum/n, until+least*math.Abs(until))
			}
		}
		out.Z = append(out.Z, row)
	}
	return out
}

// drawOutside covers and hatches what lies outside some outlines, and says in it what it is.
func drawOutside(to *pen, f frame, inside []pairs, l layout) {
	rings := []pairs{rectangleOf(f.x, f.y)}
	var loops [][]point
	for _, loop := range inside {
		loops = append(loops, f.on(loop))
		ring := slices.Clone(loop)
		slices.Reverse(ring)
		rings = append(rings, ring)
	}
	to.plot(f).fill(canvas.Paper, noLine, rings...)
	var strokes [][]point
	for _, line := range hatch(f.area) {
		strokes = append(strokes, outsideOf(loops, line[0], line[1])...)
	}
	to.stroke(hatchLine, strokes...)
	to.stroke(levelLine, loops...)

	if b, ok := nameOutside(loops, f, l); ok {
		to.area(canvas.Paper, noLine, b.outline())
		how := l.label()
		how.Halo = false
		to.text(how, point{b.x + 3, b.y + l.small()}, outOfReach)
	}
}

const outOfReach = "out of reach"

// nameOutside finds room for the name in a corner of the map that nothing in reach comes near.
func nameOutside(inside [][]point, f frame, l layout) (b box, ok bool) {
	const away = 6 // pixels from the corner
	b.w, b.h = textWidth(outOfReach, l.small())+6, 1.3*l.small()
	for _, b.x = range []float64{f.area.x + away, f.area.right() - b.w - away} {
		for _, b.y = range []float64{f.area.y + away, f.area.bottom() - b.h - away} {
			near := func(p point) bool { return b.grow(4).holds(box{p.x, p.y, 0, 0}) }
			if !within(inside, point{b.x + b.w/2, b.y + b.h/2}) && !slices.ContainsFunc(inside, func(loop []point) bool { return slices.ContainsFunc(loop, near) }) {
				return b, true
			}
		}
	}
	return b, false
}

// namedOutside tells whether every map that isn't all in reach says so in itself.
func (r *contours) namedOutside(p *plan) bool {
	for i, field := range r.Panels {
		if !field.drawable() {
			continue
		}
		f := frame{p.areas[i], r.x, r.y}
		var loops [][]point
		for _, loop := range smoothed(f, field.reach(r.Until)) {
			loops = append(loops, f.on(loop))
		}
		if _, ok := nameOutside(loops, f, p.layout); !ok {
			return false
		}
	}
	return true
}

// outsideOf gives the parts of a straight stretch outside closed outlines.
func outsideOf(loops [][]point, from, to point) (parts [][]point) {
	dx, dy := to.x-from.x, to.y-from.y
	cuts := []float64{0, 1}
	for _, loop := range loops {
		for k := 1; k < len(loop); k++ {
			a, b := loop[k-1], loop[k]
			ex, ey := b.x-a.x, b.y-a.y
			cross := dx*ey - dy*ex
			if cross == 0 {
				continue
			}
			t := ((a.x-from.x)*ey - (a.y-from.y)*ex) / cross
			u := ((a.x-from.x)*dy - (a.y-from.y)*dx) / cross
			if t > 0 && t < 1 && u >= 0 && u <= 1 {
				cuts = append(cuts, t)
			}
		}
	}
	slices.Sort(cuts)
	for k := 1; k < len(cuts); k++ {
		if middle := (cuts[k-1] + cuts[k]) / 2; cuts[k] > cuts[k-1] && !within(loops, from.plus(middle*dx, middle*dy)) {
			parts = append(parts, []point{from.plus(cuts[k-1]*dx, cuts[k-1]*dy), from.plus(cuts[k]*dx, cuts[k]*dy)})
		}
	}
	return parts
}

// within tells whether a place lies inside closed outlines (a ray to the right crosses them an odd number of times).
func within(loops [][]point, at point) (inside bool) {
	for _, loop := range loops {
		for k := 1; k < len(loop); k++ {
			a, b := loop[k-1], loop[k]
			if (a.y > at.y) != (b.y > at.y) && at.x < a.x+(at.y-a.y)/(b.y-a.y)*(b.x-a.x) {
				inside = !inside
			}
		}
	}
	return inside
}
