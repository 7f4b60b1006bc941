package glossary

import (
	"html"
	"math"
	"strconv"
	"strings"
)

// A pen draws one small sketch as SVG. Lengths are pixels, y down; angles are degrees, anticlockwise from
// the right as in mathematics. Looks come from the page's style sheet, by the classes that its drawings of
// a corner use as well.
type pen struct {
	out           strings.Builder
	width, height float64
}

type point struct{ x, y float64 }

// polar is the point at a distance from another, in a direction.
func (p point) polar(r, deg float64) point {
	s, c := math.Sincos(deg * math.Pi / 180)
	return point{p.x + r*c, p.y - r*s}
}

// toward is a share of the way from one point to another.
func (p point) toward(q point, share float64) point {
	return point{p.x + (q.x-p.x)*share, p.y + (q.y-p.y)*share}
}

func (p point) distance(q point) float64 { return math.Hypot(q.x-p.x, q.y-p.y) }

// direction from p to q, in degrees.
func (p point) direction(q point) float64 { return math.Atan2(p.y-q.y, q.x-p.x) * 180 / math.Pi }

// crossing is where the line through a and b meets the one through c and d.
func crossing(a, b, c, d point) point {
	den := (b.x-a.x)*(d.y-c.y) - (b.y-a.y)*(d.x-c.x)
	t := ((c.x-a.x)*(d.y-c.y) - (c.y-a.y)*(d.x-c.x)) / den
	return a.toward(b, t)
}

// foot is the point of the line through a and b that is nearest to p.
func foot(p, a, b point) point {
	dx, dy := b.x-a.x, b.y-a.y
	return a.toward(b, ((p.x-a.x)*dx+(p.y-a.y)*dy)/(dx*dx+dy*dy))
}

func num(v float64) string {
	t := math.Round(v*10) / 10
	if t == 0 {
		t = 0 // not "-0"
	}
	return strconv.FormatFloat(t, 'f', -1, 64)
}

func (p *pen) path(class, d string) {
	p.out.WriteString(`<path class="` + class + `" d="` + d + `"/>`)
}

func line(points ...point) string {
	var d strings.Builder
	for i, q := range points {
		d.WriteString(string("ML"[min(i, 1)]) + num(q.x) + " " + num(q.y))
	}
	return d.String()
}

func (p *pen) line(class string, points ...point) { p.path(class, line(points...)) }

func (p *pen) shape(class string, points ...point) { p.path(class, line(points...)+"Z") }

func (p *pen) circle(class string, at point, r float64) {
	p.out.WriteString(`<circle class="` + class + `" cx="` + num(at.x) + `" cy="` + num(at.y) + `" r="` + num(r) + `"/>`)
}

// text writes one line; anchor is "start", "middle" or "end".
func (p *pen) text(class, anchor string, at point, words string) {
	p.out.WriteString(`<text class="` + class + `" x="` + num(at.x) + `" y="` + num(at.y) + `" text-anchor="` + anchor + `">` + html.EscapeString(words) + `</text>`)
}

// name writes a value's name, bold.
func (p *pen) name(anchor string, at point, words string) { p.text("measured", anchor, at, words) }

// note writes what something is.
func (p *pen) note(anchor string, at point, words string) { p.text("label", anchor, at, words) }

// tip is an arrow's head at a point, pointing in a direction.
func (p *pen) tip(at point, deg float64) {
	p.shape("arrow", at, at.polar(8, deg+180-20), at.polar(8, deg+180+20))
}

// arrow is a line with a head at its end.
func (p *pen) arrow(from, to point) {
	p.line("measure", from, to)
	p.tip(to, from.direction(to))
}

// span is a line with a head at both ends.
func (p *pen) span(a, b point) {
	p.arrow(a, b)
	p.tip(a, b.direction(a))
}

// across marks the distance between two points from outside, where there is no room between them.
func (p *pen) across(a, b point) {
	out := b.direction(a)
	p.arrow(a.polar(18, out), a)
	p.arrow(b.polar(18, out+180), b)
	p.line("measure", a, b)
}

// arc gives path data of a circle's part from one direction to another, going anticlockwise when to > from.
func arc(at point, r, from, to float64) string {
	a, b := at.polar(r, from), at.polar(r, to)
	large, sweep := "0", "0"
	if math.Abs(to-from) > 180 {
		large = "1"
	}
	if to < from {
		sweep = "1"
	}
	return "M" + num(a.x) + " " + num(a.y) + "A" + num(r) + " " + num(r) + " 0 " + large + " " + sweep + " " + num(b.x) + " " + num(b.y)
}

// swing is an arc with a head where it ends.
func (p *pen) swing(at point, r, from, to float64) {
	p.path("measure", arc(at, r, from, to))
	turn := 90.0
	if to < from {
		turn = -90
	}
	lean := 8 / r / 2 * 180 / math.Pi // the head follows the arc
	p.tip(at.polar(r, to), to+turn-math.Copysign(lean, turn))
}

// angle marks the angle between two directions by an arc with heads outside, as narrow angles need.
func (p *pen) angle(at point, r, from, to float64) {
	lo, hi := math.Min(from, to), math.Max(from, to)
	out := 20 / r * 180 / math.Pi
	p.path("measure", arc(at, r, lo, hi))
	p.swing(at, r, lo-out, lo)
	p.swing(at, r, hi+out, hi)
}

// ground is the road, seen from the side, with hatching below.
func (p *pen) ground(x1, x2, y float64) {
	var hatch strings.Builder
	for x := x1 + 6; x < x2; x += 9 {
		hatch.WriteString(line(point{x, y}, point{x - 5, y + 5}))
	}
	p.path("hatch", hatch.String())
	p.line("ground", point{x1, y}, point{x2, y})
}

// box is a rectangle about a centre, turned anticlockwise.
func box(at point, w, h, deg float64) []point {
	across, up := deg, deg+90
	corner := func(x, y float64) point { return at.polar(x*w/2, across).polar(y*h/2, up) }
	return []point{corner(-1, -1), corner(1, -1), corner(1, 1), corner(-1, 1)}
}

// tread is a tyre seen along the road or from above: a box with rounded corners, turned anticlockwise.
func (p *pen) tread(class string, at point, w, h, deg float64) {
	r := math.Min(w, h) * 0.3
	corners := box(at, w, h, deg)
	var d strings.Builder
	for i, c := range corners {
		before, after := corners[(i+3)%4], corners[(i+1)%4]
		from, to := c.toward(before, r/c.distance(before)), c.toward(after, r/c.distance(after))
		d.WriteString(string("ML"[min(i, 1)]) + num(from.x) + " " + num(from.y) + "Q" + num(c.x) + " " + num(c.y) + " " + num(to.x) + " " + num(to.y))
	}
	p.path(class, d.String()+"Z")
}

// spring is a coil between two points.
func (p *pen) spring(a, b point) {
	const turns, half = 5, 9
	along := a.direction(b)
	points := []point{a, a.toward(b, 0.12)}
	for i := range 2 * turns {
		side := float64(1 - 2*(i%2))
		points = append(points, a.toward(b, 0.12+0.76*(float64(i)+0.5)/(2*turns)).polar(half*side, along+90))
	}
	p.line("rod", append(points, a.toward(b, 0.88), b)...)
}

// svg finishes the sketch. words say what it shows, for whoever can't see it.
func (p *pen) svg(words string) string {
	return `<svg class="drawing sketch" viewBox="0 0 ` + num(p.width) + " " + num(p.height) + `" width="` + num(p.width) + `" height="` + num(p.height) +
		`" font-size="13" role="img" aria-label="` + html.EscapeString(words) + `">` + p.out.String() + "</svg>"
}
