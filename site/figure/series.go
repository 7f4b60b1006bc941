package figure

import (
	"math"
	"strconv"
)

// A line is told from its neighbours three ways, so that neither colour vision nor a colour printer is
// needed: colour (a class of the style sheet), dash pattern, and the shape of its markers.
type style struct {
	class  string
	dash   string
	marker shape
}

type shape int

const (
	circle shape = iota
	square
	triangle
	diamond
	drop
	cross
	shapes
)

const hues = 6 // colours in the style sheet: classes s1 to s6, and q1 to q6 for ordered lines

var dashes = [...]string{"", "9 4", "2.5 3.5", "12 4 2.5 4", "5 2.5", "16 3 2.5 3 2.5 3"}

// styleOf is the style of line i of n. After six lines colours come again with other dashes.
func styleOf(i, n int, ordered bool) style {
	round := i / hues
	s := style{
		class:  "s" + strconv.Itoa(i%hues+1),
		dash:   dashes[(i+round)%len(dashes)],
		marker: shape((i + 2*round) % int(shapes)),
	}
	if ordered && n > 1 {
		// From light to dark in even steps.
		s.class = "q" + strconv.Itoa(1+int(math.Round(float64(i)*(hues-1)/float64(n-1))))
	}
	return s
}

// outline is a marker's path around a point. Shapes are sized to look equally heavy.
func (m shape) outline(at point, r float64) string {
	switch m {
	case square:
		a := 0.89 * r
		return polygon([]point{at.plus(-a, -a), at.plus(a, -a), at.plus(a, a), at.plus(-a, a)})
	case triangle:
		return polygon([]point{at.plus(0, -1.3*r), at.plus(1.2*r, 0.8*r), at.plus(-1.2*r, 0.8*r)})
	case drop:
		return polygon([]point{at.plus(0, 1.3*r), at.plus(-1.2*r, -0.8*r), at.plus(1.2*r, -0.8*r)})
	case diamond:
		return polygon([]point{at.plus(0, -1.35*r), at.plus(1.35*r, 0), at.plus(0, 1.35*r), at.plus(-1.35*r, 0)})
	case cross:
		a, b := 1.25*r, 0.42*r
		return polygon([]point{
			at.plus(-b, -a), at.plus(b, -a), at.plus(b, -b), at.plus(a, -b), at.plus(a, b), at.plus(b, b),
			at.plus(b, a), at.plus(-b, a), at.plus(-b, b), at.plus(-a, b), at.plus(-a, -b), at.plus(-b, -b),
		})
	}
	return ring(at, r)
}

// ring is a circle as path data: one arc that stops a tenth of a pixel short of its start.
func ring(at point, r float64) string {
	return "M" + px(at.x-r) + " " + px(at.y) + "a" + px(r) + " " + px(r) + " 0 1 1 0 .1Z"
}

// target is a reader's own measurement: a cross-hair, ringed, squared or diamonded for each set of them.
func target(set int, at point, r float64) string {
	around := []shape{circle, square, diamond}[set%3].outline(at, r)
	reach := 1.9 * r
	return around + polyline([]point{at.plus(-reach, 0), at.plus(reach, 0)}) +
		polyline([]point{at.plus(0, -reach), at.plus(0, reach)})
}

const swatchWidth, swatchHeight = 34, 14

func swatch(draw func(s *svg, mid point)) string {
	var s svg
	s.begin("svg", class("swatch"), attr{"viewBox", "0 0 34 14"}, attr{"width", "34"}, attr{"height", "14"}, attr{"aria-hidden", "true"})
	draw(&s, point{swatchWidth / 2, swatchHeight / 2})
	s.end()
	return s.String()
}

func lineSwatch(look style, marked bool) string {
	return swatch(func(s *svg, mid point) {
		s.begin("g", class(look.class))
		s.line("line", mid.plus(-16, 0), mid.plus(16, 0), attr{"stroke-dasharray", look.dash})
		if marked {
			s.path("mark", look.marker.outline(mid, markSize))
		}
		s.end()
	})
}

func pointsSwatch(set int) string {
	return swatch(func(s *svg, mid point) { s.path("reading", target(set, mid, targetSize)) })
}
