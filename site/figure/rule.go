package figure

import (
	"math"
	"slices"
	"strconv"
)

// drawTitle writes the title of one plot over it.
func (p *plan) drawTitle(s *svg, plot int) {
	a := p.areas[plot]
	p.titles[plot].each(func(class string, lines []string) {
		for k, t := range lines {
			up := float64(len(lines)-1-k) * p.line()
			s.text("panel"+class, atStart, point{a.x, a.y - 8 - up}, t)
		}
	})
}

// drawRules draws the graduations of one plot, and their labels at the outer ones.
func (p *plan) drawRules(s *svg, f frame, plot int, grid bool) {
	eachRule(s, p.rules, sameX, func(r rule) {
		r.drawX(s, f, grid)
		if plot+p.columns >= len(p.areas) { // no plot stands below
			r.labelX(s, f, p.small())
		}
	})
	eachRule(s, p.rules, sameY, func(r rule) {
		r.drawY(s, f, grid)
		if plot%p.columns == 0 {
			r.labelY(s, f, p.small())
		}
	})
}

// eachRule draws for each system's readers, or once for all where their rules come to the same.
func eachRule(s *svg, rules []rule, same func(a, b rule) bool, draw func(rule)) {
	if len(rules) == 2 && same(rules[0], rules[1]) {
		draw(rules[0])
		return
	}
	for _, r := range rules {
		s.group(r.class, func() { draw(r) })
	}
}

func sameX(a, b rule) bool { return a.x.unit == b.x.unit }

func sameY(a, b rule) bool { return a.y.unit == b.y.unit }

// drawAround writes what stands above all plots and below them.
func (p *plan) drawAround(s *svg) {
	middle := (p.areas[0].x + p.areas[min(p.columns, len(p.areas))-1].right()) / 2
	bottom := p.areas[len(p.areas)-1].bottom()
	eachRule(s, p.rules, func(a, b rule) bool { return slices.Equal(a.above, b.above) }, func(r rule) {
		for i, t := range r.above {
			s.text("title", atStart, point{0, float64(i)*p.line() + p.letter}, t)
		}
	})
	eachRule(s, p.rules, func(a, b rule) bool { return slices.Equal(a.below, b.below) }, func(r rule) {
		for i, t := range r.below {
			half := textWidth(t, p.letter) / 2
			s.text("title", atMiddle, point{min(max(middle, half), p.width-half), bottom + (2.2+float64(i))*p.line()}, t)
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

// drawX draws the graduations along x of one plot, and their grid if wanted.
func (r rule) drawX(s *svg, f frame, gridded bool) {
	var at []point
	for _, t := range r.xg.ticks {
		at = append(at, f.at(t.value*r.x.unit.SI, f.y.lo))
	}
	if gridded {
		s.path("grid", strokes(at, 0, -f.area.h))
	}
	s.path("axis", strokes(at, 0, long))
	from, to := parts(r.x, r.xg.part)
	below := short / 2.0
	graduations(s, f.at(from, f.y.lo).plus(0, below), f.at(to, f.y.lo).plus(0, below), (to-from)/r.xg.part/r.x.unit.SI)
}

// drawY is the same along y.
func (r rule) drawY(s *svg, f frame, gridded bool) {
	var at []point
	for _, t := range r.yg.ticks {
		at = append(at, f.at(f.x.lo, t.value*r.y.unit.SI))
	}
	if gridded {
		s.path("grid", strokes(at, f.area.w, 0))
	}
	s.path("axis", strokes(at, -long, 0))
	from, to := parts(r.y, r.yg.part)
	left := -short / 2.0
	graduations(s, f.at(f.x.lo, from).plus(left, 0), f.at(f.x.lo, to).plus(left, 0), (to-from)/r.yg.part/r.y.unit.SI)
}

// parts gives the first and the last graduation of an axis, labelled or not.
func parts(a axis, part float64) (first, last float64) {
	const slack = 1e-9 // see graduateBy
	one := part * a.unit.SI
	return math.Ceil(a.lo/one-slack) * one, math.Floor(a.hi/one+slack) * one
}

// graduations draws n equal steps of short graduations as one dashed line, as wide as they are long: a
// tenth of the bytes of so many strokes.
func graduations(s *svg, from, to point, n float64) {
	n = math.Round(n)
	length := math.Hypot(to.x-from.x, to.y-from.y)
	const stroke = 1 // pixels
	if n < 1 || length/n < 2*stroke {
		return
	}
	// Half a stroke earlier, so that each dash stands in the middle of its place.
	dx, dy := (to.x-from.x)/length*stroke/2, (to.y-from.y)/length*stroke/2
	period := strconv.FormatFloat(length/n-stroke, 'f', 3, 64)
	s.line("minor", from.plus(-dx, -dy), to.plus(dx, dy), attr{"stroke-dasharray", "1 " + period})
}

func (r rule) labelY(s *svg, f frame, size float64) {
	s.begin("g", class("tick"), attr{"text-anchor", atEnd})
	for _, t := range r.yg.ticks {
		s.text("", "", f.at(f.x.lo, t.value*r.y.unit.SI).plus(-9, 0.36*size), t.label)
	}
	s.end()
}

func (r rule) labelX(s *svg, f frame, size float64) {
	s.begin("g", class("tick"), attr{"text-anchor", atMiddle})
	for _, t := range r.xg.ticks {
		s.text("", "", f.at(t.value*r.x.unit.SI, f.y.lo).plus(0, 8+size), t.label)
	}
	s.end()
}

// zero is the line at nought, where the plot reaches both sides of it.
func (f frame) zero() []point {
	if f.y.lo < 0 && f.y.hi > 0 {
		return []point{f.at(f.x.lo, 0), f.at(f.x.hi, 0)}
	}
	return nil
}

// draw draws the two axes, and the zero between them.
func (f frame) draw(s *svg) {
	a := f.area
	s.path("zero", polyline(f.zero()))
	s.path("axis", polyline([]point{{a.x, a.y}, {a.x, a.bottom()}, {a.right(), a.bottom()}}))
}
