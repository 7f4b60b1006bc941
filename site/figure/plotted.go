//go:build !js && !direct

package figure

import (
	"image/color"

	xfont "golang.org/x/image/font"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"turnplate/site/canvas"
)

// This file is the one door to gonum's package plot and its plotters. What would hang or mislead them is stopped here:
// limits and values that are no numbers, and scales that aren't linear, which no figure asks for.

// plotted is one plot of gonum's. Its data rectangle is ours, the same in both systems of units; plot.Plot's own
// Draw would fit the rectangle to the labels of one of them.
type plotted struct {
	*plot.Plot
	area draw.Canvas // the data rectangle
}

// plot readies one in a frame, whose extents are in SI units.
func (p *pen) plot(f frame) plotted {
	q := plot.New()
	q.X.Min, q.X.Max, q.Y.Min, q.Y.Max = f.x.lo, f.x.hi, f.y.lo, f.y.hi
	return plotted{q, p.rectangle(f)}
}

// draw calls a plotter, unless there is nothing to plot.
func (q plotted) draw(what plot.Plotter, err error) {
	switch err {
	case nil:
		what.Plot(q.area, q.Plot)
	case plotter.ErrNoData:
	default:
		panic("figure: a gap was left in what is plotted: " + err.Error())
	}
}

// line draws one line without gaps.
func (q plotted) line(style draw.LineStyle, at pairs) {
	line, err := plotter.NewLine(at)
	if err == nil {
		line.LineStyle = style
	}
	q.draw(line, err)
}

// fill fills outlines; holes are wound the other way.
func (q plotted) fill(with color.Color, edge draw.LineStyle, outlines ...pairs) {
	var rings []plotter.XYer
	for _, at := range outlines {
		rings = append(rings, at)
	}
	polygon, err := plotter.NewPolygon(rings...)
	if err == nil {
		polygon.Color, polygon.LineStyle = with, edge
	}
	q.draw(polygon, err)
}

// marks draws points, in several glyphs one over the other.
func (q plotted) marks(glyphs []draw.GlyphStyle, at pairs) {
	for _, sty := range glyphs {
		points, err := plotter.NewScatter(at)
		if err == nil {
			points.GlyphStyle = sty
		}
		q.draw(points, err)
	}
}

// grid draws lines at the labelled graduations across x or y.
func (q plotted) grid(x, y *ticker) {
	grid := plotter.NewGrid()
	grid.Vertical, grid.Horizontal = noLine, noLine
	if x != nil {
		q.X.Tick.Marker, grid.Vertical = *x, gridLine
	}
	if y != nil {
		q.Y.Tick.Marker, grid.Horizontal = *y, gridLine
	}
	q.draw(grid, nil)
}

// bar draws one bar from nought along x, so many pixels thick about a height of the frame.
func (q plotted) bar(with color.Color, edge draw.LineStyle, to, about, thick float64) {
	bar, err := plotter.NewBarChart(plotter.Values{to}, vg.Length(thick))
	if err == nil {
		bar.Horizontal, bar.XMin, bar.Color, bar.LineStyle = true, about, with, edge
	}
	q.draw(bar, err)
}

// whisker draws the interval about a value along x, at a height of the frame.
func (q plotted) whisker(value, lo, hi, at float64) {
	bars, err := plotter.NewXErrorBars(struct {
		plotter.XYs
		plotter.XErrors
	}{plotter.XYs{{X: value, Y: at}}, plotter.XErrors{{Low: value - lo, High: hi - value}}})
	if err == nil {
		bars.LineStyle, bars.CapWidth = whiskerLine, whiskerCap
	}
	q.draw(bars, err)
}

// upright draws the interval about a value along y, at a place along x.
func (q plotted) upright(value, lo, hi, at float64) {
	bars, err := plotter.NewYErrorBars(struct {
		plotter.XYs
		plotter.YErrors
	}{plotter.XYs{{X: at, Y: value}}, plotter.YErrors{{Low: value - lo, High: hi - value}}})
	if err == nil {
		bars.LineStyle, bars.CapWidth = whiskerLine, whiskerCap
	}
	q.draw(bars, err)
}

// Ticks gives the labelled graduations between two limits. The short ones between are drawn as one dashed line: see
// graduations.
func (t ticker) Ticks(lo, hi float64) (list []plot.Tick) {
	for _, mark := range t.within(extent{lo, hi}) {
		list = append(list, plot.Tick{Value: mark.value, Label: mark.label})
	}
	return list
}

// face is a cut of the letters that gonum carries, for canvases that set no text by themselves.
func face(how canvas.Lettering) font.Face {
	f := font.Font{Typeface: plot.DefaultFont.Typeface, Variant: "Sans"}
	if how.Bold {
		f.Weight = xfont.WeightBold
	}
	return font.DefaultCache.Lookup(f, vg.Length(how.Size))
}
