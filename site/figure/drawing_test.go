package figure

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/geom"
	"turnplate/site/canvas"
)

const micron = 1e-6 // metres

func outlineBox(outline []flat) (lo, hi flat) {
	x, y := nothing, nothing
	for _, p := range outline {
		x, y = x.with(p.x), y.with(p.y)
	}
	return flat{x.lo, y.lo}, flat{x.hi, y.hi}
}

// An upright tyre is as wide as its section, as high as its free radius above the axle, and flat on the
// ground below it.
func TestTyreOutline(t *testing.T) {
	s := parallel(4, 12)
	lo, hi := outlineBox(s.tyre(viewOf("front")))
	assert.InDelta(t, s.WheelCentre.Y-s.Width/2, lo.x, micron)
	assert.InDelta(t, s.WheelCentre.Y+s.Width/2, hi.x, micron)
	assert.InDelta(t, 0, lo.y, micron, "cut off by the ground")
	assert.InDelta(t, s.WheelCentre.Z+s.Radius, hi.y, micron)

	lo, hi = outlineBox(s.tyre(viewOf("side")))
	assert.InDelta(t, 2*s.Radius, hi.x-lo.x, micron)
	for _, p := range s.tyre(viewOf("side")) {
		r := math.Hypot(p.x, p.y-s.WheelCentre.Z)
		assert.True(t, math.Abs(r-s.Radius) < micron || p.y < micron, "on the circle or on the ground")
	}
	lo, hi = outlineBox(s.tyre(viewOf("top")))
	assert.InDelta(t, 2*s.Radius, hi.y-lo.y, micron)
	assert.InDelta(t, s.Width, hi.x-lo.x, micron)
}

// The contact patch of a circle of radius r cut at height h is 2·sqrt(r² − h²) long (Pythagoras).
func TestFlatOfTheTyre(t *testing.T) {
	s := parallel(4, 12)
	s.ShoulderRadius = 0
	ground := nothing
	for _, p := range s.tyre(viewOf("side")) {
		if p.y < micron {
			ground = ground.with(p.x)
		}
	}
	chord := func(r float64) float64 { return 2 * math.Sqrt(r*r-s.WheelCentre.Z*s.WheelCentre.Z) }
	assert.LessOrEqual(t, ground.size(), chord(s.Radius)+micron)
	assert.GreaterOrEqual(t, ground.size(), chord(s.Radius*math.Cos(math.Pi/96)), "the circle is drawn with 96 facets")
}

func TestHull(t *testing.T) {
	square := []flat{{0, 0}, {1, 0}, {1, 1}, {0, 1}}
	assert.ElementsMatch(t, square, hull(append(square, flat{0.5, 0.5}, flat{0.2, 0}, flat{1, 0.7}, flat{0, 0})))
}

func TestViewsLookTheRightWay(t *testing.T) {
	left, ahead, up := geom.Point{Y: 1}, geom.Point{X: 1}, geom.Point{Z: 1}
	// Facing the vehicle, its left wheel is on one's right.
	assert.Equal(t, flat{1, 0}, viewOf("front").of(left))
	assert.Equal(t, flat{0, 1}, viewOf("front").of(up))
	// Standing at its left, its nose is on one's left.
	assert.Equal(t, flat{-1, 0}, viewOf("side").of(ahead))
	// Above it and facing as it does, its left is on one's left.
	assert.Equal(t, flat{-1, 0}, viewOf("top").of(left))
	assert.Equal(t, flat{0, 1}, viewOf("top").of(ahead))
}

// A dimension line is as long as its value at the drawing's scale, for every view, and says the value.
func TestDimensionsAreToScale(t *testing.T) {
	for _, c := range []struct {
		view, name string
		value      func(Scene) float64
	}{
		{"front", "Scrub radius", func(s Scene) float64 { return s.ScrubRadius }},
		{"side", "Trail", func(s Scene) float64 { return s.Trail }},
		{"top", "Trail", func(s Scene) float64 { return s.Trail }},
	} {
		s := parallel(9, -7) // large enough for arrows inside
		sh := laid(wide, drawing(c.view, s))
		scale := sh.scenes[0].scale
		if sh.ground != nil {
			scale *= sh.ground.times
		}
		p := drawing(c.view, s).Draw(Metric)
		check(t, p)
		assert.Contains(t, texts(p.Wide, "measured"), c.name+" "+length(c.value(s), Metric), c.view)
		want := math.Abs(c.value(s)) * scale
		found := false
		for _, pts := range drawn(p.Wide).lines(measureLine) {
			if len(pts) == 2 && math.Abs(math.Hypot(pts[1].x-pts[0].x, pts[1].y-pts[0].y)-want) < 0.3 {
				found = true
			}
		}
		assert.True(t, found, "%s: no dimension line of %.1f px", c.view, want)
	}
}

func TestDrawnAnglesAreTheSketchs(t *testing.T) {
	s := parallel(5, 13)
	for view, want := range map[string]float64{"front": s.Inclination, "side": s.Caster} {
		sh := laid(wide, drawing(view, s))
		_, lean := sh.scenes[0].axisTop()
		assert.InDelta(t, want, math.Abs(lean), 1e-9, view)
	}
	p := drawing("side", s).Draw(Metric)
	assert.Contains(t, texts(p.Wide, "measured"), "Caster 5.0°")
	p = drawing("front", s).Draw(Metric)
	assert.Contains(t, texts(p.Wide, "measured"), "Inclination 13.0°")
	assert.Contains(t, texts(p.Wide, "measured"), "Camber 0.0°")
}

func TestScenesShareOneScale(t *testing.T) {
	small, large := parallel(4, 12), parallel(4, 12)
	large.Radius, large.WheelCentre.Z = 0.6, 0.58
	sh := laid(wide, drawing("side", small, large))
	require.Len(t, sh.scenes, 2)
	assert.Equal(t, sh.scenes[0].scale, sh.scenes[1].scale)
	assert.InDelta(t, sh.scenes[0].area.bottom(), sh.scenes[1].area.bottom(), sameplace, "both stand on one ground")
}

// Steered, trail and scrub radius run along and across the heading, which no view but the top shows.
func TestSteeredCornersHaveNoFalseDimensions(t *testing.T) {
	s := parallel(4, 12)
	s.Spin = geom.Point{X: 0.5, Y: 0.866}
	s.Trail, s.ScrubRadius = 0.05, 0.01
	p := drawing("front", s, s).Draw(Metric)
	check(t, p)
	assert.Contains(t, strings.Join(texts(p.Wide, "measured"), "|"), "Scrub radius")
	for _, line := range drawn(p.Wide).lines(measureLine) {
		assert.Greater(t, len(line), 2, "only the angle's arc, no line")
	}
}

func TestOutOfReachIsLeftOutAndSaid(t *testing.T) {
	gone := parallel(4, 12)
	gone.UpperBall.Z = math.NaN()
	p := drawing("front", gone, parallel(4, 12), gone).Draw(Metric)
	check(t, p)
	assert.Equal(t, []string{"2 of them are out of reach and left out."}, p.Notes)
	assert.Len(t, drawn(p.Wide).areas(canvas.Wash), 1, "one tyre")
	p = drawing("front", gone).Draw(Metric)
	check(t, p)
	assert.Empty(t, p.Keys)
}

func TestLengthsInBothSystems(t *testing.T) {
	p := drawing("side", parallel(6, 12)).Draw(Metric)
	s := parallel(6, 12)
	assert.Contains(t, texts(p.Wide, "measured in-us"), "Trail "+length(s.Trail, US))
	assert.Equal(t, "1.00\u00a0in", length(0.0254, US))
	assert.Equal(t, "−25\u00a0mm", length(-0.0254, Metric))
	assert.Equal(t, "–", length(math.NaN(), Metric))
}

func BenchmarkDrawCorner(b *testing.B) {
	d := drawing("front", parallel(4, 12), parallel(6, 11))
	for b.Loop() {
		d.Draw(Metric)
	}
}

// BenchmarkDrawDial draws a corner at every position of a dial. The time for each should stay the same.
func BenchmarkDrawDial(b *testing.B) {
	for _, n := range []int{10, 100} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				var list []Figure
				for i := range n {
					list = append(list, drawing("front", parallel(8*float64(i)/float64(n), 12)))
				}
				Steady(list)
				for _, f := range list {
					f.(*Drawing).Draw(Metric)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*n), "µs/position")
		})
	}
}
