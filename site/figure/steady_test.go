package figure

import (
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Axes stand still: the labels of every position's axes are the same, while alone they would not be.
func TestSteadyAxes(t *testing.T) {
	small := &Curves{Head: Head{ID: "f"}, Panels: []Panel{{Lines: []Line{{X: []float64{0, 1}, Y: []float64{0, 1}}}}}}
	large := &Curves{Head: Head{ID: "f"}, Panels: []Panel{{Lines: []Line{{X: []float64{0, 2}, Y: []float64{0, 50}}}}}}
	texts := func(c *Curves) []string {
		return regexp.MustCompile(`<text[^>]*>[^<]*</text>`).FindAllString(c.Draw(Metric).Wide.SVG, -1)
	}
	require.NotEqual(t, texts(small), texts(large))
	Steady([]Figure{small, large})
	assert.Equal(t, texts(large), texts(small))

	one, two := &Bars{Names: []Words{{Metric: "a"}}, Sets: []BarSet{{Y: []float64{1}}}}, &Bars{Names: []Words{{Metric: "a"}}, Sets: []BarSet{{Y: []float64{9}}}}
	Steady([]Figure{one, two})
	assert.Equal(t, readyBars(one).extent, readyBars(two).extent)
	low := &Contours{Panels: []Field{{X: []float64{0, 1}, Y: []float64{0, 1}, Z: [][]float64{{0, 1}, {1, 2}}}}}
	high := &Contours{Panels: []Field{{X: []float64{0, 1}, Y: []float64{0, 1}, Z: [][]float64{{0, 8}, {9, 20}}}}}
	Steady([]Figure{low, high})
	assert.Equal(t, readyMap(low).z, readyMap(high).z)
	assert.Equal(t, readyMap(low).levels, readyMap(high).levels)
}

func TestSteadyTwiceIsSteadyOnce(t *testing.T) {
	to := func(most float64) *Curves {
		return &Curves{Panels: []Panel{{Lines: []Line{{X: []float64{0, 1}, Y: []float64{0, most}}}}}}
	}
	corner, bar := &Drawing{}, &Bars{Sets: []BarSet{{Y: []float64{70}}}}
	list, bars, corners := []Figure{to(1), nil, to(5), to(9)}, []Figure{bar, bar}, []Figure{corner, &Drawing{}, &Drawing{}}
	for range 3 {
		Steady(list)
		Steady(bars)
		Steady(corners)
		for _, f := range alike[*Curves](list) {
			assert.Equal(t, extent{0, 9}, f.all().y)
		}
		assert.Equal(t, extent{70, 70}, bar.all().x)
		assert.Len(t, corner.beside, 2)
	}
	Steady(nil)
	Steady([]Figure{nil})
}
