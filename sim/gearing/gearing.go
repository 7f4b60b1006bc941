// Package gearing holds what a tyre's rolling radius does to engine speed, axle ratio and speedometer, on plain
// numbers in SI units.
package gearing

// EngineSpeed is the engine's speed in rad/s at a road speed, with the clutch or converter locked:
//
//	ω = V/r · axle · gear
//
// with rolling radius r (m); axle is propeller-shaft turns per wheel turn, gear engine turns per propeller-shaft
// turn. Basic mechanics.
func EngineSpeed(speed, rolling, axle, gear float64) float64 { return speed / rolling * axle * gear }

// EquivalentRatio is the axle ratio that gives a wheel of rolling radius `rolling` the engine speed that `axle` gives
// one of rolling radius `was`: axle·rolling/was.
func EquivalentRatio(axle, rolling, was float64) float64 { return axle * rolling / was }

// kph is 1 km/h in m/s.
const kph = 1 / 3.6

// SpeedometerBand gives the least and the most that a speedometer may show at a true speed (m/s), by UN R39 §5.3:
//
//	0 ≤ V1 − V2 ≤ 0.1·V2 + 4 km/h
//
// with V1 shown and V2 true. The regulation tests it at set speeds up to 120 km/h, with the tyres the type was
// approved with (from memory).
func SpeedometerBand(speed float64) (least, most float64) { return speed, 1.1*speed + 4*kph }
