//go:build js || direct

package figure

import (
	"image/color"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"turnplate/site/canvas"
)

// In a browser there is no room for gonum's package plot: with its twelve fonts and five more kinds of canvas the program
// would be half as large again, 9.0 MB in place of 5.9. This file asks of gonum's canvas what its plotters ask of it, call by
// call; the tests of this package are run with both (go test -tags direct), and a page drawn in a browser is compared with
// the one that was written.

type plotted struct {
	frame
	area draw.Canvas
}

func (p *pen) plot(f frame) plotted { return plotted{f, p.rectangle(f)} }

// on gives points of the canvas.
func (q plotted) on(at ...pair) (list []vg.Point) {
	for _, p := range at {
		if !finite(p.X) || !finite(p.Y) {
			panic("figure: a gap was left in what is plotted")
		}
		list = append(list, vg.Point{X: q.area.X((p.X - q.x.lo) / (q.x.hi - q.x.lo)), Y: q.area.Y((p.Y - q.y.lo) / (q.y.hi - q.y.lo))})
	}
	return list
}

func (q plotted) line(style draw.LineStyle, at pairs) {
	q.area.StrokeLines(style, q.area.ClipLinesXY(q.on(at...))...)
}

func (q plotted) fill(with color.Color, edge draw.LineStyle, outlines ...pairs) {
	var rings [][]vg.Point
	for _, at := range outlines {
		rings = append(rings, q.on(at...))
	}
	if len(rings) > 0 {
		q.polygon(with, edge, rings...)
	}
}

func (q plotted) polygon(with color.Color, edge draw.LineStyle, rings ...[]vg.Point) {
	var path vg.Path
	for i, ring := range rings {
		rings[i] = q.area.ClipPolygonXY(ring)
		for k, p := range rings[i] {
			if k == 0 {
				path.Move(p)
			} else {
				path.Line(p)
			}
		}
		if len(rings[i]) > 0 {
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
	points := q.on(at...)
	for _, sty := range glyphs {
		for _, p := range points {
			q.area.DrawGlyph(sty, p)
		}
	}
}

func (q plotted) grid(x, y *ticker) {
	if x != nil {
		for _, tick := range x.within(q.x) {
			q.line(gridLine, pairs{{tick.value, q.y.lo}, {tick.value, q.y.hi}})
		}
	}
	if y != nil {
		for _, tick := range y.within(q.y) {
			q.line(gridLine, pairs{{q.x.lo, tick.value}, {q.x.hi, tick.value}})
		}
	}
}

func (q plotted) bar(with color.Color, edge draw.LineStyle, to, about, thick float64) {
	ends := q.on(pair{0, about}, pair{to, about})
	low, high := ends[0].Y-vg.Length(thick)/2, ends[0].Y+vg.Length(thick)/2
	q.polygon(with, edge, []vg.Point{{X: ends[0].X, Y: low}, {X: ends[0].X, Y: high}, {X: ends[1].X, Y: high}, {X: ends[1].X, Y: low}})
}

func (q plotted) whisker(value, lo, hi, at float64) {
	q.interval(q.on(pair{value - (value - lo), at}, pair{value + (hi - value), at}), vg.Point{Y: whiskerCap / 2})
}

func (q plotted) upright(value, lo, hi, at float64) {
	q.interval(q.on(pair{at, value - (value - lo)}, pair{at, value + (hi - value)}), vg.Point{X: whiskerCap / 2})
}

// interval draws a line with a cap at each of its ends, half of which is given.
func (q plotted) interval(ends []vg.Point, half vg.Point) {
	q.area.StrokeLines(whiskerLine, q.area.ClipLinesXY(ends)...)
	for _, p := range ends {
		if q.area.Contains(p) {
			q.area.StrokeLine2(whiskerLine, p.X-half.X, p.Y-half.Y, p.X+half.X, p.Y+half.Y)
		}
	}
}

// face has no letters: the pages' canvas sets its text by itself.
func face(canvas.Lettering) font.Face { panic("figure: this canvas sets no text") }
