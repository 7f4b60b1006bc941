package tyre

import "math"

// PatchLengthFromDeflection is the length of the contact patch, m, of a tyre with free radius `radius` pressed
// in by `deflection` (m):
//
//	2a = 2·R·(0.671·√(δ/R) + 0.733·δ/R)
//
// (Besselink, Schmeitz & Pacejka, "An improved Magic Formula/Swift tyre model that can handle inflation pressure
// changes", Vehicle System Dynamics 48, 2010, with the coefficients of its 205/60R15 example; from memory, to be
// confirmed there.) That is 60 to 65 % of the chord of the undeformed circle at ordinary deflections: a belted
// tyre lies flat over less than the chord. Range: deflection from 0 to a quarter of the radius; NaN outside.
func PatchLengthFromDeflection(radius, deflection float64) float64 {
	if !(radius > 0) || !(deflection >= 0 && deflection <= radius/4) {
		return math.NaN()
	}
	share := deflection / radius
	return 2 * radius * (0.671*math.Sqrt(share) + 0.733*share)
}

// PatchLengthFromPressure is the contact length, m, that carries a load W (N) by the gauge pressure p (Pa) alone
// over a tread of width b (m): 2a = W/(p·b), the membrane with no stiffness of its own. A carcass carries part of
// the load itself (shorter) and the grooves carry none (longer). It stands beside PatchLengthFromDeflection as
// a check that a tyre's numbers fit each other.
func PatchLengthFromPressure(load, pressure, tread float64) float64 {
	if !(load >= 0) || !(pressure > 0) || !(tread > 0) {
		return math.NaN()
	}
	return load / (pressure * tread)
}
