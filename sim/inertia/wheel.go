// Package inertia holds the moments of inertia of a tyre on its rim, on plain numbers in SI units.
//
//	Wheel               estimates from masses and dimensions
//	BifilarInertia      a wheel swinging on two strings, timed by the reader
//	RollDownInertia     a wheel rolling down a ramp, timed by the reader
//	EquivalentMass      what a rolling wheel's mass counts for
//
// Spin is about the axle. Steer is about a diameter, which is what the steering axis and a wobble see.
package inertia

// Where a tyre's and a rim's mass sits. Makers publish no such shares. These are estimates, chosen by the
// reasons given and held to the one measured tyre that was found (a 205/60R15, see the test); expect ±10 %
// for a tyre and ±15 % for a rim, and weigh and time your own wheel where that matters.
const (
	// TreadShare is tread, belts and shoulders. Together with the outer half of the sidewalls it makes up
	// the 76 % of a tyre's mass that moves with the belt in Pacejka's rigid-ring tyre (Tyre and Vehicle
	// Dynamics, appendix 3; from memory).
	TreadShare = 0.65
	// SidewallShare is the two side walls.
	SidewallShare = 0.22
	// BeadShare is the rest: bead wires, their fillers and the rubber on the rim seat.
	BeadShare = 1 - TreadShare - SidewallShare

	// treadThickness is tread and belts over the free radius: 16 mm for a car tyre, 22 mm for one of 35 inches.
	treadThickness = 0.05
	treadWidth     = 0.80 // over the section width
	sidewallPlane  = 0.45 // each wall's middle from the wheel's, over the section width: the bulge, less its curve

	// BarrelShare is the rim's barrel with its flanges; the rest is the disc with the hub pad. A disc has to be
	// stiff and a barrel only airtight, but the barrel has far more surface.
	BarrelShare = 0.62
	barrelInner = 0.92 // radius of the drop centre over that of the bead seat
	hubHole     = 0.20 // radius over that of the bead seat
)

// Wheel is what the estimate needs. All lengths are in m, masses in kg.
type Wheel struct {
	TyreMass, RimMass   float64
	Radius, Width       float64 // of the tyre, free
	RimRadius, RimWidth float64 // half the nominal rim diameter; between the flanges
}

// TyreSpin is the tyre's inertia about the axle, in kg·m²: tread and side walls as hollow cylinders,
// m·(r1² + r2²)/2, the beads as a thin ring, m·r².
func (w Wheel) TyreSpin() float64 {
	inner := w.treadInner()
	return w.TyreMass * (TreadShare*hollow(inner, w.Radius) +
		SidewallShare*hollow(w.RimRadius, inner) +
		BeadShare*w.RimRadius*w.RimRadius)
}

// RimSpin is the rim's inertia about the axle, in kg·m²: barrel and disc as hollow cylinders.
func (w Wheel) RimSpin() float64 {
	barrel, hole := barrelInner*w.RimRadius, hubHole*w.RimRadius
	return w.RimMass * (BarrelShare*hollow(barrel, w.RimRadius) + (1-BarrelShare)*hollow(hole, barrel))
}

// Steer is the inertia of tyre and rim about a diameter, in kg·m². A body of revolution has half its spin
// inertia about a diameter, and in addition what its spread along the axle makes: m·b²/12 for a cylinder of
// width b, m·a² for two rings at ±a.
func (w Wheel) Steer() float64 {
	tread, wall, seat := treadWidth*w.Width, sidewallPlane*w.Width, w.RimWidth/2
	spread := w.TyreMass*(TreadShare*tread*tread/12+SidewallShare*wall*wall+BeadShare*seat*seat) +
		w.RimMass*BarrelShare*w.RimWidth*w.RimWidth/12
	return (w.TyreSpin()+w.RimSpin())/2 + spread
}

func (w Wheel) treadInner() float64 { return (1 - treadThickness) * w.Radius }

// hollow is the squared radius of gyration of a hollow cylinder about its axis.
func hollow(inner, outer float64) float64 { return (inner*inner + outer*outer) / 2 }

// EquivalentMass is the mass that would need the same force to speed up as a wheel of the given mass and
// spin inertia rolling with the given radius, in kg:
//
//	m + I/r² = m·(1 + (k/r)²)
//
// With k ≤ r it is at most twice the mass (a thin ring that rolls on its own radius).
func EquivalentMass(mass, spin, rolling float64) float64 { return mass + spin/(rolling*rolling) }
