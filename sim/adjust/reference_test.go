package adjust

import (
	"encoding/json"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/geom"
	"turnplate/sim/wishbone"
)

// referenceRow is one row of alignto.json, made by alignto.py with scipy.
type referenceRow struct {
	Points    map[string][3]float64
	Camber    float64
	Toe       float64
	Lift      float64
	Pitch     float64
	Cam       float64
	Upper     bool
	Target    struct{ Camber, Caster, Toe float64 }
	Reached   bool
	Settings  [setters]float64
	TieRod    float64 `json:"tie_rod"`
	CamberGot float64 `json:"camber_got"`
	CasterGot float64 `json:"caster_got"`
}

func (r *referenceRow) corner(t *testing.T) Corner {
	at := func(name string) geom.Point {
		p, ok := r.Points[name]
		require.True(t, ok, name)
		return geom.Point{X: p[0], Y: p[1], Z: p[2]}
	}
	// Camber leans the wheel about its own heading and toe turns the heading in: about x, then about z.
	spin := geom.Point{Y: 1}
	spin = turned(spin, geom.Point{X: 1}, -r.Camber)
	spin = turned(spin, geom.Point{Z: 1}, -r.Toe)
	m, err := wishbone.Measure(wishbone.Hardpoints{
		UpperFront: at("UpperFront"), UpperRear: at("UpperRear"), UpperBall: at("UpperBall"),
		LowerFront: at("LowerFront"), LowerRear: at("LowerRear"), LowerBall: at("LowerBall"),
		TieInner: at("TieInner"), TieOuter: at("TieOuter"), WheelCentre: at("WheelCentre"), Spin: spin,
	})
	require.NoError(t, err)
	return Corner{Measured: &m, Height: at("WheelCentre").Z - r.Lift, Ground: wishbone.Pitched(r.Pitch)}
}

// Solve agrees with scipy on random corners with the rack ahead of the axle and behind: settings for targets
// within reach, with cams alone and with the upper arm too, and the best that can be for targets out of
// reach.
func TestAgainstScipy(t *testing.T) {
	text, err := os.ReadFile("../../testdata/reference/alignto.json")
	require.NoError(t, err)
	var rows []referenceRow
	require.NoError(t, json.Unmarshal(text, &rows))
	require.Greater(t, len(rows), 30)
	const (
		// Two equations for two cams: scipy's root finder leaves 1e-10 m.
		settingClose = 1e-8
		// SLSQP's own limits: along a flat minimum a setting is good to the square root of its tolerance.
		minimumClose = 2e-6
		angleNear    = 2e-8
	)
	kinds := map[[2]bool]int{}
	for i, r := range rows {
		kinds[[2]bool{r.Upper, r.Reached}]++
		c := r.corner(t)
		within := cams(r.Cam)
		if r.Upper {
			within = everything(r.Cam, 0.03)
		}
		var s State
		to := Target{Angles: Angles(r.Target), CamberTolerance: 0.25 * deg}
		out, err := c.Solve(Settings{}, &within, to, &s)
		require.NoError(t, err)
		require.Equal(t, r.Reached, out.Reached, "row %d", i)
		close, near := settingClose, 1e-9
		if !r.Reached || r.Upper {
			close, near = minimumClose, angleNear
		}
		assert.InDelta(t, r.CamberGot, s.Camber, near, "row %d", i)
		assert.InDelta(t, r.CasterGot, s.Caster, near, "row %d", i)
		for k := range r.Settings {
			assert.InDelta(t, r.Settings[k], s.Set[k], close, "row %d, adjuster %d", i, k)
		}
		assert.InDelta(t, r.TieRod, s.Set[TieRod], close, "row %d", i)

		// At scipy's own setting the corner has scipy's own angles.
		x := Settings{}
		copy(x[:], r.Settings[:])
		x[TieRod] = r.TieRod
		require.NoError(t, c.At(x, &s))
		assert.InDelta(t, r.CamberGot, s.Camber, 1e-9)
		assert.InDelta(t, r.CasterGot, s.Caster, 1e-9)
		assert.InDelta(t, r.Target.Toe, s.Toe, 1e-9)
	}
	assert.GreaterOrEqual(t, kinds[[2]bool{false, true}], 8)
	assert.GreaterOrEqual(t, kinds[[2]bool{false, false}], 8)
	assert.GreaterOrEqual(t, kinds[[2]bool{true, true}], 8)
}
