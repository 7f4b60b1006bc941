package clearance

import (
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/geom"
)

// Gaps agree with those of general-purpose optimisers (clearance.py), apart and overlapping.
func TestGapAgainstScipy(t *testing.T) {
	const close = 2e-8 // m: what the optimisers leave
	file, err := os.Open("../../testdata/reference/clearance.csv")
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 161)
	overlaps := 0
	for n, row := range rows[1:] {
		var x [17]float64
		for i, text := range row {
			x[i], err = strconv.ParseFloat(text, 64)
			require.NoError(t, err)
		}
		tyre := Tyre{Radius: x[0], Width: x[1], Shoulder: x[2]}
		at := Placed{Centre: geom.Point{X: x[3], Y: x[4], Z: x[5]}, Axis: geom.Point{X: x[6], Y: x[7], Z: x[8]}}
		edge := Edge{From: geom.Point{X: x[9], Y: x[10], Z: x[11]}, To: geom.Point{X: x[12], Y: x[13], Z: x[14]}, Radius: x[15]}
		gap, along := tyre.Gap(&at, &edge)
		assert.InDelta(t, x[16], gap, close, "row %d", n)
		assert.True(t, along >= 0 && along <= 1)
		if gap < 0 {
			overlaps++
		}
	}
	assert.Greater(t, overlaps, 30)
}

func randomTyre(rng *rand.Rand) (Tyre, Placed) {
	point := func(size float64) geom.Point {
		return geom.Point{X: size * rng.NormFloat64(), Y: size * rng.NormFloat64(), Z: size * rng.NormFloat64()}
	}
	width := 0.2 + 0.15*rng.Float64()
	return Tyre{Radius: 0.35 + 0.1*rng.Float64(), Width: width, Shoulder: width / 2 * rng.Float64()}, Placed{Centre: point(1), Axis: point(1).Unit()}
}

// Known places: beside the side wall, ahead of the tread, off the shoulder, in the middle.
func TestGapKnown(t *testing.T) {
	tyre := Tyre{Radius: 0.4, Width: 0.3, Shoulder: 0.05}
	at := Placed{Axis: geom.Point{Y: 1}}
	for name, c := range map[string]struct {
		edge Edge
		gap  float64
	}{
		"side":             {Edge{From: geom.Point{X: -1, Y: 0.25}, To: geom.Point{X: 1, Y: 0.25}}, 0.10},
		"tread":            {Edge{From: geom.Point{X: 0.5, Y: -1}, To: geom.Point{X: 0.5, Y: 1}}, 0.10},
		"tread, rounded":   {Edge{From: geom.Point{X: 0.5, Y: -1}, To: geom.Point{X: 0.5, Y: 1}, Radius: 0.02}, 0.08},
		"shoulder":         {Edge{From: geom.Point{X: 0.35 + 0.3, Y: 0.1 + 0.4}, To: geom.Point{X: 2, Y: 2}}, 0.5 - 0.05},
		"centre":           {Edge{From: geom.Point{}, To: geom.Point{}}, -0.15},
		"just in the side": {Edge{From: geom.Point{Y: 0.14, X: 0.2}, To: geom.Point{Y: 0.14, X: 0.2}}, -0.01},
		"through":          {Edge{From: geom.Point{Y: -1}, To: geom.Point{Y: 1}}, -0.15},
		"end nearest":      {Edge{From: geom.Point{Z: -0.6}, To: geom.Point{Z: -0.9}}, 0.2},
		"square shoulder":  {Edge{From: geom.Point{X: 0.4 + 0.03, Y: 0.15 + 0.04}, To: geom.Point{X: 0.4 + 0.03, Y: 0.15 + 0.04}}, math.Hypot(0.08, 0.09) - 0.05},
	} {
		gap, _ := tyre.Gap(&at, &c.edge)
		assert.InDelta(t, c.gap, gap, 2e-9, name) // a thousand-millionth of the edge
	}
}

// No place of the edge is nearer than the gap, and what is said of a gap that is more than enough is no more than there is.
func TestGapIsTheLeast(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 51))
	for range 500 {
		tyre, at := randomTyre(rng)
		step := func() geom.Point {
			return geom.Point{X: 0.5 * rng.NormFloat64(), Y: 0.5 * rng.NormFloat64(), Z: 0.5 * rng.NormFloat64()}
		}
		edge := Edge{From: at.Centre.Add(step()), To: at.Centre.Add(step()), Radius: 0.01}
		gap, along := tyre.Gap(&at, &edge)
		for i := range 200 {
			p := edge.From.Add(edge.To.Sub(edge.From).Scale(float64(i) / 199))
			there, _ := tyre.Gap(&at, &Edge{p, p, edge.Radius})
			require.GreaterOrEqual(t, there, gap-1e-9)
		}
		p := edge.From.Add(edge.To.Sub(edge.From).Scale(along))
		there, _ := tyre.Gap(&at, &Edge{p, p, edge.Radius})
		require.InDelta(t, gap, there, 1e-12)
		for _, more := range []float64{-1, -1e-3, -1e-12, 1e-12, 1e-6, 1e-3, 1} { // than is enough
			enough := gap - more
			within, _ := tyre.Within(&at, &edge, enough, rng.Float64())
			if more < 0 {
				require.InDelta(t, gap, within, 1e-13, "whatever the guess")
			} else {
				require.True(t, within > enough && within <= gap+1e-13, "%v must lie between %v and %v", within, enough, gap)
			}
		}
		back, _ := tyre.Gap(&at, &Edge{edge.To, edge.From, edge.Radius})
		require.InDelta(t, gap, back, 1e-9, "either way round")
	}
}

// The sweep finds the least of a quantity with several valleys, at the border and inside, as dense sampling does.
func TestSweepFindsTheLeast(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 52))
	x, y := Range{-1, 2}, Range{0, 1}
	for range 30 {
		var c [3][5]float64
		for k := range c {
			for i := range c[k] {
				c[k][i] = rng.NormFloat64()
			}
		}
		f := func(k int, x, y float64) float64 {
			q := c[k]
			return math.Hypot(x-q[0], y-q[1])*q[2]*0.3 + math.Sin(2*x+q[3]) + 0.5*math.Cos(3*y+q[4])
		}
		var atX, atY float64
		s := Sweep{X: x, Y: y, Columns: 25, Rows: 13, Margin: 0.2, Step: 1e-6}
		got, err := s.Least(3,
			func(px, py float64) error { atX, atY = px, py; return nil },
			func(k int, _ float64) float64 { return f(k, atX, atY) })
		require.NoError(t, err)
		for k := range c {
			require.InDelta(t, f(k, got[k].X, got[k].Y), got[k].Value, 1e-15)
			for i := range 101 {
				for j := range 51 {
					require.GreaterOrEqual(t, f(k, place(x, i, 101), place(y, j, 51)), got[k].Value-1e-9)
				}
			}
		}
	}
}

// An interval without length is one place.
func TestSweepOfOnePlace(t *testing.T) {
	visits := 0
	s := Sweep{X: Range{2, 2}, Y: Range{3, 3}, Columns: 25, Rows: 13, Margin: 1, Step: 1e-6}
	got, err := s.Least(1,
		func(x, y float64) error { visits++; return nil }, func(int, float64) float64 { return 7 })
	require.NoError(t, err)
	assert.Equal(t, []Swept{{7, 2, 3}}, got)
	assert.LessOrEqual(t, visits, 2)
}

func BenchmarkGap(b *testing.B) {
	tyre := Tyre{Radius: 0.4, Width: 0.3, Shoulder: 0.05}
	at := Placed{Axis: geom.Point{X: 0.1, Y: 1, Z: 0.05}.Unit()}
	edge := Edge{From: geom.Point{X: -0.5, Y: -0.3, Z: 0.1}, To: geom.Point{X: -0.45, Y: 0.4, Z: 0.2}}
	for b.Loop() {
		gap, _ := tyre.Gap(&at, &edge)
		keep += gap
	}
}

var keep float64

// A gap's two ends lie on the two surfaces and as far apart as the gap is long.
func TestBetweenLiesOnBothSurfaces(t *testing.T) {
	const close = 1e-8 // m
	rng := rand.New(rand.NewPCG(3, 53))
	for range 500 {
		tyre, at := randomTyre(rng)
		step := func() geom.Point {
			return geom.Point{X: 0.5 * rng.NormFloat64(), Y: 0.5 * rng.NormFloat64(), Z: 0.5 * rng.NormFloat64()}
		}
		edge := Edge{From: at.Centre.Add(step()), To: at.Centre.Add(step()), Radius: 0.02}
		gap, along := tyre.Gap(&at, &edge)
		onTyre, onEdge := tyre.Between(&at, &edge)
		require.InDelta(t, math.Abs(gap), onEdge.Sub(onTyre).Norm(), close)
		there, _ := tyre.Gap(&at, &Edge{From: onTyre, To: onTyre})
		require.InDelta(t, 0, there, close, "on the tyre")
		middle := edge.From.Add(edge.To.Sub(edge.From).Scale(along))
		require.InDelta(t, edge.Radius, onEdge.Sub(middle).Norm(), close, "on the edge")
	}
	// On the axis there is a way out too.
	tyre := Tyre{Radius: 0.3, Width: 0.8, Shoulder: 0.05}
	at := Placed{Axis: geom.Point{X: 1}}
	onTyre, onEdge := tyre.Between(&at, &Edge{})
	assert.InDelta(t, 0.3, onTyre.Sub(onEdge).Norm(), close)
}
