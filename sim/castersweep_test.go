package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"turnplate/sim/agree"
)

// leaned is the test truck without camber and toe, its steering axis leaned as given.
func leaned(caster, inclination float64) Vehicle {
	v := testTruck()
	v.Steering.RackLimit = 0
	c := &v.Front
	c.Camber, c.Toe = 0, 0
	along := Point{X: -math.Tan(caster), Y: -math.Tan(inclination), Z: 1}
	ground := Point{X: 0.03, Y: 0.78}
	c.LowerBall, c.UpperBall = ground.Add(along.Scale(0.245)), ground.Add(along.Scale(0.62))
	return v
}

// The turnplate's rows of SOURCES §2 (computed there from Rodrigues' rotation): camber at ±20° of heading, the
// caster read with the exact factor and with the shop's 1.5.
func TestCasterSweepOracle(t *testing.T) {
	const camberPrinted, casterPrinted = 1e-5 * deg, 1e-4 * deg
	for _, row := range []struct{ caster, inclination, left, right, gauge, shop float64 }{
		{5, 10, 2.33081, -1.10317, 5.0201, 5.1510},
		{4, 0, 1.37005, -1.37005, 4.0057, 4.1101},
	} {
		r, err := CasterSweep{leaned(row.caster*deg, row.inclination*deg), 20 * deg}.Run()
		require.NoError(t, err)
		agree.Absolute(t, row.caster*deg, r.Caster, roundingAngle, "true caster")
		agree.Absolute(t, row.left*deg, r.CamberTurnedLeft, camberPrinted, "camber turned left")
		agree.Absolute(t, row.right*deg, r.CamberTurnedRight, camberPrinted, "camber turned right")
		agree.Absolute(t, row.gauge*deg, r.GaugeCaster, casterPrinted, "by the exact factor")
		agree.Absolute(t, row.shop*deg, r.ShopCaster, casterPrinted, "by the shop's factor")
		// The right wheel's camber is what the left one's is, steered the other way.
		agree.Absolute(t, r.CamberTurnedLeft, r.Right.CamberTurnedRight, 1e-11, "right wheel turned right")
		agree.Absolute(t, r.GaugeCaster, r.Right.GaugeCaster, 1e-11, "right gauge")
		agree.Absolute(t, -r.RackTurnedLeft, r.Right.RackTurnedRight, 1e-11, "rack")
	}
}

// Near zero camber the gauge with the exact factor is within 0.5 % of the true caster up to 5° with 12° of inclination,
// and within 1 % up to 8° with 14°; the bounds were computed by Rodrigues' rotation in another script.
func TestGaugeIsNearTheTruth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		most, steepest, within := 5*deg, 12*deg, 0.005
		if rapid.Bool().Draw(t, "steep") {
			most, steepest, within = 8*deg, 14*deg, 0.01
		}
		caster := anywhere(t, "caster", 2*deg, most)
		r := reachable(t, CasterSweep{leaned(caster, anywhere(t, "inclination", 0, steepest)), 20 * deg})
		agree.Absolute(t, 1, r.GaugeCaster/caster, within, "share of the true caster")
		agree.Absolute(t, 1.5*2*math.Sin(20*deg), r.ShopCaster/r.GaugeCaster, 1e-12, "the two factors")
		agree.Absolute(t, r.GaugeCaster-r.Caster, r.GaugeError, roundingAngle, "error")
	})
}

// With camber it is further off: 1.36 % at camber +1°, caster 8°, inclination 14° (SOURCES §2, computed).
func TestGaugeErrorGrowsWithCamber(t *testing.T) {
	v := leaned(8*deg, 14*deg)
	v.Front.Camber = 1 * deg
	r, err := CasterSweep{v, 20 * deg}.Run()
	require.NoError(t, err)
	agree.Absolute(t, 0.0136, math.Abs(r.GaugeError/r.Caster), 5e-5, "error")
}

func TestCasterSweepLimits(t *testing.T) {
	r, err := CasterSweep{testTruck(), 10 * deg}.Run()
	require.NoError(t, err)
	assert.True(t, math.IsNaN(r.ShopCaster), "the shop's factor belongs to 20°")
	agree.Absolute(t, 1, r.GaugeCaster/r.Caster, 0.005, "10° serves as well")
	for _, sweep := range []float64{0, -1 * deg, 46 * deg, math.NaN()} {
		_, err := CasterSweep{testTruck(), sweep}.Run()
		assert.ErrorContains(t, err, "Sweep ")
	}
	v := testTruck()
	v.Steering.RackLimit = 0.03
	_, err = CasterSweep{v, 20 * deg}.Run()
	assert.ErrorContains(t, err, "within Steering.RackLimit of 30 mm")
}
