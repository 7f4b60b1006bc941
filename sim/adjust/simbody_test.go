package adjust

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/geom"
	"turnplate/sim/wishbone"
)

// Every way of setting a corner, with travel and steering, agrees with a multibody library in which the arms are
// bodies (corner_simbody.cpp), for racks ahead of the axle and behind.
func TestSettingsAgainstSimbody(t *testing.T) {
	const promised = 1e-9 // m: 1e-6 mm; Simbody closes its loops to 1e-13 m
	file, err := os.Open("../../testdata/reference/corner_simbody.csv")
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 121)
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	behind := 0
	for _, row := range rows[1:] {
		number := func(name string) float64 {
			x, err := strconv.ParseFloat(row[column[name]], 64)
			require.NoError(t, err)
			return x
		}
		point := func(name string) geom.Point {
			return geom.Point{X: number(name + "_x"), Y: number(name + "_y"), Z: number(name + "_z")}
		}
		h := wishbone.Hardpoints{
			UpperFront: point("upper_front"), UpperRear: point("upper_rear"), UpperBall: point("upper_ball"),
			LowerFront: point("lower_front"), LowerRear: point("lower_rear"), LowerBall: point("lower_ball"),
			TieInner: point("tie_inner"), TieOuter: point("tie_outer"), WheelCentre: point("wheel_centre"), Spin: geom.Point{Y: 1},
		}
		if h.TieInner.X < 0 {
			behind++
		}
		set := Settings{number("cam_front"), number("cam_rear"), number("shift"), number("front_leg"), number("rear_leg"), number("tie_rod")}
		link, err := wishbone.New(h, set.Wishbone())
		require.NoError(t, err)
		p, err := link.AtHeight(h.WheelCentre.Z+number("bump"), number("rack"))
		require.NoError(t, err)
		for name, at := range map[string]geom.Point{"at_lower": p.Lower, "at_upper": p.Upper, "at_tie": p.TieOuter, "at_centre": p.Centre} {
			assert.InDelta(t, 0, point(name).Sub(at).Norm(), promised, name)
		}
	}
	assert.Equal(t, 60, behind)
}
