package release

import "turnplate/sim/geom"

// SteeredWheel is one wheel that turns about its steering axis, in any axes fixed to the body.
type SteeredWheel struct {
	Mass         float64    // kg, tyre and rim
	SteerInertia float64    // kg·m², tyre and rim about a diameter
	SpinInertia  float64    // kg·m², tyre and rim about the wheel's axis
	Knuckle      float64    // kg·m², knuckle, hub and brake about the steering axis
	Up           geom.Point // unit direction
	Axis         geom.Point // unit direction of the steering axis, upward (k)
	Spin         geom.Point // unit direction of the wheel's axis
	FromAxis     geom.Point // m, from any point of the steering axis to the wheel's centre (ρ)
	FromMass     geom.Point // m, from the vehicle's centre of mass to the wheel's centre (R)
}

// YawMomentum is the vehicle's angular momentum about the vertical through its centre of mass per rate at which the wheel
// turns about its steering axis, kg·m²:
//
//	m·u·(R×(k×ρ)) + u·I·k + I_knuckle·u·k
//
// with I the inertia of tyre and rim about their centre and u up (Lagrange: ∂²T/∂r∂δ̇ of the wheel's kinetic energy). A wheel
// whose centre lies outboard of its axis adds m·ρ·y: heavy wheels far out more than double their own inertia there. The
// knuckle counts by its inertia about the axis alone, as where its mass lies isn't asked for.
func (w *SteeredWheel) YawMomentum() float64 {
	lean := w.Axis.Dot(w.Spin)
	turned := w.Axis.Scale(w.SteerInertia).Add(w.Spin.Scale((w.SpinInertia - w.SteerInertia) * lean)) // I·k
	moving := w.FromMass.Cross(w.Axis.Cross(w.FromAxis))
	return w.Up.Dot(moving.Scale(w.Mass).Add(turned).Add(w.Axis.Scale(w.Knuckle)))
}
