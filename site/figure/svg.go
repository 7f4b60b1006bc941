package figure

import (
	"math"
	"strconv"
	"strings"
)

// svg writes one SVG element by element. Coordinates are rounded to a tenth of a pixel, so that the
// same figure gives the same bytes on machines that differ in the last bits of a float.
//
// Looks belong to the page's style sheet: an element carries a class, and only what is part of its
// meaning (dash pattern, anchor) as an attribute. There is no inline style, which a page forbids.
type svg struct {
	out  strings.Builder
	open []string
}

// attr is one attribute: name and unescaped value.
type attr struct{ name, value string }

func class(name string) attr { return attr{"class", name} }

// begin opens an element that holds others.
func (s *svg) begin(name string, attrs ...attr) {
	s.tag(name, attrs)
	s.out.WriteByte('>')
	s.open = append(s.open, name)
}

// end closes the element opened last.
func (s *svg) end() {
	last := len(s.open) - 1
	s.out.WriteString("</" + s.open[last] + ">")
	s.open = s.open[:last]
}

// group writes what inside writes as one group of a class, or without a group where there is no class.
func (s *svg) group(className string, inside func()) {
	if className == "" {
		inside()
		return
	}
	s.begin("g", class(className))
	inside()
	s.end()
}

// empty writes an element without content.
func (s *svg) empty(name string, attrs ...attr) {
	s.tag(name, attrs)
	s.out.WriteString("/>")
}

func (s *svg) tag(name string, attrs []attr) {
	s.out.WriteByte('<')
	s.out.WriteString(name)
	for _, a := range attrs {
		if a.value != "" {
			s.out.WriteByte(' ')
			s.out.WriteString(a.name)
			s.out.WriteString(`="`)
			s.out.WriteString(escape(a.value))
			s.out.WriteByte('"')
		}
	}
}

// words writes an element that holds only text.
func (s *svg) words(name, text string, attrs ...attr) {
	s.begin(name, attrs...)
	s.out.WriteString(escape(clean(text)))
	s.end()
}

// Where a text's x stands in it.
const (
	atStart  = "" // SVG's own default
	atMiddle = "middle"
	atEnd    = "end"
)

// text writes one line of text with its baseline at y.
func (s *svg) text(className, anchor string, at point, text string) {
	if text = clean(text); text != "" {
		s.words("text", text, class(className), attr{"x", px(at.x)}, attr{"y", px(at.y)}, attr{"text-anchor", anchor})
	}
}

// path writes an open or closed polyline.
func (s *svg) path(className string, d string, attrs ...attr) {
	if d != "" {
		s.empty("path", append([]attr{class(className), {"d", d}}, attrs...)...)
	}
}

func (s *svg) line(className string, from, to point, attrs ...attr) {
	s.path(className, polyline([]point{from, to}), attrs...)
}

func (s *svg) String() string { return s.out.String() }

// point is a place on the drawing, in pixels, y down.
type point struct{ x, y float64 }

func (p point) plus(dx, dy float64) point { return point{p.x + dx, p.y + dy} }

// box is an upright rectangle on the drawing.
type box struct{ x, y, w, h float64 }

func (b box) right() float64  { return b.x + b.w }
func (b box) bottom() float64 { return b.y + b.h }

func (b box) grow(by float64) box { return box{b.x - by, b.y - by, b.w + 2*by, b.h + 2*by} }

func (b box) meets(c box) bool {
	return b.x < c.right() && c.x < b.right() && b.y < c.bottom() && c.y < b.bottom()
}

func (b box) holds(c box) bool {
	return b.x <= c.x && b.y <= c.y && b.right() >= c.right() && b.bottom() >= c.bottom()
}

// tenths rounds a coordinate. One that is no number is a mistake of the layout, which takes in finite
// values only: see finite.
func tenths(v float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		panic("figure: a coordinate is not finite")
	}
	return math.Round(v * 10)
}

// px prints a coordinate to a tenth.
func px(v float64) string { return fromTenths(tenths(v)) }

func fromTenths(t float64) string { return string(appendTenths(nil, t)) }

func appendTenths(out []byte, t float64) []byte {
	const exact = 1 << 50
	if math.Abs(t) > exact {
		return strconv.AppendFloat(out, t/10, 'f', -1, 64)
	}
	n := int64(t)
	if n < 0 {
		out, n = append(out, '-'), -n
	}
	out = strconv.AppendInt(out, n/10, 10)
	if n%10 != 0 {
		out = append(out, '.', byte('0'+n%10))
	}
	return out
}

// polyline gives path data through the points: nothing for none, a zero-length stroke for one. After the
// first point come steps, which are shorter to write; each is the difference of rounded places, so that
// rounding doesn't add up.
func polyline(points []point) string {
	const each = 12 // bytes, about
	d := make([]byte, 0, each*len(points))
	var lastX, lastY float64
	for i, p := range points {
		x, y := tenths(p.x), tenths(p.y)
		switch {
		case i == 0:
			d = append(d, 'M')
		case i == 1:
			d = append(d, 'l')
		case x >= lastX:
			d = append(d, ' ')
		}
		d = appendTenths(d, x-lastX)
		if y >= lastY {
			d = append(d, ' ')
		}
		d = appendTenths(d, y-lastY)
		lastX, lastY = x, y
	}
	if len(points) == 1 {
		d = append(d, "h0"...)
	}
	return string(d)
}

// strokes gives path data of parallel straight strokes: one from each place, all by (dx, dy).
func strokes(from []point, dx, dy float64) string {
	var d strings.Builder
	line := "h" + px(dx)
	if dx == 0 {
		line = "v" + px(dy)
	}
	var lastX, lastY float64
	for _, p := range from {
		x, y := tenths(p.x), tenths(p.y)
		moveX, moveY := fromTenths(x-lastX), fromTenths(y-lastY)
		d.WriteString("m" + moveX)
		if moveY[0] != '-' {
			d.WriteByte(' ')
		}
		d.WriteString(moveY + line)
		lastX, lastY = x+tenths(dx), y+tenths(dy)
	}
	return d.String()
}

func polygon(points []point) string {
	if len(points) < 3 {
		return ""
	}
	return polyline(points) + "Z"
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;", "'", "&#39;")

func escape(s string) string { return escaper.Replace(s) }
