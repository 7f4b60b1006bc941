package eval

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim"
	"turnplate/site/figure"
)

const threaded = `
car := truck
car.Spring.BumpTravel = 90*mm
car.Spring.DroopTravel = 80*mm
`

// The page says what AlignTo has set, as a caliper, turns and spacers, and what Travel says of the rubber.
func TestFittingSaysWhatIsSet(t *testing.T) {
	ev := New(library{"a.md": "# A\n" + fence(truck+threaded+`
set := AlignTo{Vehicle: car, Caster: 4*deg, Camber: 0*deg, Toe: 0.05*deg, UseUpper: yes, LegTravel: 20*mm, ShiftTravel: 12*mm}
Fitting{Set: set, Bench: Bench{FrontLeg: 310*mm, RearLeg: 300*mm, LegPitch: 1.5*mm/turn, Spacer: 3*mm}, Notes: []string{"Mind {set.CamUse in percent}"}}
`)}, Options{})
	p := ev.Page(context.Background(), "a")
	require.Empty(t, p.Faults, "%v", p.Faults)
	f := p.Blocks[0].Figures[0].(*figure.Fitting)
	_, names := ev.evaluate(context.Background(), need{path: "a"})
	car := vehicleOf(t, names["car"])
	target := func(deg float64) *sim.Sides {
		return &sim.Sides{Left: deg * math.Pi / 180, Right: deg * math.Pi / 180}
	}
	set, err := sim.AlignTo{Vehicle: car, Caster: target(4), Camber: target(0), Toe: target(0.05), CamberTolerance: 0.25 * math.Pi / 180,
		UseUpper: true, LegTravel: 0.020, ShiftTravel: 0.012}.Run()
	require.NoError(t, err)
	row := func(start string) figure.FittingRow {
		for _, r := range append(f.Rows, f.Checks...) {
			if strings.HasPrefix(r.What, start) {
				return r
			}
		}
		require.Fail(t, start)
		return figure.FittingRow{}
	}
	minus := func(format string, x float64) string { return strings.ReplaceAll(fmt.Sprintf(format, x), "-", "−") }
	assert.Equal(t, minus("%.1f\u00a0mm", 310+set.UpperFrontLeg*1e3), row("Front leg, caliper").Left.Text.Metric)
	assert.Equal(t, minus("%.1f", set.UpperRearLeg*1e3/1.5), row("Rear leg, turns").Right.Text.Metric)
	assert.Equal(t, minus("%.0f", math.Round(set.UpperShift/0.003)), row("Spacers").Left.Text.Metric)

	droop, err := sim.Travel{Vehicle: *set.Vehicle, Bump: -0.080}.Run()
	require.NoError(t, err)
	bump, err := sim.Travel{Vehicle: *set.Vehicle, Bump: 0.090}.Run()
	require.NoError(t, err)
	deg := func(x float64) string { return minus("%.0f°", x*180/math.Pi) }
	assert.Equal(t, deg(droop.UpperArmTurn)+" to "+deg(bump.UpperArmTurn), row("Twist of the upper arm's rubber, tightened at rest").Left.Text.Metric)
	assert.Equal(t, deg(-droop.LowerArmTurn)+" and "+deg(bump.LowerArmTurn-droop.LowerArmTurn), row("Twist of the lower arm's rubber, tightened hanging").Left.Text.Metric)
	aligned, err := sim.Alignment{Vehicle: *set.Vehicle}.Run()
	require.NoError(t, err)
	assert.Equal(t, minus("%.1f°", aligned.UpperEyeTilt*180/math.Pi), row("Eyes lean").Left.Text.Metric)
	assert.Equal(t, "4.00°", f.Angles[0].Target)
	assert.True(t, p.Cautions)
	assert.Contains(t, string(figure.CSV(f, figure.US)), "\"Front leg, caliper reading\",12.")
}

func TestFittingFaults(t *testing.T) {
	const reach = "set := AlignTo{Vehicle: car, Caster: 4*deg, Camber: 0*deg, UseUpper: yes, LegTravel: 20*mm, ShiftTravel: 12*mm}\n"
	for _, test := range []struct{ text, want string }{
		{`Fitting{Set: car}`, "Set takes an AlignTo result"},
		{`set := AlignTo{Vehicle: car, Caster: 40*deg, UseUpper: yes, LegTravel: 5*mm}` + "\n" + `Fitting{Set: set}`, "nothing is fitted for what can't be set, and the target isn't reached: both wheels are"},
		{`set := AlignTo{Vehicle: car}` + "\n" + `Fitting{Set: set}`, "there is nothing to fit"},
		{reach + `Fitting{Set: set, Bench: Bench{LegPitch: 2*deg}}`, "LegPitch is a length; this is an angle"},
		{reach + `Fitting{Set: set, Bench: Bench{Spacer: -2*mm}}`, "Spacer is a length above zero"},
		{reach + `Fitting{Set: set, Bench: 3*mm}`, "Bench{FrontLeg"},
		{"c := span(3*deg, 4*deg, 3)\nset := AlignTo{Vehicle: car, Caster: c, Camber: 0*deg, UseUpper: yes, LegTravel: 20*mm, ShiftTravel: 12*mm}\nFitting{Set: set}", "room for one setting"},
	} {
		p := New(library{"a.md": "# A\n" + fence(truck+threaded+test.text+"\n")}, Options{}).Page(context.Background(), "a")
		require.NotEmpty(t, p.Faults, test.text)
		assert.Contains(t, p.Faults[0].Message, test.want, test.text)
	}
}

// Without travel the rubber's twist isn't told; without a bench the changes alone are; past the joint's limit it says so.
func TestFittingWithWhatIsKnown(t *testing.T) {
	const set = "set := AlignTo{Vehicle: car, Caster: 4*deg, Camber: 0*deg, UseUpper: yes, LegTravel: 20*mm, ShiftTravel: 12*mm}\nFitting{Set: set}\n"
	p := good(t, "# A\n"+fence(truck+"car := truck\n"+set))
	f := p.Blocks[0].Figures[0].(*figure.Fitting)
	assert.Equal(t, "Front leg, longer (+) or shorter (−) than measured", f.Rows[0].What)
	assert.Equal(t, "–", f.Checks[0].Left.Text.Metric)
	p = good(t, "# A\n"+fence(truck+threaded+"car.Front.JointLimit = 16*deg\n"+set))
	f = p.Blocks[0].Figures[0].(*figure.Fitting)
	joint := f.Checks[len(f.Checks)-2]
	assert.Contains(t, joint.What, "Upper ball joint")
	assert.Contains(t, joint.Says, "limit of 16°")
}
