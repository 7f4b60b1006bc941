package eval

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/figure"
)

func TestLimitsOfCurves(t *testing.T) {
	const start = "lean := span(0*deg, 8*deg, 3)\nfar := lean/deg*10*mm\n"
	p := good(t, "# A\n"+fence(start+`Curves{X: lean, Y: far, Limits: []Limit{{"A finger's breadth", 15*mm, "more", "too close"}, {Label: "A line", Value: 20*mm + far}}}`))
	limits := p.Blocks[0].Figures[0].(*figure.Curves).Limits
	require.Len(t, limits, 2)
	assert.Equal(t, figure.Plain("A finger's breadth"), limits[0].Label)
	assert.InDeltaSlice(t, []float64{0.015, 0.015, 0.015}, limits[0].Y, 1e-12)
	assert.Equal(t, "more", limits[0].Better)
	assert.Equal(t, "too close", limits[0].Beyond)
	assert.InDeltaSlice(t, []float64{0.02, 0.06, 0.1}, limits[1].Y, 1e-12)

	for limit, want := range map[string]string{
		`{"A", 15*deg}`:                         "this limit is an angle",
		`{"A", 15*mm, "higher"}`:                `Better is "more" or "less"`,
		`{Label: "A"}`:                          "a limit needs a name and a value",
		`{"A", list(1*mm, 2*mm)}`:               "a limit is one number or varies over lean",
		`{Label: "A", Value: 1*mm, Worse: "x"}`: "Worse",
	} {
		faults := page(t, "# A\n"+fence(start+"Curves{X: lean, Y: far, Limits: []Limit{"+limit+"}}")).Faults
		require.Len(t, faults, 1, limit)
		assert.Contains(t, faults[0].Message, want)
	}
}

func TestUntilIsLikeZ(t *testing.T) {
	const start = "x := span(1*m, 2*m, 3)\ny := span(1*m, 2*m, 3)\n"
	p := good(t, "# A\n"+fence(start+"Contours{X: x, Y: y, Z: x + y, Until: 4*m}"))
	assert.InDelta(t, 4, *p.Blocks[0].Figures[0].(*figure.Contours).Until, 1e-12)
	for _, until := range []string{"4*kg", "x"} {
		require.Len(t, page(t, "# A\n"+fence(start+"Contours{X: x, Y: y, Z: x + y, Until: "+until+"}")).Faults, 1, until)
	}
}
