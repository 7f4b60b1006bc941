package figure

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/geom"
)

// turned is a corner steered about the upright line through its contact centre, which changes neither trail nor scrub radius.
func turned(s Scene, angle float64) Scene {
	sin, cos := math.Sincos(angle)
	for _, p := range []*geom.Point{&s.UpperBall, &s.LowerBall, &s.AxisGround, &s.WheelCentre} {
		d := p.Sub(s.Contact)
		*p = s.Contact.Add(geom.Point{X: d.X*cos - d.Y*sin, Y: d.X*sin + d.Y*cos, Z: d.Z})
	}
	s.Spin = geom.Point{X: -sin, Y: cos}
	return s
}

// On the ground under a wheel, trail lies ahead of the tyre and scrub radius inboard of it, in true size at any lock.
func TestTheGroundIsSeenSquare(t *testing.T) {
	for _, steer := range []float64{0, 0.4, -0.6} {
		s := turned(parallel(6, 11), steer)
		side, front := viewOf("side").spot(s.Sketch), viewOf("front").spot(s.Sketch)
		assert.InDelta(t, -s.Trail, side.meet, 1e-12)
		assert.InDelta(t, -s.ScrubRadius, front.meet, 1e-12)
		assert.InDelta(t, math.Tan(s.Caster), side.lean, 1e-12, "back, which is to the right")
		assert.InDelta(t, -math.Tan(s.Inclination), front.lean, 1e-12, "inboard, which is to the left")
	}
}

// The inset stands still, and holds both places, at every position of a dial.
func TestTheGroundStandsStill(t *testing.T) {
	var all []Figure
	for _, caster := range []float64{-2, 3, 8} {
		all = append(all, drawing("side", parallel(caster, 12)))
	}
	(&Drawing{}).steady(all)
	for _, l := range []layout{wide, narrow} {
		var first *inset
		for _, f := range all {
			d := f.(*Drawing)
			in := laid(l, d).ground
			require.NotNil(t, in, l.name)
			if first == nil {
				first = in
			}
			assert.Equal(t, first, in)
		}
		for _, f := range all {
			d := f.(*Drawing)
			sh := laid(l, d)
			for _, x := range []float64{0, viewOf("side").spot(d.Scenes[0].Sketch).meet} {
				at := first.zero + x*sh.scenes[0].scale*first.times
				assert.Greater(t, at, first.x)
				assert.Less(t, at, first.right())
			}
			check(t, d.Draw(Metric))
		}
	}
}

func TestOnlyALoneUprightCornerHasAnInset(t *testing.T) {
	s := parallel(5, 12)
	assert.Nil(t, laid(wide, drawing("top", s)).ground)
	assert.Nil(t, laid(wide, drawing("side", s, s)).ground)
	far := s
	far.AxisGround.X = 3 // no room at a scale that shows more
	assert.Nil(t, laid(wide, drawing("side", far)).ground)
}
