package sim

import "turnplate/sim/unit"

// weight is how a vehicle stands on its wheels: Mass by FrontShare, and a tyre with its rim at each corner.
type weight struct {
	mass      float64 // kg, all of it
	height    float64 // m, of the centre of mass of all of it; 0 when CentreHeight isn't given
	frontArm  float64 // m, centre of mass behind the front axle; 0 when Wheelbase isn't given
	rearArm   float64 // m, centre of mass ahead of the rear axle
	front     float64 // N, on the front axle
	rear      float64 // N, on the rear axle
	left      float64 // N, on the left front wheel
	right     float64 // N, on the right front wheel
	frontMass float64 // kg, carried by the front axle
}

// weightFields are the Vehicle fields that a weight is made from, for Uses.
var weightFields = []string{"Wheelbase", "Mass", "FrontShare", "LeftShare", "CentreHeight", "Tyre.Mass", "Tyre.RimMass", "Tyre.LoadedRadius"}

// newWeight takes moments about the axles (statics): front load = (FrontShare·Mass + 2·(tyre + rim))·g, of which
// LeftShare stands on the left wheel.
func newWeight(v *Vehicle) weight {
	const g = unit.StandardGravity
	wheel := v.Tyre.Mass + v.Tyre.RimMass
	w := weight{mass: v.Mass + 4*wheel, frontMass: v.FrontShare*v.Mass + 2*wheel}
	w.front = w.frontMass * g
	w.rear = (w.mass - w.frontMass) * g
	w.left, w.right = w.front*v.LeftShare, w.front*(1-v.LeftShare)
	w.rearArm = v.Wheelbase * w.frontMass / w.mass
	w.frontArm = v.Wheelbase - w.rearArm
	if v.CentreHeight > 0 {
		w.height = (v.Mass*v.CentreHeight + 4*wheel*orAbsent(v.Tyre.LoadedRadius)) / w.mass
	}
	return w
}
