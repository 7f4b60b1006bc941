package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/agree"
)

func kickBack(t *testing.T, m KickBack) KickBackResult {
	t.Helper()
	out, err := m.Run()
	require.NoError(t, err)
	return out
}

// The bump couple is I·(V/r)·(camber rate) about the vertical, carried to the axis: model Travel gives the camber rate.
func TestKickBackBump(t *testing.T) {
	v := rollingTruck()
	out := kickBack(t, KickBack{Vehicle: v, Speed: 25, BumpSpeed: 1.2})
	const step = 1e-5
	camber := func(bump float64) float64 {
		r, err := Travel{Vehicle: v, Bump: bump}.Run()
		require.NoError(t, err)
		return r.Camber
	}
	per := (camber(step) - camber(-step)) / (2 * step)
	agree.Relative(t, per, out.CamberPerBump, 1e-4, "camber per bump")
	agree.Relative(t, 1.2*per, out.CamberRate, 1e-4, "camber rate")
	agree.Relative(t, 2.95*25/0.39, out.SpinMomentum, 1e-12, "I·V/r")
	a, err := Alignment{Vehicle: v}.Run()
	require.NoError(t, err)
	up := 1 / math.Sqrt(1+math.Pow(math.Tan(a.Caster), 2)+math.Pow(math.Tan(a.SteeringAxisInclination), 2))
	// The wheel that leans inward in bump (camber falling) is turned to the right.
	agree.Relative(t, out.SpinMomentum*out.CamberRate*up, out.Bump.AxisTorque, 0.02, "couple about the axis")

	agree.Relative(t, 2, kickBack(t, KickBack{Vehicle: v, Speed: 25, BumpSpeed: 2.4}).Bump.AxisTorque/out.Bump.AxisTorque, 1e-9, "bump speed")
	agree.Relative(t, 2, kickBack(t, KickBack{Vehicle: v, Speed: 50, BumpSpeed: 1.2}).Bump.AxisTorque/out.Bump.AxisTorque, 1e-9, "road speed")
	v.Tyre.Inertia += 2.95
	agree.Relative(t, 2, kickBack(t, KickBack{Vehicle: v, Speed: 25, BumpSpeed: 1.2}).Bump.AxisTorque/out.Bump.AxisTorque, 1e-9, "spin inertia: a heavier tyre kicks harder")
}

func TestKickBackBrakeAndKerb(t *testing.T) {
	v := plainTruck()
	v.Steering.ReverseEfficiency = 0.8
	a, err := Alignment{Vehicle: v}.Run()
	require.NoError(t, err)
	up := 1 / math.Sqrt(1+math.Pow(math.Tan(a.Caster), 2)+math.Pow(math.Tan(a.SteeringAxisInclination), 2))
	out := kickBack(t, KickBack{Vehicle: v, Speed: 20, BrakeForceDifference: 1500, KerbForce: 3000})
	// A brake force outboard of the axis turns the left wheel outward, to the left; level forces have levers measured level.
	agree.Relative(t, 1500*a.ScrubRadius*up, out.Brake.AxisTorque, 1e-9, "brake force through the scrub radius")
	agree.Relative(t, 3000*a.SpindleLength*up, out.Kerb.AxisTorque, 1e-9, "kerb through the spindle length")
	assert.Zero(t, out.Bump.AxisTorque, "no bump")

	park, err := ParkingEffort{Vehicle: v}.Run()
	require.NoError(t, err)
	handwheel := out.Kerb.AxisTorque * park.AxisRate * v.Steering.RackPerTurn / (2 * math.Pi) * 0.8
	agree.Relative(t, handwheel, out.Kerb.HandwheelTorque, 1e-9, "at the handwheel")
	agree.Relative(t, handwheel/0.19, out.Kerb.RimForce, 1e-9, "at the rim")

	// A wheel further out: longer levers, and more of everything.
	wide := v
	wide.Tyre.OffsetChange = -0.03
	more := kickBack(t, KickBack{Vehicle: wide, Speed: 20, BrakeForceDifference: 1500, KerbForce: 3000})
	agree.Relative(t, 3000*0.03*up, more.Kerb.AxisTorque-out.Kerb.AxisTorque, 0.01, "30 mm more lever")
	assert.Greater(t, more.Brake.AxisTorque, out.Brake.AxisTorque)
	assert.Greater(t, more.SwivelInertia, out.SwivelInertia)
	assert.Greater(t, more.DampingNeeded, out.DampingNeeded)
}

func TestKickBackShimmyAndImbalance(t *testing.T) {
	v := rollingTruck()
	v.Tyre.RollingRadius = 0.38
	out := kickBack(t, KickBack{Vehicle: v, Speed: 110 / 3.6})
	agree.Relative(t, 12.8, out.WheelFrequency, 0.003, "110 km/h on 0.38 m: 12.8 turns a second (computed)")
	assert.True(t, (out.DampingAtWheel < out.DampingNeeded) == (out.ShimmyDampingRatio < 0), "the bound and the eigenvalue agree")
	agree.Relative(t, 2*math.Pi*out.ShimmyFrequency*0.38, out.ImbalanceSpeed, 1e-12, "speed of one turn a swing")
	v.Steering.Damping = 1.001 * v.Steering.Damping * out.DampingNeeded / out.DampingAtWheel
	at := kickBack(t, KickBack{Vehicle: v, Speed: 110 / 3.6})
	assert.InDelta(t, 0, at.ShimmyDampingRatio, 1e-3, "damping as needed just damps")
	assert.Positive(t, at.ShimmyDampingRatio)

	heavy := v
	heavy.Tyre.SteerInertia *= 1.5
	assert.Greater(t, kickBack(t, KickBack{Vehicle: heavy, Speed: 20}).DampingNeeded, kickBack(t, KickBack{Vehicle: v, Speed: 20}).DampingNeeded)
	assert.Less(t, kickBack(t, KickBack{Vehicle: heavy, Speed: 20}).ShimmyFrequency, kickBack(t, KickBack{Vehicle: v, Speed: 20}).ShimmyFrequency)
}

func TestKickBackRefusals(t *testing.T) {
	v := rollingTruck()
	for name, m := range map[string]KickBack{
		"standing":  {Vehicle: v},
		"backwards": {Vehicle: v, Speed: -1},
		"no number": {Vehicle: v, Speed: 10, KerbForce: math.NaN()},
	} {
		_, err := m.Run()
		assert.Error(t, err, name)
	}
	v.Steering.HandwheelRadius = 0
	_, err := KickBack{Vehicle: v, Speed: 10}.Run()
	assert.ErrorIs(t, err, NotGiven{"Steering.HandwheelRadius"})
}
