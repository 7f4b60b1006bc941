package sim

import (
	"errors"
)

// swivelFields are the Vehicle fields that a wheel's inertia about its steering axis is made from, for Uses.
var swivelFields = []string{"Tyre.Mass", "Tyre.RimMass", "Tyre.Inertia", "Tyre.RimInertia", "Tyre.SteerInertia", "Steering.KnuckleInertia"}

// swivelInertia is the moment of inertia of one wheel with its knuckle about the steering axis, kg·m²:
//
//	I = I_knuckle + I_d·(1 − c²) + I_s·c² + m·ρ²
//
// with the tyre and rim's inertia about a diameter I_d and about the axle I_s, the cosine c between steering axis and
// wheel's axis, their mass m and the wheel centre's distance ρ from the steering axis (parallel axes; basic
// mechanics). A wheel further out is harder to swing by ρ².
func swivelInertia(v *Vehicle, k *corner, s *stance) (float64, error) {
	t := &v.Tyre
	axis := s.pose.Axis
	lean := axis.Dot(s.pose.Spin)
	lever := axis.Cross(s.Centre.Sub(s.pose.Lower)).Norm()
	if !finite(lever) {
		return 0, errors.New("the wheel's centre isn't a place: see Tyre.OffsetChange")
	}
	return v.Steering.KnuckleInertia + t.SteerInertia*(1-lean*lean) + (t.Inertia+t.RimInertia)*lean*lean +
		(t.Mass+t.RimMass)*lever*lever, nil
}
