package sim

import (
	"fmt"
	"slices"

	"turnplate/sim/longitudinal"
	"turnplate/sim/unit"
)

func init() { register[Stopping, StoppingResult]() }

// Stopping gives what the brakes must do to slow the vehicle, rotating wheels included:
//
//	effective mass   M + 4·I/r²
//	brake torque     (M + 4·I/r²)·a·r   of all four wheels
//	energy           ½·(M + 4·I/r²)·V²
//
// with M all told, I of one tyre and rim about the axle, r the rolling radius, the Deceleration a and the Speed V;
// and what that leaves of BrakeTorqueLimit, with the old tyre beside the new one. Gillespie, Fundamentals of Vehicle
// Dynamics (SAE 1992), ch. 2 and 3.
//
// The engine is declutched; air drag, rolling resistance and the inertia of discs and shafts are left out.
// Braking is in a straight line on the level. A deceleration that the tyres' Friction can't give is an error.
type Stopping struct {
	Vehicle      Vehicle
	Deceleration float64 `unit:"gravity" default:"0.656" must:">0"`    // asked for; the default is the least that UN R13-H asks of a car, 6.43 m/s² (from memory)
	Speed        float64 `unit:"kph" us:"mph" default:"100" must:">0"` // from which it stops
	Old          *Tyre   `default:"none"`                              // to compare with, on the same vehicle
}

// StoppingFigures is the vehicle on one kind of tyre.
type StoppingFigures struct {
	Mass          float64 `unit:"kg" us:"lb"`                                                // of the vehicle, tyres and rims included
	EffectiveMass float64 `unit:"kg" us:"lb"`                                                // with what the turning wheels add
	BrakeTorque   float64 `unit:"N*m" us:"lbf*ft"`                                           // all four wheels together, for Deceleration
	FrontTorque   float64 `unit:"N*m" us:"lbf*ft"`                                           // at one front wheel, by FrontBrakeShare
	Margin        float64 `unit:"percent" absent:"BrakeTorqueLimit isn't given"`             // share of BrakeTorqueLimit left over; below zero: the brakes can't give Deceleration
	Strongest     float64 `unit:"gravity" absent:"BrakeTorqueLimit isn't given"`             // deceleration at BrakeTorqueLimit, were the tyres to hold it
	Locking       float64 `unit:"gravity" absent:"CentreHeight or Wheelbase isn't given"`    // deceleration at which an axle's wheels first lock, without anti-lock control
	Energy        float64 `unit:"N*m" us:"lbf*ft"`                                           // into the brakes, from Speed to standing; 1 N·m is 1 J
	Power         float64 `unit:"kW"`                                                        // into the brakes as they bite, at Speed
	Distance      float64 `unit:"m" us:"ft"`                                                 // from Speed at Deceleration, without the driver's reaction
	FrontLoad     float64 `unit:"N" us:"lbf" absent:"CentreHeight or Wheelbase isn't given"` // on the front axle while braking
}

// StoppingResult is the vehicle as it stands, and on its old tyres where they're given.
type StoppingResult struct {
	StoppingFigures
	Old        StoppingFigures `absent:"Old isn't given"` // on the old tyre; absent without Old
	LocksFirst string          // the axle whose wheels lock first: "front" or "rear"; empty when CentreHeight or Wheelbase isn't given
	TorqueRise float64         `unit:"percent" absent:"Old isn't given"` // BrakeTorque over the old one, less one
	EnergyRise float64         `unit:"percent" absent:"Old isn't given"` // Energy over the old one, less one
}

// Uses lists what the result depends on.
func (Stopping) Uses() []string {
	return slices.Concat([]string{"FrontBrakeShare", "BrakeTorqueLimit"}, movingFields())
}

// Optional lists what the model can do without.
func (Stopping) Optional() []string { return []string{"CentreHeight", "Wheelbase", "BrakeTorqueLimit"} }

// Run gives the figures.
func (m Stopping) Run() (StoppingResult, error) {
	r := absent[StoppingResult]()
	if err := checkInputs(&m); err != nil {
		return r, err
	}
	var err error
	if r.StoppingFigures, r.LocksFirst, err = m.figures(&m.Vehicle); err != nil || m.Old == nil {
		return r, err
	}
	old := m.Vehicle
	old.Tyre = *m.Old
	if r.Old, _, err = m.figures(&old); err != nil {
		return r, fmt.Errorf("on the old tyre: %w", err)
	}
	r.TorqueRise, r.EnergyRise = r.BrakeTorque/r.Old.BrakeTorque-1, r.Energy/r.Old.Energy-1
	return r, nil
}

func (m Stopping) figures(v *Vehicle) (f StoppingFigures, locksFirst string, err error) {
	f = absent[StoppingFigures]()
	car := moving(v)
	const g = unit.StandardGravity
	if m.Deceleration > v.Tyre.Friction*g {
		return f, "", fmt.Errorf("a deceleration of %.3g g is more than the tyres' Friction of %.3g can hold", m.Deceleration/g, v.Tyre.Friction)
	}
	a, share := m.Deceleration, v.FrontBrakeShare
	f.Mass, f.EffectiveMass = car.Mass, car.EffectiveMass()
	f.BrakeTorque = car.WheelTorque(a)
	// At a wheel: its share of the force at the ground, and its own inertia.
	spin := (f.EffectiveMass - f.Mass) / 4
	f.FrontTorque = (f.Mass*share/2 + spin) * a * car.RollingRadius
	f.Energy, f.Power, f.Distance = car.KineticEnergy(m.Speed), f.EffectiveMass*a*m.Speed, m.Speed*m.Speed/(2*a)
	if limit := v.BrakeTorqueLimit; limit > 0 {
		f.Margin, f.Strongest = 1-f.BrakeTorque/limit, limit/(f.EffectiveMass*car.RollingRadius)
	}
	if car.CentreHeight > 0 && car.Wheelbase > 0 {
		pull, front := car.BrakeGrip(v.Tyre.Friction, share)
		f.Locking, locksFirst = pull*g, "rear"
		if front {
			locksFirst = "front"
		}
		f.FrontLoad, _ = car.AxleLoads(-a, 0)
	}
	return f, locksFirst, nil
}

// movingFields are the fields that moving reads.
func movingFields() []string {
	return andOld(append([]string{"Tyre.Inertia", "Tyre.RimInertia", "Tyre.RollingRadius", "Tyre.Friction"}, weightFields...)...)
}

// moving is the vehicle speeding up or slowing down, all it weighs and all that turns at its wheels.
func moving(v *Vehicle) longitudinal.Moving {
	w := newWeight(v)
	return longitudinal.Moving{
		Mass: w.mass, FrontShare: w.frontMass / w.mass, CentreHeight: w.height, Wheelbase: v.Wheelbase,
		WheelInertia: 4 * (v.Tyre.Inertia + v.Tyre.RimInertia), RollingRadius: v.Tyre.RollingRadius,
	}
}
