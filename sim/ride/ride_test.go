package ride

import (
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/dsp/fourier"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"turnplate/sim/agree"
)

const (
	handArithmetic = 0.002 // the book's slide-rule steps: 4786 where its own inputs give 4783
	printed        = 1e-6  // values printed to seven figures
	library        = 1e-7  // against scipy; a pair of roots near critical damping is good to about √ε
	lyapunovSolver = 1e-6  // a system of 16 unknowns, poorly scaled
	band           = 0.002 // what is left of the band's ends and the sampling
)

// book is Barton & Fieldhouse, Automotive Chassis Engineering (2018), Eq. 3.83, printed p. 209 (seen).
var book = QuarterCar{Sprung: 317.5, Unsprung: 45.4, Spring: 22e3, Tyre: 192e3}

func damped(q QuarterCar, c float64) QuarterCar { q.Damping = c; return q }

func TestPublishedFrequencies(t *testing.T) {
	body, hop := book.Modes()
	agree.Relative(t, 7.87, body.Frequency, handArithmetic, "body, rad/s")
	agree.Relative(t, 68.73, hop.Frequency, handArithmetic, "hop, rad/s")
	// The book's amplitude ratio of the first mode, wheel to body: 0.104.
	link := book.Spring
	ratio := link / (book.Spring + book.Tyre - book.Unsprung*body.Frequency*body.Frequency)
	agree.Relative(t, 0.104, ratio, handArithmetic, "first mode's wheel to body")
	// Unrounded, by an independent script.
	agree.Relative(t, 7.87863, body.Frequency, printed, "body unrounded")
	agree.Relative(t, 68.70862, hop.Frequency, printed, "hop unrounded")
}

func TestPublishedRoadClasses(t *testing.T) {
	// Geometric means in 1e-6 m³: A to D seen citing ISO 8608:2016, E to H from memory.
	for i, mean := range []float64{16, 64, 256, 1024, 4096, 16384, 65536, 262144} {
		gd, err := RoadClass("ABCDEFGH"[i : i+1])
		require.NoError(t, err)
		agree.Relative(t, mean*1e-6, gd, 1e-12, "class mean")
		// The mean is the geometric one of the limits, the upper limit (32e-6 for A, seen) twice it.
		if i == 0 {
			agree.Relative(t, 32e-6, 2*gd, 1e-12, "upper limit of A")
		}
	}
	for _, name := range []string{"", "a", "I", "AB", "ABCDEFGH", "é"} {
		_, err := RoadClass(name)
		assert.ErrorContains(t, err, "A to H", "%q", name)
	}
	// √(2π²·n0²·Gd) is 1.777 mm/√m for class A in another published file (seen): with the Gd(Ω0) column, 16 times
	// smaller, it would come out four times too small.
	a, _ := RoadClass("A")
	agree.Relative(t, 1.777e-3, math.Sqrt(VelocityNoise(a, 1)), 0.0005, "class A roughness coefficient")
}

// Worked out from the closed form by an independent script and by integration over frequency.
func TestMeanSquaresComputed(t *testing.T) {
	c, _ := RoadClass("C")
	q := VelocityNoise(c, 20)
	agree.Relative(t, 1.0106475e-3, q, printed, "noise intensity")
	r := damped(book, 1500).RMS(q)
	agree.Relative(t, 1.425017, r.BodyAcceleration, printed, "body acceleration")
	agree.Relative(t, 11.05688e-3, r.Stroke, printed, "stroke")
	agree.Relative(t, 826.779, r.TyreForce, printed, "tyre force")
}

func TestAgainstNumpyAndScipy(t *testing.T) {
	f, err := os.Open("../../testdata/reference/ridemodel.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 300)
	overdamped := 0
	for _, text := range rows[1:] {
		v := map[string]float64{}
		for i, name := range rows[0] {
			v[name], err = strconv.ParseFloat(text[i], 64)
			require.NoError(t, err)
		}
		q := QuarterCar{Sprung: v["sprung"], Unsprung: v["unsprung"], Spring: v["spring"], Damping: v["damping"], Tyre: v["tyre"]}
		body, hop := q.Modes()
		for _, m := range []struct {
			Mode
			frequency, ratio float64
		}{{body, v["body"], v["bodyratio"]}, {hop, v["hop"], v["hopratio"]}} {
			agree.Relative(t, m.ratio, m.DampingRatio, library, "damping ratio")
			if m.ratio >= 1 {
				overdamped++
				assert.True(t, math.IsNaN(m.Frequency) && !m.Oscillates(), "damped above critical, so no frequency: %+v", m.Mode)
			} else {
				agree.Relative(t, m.frequency, m.Frequency, library, "frequency")
			}
		}
		r := q.RMS(v["noise"])
		agree.Relative(t, v["acceleration"], r.BodyAcceleration, library, "acceleration")
		agree.Relative(t, v["stroke"], r.Stroke, library, "stroke")
		agree.Relative(t, v["force"], r.TyreForce, library, "tyre force")
		x, u := q.Transmissibility(v["omega"])
		agree.Relative(t, v["bodygain"], x, library, "body transmissibility")
		agree.Relative(t, v["wheelgain"], u, library, "wheel transmissibility")
	}
	assert.Greater(t, overdamped, 50, "the table must hold pairs above critical")
}

func car(t *rapid.T) QuarterCar {
	draw := func(low, high float64, what string) float64 { return rapid.Float64Range(low, high).Draw(t, what) }
	return QuarterCar{draw(150, 1200, "sprung"), draw(15, 180, "unsprung"), draw(8e3, 120e3, "spring"), math.Pow(10, draw(1, 5, "damping")), draw(1e5, 7e5, "tyre")}
}

// The two factors must multiply out to the characteristic polynomial, at any damping.
func TestRatiosRebuildThePolynomial(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := car(t)
		a3, a2, a1, a0 := q.polynomial()
		slow, fast := q.ratios()
		// The frequencies of the damped pairs follow from sum and product: w1·w2 = √a0 and slow·w1 + fast·w2 = a3/2.
		w := math.Sqrt(a0)
		disc := math.Sqrt(math.Max(a3*a3/4-4*slow*fast*w, 0))
		ok := false
		for _, sign := range []float64{-1, 1} {
			w1 := (a3/2 + sign*disc) / 2 / slow
			w2 := w / w1
			ok = ok || math.Abs(w1*w1+w2*w2+4*slow*fast*w-a2) < 1e-6*a2 && math.Abs(2*w*(slow*w2+fast*w1)-a1) < 1e-6*a1
		}
		if !ok {
			t.Fatalf("%+v: ratios %g and %g are not its roots", q, slow, fast)
		}
	})
}

// Stiffly damped, body and wheel move as one on the tyre; with these springs the pair of real roots then has
// the same product as the complex one, where the linear equations for the two factors run out.
func TestRatiosOfEqualFrequencies(t *testing.T) {
	const ms, mu, kt = 500.0, 100.0, 200e3
	q := QuarterCar{Sprung: ms, Unsprung: mu, Spring: kt * ms * mu / (ms + mu) / (ms + mu), Tyre: kt}
	for _, q.Damping = range []float64{1e5, 1e6, 1e7} {
		a3, a2, _, a0 := q.polynomial()
		slow, fast := q.ratios()
		w := math.Sqrt(math.Sqrt(a0)) // of both, nearly
		agree.Relative(t, a3, 2*w*(slow+fast), 1e-3, "sum of the roots")
		agree.Relative(t, a2, 2*w*w*(1+2*slow*fast), 1e-3, "sum of their products in pairs")
		assert.True(t, slow < 0.05 && fast > 1 || fast < 0.05 && slow > 1, "one swings freely, the other not at all: %g and %g", slow, fast)
	}
}

// Just off that place either pair may be the slower one (roots found in 40 digits by an independent script).
func TestRatiosOfNearlyEqualFrequencies(t *testing.T) {
	q := QuarterCar{Sprung: 150, Unsprung: 180, Spring: 32436.5, Damping: 8659.643233600653, Tyre: 131072}
	slow, fast := q.ratios()
	agree.Relative(t, 2.576913820080402, slow, library, "the real pair, of 19.910 rad/s")
	agree.Relative(t, 0.080921648092370, fast, library, "the complex pair, of 19.930 rad/s")
}

// A·P + P·Aᵀ + q·b·bᵀ = 0, solved here as a linear system with gonum: the closed form must be its solution.
func TestMeanSquaresSolveLyapunov(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := car(t)
		const noise = 1e-3
		a := stateMatrix(q)
		big, right := mat.NewDense(16, 16, nil), mat.NewVecDense(16, nil)
		for i := range 4 {
			for j := range 4 {
				for k := range 4 {
					big.Set(4*i+j, 4*k+j, big.At(4*i+j, 4*k+j)+a.At(i, k))
					big.Set(4*i+j, 4*i+k, big.At(4*i+j, 4*i+k)+a.At(j, k))
				}
			}
		}
		right.SetVec(4*2+2, -noise)
		var p mat.VecDense
		if err := p.SolveVec(big, right); err != nil {
			if _, poor := err.(mat.Condition); !poor {
				t.Fatal(err)
			}
		}
		acceleration := 0.0
		for i := range 4 {
			for j := range 4 {
				acceleration += a.At(1, i) * p.AtVec(4*i+j) * a.At(1, j)
			}
		}
		r := q.RMS(noise)
		for _, pair := range [][2]float64{{acceleration, r.BodyAcceleration * r.BodyAcceleration}, {p.AtVec(0), r.Stroke * r.Stroke}, {p.AtVec(10), math.Pow(r.TyreForce/q.Tyre, 2)}} {
			if !(math.Abs(pair[0]-pair[1]) <= lyapunovSolver*pair[0]) {
				t.Fatalf("%+v: Lyapunov %g, closed form %g", q, pair[0], pair[1])
			}
		}
	})
}

// stateMatrix is that of (body − wheel, body velocity, wheel − road, wheel velocity), with the road's velocity
// as input to the third.
func stateMatrix(q QuarterCar) *mat.Dense {
	return mat.NewDense(4, 4, []float64{
		0, 1, 0, -1,
		-q.Spring / q.Sprung, -q.Damping / q.Sprung, 0, q.Damping / q.Sprung,
		0, 0, 0, 1,
		q.Spring / q.Unsprung, q.Damping / q.Unsprung, -q.Tyre / q.Unsprung, -q.Damping / q.Unsprung,
	})
}

// A synthesised ISO 8608 road, driven over in time. The road repeats every kilometre and is the sum of sines of
// 0.01 to 10 cycle/m with amplitudes √(2·Gd(n)·Δn) and random phases. A car that has settled repeats too, so
// that the mean over one lap has no sampling error at all, and only the band and the time step separate it from
// the closed form. At the band's upper end the tyre takes up the road whole, so that what lies beyond adds
// kt²·Gd(n0)·n0²/10 to the force's mean square.
func TestMeanSquaresAgainstTimeSimulation(t *testing.T) {
	for _, c := range []struct {
		class string
		speed float64
		car   QuarterCar
	}{
		{"A", 30, damped(book, 1500)},
		{"C", 20, damped(book, 1500)},
		{"D", 15, QuarterCar{Sprung: 560, Unsprung: 105, Spring: 38e3, Damping: 3200, Tyre: 260e3}},
		{"E", 10, QuarterCar{Sprung: 560, Unsprung: 75, Spring: 38e3, Damping: 2500, Tyre: 260e3}},
	} {
		gd, err := RoadClass(c.class)
		require.NoError(t, err)
		want := c.car.RMS(VelocityNoise(gd, c.speed))
		got := driveOver(c.car, syntheticRoad(gd, 1), 1000/c.speed)
		agree.Relative(t, want.BodyAcceleration, got.BodyAcceleration, band, c.class+" acceleration")
		agree.Relative(t, want.Stroke, got.Stroke, band, c.class+" stroke")
		beyond := c.car.Tyre * c.car.Tyre * gd * ReferenceFrequency * ReferenceFrequency / 10
		agree.Relative(t, want.TyreForce, math.Sqrt(got.TyreForce*got.TyreForce+beyond), band, c.class+" tyre force")
		other := driveOver(c.car, syntheticRoad(gd, 2), 1000/c.speed)
		agree.Relative(t, got.TyreForce, other.TyreForce, 1e-6, "other phases, the same mean squares")
	}
}

const lapSamples = 1 << 17 // a kilometre in steps of 7.6 mm

func syntheticRoad(gd float64, seed uint64) []float64 {
	const length, first, last = 1000, 10, 10000 // m; harmonics 0.01 and 10 cycle/m
	phases := rand.New(rand.NewPCG(seed, 8608))
	coefficients := make([]complex128, lapSamples/2+1)
	for h := first; h <= last; h++ {
		n := float64(h) / length
		amplitude := math.Sqrt(2 * gd * math.Pow(n/ReferenceFrequency, -2) / length)
		phase := 2 * math.Pi * phases.Float64()
		coefficients[h] = complex(amplitude/2*math.Cos(phase), amplitude/2*math.Sin(phase))
	}
	return fourier.NewFFT(lapSamples).Sequence(nil, coefficients)
}

// driveOver integrates the state over two laps, exactly for a road that is straight between samples, and gives
// the rms of the second.
func driveOver(q QuarterCar, road []float64, lapTime float64) RMS {
	dt := lapTime / float64(len(road))
	// exp of the state matrix with the road's constant velocity as a fifth state.
	big := mat.NewDense(5, 5, nil)
	big.Slice(0, 4, 0, 4).(*mat.Dense).Copy(stateMatrix(q))
	big.Set(2, 4, -1)
	big.Scale(dt, big)
	var e mat.Dense
	e.Exp(big)
	var step [4][5]float64
	for i := range 4 {
		for j := range 5 {
			step[i][j] = e.At(i, j)
		}
	}
	var x [4]float64
	var sum RMS
	for lap := range 2 {
		for i := range road {
			velocity := (road[(i+1)%len(road)] - road[i]) / dt
			var next [4]float64
			for r := range 4 {
				next[r] = step[r][0]*x[0] + step[r][1]*x[1] + step[r][2]*x[2] + step[r][3]*x[3] + step[r][4]*velocity
			}
			x = next
			if lap == 1 {
				sum.BodyAcceleration += math.Pow((q.Spring*x[0]+q.Damping*(x[1]-x[3]))/q.Sprung, 2)
				sum.Stroke += x[0] * x[0]
				sum.TyreForce += math.Pow(q.Tyre*x[2], 2)
			}
		}
	}
	n := float64(len(road))
	return RMS{math.Sqrt(sum.BodyAcceleration / n), math.Sqrt(sum.Stroke / n), math.Sqrt(sum.TyreForce / n)}
}

// A heavier wheel barely moves the ride and clearly the tyre force, which is what a heavy tyre costs.
func TestUnsprungMassActsOnTheTyre(t *testing.T) {
	light, heavy := damped(book, 1500), damped(book, 1500)
	heavy.Unsprung *= 1.4
	a, b := light.RMS(1e-3), heavy.RMS(1e-3)
	agree.Relative(t, 1, b.BodyAcceleration/a.BodyAcceleration, 0.02, "ride")
	assert.Greater(t, b.TyreForce/a.TyreForce, 1.1)
}

func TestMeanSquaresScaleWithTheRoad(t *testing.T) {
	q := damped(book, 1500)
	c, _ := RoadClass("C")
	d, _ := RoadClass("D")
	a, b := q.RMS(VelocityNoise(c, 20)), q.RMS(VelocityNoise(d, 20))
	agree.Relative(t, 2, b.BodyAcceleration/a.BodyAcceleration, 1e-12, "a class up doubles every rms value")
	agree.Relative(t, 2, b.TyreForce/a.TyreForce, 1e-12, "tyre force too")
	faster := q.RMS(VelocityNoise(c, 80))
	agree.Relative(t, 2, faster.Stroke/a.Stroke, 1e-12, "four times the speed doubles it as well")
	none := damped(book, 0).RMS(1e-3)
	assert.True(t, math.IsNaN(none.BodyAcceleration) && math.IsNaN(none.Stroke) && math.IsNaN(none.TyreForce), "undamped: no steady state")
}

func TestResponseLimits(t *testing.T) {
	q := damped(book, 1500)
	body, wheel := q.Transmissibility(0)
	agree.Relative(t, 1, body, 1e-12, "a slow road lifts the body with it")
	agree.Relative(t, 1, wheel, 1e-12, "and the wheel")
	body, _ = q.Transmissibility(2000)
	assert.Less(t, body, 1e-3, "a fast one doesn't reach it")
	undamped, _ := book.Modes()
	peak, _ := book.Transmissibility(undamped.Frequency * (1 + 1e-9))
	assert.Greater(t, peak, 1e6, "undamped at its own frequency")
}

func TestDampingForHop(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := car(t)
		target := rapid.Float64Range(0.02, 0.6).Draw(t, "target")
		c := q.DampingForHop(target)
		if math.IsNaN(c) {
			return // a target past the largest ratio that this pair has
		}
		_, hop := damped(q, c).Modes()
		if math.Abs(hop.DampingRatio-target) > 1e-8 {
			t.Fatalf("%+v: asked for %g, got %g", q, target, hop.DampingRatio)
		}
	})
	_, hop := damped(book, 1500).Modes()
	agree.Relative(t, 1500, damped(book, 700).DampingForHop(hop.DampingRatio), 1e-9, "the way back")
	for _, ratio := range []float64{-0.1, 0, 1, 1.3, math.NaN()} {
		assert.True(t, math.IsNaN(book.DampingForHop(ratio)), "no damping below critical gives %g", ratio)
	}
}

// An ordinary car must get an answer, not a gap.
func TestDampingForHopExistsForOrdinaryCars(t *testing.T) {
	for _, unsprung := range []float64{40, 60, 90, 120} {
		for _, ratio := range []float64{0.05, 0.15, 0.3, 0.4} {
			q := QuarterCar{Sprung: 560, Unsprung: unsprung, Spring: 38e3, Damping: 2500, Tyre: 260e3}
			assert.False(t, math.IsNaN(q.DampingForHop(ratio)), "%g kg, ratio %g", unsprung, ratio)
		}
	}
}

func BenchmarkQuarterCar(b *testing.B) {
	q := damped(book, 1500)
	b.Run("modes", func(b *testing.B) {
		for b.Loop() {
			q.Modes()
		}
	})
	b.Run("rms", func(b *testing.B) {
		for b.Loop() {
			q.RMS(1e-3)
		}
	})
	b.Run("damping for hop", func(b *testing.B) {
		for b.Loop() {
			q.DampingForHop(0.3)
		}
	})
}
