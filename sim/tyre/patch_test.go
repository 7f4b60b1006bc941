package tyre

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"turnplate/sim/agree"
)

func TestPatchLengthFromDeflection(t *testing.T) {
	chord := func(radius, deflection float64) float64 {
		return 2 * math.Sqrt(2*radius*deflection-deflection*deflection)
	}
	for _, share := range []float64{0.01, 0.03, 0.05, 0.08} {
		length := PatchLengthFromDeflection(0.4, 0.4*share)
		assert.InDelta(t, 0.6, length/chord(0.4, 0.4*share), 0.1, "share of the chord at %g", share)
	}
	agree.Relative(t, 2, PatchLengthFromDeflection(0.4, 0.004)/PatchLengthFromDeflection(0.2, 0.002), exactForm, "like tyres, like patches")
	assert.Zero(t, PatchLengthFromDeflection(0.4, 0))
	for _, c := range [][2]float64{{0, 0.01}, {0.4, -0.01}, {0.4, 0.11}, {math.NaN(), 0.01}} {
		assert.True(t, math.IsNaN(PatchLengthFromDeflection(c[0], c[1])))
	}
}

// verticalStiffness estimates a radial tyre's vertical stiffness, N/m, from what is moulded on its side and its
// gauge pressure p (Pa), with section width w (m), aspect ratio A (0.70 for a 70 series) and free radius R (m):
//
//	Kz = g·(0.00028·p·√((1.03 − 0.4·A)·w·2R) + 3.45)   with p in kPa, w and R in mm, Kz in N/mm
//
// (Rhyne, "Development of a vertical stiffness relationship for belted radial tires", Tire Science and
// Technology 33, 2005; from memory, to be confirmed there.) It gives 8 % more than the 209.65 N/mm of the
// 205/60R15 reference tyre at 220 kPa. Range: car and light-truck tyres, 100 to 500 kPa, aspect 0.3 to 0.9; NaN
// outside. Load over this stiffness is the deflection PatchLengthFromDeflection asks for.
func verticalStiffness(pressure, width, aspect, radius float64) float64 {
	if !(pressure >= 100e3 && pressure <= 500e3) || !(width > 0) || !(radius > 0) || !(aspect >= 0.3 && aspect <= 0.9) {
		return math.NaN()
	}
	const kilogramForce = 9.80665 // N
	root := math.Sqrt((1.03 - 0.4*aspect) * (width * 1e3) * (2 * radius * 1e3))
	return kilogramForce * (0.00028*pressure/1e3*root + 3.45) * 1e3
}

// Against the 205/60R15 reference tyre (vertical stiffness 209 651 N/m seen in a sample data file, R0 0.3135 m).
func TestVerticalStiffness(t *testing.T) {
	const estimateSpread = 0.10 // one tyre isn't the formula's fit
	agree.Relative(t, 209651, verticalStiffness(220e3, 0.205, 0.60, 0.3135), estimateSpread, "205/60R15")
	assert.Greater(t, verticalStiffness(300e3, 0.285, 0.7, 0.415), verticalStiffness(200e3, 0.285, 0.7, 0.415), "stiffer with pressure")
	for _, c := range [][4]float64{{50e3, 0.2, 0.6, 0.3}, {200e3, 0, 0.6, 0.3}, {200e3, 0.2, 1.2, 0.3}, {200e3, 0.2, 0.6, -1}} {
		assert.True(t, math.IsNaN(verticalStiffness(c[0], c[1], c[2], c[3])))
	}
}

// Load, pressure and deflection must tell one story: the length by deflection lies near the membrane's, for a
// car tyre and a tall 4x4 tyre at ordinary loads and pressures.
func TestPatchLengthsAgree(t *testing.T) {
	for _, c := range []struct{ load, pressure, width, aspect, radius float64 }{
		{4000, 220e3, 0.205, 0.60, 0.3135},
		{6000, 240e3, 0.285, 0.70, 0.4154},
		{6000, 180e3, 0.285, 0.70, 0.4154},
	} {
		const (
			treadShare = 0.75 // tread in contact over section width: common practice, no source
			twoLaws    = 0.30 // how far two rough laws may part
		)
		byDeflection := PatchLengthFromDeflection(c.radius, c.load/verticalStiffness(c.pressure, c.width, c.aspect, c.radius))
		byPressure := PatchLengthFromPressure(c.load, c.pressure, treadShare*c.width)
		t.Logf("%g N at %g kPa: %.0f mm by deflection, %.0f mm by pressure", c.load, c.pressure/1e3, byDeflection*1e3, byPressure*1e3)
		assert.InDelta(t, 1, byDeflection/byPressure, twoLaws)
	}
	assert.True(t, math.IsNaN(PatchLengthFromPressure(-1, 2e5, 0.2)))
	assert.True(t, math.IsNaN(PatchLengthFromPressure(1, 0, 0.2)))
	assert.True(t, math.IsNaN(PatchLengthFromPressure(1, 2e5, 0)))
}
