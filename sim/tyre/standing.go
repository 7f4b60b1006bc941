package tyre

import "math"

// This file holds the torque that turns a *standing* tyre about a steering axis against the ground. All
// three formulas take every part of the contact patch as sliding, with one coefficient of friction, and
// turn it about a point `lever` away from the patch's middle. They return NaN for a negative load, friction
// or patch, and for a pressure that isn't positive.
//
// Which lever: with the brakes held the wheel can't roll, and the lever is the scrub radius. A wheel free
// to roll turns about its own contact centre while it rolls round the axis, so its lever is 0: the lower
// bound. Real wheels with the brakes off lie between.

// StandingScrubTorque is the torque about a vertical axis that turns a standing tyre, in N·m:
//
//	M = µ·W·√(k² + E²),   k = ⅓·√(W/p)
//
// with friction µ, load W (N), gauge pressure p (Pa) and lever E (m, either sign).
//
// At E = 0 this is Gough's M = (µ/3)·√(W³/p) (quoted by Sharp & Granger, "On car steering torques at parking
// speeds", Proc. IMechE D 217, 2003; from memory, to be confirmed there). W/p is the contact area of a
// membrane that carries its load by pressure alone, and k the mean arm of friction over it; a uniform
// circular patch has k = 0.376·√(W/p), 13 % more. Adding E as a square is this project's carrying of it to
// a scrub radius: right at both ends (E = 0; E far larger than the patch, where M → µ·W·E) and at most 7 %
// high between them, against the integral over a circular patch.
//
// Range: car and light-truck tyres on hard ground, slow steering. It misses the steep rise of measured
// torque past about 300° of handwheel, where the patch itself is wound up.
func StandingScrubTorque(friction, load, pressure, lever float64) float64 {
	if !(friction >= 0) || !(load >= 0) || !(pressure > 0) {
		return math.NaN()
	}
	return friction * load * math.Sqrt(load/pressure/9+lever*lever)
}

// WidthScrubTorque is the width formula M = µ·W·√(B²/8 + E²), in N·m, with tyre width B and lever E in m: in
// common use, from memory and without a source that was seen. It knows nothing of pressure and takes the
// tyre's whole width as its patch, so it stands here for comparison only. The µ that goes with it is often
// given as falling with E/B from at most 0.7.
func WidthScrubTorque(friction, load, width, lever float64) float64 {
	if !(friction >= 0) || !(load >= 0) || !(width >= 0) {
		return math.NaN()
	}
	return friction * load * math.Sqrt(width*width/8+lever*lever)
}

// PatchScrubTorque is M = µe·W·√(d² + (a/3)²), in N·m, with patch size a and lever d in m (Barton & Fieldhouse,
// Automotive Chassis Engineering, Springer 2018, section 2.8 and worked example E2.1). Their effective
// friction µe is read from a curve of d/a that isn't reproduced here; the formula stands for comparison
// with that example.
func PatchScrubTorque(friction, load, patch, lever float64) float64 {
	if !(friction >= 0) || !(load >= 0) || !(patch >= 0) {
		return math.NaN()
	}
	return friction * load * math.Sqrt(lever*lever+patch*patch/9)
}
