package upkeep

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"turnplate/sim/agree"
)

const (
	arithmetic = 1e-12
	printed    = 5e-5 // values printed to four decimals
	twoFigures = 0.006
	grid       = 5e-4 // what Renewals claims of its counts
)

// ISO 281 with C = 16 kN and P = 2 kN, a ball bearing: 512 million turns (seen). A fifth more load leaves
// 1/1.728 of the life; a fifth less gives 1.953125 times (seen).
func TestLoadLifePublished(t *testing.T) {
	agree.Absolute(t, 512, LoadLife(1, 2.0/16, 3), arithmetic*512, "worked bearing")
	agree.Absolute(t, 1/1.728, LoadLife(1, 1.2, 3), arithmetic, "20 % more load")
	agree.Absolute(t, 1.953125, LoadLife(1, 0.8, 3), arithmetic, "20 % less load")
	agree.Absolute(t, 101.594, LoadLife(1, 1.0/4, 10.0/3), 5e-4, "a roller bearing at a quarter")
}

// The a1 row of ISO 281:1990 (0.62, 0.53, 0.44, 0.33, 0.21; from memory) and its unrounded values (worked out by an
// independent script): the life that a share of like parts reaches, over L10, the one that 90 % reach.
func TestReliabilityRow(t *testing.T) {
	row := []struct{ reliability, unrounded, published float64 }{
		{0.95, 0.6189, 0.62}, {0.96, 0.5315, 0.53}, {0.97, 0.4372, 0.44}, {0.98, 0.3325, 0.33}, {0.99, 0.2088, 0.21},
	}
	overL10 := func(reliability, shape float64) float64 {
		w := FromMedian(1, shape)
		return w.Reached(reliability) / w.Reached(0.9)
	}
	for _, r := range row {
		got := overL10(r.reliability, 1.5)
		agree.Absolute(t, r.unrounded, got, printed, "a1")
		agree.Absolute(t, r.published, got, twoFigures, "a1 as published")
	}
	agree.Absolute(t, 3.511, overL10(0.5, 1.5), 5e-4, "L50/L10, slope 1.5")
	agree.Absolute(t, 5.449, overL10(0.5, 10.0/9), 5e-4, "L50/L10, slope 10/9")
}

func TestWeibull(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		median, shape := rapid.Float64Range(1, 1e6).Draw(t, "median"), rapid.Float64Range(LeastShape, MostShape).Draw(t, "shape")
		r := rapid.Float64Range(0.01, 0.99).Draw(t, "reliability")
		w := FromMedian(median, shape)
		if d := w.Worn(median) - 0.5; math.Abs(d) > 1e-9 {
			t.Fatalf("half must be worn out at the median: %g off", d)
		}
		if d := w.Worn(w.Reached(r)) - (1 - r); math.Abs(d) > 1e-9 {
			t.Fatalf("Reached must undo Worn: %g off", d)
		}
	})
}

func TestScheduled(t *testing.T) {
	for _, c := range []struct{ distance, interval, times float64 }{
		{100, 10, 10}, {99.9, 10, 9}, {9.9, 10, 0}, {0.3, 0.1, 3}, {0.7, 0.1, 7}, {1e8, 5e6, 20}, {0, 10, 0},
	} {
		assert.Equal(t, c.times, Scheduled(c.distance, c.interval), "%g every %g", c.distance, c.interval)
	}
}

// Against the power series for Weibull counts, summed in 400 digits.
func TestRenewalsAgainstSeries(t *testing.T) {
	f, err := os.Open("../../testdata/reference/upkeepmodel.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 25)
	worst := 0.0
	for _, row := range rows[1:] {
		var v []float64
		for _, text := range row {
			x, err := strconv.ParseFloat(text, 64)
			require.NoError(t, err)
			v = append(v, x)
		}
		counts := Weibull{Scale: 3, Shape: v[0]}.Renewals(3 * v[1])
		what := "shape " + row[0] + " over " + row[1]
		agree.Absolute(t, v[2], counts.Mean(), grid*math.Max(1, v[2]), "mean count, "+what)
		for n, p := range v[3:] {
			got := 0.0
			if n < len(counts) {
				got = counts[n].Chance
			}
			agree.Absolute(t, p, got, grid, "P(N = "+strconv.Itoa(n)+"), "+what)
			worst = math.Max(worst, math.Abs(p-got))
		}
	}
	t.Logf("largest difference of a probability: %.2g", worst)
}

// With slope 1 the count is Poisson's at any distance.
func TestRenewalsArePoisson(t *testing.T) {
	for _, distance := range []float64{0, 0.1, 3, 12, 20} {
		counts := Weibull{Scale: 1, Shape: 1}.Renewals(distance)
		agree.Absolute(t, distance, counts.Mean(), grid*math.Max(1, distance), "mean")
		p := math.Exp(-distance)
		for n := range 5 {
			if n < len(counts) {
				agree.Absolute(t, p, counts[n].Chance, grid, "Poisson")
			}
			p *= distance / float64(n+1)
		}
	}
}

// Over a long distance the mean nears distance/μ + (σ² − μ²)/(2μ²) and the variance distance·σ²/μ³ (Cox,
// Renewal Theory, from memory).
func TestRenewalsAsymptotes(t *testing.T) {
	for _, shape := range []float64{1.5, 2.5, 5, 10} {
		w := Weibull{Scale: 1, Shape: shape}
		mu := math.Gamma(1 + 1/shape)
		variance := math.Gamma(1+2/shape) - mu*mu
		const distance = 18
		counts := w.Renewals(distance)
		agree.Absolute(t, distance/mu+(variance-mu*mu)/(2*mu*mu), counts.Mean(), 0.01, "mean")
		counted := 0.0
		for _, o := range counts {
			counted += o.Chance * math.Pow(o.Value-counts.Mean(), 2)
		}
		agree.Absolute(t, distance*variance/(mu*mu*mu), counted, 0.1+0.02*counted, "variance")
	}
}

func TestRenewalsAreADistribution(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := Weibull{Scale: 1, Shape: rapid.Float64Range(LeastShape, MostShape).Draw(t, "shape")}
		distance := rapid.Float64Range(0, 8).Draw(t, "distance")
		counts := w.Renewals(distance)
		sum := 0.0
		for n, o := range counts {
			if o.Value != float64(n) || o.Chance < -1e-12 {
				t.Fatalf("count %d: %+v", n, o)
			}
			sum += o.Chance
		}
		if math.Abs(sum-1) > 1e-12 {
			t.Fatalf("chances add up to %g", sum)
		}
		if further := w.Renewals(distance * 1.1); further.Mean() < counts.Mean()-grid {
			t.Fatal("further can't need fewer")
		}
	})
	for _, w := range []Weibull{{1, 0.4}, {1, 11}, {0, 2}, {-1, 2}, {math.NaN(), 2}, {1, math.NaN()}} {
		assert.True(t, math.IsNaN(w.Renewals(1).Mean()), "%+v is outside the range", w)
	}
	assert.True(t, math.IsNaN(Weibull{1, 2}.Renewals(MostScales+1).Mean()))
}

// Two dice: 2 to 12 with 7 most likely.
func TestSumOfTwoDice(t *testing.T) {
	die := Distribution{}
	for n := 1.0; n <= 6; n++ {
		die = append(die, Outcome{n, 1.0 / 6})
	}
	two := die.Times(2)
	require.Len(t, two, 11)
	agree.Absolute(t, 6.0/36, two[5].Chance, arithmetic, "seven")
	agree.Absolute(t, 7, two.Mean(), arithmetic, "mean")
	assert.Equal(t, 2.0, two.Quantile(1.0/36))
	assert.Equal(t, 3.0, two.Quantile(1.01/36))
	assert.Equal(t, 12.0, two.Quantile(1))
	assert.Equal(t, 0.0, two.Scale(0).Quantile(0.5))
	assert.Len(t, two.Scale(0), 1)
}

// Thinning keeps mean and total chance, and moves no quantile further than the values lie apart.
func TestDistributionStaysBounded(t *testing.T) {
	counts := Weibull{1, 1.5}.Renewals(10)
	sum, mean := Certain(0), 0.0
	for _, cost := range []float64{101.3, 57.7, 313.9, 11.1, 72.3, 211.7} {
		sum = sum.Plus(counts.Scale(cost))
		mean += cost * counts.Mean()
	}
	assert.LessOrEqual(t, len(sum), mostOutcomes)
	agree.Absolute(t, mean, sum.Mean(), 1e-9*mean, "mean")
	total := 0.0
	for i, o := range sum {
		total += o.Chance
		if i > 0 {
			assert.Greater(t, o.Value, sum[i-1].Value)
		}
	}
	agree.Absolute(t, 1, total, 1e-9, "total chance")
	// Near enough normal: 95 % within 1.96 standard deviations.
	variance := 0.0
	for _, o := range sum {
		variance += o.Chance * math.Pow(o.Value-sum.Mean(), 2)
	}
	agree.Absolute(t, 3.92, (sum.Quantile(0.975)-sum.Quantile(0.025))/math.Sqrt(variance), 0.05, "width of the band")
}

func BenchmarkRenewals(b *testing.B) {
	for _, distance := range []float64{0.5, 2, 10} {
		b.Run(strconv.FormatFloat(distance, 'g', -1, 64)+" scales", func(b *testing.B) {
			w := Weibull{1, 1.8}
			for b.Loop() {
				w.Renewals(distance)
			}
		})
	}
}
