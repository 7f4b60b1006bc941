package steering

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestDriverAndAssistance(t *testing.T) {
	g := Gear{AssistGain: 4, AssistCeiling: 4000}
	for _, c := range []struct{ rack, driver float64 }{
		{0, 0}, {1000, 200}, {-1000, -200}, {5000, 1000}, {6000, 2000}, {-6000, -2000},
	} {
		assert.InDelta(t, c.driver, g.Driver(c.rack), 1e-9, "rack force %g", c.rack)
	}
	assert.Equal(t, 700.0, Gear{}.Driver(700), "no assistance")
	assert.Equal(t, 700.0, Gear{AssistGain: 4}.Driver(700), "a ceiling of nothing is none")

	// The driver's part never falls as the rack force rises.
	last := -1.0
	for rack := 0.0; rack < 1e4; rack += 50 {
		own := g.Driver(rack)
		assert.Greater(t, own, last)
		assist := rack - own
		assert.InDelta(t, math.Min(4*own, 4000), assist, 1e-9, "the stated boost curve")
		last = own
	}
}

func TestTurningAndLetGo(t *testing.T) {
	g := Gear{RackPerRadian: 0.008, Friction: 100, Efficiency: 0.9, ReverseEfficiency: 0.7}
	near(t, (2000+100)*0.008/0.9, g.Turning(2000), 1e-12, "turning against the tyres")
	driven, lost := g.LetGo(2000, 100)
	near(t, (2000*0.7-100)*0.008, driven, 1e-12, "let go")
	near(t, 2000*0.008, driven+lost, 1e-12, "parts add up")
	driven, lost = g.LetGo(-2000, 100)
	near(t, -(2000*0.7-100)*0.008, driven, 1e-12, "mirrored")
	assert.Negative(t, lost)
	driven, _ = g.LetGo(140, 100)
	assert.Zero(t, driven, "friction holds")
	ideal := Gear{RackPerRadian: 0.008, Efficiency: 1, ReverseEfficiency: 1}
	driven, lost = ideal.LetGo(500, 0)
	near(t, ideal.Turning(500), driven, 1e-12, "no friction, no loss: the same both ways")
	assert.Zero(t, lost)
}

func TestEffortLimitsAreMarkedUnverified(t *testing.T) {
	for _, l := range EffortLimits {
		assert.False(t, l.Verified, "%s: nobody has read the regulation yet", l.Category)
		assert.True(t, l.Effort >= 150 && l.Effort <= 450 && l.Time > 0 && l.Radius > 0)
		if l.Failed {
			assert.GreaterOrEqual(t, l.Effort, 300.0)
		}
	}
}
