package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/agree"
	"turnplate/sim/size"
)

// sized is a tyre of a designation.
func sized(t *testing.T, text string) Tyre {
	s, err := size.Parse(text)
	require.NoError(t, err)
	return Tyre{Radius: s.Diameter / 2, RollingRadius: s.RollingRadius, Width: s.Width}
}

// A 35-inch tyre on a speedometer right for 265/70R17: 9.7 % too little (own arithmetic on the nominal
// diameters, ratio 1.10737), which UN R39 doesn't allow unless the speedometer showed more than 10.7 % too
// much.
func TestGearingSpeedometer(t *testing.T) {
	v := loadedTruck()
	v.Tyre = sized(t, "35x12.50R17LT")
	old := sized(t, "265/70R17")
	r, err := Gearing{Vehicle: v, Speed: 100 / 3.6, Old: &old}.Run()
	require.NoError(t, err)
	agree.Absolute(t, -0.097, r.SpeedometerError, 5e-5, "speedometer error")
	agree.Absolute(t, -0.097, r.OdometerError, 5e-5, "odometer error")
	agree.Absolute(t, 0.10737, r.RadiusRise, 5e-6, "radius")
	assert.False(t, r.WithinR39)
	agree.Relative(t, 100/1.10737, r.Shown*3.6, 1e-5, "shown at 100 km/h")
	agree.Relative(t, 4.1*1.10737, r.EquivalentRatio, 1e-5, "equivalent ratio")
	agree.Relative(t, 4.1/1.10737, r.FeelsLikeRatio, 1e-5, "feels like")
	agree.Relative(t, r.OldEngineSpeed/1.10737, r.EngineSpeed, 1e-5, "engine speed")

	for _, c := range []struct {
		optimism float64
		legal    bool
	}{{0.10, false}, {0.12, true}, {0.20, true}} {
		r, err := Gearing{Vehicle: v, Speed: 100 / 3.6, Old: &old, Optimism: c.optimism}.Run()
		require.NoError(t, err)
		assert.Equal(t, c.legal, r.WithinR39, "optimism of %g", c.optimism)
		agree.Relative(t, r.Shown/(100/3.6)-1, r.SpeedometerError, byHand, "error")
	}
	// The band's far end: a smaller tyre makes the speedometer show too much.
	small := loadedTruck()
	small.Tyre = sized(t, "205/60R15")
	over, err := Gearing{Vehicle: small, Speed: 100 / 3.6, Old: &old}.Run()
	require.NoError(t, err)
	assert.Greater(t, over.Shown, over.MostAllowed)
	assert.False(t, over.WithinR39)
	agree.Relative(t, 114, over.MostAllowed*3.6, 1e-12, "most allowed at 100 km/h")
}

func TestGearingGapsAndRefusals(t *testing.T) {
	r, err := Gearing{Vehicle: loadedTruck(), Speed: 25}.Run()
	require.NoError(t, err)
	agree.Relative(t, 25/0.39*4.1*0.85, r.EngineSpeed, byHand, "engine speed")
	agree.Relative(t, 1/0.39, r.WheelTurns, byHand, "wheel turns")
	assert.True(t, math.IsNaN(r.Shown) && math.IsNaN(r.EquivalentRatio) && math.IsNaN(r.SpeedometerError) && !r.WithinR39)
	for _, c := range []struct {
		spoil func(*Gearing)
		says  string
	}{
		{func(m *Gearing) { m.Speed = -1 }, "Speed of -3.6 km/h must not be below zero"},
		{func(m *Gearing) { m.Optimism = -0.1 }, "Optimism"},
		{func(m *Gearing) { m.Vehicle.AxleRatio = 0 }, "AxleRatio isn't given"},
		{func(m *Gearing) { m.Vehicle.GearRatio = -1 }, "GearRatio"},
		{func(m *Gearing) { m.Old = &Tyre{} }, "Old.RollingRadius isn't given"},
	} {
		m := Gearing{Vehicle: loadedTruck(), Speed: 25}
		c.spoil(&m)
		_, err := m.Run()
		if assert.Error(t, err) {
			assert.Contains(t, spaces(err.Error()), c.says)
		}
	}
}
