package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/agree"
	"turnplate/sim/unit"
)

const rim17 = 17 * 0.0254 // m

func TestWheelInertiaComparesTyres(t *testing.T) {
	old := loadedTruck().Tyre
	v := loadedTruck()
	v.Tyre = tallTyre()
	r, err := WheelInertia{Vehicle: v, RimDiameter: rim17, Old: &old}.Run()
	require.NoError(t, err)
	alone, err := WheelInertia{Vehicle: loadedTruck(), RimDiameter: rim17}.Run()
	require.NoError(t, err)
	assert.Equal(t, alone.WheelFigures, r.Old, "the old tyre is the vehicle's own, as it was")
	assert.True(t, math.IsNaN(alone.Old.Spin) && math.IsNaN(alone.SpinOverOld) && math.IsNaN(alone.SwungSpin) && math.IsNaN(alone.RolledSpin) && math.IsNaN(alone.MeasuredOver))
	agree.Relative(t, r.Spin/r.Old.Spin, r.SpinOverOld, 1e-12, "ratio")
	// Mass grows with its distance from the axle: a tyre's spin inertia rises faster than its weight.
	assert.Greater(t, r.SpinOverOld, r.WeightOverOld)
	agree.Relative(t, 48, r.Mass, 1e-12, "mass")
	agree.Relative(t, 48.0/36, r.WeightOverOld, 1e-12, "weight over the old one")
	agree.Relative(t, r.Mass+r.Spin/(0.431*0.431), r.EquivalentMass, 1e-12, "equivalent mass")
	assert.True(t, r.MassFactor > 1.4 && r.MassFactor < 1.9)
	wide, err := WheelInertia{Vehicle: v, RimDiameter: rim17, RimWidth: ptr(0.3)}.Run()
	require.NoError(t, err)
	assert.Greater(t, wide.Steer, r.Steer)
	small, err := WheelInertia{Vehicle: v, RimDiameter: rim17, Old: &old, OldRimDiameter: ptr(0.381)}.Run()
	require.NoError(t, err)
	assert.Less(t, small.Old.Spin, r.Old.Spin)
}

// What a wheel of known inertia would be timed at must be read back.
func TestWheelInertiaReadsTimings(t *testing.T) {
	const spin, steer, g = 5.9, 3.4, unit.StandardGravity
	v := loadedTruck()
	v.Tyre = tallTyre()
	mass, radius := v.Tyre.Mass+v.Tyre.RimMass, v.Tyre.Radius
	length, spacing := 1.8, 0.40
	period := func(inertia float64) float64 {
		return 2 * math.Pi * math.Sqrt(inertia*length/(mass*g*spacing*spacing/4))
	}
	slope, distance, resistance := 4*deg, 6.0, 0.012
	accelerates := g * (math.Sin(slope) - resistance*math.Cos(slope)) / (1 + spin/(mass*radius*radius))
	r, err := WheelInertia{
		Vehicle: v, RimDiameter: rim17, StringLength: &length, StringSpacing: &spacing,
		FlatPeriod: ptr(period(spin)), UprightPeriod: ptr(period(steer)),
		RollTime: ptr(math.Sqrt(2 * distance / accelerates)), RollDistance: &distance, RollSlope: &slope, RollResistance: resistance,
	}.Run()
	require.NoError(t, err)
	agree.Relative(t, spin, r.SwungSpin, 1e-12, "swung flat")
	agree.Relative(t, steer, r.SwungSteer, 1e-12, "swung upright")
	agree.Relative(t, spin, r.RolledSpin, 1e-9, "rolled")
	agree.Relative(t, spin/r.Spin, r.MeasuredOver, 1e-12, "over the estimate")
}

func TestWheelInertiaRefusals(t *testing.T) {
	for _, c := range []struct {
		spoil func(*WheelInertia)
		says  string
	}{
		{func(m *WheelInertia) { m.RimDiameter = 0 }, "RimDiameter of 0 in must be above zero"},
		{func(m *WheelInertia) { m.RimDiameter = -rim17 }, "RimDiameter of -17 in must be above zero"},
		{func(m *WheelInertia) { m.RimDiameter = 0.8 }, "no room for a side wall"},
		{func(m *WheelInertia) { m.RimWidth = ptr(-0.2) }, "RimWidth"},
		{func(m *WheelInertia) { m.Old = &Tyre{} }, "Old.Radius isn't given"},
		{func(m *WheelInertia) { m.FlatPeriod = ptr(2) }, "StringLength or StringSpacing isn't given"},
		{func(m *WheelInertia) { m.FlatPeriod, m.StringLength, m.StringSpacing = ptr(-2), ptr(2), ptr(0.4) }, "FlatPeriod of -2 s"},
		{func(m *WheelInertia) { m.FlatPeriod, m.StringLength, m.StringSpacing = ptr(30), ptr(2), ptr(0.4) }, "FlatPeriod is too long"},
		{func(m *WheelInertia) { m.RollTime = ptr(3) }, "one of RollTime, RollDistance and RollSlope isn't given"},
		{func(m *WheelInertia) { m.RollTime, m.RollDistance, m.RollSlope = ptr(1), ptr(5), ptr(0.05) }, "RollTime is too short"},
		{func(m *WheelInertia) { m.RollTime, m.RollDistance, m.RollSlope = ptr(30), ptr(5), ptr(0.05) }, "RollTime is too long"},
	} {
		m := WheelInertia{Vehicle: loadedTruck(), RimDiameter: rim17}
		c.spoil(&m)
		_, err := m.Run()
		if assert.Error(t, err) {
			assert.Contains(t, spaces(err.Error()), c.says)
		}
	}
}
