package figure

import (
	"math"
	"slices"

	"gonum.org/v1/plot/vg"

	"turnplate/site/canvas"
)

// drawTitle writes the title of one plot over it.
func (p *plan) drawTitle(to *pen, plot int) {
	a := p.areas[plot]
	p.titles[plot].write(to, p.headed(), point{a.x, a.y - 8}, p.line(), toLast)
}

// drawRules draws the graduations of one plot, and their labels at the outer ones.
func (p *plan) drawRules(to *pen, f frame, plot int, grid bool) {
	p.drawRulesX(to, f, plot, grid)
	eachRule(to, p.rules, sameY, func(r rule) {
		r.drawY(to, f, grid)
		if plot%p.columns == 0 {
			r.labelY(to, f, p.layout)
		}
	})
}

func (p *plan) drawRulesX(to *pen, f frame, plot int, grid bool) {
	eachRule(to, p.rules, sameX, func(r rule) {
		r.drawX(to, f, grid)
		if plot+p.columns >= len(p.areas) { // no plot stands below
			r.labelX(to, f, p.layout)
		}
	})
}

// eachRule draws for each system's readers, or once for all where their rules come to the same.
func eachRule(to *pen, rules []rule, same func(a, b rule) bool, draw func(rule)) {
	if len(rules) == 2 && same(rules[0], rules[1]) {
		draw(rules[0])
		return
	}
	for _, r := range rules {
		to.group(r.class, func() { draw(r) })
	}
}

func sameX(a, b rule) bool { return a.x.unit == b.x.unit }

func sameY(a, b rule) bool { return a.y.unit == b.y.unit }

// drawAround writes what stands above all plots and below them.
func (p *plan) drawAround(to *pen) {
	middle := (p.areas[0].x + p.areas[min(p.columns, len(p.areas))-1].right()) / 2
	bottom := p.areas[len(p.areas)-1].bottom()
	eachRule(to, p.rules, func(a, b rule) bool { return slices.Equal(a.above, b.above) }, func(r rule) {
		to.lines(p.titled(), point{0, p.letter}, p.line(), fromFirst, r.above)
	})
	eachRule(to, p.rules, func(a, b rule) bool { return slices.Equal(a.below, b.below) }, func(r rule) {
		how := p.titled()
		how.Anchor = canvas.Middle
		for i, t := range r.below {
			half := textWidth(t, p.letter) / 2
			to.text(how, point{min(max(middle, half), p.width-half), bottom + (2.2+float64(i))*p.line()}, t)
		}
	})
}

// rule is the graduation of both axes in one system of units.
type rule struct {
	shown
	xg, yg       graduation
	above, below []string // titles, in lines
}

const long, short = 6, 3 // graduations, in pixels

func (r rule) tickX() ticker { return ticker{r.xg, r.x.unit.SI} }

func (r rule) tickY() ticker { return ticker{r.yg, r.y.unit.SI} }

// drawX draws the graduations along x of one plot, and their grid if wanted.
func (r rule) drawX(to *pen, f frame, gridded bool) {
	xt := r.tickX()
	if gridded {
		to.plot(f).grid(&xt, nil)
	}
	var strokes [][]point
	for _, t := range r.tickX().labelled() {
		at := f.at(t.value, f.y.lo)
		strokes = append(strokes, []point{at, at.plus(0, long)})
	}
	to.stroke(axisLine, strokes...)
	from, upTo := parts(r.x, r.xg.part)
	below := short / 2.0
	graduations(to, f.at(from, f.y.lo).plus(0, below), f.at(upTo, f.y.lo).plus(0, below), (upTo-from)/r.xg.part/r.x.unit.SI)
}

// drawY is the same along y.
func (r rule) drawY(to *pen, f frame, gridded bool) {
	yt := r.tickY()
	if gridded {
		to.plot(f).grid(nil, &yt)
	}
	var strokes [][]point
	for _, t := range r.tickY().labelled() {
		at := f.at(f.x.lo, t.value)
		strokes = append(strokes, []point{at, at.plus(-long, 0)})
	}
	to.stroke(axisLine, strokes...)
	from, upTo := parts(r.y, r.yg.part)
	left := -short / 2.0
	graduations(to, f.at(f.x.lo, from).plus(left, 0), f.at(f.x.lo, upTo).plus(left, 0), (upTo-from)/r.yg.part/r.y.unit.SI)
}

// parts gives the first and the last graduation of an axis, labelled or not.
func parts(a axis, part float64) (first, last float64) {
	const slack = 1e-9 // see graduateBy
	one := part * a.unit.SI
	return math.Ceil(a.lo/one-slack) * one, math.Floor(a.hi/one+slack) * one
}

// graduations draws n equal steps of short graduations as one dashed line, as wide as they are long: a
// tenth of the bytes of so many strokes.
func graduations(to *pen, from, upTo point, n float64) {
	n = math.Round(n)
	length := math.Hypot(upTo.x-from.x, upTo.y-from.y)
	const wide = 1 // pixels
	if n < 1 || length/n < 2*wide {
		return
	}
	// Half a stroke earlier, so that each dash stands in the middle of its place.
	dx, dy := (upTo.x-from.x)/length*wide/2, (upTo.y-from.y)/length*wide/2
	style := minorLine
	style.Dashes = []vg.Length{wide, vg.Length(length/n - wide)}
	to.line(style, from.plus(-dx, -dy), upTo.plus(dx, dy))
}

func (r rule) labelY(to *pen, f frame, l layout) {
	for _, t := range r.tickY().labelled() {
		to.text(l.ticked(canvas.End), f.at(f.x.lo, t.value).plus(-9, 0.36*l.small()), t.label)
	}
}

func (r rule) labelX(to *pen, f frame, l layout) {
	for _, t := range r.tickX().labelled() {
		to.text(l.ticked(canvas.Middle), f.at(t.value, f.y.lo).plus(0, 8+l.small()), t.label)
	}
}

// zero is the line at nought, where the plot reaches both sides of it.
func (f frame) zero() []point {
	if f.y.lo < 0 && f.y.hi > 0 {
		return []point{f.at(f.x.lo, 0), f.at(f.x.hi, 0)}
	}
	return nil
}

// draw draws the two axes, and the zero between them.
func (f frame) draw(to *pen) {
	a := f.area
	to.stroke(axisLine, f.zero())
	to.stroke(axisLine, []point{{a.x, a.y}, {a.x, a.bottom()}, {a.right(), a.bottom()}})
}
