// Package ride holds the quarter car: one corner's body and wheel over a rough road, on plain numbers in SI units.
//
//	QuarterCar     the two masses, two springs and a damper
//	Modes          how body and wheel swing by themselves
//	Response       how much of a sine road reaches body and wheel
//	RMS            what a random road does to them
//	RoadClass      the roughness of ISO 8608's classes A to H
//
// Everything is linear: no bump stop, no lift-off of the tyre, one damper rate for both directions.
package ride

import (
	"math/cmplx"
)

// QuarterCar is a body mass on a spring and damper, on a wheel mass, on the tyre's spring:
//
//	ms·x″ = −k·(x−u) − c·(x′−u′)
//	mu·u″ = +k·(x−u) + c·(x′−u′) − kt·(u−w)
//
// with body x, wheel u and road w upward. The tyre's own damping is small and left out, as in the two-mass model of
// Barton & Fieldhouse, Automotive Chassis Engineering, Springer 2018, Eq. 3.83.
type QuarterCar struct {
	Sprung   float64 // ms, kg
	Unsprung float64 // mu, kg: the wheel, the tyre and what moves with them
	Spring   float64 // k, N/m at the wheel
	Damping  float64 // c, N·s/m at the wheel
	Tyre     float64 // kt, N/m
}

// polynomial gives the coefficients of the characteristic polynomial s⁴ + a3·s³ + a2·s² + a1·s + a0.
func (q QuarterCar) polynomial() (a3, a2, a1, a0 float64) {
	a3 = q.Damping * (1/q.Sprung + 1/q.Unsprung)
	a2 = q.Spring/q.Sprung + (q.Spring+q.Tyre)/q.Unsprung
	a1 = q.Damping * q.Tyre / (q.Sprung * q.Unsprung)
	a0 = q.Spring * q.Tyre / (q.Sprung * q.Unsprung)
	return
}

// Response gives the motion of body and wheel for a road of unit height that goes up and down with angular
// frequency omega (rad/s), as complex amplitudes: their size is the transmissibility, their angle the phase.
func (q QuarterCar) Response(omega float64) (body, wheel complex128) {
	s := complex(0, omega)
	link := complex(q.Spring, omega*q.Damping) // force across spring and damper per unit of stroke
	onBody := complex(q.Sprung, 0)*s*s + link
	onWheel := complex(q.Unsprung, 0)*s*s + link + complex(q.Tyre, 0)
	wheel = complex(q.Tyre, 0) * onBody / (onBody*onWheel - link*link)
	body = wheel * link / onBody
	return body, wheel
}

// Transmissibility gives the size of Response.
func (q QuarterCar) Transmissibility(omega float64) (body, wheel float64) {
	b, w := q.Response(omega)
	return cmplx.Abs(b), cmplx.Abs(w)
}
