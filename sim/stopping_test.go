package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/agree"
	"turnplate/sim/unit"
)

const byHand = 1e-9 // arithmetic written out anew

func TestStoppingByHand(t *testing.T) {
	v := loadedTruck()
	r, err := Stopping{Vehicle: v, Deceleration: 6, Speed: 25}.Run()
	require.NoError(t, err)
	mass := 1990.0 + 4*(24+12)
	effective := mass + 4*3.45/(0.39*0.39)
	agree.Relative(t, mass, r.Mass, byHand, "mass")
	agree.Relative(t, effective, r.EffectiveMass, byHand, "effective mass")
	agree.Relative(t, effective*6*0.39, r.BrakeTorque, byHand, "torque")
	agree.Relative(t, 0.65*mass*6*0.39/2+3.45*6/0.39, r.FrontTorque, byHand, "a front wheel's torque: force at the ground and spin")
	agree.Relative(t, 1-effective*6*0.39/9000, r.Margin, byHand, "margin")
	agree.Relative(t, 9000/(effective*0.39), r.Strongest, byHand, "strongest")
	agree.Relative(t, effective*25*25/2, r.Energy, byHand, "energy")
	agree.Relative(t, effective*25*6, r.Power, byHand, "power")
	agree.Relative(t, 25.0*25/12, r.Distance, byHand, "distance")
	// Two rear wheels take the rest.
	rear := (0.35*mass*6*0.39)/2 + 3.45*6/0.39
	agree.Relative(t, r.BrakeTorque, 2*r.FrontTorque+2*rear, byHand, "the wheels' torques add up")
	height := (1990*0.72 + 144*0.385) / mass
	front := (1990*0.54 + 72) * unit.StandardGravity
	agree.Relative(t, front+mass*6*height/2.85, r.FrontLoad, byHand, "front axle load")
	assert.True(t, math.IsNaN(r.Old.BrakeTorque) && math.IsNaN(r.TorqueRise) && math.IsNaN(r.EnergyRise))
}

// At Locking, the axle that LocksFirst names has its horizontal force at friction times its load, and the other
// one less.
func TestStoppingLocksAtTheGripLimit(t *testing.T) {
	for _, share := range []float64{0.3, 0.65, 0.9} {
		v := loadedTruck()
		v.FrontBrakeShare = share
		r, err := Stopping{Vehicle: v, Deceleration: 3, Speed: 25}.Run()
		require.NoError(t, err)
		at, err := Stopping{Vehicle: v, Deceleration: r.Locking, Speed: 25}.Run()
		require.NoError(t, err)
		weight := r.Mass * unit.StandardGravity
		front := share * r.Mass * r.Locking / at.FrontLoad
		rear := (1 - share) * r.Mass * r.Locking / (weight - at.FrontLoad)
		if r.LocksFirst == "rear" {
			front, rear = rear, front
		}
		agree.Relative(t, 0.8, front, byHand, "the first axle's use of friction")
		assert.Less(t, rear, 0.8)
		// Braked this hard, 73 % of the load stands on the front axle.
		assert.Equal(t, share > 0.73, r.LocksFirst == "front", "share %g", share)
		assert.Less(t, r.Locking, 0.8*unit.StandardGravity)
	}
}

func TestStoppingHeavierTyreCosts(t *testing.T) {
	v := loadedTruck()
	old := v.Tyre
	v.Tyre = tallTyre()
	r, err := Stopping{Vehicle: v, Deceleration: 6, Speed: 25, Old: &old}.Run()
	require.NoError(t, err)
	alone, err := Stopping{Vehicle: loadedTruck(), Deceleration: 6, Speed: 25}.Run()
	require.NoError(t, err)
	assert.Equal(t, alone.StoppingFigures, r.Old)
	agree.Relative(t, r.BrakeTorque/alone.BrakeTorque-1, r.TorqueRise, byHand, "torque")
	assert.Greater(t, r.TorqueRise, r.EnergyRise, "radius costs torque, not energy")
	assert.Less(t, r.Margin, r.Old.Margin)
	assert.Greater(t, r.EnergyRise, 0.0)
}

func TestStoppingGapsAndRefusals(t *testing.T) {
	v := loadedTruck()
	v.BrakeTorqueLimit, v.CentreHeight, v.Wheelbase = 0, 0, 0
	r, err := Stopping{Vehicle: v, Deceleration: 6, Speed: 25}.Run()
	require.NoError(t, err)
	assert.True(t, math.IsNaN(r.Margin) && math.IsNaN(r.Strongest) && math.IsNaN(r.Locking) && math.IsNaN(r.FrontLoad))
	assert.Empty(t, r.LocksFirst)

	for _, c := range []struct {
		spoil func(*Stopping)
		says  string
	}{
		{func(m *Stopping) { m.Deceleration = 8 }, "a deceleration of 0.816 g is more than the tyres' Friction of 0.8 can hold"},
		{func(m *Stopping) { m.Deceleration = 0 }, "Deceleration of 0 g must be above zero"},
		{func(m *Stopping) { m.Deceleration = -6 }, "Deceleration of -0.61183 g must be above zero"},
		{func(m *Stopping) { m.Speed = -10 }, "Speed of -36 km/h must be above zero"},
		{func(m *Stopping) { m.Vehicle.Mass = 0 }, "Mass isn't given"},
		{func(m *Stopping) { m.Vehicle.FrontBrakeShare = 1.2 }, "FrontBrakeShare of 120 % must lie from 0 to 100 %"},
		{func(m *Stopping) { m.Old = &Tyre{Mass: -3, LoadedRadius: 0.4, RollingRadius: 0.4} }, "Old.Mass of -3 kg"},
	} {
		m := Stopping{Vehicle: loadedTruck(), Deceleration: 6, Speed: 25}
		c.spoil(&m)
		_, err := m.Run()
		if assert.Error(t, err) {
			assert.Contains(t, spaces(err.Error()), c.says)
		}
	}
}

func BenchmarkStopping(b *testing.B) {
	v, old := loadedTruck(), tallTyre()
	for b.Loop() {
		if _, err := (Stopping{Vehicle: v, Deceleration: 6, Speed: 25, Old: &old}).Run(); err != nil {
			b.Fatal(err)
		}
	}
}
