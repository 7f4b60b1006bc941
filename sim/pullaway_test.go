package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/agree"
	"turnplate/sim/unit"
)

func TestPullAwayByHand(t *testing.T) {
	v := loadedTruck()
	const torque, inertia, gear, slope = 120.0, 0.4, 3.2, 0.1
	r, err := PullAway{Vehicle: v, GearRatio: ptr(gear), EngineTorque: ptr(torque), EngineInertia: inertia, Efficiency: 0.9, Slope: slope}.Run()
	require.NoError(t, err)
	mass, overall := 1990.0+144, 4.1*gear
	effective := mass + (4*3.45+inertia*overall*overall)/(0.39*0.39)
	agree.Relative(t, effective, r.EffectiveMass, byHand, "effective mass")
	agree.Relative(t, effective/mass, r.MassFactor, byHand, "mass factor")
	agree.Relative(t, torque*overall*0.9, r.WheelTorque, byHand, "wheel torque")
	agree.Relative(t, torque*overall*0.9/0.39, r.Pull, byHand, "pull")
	agree.Relative(t, (torque*overall*0.9/0.39-mass*unit.StandardGravity*math.Sin(slope))/effective, r.Acceleration, byHand, "acceleration")
	agree.Relative(t, math.Asin(torque*overall*0.9/0.39/(mass*unit.StandardGravity)), r.Steepest, byHand, "steepest slope")
	agree.Relative(t, 1.04+0.0025*overall*overall, r.TypicalMassFactor, byHand, "Gillespie's rule")
	assert.False(t, r.GripLimited)
	assert.True(t, math.IsNaN(r.Old.Acceleration) && math.IsNaN(r.EquivalentRatio) && math.IsNaN(r.TorqueRise))
}

// In low range the tyres give way first: acceleration and slope are what they hold, and then the axle that
// spins uses exactly its friction.
func TestPullAwayIsLimitedByGrip(t *testing.T) {
	for _, share := range []float64{0, 0.4, 1} {
		v := loadedTruck()
		v.FrontDriveShare = share
		m := PullAway{Vehicle: v, GearRatio: ptr(10), EngineTorque: ptr(300), Efficiency: 0.9, Slope: 0.05}
		r, err := m.Run()
		require.NoError(t, err)
		assert.True(t, r.GripLimited)
		assert.Equal(t, r.Grip, r.Acceleration)
		weight := r.Mass * unit.StandardGravity
		force := r.Mass*r.Grip + weight*math.Sin(0.05)
		height := (1990*0.72 + 144*0.385) / r.Mass
		front := (1990*0.54+72)*unit.StandardGravity*math.Cos(0.05) - force*height/2.85
		used := share * force / front
		if r.SpinsFirst == "rear" {
			used = (1 - share) * force / (weight*math.Cos(0.05) - front)
		}
		agree.Relative(t, 0.8, used, byHand, "friction used")
		// On the steepest slope it can just stand.
		m.Slope = r.Steepest
		up, err := m.Run()
		require.NoError(t, err)
		agree.Absolute(t, 0, up.Acceleration, byHand, "acceleration on the steepest slope")
	}
}

// Fitting the equivalent ratio must bring the old acceleration back, with engine inertia and without.
func TestPullAwayEquivalentRatioRestoresAcceleration(t *testing.T) {
	old := loadedTruck().Tyre
	for _, inertia := range []float64{0, 0.5} {
		v := loadedTruck()
		v.Tyre = tallTyre()
		m := PullAway{Vehicle: v, GearRatio: ptr(2.1), EngineTorque: ptr(150), EngineInertia: inertia, Efficiency: 0.9, Slope: 0.03, Old: &old}
		r, err := m.Run()
		require.NoError(t, err)
		assert.Less(t, r.Acceleration, r.Old.Acceleration)
		assert.Greater(t, r.EquivalentRatio, 4.1*0.431/0.390, "more than the radius alone asks for: the mass counts too")
		agree.Relative(t, r.EffectiveMass*0.431/(r.Old.EffectiveMass*0.390)-1, r.TorqueRise, byHand, "torque for the same acceleration")
		m.Vehicle.AxleRatio = r.EquivalentRatio
		again, err := m.Run()
		require.NoError(t, err)
		agree.Relative(t, r.Old.Acceleration, again.Acceleration, byHand, "acceleration")
	}
}

func TestPullAwayGapsAndRefusals(t *testing.T) {
	v := loadedTruck()
	v.CentreHeight, v.Wheelbase = 0, 0
	r, err := PullAway{Vehicle: v, Efficiency: 0.9}.Run()
	require.NoError(t, err)
	assert.True(t, math.IsNaN(r.WheelTorque) && math.IsNaN(r.Acceleration) && math.IsNaN(r.Steepest) && math.IsNaN(r.Grip))
	assert.Empty(t, r.SpinsFirst)
	assert.False(t, math.IsNaN(r.EffectiveMass))

	for _, c := range []struct {
		spoil func(*PullAway)
		says  string
	}{
		{func(m *PullAway) { m.EngineTorque = ptr(-5) }, "EngineTorque of -5 N·m must be above zero"},
		{func(m *PullAway) { m.Efficiency = 1.1 }, "Efficiency of 110 % must be above zero and at most 100 %"},
		{func(m *PullAway) { m.EngineInertia = -1 }, "EngineInertia"},
		{func(m *PullAway) { m.GearRatio = ptr(0) }, "GearRatio of 0 must be above zero"},
		{func(m *PullAway) { m.Slope = math.Pi / 2 }, "Slope of 90° must be less than 90° either way"},
		{func(m *PullAway) { m.Slope = math.NaN() }, "Slope"},
		{func(m *PullAway) { m.Vehicle.FrontDriveShare = -0.1 }, "FrontDriveShare"},
		{func(m *PullAway) { m.Old = &Tyre{LoadedRadius: 0.4} }, "Old.RollingRadius isn't given"},
	} {
		m := PullAway{Vehicle: loadedTruck(), Efficiency: 0.9}
		c.spoil(&m)
		_, err := m.Run()
		if assert.Error(t, err) {
			assert.Contains(t, spaces(err.Error()), c.says)
		}
	}
}
