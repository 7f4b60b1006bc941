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

// Gaps to a hollow wheel agree with a brute-force search (hollow.py), apart and overlapping.
func TestHollowGapAgainstBruteForce(t *testing.T) {
	const close = 2e-8 // m: chords in the place of arcs
	file, err := os.Open("../../testdata/reference/hollow.csv")
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 241)
	overlaps, cleared := 0, 0
	for n, row := range rows[1:] {
		var x [19]float64
		for i, text := range row {
			x[i], err = strconv.ParseFloat(text, 64)
			require.NoError(t, err)
		}
		tyre := Tyre{Radius: x[0], Width: x[1], Shoulder: x[2], RimRadius: x[3], RimWidth: x[4]}
		at := Placed{Centre: geom.Point{X: x[5], Y: x[6], Z: x[7]}, Axis: geom.Point{X: x[8], Y: x[9], Z: x[10]}}
		edge := Edge{From: geom.Point{X: x[11], Y: x[12], Z: x[13]}, To: geom.Point{X: x[14], Y: x[15], Z: x[16]}, Radius: x[17]}
		gap, along := tyre.Gap(&at, &edge)
		assert.InDelta(t, x[18], gap, close, "row %d", n)
		assert.True(t, along >= 0 && along <= 1)
		solid := tyre
		solid.RimRadius = 0
		filled, _ := solid.Gap(&at, &edge)
		assert.LessOrEqual(t, filled, gap+1e-9, "a hollow wheel is no nearer than a filled one")
		if gap < 0 {
			overlaps++
		} else if filled < 0 {
			cleared++
		}
	}
	assert.Greater(t, overlaps, 50)
	assert.Greater(t, cleared, 30, "edges inside the rim that don't touch it")
}

// Places whose gap is plain: in the bore, against its wall, through its mouth, in the pocket beside the barrel.
func TestHollowGapKnown(t *testing.T) {
	tyre := Tyre{Radius: 0.4, Width: 0.28, Shoulder: 0.03, RimRadius: 0.215, RimWidth: 0.2} // bore of 400 mm
	at := Placed{Axis: geom.Point{Y: 1}}
	for name, c := range map[string]struct {
		edge Edge
		gap  float64
	}{
		"on the axis":           {Edge{}, 0.2},
		"a ball joint":          {Edge{From: geom.Point{Z: -0.15, Y: -0.05}, To: geom.Point{Z: -0.15, Y: -0.05}, Radius: 0.03}, 0.02},
		"an arm to it":          {Edge{From: geom.Point{Z: -0.15, Y: -0.05}, To: geom.Point{Z: -0.1, Y: -0.5}, Radius: 0.02}, 0.03},
		"touching the bore":     {Edge{From: geom.Point{X: 0.2, Y: 0.05}, To: geom.Point{X: 0.1, Y: 0}}, 0},
		"through the barrel":    {Edge{From: geom.Point{X: 0.1, Y: 0.02}, To: geom.Point{X: 0.208, Y: 0.02}}, -0.008},
		"across the bore":       {Edge{From: geom.Point{X: -0.12, Y: 0.02}, To: geom.Point{X: 0.15, Y: 0.02}}, 0.05},
		"beyond the barrel":     {Edge{From: geom.Point{X: 0.17, Y: -0.14}, To: geom.Point{X: 0.17, Y: -0.14}}, math.Min(math.Hypot(0.03, 0.04), 0.045)},
		"in the pocket":         {Edge{From: geom.Point{X: 0.208, Y: -0.105}, To: geom.Point{X: 0.208, Y: -0.105}}, 0.005},
		"out of the tyre":       {Edge{From: geom.Point{X: 0.3, Y: -0.15}, To: geom.Point{X: 0.5, Y: -0.15}}, 0.01},
		"along the axis, all":   {Edge{From: geom.Point{X: 0.19, Y: -1}, To: geom.Point{X: 0.19, Y: 1}, Radius: 0.004}, 0.006},
		"from hub to tread":     {Edge{From: geom.Point{}, To: geom.Point{X: 0.5}}, -0.1},
		"cornering the bore":    {Edge{From: geom.Point{X: 0.15, Z: 0.1, Y: 0}, To: geom.Point{X: 0.15, Z: -0.1, Y: 0}}, 0.2 - math.Hypot(0.15, 0.1)},
		"just inside the flank": {Edge{From: geom.Point{X: 0.3, Y: 0.13}, To: geom.Point{X: 0.3, Y: 0.13}}, -0.01},
	} {
		gap, _ := tyre.Gap(&at, &c.edge)
		assert.InDelta(t, c.gap, gap, 1e-9, name)
	}
}

// No place of the edge is nearer than the gap, either way round, and Within tells no more than there is.
func TestHollowGapIsTheLeast(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 51))
	for range 400 {
		tyre, at := randomTyre(rng)
		tyre.RimRadius, tyre.RimWidth = 0.18+0.05*rng.Float64(), tyre.Width*(0.6+0.4*rng.Float64())
		tyre.Shoulder = math.Min(tyre.Shoulder, tyre.Radius-tyre.RimRadius-0.01)
		step := func() geom.Point {
			return geom.Point{X: 0.15 * rng.NormFloat64(), Y: 0.15 * rng.NormFloat64(), Z: 0.15 * rng.NormFloat64()}
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
		require.InDelta(t, gap, there, 1e-9)
		back, _ := tyre.Gap(&at, &Edge{edge.To, edge.From, edge.Radius})
		require.InDelta(t, gap, back, 1e-9)
		for _, more := range []float64{-1, -1e-6, 1e-6, 1} {
			within, _ := tyre.Within(&at, &edge, gap-more, rng.Float64())
			if more < 0 {
				require.InDelta(t, gap, within, 1e-9, "whatever the guess")
			} else {
				require.True(t, within > gap-more && within <= gap+1e-12)
			}
		}
		onTyre, onEdge := tyre.Between(&at, &edge)
		require.InDelta(t, math.Abs(gap), onEdge.Sub(onTyre).Norm(), 1e-8)
		surface, _ := tyre.Gap(&at, &Edge{From: onTyre, To: onTyre})
		require.InDelta(t, 0, surface, 1e-8, "on the wheel's surface")
	}
}

func BenchmarkHollowGap(b *testing.B) {
	tyre := Tyre{Radius: 0.4, Width: 0.3, Shoulder: 0.05, RimRadius: 0.21, RimWidth: 0.22}
	at := Placed{Axis: geom.Point{X: 0.1, Y: 1, Z: 0.05}.Unit()}
	edge := Edge{From: geom.Point{X: 0.15, Y: -0.5, Z: 0.1}, To: geom.Point{X: 0.12, Y: -0.04, Z: 0.12}, Radius: 0.01}
	for b.Loop() {
		gap, _ := tyre.Gap(&at, &edge)
		keep += gap
	}
}
