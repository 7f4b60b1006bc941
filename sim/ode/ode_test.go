package ode

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
)

// The conditions a fifth-order pair must meet (Hairer, Nørsett & Wanner, section II.1): rows sum to their nodes, and
// Σb·c^k = 1/(k+1) and the tall-tree condition Σ b·a·a·a·c = 1/120 hold for the fifth-order weights; the fourth-order ones
// miss the first of fifth order, or they would be no measure of error.
func TestTableau(t *testing.T) {
	const rounding = 1e-14
	for i, row := range stages {
		sum := 0.0
		for _, a := range row {
			sum += a
		}
		assert.InDelta(t, nodes[i], sum, rounding, "row %d", i)
	}
	weights := stages[6]
	for k := range 5 {
		fifth, fourth := 0.0, -difference[6]
		for i, b := range weights {
			c := math.Pow(nodes[i], float64(k))
			fifth += b * c
			fourth += (b - difference[i]) * c
		}
		assert.InDelta(t, 1/float64(k+1), fifth, rounding, "fifth-order weights, k = %d", k)
		if k < 4 {
			assert.InDelta(t, 1/float64(k+1), fourth, rounding, "fourth-order weights, k = %d", k)
		} else {
			assert.Greater(t, math.Abs(fourth-0.2), 1e-4)
		}
	}
	v := append([]float64{}, nodes[:6]...)
	for range 3 {
		w := make([]float64, 6)
		for i := range w {
			for j := range i {
				w[i] += stages[i][j] * v[j]
			}
		}
		v = w
	}
	sum := 0.0
	for i, b := range weights {
		sum += b * v[i]
	}
	assert.InDelta(t, 1./120, sum, rounding)
}

// wave is y′ = y·cos t, whose solution from y(0) = 1 is exp(sin t).
func wave(t float64, y, dydt []float64) { dydt[0] = y[0] * math.Cos(t) }

func waveAt(t float64) float64 { return math.Exp(math.Sin(t)) }

// Halving a fixed step must cut the error at the end by 2⁵ and the interpolant's error inside a step by 2⁵ (its
// order is four, its error in one step of the fifth power).
func TestOrder(t *testing.T) {
	const orderSpread = 0.4
	run := func(steps int) (endError float64) {
		s := newStepper(wave, []float64{1})
		h := 3.0 / float64(steps)
		wave(0, s.y, s.k[0])
		for i := range steps {
			s.try(float64(i)*h, h)
			s.accept()
		}
		return math.Abs(s.y[0] - waveAt(3))
	}
	order := math.Log2(run(40) / run(80))
	t.Logf("observed order of the end value: %.2f", order)
	assert.InDelta(t, 5, order, orderSpread)

	inside := func(h float64) (most float64) {
		from := 0.4
		s := newStepper(wave, []float64{waveAt(from)})
		wave(from, s.y, s.k[0])
		s.try(from, h)
		s.prepare(h)
		span, y := Span{From: from, To: from + h, s: s, h: h}, []float64{0}
		for u := 0.05; u < 1; u += 0.05 {
			span.At(from+u*h, y)
			most = math.Max(most, math.Abs(y[0]-waveAt(from+u*h)))
		}
		span.At(from+h, y)
		assert.InDelta(t, s.next[0], y[0], 1e-15, "the interpolant ends at the step's end")
		span.At(from, y)
		assert.Equal(t, s.y[0], y[0], "and starts at its start")
		return most
	}
	order = math.Log2(inside(0.2) / inside(0.1))
	t.Logf("observed power of the interpolant's error: %.2f", order)
	assert.InDelta(t, 5, order, orderSpread)
}

// The error follows the tolerance asked for, and a tighter one costs more steps.
func TestErrorControl(t *testing.T) {
	lastSteps := 0
	for _, tolerance := range []float64{1e-4, 1e-6, 1e-8, 1e-10} {
		y := []float64{1}
		end, err := Integrate(wave, 0, 10, y, Options{Relative: tolerance, Absolute: []float64{tolerance}})
		require.NoError(t, err)
		assert.Equal(t, 10.0, end.T)
		missed := math.Abs(y[0] - waveAt(10))
		t.Logf("tolerance %.0e: error %.1e in %d steps, %d calls", tolerance, missed, end.Steps, end.Calls)
		assert.Less(t, missed, 30*tolerance, "the error adds up over the steps but stays near the tolerance")
		assert.Greater(t, end.Steps, lastSteps)
		lastSteps = end.Steps
	}
}

// Linear systems have exact solutions by gonum's matrix exponential.
func TestLinearAgainstMatrixExponential(t *testing.T) {
	const tolerance, within = 1e-10, 1e-8
	a := mat.NewDense(4, 4, []float64{
		0, 1, 0, 0,
		-40, -0.6, 3, 0.2,
		0, 0, 0, 1,
		2, 0.1, -9, -0.3,
	})
	f := func(_ float64, y, dydt []float64) {
		for i := range 4 {
			dydt[i] = 0
			for j := range 4 {
				dydt[i] += a.At(i, j) * y[j]
			}
		}
	}
	start := []float64{1, 0, -0.5, 2}
	exact := func(t float64) []float64 {
		var scaled, e mat.Dense
		scaled.Scale(t, a)
		e.Exp(&scaled)
		var y mat.VecDense
		y.MulVec(&e, mat.NewVecDense(4, start))
		return y.RawVector().Data
	}
	times := []float64{0, 0.001, 0.7, 1.3, 2.9, 3, 5}
	seen := 0
	y := append([]float64{}, start...)
	_, err := Integrate(f, 0, 5, y, Options{Relative: tolerance, Absolute: []float64{tolerance, tolerance, tolerance, tolerance},
		Each: Sampler(times, 4, func(i int, y []float64) {
			assert.Equal(t, seen, i)
			seen++
			assert.InDeltaSlice(t, exact(times[i]), y, within, "at %g s", times[i])
		})})
	require.NoError(t, err)
	assert.Equal(t, len(times), seen, "every time asked for is given, ends included")
	assert.InDeltaSlice(t, exact(5), y, within)
}

// A stone dropped from 10 m lands at √(2h/g), and one that bounces with e = 0.8 stops its second flight 2·e·√(2h/g) later.
func TestEventLocation(t *testing.T) {
	const g, located = 9.81, 1e-12
	fall := func(_ float64, y, dydt []float64) { dydt[0], dydt[1] = y[1], -g }
	ground := []Event{{Value: func(_ float64, y []float64) float64 { return y[0] }, Direction: -1}}
	y := []float64{10, 0}
	end, err := Integrate(fall, 0, 100, y, Options{Events: ground})
	require.NoError(t, err)
	landing := math.Sqrt(20 / g)
	assert.Equal(t, 0, end.Event)
	assert.InDelta(t, landing, end.T, located)
	assert.InDelta(t, -g*landing, y[1], 1e-10)

	y[0], y[1] = 0, -0.8*y[1]
	end, err = Integrate(fall, end.T, 100, y, Options{Events: ground})
	require.NoError(t, err)
	assert.Equal(t, 0, end.Event, "starting on the event doesn't count, coming back to it does")
	assert.InDelta(t, landing*(1+2*0.8), end.T, located)
}

func TestEventChoice(t *testing.T) {
	turn := func(_ float64, y, dydt []float64) { dydt[0], dydt[1] = y[1], -y[0] } // sin t, cos t
	zero := func(_ float64, y []float64) float64 { return y[0] - 0.5 }
	start := []float64{0, 1}
	const located = 1e-7
	at := func(direction int) float64 {
		y := append([]float64{}, start...)
		end, err := Integrate(turn, 0, 6, y, Options{Relative: 1e-9, Events: []Event{{zero, direction}}})
		require.NoError(t, err)
		require.Equal(t, 0, end.Event)
		return end.T
	}
	assert.InDelta(t, math.Pi/6, at(1), located, "rising")
	assert.InDelta(t, 5*math.Pi/6, at(-1), located, "falling")
	assert.InDelta(t, math.Pi/6, at(0), located, "either")

	// Of several, the earliest stops; a pair of zeros within one long step isn't missed.
	y := append([]float64{}, start...)
	end, err := Integrate(turn, 0, 6, y, Options{Relative: 1e-9, Events: []Event{
		{func(_ float64, y []float64) float64 { return y[0] - 0.9 }, 1},
		{func(_ float64, y []float64) float64 { return y[0] - 0.2 }, 1},
	}})
	require.NoError(t, err)
	assert.Equal(t, 1, end.Event)
	straight := func(_ float64, _, dydt []float64) { dydt[0] = 1 }
	y = []float64{0}
	end, err = Integrate(straight, 0, 10, y, Options{Events: []Event{
		{func(t float64, _ []float64) float64 { return math.Abs(t-5) - 1.3 }, -1},
	}})
	require.NoError(t, err)
	assert.InDelta(t, 3.7, end.T, 1e-9)

	// The samples before an event are given, those after it aren't.
	var got []float64
	y = append([]float64{}, start...)
	times := []float64{0.1, 0.5, 0.6}
	_, err = Integrate(turn, 0, 6, y, Options{Events: []Event{{zero, 1}},
		Each: Sampler(times, 2, func(_ int, y []float64) { got = append(got, y[0]) })})
	require.NoError(t, err)
	require.Len(t, got, 2)
	assert.InDelta(t, math.Sin(0.5), got[1], 1e-5)
}

func TestRefusals(t *testing.T) {
	y := []float64{1}
	_, err := Integrate(wave, 1, 0, y, Options{})
	assert.ErrorIs(t, err, ErrInterval)
	_, err = Integrate(wave, 0, math.NaN(), y, Options{})
	assert.ErrorIs(t, err, ErrInterval)
	_, err = Integrate(wave, 0, 100, y, Options{MaxSteps: 3})
	assert.ErrorIs(t, err, ErrTooLong)

	// y′ = y² from 1 runs off to infinity at t = 1.
	y = []float64{1}
	end, err := Integrate(func(_ float64, y, dydt []float64) { dydt[0] = y[0] * y[0] }, 0, 2, y, Options{})
	assert.Error(t, err)
	assert.InDelta(t, 1, end.T, 1e-3)
	assert.False(t, math.IsNaN(y[0]))

	y = []float64{1}
	_, err = Integrate(func(_ float64, _, dydt []float64) { dydt[0] = math.NaN() }, 0, 2, y, Options{})
	assert.ErrorIs(t, err, ErrStep)
	assert.Equal(t, 1.0, y[0])

	end, err = Integrate(wave, 3, 3, y, Options{})
	require.NoError(t, err)
	assert.Equal(t, 3.0, end.T)
	assert.Panics(t, func() { _, _ = Integrate(wave, 0, 1, y, Options{Absolute: []float64{1, 1}}) })
}

func TestMaxStep(t *testing.T) {
	widest := 0.0
	y := []float64{1}
	_, err := Integrate(wave, 0, 3, y, Options{MaxStep: 0.05, Each: func(s Span) { widest = math.Max(widest, s.To-s.From) }})
	require.NoError(t, err)
	assert.LessOrEqual(t, widest, 0.05*1.011, "the last step may be stretched by a hundredth")
}

func BenchmarkIntegrate(b *testing.B) {
	for b.Loop() {
		y := []float64{1}
		_, _ = Integrate(wave, 0, 10, y, Options{})
	}
}
