package yours

import (
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"turnplate/sim"
	"turnplate/site/diag"
	"turnplate/site/model"
	"turnplate/site/value"
)

// corrie is the demo's truck, or what of it these tests need, as a page has it.
func corrie(t testing.TB, more ...string) *value.Record {
	t.Helper()
	c, faults := Parse("truck", `
truck.Name = "Corrie"
truck.Wheelbase = 2850*mm
truck.Mass = normal(1960*kg, 10*kg)
truck.Tyre.Radius = 402*mm
truck.Tyre.LoadedRadius = 384*mm
truck.Tyre.Width = 272*mm
truck.Tyre.Mass = 17.5*kg
truck.Steering.RackPerTurn = 46*mm
truck.Steering.RackLimit = 74*mm
truck.Front.UpperFront = at(105, 432, 632)*mm
truck.Front.UpperRear = at(-135, 440, 606)*mm
truck.Front.UpperBall = at(-14, 672, 640)*mm
truck.Front.LowerFront = at(205, 318, 262)*mm
truck.Front.LowerRear = at(-195, 330, 270)*mm
truck.Front.LowerBall = at(12, 742, 244)*mm
truck.Front.TieInner = at(148, 350, 302)*mm
truck.Front.TieOuter = at(146, 716, 290)*mm
truck.Front.WheelCentre = at(0, 806, 384)*mm
`+strings.Join(more, "\n"))
	require.Empty(t, faults)
	return carryOut(c, &value.Record{Type: "Vehicle", Fields: map[string]value.Value{}})
}

// carryOut does to a record what a notebook would, but for a tyre's designation.
func carryOut(c Changes, car *value.Record) *value.Record {
	for line, one := range c.List {
		var v value.Value
		switch path := strings.Split(frontOf(one.Path), "."); {
		case one.Field.Type.Kind().String() == "string":
			car = write(car, path, value.Text(one.Words), line)
		case len(one.Numbers) == 3:
			parts := map[string]value.Value{}
			for i, name := range []string{"X", "Y", "Z"} {
				parts[name] = value.Num(one.Numbers[i], one.Field.Unit.Dim)
			}
			car = write(car, path, &value.Record{Type: "Point", Fields: parts}, line)
		case one.Half > 0:
			axis := &value.Axis{Kind: value.Draws, Length: 4001}
			v = value.Sample(axis, "a", "b", one.Field.Unit.Dim, value.Normal(one.Numbers[0], one.Half/coverage))
			car = write(car, path, v, line)
		default:
			car = write(car, path, value.Num(one.Numbers[0], one.Field.Unit.Dim), line)
		}
	}
	return car
}

func write(r *value.Record, path []string, v value.Value, line int) *value.Record {
	mark := value.Mark{File: "vehicles/corrie", Step: 1, Line: line + 2, Col: 1}
	if len(path) == 1 {
		return r.With(path[0], v, mark)
	}
	inner, _ := at(r, path[:1]).(*value.Record)
	if inner == nil {
		inner = &value.Record{Type: model.Literals()["Corner"].Name, Fields: map[string]value.Value{}}
	}
	return r.With(path[0], write(inner, path[1:], v, line), mark)
}

// Every field of a vehicle that can be set can be set in the form, once, and says what it is.
func TestGroupsHoldEveryField(t *testing.T) {
	seen := map[string]bool{}
	for _, g := range Groups(false) {
		for _, f := range g.Fields {
			require.False(t, seen[frontOf(f.Path)], f.Path)
			seen[frontOf(f.Path)] = true
			require.NotEmpty(t, f.Label, f.Path)
			require.NotEmpty(t, f.Words, "%s has no words", f.Path)
		}
	}
	var visit func(s *model.Schema, prefix string)
	visit = func(s *model.Schema, prefix string) {
		for _, f := range s.Fields {
			_, part, wrong := Lookup(strings.Split(prefix+f.Name, "."))
			switch t2 := model.Base(f.Type); {
			case wrong == "" && part == "":
				require.True(t, seen[prefix+f.Name], "the form has no box for %s", prefix+f.Name)
			case f.Name != "Right" && model.Literals()[t2.Name()] != nil && t2.Kind().String() == "struct":
				visit(model.Literals()[t2.Name()], prefix+f.Name+".")
			}
		}
	}
	visit(model.Literals()["Vehicle"], "")
	require.True(t, seen["Tyre"])
	require.Greater(t, len(seen), 80)
}

// The words are the ones beside the fields.
func TestWords(t *testing.T) {
	require.Equal(t, "all but tyres and rims", Words("Vehicle", "Mass"))
	for _, part := range []string{"Vehicle", "Corner", "Adjusters", "Bush", "Tyre", "Steering", "Spring"} {
		for _, f := range model.Literals()[part].Fields {
			require.NotEmpty(t, Words(part, f.Name), "%s.%s", part, f.Name)
		}
	}
	require.Contains(t, sim.VehicleSource, "type Vehicle struct")
}

func TestTyped(t *testing.T) {
	for _, one := range []struct {
		path, text string
		us         bool
		want       string
	}{
		{"Tyre.LoadedRadius", "400", false, "400*mm"},
		{"Tyre.LoadedRadius", "15.75", true, "15.75*inch"},
		{"Tyre.LoadedRadius", ` 15.75" `, false, "15.75*inch"},
		{"Tyre.LoadedRadius", "15.75 in", false, "15.75*inch"},
		{"Tyre.LoadedRadius", "400,5", false, "400.5*mm"},
		{"Tyre.LoadedRadius", "400 ± 2", false, "normal(400*mm, 2*mm/1.96)"},
		{"Tyre.LoadedRadius", "400 +/- 2 mm", true, "normal(400*mm, 2*mm/1.96)"},
		{"Tyre.LoadedRadius", "uniform(395, 405)*mm", false, "uniform(395, 405)*mm"},
		{"Front.UpperBall.X", "−14", false, "-14*mm"},
		{"Mass", "4300 lbs", false, "4300*lb"},
		{"Mass", "4300", true, "4300*lb"},
		{"Tyre.VerticalStiffness", "250 N/mm", true, "250*N/mm"},
		{"Spring.WheelBarRate", "12", true, "12*lbf/inch"},
		{"Steering.KingpinFriction", "6 Nm", false, "6*N*m"},
		{"Tyre.Pressure", "2.3 bar", false, "2.3*bar"},
		{"FrontShare", "54 %", true, "54*percent"},
		{"Tyre.Friction", ".8", false, ".8"},
		{"Name", `The "other" one`, false, `"The \"other\" one"`},
		{"Spring.On", "upper", false, `"upper"`},
		{"Tyre", "285/70R17", false, `tyreSize("285/70R17", truck.Tyre)`},
	} {
		c, faults := Changes{Name: "truck"}.Set(one.path, one.text, one.us)
		require.Empty(t, faults, one.text)
		require.Len(t, c.List, 1)
		require.Equal(t, one.want, c.List[0].Expr, one.text)
	}
	for _, one := range [][2]string{
		{"Tyre.LoadedRadius", "four hundred"}, {"Tyre.LoadedRadius", "400 kg"}, {"Tyre.LoadedRadius", "-400"}, {"Tyre.LoadedRadius", "1\ntruck.Mass = 1"},
		{"Tyre.LoadedRadius", "1; truck.Mass = 2*kg"}, {"Tyre.LoadedRadius", "1 // x"}, {"Nothing", "1"}, {"Front", "1"}, {"Tyre", `x", truck.Tyre); use("a`}, {"Tyre", "tall"},
		{"FrontShare", "140"}, {"Spring.On", "sideways"}, {"Name", strings.Repeat("x", 100)},
	} {
		before := Changes{Name: "truck"}
		c, faults := before.Set(one[0], one[1], false)
		require.NotEmpty(t, faults, one)
		require.Equal(t, before, c)
	}
}

// What can't be read at all is told in a reader's words.
func TestSetTellsWhatCannotBeRead(t *testing.T) {
	for _, text := range []string{"<heavy>", "four hundred"} {
		_, faults := Changes{Name: "truck"}.Set("Tyre.LoadedRadius", text, false)
		require.Len(t, faults, 1)
		require.Equal(t, strconv.Quote(text)+" isn't a number with a unit", faults[0].Message)
	}
}

// What is set, set again, and emptied leaves the rest alone, in the form's order whatever the reader's.
func TestSet(t *testing.T) {
	c := Changes{Name: "truck"}
	set := func(path, text string) {
		t.Helper()
		var faults diag.List
		c, faults = c.Set(path, text, false)
		require.Empty(t, faults)
	}
	set("Tyre.LoadedRadius", "410")
	set("Mass", "2100")
	set("Tyre", "285/70R17")
	require.Equal(t, "truck.Tyre = tyreSize(\"285/70R17\", truck.Tyre)\ntruck.Tyre.LoadedRadius = 410*mm\ntruck.Mass = 2100*kg\n", c.Text())
	set("Tyre", "275/70R17")
	set("Mass", "")
	set("Front.UpperBall.X", "1")
	set("Front.UpperBall.Z", "3")
	require.Equal(t, "truck.Tyre = tyreSize(\"275/70R17\", truck.Tyre)\ntruck.Tyre.LoadedRadius = 410*mm\ntruck.Front.UpperBall.X = 1*mm\ntruck.Front.UpperBall.Z = 3*mm\n", c.Text())
	set("Front.UpperBall.Y", "2")
	require.Equal(t, "at(1*mm, 2*mm, 3*mm)", c.Get("Front.UpperBall").Expr)
	set("Front.UpperBall.Y", "")
	require.Equal(t, "1*mm", c.Get("Front.UpperBall.X").Expr)
	require.Nil(t, c.Get("Front.UpperBall.Y"))
	set("Both.Lift", "50")
	set("Front.Lift", "60")
	require.Nil(t, c.Get("Both.Lift"))
}

func TestFileIsReadAgain(t *testing.T) {
	c, faults := Parse("truck", "truck.Mass = 2100*kg\ntruck.Both.Lift = 2*inch\n")
	require.Empty(t, faults)
	for _, text := range []string{c.File("The Corrie\nhandbook"), "\ufeff```go params\n" + c.File("") + "```\n", strings.ReplaceAll(c.File(""), "\n", "\r\n")} {
		again, faults := Read("truck", text)
		require.Empty(t, faults)
		require.Equal(t, c.Text(), again.Text())
	}
}

func TestForm(t *testing.T) {
	page := corrie(t)
	c, faults := Parse("truck", "truck.Tyre.LoadedRadius = normal(400*mm, 2*mm)\ntruck.Front.UpperBall = at(-20, 672, 641)*mm\ntruck.Mass = 2100*kg\n")
	require.Empty(t, faults)
	f := Form{Changes: c, Page: page, Now: carryOut(c, page), Remark: func(m value.Mark) string { return "as weighed" },
		Notes: append(c.Notes(diag.List{{File: File, Pos: diag.Pos{Line: 3}, Message: "that is <heavy>", Hint: "weigh it again"}, {File: "vehicles/corrie.md", Message: "not this"}}, true),
			Note{Path: "RearLift", Message: "no such number"}, Note{Message: "of nothing"})}
	html, err := f.HTML()
	require.NoError(t, err)
	text := string(html)
	require.Equal(t, "Your truck: all numbers, figures and claims here are worked out anew, and the words around them are still those about the Corrie. 3 values are yours; what you left empty is as there. One of yours is doubted.", f.Says())
	for _, want := range []string{
		`value="400 ± 3.92"`, `value="-20"`, `value="641"`, `value="2100"`, `placeholder="384"`,
		"On the Corrie: 1960 ± 2", "(as weighed)", "that is &lt;heavy&gt;", "weigh it again", "no such number", "of nothing", "Not given on the Corrie",
		`id="yours-RearLift"`, `aria-invalid="true"`, "<svg", `<option value="">lower</option>`,
	} {
		require.Contains(t, text, want)
	}
	require.NotContains(t, text, "not this")
	require.Equal(t, 1, strings.Count(text, `aria-invalid="true"`))
	f.US = true
	html, err = f.HTML()
	require.NoError(t, err)
	require.Contains(t, string(html), `value="15.748 ± 0.154"`)
	require.Contains(t, string(html), `value="4629.7"`)
	if to := os.Getenv("YOURS_FORM"); to != "" {
		require.NoError(t, os.WriteFile(to, []byte(html), 0o644))
	}
}

// What a value would move on a real truck, and doesn't here, is said beside it, once, until the reader gives it too.
func TestCompanionsThatStayAreNamed(t *testing.T) {
	page := corrie(t, "truck.FrontShare = 50*percent", "truck.CentreHeight = 720*mm", "truck.Spring.DroopTravel = 80*mm", "truck.Tyre.Inertia = 2.2*kg*m*m",
		"truck.RearCornering = 2650*N/deg", "truck.Tyre.CorneringStiffness = 1250*N/deg")
	says := func(path, changes string) string {
		c, faults := Parse("truck", changes)
		require.Empty(t, faults)
		return strings.ReplaceAll(Form{Changes: c, Page: page, Now: carryOut(c, page)}.stays(path), "\u00a0", " ")
	}
	const lift = "truck.Both.Lift = 40*mm\n"
	require.Equal(t, "The height of the centre of mass stays 720 mm, where about 740 mm would go with this; "+
		"the droop travel stays 80 mm, where about 120 mm would go with this if spacers above the strut make the lift", says("Both.Lift", lift))
	require.Equal(t, "The height of the centre of mass stays 720 mm, where about 760 mm would go with this; "+
		"the droop travel stays 80 mm, where about 120 mm would go with this if spacers above the strut make the lift", says("Both.Lift", lift+"truck.RearLift = 40*mm\n"))
	require.Empty(t, says("RearLift", lift+"truck.RearLift = 40*mm\n"), "it stands beside the first of them")
	require.Empty(t, says("Both.Lift", lift+"truck.CentreHeight = 750*mm\ntruck.Spring.DroopTravel = 80*mm\n"))
	require.Equal(t, "The tyre’s inertia stays 2.2 kg·m², where about 4.85 kg·m² would go with this if it is made alike", // 2.2 × 2 × 1.05²
		says("Tyre.Mass", "truck.Tyre.Radius = 422.1*mm\ntruck.Tyre.Mass = 35*kg\n"))
	require.Equal(t, "The rear axle’s cornering stiffness stays 2650 N/°, where about 2120 N/° would go with this if the rear tyres are the same",
		says("Tyre.CorneringStiffness", "truck.Tyre.CorneringStiffness = 1000*N/deg\n"))
	require.Empty(t, says("Mass", "truck.Mass = 2500*kg\n"))
}

func TestRemark(t *testing.T) {
	source := []byte("a\n\tMass: 1*kg, // weighbridge, less \"rims\"\n\tName: \"a // b\", // c\n\tName: \"a // b\",\n")
	require.Equal(t, `weighbridge, less "rims"`, Remark(source, 2))
	require.Equal(t, "c", Remark(source, 3))
	require.Empty(t, Remark(source, 4))
	require.Empty(t, Remark(source, 99))
}
