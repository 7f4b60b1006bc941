package ride

import "math"

// RMS holds root-mean-square values on a random road.
type RMS struct {
	BodyAcceleration float64 // m/s²
	Stroke           float64 // m at the wheel, of the wheel against the body
	TyreForce        float64 // N, about the static load
}

// RMS gives the steady root-mean-square values on a road whose vertical velocity is white noise of intensity q (see
// VelocityNoise), M being ms + mu:
//
//	body acceleration²   q/2·( c·kt/ms² + k²·M/(c·ms²) )
//	stroke²              q/2·M/c
//	tyre deflection²     q/2·( mu/c + c·M²/(kt·ms²) − 2·k·M·mu/(c·kt·ms) + k²·M³/(c·kt²·ms²) )
//
// and tyre force = kt times tyre deflection. This is the solution of the Lyapunov equation A·P + P·Aᵀ + q·b·bᵀ
// = 0 of the quarter car, worked out by the standard fourth-order integral and checked in the tests against
// that equation, against integration over frequency and against a synthesised road; equivalent forms are in
// Dahlberg, J. Sound Vib. 58 (1978; from memory).
//
// The values hold while the tyre stays on the ground (tyre force well under a third of the static load) and the
// suspension off its stops. Without damping there is no steady state: NaN.
func (q QuarterCar) RMS(noise float64) RMS {
	ms, mu, k, c, kt := q.Sprung, q.Unsprung, q.Spring, q.Damping, q.Tyre
	if !(c > 0) {
		return RMS{math.NaN(), math.NaN(), math.NaN()}
	}
	m := ms + mu
	half := noise / 2
	return RMS{
		BodyAcceleration: math.Sqrt(half * (c*kt/(ms*ms) + k*k*m/(c*ms*ms))),
		Stroke:           math.Sqrt(half * m / c),
		TyreForce: kt * math.Sqrt(half*(mu/c+c*m*m/(kt*ms*ms)-
			2*k*m*mu/(c*kt*ms)+k*k*m*m*m/(c*kt*kt*ms*ms))),
	}
}
