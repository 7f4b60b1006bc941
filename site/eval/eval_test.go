package eval

import (
	"context"
	"io/fs"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/figure"
	"turnplate/site/notebook"
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

func TestSphericalIsABush(t *testing.T) {
	code := truck + "car := truck\ncar.Front.UpperBush = Spherical\ngives := Compliance{Vehicle: car, Brake: 1*kN}"
	assert.Equal(t, "80\u00a0kN/mm", prints(t, code, "car.Front.UpperBush.Axial in kN/mm"))
	assert.Equal(t, "0.1\u00a0N·m/rad", prints(t, code, "car.Front.UpperBush.Tilt in N*m/rad"))
	assert.Equal(t, "yes", prints(t, code+"\nx := gives.Caster < 0*deg", "x"))
	faults := page(t, "# A\n"+fence("Spherical := 1")).Faults
	require.Len(t, faults, 1)
	assert.Contains(t, faults[0].Message, "Spherical is a constant")
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
