package steering

import "turnplate/sim/geom"

// Axis is a steering axis: any point of the line and the unit direction that points up along it.
type Axis struct{ Through, Along geom.Point }

// Moment is the torque about the axis of a force F (N) that acts at a point P (m), N·m:
//
//	M = k·((P − A)×F)
//
// with k along the axis and A on it (statics). For what the ground does to a tyre P is the tyre's contact
// centre *where it is now*: the lowest point moves round the tyre as the wheel steers, and with it the
// lever of the vertical load. Textbooks' sets (Gillespie, Fundamentals of Vehicle Dynamics, ch. 8; Barton &
// Fieldhouse, section 2.9) carry the contact round with the knuckle instead, and so differ from this already to
// first order in the steer angle.
func (a Axis) Moment(at, force geom.Point) float64 {
	return a.Along.Dot(at.Sub(a.Through).Cross(force))
}

// Couple is the part of a free couple (N·m) that turns about the axis: k·M.
func (a Axis) Couple(m geom.Point) float64 { return a.Along.Dot(m) }

// HalfShaft is the couple (N·m, a vector) that a drive shaft puts on a wheel whose tyre pushes the vehicle on with a
// tractive force F (N) at a loaded radius r (m):
//
//	M = F·r·(a + u)/(1 + a·u)
//
// with unit directions to the left of the wheel's axis a and of the shaft u. The torque along both is F·r (constant
// velocity, no loss); a joint that bends by an angle passes it on along the bisector of its two shafts and
// adds a cross couple F·r·tan(angle/2) (universal-joint statics, e.g. Seherr-Thoss, Schmelz & Aucktor, Universal Joints
// and Driveshafts, ch. 4; from memory). With the shaft in line with the wheel's axis, this couple moves the
// tractive force from the ground up to the wheel's centre: its lever is then d·cos σ + r·sin σ and not d.
func HalfShaft(force, radius float64, axis, shaft geom.Point) geom.Point {
	a, u := axis.Unit(), shaft.Unit()
	return a.Add(u).Scale(force * radius / (1 + a.Dot(u)))
}

// Gyroscopic is the couple (N·m, a vector) that a spinning wheel puts on its knuckle while the knuckle turns
// at Ω (rad/s): the reaction to the change of its spin momentum,
//
//	M = −Ω×H,  H = I·(V/r)·a
//
// with spin inertia I (kg·m²), forward speed V (m/s), rolling radius r (m) and the direction a of the wheel's axis
// pointing left (rolling forward spins a wheel about its left). Basic mechanics.
func Gyroscopic(inertia, speed, radius float64, axis, turning geom.Point) geom.Point {
	return turning.Cross(axis.Unit().Scale(-inertia * speed / radius))
}
