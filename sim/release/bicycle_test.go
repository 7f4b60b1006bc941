package release

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/agree"
)

// Figures computed by an independent script are printed to about six figures.
const printed = 1e-5

// Abe, Vehicle Handling Dynamics, examples 3.7 and 3.8: parameters as coded by readers of the book (seen; stiffness per
// tyre); results computed from the formulas, the book's own not seen.
func abe(kph float64) Bicycle {
	return Bicycle{Mass: 1500, YawInertia: 2500, Front: 1.1, Rear: 1.6, FrontCornering: 2 * 55000, RearCornering: 2 * 60000, Speed: kph / 3.6}
}

func TestBicycleAbe(t *testing.T) {
	agree.Relative(t, 0.00110675, abe(80).StabilityFactor(), printed, "stability factor")
	agree.Relative(t, 1.67959*math.Pi/180, abe(80).UndersteerGradient()*9.81, 1e-4, "understeer gradient")
	agree.Relative(t, 108.213/3.6, abe(80).CharacteristicSpeed(), printed, "characteristic speed")
	for _, row := range []struct{ kph, frequency, damping, re, im, gain float64 }{
		{80, 8.96455, 0.826891, -7.41270, 5.04133, 5.32184},
		{100, 7.85216, 0.755227, -5.93016, 5.14680, 5.54921},
	} {
		b := abe(row.kph)
		values := Eigenvalues(b.Matrix())
		require.Len(t, values, 2)
		const eigen = 1e-4
		assert.InDelta(t, row.re, real(values[0]), eigen)
		assert.InDelta(t, row.im, imag(values[0]), eigen)
		assert.InDelta(t, -row.im, imag(values[1]), eigen)
		mode, swings := LeastDamped(values)
		assert.True(t, swings)
		assert.InDelta(t, row.frequency, mode.Frequency, eigen)
		assert.InDelta(t, row.damping, mode.DampingRatio, eigen)
		agree.Relative(t, row.gain, b.YawGain(), printed, "yaw gain")
		assert.True(t, Stable(values))
	}
}

// Exercises whose data were seen without answers, and Wong's example 5.1 (from memory); answers computed.
func TestUndersteerExercises(t *testing.T) {
	const pound, foot, gForce, gMetric = 1.0, 1.0, 32.2, 9.81
	imperial := Bicycle{Mass: 4520 * pound / gForce, Front: 0.45 * 10.5 * foot, Rear: 0.55 * 10.5 * foot, FrontCornering: 2 * 8750, RearCornering: 2 * 8600}
	agree.Relative(t, 0.023801, imperial.UndersteerGradient()*gForce, 1e-4, "4520 lb: gradient per g")
	agree.Relative(t, 119.185, imperial.CharacteristicSpeed(), 1e-4, "4520 lb: characteristic speed, ft/s")
	metric := Bicycle{Mass: 1500, Front: 0.45 * 2.8, Rear: 0.55 * 2.8, FrontCornering: 84000, RearCornering: 90000}
	agree.Relative(t, 0.0227732, metric.UndersteerGradient()*gMetric, 1e-4, "1500 kg: gradient per g")
	agree.Relative(t, 34.7297, metric.CharacteristicSpeed(), 1e-4, "1500 kg: characteristic speed")
	wong := Bicycle{Mass: 20105 / gMetric, Front: 0.465 * 2.8, Rear: 0.535 * 2.8, FrontCornering: 2 * 38920, RearCornering: 2 * 38250}
	agree.Relative(t, 0.015976, wong.UndersteerGradient()*gMetric, 1e-4, "Wong: gradient per g")
	agree.Relative(t, 41.46, wong.CharacteristicSpeed(), 2e-4, "Wong: characteristic speed")
}

func TestOversteerHasNoCharacteristicSpeedAndTurnsUnstable(t *testing.T) {
	b := abe(60)
	b.RearCornering = 70000
	assert.Negative(t, b.UndersteerGradient())
	assert.True(t, math.IsNaN(b.CharacteristicSpeed()))
	critical := math.Sqrt(-1 / b.StabilityFactor())
	b.Speed = 0.99 * critical
	assert.True(t, Stable(Eigenvalues(b.Matrix())), "below the critical speed")
	b.Speed = 1.01 * critical
	assert.False(t, Stable(Eigenvalues(b.Matrix())), "above it")
}

func TestModes(t *testing.T) {
	m := ModeOf(complex(-3, 4))
	assert.Equal(t, Mode{5, 0.6, true}, m)
	assert.Negative(t, ModeOf(complex(1, 4)).DampingRatio, "a growing motion")
	assert.Equal(t, Mode{2, 1, false}, ModeOf(-2))
	_, ok := LeastDamped([]complex128{-1, -2})
	assert.False(t, ok, "nothing swings")
	assert.False(t, Stable(nil))
	b := abe(80)
	b.Mass = math.NaN()
	assert.Nil(t, Eigenvalues(b.Matrix()))
}
