package figure

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"turnplate/sim/unit"
)

// read undoes what is done to a number for print.
func read(t require.TestingT, label string) float64 {
	v, err := strconv.ParseFloat(plainNumberText.Replace(label), 64)
	require.NoError(t, err)
	return v
}

func labels(g graduation) (out []string) {
	for _, t := range g.ticks {
		out = append(out, t.label)
	}
	return out
}

func TestGraduateExamples(t *testing.T) {
	for _, c := range []struct {
		lo, hi float64
		most   int
		want   string
	}{
		{0, 8, 9, "0 1 2 3 4 5 6 7 8"},
		{0, 8, 5, "0 2 4 6 8"},
		{-0.11, 0.09, 6, "−0.10 −0.05 0.00 0.05"},
		{96.1, 158, 7, "100 110 120 130 140 150"},
		{1000, 61000, 7, "10\u202f000 20\u202f000 30\u202f000 40\u202f000 50\u202f000 60\u202f000"},
		{0.3001, 0.3004, 4, "0.3001 0.3002 0.3003 0.3004"},
		{0, 2.5e7, 6, "0 5 10 15 20 25"}, // times ten to the sixth
		{0, 4e-5, 5, "0 10 20 30 40"},    // times ten to the minus sixth
	} {
		assert.Equal(t, c.want, strings.Join(labels(graduate(c.lo, c.hi, c.most, anyRoom)), " "), "%v to %v", c.lo, c.hi)
	}
}

func TestGraduateLeavesRoom(t *testing.T) {
	most := 3
	g := graduate(0, 8, 9, func(ticks []tick) bool { return len(ticks) <= most })
	assert.Equal(t, []string{"0", "5"}, labels(g), "coarser steps until the labels have room")
}

// Where the wished number of labels falls between two round steps, the finer one is taken.
func TestAxisHasAScale(t *testing.T) {
	degrees := axis{extent{1, 9}, unit.Unit{SI: 1}, ""}
	assert.Equal(t, []string{"2", "4", "6", "8"}, labels(degrees.graduate(3, anyRoom)), "not 5 alone")
	assert.Equal(t, []string{"5"}, labels(degrees.graduate(3, func(ticks []tick) bool { return len(ticks) < 4 })), "there is no room for more")
	rapid.Check(t, func(t *rapid.T) {
		lo := rapid.Float64Range(-100, 100).Draw(t, "lo")
		a := axis{extent{lo, lo + rapid.Float64Range(0.01, 300).Draw(t, "size")}, unit.Unit{SI: 1}, ""}
		g := a.graduate(rapid.IntRange(2, 9).Draw(t, "wish"), anyRoom)
		require.GreaterOrEqual(t, len(g.ticks), 3)
		require.LessOrEqual(t, len(g.ticks), 9)
	})
}

// Whatever the range, labels are distinct, say exactly where they stand, and stand in a 1-2-5 ladder.
func TestGraduateProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size := math.Pow(10, rapid.Float64Range(-60, 60).Draw(t, "size"))
		lo := rapid.Float64Range(-1, 1).Draw(t, "lo") * size
		range_ := extent{lo, lo + rapid.Float64Range(0, 1).Draw(t, "width")*size}.widened(1)
		most := rapid.IntRange(3, 12).Draw(t, "most")
		g := graduate(range_.lo, range_.hi, most, anyRoom)

		require.NotEmpty(t, g.ticks)
		require.LessOrEqual(t, len(g.ticks), most)
		seen := map[string]bool{}
		for i, k := range g.ticks {
			require.False(t, seen[k.label], "%q twice", k.label)
			seen[k.label] = true
			const rounding = 1e-9
			slack := rounding * max(math.Abs(range_.lo), math.Abs(range_.hi))
			require.InDelta(t, k.value, read(t, k.label)*math.Pow(10, float64(g.power)), slack)
			require.GreaterOrEqual(t, k.value, range_.lo-slack)
			require.LessOrEqual(t, k.value, range_.hi+slack)
			if i > 0 {
				step := k.value - g.ticks[i-1].value
				digit := step / math.Pow(10, math.Floor(math.Log10(step)+1e-6))
				require.Condition(t, func() bool {
					return math.Abs(digit-1) < 1e-3 || math.Abs(digit-2) < 1e-3 || math.Abs(digit-5) < 1e-3
				}, "a step of %v", step)
			}
		}
		for _, k := range g.ticks {
			require.InDelta(t, math.Round(k.value/g.part), k.value/g.part, 1e-3, "every label stands on a graduation")
		}
	})
}

func TestDecimal(t *testing.T) {
	for _, c := range []struct {
		n        int64
		exponent int
		want     string
	}{
		{0, 0, "0"}, {0, -2, "0.00"}, {5, -1, "0.5"}, {-15, -1, "−1.5"}, {7, 2, "700"}, {12, 3, "12\u202f000"}, {-3, -3, "−0.003"}, {1234567, 0, "1\u202f234\u202f567"},
	} {
		assert.Equal(t, c.want, decimal(c.n, c.exponent))
	}
}

func TestNumber(t *testing.T) {
	assert.Equal(t, "−2.35", number(-2.346, 2))
	assert.Equal(t, "0.0", number(-0.04, 1), "no minus before a zero")
	assert.Equal(t, "12\u202f346", number(12345.6, 0))
	assert.Equal(t, "9999.5", number(9999.5, 1))
}

func TestExtentIsNeverEmpty(t *testing.T) {
	for _, e := range []extent{nothing, {0, 0}, {5, 5}, {-3, -3}, {1e90, 1e90}, {1e-99, 1e-99}, {7, 7 + 1e-12}} {
		w := e.widened(0.001)
		assert.Greater(t, w.hi, w.lo, "%v", e)
		assert.Greater(t, w.size(), 1e-7*max(math.Abs(w.lo), math.Abs(w.hi)), "%v", e)
		if !e.empty() {
			assert.LessOrEqual(t, w.lo, e.lo)
			assert.GreaterOrEqual(t, w.hi, e.hi)
		}
	}
}

func TestAxisBeginsAtZeroWhenNear(t *testing.T) {
	assert.Equal(t, 0.0, extent{10, 100}.padded().lo)
	assert.Equal(t, 0.0, extent{0, 100}.padded().lo)
	assert.Equal(t, 0.0, extent{-100, -10}.padded().hi)
	assert.InDelta(t, 89.4, extent{90, 100}.padded().lo, 1e-9)
	assert.Less(t, extent{-5, 100}.padded().lo, -5.0)
}
