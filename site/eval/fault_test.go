package eval

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/figure"
)

func TestFaults(t *testing.T) {
	for _, c := range []struct{ code, want string }{
		{"x := 50*mm + 3*kg", "can't add a length and a mass"},
		{"x := truk", "truk isn't known here"},
		{truck + "y := trukc", "did you mean truck?"},
		{"c := Corner{Camber: 2}", "Camber takes an angle, such as 2*deg; this is a plain number (a unit is missing; multiply by one, as in 2*deg)"},
		{"c := Corner{Cambr: 2*deg}", "Corner has no field Cambr (did you mean Camber?)"},
		{"x := spam(1, 2, 3)", "did you mean span?"},
		{"mm := 3", "mm is a unit"},
		{"span := 3", "span is a function"},
		{"x := 1\nx := 2", "x already has a value, from line 4"},
		{"x = 1", "x has no value yet"},
		{"x := 1\ny := x\nx = 2", "x can't change here: it was used on line 5"},
		{truck + "o := truck\ntruck.Tyre.Mass = 3*kg", "truck.Tyre.Mass can't change here"},
		{truck + "truck.Tyre.Mas = 3*kg", "Tyre has no field Mas (did you mean Mass?)"},
		{"x := use(\"nothere\")", "there is no notebook nothere.md"},
		{"x := use(\"../b\")", "outside the collection"},
		{"x := span(0, 1, 1000000000)", "points are too many"},
		{"x := span(0, 1, 5000)\ny := span(0, 1, 5000)\nz := x*y", "too many combinations: x 5000 × y 5000"},
		{"x := span(0*deg, 0*deg, 3)", "starts and ends at the same value"},
		{"x := dial(1.5, 0, 4, 5)", "must be one of its 5 positions"},
		{"x := sqrt(-1)", "the square root of a negative number"},
		{"x := 1/0", "division by zero"},
		{"x := 1 < 2*mm", "can't compare"},
		{"Curves{X: 1, Y: 2}", "X doesn't vary"},
		{"x := list(1, 2)\nb := list(1, 2)\nCurves{X: x, Y: x*b}", "Y varies over b too, which no field of Curves names (name it in By or Panels, or pick from it with .At)"},
		{"Barz{X: 1}", "Barz isn't a model, a figure or a type known here (did you mean Bars?)"},
		{"1 + 1", "this value goes nowhere"},
		{"Claim{\"x\", 3}", "a claim needs a yes or no"},
		{"a := Alignment{}", "Alignment needs Vehicle"},
		{truck + "truck.Front.Lift = 900*mm\na := Alignment{Vehicle: truck}", "Alignment has no value here"},
		{"x := list(1, 2).At(1, 2)", "this doesn't vary over any axis"},
		{"x := list(1, 2)\ny := x.At(x, 5)", "outside x, which runs from 1 to 2"},
		{"c := Choices{\"A\": 1, \"B\": 2*mm}", "can't choose between a plain number and a length"},
		{"c := Choices{\"Aa\": 1, \"Bb\": 2}\ny := c.At(c, \"Ab\")", "c has no \"Ab\"; it has Aa, Bb"},
		{"x := sin(2)", "an angle was expected here; this is a plain number (multiply by deg or rad)"},
		{"s := readings(\"none.csv\")", "none.csv can't be read"},
	} {
		p := page(t, "# A\n"+fence(c.code))
		if assert.NotEmpty(t, p.Faults, c.code) {
			all := ""
			for _, d := range p.Faults {
				all += d.Error() + "\n" + d.Excerpt() + "\n"
			}
			assert.Contains(t, all, c.want, c.code)
			assert.Greater(t, p.Faults[0].Pos.Line, 0)
		}
	}
}

func TestProseFaults(t *testing.T) {
	code := "x := list(1*mm, 2*mm)\nsize := 3*mm"
	for _, c := range []struct{ insert, want string }{
		{"x in mm", "this varies over x, and prose has room for one value (pick from it with .At(x, 1*mm), .Min(), .Max() or .Mean())"},
		{"size", "say in which unit to print this length (write {… in mm})"},
		{"size in deg", "deg is a unit of angle, but the value is a length"},
		{"size in mn", "mn isn't a unit (did you mean mm?)"},
		{"q in mm", "q isn't known here"},
	} {
		p := page(t, "# A\n"+fence(code)+"\nIt is {"+c.insert+"}.\n")
		if assert.Len(t, p.Faults, 1, c.insert) {
			assert.Contains(t, p.Faults[0].Error(), c.want)
			assert.Equal(t, 8, p.Faults[0].Pos.Line)
		}
	}
}

func TestOneMistakeGivesOneMessage(t *testing.T) {
	p := page(t, "# A\n"+fence("x := truk + 1\ny := x*2\nz := y + x\nTable{Columns: []Column{{\"Z\", z}}}"))
	assert.Len(t, p.Faults, 1, "%v", p.Faults)
	p = page(t, "# A\n"+fence(truck+"s := Alignment{Vehicle: truck}\nx := s.Camber\ny := s.Toe + x"))
	assert.Len(t, p.Faults, 1, "%v", p.Faults)
}

func TestLimitsOfTheWholeNotebook(t *testing.T) {
	run := func(code string, l Limits) string {
		p := New(library{"a.md": "# A\n" + fence(code)}, Options{Limits: l}).Page(context.Background(), "a")
		require.NotEmpty(t, p.Faults)
		return p.Faults[0].Error()
	}
	small := UsualLimits
	small.Notebook.Numbers = 5000
	assert.Contains(t, run("x := span(0, 1, 2000)\ny := x + x\nz := y + y\nw := z*z", small), "a.md:6:6: this notebook has calculated more than 5000 numbers by here")
	assert.Contains(t, run(truck+"b := span(-1*mm, 1*mm, 4000)\nt1 := Travel{Vehicle: truck, Bump: b}", small), "Travel would run 4000 times and give 172000 numbers, which is more than this notebook has left")
	small = UsualLimits
	small.Points = 50
	assert.Contains(t, run("x := span(0, 1, 51)\nCurves{X: x, Y: x}", small), "51 points are more than a page can show; the most is 50")
	assert.Contains(t, run("x := span(0, 1, 51)\nTable{Rows: x, Columns: []Column{{\"X\", x}}}", small), "51 points are more")
	small = UsualLimits
	small.Notebook.Marks = 120
	assert.Contains(t, run("x := span(0, 1, 50)\nCurves{X: x, Y: x}\nTable{Rows: x, Columns: []Column{{\"X\", x}}}\nBars{X: x, Y: x}\nBars{X: x, Y: x}", small), "a.md:7:1: the figures of this page show more than 120 points and cells by here")
	small = UsualLimits
	small.Figures = 2
	assert.Contains(t, run("x := span(0, 1, 5)\nBars{X: x, Y: x}\nBars{X: x, Y: x}\nBars{X: x, Y: x}\nBars{X: x, Y: x}", small), "a.md:7:1: this would be figure number 3 on the page; the most is 2")
	small = UsualLimits
	small.Notebook.Time = time.Nanosecond
	assert.Contains(t, run(truck+"b := span(-1*mm, 1*mm, 50000)\nt1 := Travel{Vehicle: truck, Bump: b}", small), "took more than 1ns of the processor's time by here")
}

// Every kind of figure counts for as much as it shows.
func TestPointsOfFigures(t *testing.T) {
	three := []float64{1, 2, 3}
	for _, c := range []struct {
		f    figure.Figure
		want int
	}{
		{&figure.Curves{Panels: []figure.Panel{{Lines: []figure.Line{{Y: three}, {Y: three}}, Points: []figure.Points{{Y: three}}}, {}}}, 9},
		{&figure.Contours{Panels: []figure.Field{{X: three, Y: three[:2]}, {X: three, Y: three}}}, 15},
		{&figure.Bars{Sets: []figure.BarSet{{Y: three}, {Y: three}}}, 6},
		{&figure.Table{Columns: []figure.Column{{Cells: make([]figure.Cell, 4)}, {Cells: make([]figure.Cell, 4)}}}, 8},
		{&figure.Drawing{Scenes: make([]figure.Scene, 2)}, 2000},
		{&figure.Claim{}, 0},
	} {
		assert.Equal(t, c.want, c.f.Marks(), "%T", c.f)
	}
}

// FuzzBlock: no block makes the evaluator panic or stop short of saying where a mistake is.
func FuzzBlock(f *testing.F) {
	little := UsualLimits // or one input may take the minute that a notebook has
	little.Notebook.Numbers, little.Notebook.Time = 1<<20, time.Second
	f.Add(truck)
	f.Add("x := list(1*mm, 2*mm)\nCurves{X: x, Y: x}\nClaim{\"{x.Max() in mm}\", x < 3*mm}")
	f.Fuzz(func(t *testing.T, code string) {
		p := New(library{"a.md": "# A\n" + fence(code)}, Options{Limits: little}).Page(context.Background(), "a")
		for _, d := range p.Faults {
			_ = d.Excerpt()
			if d.Pos.Line < 1 || d.Pos.Col < 1 || d.Message == "" {
				t.Fatalf("fault %+v in %q", d, code)
			}
		}
	})
}

// A model's refusal of an input stands where that input is written.
func TestRefusedInputIsToldAtItsPlace(t *testing.T) {
	p := page(t, "# A\n"+fence(truck+"a := AlignTo{\n\tVehicle: truck,\n\tCaster: 4*deg,\n\tUseUpper: yes,\n}"))
	require.Len(t, p.Faults, 1)
	assert.Contains(t, p.Faults[0].Error(), "UseUpper needs LegTravel or ShiftTravel")
	assert.Contains(t, p.Faults[0].Excerpt(), "UseUpper: yes,")
}
