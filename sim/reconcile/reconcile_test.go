package reconcile

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The three angles of a triangle, read with unlike care, must add up to 180°: each is corrected in proportion
// to its variance and chi-square is the misclosure's square over the sum of variances (the textbook's first
// example of adjustment with conditions; its closed form is exact).
func TestAnglesOfATriangle(t *testing.T) {
	angles := []Measured{{50.2, 0.1}, {60.1, 0.2}, {70.0, 0.05}}
	sum := []Measured{{180, 1e-4}}
	f := func(x, y []float64) error { y[0] = x[0] + x[1] + x[2]; return nil }
	got, err := Fit(angles, sum, f)
	require.NoError(t, err)
	variance := 0.1*0.1 + 0.2*0.2 + 0.05*0.05 + 1e-8
	miss := 180 - (50.2 + 60.1 + 70.0)
	for i, a := range angles {
		assert.InDelta(t, a.Value+miss*a.Deviation*a.Deviation/variance, got.X[i], 1e-9)
	}
	assert.InDelta(t, miss*miss/variance, got.ChiSquare, 1e-9)
	assert.InDelta(t, miss/math.Sqrt(variance), got.Standardised[0], 1e-9)
	assert.InDelta(t, 180, got.Reading[0], 1e-6)
}

// A quantity measured once directly and once through a formula is their weighted mean.
func TestWeightedMean(t *testing.T) {
	got, err := Fit([]Measured{{10, 1}}, []Measured{{13, 2}}, func(x, y []float64) error { y[0] = x[0]; return nil })
	require.NoError(t, err)
	assert.InDelta(t, (10*4+13*1)/5.0, got.X[0], 1e-9)
	assert.InDelta(t, 9/5.0, got.ChiSquare, 1e-9)
}

// Where the formula bends, the gradient of the sum of squares is zero at the values found.
func TestLeastIsStationary(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 81))
	for range 50 {
		var q []Measured
		for range 4 {
			q = append(q, Measured{1 + rng.Float64(), 0.05 + 0.1*rng.Float64()})
		}
		f := func(x, y []float64) error {
			y[0] = x[0]*x[1] + math.Sin(x[2])
			y[1] = math.Hypot(x[2], x[3]) * x[0]
			return nil
		}
		y := make([]float64, 2)
		require.NoError(t, f([]float64{1.5, 1.4, 1.6, 1.3}, y))
		r := []Measured{{y[0], 0.02}, {y[1], 0.05}}
		got, err := Fit(q, r, f)
		require.NoError(t, err)
		at := func(x []float64) float64 {
			y := make([]float64, 2)
			require.NoError(t, f(x, y))
			return sumOfSquares(q, r, x, y)
		}
		assert.InDelta(t, at(got.X), got.ChiSquare, 1e-12)
		for j := range q {
			x := append([]float64(nil), got.X...)
			h := 1e-5
			x[j] += h
			up := at(x)
			x[j] -= 2 * h
			assert.InDelta(t, 0, (up-at(x))/(2*h)*q[j].Deviation, 1e-5)
		}
	}
}

// Of normal errors, as large as stated, chi-square has the mean of its degrees of freedom and chances spread
// evenly.
func TestChiSquareOfHonestErrors(t *testing.T) {
	const rounds = 2000
	rng := rand.New(rand.NewPCG(3, 82))
	truth := []float64{1, 2, 3}
	f := func(x, y []float64) error {
		y[0], y[1] = x[0]*x[1], x[2]-x[0]*x[0]
		return nil
	}
	read := make([]float64, 2)
	require.NoError(t, f(truth, read))
	sum, low := 0.0, 0
	for range rounds {
		var q []Measured
		for _, x := range truth {
			q = append(q, Measured{x + 0.01*rng.NormFloat64(), 0.01})
		}
		r := []Measured{{read[0] + 0.02*rng.NormFloat64(), 0.02}, {read[1] + 0.01*rng.NormFloat64(), 0.01}}
		got, err := Fit(q, r, f)
		require.NoError(t, err)
		sum += got.ChiSquare
		if got.Probability < 0.1 {
			low++
		}
	}
	// The mean of n chi-squares of two degrees of freedom has a standard deviation of 2/√n; a share p of n
	// one of √(p(1 − p)/n). Four of each.
	assert.InDelta(t, 2, sum/rounds, 4*2/math.Sqrt(rounds))
	assert.InDelta(t, 0.1, float64(low)/rounds, 4*math.Sqrt(0.09/rounds))
}

// Upper critical values of chi-square at 5 % and 1 % (NIST/SEMATECH e-Handbook of Statistical Methods,
// §1.3.6.7.4, from memory).
func TestChance(t *testing.T) {
	for _, row := range []struct{ freedom, five, one float64 }{{1, 3.841, 6.635}, {3, 7.815, 11.345}, {10, 18.307, 23.209}} {
		assert.InDelta(t, 0.05, Chance(row.five, row.freedom), 2e-5)
		assert.InDelta(t, 0.01, Chance(row.one, row.freedom), 1e-5)
	}
	assert.Equal(t, 1.0, Chance(0, 3))
}

// A place that can't be is stepped round; where there is no way at all, it is an error.
func TestPlacesThatCantBe(t *testing.T) {
	edge := errors.New("beyond the edge")
	f := func(x, y []float64) error {
		if x[0] > 1.2 {
			return edge
		}
		y[0] = math.Sqrt(1.2 - x[0])
		return nil
	}
	got, err := Fit([]Measured{{1, 0.5}}, []Measured{{0, 0.01}}, f)
	if err == nil {
		assert.LessOrEqual(t, got.X[0], 1.2)
	} else {
		assert.ErrorIs(t, err, ErrUnsettled)
	}
	_, err = Fit([]Measured{{2, 0.5}}, []Measured{{0, 0.01}}, f)
	assert.ErrorIs(t, err, edge)
	assert.Panics(t, func() { _, _ = Fit([]Measured{{1, 0}}, []Measured{{0, 1}}, f) })
}
