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

// VerticalStiffness estimates a radial tyre's vertical stiffness, N/m, from what is moulded on its side and its
// gauge pressure p (Pa), with section width w (m), aspect ratio A (0.70 for a 70 series) and free radius R (m):
//
//	Kz = g·(0.00028·p·√((1.03 − 0.4·A)·w·2R) + 3.45)   with p in kPa, w and R in mm, Kz in N/mm
//
// (Rhyne, "Development of a vertical stiffness relationship for belted radial tires", Tire Science and
// Technology 33, 2005; from memory, to be confirmed there.) It gives 8 % more than the 209.65 N/mm of the
// 205/60R15 reference tyre at 220 kPa. Range: car and light-truck tyres, 100 to 500 kPa, aspect 0.3 to 0.9; NaN
// outside. Load over this stiffness is the deflection PatchLengthFromDeflection asks for.
func VerticalStiffness(pressure, width, aspect, radius float64) float64 {
	if !(pressure >= 100e3 && pressure <= 500e3) || !(width > 0) || !(radius > 0) || !(aspect >= 0.3 && aspect <= 0.9) {
		return math.NaN()
	}
	const kilogramForce = 9.80665 // N
	root := math.Sqrt((1.03 - 0.4*aspect) * (width * 1e3) * (2 * radius * 1e3))
	return kilogramForce * (0.00028*pressure/1e3*root + 3.45) * 1e3
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

// RelaxationLength is the distance a tyre rolls until 63 % of a change of lateral force is there, m: cornering
// stiffness (N/rad) over lateral stiffness of the standing tyre (N/m) (Pacejka, Tire and Vehicle Dynamics,
// ch. 7; from memory). About 0.3 to 0.7 m for car and light-truck tyres, growing with load.
func RelaxationLength(cornering, lateral float64) float64 {
	if !(cornering >= 0) || !(lateral > 0) {
		return math.NaN()
	}
	return cornering / lateral
}
