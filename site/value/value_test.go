package value

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"turnplate/sim/unit"
)

func spanAxis(name string, seq int, coord ...float64) (*Axis, *Array) {
	axis := &Axis{Name: name, Seq: seq, Length: len(coord), Coord: coord}
	return axis, &Array{Axes: []*Axis{axis}, Num: coord}
}

func TestKneeOfKnownCurves(t *testing.T) {
	const n = 401
	for _, c := range []struct {
		name string
		f    func(x float64) float64
		want float64
	}{
		// The gain e^(−x) is furthest below its chord from 0 to 5 where −e^(−x) = (e^(−5) − 1)/5.
		{"1 − e^(−x)", func(x float64) float64 { return 1 - math.Exp(-x) }, -math.Log((1 - math.Exp(-5)) / 5)},
		{"a loss of the same shape", func(x float64) float64 { return math.Exp(-x) }, -math.Log((1 - math.Exp(-5)) / 5)},
		// 1/(1+x)² has the slope −2/(1+x)³; the chord's is (1/36 − 1)/5.
		{"x/(1 + x)", func(x float64) float64 { return x / (1 + x) }, math.Cbrt(72.0/7) - 1},
		{"a straight line", func(x float64) float64 { return 3 * x }, math.NaN()},
		{"a parabola, whose gain falls evenly", func(x float64) float64 { return 10*x - x*x }, math.NaN()},
	} {
		xs, ys := make([]float64, n), make([]float64, n)
		for i := range xs {
			xs[i] = 5 * float64(i) / (n - 1)
			ys[i] = c.f(xs[i])
		}
		got := knee(xs, ys)
		if math.IsNaN(c.want) {
			assert.True(t, math.IsNaN(got), c.name)
			continue
		}
		const oneStep = 5.0 / (n - 1)
		assert.InDelta(t, c.want, got, oneStep/2, c.name)
	}
}

func TestGradientIsExactForParabolas(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(-3, 3).Draw(t, "a"), rapid.Float64Range(-3, 3).Draw(t, "b")
		n := rapid.IntRange(3, 12).Draw(t, "n")
		x := 0.0
		var xs, ys []float64
		for range n {
			x += rapid.Float64Range(0.1, 2).Draw(t, "step")
			xs, ys = append(xs, x), append(ys, a*x*x+b*x)
		}
		for i, g := range gradient(xs, ys) {
			if math.Abs(g-(2*a*xs[i]+b)) > 1e-8 {
				t.Fatalf("slope %g at %g, want %g", g, xs[i], 2*a*xs[i]+b)
			}
		}
	})
}

func TestCrossingIsTheFirst(t *testing.T) {
	axis, x := spanAxis("x", 1, 0, 1, 2, 3, 4)
	y := &Array{Axes: []*Axis{axis}, Num: []float64{0, 2, 0, 2, 4}}
	got, err := Crossing(y, x, Plain(1), axis)
	require.NoError(t, err)
	assert.Equal(t, 0.5, got.Num[0])
	got, err = Crossing(y, x, Plain(9), axis)
	require.NoError(t, err)
	assert.True(t, got.AllAbsent())
}

func TestAtNeverGoesBeyondTheEnds(t *testing.T) {
	axis, x := spanAxis("x", 1, 0, 1, 2)
	y := &Array{Axes: []*Axis{axis}, Num: []float64{5, 7, math.NaN()}}
	for _, c := range []struct{ at, want float64 }{{0, 5}, {0.5, 6}, {1, 7}, {1.5, math.NaN()}, {-0.1, math.NaN()}, {2.1, math.NaN()}} {
		got, err := At(y, x, Plain(c.at), axis)
		require.NoError(t, err)
		if math.IsNaN(c.want) {
			assert.True(t, got.AllAbsent(), "%g", c.at)
		} else {
			assert.Equal(t, c.want, got.Num[0])
		}
	}
}

// The exact half-widths: 1.96·2 for four standard normals (JCGM 101:2008 §9.2.2), 2√3(2 − (3/5)^¼) for four
// rectangular ones of unit standard uncertainty (§9.2.3; worked out from the sum's density).
func TestCoverageIntervalsOfSums(t *testing.T) {
	axis := &Axis{Kind: Draws, Name: "draws", Length: 100_000}
	for _, c := range []struct {
		name string
		d    Distribution
		want float64
	}{
		{"normal", Normal(0, 1), 3.919928},
		{"rectangular", Uniform(-math.Sqrt(3), math.Sqrt(3)), 2 * math.Sqrt(3) * (2 - math.Pow(0.6, 0.25))},
	} {
		var sum Value = Num(0, unit.None)
		for _, source := range []string{"a", "b", "c", "d"} {
			var err error
			sum, err = Add(sum, Sample(axis, c.name, source, unit.None, c.d), 1)
			require.NoError(t, err)
		}
		xs := append([]float64{}, sum.(*Array).Num...)
		low, high := Quantile(0.025)(xs), Quantile(0.975)(xs)
		const samplingError = 0.03 // a hundred thousand draws; three standard errors of the end point
		assert.InDelta(t, c.want, high, samplingError, c.name)
		assert.InDelta(t, -c.want, low, samplingError, c.name)
		assert.InDelta(t, 0, Average(xs), samplingError)
	}
}

func TestTriangularKeepsItsShape(t *testing.T) {
	axis := &Axis{Kind: Draws, Length: 20000}
	a := Sample(axis, "n", "x", unit.None, Triangular(1, 2, 6))
	assert.InDelta(t, (1+2+6)/3.0, Average(a.Num), 1e-3)
	assert.GreaterOrEqual(t, Smallest(a.Num), 1.0)
	assert.LessOrEqual(t, Largest(a.Num), 6.0)
	assert.InDelta(t, 2, Quantile(0.2)(append([]float64{}, a.Num...)), 1e-2, "a fifth lies below the mode")
}

func TestDigits(t *testing.T) {
	for _, c := range []struct {
		x, to float64
		want  string
	}{
		{0, 0, "0"}, {-0.0001, 0.1, "0.0"}, {4, 0, "4"}, {4.126, 0, "4.13"}, {1234.5, 0, "1234"}, {12345.6, 0, "12\u202f346"},
		{-2.5, 0, "−2.5"}, {0.045, 0, "0.045"}, {6.25, 0.5, "6.5"}, {6.2, 0.25, "6.25"}, {3, 0.1, "3.0"}, {999.7, 1, "1000"},
		{0.00001234, 0, "1.23·10⁻⁵"}, {2e9, 0, "2.00·10⁹"},
	} {
		assert.Equal(t, c.want, Digits(c.x, c.to), "%g to %g", c.x, c.to)
	}
}

func TestBroadcastMatchesLoops(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, x := spanAxis("p", 1, 1, 2, 3)
		q, y := spanAxis("q", 2, 10, 20)
		r, z := spanAxis("r", 3, rapid.SliceOfN(rapid.Float64Range(-5, 5), 4, 4).Draw(t, "r")...)
		xy, _ := Mul(x, y)
		sum, err := Add(z, xy, 1)
		if err != nil {
			t.Fatal(err)
		}
		a := sum.(*Array)
		i, j, k := rapid.IntRange(0, 2).Draw(t, "i"), rapid.IntRange(0, 1).Draw(t, "j"), rapid.IntRange(0, 3).Draw(t, "k")
		got := Pick(a, map[*Axis]int{p: i, q: j, r: k})
		if want := z.Num[k] + x.Num[i]*y.Num[j]; got.Num[0] != want {
			t.Fatalf("got %g, want %g", got.Num[0], want)
		}
		// In two steps, in another order, it is the same.
		two := Pick(Pick(a, map[*Axis]int{r: k}), map[*Axis]int{p: i, q: j})
		if two.Num[0] != got.Num[0] {
			t.Fatal("picking in two steps differs")
		}
	})
}

func TestPointsAreScaledByNumbersAlone(t *testing.T) {
	p := &Record{Type: "Point", Fields: map[string]Value{"X": Num(1, unit.Length), "Y": Num(2, unit.Length), "Z": Num(3, unit.Length)}}
	for _, scale := range []func() (Value, error){
		func() (Value, error) { return Mul(p, Plain(2)) }, func() (Value, error) { return Mul(Plain(2), p) }, func() (Value, error) { return Div(p, Plain(0.5)) },
	} {
		q, err := scale()
		require.NoError(t, err)
		assert.Equal(t, []float64{6}, q.(*Record).Fields["Z"].(*Array).Num)
	}
	_, err := Mul(p, p)
	assert.ErrorContains(t, err, "can't multiply a Point and a Point")
	_, err = Add(p, Plain(1), 1)
	assert.ErrorContains(t, err, "can't add a Point and a plain number")
}

func TestSizeIsCheckedBeforeAllocating(t *testing.T) {
	a, _ := spanAxis("a", 1, make([]float64, 3000)...)
	b, _ := spanAxis("b", 2, make([]float64, 3000)...)
	_, err := Size([]*Axis{a, b})
	assert.ErrorContains(t, err, "a 3000 × b 3000")
	huge := &Axis{Name: "h", Length: math.MaxInt / 2}
	_, err = Size([]*Axis{huge, huge, huge})
	assert.Error(t, err, "no overflow")
}

func BenchmarkBroadcast(b *testing.B) {
	p := &Axis{Name: "p", Seq: 1, Length: 1000}
	q := &Axis{Name: "q", Seq: 2, Length: 1000}
	x := &Array{Axes: []*Axis{p}, Num: make([]float64, 1000)}
	y := &Array{Axes: []*Axis{q}, Num: make([]float64, 1000)}
	for b.Loop() {
		if _, err := Mul(x, y); err != nil {
			b.Fatal(err)
		}
	}
}
