package sim

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A saying of the trade (common practice, no source): ten degrees of caster don't move the tyre by five inches. The
// wheel's centre is a hand's breadth from either ball joint, and that times the tangent of ten degrees is an inch.
func TestTenDegreesDontMoveTheTyreFiveInches(t *testing.T) {
	v := testTruck()
	v.Front.Adjust.CamLimit = 0
	at := func(caster float64) float64 {
		set, err := AlignTo{Vehicle: v, Caster: &Sides{caster, caster}, UseUpper: true, LegTravel: 0.06, ShiftTravel: 0.06}.Run()
		require.NoError(t, err)
		require.True(t, set.Reached)
		r, err := Alignment{*set.Vehicle}.Run()
		require.NoError(t, err)
		return r.WheelX
	}
	moved := at(11*deg) - at(1*deg)
	require.Less(t, moved, 0.0, "the upper arm draws the wheel back")
	require.Less(t, -moved, 2*0.0254, "less than two inches, let alone five")
}
