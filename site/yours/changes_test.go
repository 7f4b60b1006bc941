package yours

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"turnplate/site/diag"
)

func TestParse(t *testing.T) {
	text := `// another truck
truck.Name = "Other"
truck.Mass = 4500*lb
truck.Tyre = tyreSize("285/70R17", truck.Tyre)
truck.Tyre.LoadedRadius = normal(400*mm, 2*mm)
truck.Tyre.Pressure = 2.2*bar
truck.Front.UpperBall = at(-10, 670, normal(641, 1))*mm
truck.Front.LowerBall.Z = -(1/2)*inch
truck.Both.Lift = 50*mm
truck.Steering.RackPerTurn = 46*mm/turn
truck.Spring.On = "upper"
truck.FrontShare = uniform(50, 54)*percent
`
	c, faults := Parse("truck", text)
	require.Empty(t, faults)
	require.Len(t, c.List, 11)
	require.InDelta(t, 4500*0.45359237, c.Get("Mass").Numbers[0], 1e-9) // the pound of 1959
	require.Equal(t, "285/70R17", c.Get("Tyre").Words)
	require.InDelta(t, 0.4, c.Get("Tyre.LoadedRadius").Numbers[0], 1e-15)
	require.True(t, c.Get("Tyre.LoadedRadius").Spread)
	require.InDeltaSlice(t, []float64{-0.01, 0.67, 0.641}, c.Get("Front.UpperBall").Numbers, 1e-15)
	require.InDelta(t, -0.0127, c.Get("Front.LowerBall.Z").Numbers[0], 1e-15)
	require.InDelta(t, 0.046/(2*math.Pi)*2*math.Pi, c.Get("Steering.RackPerTurn").Numbers[0], 1e-15)
	require.InDelta(t, 0.52, c.Get("FrontShare").Numbers[0], 1e-15)
	require.Equal(t, "Both.Lift", c.At(8).Path)
	require.Equal(t, diag.Pos{Line: 9, Col: 1}, c.Get("Both.Lift").Pos)
	again, faults := Parse("truck", c.Text())
	require.Empty(t, faults)
	require.Equal(t, c.Text(), again.Text())
}

// Every kind of thing that isn't a value for a field is refused at its place, with words that name it.
func TestParseRefuses(t *testing.T) {
	for _, one := range []struct{ line, says string }{
		{`other := use("vehicles/corrie").truck`, "1:1: only a field of truck can be set"},
		{`truck := Vehicle{}`, "only a field of truck can be set"},
		{`truck = other`, "only a field of truck"},
		{`van.Mass = 1*kg`, "only a field of truck"},
		{`use("vehicles/corrie")`, "only a field of truck"},
		{`truck.Mass = use("a").b`, "a number with its unit"},
		{`truck.Mass = readings("a.csv")`, "one of normal, uniform, triangular and at"},
		{`truck.Mass = span(1*kg, 2*kg, 1000)`, "one of normal, uniform, triangular and at"},
		{`truck.Mass = dial(1*kg, 1*kg, 2*kg, 1000)`, "one of normal"},
		{`truck.Mass = Choices{"a": 1*kg}`, "a number with its unit"},
		{`truck.Mass = truck.Unsprung`, "a number with its unit"},
		{`truck.Mass = 1960`, "Mass takes a mass, such as 2*kg; this is a plain number"},
		{`truck.Mass = 1960*mm`, "Mass takes a mass"},
		{`truck.Mass = "heavy"`, "Mass takes a mass"},
		{`truck.Mass = 0*kg`, "Mass must be above zero"},
		{`truck.Mass = 1*kg/0`, "Mass must be above zero"},
		{`truck.Mass = 1e308*1e308*kg`, "Mass must be above zero"},
		{`truck.Mass = 1e309*kg`, "a number was expected"},
		{`truck.Mass = 0x10*kg + 1i*kg`, "only numbers"},
		{`truck.Mass = 1960*kgs`, "did you mean kg?"},
		{`truck.Mass = 1960 kg`, "write 1960*kg"},
		{`truck.FrontShare = 101*percent`, "FrontShare must lie from 0 to 100"},
		{`truck.Wheelbas = 2850*mm`, "did you mean Wheelbase?"},
		{`truck.Both.Lif = 2850*mm`, "did you mean Lift?"},
		{`truck.Front = 1*mm`, "no field Front that can be set here"},
		{`truck.Front.UpperBall.W = 1*mm`, "no field Front.UpperBall.W"},
		{`truck.Front.UpperBall.X.Y = 1*mm`, "no field"},
		{`truck.Front.UpperBall = at(1*mm, 2*kg, 3*mm)`, "of one kind"},
		{`truck.Front.UpperBall = at(1, 2, 3)`, "UpperBall takes a point"},
		{`truck.Front.UpperBall = at(1, 2)*mm`, "at takes 3 values"},
		{`truck.Front.UpperBall = at(at(1, 2, 3), 2, 3)*mm`, "of one kind"},
		{`truck.Body = []Obstacle{}`, "no field Body that can be set here"},
		{`truck.Measured = []string{"Wheelbase"}`, "no field Measured"},
		{`truck.Spring.On = "both"`, `must be "lower" or "upper"`},
		{`truck.Name = "a\nb"`, "on one line"},
		{"truck.Name = \"a\u202eb\"", "on one line"},
		{`truck.Name = "` + strings.Repeat("x", 81) + `"`, "at most 80 bytes"},
		{`truck.Tyre = tyreSize("round", truck.Tyre)`, ""},
		{`truck.Tyre = tyreSize("285/70R17", other.Tyre)`, "set by its designation"},
		{`truck.Tyre = Tyre{}`, "set by its designation"},
		{`truck.Mass = normal(1960*kg, -1*kg)`, "can't be negative"},
		{`truck.Mass = uniform(2*kg, 1*kg)`, "lower end comes first"},
		{`truck.Mass = triangular(1*kg, 3*kg, 2*kg)`, "from low over the likeliest to high"},
		{`truck.Mass = normal(normal(1*kg, 1*kg), 1*kg)`, "plain numbers with units"},
		{`truck.Mass = normal(1*kg, 1*kg)*normal(1, 1)`, "can't be combined"},
		{`truck.Mass = normal(1*kg, 1e308*1e308*kg)`, "can be calculated with"},
		{"truck.Front.UpperBall = at(1,\n2, 3)*mm", "on a line of its own"},
		{`truck.Mass = 1*kg == 2*kg`, "a number with its unit"},
		{`truck.Mass, truck.Unsprung = 1*kg, 2*kg`, "one name takes one value"},
		{`for { }`, "a loop"},
		{`truck.Mass = func() int { return 1 }()`, ""},
		{"}\nfunc init() {", ""},
	} {
		c, faults := Parse("truck", one.line)
		require.NotEmpty(t, faults, one.line)
		require.Contains(t, faults[0].Error(), one.says, one.line)
		require.Equal(t, File, faults[0].File)
		require.Empty(t, c.List, one.line)
	}
}

// A field has one value: which of two counts isn't left to chance. A tyre's designation first and more of the tyre after
// it is the way such a tyre is described.
func TestOneValueEach(t *testing.T) {
	for _, text := range []string{
		"truck.Mass = 1*kg\ntruck.Mass = 2*kg",
		"truck.Front.Lift = 1*mm\ntruck.Both.Lift = 2*mm",
		"truck.Both.Lift = 1*mm\ntruck.Right.Lift = 2*mm",
		"truck.Front.UpperBall.X = 1*mm\ntruck.Front.UpperBall = at(1, 2, 3)*mm",
		"truck.Tyre.Width = 200*mm\ntruck.Tyre = tyreSize(\"285/70R17\", truck.Tyre)",
	} {
		c, faults := Parse("truck", text)
		require.Len(t, faults, 1, text)
		require.Len(t, c.List, 1, text)
		require.Contains(t, faults[0].Error(), "yours:2:1: ", text)
		require.Contains(t, faults[0].Error(), "line 1", text)
	}
	c, faults := Parse("truck", "truck.Mass = 1*mm\ntruck.Wheelbase = 2800*mm")
	require.Len(t, faults, 1)
	require.Len(t, c.List, 1, "the other values stay")
}

func TestParseBounds(t *testing.T) {
	_, faults := Parse("truck", strings.Repeat(" ", MaxBytes+1))
	require.Len(t, faults, 1)
	deep := "truck.Mass = " + strings.Repeat("(", 200) + "1*kg" + strings.Repeat(")", 200)
	_, faults = Parse("truck", deep)
	require.NotEmpty(t, faults)
}

// FuzzParse: whatever a link brings, what comes out sets known fields to finite numbers, and says so in a text that is
// read again as the same.
func FuzzParse(f *testing.F) {
	f.Add("truck.Mass = 4500*lb\ntruck.Tyre = tyreSize(\"285/70R17\", truck.Tyre)\n")
	f.Add("truck.Front.UpperBall = at(-10, 670, normal(641, 1))*mm; truck.Both.Lift = 50*mm")
	f.Add("truck.FrontShare = triangular(50, 51, 54)*percent // a remark\n}\nfunc f() {")
	f.Add("truck.Name = `a` /* b */\ntruck.Spring.On = \"\\u0075pper\"")
	f.Fuzz(func(t *testing.T, text string) {
		c, faults := Parse("truck", text)
		for _, d := range faults {
			if d.File != File || d.Message == "" {
				t.Fatalf("fault %+v", d)
			}
			_ = d.Excerpt()
		}
		for _, one := range c.List {
			if _, _, wrong := Lookup(strings.Split(one.Path, ".")); wrong != "" && one.Path != "Tyre" {
				t.Fatalf("%s isn't a field", one.Path)
			}
			for _, x := range one.Numbers {
				if math.IsNaN(x) || math.IsInf(x, 0) {
					t.Fatalf("%s is %v", one.Path, x)
				}
			}
		}
		again, faults := Parse("truck", c.Text())
		if len(faults) > 0 || again.Text() != c.Text() {
			t.Fatalf("%q comes to %q and then %q, %v", text, c.Text(), again.Text(), faults)
		}
	})
}
