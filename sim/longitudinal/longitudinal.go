// Package longitudinal holds a vehicle speeding up and slowing down in a straight line, on plain numbers in SI units:
// what its rotating parts count for, what reaches the axles, what the tyres can hold.
//
// Left out: air drag and rolling resistance (small against braking and pulling away), the tyres' slip, and pitching
// before the load has settled.
package longitudinal

import (
	"math"

	"turnplate/sim/unit"
)

// Gravity is standard gravity, m/s².
const Gravity = unit.StandardGravity

// Moving is the vehicle as it moves: its weight and all that must be spun up with it.
type Moving struct {
	Mass          float64 // of everything, kg
	FrontShare    float64 // of the weight on the front axle, standing on the level
	CentreHeight  float64 // m
	Wheelbase     float64 // m
	WheelInertia  float64 // of all wheels together about their axles, kg·m²
	RollingRadius float64 // m
	ShaftInertia  float64 // of the engine and all that turns with it, carried to the wheels (times overall ratio²), kg·m²; 0 when braking with the clutch out
}

// EffectiveMass is the mass that would answer to a force at the ground as the vehicle does, in kg:
//
//	M + ΣI/r²
//
// Gillespie, Fundamentals of Vehicle Dynamics (SAE 1992), ch. 2; every wheel counts, driven or not.
func (v Moving) EffectiveMass() float64 {
	return v.Mass + (v.WheelInertia+v.ShaftInertia)/(v.RollingRadius*v.RollingRadius)
}

// TypicalMassFactor is Gillespie's rule for the effective mass over the real one (ch. 2, from memory), where no
// inertias are known:
//
//	1 + 0.04 + 0.0025·N²
//
// with N the overall ratio from engine to wheel. It stands for an ordinary car.
func TypicalMassFactor(overall float64) float64 { return 1.04 + 0.0025*overall*overall }

// WheelTorque is the torque at the wheels, of all together, that changes the speed at a rate a on the level, in N·m:
//
//	T = (M + ΣI/r²)·a·r
//
// Force and rotation together: M·a at the ground through the lever r, and I·a/r for each wheel. r is the rolling
// radius for both, which is what makes torque times turning equal the energy taken out.
func (v Moving) WheelTorque(a float64) float64 { return v.EffectiveMass() * a * v.RollingRadius }

// KineticEnergy is ½·(M + ΣI/r²)·V², in J.
func (v Moving) KineticEnergy(speed float64) float64 { return v.EffectiveMass() * speed * speed / 2 }

// AxleLoads gives the load on the front and rear axle in N when the vehicle speeds up at a rate a (m/s², negative to
// brake) up a slope (rad):
//
//	front = M·g·cos θ·share − M·(a + g·sin θ)·h/L,   rear the rest
//
// Gillespie ch. 1; the weight along the slope counts like a.
func (v Moving) AxleLoads(a, slope float64) (front, rear float64) {
	weight := v.Mass * Gravity * math.Cos(slope)
	shift := v.Mass * (a + Gravity*math.Sin(slope)) * v.CentreHeight / v.Wheelbase
	return weight*v.FrontShare - shift, weight*(1-v.FrontShare) + shift
}

// DriveGrip is the largest pull per unit of weight that the tyres hold forward: F/(M·g·cos θ), with a fixed
// share of it at the front axle and the same friction at both. At that pull one axle's wheels begin to spin,
// and firstFront tells which. From F·share = µ·(load of that axle) with the load of AxleLoads:
//
//	front  µ·share_load/(share + µ·h/L)       rear  µ·(1 − share_load)/(1 − share − µ·h/L)
//
// Both limits are Gillespie's (ch. 2) for single-axle drive.
func (v Moving) DriveGrip(friction, share float64) (pull float64, firstFront bool) {
	return v.grip(friction, share, v.CentreHeight/v.Wheelbase)
}

// BrakeGrip is the same backward: the largest braking force per unit of weight before one axle's wheels lock.
func (v Moving) BrakeGrip(friction, share float64) (pull float64, firstFront bool) {
	return v.grip(friction, share, -v.CentreHeight/v.Wheelbase)
}

func (v Moving) grip(friction, share, shift float64) (pull float64, firstFront bool) {
	limit := func(load, share, shift float64) float64 {
		if below := share + friction*shift; below > 0 {
			return friction * load / below
		}
		return math.Inf(1) // the load comes on faster than the force: never
	}
	front, rear := limit(v.FrontShare, share, shift), limit(1-v.FrontShare, 1-share, -shift)
	return math.Min(front, rear), front <= rear
}
