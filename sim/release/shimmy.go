package release

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Swivel is one wheel that swings about its steering axis on its tyre alone, while the vehicle runs straight on and
// nothing else moves: the classical shimmy model with a tyre whose slip lags by a relaxation length
// (Bourcier de Carbon 1948, NACA TM 1337, abstract seen; Pacejka, Tire and Vehicle Dynamics, ch. 6, from memory):
//
//	I·ψ̈ + c·ψ̇ − C·(n + t)·α′ = 0,   (σ/V)·α̇′ + α′ = −ψ − n·ψ̇/V
//
// It leaves out the bending of axis, column and tyre sideways, so it's an indicator that compares one tyre, wheel or
// caster with another on the same vehicle, not a forecast of the speed at which shimmy starts.
type Swivel struct {
	Inertia         float64 // kg·m², about the steering axis (I)
	Damping         float64 // N·m·s/rad, about the steering axis (c)
	Cornering       float64 // N/rad (C)
	MechanicalTrail float64 // m (n)
	PneumaticTrail  float64 // m (t)
	Relaxation      float64 // m (σ)
	Speed           float64 // m/s (V)
}

// Matrix is the system matrix of the state (ψ, ψ̇, α′).
func (s Swivel) Matrix() *mat.Dense {
	lag := s.Speed / s.Relaxation
	return mat.NewDense(3, 3, []float64{
		0, 1, 0,
		0, -s.Damping / s.Inertia, s.Cornering * (s.MechanicalTrail + s.PneumaticTrail) / s.Inertia,
		-lag, -lag * s.MechanicalTrail / s.Speed, -lag,
	})
}

// DampingNeeded is the least damping about the steering axis with which a swing dies away, N·m·s/rad: the positive root of
//
//	(σ/V)·c² + (I + σ·K·n/V²)·c − I·K·(σ − n)/V = 0,   K = C·(n + t)
//
// (own working: Routh's criterion on Matrix), or 0 where a trail longer than the relaxation length needs none. NaN for a total trail
// that isn't positive: such a wheel doesn't trail at all.
func (s Swivel) DampingNeeded() float64 {
	k := s.Cornering * (s.MechanicalTrail + s.PneumaticTrail)
	if !(k > 0) || !(s.Speed > 0) || !(s.Inertia > 0) || !(s.Relaxation > 0) {
		return math.NaN()
	}
	lag := s.Relaxation / s.Speed
	b := s.Inertia + lag*k*s.MechanicalTrail/s.Speed
	c := -s.Inertia * k * (s.Relaxation - s.MechanicalTrail) / s.Speed
	// The positive root of lag·x² + b·x + c in the form that keeps its digits when c is small.
	under := b*b - 4*lag*c
	if c >= 0 || under < 0 {
		return 0
	}
	if b < 0 {
		return (-b + math.Sqrt(under)) / (2 * lag)
	}
	return -2 * c / (b + math.Sqrt(under))
}
