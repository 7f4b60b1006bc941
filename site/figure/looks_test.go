package figure

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// Labels that stand in one set never look alike, whatever else the site shows.
func TestLabelsShownTogetherDiffer(t *testing.T) {
	label := rapid.SampledFrom([]string{"a", "b", "c", "d", "e", "f", "g", "h", "i", "j"})
	rapid.Check(t, func(t *rapid.T) {
		sets := rapid.SliceOfN(rapid.SliceOfNDistinct(label, 1, 6, rapid.ID[string]), 1, 8).Draw(t, "sets")
		looks := LooksOf(sets)
		for _, set := range sets {
			var taken []int
			for _, label := range set {
				assert.NotContains(t, taken, looks[label], "%v", sets)
				taken = append(taken, looks[label])
			}
		}
	})
}

func TestALabelLooksTheSameInEveryFigure(t *testing.T) {
	looks := LooksOf([][]string{{"Long arm", "Cast arm"}, {"Stock arm", "Long arm"}})
	assert.Equal(t, Looks{"Long arm": 0, "Cast arm": 1, "Stock arm": 1}, looks)
	x := []float64{0, 1}
	lines := func(names ...string) *curves {
		c := &Curves{Panels: []Panel{{}}}
		for _, name := range names {
			c.Panels[0].Lines = append(c.Panels[0].Lines, Line{Label: Plain(name), X: x, Y: x})
		}
		Dress(c, looks)
		return ready(c)
	}
	assert.Equal(t, lines("Long arm", "Cast arm").styles[Plain("Long arm")], lines("Stock arm", "Long arm").styles[Plain("Long arm")])
	unknown := lines("Another", "Stock arm")
	assert.Equal(t, styleOf(0, 2, false), unknown.styles[Plain("Another")], "what the others leave")
	clash := lines("Cast arm", "Stock arm")
	assert.NotEqual(t, clash.styles[Plain("Cast arm")], clash.styles[Plain("Stock arm")], "two that no set holds together")

	b := &Bars{Sets: []BarSet{{Label: Plain("Stock arm"), Y: x}, {Label: Plain("Long arm"), Y: x}}}
	Dress(b, looks)
	assert.Equal(t, []int{1, 0}, readyBars(b).looks)
	swatches := []string{}
	for look := range textures {
		swatches = append(swatches, barSwatch(look).SVG)
	}
	slices.Sort(swatches)
	assert.Len(t, slices.Compact(swatches), textures)
}
