package figure

import (
	"math"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const sameplace = 1e-9 // pixels

func TestSpreadProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "n")
		want, heights := make([]float64, n), make([]float64, n)
		need := 0.0
		for i := range n {
			want[i] = rapid.Float64Range(-50, 350).Draw(t, "want")
			heights[i] = rapid.Float64Range(5, 40).Draw(t, "height")
			need += heights[i]
		}
		const gap, lo, hi = 3, 0, 300
		middles, ok := spread(want, heights, gap, lo, hi)
		if need+gap*float64(n-1) > hi-lo {
			require.False(t, ok)
			return
		}
		require.True(t, ok)
		order := make([]int, n)
		for i := range order {
			order[i] = i
		}
		sort.Slice(order, func(a, b int) bool { return middles[order[a]] < middles[order[b]] })
		for k, i := range order {
			require.GreaterOrEqual(t, middles[i]-heights[i]/2, lo-sameplace)
			require.LessOrEqual(t, middles[i]+heights[i]/2, hi+sameplace)
			if k > 0 {
				j := order[k-1]
				require.GreaterOrEqual(t, middles[i]-heights[i]/2-(middles[j]+heights[j]/2), gap-sameplace)
				require.LessOrEqual(t, want[j], want[i], "the order is kept")
			}
		}
	})
}

func TestSpreadMovesNothingThatIsFree(t *testing.T) {
	middles, ok := spread([]float64{100, 20, 60}, []float64{10, 10, 10}, 3, 0, 200)
	assert.True(t, ok)
	assert.Equal(t, []float64{100, 20, 60}, middles)
}

func TestSpreadIsEvenAroundTheWish(t *testing.T) {
	middles, _ := spread([]float64{50, 50, 50}, []float64{10, 10, 10}, 2, 0, 200)
	assert.InDeltaSlice(t, []float64{38, 50, 62}, middles, sameplace, "the least sum of squared moves")
}

func TestThin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 3000).Draw(t, "n")
		rough := rapid.Float64Range(0, 200).Draw(t, "rough")
		seed := rapid.Float64Range(0, 1).Draw(t, "seed")
		points := make([]point, n)
		for i := range points {
			points[i] = point{600 * float64(i) / float64(max(n, 1)), rough * math.Sin(seed*float64(i*i))}
		}
		kept := thin(points)
		if n == 0 {
			require.Empty(t, kept)
			return
		}
		require.Equal(t, points[0], kept[0])
		require.Equal(t, points[n-1], kept[len(kept)-1])
		require.LessOrEqual(t, len(kept), 4*601, "at most four points a column of pixels")
		// What is kept is data, in order.
		at := 0
		for _, p := range kept {
			for at < n && points[at] != p {
				at++
			}
			require.Less(t, at, n, "a point that isn't in the data")
		}
		// The drawn line touches the same pixels up and down.
		low, high := nothing, nothing
		for _, p := range points {
			low = low.with(p.y)
		}
		for _, p := range kept {
			high = high.with(p.y)
		}
		require.InDelta(t, low.lo, high.lo, 0.05)
		require.InDelta(t, low.hi, high.hi, 0.05)
	})
}

func TestStraightLinesNeedTwoPoints(t *testing.T) {
	var points []point
	for i := range 100 {
		points = append(points, point{float64(i), 3 * float64(i)})
	}
	assert.Len(t, thin(points), 2)
}

func TestWrap(t *testing.T) {
	lines, cut := wrap("a few short words", 10, 60, 3)
	assert.False(t, cut)
	assert.Equal(t, "a few short words", strings.Join(lines, " "))
	lines, cut = wrap("Donaudampfschifffahrtsgesellschaft", 10, 60, 2)
	assert.True(t, cut)
	assert.True(t, strings.HasSuffix(lines[0], "…"))

	rapid.Check(t, func(t *rapid.T) {
		text := clean(rapid.String().Draw(t, "text"))
		width := rapid.Float64Range(30, 300).Draw(t, "width")
		most := rapid.IntRange(1, 3).Draw(t, "most")
		lines, cut := wrap(text, 13, width, most)
		require.LessOrEqual(t, len(lines), most)
		for _, l := range lines {
			require.LessOrEqual(t, textWidth(l, 13), width+sameplace, "%q", l)
		}
		if !cut {
			require.Equal(t, text, strings.Join(lines, " "))
		}
	})
}

func TestClean(t *testing.T) {
	assert.Equal(t, "a b c", clean(" a\tb\nc\x00\u202e "))
	assert.Equal(t, "5\u00a0mm", clean("5\u00a0mm"))
}

func TestCrosses(t *testing.T) {
	b := box{10, 10, 20, 20}
	for _, c := range []struct {
		from, to point
		want     bool
	}{
		{point{0, 20}, point{40, 20}, true},
		{point{15, 15}, point{16, 16}, true},
		{point{0, 0}, point{40, 40}, true},
		{point{0, 0}, point{9, 40}, false},
		{point{0, 35}, point{40, 35}, false},
		{point{20, 0}, point{20, 5}, false},
	} {
		assert.Equal(t, c.want, crosses(c.from, c.to, b), "%v to %v", c.from, c.to)
	}
}

// Labels that the placer sets never lie over one another, nor over what they must avoid.
func TestPlacer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := placer{within: box{0, 0, 300, 200}, reach: 2}
		p.avoid(box{100, 80, 60, 40})
		p.avoidLine([]point{{0, 0}, {300, 200}})
		fixed := len(p.boxes)
		for range rapid.IntRange(1, 20).Draw(t, "labels") {
			at := point{rapid.Float64Range(0, 300).Draw(t, "x"), rapid.Float64Range(0, 200).Draw(t, "y")}
			p.find(wide.label(), Words{"12.5°", "0.5"}, at, 6, rightFirst)
		}
		for i, b := range p.boxes[fixed:] {
			require.True(t, p.within.holds(b))
			require.False(t, crosses(point{0, 0}, point{300, 200}, b))
			for _, other := range p.boxes[:fixed+i] {
				require.False(t, b.meets(other))
			}
		}
	})
}
