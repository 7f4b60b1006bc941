package survey

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/mat"

	"turnplate/sim/geom"
)

// from is a network of one unknown point, last, and fixed ones, from which distances to it were read.
func from(kind Kind, deviation float64, fixed []geom.Point, distances ...float64) *Network {
	n := &Network{Loosest: 1000 * deviation}
	for i, p := range fixed {
		n.Points = append(n.Points, Fixed(p))
		n.Readings = append(n.Readings, Reading{kind, i, len(fixed), distances[i], deviation})
	}
	z := Coordinate{Unknown: 2, Sign: 1}
	if kind == Floor {
		z = Coordinate{}
	}
	n.Points = append(n.Points, Place{{Unknown: 0, Sign: 1}, {Unknown: 1, Sign: 1}, z})
	return n
}

func within(t *testing.T, want, got []float64, delta float64) {
	t.Helper()
	require.Len(t, got, len(want))
	for i := range want {
		assert.InDelta(t, want[i], got[i], delta, "item %d", i)
	}
}

func deviations(a *Adjustment) (list []float64) {
	for j := range a.X {
		list = append(list, math.Sqrt(a.Covariance.At(j, j)))
	}
	return list
}

// A plane trilateration with one redundant distance, in feet with unit weights. The inputs are a textbook's (Ghilani
// and Wolf, Adjustment Computations, from memory); the answers were computed with numpy and scipy. S₀ scales here, as
// the book does, and one redundancy can't tell which reading is wrong.
func TestPlaneTrilateration(t *testing.T) {
	n := from(Floor, 1, []geom.Point{{X: 865.40, Y: 4527.15}, {X: 2432.55, Y: 2047.25}, {X: 2865.22, Y: 27.15}}, 6049.00, 4736.83, 5446.49)
	a, err := n.Adjust([]float64{6900, 3700})
	require.NoError(t, err)
	within(t, []float64{6861.31679, 3727.81857}, a.X, 1e-5)
	within(t, []float64{-0.03737, 0.07679, -0.04737}, a.Residual, 1e-5)
	within(t, []float64{0.14645, 0.61832, 0.23523}, a.Redundancy, 1e-5)
	s0 := math.Sqrt(a.Misfit / float64(a.Freedom))
	assert.InDelta(t, 0.09766, s0, 1e-5)
	d := deviations(a)
	within(t, []float64{0.07753, 0.15425}, []float64{s0 * d[0], s0 * d[1]}, 1e-5)
	for _, w := range a.Standardised {
		assert.InDelta(t, 1, math.Abs(w)/s0, 1e-6)
	}
}

// Published data: A. Norrdine, An algebraic solution to the multilateration problem, IPIN 2012. Distances 4 and 5 are
// known to be too long by 0.12 and 0.14 m. Answers computed with numpy and scipy.
func TestPublishedDistances(t *testing.T) {
	marks := []geom.Point{{X: 27.297, Y: -4.953, Z: 1.47}, {X: 20.693, Y: -4.849, Z: 1.93}, {X: 22.590, Y: 0.524, Z: 1.2},
		{X: 17.113, Y: -3.003, Z: 2.17}, {X: 22.554, Y: 4.727, Z: 1.77}, {X: 22.447, Y: -7.880, Z: 1.6}}
	start := []float64{27, -1, 1}
	a, err := from(Tape, 0.02, marks, 3.652, 7.036, 4.586, 9.960, 7.542, 7.883).Adjust(start)
	require.NoError(t, err)
	within(t, []float64{26.78268, -1.39917, 0.75644}, a.X, 1e-5)
	assert.InDelta(t, 29.42115, a.Misfit, 1e-5)
	assert.Equal(t, 3, a.Freedom)
	within(t, []float64{1.390, 3.665, 2.930, -3.440, -2.942, -2.576}, a.Standardised, 1e-3)
	within(t, []float64{0.01964, 0.01497, 0.10758}, deviations(a), 1e-5)
	// Two errors at once and few redundancies: the largest names a good reading, the second a wrong one.
	first, second := a.Suspects()
	assert.Equal(t, []int{1, 3}, []int{first, second})

	a, err = from(Tape, 0.02, marks, 3.652, 7.036, 4.586, 9.840, 7.402, 7.883).Adjust(start)
	require.NoError(t, err)
	within(t, []float64{26.78401, -1.32870, 1.45256}, a.X, 1e-5)
	assert.InDelta(t, 2.57309, a.Misfit, 1e-5)
	within(t, []float64{0.533, 0.983, 1.396, 0.070, -0.590, -1.553}, a.Standardised, 1e-3)
	within(t, []float64{0.01319, 0.01252, 0.19855}, deviations(a), 1e-5)
}

// ballJoint is a ball joint taped from five marks of the body, with its height, in mm.
func ballJoint(third float64) *Network {
	n := from(Tape, 1, []geom.Point{{}, {X: 600, Z: 40}, {X: -550, Y: 120, Z: 60}, {X: 50, Y: -380, Z: 420}, {X: 80, Y: 520, Z: 380}},
		467.7, 746.3, third, 1009.1, 568.9)
	n.Readings = append(n.Readings, Reading{Kind: Height, From: 5, Value: -180.3, Deviation: 0.5})
	return n
}

// A ball joint from five marks and one height, true place (30, 430, −180); answers computed with numpy and scipy.
func TestBallJointFromMarks(t *testing.T) {
	start := []float64{50, 400, -150}
	a, err := ballJoint(700.5).Adjust(start)
	require.NoError(t, err)
	within(t, []float64{30.82590, 430.42897, -180.16866}, a.X, 1e-5)
	assert.InDelta(t, 1.04082, a.Misfit, 1e-5)
	within(t, []float64{-0.08866, 0.79429, 0.83842, -0.55297, 0.58527, 0.54928}, a.Standardised, 1e-5)
	within(t, []float64{0.58105, 0.38808, 0.36059, 0.67640, 0.76517, 0.22872}, a.Redundancy, 1e-5)
	within(t, []float64{0.88407, 0.73134, 0.43911}, deviations(a), 1e-5)
	within(t, []float64{5.42089, 6.63306, 6.88129, 5.02430, 4.72386, 4.32014}, a.Detectable, 1e-5)
	var effects []float64
	for i := range a.Residual {
		e := a.effect(i)
		effects = append(effects, math.Sqrt(e[0]*e[0]+e[1]*e[1]+e[2]*e[2]))
	}
	within(t, []float64{2.49324, 4.33944, 4.70009, 1.88805, 1.31725, 3.70852}, effects, 1e-5)
	var eigen mat.EigenSym
	require.True(t, eigen.Factorize(a.Covariance, false))
	v := eigen.Values(nil)
	within(t, []float64{0.88412, 0.74766, 0.41059}, []float64{math.Sqrt(v[2]), math.Sqrt(v[1]), math.Sqrt(v[0])}, 1e-5)

	// With 12 mm on the third tape it is named first, but only just: hence the runner-up.
	a, err = ballJoint(712.5).Adjust(start)
	require.NoError(t, err)
	within(t, []float64{38.62164, 432.90285, -180.45431}, a.X, 1e-5)
	assert.InDelta(t, 41.01676, a.Misfit, 1e-5)
	within(t, []float64{3.79702, -6.29978, -6.38195, 1.92774, -0.24093, -0.64567}, a.Standardised, 1e-5)
	first, second := a.Suspects()
	assert.Equal(t, []int{2, 1}, []int{first, second})

	n := ballJoint(700.5)
	n.Readings = append(n.Readings[:2], n.Readings[3:]...)
	a, err = n.Adjust(start)
	require.NoError(t, err)
	within(t, []float64{31.73154, 430.71905, -180.20333}, a.X, 1e-5)
	assert.InDelta(t, 0.33881, a.Misfit, 1e-5)
	within(t, []float64{0.42437, -0.15641, -0.28213, 0.48707, 0.41043}, a.Standardised, 1e-5)
}

// Baarda's constants: 3.2905 for one false alarm in a thousand, and δ₀ = 4.13 with a power of 80 %.
func TestBaarda(t *testing.T) {
	assert.InDelta(t, 3.290527, Noticed, 1e-6)
	assert.InDelta(t, 4.132148, Shown, 1e-6)
}

// some is a network of random points, some of whose coordinates are shared or fixed, with readings of every kind.
func some(rng *rand.Rand) (*Network, []float64) {
	n := &Network{Loosest: 1, Points: []Place{
		{{}, {Unknown: 0, Sign: 1}, {Unknown: 1, Sign: 1}},
		{{}, {Unknown: 0, Sign: -1}, {Unknown: 2, Sign: 1}},
	}}
	x := []float64{0.8, 0.4, 0.4}
	for range 4 {
		u := len(x)
		n.Points = append(n.Points, Place{{Unknown: u, Sign: 1}, {Unknown: u + 1, Sign: 1}, {Unknown: u + 2, Sign: 1}})
		x = append(x, rng.Float64()-0.5, rng.Float64()-0.5, rng.Float64())
	}
	read := func(k Kind, from, to int) {
		r := Reading{Kind: k, From: from, To: to, Deviation: 1e-3 * (1 + rng.Float64())}
		value, _ := n.predict(&r, x)
		r.Value = value + r.Deviation*rng.NormFloat64()
		n.Readings = append(n.Readings, r)
	}
	for i := range n.Points {
		read(Height, i, 0)
		if i > 1 {
			read(Along, i, 0)
			read(Across, i, 0)
		}
		for j := range i {
			read(Tape, i, j)
			read(Floor, i, j)
		}
	}
	return n, x
}

// The slopes are those of differences (gonum's diff/fd).
func TestSlopesAgainstDifferences(t *testing.T) {
	n, x := some(rand.New(rand.NewPCG(13, 1)))
	for i := range n.Readings {
		want := fd.Gradient(nil, func(x []float64) float64 { v, _ := n.predict(&n.Readings[i], x); return v }, x, &fd.Settings{Formula: fd.Central})
		got := make([]float64, len(x))
		_, slopes := n.predict(&n.Readings[i], x)
		for _, s := range slopes.of[:slopes.n] {
			got[s.unknown] = s.by
		}
		within(t, want, got, 1e-7)
	}
}

// Redundancies add up to the freedom; errors as drawn give back the covariance; the sum is least where it is found.
func TestPropertiesOfAdjustment(t *testing.T) {
	n, x := some(rand.New(rand.NewPCG(13, 2)))
	for j := range x {
		x[j] += 0.02 // a rough start
	}
	a, err := n.Adjust(x)
	require.NoError(t, err)
	sum := 0.0
	for _, r := range a.Redundancy {
		sum += r
	}
	assert.InDelta(t, float64(a.Freedom), sum, 1e-8)
	u := len(x)
	var product mat.Dense
	product.Mul(a.pull, a.pull.T())
	for j := range u {
		for k := range u {
			assert.InDelta(t, a.Covariance.At(j, k), product.At(j, k), 1e-15)
		}
	}
	gradient := fd.Gradient(nil, n.sum, a.X, &fd.Settings{Formula: fd.Central, Step: 1e-6})
	for _, g := range gradient {
		assert.InDelta(t, 0, g*1e-3, 1e-4) // for a step of one deviation, against a change of order one
	}
}

// A reading drawn off by an error moves the points as an adjustment of that reading does.
func TestDrawIsAnAdjustment(t *testing.T) {
	n, x := some(rand.New(rand.NewPCG(13, 3)))
	a, err := n.Adjust(x)
	require.NoError(t, err)
	errors := make([]float64, len(n.Readings))
	errors[7] = 0.5
	drawn := make([]float64, len(x))
	a.Draw(drawn, errors)
	n.Readings[7].Value += 0.5 * n.Readings[7].Deviation
	b, err := n.Adjust(x)
	require.NoError(t, err)
	within(t, b.X, drawn, 1e-6) // half a millimetre bends the formulas by less
}

// What Gain promises is what one more reading does.
func TestGain(t *testing.T) {
	n, x := some(rand.New(rand.NewPCG(13, 4)))
	a, err := n.Adjust(x)
	require.NoError(t, err)
	g := make([]float64, len(x))
	g[3], g[7], g[9] = 1, -2, 0.5
	variance := func(a *Adjustment) (of, all float64) {
		v := mat.NewVecDense(len(g), g)
		for j := range g {
			all += a.Covariance.At(j, j)
		}
		return mat.Inner(v, a.Covariance, v), all
	}
	wasOf, wasAll := variance(a)
	r := Reading{Kind: Tape, From: 2, To: 4, Deviation: 0.5e-3}
	r.Value, _ = n.predict(&r, a.X)
	every := make([]float64, len(x))
	for j := range every {
		every[j] = 1
	}
	gainOf, gainAll := n.Gain(a, r, g), n.GainTogether(a, r, every)
	n.Readings = append(n.Readings, r)
	b, err := n.Adjust(a.X)
	require.NoError(t, err)
	isOf, isAll := variance(b)
	assert.InEpsilon(t, wasOf-isOf, gainOf, 1e-5)
	assert.InEpsilon(t, wasAll-isAll, gainAll, 1e-5)
}

// A point that was only taped from marks of one plane may lie to either side of it: the start picks.
func TestStartPicksTheSide(t *testing.T) {
	marks := []geom.Point{{}, {X: 0.6}, {Y: 0.5}, {X: 0.5, Y: 0.4}}
	true := geom.Point{X: 0.2, Y: 0.1, Z: 0.3}
	var distances []float64
	for _, m := range marks {
		distances = append(distances, true.Sub(m).Norm())
	}
	for _, side := range []float64{1, -1} {
		a, err := from(Tape, 1e-3, marks, distances...).Adjust([]float64{0.25, 0.15, 0.2 * side})
		require.NoError(t, err)
		within(t, []float64{true.X, true.Y, side * true.Z}, a.X, 1e-9)
	}
}

// A point without a start is placed by its own readings, marks that hang on other marks too, and where it fits on either
// side the readings to the rest decide.
func TestStarts(t *testing.T) {
	for seed := range uint64(20) {
		n, x := some(rand.New(rand.NewPCG(13, 100+seed)))
		start := append([]float64(nil), x...)
		for j := 6; j < len(start); j++ { // the last three of the four
			start[j] = math.NaN()
		}
		a, err := n.AdjustFrom(n.Starts(start))
		require.NoError(t, err)
		within(t, x, a.X, 10e-3)
	}
}

// What no reading fixes is named by its direction: the height of a point that has only plumb marks.
func TestNotTied(t *testing.T) {
	n := from(Floor, 1e-3, []geom.Point{{}, {X: 1}}, 1, 1)
	n.Points[2][2] = Coordinate{Unknown: 2, Sign: 1}
	_, err := n.Adjust([]float64{0.5, 0.8, 0.3})
	var not NotTied
	require.ErrorAs(t, err, &not)
	require.Len(t, not.Unknowns, 1)
	within(t, []float64{0, 0, 1}, []float64{not.Unknowns[0][0], not.Unknowns[0][1], math.Abs(not.Unknowns[0][2])}, 1e-9)
	assert.Positive(t, n.Fixes(not, Reading{Kind: Height, From: 2, Deviation: 1e-3}, []float64{0.5, 0.8, 0.3}))
	assert.Zero(t, n.Fixes(not, Reading{Kind: Along, From: 2, Deviation: 1e-3}, []float64{0.5, 0.8, 0.3}))
}

func BenchmarkAdjust(b *testing.B) {
	n, x := some(rand.New(rand.NewPCG(13, 5)))
	for b.Loop() {
		if _, err := n.Adjust(x); err != nil {
			b.Fatal(err)
		}
	}
}

// Fixed is a place that is known.
func Fixed(p geom.Point) Place {
	return Place{{At: p.X}, {At: p.Y}, {At: p.Z}}
}

// effect is how far an error of reading i as large as its Detectable would have moved each unknown; nil where
// nothing checks the reading.
func (a *Adjustment) effect(i int) []float64 {
	if a.Redundancy[i] == 0 {
		return nil
	}
	by := Shown / math.Sqrt(a.Redundancy[i])
	out := make([]float64, len(a.X))
	for j := range out {
		out[j] = by * a.pull.At(j, i)
	}
	return out
}
