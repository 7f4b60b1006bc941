package root

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const tight = 1e-12

func search() Search {
	return Search{Least: -10, Most: 10, Step: 0.5, Close: 1e-13, Resolution: 1e-14}
}

func TestFollowFindsTheZeroOfARisingCubic(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		zero := rapid.Float64Range(-3, 3).Draw(t, "zero")
		bend := rapid.Float64Range(0, 2).Draw(t, "bend")
		calls := 0
		x, err := search().Follow(func(x float64) (float64, float64, error) {
			calls++
			d := x - zero
			return d + bend*d*d*d, 1 + 3*bend*d*d, nil
		})
		require.NoError(t, err)
		if !(math.Abs(x-zero) <= tight) {
			t.Fatalf("found %v", x)
		}
		assert.LessOrEqual(t, calls, 20)
	})
}

// The zero nearest on the way is found, not one beyond a place where the quantity turns back.
func TestFollowKeepsToItsBranch(t *testing.T) {
	wave := func(level float64) func(float64) (float64, float64, error) {
		return func(x float64) (float64, float64, error) { return math.Sin(x) - level, math.Cos(x), nil }
	}
	x, err := search().Follow(wave(0.999))
	require.NoError(t, err)
	assert.InDelta(t, math.Asin(0.999), x, 1e-10)
	_, err = search().Follow(wave(1.001))
	assert.ErrorIs(t, err, ErrTurnsBack)
	_, err = search().Follow(wave(math.NaN()))
	assert.Error(t, err)
}

// Where the quantity ends before the value, its own error comes back.
func TestFollowReportsTheEnd(t *testing.T) {
	gone := errors.New("gone")
	cut := func(end float64) func(float64) (float64, float64, error) {
		return func(x float64) (float64, float64, error) {
			if x > end {
				return 0, 0, gone
			}
			return x - 1, 1, nil
		}
	}
	_, err := search().Follow(cut(0.9999))
	assert.ErrorIs(t, err, gone)
	x, err := search().Follow(cut(1.0001))
	require.NoError(t, err)
	assert.InDelta(t, 1, x, tight)
	_, err = search().Follow(cut(-1))
	assert.ErrorIs(t, err, gone, "already gone where the search starts")
	s := search()
	s.Most = 0.5
	_, err = s.Follow(cut(5))
	assert.ErrorIs(t, err, ErrEnd)
}

// The inverse Hermite step is exact for a quantity whose inverse is a cubic.
func TestHermiteStep(t *testing.T) {
	inverse := func(f float64) (x, slope float64) { return 1 + 2*f - 0.3*f*f + 0.1*f*f*f, 2 - 0.6*f + 0.3*f*f }
	x0, d0 := inverse(-0.7)
	x1, d1 := inverse(0.4)
	assert.InDelta(t, 1, x1+hermite(x0-x1, -0.7, 1/d0, 0.4, 1/d1), tight)
}
