package yours

import (
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"turnplate/sim"
	"turnplate/site/eval"
	"turnplate/site/model"
)

// The demo's survey, dropped in over a truck whose points are out by centimetres, gives the points that its page has to
// the millimetre.
func TestSurvey(t *testing.T) {
	data, err := os.ReadFile("../../notebooks/vehicles/corrie-points.csv")
	require.NoError(t, err)
	readings, lines, faults := eval.SurveyReadings("corrie-points.csv", data)
	require.Empty(t, faults)
	require.Equal(t, 2, lines[0])
	page := corrie(t)
	rough, faults := Parse("truck", "truck.Front.UpperFront = at(100, 450, 650)*mm\ntruck.Front.LowerBall = at(0, 750, 250)*mm\ntruck.Front.TieInner = at(150, 350, 300)*mm\ntruck.Both.Lift = 20*mm\n")
	require.Empty(t, faults)
	start := model.Settled(carryOut(rough, page))
	c, said, err := rough.Survey(start, readings, lines)
	require.NoError(t, err)
	require.Contains(t, said, "is lost")
	require.Equal(t, "0*mm", c.Get("Both.Lift").Expr, "a survey's points stand as they were read")
	truck := model.Settled(page)
	read := 0
	truck.Front.Measured(func(name string, want *sim.Point) {
		if strings.HasPrefix(name, "Shaft") { // the readings are of the other nine
			return
		}
		read++
		got := c.Get("Front." + name)
		require.NotNil(t, got, name)
		require.InDeltaSlice(t, []float64{want.X, want.Y, want.Z}, got.Numbers, 0.55e-3, name)
	})
	require.Equal(t, 9, read)
	require.Nil(t, c.Get("Front.ShaftInner"), "what wasn't read stays the page's")
	require.Nil(t, c.Get("Right.UpperBall"))

	_, _, err = rough.Survey(start, append(readings, sim.SurveyReading{Kind: "tap", From: "UpperBall", Reading: 1}), append(lines, 99))
	require.ErrorContains(t, err, "line 99: ")
	_, _, faults = eval.SurveyReadings("x.csv", []byte("Kind,From,Reading (kg)\ntape,UpperBall,1\n"))
	require.Len(t, faults, 1)
	_, _, faults = eval.SurveyReadings("x.csv", []byte("Kind,From,To,Reading (mm)\ntape,UpperBall,LowerBall,\n"))
	require.Len(t, faults, 1)
}

// A truck that has taken over a printout stands as the printout says.
func TestPrintout(t *testing.T) {
	page := corrie(t)
	lifted, faults := Parse("truck", "truck.Both.Lift = 40*mm\n")
	require.Empty(t, faults)
	now := carryOut(lifted, page)
	c, said, err := lifted.Printout(model.Settled(now), map[string]string{"Caster.Left": "3.1", "Camber.Left": "−0.4°", "Toe.Left": "0,10", "Toe.Right": ""})
	require.NoError(t, err)
	require.Contains(t, said, "likely explanation, not a measurement")
	got, err := sim.Alignment{Vehicle: model.Settled(carryOut(c, page))}.Run()
	require.NoError(t, err)
	const degree = math.Pi / 180
	require.InDelta(t, 3.1*degree, got.Caster, 0.02*degree)
	require.InDelta(t, -0.4*degree, got.Camber, 0.02*degree)
	require.InDelta(t, 0.1*degree, got.Toe, 0.02*degree)
	require.Equal(t, "40*mm", c.Get("Both.Lift").Expr)

	// Sides that differ make a right corner.
	c, _, err = lifted.Printout(model.Settled(now), map[string]string{"Caster.Left": "3.1", "Caster.Right": "3.6"})
	require.NoError(t, err)
	require.NotNil(t, c.Get("Right.UpperBall"))
	got, err = sim.Alignment{Vehicle: model.Settled(carryOut(c, page))}.Run()
	require.NoError(t, err)
	require.InDelta(t, 3.1*degree, got.Caster, 0.02*degree)
	require.InDelta(t, 3.6*degree, got.Right.Caster, 0.02*degree)

	for _, typed := range []map[string]string{nil, {"Caster.Left": "three"}, {"Caster.Left": "2 mm"}, {"Caster.Left": "90"}, {"Camber.Left": strings.Repeat("1", 400)}} {
		after, _, err := lifted.Printout(model.Settled(now), typed)
		require.Error(t, err, typed)
		require.Equal(t, lifted, after)
	}
}
