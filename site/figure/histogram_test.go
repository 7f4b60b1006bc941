package figure

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/canvas"
)

// spreadOf is draws in even steps from lo to hi, and their interval.
func spreadOf(label string, n int, lo, hi float64) Spread {
	s := Spread{Label: Plain(label), Mean: (lo + hi) / 2, Low: lo + 0.025*(hi-lo), High: hi - 0.025*(hi-lo)}
	for i := range n {
		s.Draws = append(s.Draws, lo+(hi-lo)*(float64(i)+0.5)/float64(n))
	}
	return s
}

func sampleHistogram(spreads ...Spread) *Histogram {
	return &Histogram{Head: Head{ID: "hist", Title: typed("A spread")}, X: effort, Spreads: spreads}
}

// Even draws fill every bin alike, all bins together hold every draw, and a bar is as tall as the axis says.
func TestBinsHoldEveryDraw(t *testing.T) {
	h := sampleHistogram(spreadOf("", 3000, 40, 70))
	p := h.Draw(Metric)
	check(t, p)
	for _, plate := range []Plate{p.Wide, p.Narrow} {
		bars := drawn(plate).areas(canvas.Separate(0))
		require.Len(t, bars, bins)
		for i, b := range bars {
			assert.InDelta(t, bars[0][1].x-bars[0][0].x, b[1].x-b[0].x, 1e-6, "equal bins")
			assert.InDelta(t, bars[0][2].y, b[2].y, 1e-6)
			if i > 0 {
				assert.InDelta(t, bars[i-1][1].x, b[0].x, 1e-6, "side by side")
			}
		}
		m := drawn(plate).lines(whiskerLine)
		require.Len(t, m, 4, "the interval, its ends and the mean")
		across := bars[bins-1][1].x - bars[0][0].x
		assert.InDelta(t, 0.95*across, m[0][1].x-m[0][0].x, 0.01*across)
		assert.InDelta(t, (bars[0][0].x+bars[bins-1][1].x)/2, m[3][0].x, 1)
		assert.Less(t, m[0][0].y, bars[0][2].y, "over the bins")
	}
	total := 0.0
	for _, share := range h.Spreads[0].shares(extent{40, 70}) {
		total += share
	}
	assert.InDelta(t, 1, total, 1e-9)
	assert.Contains(t, p.Wide.SVG, ">40.8\u00a0N to 69.2\u00a0N<")
	assert.Contains(t, p.Wide.SVG, "mean 55.0\u00a0N, in 95 % of them from 40.8\u00a0N to 69.2\u00a0N.")
}

// Alternatives and dial positions share bins and axes.
func TestSpreadsShareBins(t *testing.T) {
	a, b := sampleHistogram(spreadOf("a", 100, 0, 10), spreadOf("b", 100, 20, 30)), sampleHistogram(spreadOf("a", 100, 50, 60))
	first, second := readyHistogram(a), readyHistogram(b)
	assert.NotEqual(t, first.x, second.x)
	Steady([]Figure{a, b})
	first, second = readyHistogram(a), readyHistogram(b)
	assert.Equal(t, first.x, second.x)
	assert.Equal(t, first.y, second.y)
	p := a.Draw(Metric)
	check(t, p)
	assert.Equal(t, []string{"a", "b"}, texts(p.Wide, "panel"))
	assert.Equal(t, 2*bins, a.Marks())
}

// No spread at all, draws without a value, none with one: each is told, and drawn as far as it goes.
func TestOddSpreads(t *testing.T) {
	same := spreadOf("", 50, 5, 5)
	check(t, sampleHistogram(same).Draw(US))
	gone := Spread{Draws: []float64{math.NaN(), math.NaN()}, Mean: math.NaN(), Low: math.NaN(), High: math.NaN()}
	h := sampleHistogram(gone)
	h.Absent = 2
	p := h.Draw(Metric)
	check(t, p)
	assert.Empty(t, drawn(p.Wide).areas(canvas.Separate(0)))
	assert.Contains(t, p.Wide.SVG, "no value.")
	assert.Contains(t, p.Notes, "2 draws have no value and are left out.")
	check(t, (&Histogram{Head: Head{ID: "none"}}).Draw(Metric))
}

func TestHistogramFile(t *testing.T) {
	h := sampleHistogram(spreadOf("a", 300, 40, 70), spreadOf("b", 300, 40, 70))
	rows := parse(t, CSV(h, Metric))
	assert.Equal(t, []string{"Of", "What", "Effort from (N)", "Effort to (N)", "Share of draws (percent)"}, rows[0])
	require.Len(t, rows, 1+2*(bins+2))
	sum := 0.0
	for _, row := range rows[1 : 1+bins] {
		v, err := strconv.ParseFloat(row[4], 64)
		require.NoError(t, err)
		sum += v
	}
	assert.InDelta(t, 100, sum, 1e-6)
	assert.Equal(t, []string{"a", "Mean", "55", "55", ""}, rows[1+bins])
	table, every := h.Table(5)
	assert.Equal(t, 1, every)
	assert.Equal(t, []Words{{Metric: "a"}, {Metric: "b"}}, table.Rows)
	assert.Equal(t, "55.0", table.Columns[0].Cells[0].Text.Metric)
}
