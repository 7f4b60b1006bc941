package figure

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/geom"
)

// The ellipses of a covariance in two views: numpy's eigenvalues of it there times scipy's 95 % quantile of χ² with two
// degrees of freedom, 5.991465, whose root JCGM 102:2011 gives as 2.45.
func TestEllipse(t *testing.T) {
	s := parallel(4, 12)
	s.Spread = []Covariance{{{4e-6, 1.2e-6, 0.5e-6}, {1.2e-6, 1e-6, -0.2e-6}, {0.5e-6, -0.2e-6, 2.25e-6}}}
	for view, want := range map[string][3]float64{
		"front": {3.697005568923e-3, 2.409234235489e-3, 1.7256477990661}, "side": {4.976084619787e-3, 3.561633793098e-3, 2.8820195964665},
	} {
		a, b, angle := s.ellipse(0, viewOf(view))
		assert.InDelta(t, want[0], a, 1e-10, view)
		assert.InDelta(t, want[1], b, 1e-10, view)
		assert.InDelta(t, 0, math.Sin(angle-want[2]), 1e-7, "%s: an axis has no head", view)
	}
	s.Spread[0] = Covariance{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
	a, b, _ := s.ellipse(0, viewOf("oblique"))
	assert.InDelta(t, 2.45, a, 0.005)
	assert.InDelta(t, a, b, 1e-9, "a sphere looks like a circle from anywhere")
}

// Points that were typed come back in labels, list and file, whatever the ground has done since.
func TestPointsComeBackAsTyped(t *testing.T) {
	s := parallel(4, 12)
	sin, cos := math.Sincos(0.02)
	s.Forward, s.Up, s.GroundHeight = geom.Point{X: cos, Z: -sin}, geom.Point{X: sin, Z: cos}, -0.0413
	typed := geom.Point{X: -0.014, Y: 0.672, Z: 0.6405}
	s.UpperBall = geom.Point{X: typed.Dot(s.Forward), Y: typed.Y, Z: typed.Dot(s.Up) - s.GroundHeight}
	d := drawing("front", s)
	d.Points = true
	p := d.Draw(Metric)
	check(t, p)
	assert.Contains(t, texts(p.Wide, "measured in-metric"), "−14, 672, 640.5")
	assert.Contains(t, texts(p.Wide, "measured in-us"), "−0.55, 26.46, 25.22")
	assert.Contains(t, p.Narrow.SVG, ">Upper ball joint<")
	assert.Contains(t, p.Wide.SVG, "upper ball joint −14, 672, 640.5", "in words too")
	found := false
	for _, row := range d.records(Metric) {
		if row[1] == "Upper ball joint" {
			found = true
			assert.Equal(t, []string{"-14", "672", "640.5"}, row[2:5])
		}
	}
	assert.True(t, found)
	for _, scenes := range [][]Scene{{s}, {s, s}, {s, s, s}} {
		d := drawing("oblique", scenes...)
		d.Points = true
		check(t, d.Draw(US))
	}
}

// Ellipses are drawn as many times too large as the legend says, and the file has half of each coordinate's interval.
func TestEllipsesAreDrawnAsSaid(t *testing.T) {
	s := parallel(4, 12)
	s.Spread = make([]Covariance, Measured)
	for i := range s.Spread {
		s.Spread[i] = Covariance{{4e-6, 0, 0}, {0, 1e-6, 0}, {0, 0, 1e-6}} // 2 mm and 1 mm
	}
	d := drawing("side", s)
	d.Points = true
	p := d.Draw(Metric)
	check(t, p)
	sh := laid(wide, d)
	require.Greater(t, sh.times, 1.0)
	assert.Equal(t, "Where a point lies (95 %), drawn "+number(sh.times, 0)+" times too large", p.Keys[len(p.Keys)-1].Label.Metric)
	drawn := drawn(p.Wide).areas(ellipseFill)
	require.Len(t, drawn, Measured)
	x := nothing
	for _, q := range drawn[0] {
		x = x.with(q.x)
	}
	assert.InDelta(t, 2*2.4477*2e-3*sh.times*sh.scenes[0].scale, x.size(), 0.2)
	rows := d.records(Metric)
	assert.Equal(t, []string{"± x (mm)", "± y (mm)", "± z (mm)"}, rows[0][7:])
	assert.Equal(t, []string{"3.92", "1.96", "1.96"}, rows[1][7:])
	for _, row := range rows {
		assert.Len(t, row, len(rows[0]))
	}
}

// A point that differs from side to side shows, and is named with how far it is off.
func TestBothSides(t *testing.T) {
	s := parallel(4, 12)
	other := s.Sketch
	s.Other = &other
	d := drawing("top", s)
	p := d.Draw(Metric)
	check(t, p)
	assert.Equal(t, "Right side, mirrored: it is like the left one", p.Keys[len(p.Keys)-1].Label.Metric)
	other.TieOuter.Y = -other.TieOuter.Y
	p = d.Draw(Metric)
	check(t, p)
	key := p.Keys[len(p.Keys)-1]
	assert.Equal(t, "Right side, mirrored: at most 1400\u00a0mm away (tie rod, outer joint)", key.Label.Metric)
	assert.Equal(t, "Right side, mirrored: at most 55.12\u00a0in away (tie rod, outer joint)", key.Label.US)
	assert.LessOrEqual(t, s.look(viewOf("front")).region.x.lo, -0.7, "it has its room")
	found := false
	for _, row := range d.records(Metric) {
		found = found || row[1] == "Right: tie rod, outer joint" && row[3] == "-700"
	}
	assert.True(t, found)
}
