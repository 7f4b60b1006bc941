package figure

import (
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// What a plot is drawn from, whatever draws it: plotted.go, or direct.go where there is no room for that.

// pair is a point in the coordinates of a plot.
type pair struct{ X, Y float64 }

// pairs are a line's or an outline's points.
type pairs []pair

// Len and XY are how gonum's plotters read them.
func (p pairs) Len() int { return len(p) }

// XY gives one of them.
func (p pairs) XY(i int) (x, y float64) { return p[i].X, p[i].Y }

// rectangleOf is the outline of an upright rectangle.
func rectangleOf(x, y extent) pairs {
	return pairs{{x.lo, y.lo}, {x.hi, y.lo}, {x.hi, y.hi}, {x.lo, y.hi}}
}

// rectangle is the canvas that a plot's data have, whose limits must be such that gonum can draw in it.
func (p *pen) rectangle(f frame) draw.Canvas {
	if !f.x.drawable() || !f.y.drawable() {
		panic("figure: an axis without limits")
	}
	return draw.Canvas{Canvas: p.Canvas.Canvas, Rectangle: vg.Rectangle{
		Min: p.at(point{f.area.x, f.area.bottom()}), Max: p.at(point{f.area.right(), f.area.y}),
	}}
}

// drawable says whether an axis has limits that gonum draws: finite, in order, and so far apart that its numbers
// differ.
func (e extent) drawable() bool {
	const narrowest = 1e-9 // of the larger limit
	return finite(e.lo) && finite(e.hi) && e.size() > narrowest*max(e.hi, -e.lo) && e.size() > 0
}

// ticker is a graduation of an axis as gonum asks for it: labelled, in SI units.
type ticker struct {
	graduation
	one float64 // SI size of the unit that its values are in
}

// labelled gives the labelled graduations, their values in SI units.
func (t ticker) labelled() (list []tick) {
	for _, mark := range t.ticks {
		list = append(list, tick{value: mark.value * t.one, label: mark.label})
	}
	return list
}

// within gives the same, where an axis's grid has its lines. One that misses an end of the axis by rounding error alone,
// see graduateBy, stands on that end: a hair inside, because lines outside are left out.
func (t ticker) within(e extent) []tick {
	hair := 1e-12 * e.size()
	list := t.labelled()
	for i := range list {
		list[i].value = min(max(list[i].value, e.lo+hair), e.hi-hair)
	}
	return list
}
