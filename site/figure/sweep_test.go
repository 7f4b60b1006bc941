package figure

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gonum.org/v1/plot/vg/draw"
	"turnplate/sim/clearance"

	"turnplate/sim/geom"
	"turnplate/site/canvas"
)

// sweptBy gives a corner whose tyre comes nearest, straight ahead and drooped, to an upright post behind it, with a sill
// along the side that only its far end is away from.
func sweptBy(gap float64) Scene {
	s := parallel(4, 12)
	placed := func(dz, turn float64) clearance.Placed {
		sin, cos := math.Sincos(turn)
		return clearance.Placed{Centre: s.WheelCentre.Add(geom.Point{Z: dz}), Axis: geom.Point{X: -sin, Y: cos}}
	}
	near := placed(-0.08, 0)
	behind := near.Centre.Sub(geom.Point{X: s.Radius})
	const post = 0.012
	x := behind.X - gap - post
	edge := clearance.Edge{From: geom.Point{X: x, Y: behind.Y, Z: 0.2}, To: geom.Point{X: x, Y: behind.Y, Z: 0.5}, Radius: post}
	sill := clearance.Edge{From: geom.Point{X: -0.2, Y: 0.4, Z: 0.3}, To: geom.Point{X: -3, Y: 0.4, Z: 0.3}}
	s.Swept = &Swept{
		Names: []string{"Sill", "Body mount"}, Obstacles: []clearance.Edge{sill, edge}, Gaps: []float64{0.2, gap},
		Locks:   []clearance.Placed{placed(0, -0.5), placed(0, 0.6)},
		Ends:    []clearance.Placed{placed(-0.08, 0), placed(0.1, 0)},
		Nearest: 1, Bump: -0.08, Tyre: near, Edge: edge,
		OnTyre: behind, OnEdge: behind.Sub(geom.Point{X: gap}),
	}
	return s
}

// The gap's arrows stand as far apart as the gap is, at the drawing's scale; its label says it, and whose it is.
func TestGapIsToScale(t *testing.T) {
	for _, gap := range []float64{0.021, 0.15, -0.04} {
		for _, view := range []string{"side", "top"} {
			s := sweptBy(gap)
			scale := laid(wide, drawing(view, s)).scenes[0].scale
			p := drawing(view, s).Draw(Metric)
			check(t, p)
			label := "Body mount: gap " + length(gap, Metric)
			if gap < 0 {
				label = "Body mount: overlap " + length(-gap, Metric)
			}
			assert.Contains(t, texts(p.Wide, "measured"), label)
			assert.Contains(t, texts(p.Narrow, "measured"), label)
			heads := arrows(p.Wide)
			a, b := heads[len(heads)-2][0], heads[len(heads)-1][0]
			assert.InDelta(t, math.Abs(gap)*scale, math.Hypot(a.x-b.x, a.y-b.y), 1e-3*scale, "%s %g", view, gap)
		}
		// From the front one looks along the gap: no arrows that would measure nothing.
		p := drawing("front", sweptBy(gap)).Draw(Metric)
		check(t, p)
		assert.Len(t, arrows(p.Wide), 4, "inclination and scrub radius")
		assert.Contains(t, strings.Join(texts(p.Wide, "measured"), "|"), "Body mount: ")
	}
}

// arrows are the heads of a drawing's dimension lines, each from its tip.
func arrows(p Plate) (heads [][]point) {
	for _, area := range drawn(p).areas(canvas.Black) {
		if len(area) == 3 {
			heads = append(heads, area)
		}
	}
	return heads
}

// outlines are the lines of a style that are no straight strokes.
func outlines(m marks, style draw.LineStyle) [][]point {
	return slices.DeleteFunc(m.lines(style), func(line []point) bool { return len(line) < 3 })
}

// Outlines lie on the tyre wherever its wheel is: all of the round, at the tread's radius.
func TestSweptOutlines(t *testing.T) {
	s := sweptBy(0.02)
	side, top := s.sweepIn(viewOf("side")), s.sweepIn(viewOf("top"))
	require.Len(t, side.outlines, 4, "both locks and both ends of the travel")
	require.Len(t, top.outlines, 2, "the locks")
	for _, f := range side.nearest {
		assert.InDelta(t, s.Radius, math.Hypot(f.x+s.Swept.Tyre.Centre.X, f.y-s.Swept.Tyre.Centre.Z), micron)
	}
	tyre := clearance.Tyre{Radius: s.Radius, Width: s.Width, Shoulder: s.ShoulderRadius}
	for i, at := range s.Swept.Locks {
		for _, f := range top.outlines[i] { // at the axle's height, where a tyre seen from above is widest
			p := geom.Point{X: f.y, Y: -f.x, Z: at.Centre.Z}
			gap, _ := tyre.Gap(&at, &clearance.Edge{From: p, To: p})
			assert.InDelta(t, 0, gap, micron)
		}
	}
	// The box of the drawing holds all of them, and of the sill only what is near.
	for _, view := range []string{"front", "side", "top"} {
		w := s.sweepIn(viewOf(view))
		all := s.look(viewOf(view)).region
		for _, outline := range append(w.outlines, w.nearest) {
			assert.Equal(t, all, all.with(outline...))
		}
		require.Len(t, w.edges, 2)
		assert.Greater(t, all.x.lo, s.Sketch.look(viewOf(view)).region.x.lo-0.4, "the sill's far end is metres away")
		assert.Less(t, all.x.size(), 1.6)
	}
}

// An obstacle is as thick as it is round.
func TestObstaclesAreToScale(t *testing.T) {
	s := sweptBy(0.02)
	scale := laid(wide, drawing("side", s)).scenes[0].scale
	p := drawing("side", s).Draw(Metric)
	m := drawn(p.Wide)
	var thick []float64
	for _, one := range m {
		if one.round > 0 && one.ink == canvas.Black && one.width == 0 {
			thick = append(thick, 2*one.round)
		}
	}
	assert.Contains(t, thick, 2*0.012*scale)
	assert.Len(t, outlines(m, sweptLine), 4)
	assert.Len(t, m.lines(nearestLine), 1)
}

func TestSweepInWordsAndFile(t *testing.T) {
	p := drawing("top", sweptBy(-0.005)).Draw(Metric)
	assert.Contains(t, p.Wide.SVG, "Over its sweep the tyre comes nearest to Body mount, overlap 5\u00a0mm, with the rack in its middle and the wheel 80\u00a0mm below rest.")
	rows := parse(t, CSV(drawing("top", sweptBy(0.018)), Metric))
	assert.Contains(t, rows, []string{"Corner", "Body mount, smallest gap", "", "", "", "18", "mm"})
	assert.Contains(t, rows, []string{"Corner", "Sill, to", "-3000", "400", "300", "", ""})
	var labels []string
	for _, k := range p.Keys {
		labels = append(labels, k.Label.Metric)
	}
	assert.Contains(t, labels, "Obstacle")
}

// A drawing that isn't asked for the sweep is as it was.
func TestWithoutSweepNothingChanges(t *testing.T) {
	for _, view := range []string{"front", "side", "top"} {
		p := drawing(view, parallel(4, 12)).Draw(Metric)
		for _, plate := range []Plate{p.Wide, p.Narrow} {
			m := drawn(plate)
			assert.Empty(t, slices.Concat(outlines(m, sweptLine), m.lines(nearestLine)))
			assert.NotContains(t, plate.SVG, "gap")
		}
		for _, k := range p.Keys {
			assert.NotEqual(t, "Obstacle", k.Label.Metric)
		}
	}
}

// A name too long for the drawing gives way to the gap alone.
func TestLongObstacleNames(t *testing.T) {
	s := sweptBy(0.02)
	s.Swept.Names[1] = strings.Repeat("a very long name ", 12)
	p := drawing("side", s, s, s).Draw(Metric)
	check(t, p)
	assert.Contains(t, texts(p.Narrow, "measured"), "gap 20\u00a0mm")
}

// Every obstacle is called by its name where there is room, and the nearest once, with its gap.
func TestObstaclesAreNamed(t *testing.T) {
	for _, view := range []string{"front", "side", "top"} {
		p := drawing(view, sweptBy(0.02)).Draw(Metric)
		check(t, p)
		assert.Contains(t, texts(p.Wide, "label"), "Sill", view)
		assert.NotContains(t, texts(p.Wide, "label"), "Body mount", view)
	}
}
