package eval

import (
	"bytes"
	"context"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/model"
)

// roughTruck is a vehicle to start a survey from, a few centimetres off.
const roughTruck = `
rough := Vehicle{
	Front: Corner{
		UpperFront: at(100, 430, 640)*mm, UpperRear: at(-130, 440, 600)*mm, UpperBall: at(0, 680, 640)*mm,
		LowerFront: at(200, 320, 260)*mm, LowerRear: at(-190, 330, 270)*mm, LowerBall: at(0, 740, 240)*mm,
		TieInner: at(150, 350, 300)*mm, TieOuter: at(150, 720, 290)*mm, WheelCentre: at(0, 800, 380)*mm,
		Lift: 30*mm, JointLimit: 25*deg,
	},
	Tyre: Tyre{LoadedRadius: 384*mm},
}
`

// demoReadings are the demo truck's.
func demoReadings(t testing.TB, name string) string {
	t.Helper()
	data, err := os.ReadFile("../../notebooks/vehicles/" + name)
	require.NoError(t, err)
	return string(data)
}

// The points of a survey vary together, are the same in every survey of the file, and what doesn't vary doesn't.
func TestSurveyInNotebook(t *testing.T) {
	l := library{
		"points.csv": demoReadings(t, "corrie-points.csv"),
		"a.md": "# A\n" + fence(roughTruck+`
found := Survey{Readings: readings("points.csv"), Start: rough}
truck := rough
truck.Front = found.Front
set := Alignment{Vehicle: truck}
again := Survey{Readings: readings("points.csv"), Start: rough, Helps: set.Caster}
legs := found.Front.LowerFront.X - found.Front.LowerRear.X
same := found.Front.LowerFront.X - again.Front.LowerFront.X
most := abs(found.Standardised).Max()
`) + "\n{found.Front.UpperBall.X in mm to 0.1} {legs in mm to 0.1} {same in mm} {set.Caster in deg to 0.1} {again.Next} {found.Misfit to 0.1} {found.Freedom} " +
			"{found.Front.JointLimit in deg} {found.Right.UpperBall.X in mm to 0.1} {found.Residual.At(found.Row, \"tape UpperRear to UpperBall\") in mm to 0.1} {truck.Front.WheelCentre.X in mm}\n",
	}
	p := New(l, Options{}).Page(context.Background(), "a")
	require.Empty(t, p.Faults, "%v", p.Faults)
	var got []string
	for _, in := range p.Inserts {
		got = append(got, in.String())
	}
	assert.Equal(t, []string{"−14.0\u00a0±\u00a02.6\u00a0mm", "399.8\u00a0±\u00a03.1\u00a0mm", "0\u00a0mm", "3.8\u00a0±\u00a00.5°", "floor UpperBall to TieOuter", "20.3", "24",
		"25°", "−14.0\u00a0±\u00a02.6\u00a0mm", "0.0\u00a0mm", "0\u00a0mm"}, got)
}

// What a survey found is the same where it is known before, whatever has been made of what is known.
func TestSurveyFoundBefore(t *testing.T) {
	l := library{
		"points.csv": demoReadings(t, "corrie-points.csv"),
		"a.md": "---\ndraws: 200\n---\n# A\n" + fence(roughTruck+`
found := Survey{Readings: readings("points.csv"), Start: rough}
truck := rough
truck.Front = found.Front
set := Alignment{Vehicle: truck}
again := Survey{Readings: readings("points.csv"), Start: rough, Helps: set.Caster}
`) + "\n{found.Front.UpperBall.X in mm to 0.000001} {again.Front.UpperBall.X in mm to 0.000001} {found.Misfit to 0.0000001} {found.Next} {found.Freedom}\n",
	}
	said := func(f *model.Findings) (got []string) {
		p := New(l, Options{Findings: f}).Page(context.Background(), "a")
		require.Empty(t, p.Faults, "%v", p.Faults)
		for _, in := range p.Inserts {
			got = append(got, in.String())
		}
		return got
	}
	want := said(nil)
	first := model.NewFindings(nil)
	assert.Equal(t, want, said(first))
	require.Len(t, first.All(), 2, "where the search ended, once for both, and what helps")
	second := model.NewFindings(first.All())
	assert.Equal(t, want, said(second))
	assert.Equal(t, first.All(), second.All(), "nothing was searched")
	for _, damage := range []string{"", "x", strings.Repeat("\xff", 8), strings.Repeat("\xff", 27*8), strings.Repeat("\x7f", 27*8), "<script>"} {
		damaged := first.All()
		for key := range damaged {
			damaged[key] = []byte(damage)
		}
		assert.Equal(t, want, said(model.NewFindings(damaged)), damage)
	}
	// Numbers as many as there should be can't be told from what was found, but do no harm.
	for _, of := range []byte{0, 0x7f, 0xff} {
		damaged := map[string][]byte{}
		for key, found := range first.All() {
			if len(found) > 100 {
				damaged[key] = bytes.Repeat([]byte{of}, len(found))
			}
		}
		require.Len(t, damaged, 1)
		p := New(l, Options{Findings: model.NewFindings(damaged)}).Page(context.Background(), "a")
		assert.NotEmpty(t, p.Faults, "%v", p.Inserts)
	}
}

// Mistakes in readings are told at their place in the file.
func TestSurveyFaults(t *testing.T) {
	good := demoReadings(t, "corrie-points.csv")
	for text, want := range map[string]string{
		good + "chord,UpperBall,LowerBall,400\n":                             "points.csv:52:1: a reading's kind is tape, floor, height, along or across, not \"chord\"",
		good + "hight,UpperBall,,400\n":                                      "(did you mean height?)",
		good + "tape,UpperBall,LoverBall,400\n":                              "points.csv:52:16: \"LoverBall\" isn't a point of a corner, so it is a mark; it stands in 1 reading only, and a mark helps from 4 on (did you mean LowerBall?)",
		good + "tape,UpperBall,Right.Lower,400\n":                            "points.csv:52:16: \"Right.Lower\" isn't a point of a corner",
		good + "tape,UpperBall,LowerBall,-400\n":                             "points.csv:52:26: a distance must be above zero",
		good + "tape,UpperBall,LowerBall,\n":                                 "points.csv:52:26: the reading is missing: fill it in, or delete the row",
		good + "tape,UpperBall,LowerBall\n":                                  "points.csv:52:1: the reading is missing: fill it in, or delete the row",
		good + "tape,UpperBall,,400\n":                                       "points.csv:52:16: a point's name is missing",
		strings.Replace(good, " (mm)", "", 1):                                "points.csv:1:14: Reading needs its unit, a length: write the heading Reading (mm)",
		strings.Replace(good, "Kind", "Kin", 1):                              "points.csv:1:1: a survey has no column Kin; its columns are Kind, From, To, Reading (mm), Deviation (mm), Note (did you mean Kind?)",
		"From,Reading (mm)\nUpperBall,400\n":                                 "points.csv:1:1: a survey's readings need the column Kind",
		strings.Replace(good, "across,LowerBall,,742\n", "", 1):              "",
		strings.ReplaceAll(good, "height,WheelCentre,", "height,LowerBall,"): `a.md:13:10: Survey: the readings don't tie WheelCentre down; the reading "height WheelCentre" would`,
	} {
		l := library{"points.csv": text, "a.md": "# A\n" + fence(roughTruck+`found := Survey{Readings: readings("points.csv"), Start: rough}`)}
		p := New(l, Options{}).Page(context.Background(), "a")
		if want == "" {
			assert.Empty(t, p.Faults)
			continue
		}
		require.Len(t, p.Faults, 1, "%s: %v", want, p.Faults)
		assert.Contains(t, p.Faults[0].Error(), want)
	}
}

func FuzzSurveyReadings(f *testing.F) {
	good := demoReadings(f, "corrie-points.csv")
	f.Add(good)
	f.Add(good + "tape,sill,UpperBall,400\ntape,sill,LowerBall,500\ntape,sill,LowerRear,500\ntape,sill,UpperRear,600\n")
	f.Add("Kind,From,To,Reading (mm),Deviation (mm),Note\nheight,UpperBall,,640,0.5,\"twice, with care\"\n")
	f.Add("Kind,From,To,Reading (mm)\ntape,UpperBall,UpperBall,1e300\n")
	f.Fuzz(func(t *testing.T, text string) {
		l := library{"points.csv": text, "a.md": "---\ndraws: 10\n---\n# A\n" + fence(roughTruck+`found := Survey{Readings: readings("points.csv"), Start: rough}`+"\n") + "\n{found.Suspect} {found.Next}\n"}
		p := New(l, Options{}).Page(context.Background(), "a")
		for _, d := range p.Faults {
			if d.Pos.Line < 1 || d.Pos.Col < 1 || d.Message == "" {
				t.Fatalf("a mistake without a place: %+v", d)
			}
		}
	})
}
