package canvas

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"strconv"
	"strings"

	xfont "golang.org/x/image/font"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// Layers is what a canvas may know beyond vg.Canvas; gonum's own know nothing of it.
type Layers interface {
	// Begin opens a group of a class, and says whether it is to be seen at all; End closes it.
	Begin(class string) (seen bool)
	End()
	// Text sets one line of text by its baseline.
	Text(l Lettering, at vg.Point, text string)
}

// Lettering is how a text is set.
type Lettering struct {
	Ink    Ink
	Size   float64
	Bold   bool
	Anchor Anchor
	Halo   bool   // letters keep clear of what they lie over
	For    string // class of the group of readers that it is for; "" for all
}

// Anchor is where in a text its place is. It is left to whatever sets the letters, because only that knows how
// long the text comes out.
type Anchor string

// The anchors, by SVG's names.
const (
	Start  Anchor = ""
	Middle Anchor = "middle"
	End    Anchor = "end"
)

// SVG writes what is drawn on it as one SVG element. Coordinates are rounded to a tenth of a pixel, so that the
// same drawing gives the same bytes on machines that differ in the last bits of a float. What follows one another
// and looks alike shares an element.
type SVG struct {
	out    strings.Builder
	height float64
	letter float64
	groups int
	state
	stack []state
	path  pathWriter // the path being written
	looks string     // of that path: its attributes; "" where none is open
	texts []placed   // those of one look, one after another
	set   string     // that look
}

type state struct {
	ink    color.Color
	width  vg.Length
	dashes []vg.Length
	offset vg.Length
	matrix matrix
}

type placed struct{ x, y, turn, text string }

// Head is what an SVG element says of itself.
type Head struct {
	Class         string
	Width, Height float64
	Letter        float64 // size of the letters that don't say otherwise; 0 where there are none
	LabelledBy    string  // ids; "" for a drawing that says nothing to who can't see it
	DescribedBy   string
	Descriptions  []Description
}

// Description is the drawing in words.
type Description struct{ ID, Text string }

// New opens an SVG element.
func New(h Head) *SVG {
	s := &SVG{height: h.Height, letter: h.Letter}
	s.state = state{ink: color.Black, width: 1, matrix: unity}
	fmt.Fprintf(&s.out, `<svg class="%s" viewBox="0 0 %s %s" width="%[2]s" height="%[3]s"`, h.Class, px(h.Width), px(h.Height))
	if h.Letter != 0 {
		s.out.WriteString(` font-size="` + px(h.Letter) + `"`)
	}
	if h.LabelledBy != "" {
		s.out.WriteString(` role="img" aria-labelledby="` + escape(h.LabelledBy) + `" aria-describedby="` + escape(h.DescribedBy) + `">`)
	} else {
		s.out.WriteString(` aria-hidden="true">`)
	}
	for _, d := range h.Descriptions {
		s.out.WriteString(`<desc id="` + escape(d.ID) + `">` + escape(d.Text) + "</desc>")
	}
	return s
}

// Close closes the element and gives it.
func (s *SVG) Close() string {
	s.flush()
	for ; s.groups > 0; s.groups-- {
		s.out.WriteString("</g>")
	}
	s.out.WriteString("</svg>")
	return s.out.String()
}

// Begin opens a group; a page always has it, and its style sheet chooses.
func (s *SVG) Begin(class string) bool {
	s.flush()
	s.groups++
	s.out.WriteString(`<g class="` + escape(class) + `">`)
	return true
}

// End closes a group.
func (s *SVG) End() {
	s.flush()
	s.groups--
	s.out.WriteString("</g>")
}

// SetLineWidth is vg.Canvas's.
func (s *SVG) SetLineWidth(w vg.Length) { s.width = w }

// SetLineDash is vg.Canvas's.
func (s *SVG) SetLineDash(pattern []vg.Length, offset vg.Length) {
	s.dashes, s.offset = pattern, offset
}

// SetColor is vg.Canvas's. A colour that is no Ink is drawn as the page's black, so that it can be seen in every
// theme.
func (s *SVG) SetColor(c color.Color) {
	if c == nil {
		c = Black
	}
	s.ink = c
}

// Rotate is vg.Canvas's.
func (s *SVG) Rotate(angle float64) { s.matrix = s.matrix.rotated(angle) }

// Translate is vg.Canvas's.
func (s *SVG) Translate(by vg.Point) { s.matrix = s.matrix.moved(by) }

// Scale is vg.Canvas's. Lines and letters keep their widths and sizes.
func (s *SVG) Scale(x, y float64) { s.matrix = s.matrix.scaled(x, y) }

// Push is vg.Canvas's.
func (s *SVG) Push() { s.stack = append(s.stack, s.state) }

// Pop is vg.Canvas's.
func (s *SVG) Pop() {
	last := len(s.stack) - 1
	s.state, s.stack = s.stack[last], s.stack[:last]
}

// Stroke is vg.Canvas's.
func (s *SVG) Stroke(p vg.Path) {
	if s.width <= 0 {
		return
	}
	looks := ` class="` + s.class() + `"`
	if w := float64(s.width); w != 1 {
		looks += ` stroke-width="` + short(w) + `"`
	}
	if len(s.dashes) > 0 {
		var list []string
		for _, d := range s.dashes {
			list = append(list, short(float64(d)))
		}
		looks += ` stroke-dasharray="` + strings.Join(list, " ") + `"`
		if s.offset != 0 {
			looks += ` stroke-dashoffset="` + short(float64(s.offset)) + `"`
		}
	}
	s.draw(looks, p)
}

// Fill is vg.Canvas's.
func (s *SVG) Fill(p vg.Path) { s.draw(` class="`+s.class()+` solid"`, p) }

func (s *SVG) class() string {
	if i, ok := s.ink.(Ink); ok {
		return i.name
	}
	return Black.name
}

func (s *SVG) draw(looks string, p vg.Path) {
	if len(p) == 0 {
		return
	}
	if thin := opacity(s.ink); thin != "" {
		looks += ` opacity="` + thin + `"`
		defer s.flush() // where two such lie over each other both are seen
	}
	if looks != s.looks {
		s.flush()
		s.looks = looks
	} else if len(s.texts) > 0 {
		s.flush()
	}
	s.path.add(p, s.place)
}

// place gives a point of the canvas on the page: y goes down there.
func (s *SVG) place(p vg.Point) (x, y float64) {
	p = s.matrix.of(p)
	return float64(p.X), s.height - float64(p.Y)
}

// FillString is vg.Canvas's.
func (s *SVG) FillString(f font.Face, at vg.Point, text string) {
	ink, ok := s.ink.(Ink)
	if !ok {
		ink = Black
	}
	s.Text(Lettering{Ink: ink, Size: float64(f.Font.Size), Bold: f.Font.Weight >= xfont.WeightSemiBold}, at, text)
}

// Text sets one line of live text.
func (s *SVG) Text(l Lettering, at vg.Point, text string) {
	if text == "" || l.Size == 0 {
		return
	}
	class := l.Ink.name
	if l.For != "" {
		class += " " + l.For
	}
	if l.Halo {
		class += " halo"
	}
	if l.Bold {
		class += " bold"
	}
	set := ` class="` + class + `"`
	if l.Size != s.letter {
		set += ` font-size="` + short(l.Size) + `"`
	}
	if l.Anchor != Start {
		set += ` text-anchor="` + string(l.Anchor) + `"`
	}
	if set != s.set || s.looks != "" {
		s.flush()
		s.set = set
	}
	x, y := s.place(at)
	p := placed{x: px(x), y: px(y), text: escape(text)}
	if angle := s.matrix.angle(); angle != 0 {
		p.turn = ` transform="rotate(` + short(-angle*180/math.Pi) + " " + p.x + " " + p.y + `)"`
	}
	s.texts = append(s.texts, p)
}

// DrawImage is vg.Canvas's. A figure is lines and letters: pictures made of pixels wouldn't follow the page's
// colours.
func (s *SVG) DrawImage(vg.Rectangle, image.Image) {
	panic("canvas: a figure holds no pictures")
}

// flush writes what has been waiting for more of its kind.
func (s *SVG) flush() {
	if d := s.path.take(); d != "" {
		s.out.WriteString("<path" + s.looks + ` d="` + d + `"/>`)
	}
	s.looks = ""
	shared := s.set
	if len(s.texts) > 1 {
		s.out.WriteString("<g" + s.set + ">")
		shared = ""
	}
	for _, t := range s.texts {
		s.out.WriteString("<text" + shared + ` x="` + t.x + `" y="` + t.y + `"` + t.turn + ">" + t.text + "</text>")
	}
	if len(s.texts) > 1 {
		s.out.WriteString("</g>")
	}
	s.texts, s.set = s.texts[:0], ""
}

// matrix is an affine map: x' = a·x + c·y + e, y' = b·x + d·y + f.
type matrix struct{ a, b, c, d, e, f float64 }

var unity = matrix{a: 1, d: 1}

func (m matrix) of(p vg.Point) vg.Point {
	x, y := float64(p.X), float64(p.Y)
	return vg.Point{X: vg.Length(m.a*x + m.c*y + m.e), Y: vg.Length(m.b*x + m.d*y + m.f)}
}

func (m matrix) moved(by vg.Point) matrix {
	to := m.of(by)
	m.e, m.f = float64(to.X), float64(to.Y)
	return m
}

func (m matrix) scaled(x, y float64) matrix {
	m.a, m.b, m.c, m.d = m.a*x, m.b*x, m.c*y, m.d*y
	return m
}

func (m matrix) rotated(angle float64) matrix {
	sin, cos := math.Sincos(angle)
	m.a, m.b, m.c, m.d = m.a*cos+m.c*sin, m.b*cos+m.d*sin, m.c*cos-m.a*sin, m.d*cos-m.b*sin
	return m
}

// angle is how far the map turns, in radians anticlockwise.
func (m matrix) angle() float64 { return math.Atan2(m.b, m.a) }

// short prints a length with the three digits after the point that a dash may need.
func short(v float64) string {
	text := strconv.FormatFloat(math.Round(v*1000)/1000, 'f', -1, 64)
	if strings.HasPrefix(text, "0.") {
		return text[1:]
	}
	return text
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;", "'", "&#39;")

func escape(s string) string { return escaper.Replace(s) }
