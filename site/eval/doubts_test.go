package eval

import (
	"context"
	"fmt"
	"maps"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// said is one thing that must be said of a case: a doubt or a mistake, on a line of the case, with words of it.
type said struct {
	kind  string
	line  int
	words string
}

// TestAbsurdVehicles wants of each vehicle in testdata/absurd what stands there, all of it and nothing else.
func TestAbsurdVehicles(t *testing.T) {
	text, err := os.ReadFile("../../testdata/absurd/vehicles.txt")
	require.NoError(t, err)
	lib := library{}
	for _, name := range []string{"vehicles/corrie.md", "vehicles/corrie-first.csv", "vehicles/corrie-points.csv"} {
		data, err := os.ReadFile("../../notebooks/" + name)
		require.NoError(t, err)
		lib[name] = string(data)
	}
	expected := regexp.MustCompile(`^(doubt|mistake) (\d+): (.*)$`)
	cases := strings.Split(string(text), "\n== ")[1:]
	require.Greater(t, len(cases), 43)
	for _, c := range cases {
		name, body, _ := strings.Cut(c, "\n")
		code := []string{`car := use("vehicles/corrie").factory`}
		var want []said
		for _, line := range strings.Split(strings.TrimSpace(body), "\n") {
			if m := expected.FindStringSubmatch(line); m != nil {
				n, _ := strconv.Atoi(m[2])
				want = append(want, said{m[1], n, m[3]})
			} else {
				code = append(code, line)
			}
		}
		t.Run(name, func(t *testing.T) {
			const before = 4 // lines before the case's first
			lib := maps.Clone(lib)
			lib["a.md"] = "# A\n" + fence(strings.Join(code, "\n"))
			p := New(lib, Options{}).Page(context.Background(), "a")
			matched := make([]bool, len(want))
			see := func(kind string, line int, text string) {
				text = strings.ReplaceAll(text, "\u00a0", " ")
				found := false
				for i, w := range want {
					if w.kind == kind && w.line == line && strings.Contains(text, w.words) {
						matched[i], found = true, true
					}
				}
				if !found {
					t.Errorf("not wanted: %s %d: %s", kind, line, text)
				}
			}
			for _, d := range p.Doubts {
				see("doubt", d.Pos.Line-before, d.Message+" ("+d.Hint+")")
			}
			for _, d := range p.Faults {
				see("mistake", d.Pos.Line-before, d.Message+" ("+d.Hint+")")
			}
			for i, w := range want {
				assert.True(t, matched[i], "not said: %s %d: %s", w.kind, w.line, w.words)
			}
		})
	}
}

// doubted gives the page's doubts as "line: message".
func doubted(p *Page) string {
	var lines []string
	for _, d := range p.Doubts {
		lines = append(lines, fmt.Sprintf("%d: %s", d.Pos.Line, d.Message))
	}
	return strings.Join(lines, "\n")
}

const rightSide = `right := truck.Front
right.UpperFront = at(92, 421, 611)*mm
`

func TestDoubtsAreToldOnceAndWhereTheyBelong(t *testing.T) {
	const bad = "truck.Wheelbase = 285*mm\n"
	for name, c := range map[string]struct{ code, want string }{
		"sensible":                       {truck, ""},
		"mended before the page is done": {truck + bad + "truck.Wheelbase = 2850*mm\n", ""},
		"taken over unchanged":           {truck + bad + "other := truck\nother.Mass = 1900*kg\nAlignment{Vehicle: other}.Caster\n", "17: Wheelbase is 285\u00a0mm"},
		"checked twice":                  {truck + bad + "truck.Measured = []string{\"Wheelbase\"}\n", ""},
		"written after it was checked":   {truck + "truck.Measured = []string{\"Wheelbase\"}\n" + bad, "18: Wheelbase"},
		"everything below is checked":    {truck + "truck.Front.Camber = 6*deg\ntruck.Measured = []string{\"Front\"}\n", ""},
		"the last one written is meant":  {truck + "tyre := truck.Tyre\ntyre.Mass = 40*kg\ntyre.Radius = 360*mm\ntyre.LoadedRadius = 350*mm\n", "19: as typed the tyre's mass"},
		"a whole part put in elsewhere":  {truck + "tyre := truck.Tyre\ntyre.Mass = 46*kg\ntall := truck\ntall.Tyre = tyre\n", "18: as typed the tyre's mass"},
		"a right side in one statement":  {truck + rightSide + "truck.Right = right\ncar := truck\ncar.Both.Lift = 50*mm\n", ""},
		"one side alone":                 {truck + rightSide + "truck.Right = right\ntruck.Right.Adjust.TieRod = 2*mm\n", "20: Right.Adjust.TieRod is written for one side"},
		"a dial is no slip":              {truck + "truck.Front.Lift = dial(50*mm, 0*mm, 100*mm, 11)\n", ""},
		"tall tyres on the same points":  {truck + "truck.Tyre = Tyre{Radius: 444*mm, LoadedRadius: 425*mm, Width: 267*mm, Mass: 29*kg, RimMass: 12*kg, Pressure: 210*kPa}\n", ""},
	} {
		p := page(t, "# A\n"+fence(c.code))
		for _, d := range p.Faults {
			if !strings.Contains(d.Message, "goes nowhere") {
				t.Errorf("%s: %s", name, d.Error())
			}
		}
		if c.want == "" {
			assert.Empty(t, doubted(p), name)
		} else {
			assert.Len(t, p.Doubts, 1, "%s: %s", name, doubted(p))
			assert.Contains(t, doubted(p), c.want, name)
		}
	}
}

// TestAnotherPagesDoubtsStayThere: a page that uses a doubtful vehicle doesn't repeat what the vehicle's page says.
func TestAnotherPagesDoubtsStayThere(t *testing.T) {
	ev := New(library{
		"truck.md": "# A\n" + fence(truck+"truck.Wheelbase = 285*mm"),
		"use.md":   "# B\n" + fence("car := use(\"truck\").truck\ncar.Front.Lift = 20*mm\na := Alignment{Vehicle: car}"),
	}, Options{})
	assert.Len(t, ev.Page(context.Background(), "truck").Doubts, 1)
	p := ev.Page(context.Background(), "use")
	assert.Empty(t, doubted(p))
	assert.Empty(t, p.Faults)
}

// TestAModelDoesntHideTheMistake: what can't be is told where it was written, not where a model stumbled over it.
func TestAModelDoesntHideTheMistake(t *testing.T) {
	p := page(t, "# A\n"+fence(truck+"truck.Front.LowerBall = at(12, 300, 245)*mm\na := Alignment{Vehicle: truck}\nb := Travel{Vehicle: truck, Bump: 10*mm}"))
	require.Len(t, p.Faults, 1, "%v", p.Faults)
	assert.Equal(t, 17, p.Faults[0].Pos.Line)
	assert.Contains(t, p.Faults[0].Message, "Front.LowerBall must lie outboard of LowerFront")
}

func TestBothWritesBothSides(t *testing.T) {
	two := truck + rightSide + "truck.Right = right\ncar := truck\n"
	for insert, code := range map[string]string{
		"car.Front.Lift in mm":              two + "car.Both.Lift = 50*mm",
		"car.Right.Lift in mm":              two + "car.Both.Lift = 50*mm",
		"car.Right.Adjust.UpperShift in mm": two + "car.Both.Adjust.UpperShift = 50*mm",
		"truck.Front.WheelCentre.Z in mm":   truck + "truck.Both.WheelCentre.Z = 50*mm + truck.Front.WheelCentre.Z - truck.Front.WheelCentre.Z",
	} {
		p := page(t, "# A\n"+fence(code)+"\nIt is {"+insert+"}.\n")
		if assert.NotEmpty(t, p.Inserts, insert) {
			assert.Equal(t, "50\u00a0mm", p.Inserts[0].String(), insert)
		}
	}
	for code, want := range map[string]string{
		"x := truck.Both.Lift":                                    "Both is for writing only (read Front or Right)",
		"truck.Both = truck.Front":                                "Both takes one field of both sides",
		"v := Vehicle{Both: Corner{Lift: 50*mm}}":                 "Both is no field of its own",
		"truck.Both.Lft = 50*mm":                                  "Corner has no field Lft (did you mean Lift?)",
		"a := Alignment{Vehicle: truck}\ntruck.Both.Lift = 50*mm": "truck.Front.Lift can't change here: it was used on line 17",
		"truck.Both.Lift = 50*kg":                                 "Lift takes a length",
		"truck.Measured = []string{\"Tyre.Mas\"}":                 "there is no field Mas (did you mean Mass?)",
		"truck.Measured = []string{Wheelbase}":                    "Wheelbase isn't known here",
		"truck.Measured = []string{3*kg}":                         "this list holds texts in quotes; this is a mass",
		"truck.Measured = list(1, 2)":                             "Measured takes a list, []string{…}",
	} {
		p := page(t, "# A\n"+fence(truck+code))
		all := ""
		for _, d := range p.Faults {
			all += d.Error() + "\n"
		}
		assert.Contains(t, all, want, code)
	}
}

// TestASurveysStartIsNotDoubted: it says only roughly where things are.
func TestASurveysStartIsNotDoubted(t *testing.T) {
	odd := roughTruck + "rough.Tyre.Pressure = 33*kPa\nrough.Front.UpperBall = at(-134, 672, 640)*mm\n"
	l := library{"points.csv": demoReadings(t, "corrie-points.csv"), "a.md": "# A\n" + fence(odd+`found := Survey{Readings: readings("points.csv"), Start: rough}`), "b.md": "# B\n" + fence(odd)}
	ev := New(l, Options{})
	assert.Contains(t, doubted(ev.Page(context.Background(), "b")), "the caster is")
	p := ev.Page(context.Background(), "a")
	assert.NotContains(t, doubted(p), "the caster is")
	assert.Contains(t, doubted(p), "Tyre.Pressure is 33", "what isn't surveyed is looked over")
}
