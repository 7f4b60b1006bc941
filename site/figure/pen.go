package figure

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"turnplate/site/canvas"
)

// pen draws on any of gonum's canvases, in pixels from the upper left corner with y down, as SVG and people count.
type pen struct {
	draw.Canvas               // the whole drawing, y up
	layers      canvas.Layers // the same canvas, if it knows them; or nil
	height      float64
}

func newPen(c vg.Canvas, width, height float64) *pen {
	layers, _ := c.(canvas.Layers)
	return &pen{draw.NewCanvas(c, vg.Length(width), vg.Length(height)), layers, height}
}

func (p *pen) at(q point) vg.Point { return vg.Point{X: vg.Length(q.x), Y: vg.Length(p.height - q.y)} }

// group draws something for the readers that a class stands for, or for all where that is "". A canvas without
// layers shows what metric readers see.
func (p *pen) group(class string, inside func()) {
	switch {
	case class == "":
		inside()
	case p.layers == nil:
		if class != systemClass[US] {
			inside()
		}
	default:
		if p.layers.Begin(class) {
			inside()
		}
		p.layers.End()
	}
}

// path is lines through points, closed or not.
func (p *pen) path(closed bool, lines ...[]point) (path vg.Path) {
	for _, line := range lines {
		for i, q := range line {
			if i == 0 {
				path.Move(p.at(q))
			} else {
				path.Line(p.at(q))
			}
		}
		if closed && len(line) > 0 {
			path.Close()
		}
	}
	return path
}

// stroke draws lines, all of them as one path.
func (p *pen) stroke(style draw.LineStyle, lines ...[]point) {
	p.strokePath(style, p.path(false, lines...))
}

func (p *pen) strokePath(style draw.LineStyle, path vg.Path) {
	if len(path) > 0 {
		p.SetLineStyle(style)
		p.Stroke(path)
	}
}

func (p *pen) line(style draw.LineStyle, from, to point) { p.stroke(style, []point{from, to}) }

// area fills outlines. Holes are wound the other way.
func (p *pen) area(fill color.Color, edge draw.LineStyle, outlines ...[]point) {
	p.areaPath(fill, edge, p.path(true, outlines...))
}

// areaPath fills a path, and draws its edge where that has a width.
func (p *pen) areaPath(fill color.Color, edge draw.LineStyle, path vg.Path) {
	if len(path) == 0 {
		return
	}
	if fill != nil {
		p.SetColor(fill)
		p.Fill(path)
	}
	if edge.Width > 0 {
		p.strokePath(edge, path)
	}
}

// dots are discs around places.
func (p *pen) dots(fill color.Color, edge draw.LineStyle, r float64, places ...point) {
	var path vg.Path
	for _, q := range places {
		path = append(path, circle.path(p.at(q), vg.Length(r))...)
	}
	p.areaPath(fill, edge, path)
}

// bar is a straight stretch with round ends.
func (p *pen) bar(fill color.Color, from, to point, thick float64) {
	a, b, r := p.at(from), p.at(to), vg.Length(thick/2)
	angle := math.Atan2(float64(b.Y-a.Y), float64(b.X-a.X))
	var path vg.Path
	path.Arc(b, r, angle-math.Pi/2, math.Pi)
	path.Arc(a, r, angle+math.Pi/2, math.Pi)
	path.Close()
	p.areaPath(fill, draw.LineStyle{}, path)
}

// interval draws a level whisker at a height, with ticks at its ends and at other places on it.
func (p *pen) interval(y, low, high float64, on ...float64) {
	strokes := [][]point{{{low, y}, {high, y}}}
	for _, x := range append([]float64{low, high}, on...) {
		strokes = append(strokes, []point{{x, y - whiskerCap/2}, {x, y + whiskerCap/2}})
	}
	p.stroke(whiskerLine, strokes...)
}

// text sets one line with its baseline at y.
func (p *pen) text(how canvas.Lettering, at point, text string) {
	if text = clean(text); text == "" {
		return
	}
	if p.layers != nil {
		p.layers.Text(how, p.at(at), text)
		return
	}
	if how.For == systemClass[US] {
		return
	}
	face := face(how)
	switch how.Anchor {
	case canvas.Middle:
		at.x -= float64(face.Width(text)) / 2
	case canvas.End:
		at.x -= float64(face.Width(text))
	}
	p.SetColor(how.Ink)
	p.FillString(face, p.at(at), text)
}

// stand is which part of a text of several lines stands where it is set.
type stand int

const (
	fromFirst   stand = iota // the first line's baseline
	aboutMiddle              // the middle of all lines
	toLast                   // the last line's baseline
)

// lines sets a text of several lines, so far apart.
func (p *pen) lines(how canvas.Lettering, at point, apart float64, from stand, lines []string) {
	first, drop := at.y, 0.0
	switch from {
	case aboutMiddle:
		const half = 0.35 // of a letter's size: from its middle to its baseline
		first, drop = at.y-float64(len(lines)-1)/2*apart, half*how.Size
	case toLast:
		first -= float64(len(lines)-1) * apart
	}
	for i, text := range lines {
		p.text(how, point{at.x, first + float64(i)*apart + drop}, text)
	}
}

// How lines look. What has no place here has its looks beside what it draws.
var (
	gridLine    = stroke(canvas.Rule, 0.75)
	axisLine    = stroke(canvas.Black, 1)
	minorLine   = stroke(canvas.Black, 3) // graduations across a dashed line
	paperEdge   = stroke(canvas.Paper, 1)
	whiskerLine = stroke(canvas.Black, 1.25)
	levelLine   = stroke(canvas.Black, 1.1)
	hatchLine   = stroke(canvas.Soft, 0.75)
	leadLine    = stroke(canvas.Soft, 0.75)
	noLine      = draw.LineStyle{}
)

func stroke(ink canvas.Ink, width float64, dashes ...vg.Length) draw.LineStyle {
	return draw.LineStyle{Color: ink, Width: vg.Length(width), Dashes: dashes}
}

// How texts look.

func (l layout) titled() canvas.Lettering { return canvas.Lettering{Ink: canvas.Black, Size: l.letter} }

func (l layout) headed() canvas.Lettering {
	return canvas.Lettering{Ink: canvas.Black, Size: l.letter, Bold: true}
}

func (l layout) ticked(anchor canvas.Anchor) canvas.Lettering {
	return canvas.Lettering{Ink: canvas.Soft, Size: l.small(), Halo: true, Anchor: anchor}
}

func (l layout) label() canvas.Lettering {
	return canvas.Lettering{Ink: canvas.Black, Size: l.small(), Halo: true}
}

func (l layout) measured() canvas.Lettering {
	return canvas.Lettering{Ink: canvas.Black, Size: l.small(), Halo: true, Bold: true}
}

// room is how much wider than the regular cut a text may run.
func room(how canvas.Lettering) float64 {
	if how.Bold {
		return boldness
	}
	return 1
}
