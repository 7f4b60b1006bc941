package eval

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/figure"
)

func TestFigures(t *testing.T) {
	p := good(t, "# A\n"+fence(truck+`
bump := span(-60*mm, 60*mm, 25)
tyre := Choices{"Small": 385*mm, "Tall": 395*mm}
car := truck
car.Tyre.LoadedRadius = tyre
trip := Alignment{Vehicle: car}
y := bump*2
Curves{Title: "Up to {y.Max() in mm}", X: bump, Y: y, By: tyre}
Table{Rows: tyre, Columns: []Column{{"Trail", trip.Trail, mm}, {Head: "Scrub", Value: trip.ScrubRadius, In: inch, To: 0.01}, {"Ok", trip.Trail > 0*mm}}}
Claim{"Always below {y.Max() in mm}", y <= y.Max()}
Claim{"Never so", y < 100*mm}
Exercise{Ask: "What is twice 60 mm?", Answer: y.Max(), In: mm, Within: 1*mm, Working: "Double it."}
`))
	f := p.Blocks[0].Figures
	require.Len(t, f, 5)
	c := f[0].(*figure.Curves)
	assert.Equal(t, "Up to 120\u00a0mm", c.Title.String())
	assert.Len(t, c.Panels[0].Lines, 2)
	assert.Equal(t, "Tall", c.Panels[0].Lines[1].Label.Metric)
	table := f[1].(*figure.Table)
	assert.Equal(t, []figure.Words{{Metric: "Small"}, {Metric: "Tall"}}, table.Rows)
	assert.Equal(t, "Trail", table.Columns[0].Head.Metric)
	assert.Equal(t, "yes", table.Columns[2].Cells[0].Text.Metric)
	assert.True(t, f[2].(*figure.Claim).Holds)
	never := f[3].(*figure.Claim)
	assert.False(t, never.Holds)
	assert.Equal(t, "at bump 55\u00a0mm: 110\u00a0mm against 100\u00a0mm", never.Detail)
	assert.Equal(t, "120\u00a0mm", f[4].(*figure.Exercise).Answer.String())
}

func TestMapsAndBars(t *testing.T) {
	p := good(t, "# A\n"+fence(`
a := span(0*deg, 4*deg, 5)
b := span(3*mm, 1*mm, 3)
z := a*b/deg
arm := Choices{"One": 1*N, "Two": 2*N}
steps := list(1, 2, 3)
Contours{X: a, Y: b, Z: z, Levels: list(1*mm, 2*mm), Title: "Map"}
Bars{X: arm, Y: arm*normal(1, 0.1)}
Bars{X: steps, Y: steps*arm, By: arm}
`))
	m := p.Blocks[0].Figures[0].(*figure.Contours)
	assert.InDelta(t, 0.001, m.Panels[0].Y[0], 1e-12, "both scales rise")
	assert.InDelta(t, 0.004, m.Panels[0].Z[0][4], 1e-12)
	assert.Len(t, m.Levels, 2)
	one := p.Blocks[0].Figures[1].(*figure.Bars)
	assert.Equal(t, []figure.Words{{Metric: "One"}, {Metric: "Two"}}, one.Names)
	assert.InDelta(t, 2, one.Sets[0].Y[1], 1e-3)
	assert.InDelta(t, 2*1.196, one.Sets[0].High[1], 0.02)
	two := p.Blocks[0].Figures[2].(*figure.Bars)
	require.Len(t, two.Sets, 2)
	assert.Equal(t, []float64{2, 4, 6}, two.Sets[1].Y)
}

func TestSheetHandsOutWhatCanBeSet(t *testing.T) {
	l := library{
		"a.md": "# A\n" + fence(truck+`
want := 5*deg
set := AlignTo{Vehicle: truck, Caster: want, Camber: 0*deg, Toe: 0.05*deg}
Sheet{Set: set, Allow: Allowance{Camber: 0.2*deg}, Before: readings("p.csv"), Notes: []string{"Caster {want in deg}."}}
`),
		"b.md":  "# B\n" + fence(truck+"set := AlignTo{Vehicle: truck, Caster: 12*deg}\nSheet{Set: set}"),
		"c.md":  "# C\n" + fence(truck+"Sheet{Set: truck}"),
		"p.csv": "Wheel,Caster (deg),Camber (deg),Toe (deg)\nLeft,4.1,0.3,0.25\nRight,4.3,,-0.1\n",
		"d.md": "# D\n" + fence(truck+`
truck.Front.Adjust.UpperRearLeg = -2*mm
welded := AlignTo{Vehicle: truck, Caster: 5*deg, Camber: 0*deg}
Sheet{Set: welded}
threaded := AlignTo{Vehicle: truck, Caster: 5*deg, Camber: 0*deg, UseUpper: yes, LegTravel: 20*mm, ShiftTravel: 0.01*mm}
Sheet{Set: threaded}
`),
	}
	ev := New(l, Options{})
	p := ev.Page(context.Background(), "a")
	require.Empty(t, p.Faults, "%v", p.Faults)
	assert.True(t, p.Cautions)
	sheet := p.Blocks[0].Figures[0].(*figure.Sheet)
	assert.Equal(t, figure.SheetAngle{Name: "Caster, left", Target: "5.00°", Minutes: "5° 00′", From: "4.50°", To: "5.50°", Before: "4.10°"}, sheet.Angles[0])
	assert.Equal(t, figure.SheetAngle{Name: "Camber, right", Target: "0.00°", Minutes: "0° 00′", From: "−0.20°", To: "0.20°"}, sheet.Angles[3])
	assert.Equal(t, figure.SheetAngle{Name: "Total toe", Target: "0.10°", Minutes: "0° 06′", From: "0.00°", To: "0.20°", Before: "0.15°",
		AtRim: figure.Span{Text: figure.Either("0.7\u00a0mm", "0.028\u00a0in"), Value: true}}, sheet.Angles[6], "both wheels' toe, added up; on a rim of 402 mm twice 402 sin 0.05°")
	assert.Equal(t, []figure.SheetStand{{What: "Front tyres, cold", Value: figure.Span{Text: figure.Either("240\u00a0kPa", "34.8\u00a0psi"), Value: true}},
		{What: "Rear tyres, cold", Value: figure.Span{Text: figure.Either("240\u00a0kPa", "34.8\u00a0psi"), Value: true}}, {What: "Hub to arch"}, {What: "Load", Value: figure.Span{Text: figure.Plain("as it stands")}}}, sheet.Stands)
	assert.Len(t, sheet.Settings, 3)
	arms := ev.Page(context.Background(), "d")
	require.Empty(t, arms.Faults, "%v", arms.Faults)
	names := func(i int) (list []string) {
		for _, row := range arms.Blocks[0].Figures[i].(*figure.Sheet).Settings {
			list = append(list, row.Name)
		}
		return list
	}
	assert.Len(t, names(0), 3, "the length of an arm without threads is no setting")
	assert.Contains(t, names(1), "Upper arm's rear leg, longer (+) or shorter (−)")
	assert.Equal(t, "Caster 5°.", sheet.Notes[0].String())
	assert.Contains(t, ev.Page(context.Background(), "b").Faults[0].Error(), "a sheet hands out only what can be set, and the target isn't reached: both wheels are ")
	assert.Contains(t, ev.Page(context.Background(), "c").Faults[0].Error(), "Set takes an AlignTo result; this is a Vehicle")
}

func TestSheetSaysHowToStandAndWhatIsAtItsLimit(t *testing.T) {
	p := good(t, "# A\n"+fence(truck+`
best := Alignment{Vehicle: AlignTo{Vehicle: truck, Caster: 12*deg, Camber: 0*deg, Toe: 0.05*deg}.Nearest}
edge := AlignTo{Vehicle: truck, Caster: best.Caster, Camber: best.Camber, Toe: 0.05*deg}
Sheet{Set: edge, Pressures: Pressures{Front: 230*kPa, Rear: 250*kPa}, RideHeight: 520*mm, Load: "two people"}
shaky := truck
shaky.Front.UpperBall.X = truck.Front.UpperBall.X + normal(0*mm, 2*mm)
some := AlignTo{Vehicle: shaky, Caster: 5*deg, Camber: 0*deg, Toe: 0.05*deg}
Sheet{Set: some}
`))
	at := p.Blocks[0].Figures[0].(*figure.Sheet)
	var stands []string
	for _, line := range at.Stands {
		stands = append(stands, line.What+": "+line.Value.Text.Metric)
	}
	assert.Equal(t, []string{"Front tyres, cold: 230\u00a0kPa", "Rear tyres, cold: 250\u00a0kPa", "Hub to arch: 520\u00a0mm", "Load: two people"}, stands)
	assert.Equal(t, "both sides at the limit", at.Settings[1].Limit)
	assert.Empty(t, at.Settings[0].Limit)
	assert.Equal(t, figure.SheetCam{Out: 6e-3, Turn: math.Pi / 2, Text: "90°"}, at.Cams[0].Rear, "the whole of CamOffset")
	assert.Equal(t, at.Cams[0], at.Cams[1])
	uncertain := p.Blocks[0].Figures[1].(*figure.Sheet)
	assert.Contains(t, uncertain.Settings[0].Left.Text.Metric, "±")
	assert.Equal(t, "5.00°", uncertain.Angles[0].Target)
	assert.Equal(t, "0.10°", uncertain.Angles[6].Target)
	for code, want := range map[string]string{
		"Sheet{Set: set, Pressures: 230*kPa}":                          "Pressures{Front: …, Rear: …} was expected here",
		"Sheet{Set: set, Pressures: Pressures{Front: 3, Rear: 3*kPa}}": "a pressure above zero was expected here",
		"Sheet{Set: set, RideHeight: 3*kg}":                            "RideHeight takes a length above zero",
		"Sheet{Set: set, Load: 3*kg}":                                  "Load takes text in quotes",
	} {
		p := page(t, "# A\n"+fence(truck+"set := AlignTo{Vehicle: truck, Camber: 0*deg}\n"+code))
		if assert.NotEmpty(t, p.Faults, code) {
			assert.Contains(t, p.Faults[0].Message, want)
		}
	}
}

func TestOutcome(t *testing.T) {
	l := library{
		"p.csv": "Wheel,Caster (deg),Camber (deg),Toe (deg)\nLeft,4.8,0.1,0.04\nRight,5.1,,0.07\n",
		"a.md":  "# A\n" + fence(truck+"set := AlignTo{Vehicle: truck, Caster: 5*deg, Camber: 0*deg, Toe: 0.05*deg}\nOutcome{Set: set, Printed: readings(\"p.csv\")}"),
		"b.md":  "# B\n" + fence(truck+"set := AlignTo{Vehicle: truck, Caster: 12*deg, Camber: 0*deg, Toe: 0.05*deg}\nOutcome{Set: set, Printed: readings(\"p.csv\")}"),
	}
	ev := New(l, Options{})
	table := func(page string) (rows []string) {
		p := ev.Page(context.Background(), page)
		require.Empty(t, p.Faults, "%v", p.Faults)
		table := p.Blocks[0].Figures[0].(*figure.Table)
		for i, words := range table.Rows {
			name := words.Metric
			for _, c := range table.Columns {
				name += " | " + c.Cells[i].Text.Metric
			}
			rows = append(rows, name)
		}
		return rows
	}
	rows := table("a")
	assert.Equal(t, "Caster, left | 5.00° | 5.00° | 4.80° | −0.20°", rows[0])
	assert.Equal(t, "Camber, right | 0.00° | 0.00° | – | –", rows[3])
	assert.Equal(t, "Total toe | 0.10° | 0.10° | 0.11° | 0.01°", rows[6])
	missed := table("b")
	assert.Contains(t, missed[0], "Caster, left | 12.00° | ", "what was asked, though it isn't reached")
	assert.NotContains(t, missed[0], "12.00° | 12.00°")
}

func TestDialsAreCalculatedAtEveryPosition(t *testing.T) {
	p := good(t, "# A\n"+fence(`
lean := dial(4*deg, 0*deg, 8*deg, 5)
other := dial(2, 1, 3, 3)
x := span(1*mm, 3*mm, 3)
Curves{Title: "At {lean in deg}", X: x, Y: x*tan(lean)}
Table{Columns: []Column{{"Twice", lean*other, deg}}}
Claim{"always small", lean < 9*deg}
Claim{"small at first", lean < 7*deg}
`)+"\nIt leans {lean in deg} and {3*mm in mm}.\n")
	require.Len(t, p.Dials, 2)
	assert.Equal(t, Dial{Label: "Lean", Positions: []figure.Words{{Metric: "0°"}, {Metric: "2°"}, {Metric: "4°"}, {Metric: "6°"}, {Metric: "8°"}}, Start: 2}, p.Dials[0])
	block := p.Blocks[0]
	assert.Equal(t, "At 4°", block.Figures[0].(*figure.Curves).Title.String())
	require.Len(t, block.States[0].Figures, 5)
	assert.Equal(t, "At 8°", block.States[0].Figures[4].(*figure.Curves).Title.String())
	assert.InDelta(t, 0.003*math.Tan(8*math.Pi/180), block.States[0].Figures[4].(*figure.Curves).Panels[0].Lines[0].Y[2], 1e-15)
	assert.Equal(t, []int{0, 1}, block.States[1].Dials)
	require.Len(t, block.States[1].Figures, 15)
	assert.Equal(t, "18", block.States[1].Figures[11].(*figure.Table).Columns[0].Cells[0].Text.Metric, "6° times 3, the last dial fastest")
	assert.True(t, block.Figures[2].(*figure.Claim).Holds)
	assert.False(t, block.Figures[3].(*figure.Claim).Holds, "a claim must hold at every position")
	assert.Equal(t, "4°", p.Inserts[0].String())
	assert.Equal(t, "8°", p.InsertStates[0].Texts[4].String())
	assert.Nil(t, p.InsertStates[1])
}

func TestBothSystemsArePrinted(t *testing.T) {
	p := good(t, "# A\n"+fence("x := 254*mm")+"\n{x in mm to 1} {x in inch to 0.1} {x/(2*mm)}\n")
	assert.Equal(t, figure.Span{Text: figure.Either("254\u00a0mm", "10.00\u00a0in"), Value: true}, p.Inserts[0][0])
	assert.Equal(t, figure.Span{Text: figure.Either("254\u00a0mm", "10.0\u00a0in"), Value: true}, p.Inserts[1][0])
	assert.Equal(t, figure.Span{Text: figure.Plain("127"), Value: true}, p.Inserts[2][0])
}

// Of draws a claim says in how many it holds, and never more than it does.
func TestClaimsOverDraws(t *testing.T) {
	for _, draws := range []int{100, 400, 2000} {
		p := good(t, fmt.Sprintf("---\ndraws: %d\n---\n# A\n", draws)+fence(`
x := normal(1*mm, 0.1*mm)
Claim{"always", x > 0*mm}
Claim{"but once", x < quantile(x, 1)}
Claim{"rarely", x < quantile(x, 0.25)}
`))
		detail := func(i int) string { return p.Blocks[0].Figures[i].(*figure.Claim).Detail }
		assert.Equal(t, "in every draw", detail(0))
		want := map[int]string{100: "99.0", 400: "99.7", 2000: "99.9"}[draws]
		assert.Equal(t, "in "+want+"\u00a0% of draws", detail(1), "%d draws", draws)
		assert.Regexp(t, `^it holds in 2[45].*% of draws, less than the 95\x{a0}% asked for$`, detail(2))
	}
}

func TestHistograms(t *testing.T) {
	p := good(t, "# A\n"+fence(`
heavy := normal(31*kg, 1*kg)
turns := dial(1, 1, 3, 3)
arm   := Choices{"One": heavy, "Two": 2*heavy}
Histogram{X: heavy*turns, Title: "Mass"}
Histogram{X: arm, By: arm, XIn: lb}
`))
	h := p.Blocks[0].Figures[0].(*figure.Histogram)
	require.Len(t, h.Spreads, 1)
	s := h.Spreads[0]
	assert.Len(t, s.Draws, 1000)
	// A normal value: nineteen draws in twenty within 1.96 standard deviations (JCGM 100:2008, table G.1).
	assert.InDelta(t, 31, s.Mean, 0.1)
	assert.InDelta(t, 31-1.96, s.Low, 0.2)
	assert.InDelta(t, 31+1.96, s.High, 0.2)
	require.Len(t, p.Blocks[0].States[0].Figures, 3, "every position of the dial")
	two := p.Blocks[0].Figures[1].(*figure.Histogram)
	require.Len(t, two.Spreads, 2)
	assert.Equal(t, "Two", two.Spreads[1].Label.Metric)
	assert.InDelta(t, 62, two.Spreads[1].Mean, 0.2)
	assert.Equal(t, "lb", two.X.US.Name)

	for block, says := range map[string]string{
		"Histogram{}":        "Histogram needs X",
		"Histogram{X: 3*kg}": "X isn't uncertain",
		"Histogram{X: list(1, 2)*normal(1, 0.1)}":         "varies over",
		"Histogram{X: normal(1, 0.1), XIn: kg}":           "is a unit of",
		"x := sqrt(normal(-9, 0.1))\nHistogram{X: x}":     "has no value",
		"n := list(1, 2)\nHistogram{X: n*normal(1, 0.1)}": "name it in By",
	} {
		p := New(library{"a.md": "# A\n" + fence(block)}, Options{}).Page(context.Background(), "a")
		require.NotEmpty(t, p.Faults, block)
		f := p.Faults[0]
		assert.Contains(t, f.Message+" "+f.Hint, says, block)
	}
}
