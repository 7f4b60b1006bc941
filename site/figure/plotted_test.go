package figure

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/canvas"
)

// onPaper plots in a frame of 100 by 50 pixels, and gives what was drawn.
func onPaper(x, y extent, draw func(q plotted)) marks {
	r := &recorder{height: 100}
	draw(newPen(r, 200, 100).plot(frame{box{50, 10, 100, 50}, x, y}))
	return r.marks
}

// Limits on which gonum would loop for ever, or draw nonsense, never reach it.
func TestLimitsAreStoppedAtTheDoor(t *testing.T) {
	good := extent{0, 1}
	for _, bad := range []extent{
		{math.NaN(), 1}, {0, math.NaN()}, {math.NaN(), math.NaN()}, {0, math.Inf(1)}, {math.Inf(-1), 0},
		{1, 1}, {0, 0}, {2, 1}, {1, 1 + 4e-14}, {0, 1e200}, nothing,
	} {
		assert.Panics(t, func() { onPaper(bad, good, func(plotted) {}) }, "%v", bad)
		assert.Panics(t, func() { onPaper(good, bad, func(plotted) {}) }, "%v", bad)
		// What readies axes mends them beforehand.
		if finite(bad.lo) && finite(bad.hi) && bad.lo <= bad.hi {
			assert.True(t, bad.widened(1).drawable(), "%v", bad)
		}
	}
	assert.True(t, nothing.widened(1).drawable())
}

// A gap inside a line is a mistake of ours, because gonum would draw path data that is no number.
func TestGapsAreStoppedAtTheDoor(t *testing.T) {
	for _, bad := range []float64{math.NaN(), math.Inf(1)} {
		at := pairs{{X: 0, Y: 0}, {X: 0.5, Y: bad}, {X: 1, Y: 1}}
		for _, draw := range []func(q plotted){
			func(q plotted) { q.line(axisLine, at) },
			func(q plotted) { q.fill(canvas.Soft, noLine, at) },
			func(q plotted) { q.marks(markGlyphs(styleOf(0, 1, false)), at) },
			func(q plotted) { q.bar(canvas.Soft, noLine, bad, 0.5, 10) },
			func(q plotted) { q.whisker(0, bad, 1, 0.5) },
		} {
			assert.Panics(t, func() { onPaper(extent{0, 1}, extent{0, 1}, draw) })
		}
	}
	// Nothing to draw is no mistake.
	assert.Empty(t, onPaper(extent{0, 1}, extent{0, 1}, func(q plotted) {
		q.line(axisLine, nil)
		q.fill(canvas.Soft, noLine)
		q.marks(readingGlyphs(0, false), nil)
	}))
}

// A grid has a line at each end of an axis that is round, whatever its last bits are.
func TestGridAtTheEnds(t *testing.T) {
	const gravity = 9.80665
	for _, miss := range []float64{-1e-10, -1e-15, 0, 1e-15, 1e-10} {
		x, y := extent{0.1 * gravity * (1 - miss), 0.6 * gravity * (1 + miss)}, extent{-0.2 * (1 + miss), 1}
		m := onPaper(x, y, func(q plotted) {
			across := ticker{graduate(x.lo/gravity, x.hi/gravity, 7, anyRoom), gravity}
			up := ticker{graduate(y.lo, y.hi, 7, anyRoom), 1}
			q.grid(&across, nil)
			q.grid(nil, &up)
		})
		assert.Len(t, m.lines(gridLine), 6+7, "from 0.1 g to 0.6 g and from -0.2 to 1, out by %g of it", miss)
	}
}

// What gonum's plotters draw lies where the frame says.
func TestPlottersFillTheFrame(t *testing.T) {
	f := frame{box{50, 10, 100, 50}, extent{2, 4}, extent{-1, 1}}
	same := func(want, got point) {
		t.Helper()
		assert.InDelta(t, want.x, got.x, 1e-9)
		assert.InDelta(t, want.y, got.y, 1e-9)
	}
	m := onPaper(f.x, f.y, func(q plotted) {
		q.line(levelLine, pairs{{X: 2, Y: -1}, {X: 3, Y: 0}, {X: 4, Y: 1}})
		q.grid(&ticker{graduation{ticks: []tick{{value: 3, label: "3"}}}, 1}, nil)
		q.bar(canvas.Good, noLine, 3, 0, 10)
		q.whisker(3, 2.5, 4, 0)
	})
	line := m.lines(levelLine)[0]
	same(point{50, 60}, line[0])
	same(point{100, 35}, line[1])
	same(point{150, 10}, line[2])
	grid := m.lines(gridLine)
	require.Len(t, grid, 1)
	same(f.at(3, -1), grid[0][0])
	same(f.at(3, 1), grid[0][1])
	bar := m.areas(canvas.Good)
	require.Len(t, bar, 1)
	tall, long := nothing, nothing
	for _, p := range bar[0] {
		tall, long = tall.with(p.y), long.with(p.x)
	}
	assert.InDelta(t, 10, tall.size(), 1e-9)
	assert.InDelta(t, f.at(3, 0).x, long.hi, 1e-9)
	whisker := m.lines(whiskerLine)
	require.Len(t, whisker, 3)
	same(f.at(2.5, 0), whisker[0][0])
	same(f.at(4, 0), whisker[0][1])
}
