package sim

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/agree"
)

func weighed(wheelbase, wheel, radius float64) Vehicle {
	return Vehicle{Wheelbase: wheelbase, Tyre: Tyre{Mass: wheel - 12, RimMass: 12, LoadedRadius: radius}}
}

// What four trucks would weigh, level and with the rear raised, by numpy from points that are turned and balanced one by one
// (testdata/reference/weighing.py): the masses and heights that they were made of come back.
func TestWeighingFindsWhatWasWeighed(t *testing.T) {
	text, err := os.ReadFile("../testdata/reference/weighing.json")
	require.NoError(t, err)
	var rows []struct{ Wheelbase, Mass, FrontShare, Height, Wheel, Radius, Rise, Front, Rear, Raised float64 }
	require.NoError(t, json.Unmarshal(text, &rows))
	require.Len(t, rows, 4)
	const printed = 1e-9
	for _, row := range rows {
		left := 0.49 * (row.Front + row.Rear)
		m := Weighing{Vehicle: weighed(row.Wheelbase, row.Wheel, row.Radius), Front: row.Front, Rear: row.Rear, Left: &left, FrontRaised: &row.Raised, Rise: &row.Rise}
		r, err := m.Run()
		require.NoError(t, err)
		agree.Absolute(t, row.Mass, r.Mass, printed, "mass")
		agree.Absolute(t, row.FrontShare, r.FrontShare, printed, "front share")
		agree.Absolute(t, 0.49, r.LeftShare, printed, "left share")
		agree.Absolute(t, row.Height, r.CentreHeight, printed, "height")
		agree.Absolute(t, row.Wheelbase*row.Rear/(row.Front+row.Rear), r.CentreBehind, printed, "behind the front axle")
		more := row.Raised + 1
		m.FrontRaised = &more
		misread, err := m.Run()
		require.NoError(t, err)
		agree.Absolute(t, misread.CentreHeight-r.CentreHeight, r.HeightPerKilogram, printed, "one kilogram misread")
	}
}

// The other way round: what a vehicle's own weight puts on the axles gives its fields back.
func TestWeighingGivesTheFieldsBack(t *testing.T) {
	v := testTruck()
	w := newWeight(&v)
	r, err := Weighing{Vehicle: v, Front: w.frontMass, Rear: w.mass - w.frontMass}.Run()
	require.NoError(t, err)
	agree.Absolute(t, v.Mass, r.Mass, 1e-9, "mass")
	agree.Absolute(t, v.FrontShare, r.FrontShare, 1e-12, "share")
	assert.True(t, math.IsNaN(r.CentreHeight), "nothing was raised")
	assert.True(t, math.IsNaN(r.LeftShare))
}

func TestWeighingRefusesWhatCannotBe(t *testing.T) {
	half, three := 0.5, 3.0
	less, most, left := 200.0, 3000.0, 2200.0
	for _, c := range []struct {
		m    Weighing
		says string
	}{
		{Weighing{Front: 50, Rear: 900}, "more than two tyres"},
		{Weighing{Front: 1100, Rear: 900, Left: &left}, "Left must be less"},
		{Weighing{Front: 1100, Rear: 900, FrontRaised: &less, Rise: &half}, "same scale"},
		{Weighing{Front: 1100, Rear: 900, FrontRaised: &most, Rise: &half}, "one axle"},
		{Weighing{Front: 1100, Rear: 900, FrontRaised: &left, Rise: &three}, "less than Vehicle.Wheelbase"},
		{Weighing{Front: 1100, Rear: 900, Rise: &half}, "FrontRaised isn't given"},
		{Weighing{Front: 1100, Rear: 900, FrontRaised: &left}, "Rise isn't given"},
	} {
		c.m.Vehicle = weighed(2.85, 30, 0.4)
		_, err := c.m.Run()
		assert.ErrorContains(t, err, c.says)
	}
}
