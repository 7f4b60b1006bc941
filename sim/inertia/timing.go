package inertia

import (
	"math"

	"turnplate/sim/unit"
)

// BifilarInertia is the inertia about the vertical of a body hung on two equal vertical strings, from the period of
// its small twisting swings, in kg·m²:
//
//	I = m·g·d²·T² / (16·π²·L)
//
// with mass m (kg), d between the strings and their length L (m), and period T (s) of a full swing there and back.
// The body's centre of mass must hang midway between the strings. Lying flat, a wheel gives its spin inertia; hung
// upright, the one about a diameter.
//
// It is the small-angle solution for d·θ much smaller than L; with strings longer than d and swings under 10° either
// way, the period is less than 0.3 % off (checked against the exact motion). Source: the bifilar pendulum of any
// mechanics laboratory course; for a uniform bar hung at its ends it gives their T = 2π·√(L/3g).
func BifilarInertia(mass, spacing, length, period float64) float64 {
	return mass * unit.StandardGravity * spacing * spacing * period * period / (16 * math.Pi * math.Pi * length)
}

// RollDownInertia is the spin inertia of a wheel that rolls from rest down a ramp, from its time, in kg·m²:
//
//	I = m·r²·( g·(sin α − f·cos α)·t²/(2·s) − 1 )
//
// with mass m (kg), rolling radius r (m; of the bare wheel on the ramp, so about the free radius), slope α
// (rad), distance s (m), time t (s) and rolling resistance f of the wheel on the ramp (0 when left out of
// account, which makes I too large). Rolling without slipping from rest: a = g·(sin α − f·cos α)/(1 + I/(m·r²))
// and s = a·t²/2; basic mechanics. A ring takes √2 times as long as a sliding block, so that 1 % of error in
// the time is 4 % or more in I: take the mean of many runs.
func RollDownInertia(mass, radius, slope, distance, time, resistance float64) float64 {
	pull := unit.StandardGravity * (math.Sin(slope) - resistance*math.Cos(slope))
	return mass * radius * radius * (pull*time*time/(2*distance) - 1)
}
