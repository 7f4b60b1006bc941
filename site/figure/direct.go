//go:build js || direct

package figure

import (
	"image/color"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"turnplate/site/canvas"
)

// In a browser there is no room for gonum's package plot, which brings twelve fonts and five more kinds of canvas. This file
// asks of gonum's canvas what its plotters ask of it, call by call; the tests of this package are run with both
// (go test -tags direct), and a page drawn in a browser is compared with the one that was written.

type plotted struct {
	frame
	area draw.Canvas
}

func (p *pen) plot(f frame) plotted {
	for _, e := range []extent{f.x, f.y} {
		if !e.drawable() {
			panic("figure: an axis without limits")
		}
	}
	return plotted{f, draw.Canvas{Canvas: p.Canvas.Canvas, Rectangle: vg.Rectangle{
		Min: p.at(point{f.area.x, f.area.bottom()}), Max: p.at(point{f.area.right(), f.area.y}),
	}}}
}

func (q plotted) onX(x float64) vg.Length { return q.area.X((x - q.x.lo) / (q.x.hi - q.x.lo)) }
func (q plotted) onY(y float64) vg.Length { return q.area.Y((y - q.y.lo) / (q.y.hi - q.y.lo)) }

// on gives points of the canvas.
func (q plotted) points(at pairs) (list []vg.Point) {
	for _, p := range at {
		if !finite(p.X) || !finite(p.Y) {
			panic("figure: a gap was left in what is plotted")
		}
		list = append(list, vg.Point{X: q.onX(p.X), Y: q.onY(p.Y)})
	}
	return list
}

func (q plotted) line(style draw.LineStyle, at pairs) {
	lines := q.area.ClipLinesXY(q.points(at))
	if style.Width != 0 {
		q.area.StrokeLines(style, lines...)
	}
}

func (q plotted) fill(with color.Color, edge draw.LineStyle, outlines ...pairs) {
	if len(outlines) == 0 {
		return
	}
	var rings [][]vg.Point
	var path vg.Path
	for _, at := range outlines {
		ring := q.area.ClipPolygonXY(q.points(at))
		rings = append(rings, ring)
		for i, p := range ring {
			if i == 0 {
				path.Move(p)
			} else {
				path.Line(p)
			}
		}
		if len(ring) > 0 {
			path.Close()
		}
	}
	if with != nil {
		q.area.SetColor(with)
		q.area.Fill(path)
	}
	for _, ring := range rings {
		if len(ring) > 0 && ring[len(ring)-1] != ring[0] {
			ring = append(ring, ring[0])
		}
		q.area.StrokeLines(edge, q.area.ClipLinesXY(ring)...)
	}
}

func (q plotted) marks(glyphs []draw.GlyphStyle, at pairs) {
	points := q.points(at)
	for _, sty := range glyphs {
		for _, p := range points {
			q.area.DrawGlyph(sty, p)
		}
	}
}

func (q plotted) grid(x, y *ticker) {
	if x != nil {
		for _, tick := range x.labelled() {
			if at := q.onX(tick.value); at >= q.area.Min.X && at <= q.area.Max.X {
				q.area.StrokeLine2(gridLine, at, q.area.Min.Y, at, q.area.Max.Y)
			}
		}
	}
	if y != nil {
		for _, tick := range y.labelled() {
			if at := q.onY(tick.value); at >= q.area.Min.Y && at <= q.area.Max.Y {
				q.area.StrokeLine2(gridLine, q.area.Min.X, at, q.area.Max.X, at)
			}
		}
	}
}

func (q plotted) bar(with color.Color, edge draw.LineStyle, to, about, thick float64) {
	middle := q.points(pairs{{to, about}})[0]
	if !q.area.ContainsY(middle.Y) {
		return
	}
	low, high := middle.Y-vg.Length(thick)/2, middle.Y-vg.Length(thick)/2+vg.Length(thick)
	nought := q.onX(0)
	around := []vg.Point{{X: nought, Y: low}, {X: nought, Y: high}, {X: middle.X, Y: high}, {X: middle.X, Y: low}}
	q.area.FillPolygon(with, q.area.ClipPolygonX(around))
	q.area.StrokeLines(edge, q.area.ClipLinesX(append(around, around[0]))...)
}

func (q plotted) whisker(value, lo, hi, at float64) {
	ends := q.points(pairs{{value - (value - lo), at}, {value + (hi - value), at}})
	q.area.StrokeLines(whiskerLine, q.area.ClipLinesX(ends)...)
	for _, p := range ends {
		if q.area.Contains(p) {
			q.area.StrokeLine2(whiskerLine, p.X, p.Y-whiskerCap/2, p.X, p.Y+whiskerCap/2)
		}
	}
}

func (q plotted) upright(value, lo, hi, at float64) {
	ends := q.points(pairs{{at, value - (value - lo)}, {at, value + (hi - value)}})
	q.area.StrokeLines(whiskerLine, q.area.ClipLinesY(ends)...)
	for _, p := range ends {
		if q.area.Contains(p) {
			q.area.StrokeLine2(whiskerLine, p.X-whiskerCap/2, p.Y, p.X+whiskerCap/2, p.Y)
		}
	}
}

func (q plotted) bins(ink color.Color, list []bin) {
	outlines := func(draw func([]vg.Point)) {
		for _, b := range list {
			low, high := q.area.Min.Y, q.area.Min.Y
			if b.Weight != 0 {
				high = q.onY(b.Weight)
			}
			from, to := q.onX(b.Min), q.onX(b.Max)
			draw([]vg.Point{{X: from, Y: low}, {X: to, Y: low}, {X: to, Y: high}, {X: from, Y: high}})
		}
	}
	outlines(func(around []vg.Point) { q.area.FillPolygon(ink, q.area.ClipPolygonXY(around)) })
	outlines(func(around []vg.Point) {
		q.area.StrokeLines(stroke(canvas.Paper, 0.75), q.area.ClipLinesXY(append(around, around[0]))...)
	})
}

// face has no letters: the pages' canvas sets its text by itself.
func face(canvas.Lettering) font.Face { panic("figure: this canvas sets no text") }
