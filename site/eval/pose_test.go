package eval

import (
	"context"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim"
	"turnplate/site/figure"
	"turnplate/site/value"
)

// posed is a page whose drawing is posed along an axis, with what follows it.
var posed = "# A\n\nAt {bump in mm} the caster is {up.Caster in deg to 0.001}.\n\n" + fence(truck+`
bump := span(-40*mm, 60*mm, 6)
up := Travel{Vehicle: truck, Bump: bump}
Drawing{Vehicle: truck, View: "front", Bump: bump, Pose: bump, Ghost: truck}
Gauges{Rows: []Gauge{{Head: "Caster", Value: up.Caster, In: deg, To: 0.001, From: 0*deg, Until: 10*deg, Limit: 3*deg, Better: "more"}}}
Curves{X: bump, Y: up.Caster}
`)

// A posed drawing is shown at every place of its axis, as Travel has it there, and prose and gauges follow.
func TestPose(t *testing.T) {
	ev := New(library{"a.md": posed}, Options{})
	p := ev.Page(context.Background(), "a")
	require.Empty(t, p.Faults, "%v", p.Faults)
	require.Len(t, p.Dials, 1)
	assert.Equal(t, 2, p.Dials[0].Start, "nearest nought")
	_, names := ev.evaluate(context.Background(), need{path: "a"})
	car := vehicleOf(t, names["truck"])

	states := p.Blocks[0].States
	require.Len(t, states[0].Figures, 6)
	require.Len(t, states[1].Figures, 6)
	assert.True(t, len(states) < 3 || states[2] == nil, "a curve over the axis stays a curve")
	rest, err := sim.SketchOf(car, 0, 0)
	require.NoError(t, err)
	for i, at := range []float64{-0.04, -0.02, 0, 0.02, 0.04, 0.06} {
		want, err := sim.SketchOf(car, at, 0)
		require.NoError(t, err)
		d := states[0].Figures[i].(*figure.Drawing)
		assert.Equal(t, figure.Sketch(want), d.Scenes[0].Sketch)
		assert.Equal(t, figure.Sketch(rest), *d.Ghost)
		require.Len(t, d.Scenes[0].Ends, 2)
		travel, err := sim.Travel{Vehicle: car, Bump: at}.Run()
		require.NoError(t, err)
		g := states[1].Figures[i].(*figure.Gauges).Rows[0]
		assert.InDelta(t, travel.Caster, g.Numbers[0], 1e-12)
		assert.InDelta(t, travel.Caster/(10*math.Pi/180), g.At, 1e-12)
		assert.InDelta(t, 0.3, g.Limit, 1e-12)
		said := p.InsertStates[1].Texts[i].String()
		assert.Equal(t, g.Value.Text.Metric, said, "prose says what the gauge says")
	}
}

// Where dials stand still a pose does, too: what follows it is worked out for one position, as it is there with all of them.
func TestPoseStandsStill(t *testing.T) {
	all := New(library{"a.md": posed}, Options{}).Page(context.Background(), "a")
	for _, test := range []struct {
		still []string
		at    int
	}{{[]string{"40\u00a0mm"}, 4}, {[]string{"7\u00a0mm"}, 2}, {[]string{}, 2}} {
		p := New(library{"a.md": posed}, Options{Still: test.still}).Page(context.Background(), "a")
		require.Empty(t, p.Faults)
		assert.Equal(t, []Dial{{Label: all.Dials[0].Label, Positions: all.Dials[0].Positions[test.at : test.at+1]}}, p.Dials, "no cursor is shared with it")
		for i, states := range all.Blocks[0].States[:2] {
			assert.Equal(t, []figure.Figure{states.Figures[test.at]}, p.Blocks[0].States[i].Figures)
		}
		assert.Equal(t, all.InsertStates[1].Texts[test.at:test.at+1], p.InsertStates[1].Texts)
		assert.Equal(t, all.Blocks[0].Figures[2], p.Blocks[0].Figures[2], "a curve over the axis has all of it")
	}
}

// Where nought isn't among its values an axis starts at its first.
func TestPoseStarts(t *testing.T) {
	for axis, want := range map[string]int{
		"span(10*mm, 60*mm, 6)": 0, "span(-60*mm, -10*mm, 6)": 0, "list(-40*mm, 5*mm, 60*mm)": 1, "list(60*mm, 0*mm)": 1,
	} {
		p := good(t, "# A\n"+fence(truck+"lift := "+axis+"\ncar := truck\ncar.Front.Lift = lift\nDrawing{Vehicle: car, View: \"side\", Pose: lift}\n"))
		assert.Equal(t, want, p.Dials[0].Start, axis)
	}
}

func TestPoseFaults(t *testing.T) {
	for _, test := range []struct{ text, want string }{
		{`b := dial(0*mm, 0*mm, 10*mm, 11)` + "\n" + `Drawing{Vehicle: truck, View: "side", Bump: b, Pose: b}`, "posed along numbers made by span or list"},
		{`b := Choices{"A": 0*mm, "B": 1*mm}` + "\n" + `Drawing{Vehicle: truck, View: "side", Bump: b, Pose: b}`, "posed along numbers made by span or list"},
		{`b := span(0*mm, 9*mm, 5)` + "\n" + `Drawing{Vehicle: truck, View: "side", Bump: b}`, "varies over b too, which no field of Drawing names"},
		{`Drawing{Vehicle: truck, View: "side", Bump: 2*deg}`, "Bump is a length; this is an angle"},
		{`Drawing{Vehicle: truck, View: "side", Bump: 2*mm, Sweep: yes}`, "Sweep shows the whole of lock and travel"},
		{`Drawing{Vehicle: truck, View: "side", Ghost: 3*mm}`, "a vehicle was expected here"},
		{`Drawing{Vehicle: truck, View: "side", Bump: 2000*mm}`, "there is nothing to draw"},
		{`Gauges{Rows: []Gauge{{"A", 1*mm, mm}}}`, "a gauge needs From"},
		{`Gauges{Rows: []Gauge{{Head: "A", Value: 1*mm, From: 0*mm, Until: 0*mm}}}`, "the strip has no length"},
		{`Gauges{Rows: []Gauge{{Head: "A", Value: 1*mm, From: 0*deg, Until: 3*mm}}}`, "but the gauge's value is"},
		{`Gauges{Rows: []Gauge{{Head: "A", Value: 1*mm, From: 0*mm, Until: 3*mm, Limit: 2*mm}}}`, "Limit and Better go together"},
		{`Gauges{Rows: []Gauge{{Head: "A", Value: 1*mm, From: 0*mm, Until: 3*mm, Limit: 2*mm, Better: "fewer"}}}`, `Better is "more" or "less"`},
		{`b := span(0*mm, 9*mm, 5)` + "\n" + `Gauges{Rows: []Gauge{{Head: "A", Value: b, From: 0*mm, Until: 3*mm}}}`, "a gauge shows one value"},
		{`Gauges{Rows: []Gauge{}}`, "from 1 to 12 gauges"},
	} {
		p := New(library{"a.md": "# A\n" + fence(truck+test.text+"\n")}, Options{}).Page(context.Background(), "a")
		require.NotEmpty(t, p.Faults, test.text)
		assert.Contains(t, p.Faults[0].Message, test.want, test.text)
	}
}

// In a walk a drawing is posed along choices, one for each step, which take no place among the page's dials.
func TestWalkIsPosedByChoices(t *testing.T) {
	block := strings.Replace(fence(truck+`
low := truck
low.Front.Lift = 30*mm
stage := Choices{"As it was": truck, "Lifted": low}
Drawing{Vehicle: stage, View: "side", Pose: stage}
`), "params", "params walk", 1)
	p := good(t, "# A\n"+block+"\n1. So it was.\n2. So it is.\n")
	require.Len(t, p.Dials, 1)
	assert.Equal(t, []figure.Words{figure.Plain("As it was"), figure.Plain("Lifted")}, p.Dials[0].Positions)
	assert.Len(t, p.Blocks[0].States[0].Figures, 2)
	assert.Equal(t, 0, len(sliders([]*value.Axis{{Kind: value.Choice}})))

	p = New(library{"a.md": "# A\n" + block + "\n1. So it was.\n2. So it is.\n3. So it will be.\n"}, Options{}).Page(context.Background(), "a")
	require.NotEmpty(t, p.Faults)
	assert.Equal(t, "stage has 2 choices, and the list below has 3 steps", p.Faults[0].Message)
}

// An uncertain value has its interval on the strip, and a verdict that knows it.
func TestGaugeVerdicts(t *testing.T) {
	p := good(t, "# A\n"+fence(`
sure := normal(5*mm, 0.1*mm)
Gauges{Title: "Gaps", Rows: []Gauge{
	{Head: "Far above", Value: sure, From: 0*mm, Until: 10*mm, Limit: 3*mm, Better: "more"},
	{Head: "Across", Value: sure, From: 0*mm, Until: 10*mm, Limit: 5*mm, Better: "more"},
	{Head: "Above", Value: sure, From: 0*mm, Until: 10*mm, Limit: 3*mm, Better: "less"},
	{Head: "From more to less", Value: sure, From: 10*mm, Until: 0*mm, Limit: 3*mm, Better: "more"},
	{Head: "On it", Value: 3*mm, From: 0*mm, Until: 10*mm, Limit: 3*mm, Better: "less"},
	{Head: "Off the strip", Value: 30*mm, From: 0*mm, Until: 10*mm},
}}
`))
	g := p.Blocks[0].Figures[0].(*figure.Gauges)
	var got []string
	for _, r := range g.Rows {
		got = append(got, string(r.Verdict()))
	}
	assert.Equal(t, []string{"within", "across", "past", "within", "within", ""}, got)
	assert.InDelta(t, 0.5-0.196*0.1, g.Rows[0].Low, 1e-3, "95 %")
	assert.Equal(t, figure.Strip{X: 0, Width: 1000}, g.Rows[5].Fill())
	csv := string(figure.CSV(g, figure.Metric))
	assert.True(t, strings.HasPrefix(csv, "What,Unit,Value,Low,High,Limit,Verdict\nFar above,mm,"), csv)
	assert.Contains(t, csv, "Off the strip,mm,30,30,30,,\n")
	assert.Contains(t, string(figure.CSV(g, figure.US)), "Off the strip,inch,1.1811")
}
