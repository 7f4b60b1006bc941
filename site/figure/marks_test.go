package figure

import (
	"image"
	"image/color"
	"slices"
	"strings"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"turnplate/site/canvas"
)

// mark is one thing drawn, as a reader sees it: in pixels of the drawing, y down.
type mark struct {
	ink   color.Color
	width float64 // of a line; 0 for an area or a text
	dash  []vg.Length
	lines [][]point // of a line or an area
	round float64   // radius of the arcs among them, of which only the middle is kept; 0 where there are none
	group string    // readers that it is for; "" for all
	text  string
	how   canvas.Lettering
	at    point // of a text
}

// recorder is a canvas that keeps a drawing as a list of marks.
type recorder struct {
	height float64
	now    mark
	groups []string
	marks  marks
}

type marks []mark

// drawn draws a plate on a recorder.
func drawn(p Plate) marks {
	r := &recorder{height: p.Height}
	p.Draw(r)
	return r.marks
}

func (r *recorder) SetLineWidth(w vg.Length)                  { r.now.width = float64(w) }
func (r *recorder) SetLineDash(dash []vg.Length, _ vg.Length) { r.now.dash = dash }
func (r *recorder) SetColor(c color.Color)                    { r.now.ink = c }
func (r *recorder) Push()                                     {}
func (r *recorder) Pop()                                      {}
func (r *recorder) Rotate(float64)                            { panic("not drawn turned") }
func (r *recorder) Translate(vg.Point)                        { panic("not drawn moved") }
func (r *recorder) Scale(float64, float64)                    { panic("not drawn scaled") }
func (r *recorder) DrawImage(vg.Rectangle, image.Image)       { panic("no pictures") }
func (r *recorder) FillString(font.Face, vg.Point, string)    { panic("text goes by its anchor") }

func (r *recorder) Begin(class string) bool {
	r.groups = append(r.groups, class)
	return true
}

func (r *recorder) End() { r.groups = r.groups[:len(r.groups)-1] }

func (r *recorder) place(p vg.Point) point { return point{float64(p.X), r.height - float64(p.Y)} }

func (r *recorder) add(m mark, p vg.Path) {
	for _, c := range p {
		last := len(m.lines) - 1
		switch c.Type {
		case vg.MoveComp:
			m.lines = append(m.lines, []point{r.place(c.Pos)})
		case vg.LineComp:
			m.lines[last] = append(m.lines[last], r.place(c.Pos))
		case vg.ArcComp:
			if last < 0 {
				m.lines, last = [][]point{nil}, 0
			}
			m.lines[last], m.round = append(m.lines[last], r.place(c.Pos)), float64(c.Radius)
		}
	}
	m.group = strings.Join(r.groups, " ")
	r.marks = append(r.marks, m)
}

func (r *recorder) Stroke(p vg.Path) { r.add(r.now, p) }

func (r *recorder) Fill(p vg.Path) { r.add(mark{ink: r.now.ink}, p) }

func (r *recorder) Text(how canvas.Lettering, at vg.Point, text string) {
	group := how.For
	if len(r.groups) > 0 {
		group = strings.Join(r.groups, " ")
	}
	r.marks = append(r.marks, mark{text: text, how: how, at: r.place(at), group: group, ink: how.Ink})
}

// lines are the lines of a style, each from where it begins.
func (m marks) lines(style draw.LineStyle) (found [][]point) {
	for _, one := range m {
		if one.width == float64(style.Width) && one.text == "" && one.ink == style.Color && slices.Equal(one.dash, style.Dashes) {
			found = append(found, one.lines...)
		}
	}
	return found
}

// areas are what is filled with an ink.
func (m marks) areas(ink color.Color) (found [][]point) {
	for _, one := range m {
		if one.width == 0 && one.text == "" && one.ink == ink {
			found = append(found, one.lines...)
		}
	}
	return found
}

// set are the texts in one lettering, wherever they are anchored, and whoever they are for.
func (m marks) set(how canvas.Lettering) (found marks) {
	for _, one := range m {
		if one.text != "" && one.how.Ink == how.Ink && one.how.Bold == how.Bold && one.how.Halo == how.Halo && one.how.Size == how.Size {
			found = append(found, one)
		}
	}
	return found
}

// texts are what a drawing says, in its order: letterings by what they are for.
func texts(p Plate, role string) (found []string) {
	l := wide
	if p.Width == narrow.width {
		l = narrow
	}
	role, readers, forSome := strings.Cut(role, " ")
	list := drawn(p).set(map[string]canvas.Lettering{
		"label": l.label(), "title": l.titled(), "panel": l.headed(), "measured": l.measured(), "tick": l.ticked(""),
	}[role])
	for _, one := range list {
		if !forSome || one.group == readers || readers == "all" && one.group == "" {
			found = append(found, one.text)
		}
	}
	return found
}
