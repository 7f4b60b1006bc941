package longitudinal

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"turnplate/sim/agree"
)

const (
	arithmetic = 1e-9
	printed    = 5e-6 // values printed to six figures
	theirG     = 9.81 // of the worked inputs below
)

// An exercise with published inputs (1.8 t, wheelbase 2.6 m, centre of mass 0.7 m high and midway, µ 0.7; seen
// without answers), worked out by an independent script with g = 9.81.
func TestDriveGripExercise(t *testing.T) {
	v := Moving{Mass: 1800, FrontShare: 0.5, CentreHeight: 0.7, Wheelbase: 2.6}
	front, first := v.DriveGrip(0.7, 1)
	assert.True(t, first)
	agree.Relative(t, 2.88903, front*theirG, printed, "front-wheel drive")
	rear, first := v.DriveGrip(0.7, 0)
	assert.False(t, first)
	agree.Relative(t, 4.23085, rear*theirG, printed, "rear-wheel drive")
	// All wheels, shared as the axles are loaded at that very pull.
	all, _ := v.DriveGrip(0.7, 0.5-0.7*0.7/2.6)
	agree.Relative(t, 6.867, all*theirG, printed, "all-wheel drive")
}

// Gillespie ch. 2 (from memory).
func TestTypicalMassFactor(t *testing.T) {
	for ratio, factor := range map[float64]float64{4: 1.08, 8: 1.20, 12: 1.40} {
		agree.Relative(t, factor, TypicalMassFactor(ratio), arithmetic, "mass factor")
	}
}

func moving(t *rapid.T) Moving {
	draw := func(low, high float64, what string) float64 { return rapid.Float64Range(low, high).Draw(t, what) }
	return Moving{draw(800, 4000, "mass"), draw(0.35, 0.65, "share"), draw(0.4, 1.1, "height"), draw(2, 3.6, "base"), draw(2, 40, "wheels"), draw(0.25, 0.55, "radius"), draw(0, 500, "shaft")}
}

// Torque times the angle turned is the energy taken out, for any stop.
func TestBrakingBalancesEnergy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := moving(t)
		speed, a := rapid.Float64Range(1, 50).Draw(t, "speed"), rapid.Float64Range(0.5, 9).Draw(t, "a")
		turned := speed * speed / (2 * a) / v.RollingRadius
		if work, energy := v.WheelTorque(a)*turned, v.KineticEnergy(speed); !(math.Abs(work-energy) <= arithmetic*energy) {
			t.Fatalf("work %g, energy %g", work, energy)
		}
	})
}

// The kinetic energy of body and wheels added up one by one.
func TestEffectiveMassIsEnergy(t *testing.T) {
	v := Moving{Mass: 2100, WheelInertia: 4 * 6.2, RollingRadius: 0.43, ShaftInertia: 3}
	speed := 27.0
	spin := speed / v.RollingRadius
	agree.Relative(t, v.Mass*speed*speed/2+(v.WheelInertia+v.ShaftInertia)*spin*spin/2, v.KineticEnergy(speed), arithmetic, "energy")
}

func TestAxleLoads(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := moving(t)
		a, slope := rapid.Float64Range(-9, 6).Draw(t, "a"), rapid.Float64Range(-0.5, 0.5).Draw(t, "slope")
		front, rear := v.AxleLoads(a, slope)
		if weight := v.Mass * Gravity * math.Cos(slope); math.Abs(front+rear-weight) > arithmetic*weight {
			t.Fatal("the axles must carry the weight between them")
		}
		// Moments about the rear contact: weight and inertia at the centre of mass against the front load.
		back := v.FrontShare * v.Wheelbase
		moment := v.Mass*Gravity*math.Cos(slope)*back - v.Mass*(a+Gravity*math.Sin(slope))*v.CentreHeight - front*v.Wheelbase
		if math.Abs(moment) > 1e-6 {
			t.Fatalf("moment left over: %g", moment)
		}
	})
}

// At the limit, the axle that gives way first uses exactly its friction, and the other no more.
func TestGripUsesFrictionExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := moving(t)
		mu, share := rapid.Float64Range(0.1, 1.1).Draw(t, "friction"), rapid.Float64Range(0, 1).Draw(t, "share")
		for _, forward := range []bool{true, false} {
			pull, first := v.DriveGrip(mu, share)
			sign := 1.0
			if !forward {
				pull, first = v.BrakeGrip(mu, share)
				sign = -1
			}
			if math.IsInf(pull, 1) {
				t.Fatal("some axle must give way")
			}
			front, rear := v.AxleLoads(sign*pull*Gravity, 0)
			force := pull * v.Mass * Gravity
			usedFront, usedRear := share*force-mu*front, (1-share)*force-mu*rear
			if !first {
				usedFront, usedRear = usedRear, usedFront
			}
			if math.Abs(usedFront) > 1e-6*force || usedRear > 1e-6*force {
				t.Fatalf("forward %v: %g and %g of friction left", forward, usedFront, usedRear)
			}
		}
	})
}
