package sim

import (
	"math"
	"slices"

	"turnplate/sim/longitudinal"
	"turnplate/sim/unit"
)

func init() { register[PullAway, PullAwayResult]() }

// PullAway gives how the vehicle pulls away, rotating parts included, and what a bigger or heavier tyre takes
// from it:
//
//	effective mass   M + 4·I/r² + Ie·N²/r²
//	acceleration     (T·N·η/r − M·g·sin θ) / effective mass
//
// with M all told, I of one tyre and rim about the axle, Ie of the engine and its flywheel, N = AxleRatio·GearRatio, T the
// engine's torque, η Efficiency, r the rolling radius and θ Slope. Gillespie, Fundamentals of Vehicle Dynamics
// (SAE 1992), ch. 2.
//
// Where the tyres' Friction holds less than that, the acceleration is what they hold, by FrontDriveShare and
// the load on each axle (Gillespie ch. 2). The clutch is closed; air drag, rolling resistance and the inertia
// of gears and shafts are left out.
type PullAway struct {
	Vehicle       Vehicle
	GearRatio     *float64 `unit:"1" default:"the vehicle's" must:">0"`           // engine turns per propeller-shaft turn: the gear pulled away in, low range counted
	EngineTorque  *float64 `unit:"N*m" us:"lbf*ft" default:"not known" must:">0"` // left out, only masses and ratios are given
	EngineInertia float64  `unit:"kg*m*m" us:"lb*ft*ft" default:"0" must:">=0"`   // engine, flywheel and clutch; left out, they count for nothing (0.2 to 0.7 kg·m² is usual)
	Efficiency    float64  `unit:"percent" default:"90" must:">0 <=100"`          // engine to wheels (common practice, no source)
	Slope         float64  `unit:"deg" default:"0" must:">-90 <90"`               // + uphill
	Old           *Tyre    `default:"none"`                                       // to compare with, on the same vehicle
}

// PullAwayFigures is the vehicle on one kind of tyre.
type PullAwayFigures struct {
	Mass          float64 `unit:"kg" us:"lb"`                                             // of the vehicle, tyres and rims included
	EffectiveMass float64 `unit:"kg" us:"lb"`                                             // with what turns
	MassFactor    float64 `unit:"1"`                                                      // EffectiveMass over Mass
	WheelTorque   float64 `unit:"N*m" us:"lbf*ft" absent:"EngineTorque isn't given"`      // of all driven wheels together, before anything is spent on turning parts
	Pull          float64 `unit:"N" us:"lbf" absent:"EngineTorque isn't given"`           // WheelTorque at the ground
	Acceleration  float64 `unit:"gravity" absent:"EngineTorque isn't given"`              // by torque or by grip, whichever is less; below zero: it cannot pull away
	Grip          float64 `unit:"gravity" absent:"CentreHeight or Wheelbase isn't given"` // most acceleration that the tyres hold on this slope
	Steepest      float64 `unit:"deg" absent:"EngineTorque isn't given"`                  // slope it just holds, by torque or by grip, whichever is less
}

// PullAwayResult is the vehicle as it stands, and on its old tyres where they're given.
type PullAwayResult struct {
	PullAwayFigures
	Old               PullAwayFigures `absent:"Old isn't given"` // on the old tyre; absent without Old
	SpinsFirst        string          // the axle whose wheels spin first: "front" or "rear"; empty when CentreHeight or Wheelbase isn't given
	GripLimited       bool            // Acceleration is what the tyres hold, not what the engine gives
	TypicalMassFactor float64         `unit:"1"`                                                                                             // Gillespie's rule for a car in this gear: 1.04 + 0.0025·N² (ch. 2, from memory)
	TorqueRise        float64         `unit:"percent" absent:"Old isn't given"`                                                              // engine torque needed for the same acceleration, over the old, less one
	EquivalentRatio   float64         `unit:"1" absent:"Old or EngineTorque isn't given, or no axle ratio brings the old acceleration back"` // axle ratio that brings the old acceleration back, turning parts counted
}

// Uses lists what the result depends on.
func (PullAway) Uses() []string {
	return slices.Concat([]string{"FrontDriveShare", "AxleRatio", "GearRatio"}, movingFields())
}

// Optional lists what the model can do without.
func (PullAway) Optional() []string { return []string{"CentreHeight", "Wheelbase"} }

// Run gives the figures.
func (m PullAway) Run() (PullAwayResult, error) {
	r := absent[PullAwayResult]()
	if err := checkInputs(&m); err != nil {
		return r, err
	}
	v := m.Vehicle
	if m.GearRatio != nil {
		v.GearRatio = *m.GearRatio
	}
	overall := v.AxleRatio * v.GearRatio
	r.TypicalMassFactor = longitudinal.TypicalMassFactor(overall)
	var car longitudinal.Moving
	car, r.PullAwayFigures, r.SpinsFirst = m.figures(&v)
	r.GripLimited = r.Acceleration == r.Grip
	if m.Old == nil {
		return r, nil
	}
	v.Tyre = *m.Old
	was, old, _ := m.figures(&v)
	r.Old = old
	r.TorqueRise = car.WheelTorque(1)/was.WheelTorque(1) - 1
	if old.Acceleration < old.Grip {
		r.EquivalentRatio = m.ratioFor(old.Acceleration, &car, v.GearRatio)
	}
	return r, nil
}

func (m PullAway) figures(v *Vehicle) (car longitudinal.Moving, f PullAwayFigures, spinsFirst string) {
	f = absent[PullAwayFigures]()
	car = moving(v)
	const g = unit.StandardGravity
	overall := v.AxleRatio * v.GearRatio
	car.ShaftInertia = m.EngineInertia * overall * overall
	f.Mass, f.EffectiveMass = car.Mass, car.EffectiveMass()
	f.MassFactor = f.EffectiveMass / f.Mass
	sin, cos := math.Sincos(m.Slope)
	grip := math.NaN() // pull per weight square to the road
	if car.CentreHeight > 0 && car.Wheelbase > 0 {
		pull, front := car.DriveGrip(v.Tyre.Friction, v.FrontDriveShare)
		grip, spinsFirst = pull, "rear"
		if front {
			spinsFirst = "front"
		}
		f.Grip = g * (grip*cos - sin)
	}
	if m.EngineTorque == nil {
		return car, f, spinsFirst
	}
	f.WheelTorque = *m.EngineTorque * overall * m.Efficiency
	f.Pull = f.WheelTorque / car.RollingRadius
	f.Acceleration = (f.Pull - car.Mass*g*sin) / f.EffectiveMass
	f.Steepest = math.Pi / 2
	if weight := car.Mass * g; f.Pull < weight {
		f.Steepest = math.Asin(f.Pull / weight)
	}
	if !math.IsNaN(grip) {
		f.Acceleration = math.Min(f.Acceleration, f.Grip)
		f.Steepest = math.Min(f.Steepest, math.Atan(grip))
	}
	return car, f, spinsFirst
}

// ratioFor gives the axle ratio x at which the engine gives an acceleration a: with N = x·gear,
//
//	a·(Mw + Ie·N²/r²) + M·g·sin θ = T·N·η/r
//
// Mw being the effective mass without the engine. Of its two roots the smaller is meant (past the larger, the engine
// mostly spins itself up); it is written so that it holds for no engine inertia too. NaN when there is none, or when
// no engine torque is known.
func (m PullAway) ratioFor(a float64, car *longitudinal.Moving, gear float64) float64 {
	if m.EngineTorque == nil {
		return math.NaN()
	}
	wheels := *car
	wheels.ShaftInertia = 0
	need := a*wheels.EffectiveMass() + car.Mass*unit.StandardGravity*math.Sin(m.Slope)
	gain := *m.EngineTorque * m.Efficiency / car.RollingRadius
	own := a * m.EngineInertia / (car.RollingRadius * car.RollingRadius)
	overall := 2 * need / (gain + math.Sqrt(gain*gain-4*own*need))
	return orAbsent(overall / gear)
}
