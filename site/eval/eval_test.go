package eval

import (
	"context"
	"fmt"
	"io/fs"
	"math"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim"
	"turnplate/site/figure"
	"turnplate/site/notebook"
	"turnplate/site/value"
)

// library is a collection in memory.
type library map[string]string

func (l library) Notebook(path string) (*notebook.Notebook, error) {
	text, ok := l[path+".md"]
	if !ok {
		return nil, fs.ErrNotExist
	}
	return notebook.Read(path, []byte(text)), nil
}

func (l library) Paths() []string {
	var paths []string
	for name := range l {
		if p, ok := strings.CutSuffix(name, ".md"); ok {
			paths = append(paths, p)
		}
	}
	return paths
}

func (l library) File(path string) ([]byte, error) {
	text, ok := l[path]
	if !ok {
		return nil, fs.ErrNotExist
	}
	return []byte(text), nil
}

// truck is a vehicle that every test may use; the points are invented.
const truck = `
truck := Vehicle{
	Wheelbase: 2850*mm, Mass: 1990*kg, FrontShare: 54*percent, CentreHeight: 720*mm,
	Front: Corner{
		UpperFront: at(90, 420, 610)*mm, UpperRear: at(-130, 425, 595)*mm, UpperBall: at(-22, 665, 620)*mm,
		LowerFront: at(180, 340, 265)*mm, LowerRear: at(-200, 345, 262)*mm, LowerBall: at(12, 735, 245)*mm,
		TieInner: at(135, 360, 300)*mm, TieOuter: at(150, 718, 288)*mm,
		WheelCentre: at(0, 800, 385)*mm, Camber: 0.2*deg, Toe: 0.05*deg,
		Adjust: Adjusters{CamOffset: 6*mm, CamLimit: 90*deg},
	},
	Tyre: Tyre{Radius: 402*mm, LoadedRadius: 385*mm, Width: 285*mm, Mass: 24*kg, RimMass: 12*kg, Pressure: 240*kPa},
	Steering: Steering{RackPerTurn: 44*mm, RackLimit: 78*mm},
	Spring: Spring{Rate: 95*N/mm, LowerPoint: at(20, 560, 280)*mm, UpperPoint: at(0, 500, 680)*mm},
}
`

func fence(code string) string { return "\n```go params\n" + strings.Trim(code, "\n") + "\n```\n" }

// page evaluates a one-notebook collection.
func page(t testing.TB, text string) *Page {
	t.Helper()
	return New(library{"a.md": text}, Options{}).Page(context.Background(), "a")
}

// good evaluates and wants no mistakes.
func good(t testing.TB, text string) *Page {
	t.Helper()
	p := page(t, text)
	require.Empty(t, p.Faults, "%v", p.Faults)
	return p
}

// prints evaluates one number in prose after a block.
func prints(t testing.TB, code, insert string) string {
	t.Helper()
	p := good(t, "# A\n"+fence(code)+"\nIt is {"+insert+"}.\n")
	return p.Inserts[0].String()
}

func TestArithmeticHasDimensions(t *testing.T) {
	for _, c := range []struct{ code, insert, want string }{
		{"x := 5*mm + 1*inch", "x in mm", "30.4\u00a0mm"},
		{"x := 5*mm + 1*inch", "x in mm to 0.01", "30.40\u00a0mm"},
		{"x := 100*N * 0.5*m", "x in N*m", "50\u00a0N·m"},
		{"x := 6*deg / rad", "x to 0.0001", "0.1047"},
		{"x := 90*km/hour", "x in m/s", "25\u00a0m/s"},
		{"x := 25*m/s", "x in kph", "90\u00a0km/h"},
		{"x := sqrt(9*mm*mm)", "x in mm", "3\u00a0mm"},
		{"x := asin(0.5)", "x in deg", "30°"},
		{"x := 2*tan(45*deg)", "x", "2"},
		{"x := max(2*mm, 1*cm)", "x in mm", "10\u00a0mm"},
		{"x := abs(-3*deg)", "x in deg", "3°"},
		{"x := -3*deg", "x in deg", "−3°"},
		{"x := 1234567*N", "x in N", "1\u202f234\u202f567\u00a0N"},
		{"x := 3*mm < 1*cm && !(2 > 3)", "x", "yes"},
		{"x := \"long arm\"", "x", "long arm"},
		{"x := 12*money", "x in money", "12"},
		{"x := 32*psi", "x in kPa", "221\u00a0kPa"},
		{"p := at(1, 2, 3)*mm + at(1, 0, 0)*cm", "p.X in mm", "11\u00a0mm"},
	} {
		assert.Equal(t, c.want, prints(t, c.code, c.insert), c.code)
	}
}

func TestAxesBroadcastByIdentity(t *testing.T) {
	code := `
a := span(0*deg, 8*deg, 5)
b := list(1, 2, 3)
same := a + a
both := a*b
`
	assert.Equal(t, "16°", prints(t, code, "same.Max() in deg"))
	assert.Equal(t, "24°", prints(t, code, "both.Max() in deg"))
	assert.Equal(t, "6°", prints(t, code, "both.At(a, 2*deg).At(b, 3) in deg"))
	assert.Equal(t, "3°", prints(t, code, "both.At(a, 1*deg).At(b, 3) in deg"))
	assert.Equal(t, "12°", prints(t, code, "both.Max(a).At(b, 1.5) in deg"))
	assert.Equal(t, "8°", prints(t, code, "both.Mean() in deg"))
}

func TestAtOfAWholeResult(t *testing.T) {
	code := truck + `
shift := span(0*mm, 20*mm, 5)
car := truck
car.Front.Adjust.UpperShift = shift
al := Alignment{Vehicle: car}
one := al.At(shift, 7*mm)
set := AlignTo{Vehicle: car, Camber: 0*deg}
two := set.At(shift, 10*mm)
`
	assert.Equal(t, prints(t, code, "al.Caster.At(shift, 7*mm) in deg to 0.000001"), prints(t, code, "one.Caster in deg to 0.000001"))
	assert.Equal(t, "7\u00a0mm", prints(t, code, "car.At(shift, 7*mm).Front.Adjust.UpperShift in mm"))
	assert.Equal(t, "nothing", prints(t, code, "two.LimitedBy"))
}

func TestChoicesOfAnyType(t *testing.T) {
	code := truck + `
heavy := truck.Tyre
heavy.Mass = 31*kg
tyre := Choices{"Stock": truck.Tyre, "Heavy": heavy}
car := truck
car.Tyre = tyre
word := Choices{"One": "first", "Two": "second"}
`
	assert.Equal(t, "31\u00a0kg", prints(t, code, `tyre.At(tyre, "Heavy").Mass in kg`))
	assert.Equal(t, "7\u00a0kg", prints(t, code, `tyre.Mass.Max() - tyre.Mass.Min() in kg`))
	assert.Equal(t, "24\u00a0kg", prints(t, code, `car.Tyre.Mass.At(tyre, "Stock") in kg`))
	assert.Equal(t, "second", prints(t, code, `word.At(word, "Two")`))
	// The mass is no business of the geometry: the model runs once and nothing is left to pick.
	p := good(t, "# A\n"+fence(code+"\nal := Alignment{Vehicle: car}")+"\n{al.Caster in deg}\n")
	assert.NotEmpty(t, p.Inserts[0].String())
}

func TestCopiesDontShare(t *testing.T) {
	code := truck + `
other := truck
other.Front.UpperBall.Z = 700*mm
other.Tyre.Mass = 40*kg
`
	assert.Equal(t, "24\u00a0kg", prints(t, code, "truck.Tyre.Mass in kg"))
	assert.Equal(t, "40\u00a0kg", prints(t, code, "other.Tyre.Mass in kg"))
	assert.Equal(t, "620\u00a0mm", prints(t, code, "truck.Front.UpperBall.Z in mm"))
	assert.Equal(t, "700\u00a0mm", prints(t, code, "other.Front.UpperBall.Z in mm"))
}

func TestDefaultsAreReadable(t *testing.T) {
	assert.Equal(t, "50\u00a0%", prints(t, truck, "truck.LeftShare in percent"))
	assert.Equal(t, "390\u00a0mm", prints(t, truck, "truck.Tyre.RollingRadius in mm"))
	assert.Equal(t, "620\u00a0mm", prints(t, truck, "truck.Right.UpperBall.Z in mm"))
}

func TestPointsCanBeChanged(t *testing.T) {
	code := truck + "p := at(1, 2, 3)*mm\np.X = 5*mm\nq := truck.Front.UpperBall\nq.Z = q.Z + 1*mm"
	assert.Equal(t, "5\u00a0mm", prints(t, code, "p.X in mm"))
	assert.Equal(t, "2\u00a0mm", prints(t, code, "p.Y in mm"))
	assert.Equal(t, "620\u00a0mm", prints(t, code, "truck.Front.UpperBall.Z in mm"))
}

func TestOwnValueCanBeBuiltOn(t *testing.T) {
	assert.Equal(t, "6", prints(t, "x := 1\nx = x + 2\nx = 2*x", "x"))
	p := page(t, "# A\n"+fence("x := 1\ny := x\nx = x + 2"))
	require.Len(t, p.Faults, 1)
	assert.Contains(t, p.Faults[0].Message, "it was used on line 5")
}

func TestReasonsAreTheirOwn(t *testing.T) {
	code := "x := span(1.0, 4.0, 4)\ny := sqrt(x - 2)"
	for insert, want := range map[string]string{
		"crossing(y, x, 50)": "the curve never reaches that level",
		"y.At(x, 9)":         "outside x, which runs from 1 to 4",
		"y.At(x, 1)":         "the square root of a negative number",
	} {
		p := page(t, "# A\n"+fence(code)+"\n{"+insert+"}\n")
		if assert.Len(t, p.Faults, 1, insert) {
			assert.Contains(t, p.Faults[0].Message, want)
		}
	}
}

func TestUnlikeDrawsAreNotMixed(t *testing.T) {
	l := library{
		"a.md": "# A\n" + fence("x := use(\"b\").y - normal(1*kg, 1*kg)"),
		"b.md": "---\ndraws: 7\n---\n# B\n" + fence("y := normal(1*kg, 1*kg)"),
	}
	p := New(l, Options{}).Page(context.Background(), "a")
	require.Len(t, p.Faults, 1)
	assert.Contains(t, p.Faults[0].Error(), "uncertain values with 7 and with 1000 draws can't be combined")
}

func TestUncertainty(t *testing.T) {
	code := "x := normal(31*kg, 1*kg)\ny := normal(31*kg, 1*kg)\nsame := x - x\nl := triangular(0, 0, 9)\nu := uniform(2*mm, 4*mm)"
	assert.Equal(t, "31\u00a0±\u00a02\u00a0kg", strings.ReplaceAll(prints(t, code, "x in kg"), " ", "\u00a0"))
	assert.Equal(t, "0\u00a0kg", prints(t, code, "same in kg"))
	assert.Equal(t, "31\u00a0kg", prints(t, code, "mean(x) in kg to 0.1")[:2]+"\u00a0kg")
	assert.Equal(t, "0.1 to 7.6", prints(t, code, "l"), "triangular(0, 0, 9): 9(1 − √(1 − p)) at 2.5 and 97.5 %")
	assert.Equal(t, "3\u00a0mm", prints(t, code, "quantile(u, 0.5) in mm to 1"))
	// Independent sources: the spread of a difference is √2 times one's, 1.96·√2 = 2.77 (JCGM 101 9.2.2).
	half, err := strconv.ParseFloat(prints(t, code, "(quantile(x - y, 0.975) - quantile(x - y, 0.025))/(2*kg) to 0.001"), 64)
	require.NoError(t, err)
	assert.InDelta(t, 1.96*math.Sqrt2, half, 0.15, "the sampling error of a thousand draws is about 0.05")
}

func TestDrawsDontChangeWithAnAddedLine(t *testing.T) {
	one := prints(t, "x := normal(1*kg, 1*kg)", "quantile(x, 0.3) in kg to 0.000001")
	two := prints(t, "w := normal(5, 2)\nx := normal(1*kg, 1*kg)", "quantile(x, 0.3) in kg to 0.000001")
	assert.Equal(t, one, two)
}

func TestCurveFunctions(t *testing.T) {
	// y = 1 − e^(−x) has slope e^(−x); its knee, where that is furthest below its chord from 0 to 5, is at
	// x = −ln((1 − e^(−5))/5) = 1.6162.
	code := `
x := list(0, 1, 2, 3)
y := x*x
r := span(0, 5, 201)
g := r/(1 + r)
`
	assert.Equal(t, "4", prints(t, code, "slope(y, x).At(x, 2)"))
	assert.Equal(t, "1.6", prints(t, code, "crossing(y, x, 2.8) to 0.1"))
	assert.Equal(t, "3", prints(t, code, "max(x)"))
	// g = x/(1+x): slope 1/(1+x)², chord slope (1/36 − 1)/5 = −7/36; 2/(1+x)³ = 7/36 gives x = 1.1748.
	assert.Equal(t, "1.175", prints(t, code, "knee(g, r) to 0.005"))
}

func TestDialStandsAtItsValue(t *testing.T) {
	assert.Equal(t, "8°", prints(t, "d := dial(4*deg, 0*deg, 8*deg, 9)\ny := 2*d", "y in deg"))
}

func TestModelsBroadcast(t *testing.T) {
	code := truck + `
bump := span(-60*mm, 60*mm, 5)
car := truck
car.Tyre.LoadedRadius = Choices{"Small": 385*mm, "Tall": 420*mm}
al := Alignment{Vehicle: car}
`
	small := prints(t, code, `al.ScrubRadius.At(car.Tyre.LoadedRadius, "Small") in mm to 0.01`)
	tall := prints(t, code, `al.ScrubRadius.At(car.Tyre.LoadedRadius, "Tall") in mm to 0.01`)
	assert.NotEqual(t, small, tall)
	assert.Equal(t, small, prints(t, truck+"al := Alignment{Vehicle: truck}", "al.ScrubRadius in mm to 0.01"))
}

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

// A vehicle that can't be set has no settings: neither those that would have changed nor the present ones.
func TestUnreachedVehicleIsAbsent(t *testing.T) {
	code := truck + `
caster := list(5*deg, 12*deg)
set := AlignTo{Vehicle: truck, Caster: caster, Camber: 0*deg, Toe: 0.05*deg}
al := Alignment{Vehicle: set.Vehicle}
Table{Rows: caster, Columns: []Column{{"Shift", set.Vehicle.Front.Adjust.UpperShift}, {"Cam", set.Vehicle.Front.Adjust.CamFront}, {"Caster", al.Caster, deg, 0.0001}, {"Reached", set.Reached}, {"Near", set.Nearest.Front.Adjust.CamFront}}}
`
	for _, cache := range []*Cache{nil, NewCache()} {
		for range 2 { // the second time from the cache
			p := New(library{"a.md": "# A\n" + fence(code)}, Options{Cache: cache}).Page(context.Background(), "a")
			require.Empty(t, p.Faults, "%v", p.Faults)
			c := p.Blocks[0].Figures[0].(*figure.Table).Columns
			for _, k := range []int{0, 1, 2} {
				assert.False(t, c[k].Cells[0].Absent, c[k].Head)
				assert.True(t, c[k].Cells[1].Absent, c[k].Head)
			}
			assert.Equal(t, "5.0000", c[2].Cells[0].Text)
			assert.Equal(t, "no", c[3].Cells[1].Text)
			assert.False(t, c[4].Cells[1].Absent)
		}
	}
}

// Targets that differ between the sides, and at one point happen not to.
func TestSidesThatMeet(t *testing.T) {
	p := good(t, "# A\n"+fence(truck+`
cross := list(-1*deg, 0*deg, 1*deg)
set := AlignTo{Vehicle: truck, Caster: Sides{Left: 5*deg + cross/2, Right: 5*deg - cross/2}, Camber: 0*deg, Toe: 0.05*deg}
al := Alignment{Vehicle: set.Vehicle}
Table{Rows: cross, Columns: []Column{{"Left", al.Caster, deg, 0.0001}, {"Right", al.Right.Caster, deg, 0.0001}, {"Camber", al.Right.Camber, deg, 0.0001}}}
`))
	c := p.Blocks[0].Figures[0].(*figure.Table).Columns
	for i, want := range [][3]string{{"4.5000", "5.5000", "0.0000"}, {"5.0000", "5.0000", "0.0000"}, {"5.5000", "4.5000", "0.0000"}} {
		for k := range want {
			assert.Equal(t, want[k], c[k].Cells[i].Text, "row %d, %s", i+1, c[k].Head)
		}
	}
}

func TestUseAcrossNotebooks(t *testing.T) {
	l := library{
		"a.md":      "# A\n" + fence("load := use(\"lib/b\").mass\nrest := load - use(\"lib/b\").mass") + "\n{load in kg} {rest in kg}\n",
		"lib/b.md":  "# B\n" + fence("mass := normal(4*kg, 0.1*kg)"),
		"c.md":      "# C\n" + fence("x := use(\"d\").x"),
		"d.md":      "# D\n" + fence("x := use(\"c\").x"),
		"broken.md": "# E\n" + fence("x := nope"),
		"f.md":      "# F\n" + fence("x := use(\"broken\").x"),
	}
	ev := New(l, Options{})
	a := ev.Page(context.Background(), "a")
	require.Empty(t, a.Faults, "%v", a.Faults)
	assert.Equal(t, "4.0\u00a0±\u00a00.2\u00a0kg", a.Inserts[0].String())
	assert.Equal(t, "0\u00a0kg", a.Inserts[1].String(), "draws stay shared")
	assert.Equal(t, []string{"lib/b"}, a.Uses)
	assert.Contains(t, ev.Page(context.Background(), "c").Faults[0].Error(), "in a circle: c → d → c")
	assert.Contains(t, ev.Page(context.Background(), "d").Faults[0].Error(), "in a circle: d → c → d")
	assert.Contains(t, ev.Page(context.Background(), "f").Faults[0].Error(), "broken.md has mistakes of its own, the first on line 4")
}

func TestFigures(t *testing.T) {
	p := good(t, "# A\n"+fence(truck+`
bump := span(-60*mm, 60*mm, 25)
tyre := Choices{"Small": 385*mm, "Tall": 420*mm}
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
	assert.Equal(t, "Tall", c.Panels[0].Lines[1].Label)
	table := f[1].(*figure.Table)
	assert.Equal(t, []string{"Small", "Tall"}, table.Rows)
	assert.Equal(t, "Trail", table.Columns[0].Head)
	assert.Equal(t, "yes", table.Columns[2].Cells[0].Text)
	assert.True(t, f[2].(*figure.Claim).Holds)
	never := f[3].(*figure.Claim)
	assert.False(t, never.Holds)
	assert.Equal(t, "at bump 55\u00a0mm: 110\u00a0mm against 100\u00a0mm", never.Detail)
	assert.Equal(t, "120\u00a0mm", f[4].(*figure.Exercise).Answer.String())
}

// TestItemsOfAListAreRead holds that a model reads what stands inside a list, under each item's own name.
func TestItemsOfAListAreRead(t *testing.T) {
	code := truck + `
truck.Spring.BumpTravel = 60*mm
truck.Spring.DroopTravel = 60*mm
truck.Body = []Obstacle{
	{Name: "Near", From: at(-500, 800, 200)*mm, To: at(-500, 800, 500)*mm},
	{Name: "Far", From: at(-900, 800, 200)*mm, To: at(-900, 800, 500)*mm},
}
gap := Clearance{Vehicle: truck, RackFrom: 0*mm, RackTo: 0*mm}.Gap
`
	assert.Equal(t, "400.00\u00a0mm", prints(t, code, `gap.At(gap, "Far") - gap.At(gap, "Near") in mm to 0.01`))
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
	assert.Equal(t, []string{"One", "Two"}, one.Names)
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
	assert.Equal(t, figure.SheetAngle{Name: "Total toe", Target: "0.10°", Minutes: "0° 06′", From: "0.00°", To: "0.20°", Before: "0.15°"}, sheet.Angles[6], "both wheels' toe, added up")
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
	assert.Contains(t, ev.Page(context.Background(), "b").Faults[0].Error(), "this target isn't reached")
	assert.Contains(t, ev.Page(context.Background(), "c").Faults[0].Error(), "Set takes an AlignTo result; this is a Vehicle")
}

func TestReadings(t *testing.T) {
	l := library{
		"a.md": "# A\n" + fence(`
r := readings("print.csv")
x := span(-1*deg, 3*deg, 5)
Curves{X: x, Y: x*2, Readings: []Points{{r.TotalToe, r.Camber}}}
`) + "\n{r.TotalToe.At(r.Step, \"After\") in deg} {r.Count.Max()}\n",
		"print.csv": "Step,Total toe (deg),Camber (deg),Count\nBefore,-0.5,1,2\nAfter,0.1,,3\n",
		"bad.md":    "# B\n" + fence(`r := readings("bad.csv")`),
		"bad.csv":   "Step,Toe (degg)\nA,1\n",
		"bad2.md":   "# B\n" + fence(`r := readings("bad2.csv")`),
		"bad2.csv":  "Step,Toe (deg)\nA,one\n",
	}
	ev := New(l, Options{})
	p := ev.Page(context.Background(), "a")
	require.Empty(t, p.Faults, "%v", p.Faults)
	assert.Equal(t, "0.1°", p.Inserts[0].String())
	assert.Equal(t, "3", p.Inserts[1].String())
	c := p.Blocks[0].Figures[0].(*figure.Curves)
	assert.Equal(t, []string{"Before"}, c.Panels[0].Points[0].Names)
	assert.Contains(t, ev.Page(context.Background(), "bad").Faults[0].Error(), "bad.csv:1:6: the heading's brackets hold no known unit")
	assert.Contains(t, ev.Page(context.Background(), "bad2").Faults[0].Error(), `bad2.csv:2:3: "one" isn't a number`)
}

func TestAbsentValuesStayAbsent(t *testing.T) {
	code := "x := list(-1, 0, 4)\ny := sqrt(x)\nTable{Rows: x, Columns: []Column{{\"Root\", y}}}\nClaim{\"all real\", y >= 0}"
	p := good(t, "# A\n"+fence(code)+"\n{y.Max()}\n")
	assert.Equal(t, "2", p.Inserts[0].String())
	table := p.Blocks[0].Figures[0].(*figure.Table)
	assert.True(t, table.Columns[0].Cells[0].Absent)
	assert.Equal(t, 1, table.Absent)
	claim := p.Blocks[0].Figures[1].(*figure.Claim)
	assert.False(t, claim.Holds)
	assert.Equal(t, "at x −1: there is no value: the square root of a negative number", claim.Detail)
}

func TestSameOnOneCoreAndMany(t *testing.T) {
	code := truck + "car := truck\ncar.Front.UpperBall.X = normal(-22*mm, 3*mm)\nal := Alignment{Vehicle: car}"
	var got []string
	for _, workers := range []int{1, 2, 7} {
		p := New(library{"a.md": "# A\n" + fence(code) + "\n{quantile(al.Caster, 0.7) in deg to 0.0000000001}\n"}, Options{Workers: workers}).Page(context.Background(), "a")
		require.Empty(t, p.Faults, "%v", p.Faults)
		got = append(got, p.Inserts[0].String())
	}
	assert.Equal(t, got[0], got[1])
	assert.Equal(t, got[0], got[2])
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
	assert.Equal(t, Dial{Label: "Lean", Positions: []string{"0°", "2°", "4°", "6°", "8°"}, US: []string{"0°", "2°", "4°", "6°", "8°"}, Start: 2}, p.Dials[0])
	block := p.Blocks[0]
	assert.Equal(t, "At 4°", block.Figures[0].(*figure.Curves).Title.String())
	require.Len(t, block.States[0].Figures, 5)
	assert.Equal(t, "At 8°", block.States[0].Figures[4].(*figure.Curves).Title.String())
	assert.InDelta(t, 0.003*math.Tan(8*math.Pi/180), block.States[0].Figures[4].(*figure.Curves).Panels[0].Lines[0].Y[2], 1e-15)
	assert.Equal(t, []int{0, 1}, block.States[1].Dials)
	require.Len(t, block.States[1].Figures, 15)
	assert.Equal(t, "18", block.States[1].Figures[11].(*figure.Table).Columns[0].Cells[0].Text, "6° times 3, the last dial fastest")
	assert.True(t, block.Figures[2].(*figure.Claim).Holds)
	assert.False(t, block.Figures[3].(*figure.Claim).Holds, "a claim must hold at every position")
	assert.Equal(t, "4°", p.Inserts[0].String())
	assert.Equal(t, "8°", p.InsertStates[0].Texts[4].String())
	assert.Nil(t, p.InsertStates[1])
}

func TestBothSystemsArePrinted(t *testing.T) {
	p := good(t, "# A\n"+fence("x := 254*mm")+"\n{x in mm to 1} {x in inch to 0.1} {x/(2*mm)}\n")
	assert.Equal(t, figure.Span{Text: "254\u00a0mm", US: "10.00\u00a0in", Value: true}, p.Inserts[0][0])
	assert.Equal(t, figure.Span{Text: "254\u00a0mm", US: "10.0\u00a0in", Value: true}, p.Inserts[1][0])
	assert.Equal(t, figure.Span{Text: "127", Value: true}, p.Inserts[2][0])
}

// TestModelsAgreeWithSim runs a model through the language over two choices and a span, and each
// combination again straight in Go.
func TestModelsAgreeWithSim(t *testing.T) {
	code := truck + `
car := truck
car.Front.Lift = Choices{"Stock": 0*mm, "Lifted": 40*mm}
bump := span(-60*mm, 60*mm, 4)
trip := Travel{Vehicle: car, Bump: bump}
`
	var stock sim.Vehicle
	l := library{"a.md": "# A\n" + fence(code)}
	ev := New(l, Options{})
	_, names := ev.evaluate(context.Background(), "a")
	b := &binder{}
	b.bind(reflect.ValueOf(&stock).Elem(), names["truck"].(*value.Record), schemaOf(carType), "")
	require.Empty(t, b.leaves)
	camber := names["trip"].(*value.Record).Fields["Camber"].(*value.Array)
	right := names["trip"].(*value.Record).Fields["Right"].(*value.Record).Fields["Trail"].(*value.Array)
	require.Len(t, camber.Num, 8)
	for i, lift := range []float64{0, 0.04} {
		for j, bump := range []float64{-0.06, -0.02, 0.02, 0.06} {
			v := stock
			v.Front.Lift = lift
			want, err := sim.Travel{Vehicle: v, Bump: bump}.Run()
			require.NoError(t, err)
			at := map[*value.Axis]int{camber.Axes[0]: i, camber.Axes[1]: j}
			assert.InDelta(t, want.Camber, value.Pick(camber, at).Num[0], 1e-12)
			assert.InDelta(t, want.Right.Trail, value.Pick(right, at).Num[0], 1e-12)
		}
	}
}

func TestCacheGivesTheSame(t *testing.T) {
	code := truck + `
car := truck
car.Front.Lift = normal(10*mm, 2*mm)
bump := span(-20*mm, 20*mm, 5)
trip := Travel{Vehicle: car, Bump: bump}
`
	text := "# A\n" + fence(code) + "\n{quantile(trip.Camber.At(bump, 10*mm), 0.9) in deg to 0.0000001}\n"
	cache := NewCache()
	first := New(library{"a.md": text}, Options{Cache: cache}).Page(context.Background(), "a")
	require.Empty(t, first.Faults)
	held := cache.Numbers()
	assert.Positive(t, held)
	second := New(library{"a.md": text + "More words.\n"}, Options{Cache: cache}).Page(context.Background(), "a")
	assert.Equal(t, first.Inserts, second.Inserts)
	assert.Equal(t, held, cache.Numbers(), "words change nothing")
	other := New(library{"a.md": strings.Replace(text, "10*mm, 2*mm", "11*mm, 2*mm", 1)}, Options{Cache: cache}).Page(context.Background(), "a")
	assert.NotEqual(t, first.Inserts, other.Inserts)
	assert.Greater(t, cache.Numbers(), held)
	fresh := New(library{"a.md": strings.Replace(text, "10*mm, 2*mm", "11*mm, 2*mm", 1)}, Options{}).Page(context.Background(), "a")
	assert.Equal(t, fresh.Inserts, other.Inserts)
}

func TestLimitsOfTheWholeNotebook(t *testing.T) {
	run := func(code string, l Limits) string {
		p := New(library{"a.md": "# A\n" + fence(code)}, Options{Limits: l}).Page(context.Background(), "a")
		require.NotEmpty(t, p.Faults)
		return p.Faults[0].Error()
	}
	small := UsualLimits
	small.Numbers = 5000
	assert.Contains(t, run("x := span(0, 1, 2000)\ny := x + x\nz := y + y\nw := z*z", small), "a.md:6:6: this notebook has calculated more than 5000 numbers by here")
	assert.Contains(t, run(truck+"b := span(-1*mm, 1*mm, 4000)\nt1 := Travel{Vehicle: truck, Bump: b}", small), "Travel would run 4000 times, which is more than this notebook has left")
	small = UsualLimits
	small.Points = 50
	assert.Contains(t, run("x := span(0, 1, 51)\nCurves{X: x, Y: x}", small), "51 points are more than a page can show; the most is 50")
	assert.Contains(t, run("x := span(0, 1, 51)\nTable{Rows: x, Columns: []Column{{\"X\", x}}}", small), "51 points are more")
	small = UsualLimits
	small.Shown = 120
	assert.Contains(t, run("x := span(0, 1, 50)\nCurves{X: x, Y: x}\nTable{Rows: x, Columns: []Column{{\"X\", x}}}\nBars{X: x, Y: x}\nBars{X: x, Y: x}", small), "a.md:7:1: the figures of this page show more than 120 points and cells by here")
	small = UsualLimits
	small.Figures = 2
	assert.Contains(t, run("x := span(0, 1, 5)\nBars{X: x, Y: x}\nBars{X: x, Y: x}\nBars{X: x, Y: x}\nBars{X: x, Y: x}", small), "a.md:7:1: this would be figure number 3 on the page; the most is 2")
	small = UsualLimits
	small.Time = time.Nanosecond
	assert.Contains(t, run("x := 1", small), "took more than 1ns by here")
}

func TestCacheIsBounded(t *testing.T) {
	c := NewCache()
	c.room = 1000
	for i := range 100 {
		c.put(&cached{key: cacheKey{byte(i)}, size: 90})
	}
	assert.LessOrEqual(t, c.Numbers(), 1000)
	assert.Nil(t, c.get(cacheKey{1}))
	assert.NotNil(t, c.get(cacheKey{99}))
}

func FuzzBlock(f *testing.F) {
	f.Add(truck)
	f.Add("x := list(1*mm, 2*mm)\nCurves{X: x, Y: x}\nClaim{\"{x.Max() in mm}\", x < 3*mm}")
	f.Fuzz(func(t *testing.T, code string) {
		p := New(library{"a.md": "# A\n" + fence(code)}, Options{}).Page(context.Background(), "a")
		for _, d := range p.Faults {
			_ = d.Error() + d.Excerpt()
		}
		for _, b := range p.Blocks {
			if strings.Contains(fmt.Sprint(b.Figures), "panic") {
				t.Fatal("a figure holds a panic")
			}
		}
	})
}
