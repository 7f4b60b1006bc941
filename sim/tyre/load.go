package tyre

import "math"

// LoadExponent is n in load = rating·(pressure/rated pressure)^n: rows of load tables for light-truck tyres fit 0.65 to 0.70
// (seen; the tables are in package size, whose tests fit them).
const LoadExponent = 0.7

// Capacity is the load that a tyre may carry at a gauge pressure, in the unit of its rating:
//
//	rating·(pressure/rated pressure)^0.7, at most the rating
//
// Load tables lie within 7 % of it over their rows, from about 0.38 of the rated pressure up, and up to 14 % above it where a
// load index caps the last rows; below the tables nobody vouches for it. For speeds up to the speed symbol's. NaN for
// what isn't above zero.
func Capacity(rating, ratedPressure, pressure float64) float64 {
	if !(rating > 0) || !(ratedPressure > 0) || !(pressure > 0) {
		return math.NaN()
	}
	return rating * math.Min(1, math.Pow(pressure/ratedPressure, LoadExponent))
}

// PressureFor is the gauge pressure at which a tyre may just carry a load, by the same formula; NaN for more than its
// rating, which no pressure carries.
func PressureFor(load, rating, ratedPressure float64) float64 {
	if !(load >= 0 && load <= rating) || !(rating > 0) || !(ratedPressure > 0) {
		return math.NaN()
	}
	return ratedPressure * math.Pow(load/rating, 1/LoadExponent)
}

// Cornering stiffness of a radial tyre that nobody has measured, as a share of its load for each degree: the likely
// one and the range (seen in a page that quotes Gillespie, Fundamentals of Vehicle Dynamics, pp. 347–355). Cars have 0.16 to 0.17
// (Tapia 1983, as quoted); low profiles up to 0.25 to 0.30.
const (
	CorneringShare      = 0.15
	LeastCorneringShare = 0.11
	MostCorneringShare  = 0.19
)
