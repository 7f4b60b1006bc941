package eval

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/figure"
)

// What tells lines, plots, maps, bars, drawings and columns apart is named in each reader's own units.
func TestNamesOfAlternativesInBothSystems(t *testing.T) {
	p := good(t, "# A\n"+fence(truck+`
lift := list(0*mm, 50.8*mm)
truck.Front.Lift = lift
angle := span(1*deg, 3*deg, 3)
reach := lift * angle / rad
Curves{X: angle, Y: reach, By: lift}
Curves{X: angle, Y: reach, Panels: lift}
wide := span(1*m, 2*m, 2)
Contours{X: angle, Y: wide, Z: reach * wide, Panels: lift}
Bars{X: angle, Y: reach, By: lift}
Table{Rows: angle, By: lift, Columns: []Column{{"Reach", reach, mm}}}
Drawing{Vehicle: truck, View: "front", By: lift}
which := Choices{"5 mm": 1, "6 mm": 2}
Curves{X: angle, Y: which * angle, By: which}
`))
	f := p.Blocks[0].Figures
	const metric, us = "Lift 50.8\u00a0mm", "Lift 2\u00a0in"
	line := f[0].(*figure.Curves).Panels[0].Lines[1]
	assert.Equal(t, figure.Words{Metric: metric, US: us}, line.Label)
	panel := f[1].(*figure.Curves).Panels[1]
	assert.Equal(t, figure.Words{Metric: metric, US: us}, panel.Title)
	field := f[2].(*figure.Contours).Panels[1]
	assert.Equal(t, figure.Words{Metric: metric, US: us}, field.Title)
	bars := f[3].(*figure.Bars).Sets[1]
	assert.Equal(t, figure.Words{Metric: metric, US: us}, bars.Label)
	column := f[4].(*figure.Table).Columns[1]
	assert.Equal(t, figure.Words{Metric: "Reach, " + metric, US: "Reach, " + us}, column.Head)
	scene := f[5].(*figure.Drawing).Scenes[1]
	assert.Equal(t, figure.Words{Metric: metric, US: us}, scene.Label)
	typed := f[6].(*figure.Curves).Panels[0].Lines[0]
	assert.Equal(t, figure.Plain("5 mm"), typed.Label, "an author's own words are left alone")
}

// A figure calls things by their words: those of the field's tag, those that the author gives, or the name taken apart.
func TestWordsOfAxes(t *testing.T) {
	p := good(t, "# A\n"+fence(truck+`
lean := span(0*deg, 4*deg, 3).Called("caster asked for")
set  := AlignTo{Vehicle: truck, Caster: lean, Camber: 0*deg, Toe: 0*deg}
park := ParkingEffort{Vehicle: set.Nearest}
Curves{X: lean, Y: park.RimForce}
Curves{X: lean, Y: park.HandwheelTorque}
gain := (park.RimForce - 1*N).Called("more at the rim")
Curves{X: lean, Y: gain}
push := dial(1*N, 0*N, 2*N, 3).Called("your own push")
Curves{X: lean, Y: park.RimForce + push}
`))
	var across, up []string
	for _, f := range p.Blocks[0].Figures {
		c := f.(*figure.Curves)
		across, up = append(across, c.X.Label), append(up, c.Y.Label)
	}
	assert.Equal(t, []string{"Caster asked for", "Caster asked for", "Caster asked for", "Caster asked for"}, across)
	assert.Equal(t, []string{"Force at the rim", "Handwheel torque", "More at the rim"}, up[:3])
	require.Len(t, p.Dials, 1)
	assert.Equal(t, "Your own push", p.Dials[0].Label)
	faults := page(t, "# A\n"+fence("x := (1*mm).Called(3)")).Faults
	require.Len(t, faults, 1)
	assert.Contains(t, faults[0].Message, "words in quotes were expected here")
}

func TestOneFigureIsThePagesPicture(t *testing.T) {
	const plot = "lean := span(0*deg, 4*deg, 3)\nCurves{X: lean, Y: lean, Share: yes}\n"
	assert.True(t, figure.HeadOf(good(t, "# A\n"+fence(plot)).Blocks[0].Figures[0]).Share)
	for more, want := range map[string]string{
		"Curves{X: lean, Y: -lean, Share: yes}":                      "another figure is this page's picture to share already",
		`Table{Columns: []Column{{"Lean", 1*deg, deg}}, Share: yes}`: "Table makes no picture to share",
	} {
		faults := page(t, "# A\n"+fence(plot+more)).Faults
		require.Len(t, faults, 1)
		assert.Contains(t, faults[0].Message, want)
	}
}
