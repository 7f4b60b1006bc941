package eval

import (
	"testing"

	"github.com/stretchr/testify/assert"

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
