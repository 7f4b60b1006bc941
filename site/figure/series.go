package figure

import (
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"turnplate/site/canvas"
)

// A line is told from its neighbours three ways, so that neither colour vision nor a colour printer is
// needed: colour, dash pattern, and the shape of its markers.
type style struct {
	ink    canvas.Ink
	dash   []vg.Length
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

var dashes = [...][]vg.Length{nil, {9, 4}, {2.5, 3.5}, {12, 4, 2.5, 4}, {5, 2.5}, {16, 3, 2.5, 3, 2.5, 3}}

// styleOf is the style of line i of n. After six lines colours come again with other dashes.
func styleOf(i, n int, ordered bool) style {
	round := i / canvas.Hues
	s := style{
		ink:    canvas.Separate(i),
		dash:   dashes[(i+round)%len(dashes)],
		marker: shape((i + 2*round) % int(shapes)),
	}
	if ordered && n > 1 {
		// From light to dark in even steps.
		s.ink = canvas.Step(int(math.Round(float64(i) * (canvas.Hues - 1) / float64(n-1))))
	}
	return s
}

func (s style) line() draw.LineStyle { return stroke(s.ink, 2.3, s.dash...) }

// path is a marker's outline around a point, y up. Shapes are sized to look equally heavy.
func (m shape) path(at vg.Point, r vg.Length) (path vg.Path) {
	corners := func(list ...[2]vg.Length) vg.Path {
		for i, c := range list {
			q := vg.Point{X: at.X + c[0]*r, Y: at.Y + c[1]*r}
			if i == 0 {
				path.Move(q)
			} else {
				path.Line(q)
			}
		}
		path.Close()
		return path
	}
	switch m {
	case square:
		const a = 0.89
		return corners([2]vg.Length{-a, a}, [2]vg.Length{a, a}, [2]vg.Length{a, -a}, [2]vg.Length{-a, -a})
	case triangle:
		return corners([2]vg.Length{0, 1.3}, [2]vg.Length{1.2, -0.8}, [2]vg.Length{-1.2, -0.8})
	case drop:
		return corners([2]vg.Length{0, -1.3}, [2]vg.Length{-1.2, 0.8}, [2]vg.Length{1.2, 0.8})
	case diamond:
		return corners([2]vg.Length{0, 1.35}, [2]vg.Length{1.35, 0}, [2]vg.Length{0, -1.35}, [2]vg.Length{-1.35, 0})
	case cross:
		const a, b = 1.25, 0.42
		return corners([2]vg.Length{-b, a}, [2]vg.Length{b, a}, [2]vg.Length{b, b}, [2]vg.Length{a, b}, [2]vg.Length{a, -b}, [2]vg.Length{b, -b},
			[2]vg.Length{b, -a}, [2]vg.Length{-b, -a}, [2]vg.Length{-b, -b}, [2]vg.Length{-a, -b}, [2]vg.Length{-a, b}, [2]vg.Length{-b, b})
	}
	path.Move(vg.Point{X: at.X + r, Y: at.Y})
	path.Arc(at, r, 0, 2*math.Pi)
	path.Close()
	return path
}

// DrawGlyph makes a shape one of gonum's glyphs: a filled one.
func (m shape) DrawGlyph(c *draw.Canvas, sty draw.GlyphStyle, at vg.Point) {
	c.Fill(m.path(at, sty.Radius))
}

// rim is a shape's outline as a glyph.
type rim struct {
	shape
	width vg.Length
}

// DrawGlyph draws the outline.
func (e rim) DrawGlyph(c *draw.Canvas, sty draw.GlyphStyle, at vg.Point) {
	c.SetLineStyle(draw.LineStyle{Color: sty.Color, Width: e.width})
	c.Stroke(e.path(at, sty.Radius))
}

// hairs are the cross-hair of a reading.
type hairs struct{}

// DrawGlyph draws two lines that reach past a marker.
func (hairs) DrawGlyph(c *draw.Canvas, sty draw.GlyphStyle, at vg.Point) {
	reach := 1.9 * sty.Radius
	c.SetLineStyle(draw.LineStyle{Color: sty.Color, Width: readingWidth})
	var path vg.Path
	path.Move(vg.Point{X: at.X - reach, Y: at.Y})
	path.Line(vg.Point{X: at.X + reach, Y: at.Y})
	path.Move(vg.Point{X: at.X, Y: at.Y + reach})
	path.Line(vg.Point{X: at.X, Y: at.Y - reach})
	c.Stroke(path)
}

// markGlyphs are the glyphs of a line's markers, one over the other: letting the paper show around them keeps
// them apart from the line.
func markGlyphs(look style) []draw.GlyphStyle {
	return []draw.GlyphStyle{
		{Color: look.ink, Radius: markSize, Shape: look.marker},
		{Color: canvas.Paper, Radius: markSize, Shape: rim{look.marker, 1}},
	}
}

// readingGlyphs are those of a reader's own measurement: a cross-hair, ringed, squared or diamonded for each set of
// them. Readings with error bars have no hairs, which would be taken for bars.
func readingGlyphs(set int, barred bool) []draw.GlyphStyle {
	around := []shape{circle, square, diamond}[set%3]
	glyphs := []draw.GlyphStyle{
		{Color: canvas.Paper.Faint(0.8), Radius: targetSize, Shape: around},
		{Color: canvas.Black, Radius: targetSize, Shape: rim{around, readingWidth}},
	}
	if !barred {
		glyphs = append(glyphs, draw.GlyphStyle{Color: canvas.Black, Radius: targetSize, Shape: hairs{}})
	}
	return glyphs
}

const (
	markSize     = 3.4
	targetSize   = 4.6
	readingWidth = 1.5
	whiskerCap   = 8
)

// glyphs draws glyphs of several styles at one place.
func (p *pen) glyphs(at point, styles []draw.GlyphStyle) {
	for _, sty := range styles {
		p.DrawGlyphNoClip(sty, p.at(at))
	}
}

const swatchWidth, swatchHeight = 34, 14

// swatch is a small drawing for a legend.
func swatch(draw func(p *pen, mid point)) Plate {
	return newPlate(canvas.Head{Class: "swatch", Width: swatchWidth, Height: swatchHeight}, func(p *pen) {
		draw(p, point{swatchWidth / 2, swatchHeight / 2})
	})
}

// lineSample is a swatch of a line.
func lineSample(style draw.LineStyle) Plate {
	return swatch(func(p *pen, mid point) { p.line(style, mid.plus(-16, 0), mid.plus(16, 0)) })
}

func lineSwatch(look style, marked bool) Plate {
	return swatch(func(p *pen, mid point) {
		p.line(look.line(), mid.plus(-16, 0), mid.plus(16, 0))
		if marked {
			p.glyphs(mid, markGlyphs(look))
		}
	})
}

func pointsSwatch(set int, barred bool) Plate {
	return swatch(func(p *pen, mid point) {
		p.glyphs(mid, readingGlyphs(set, barred))
		if barred {
			const reach, cap = swatchHeight/2 - 0.5, whiskerCap / 2
			p.stroke(whiskerLine, []point{mid.plus(0, -reach), mid.plus(0, reach)},
				[]point{mid.plus(-cap, -reach), mid.plus(cap, -reach)}, []point{mid.plus(-cap, reach), mid.plus(cap, reach)})
		}
	})
}
