// Package upkeep holds how often things have to be done to a vehicle over a distance, and what that adds up to,
// on plain numbers; distances may be in any one unit.
//
//	LoadLife           the life law of ISO 281
//	Weibull            how the lives of like parts scatter
//	Weibull.Renewals   how many are worn out and replaced over a distance
//	Scheduled          how often something planned falls due
//	Distribution       a discrete probability distribution: sums of counts and of costs
package upkeep

import "math"

// LoadLife carries a life to another load: life·(load/reference)^−p, the load law of ISO 281,
//
//	L10 = (C/P)^p       million turns, p = 3 for ball bearings, 10/3 for roller bearings
//
// A ball joint slides and doesn't roll, and no published law for its life was found: to use p = 3 for one is an
// analogy.
func LoadLife(life, loadRatio, exponent float64) float64 {
	return life * math.Pow(loadRatio, -exponent)
}

// Weibull is the two-parameter distribution of lives, F(x) = 1 − exp(−(x/Scale)^Shape). A slope above 1 means wear, 1
// pure chance, below 1 early failures.
type Weibull struct{ Scale, Shape float64 }

// FromMedian is the distribution with a given median, the life that half of the parts pass.
func FromMedian(median, shape float64) Weibull {
	return Weibull{Scale: median / math.Pow(math.Ln2, 1/shape), Shape: shape}
}

// Worn is F(x), the share of parts worn out by x.
func (w Weibull) Worn(x float64) float64 { return -math.Expm1(-math.Pow(x/w.Scale, w.Shape)) }

// Reached is the life that a share `reliability` of parts reaches.
func (w Weibull) Reached(reliability float64) float64 {
	return w.Scale * math.Pow(-math.Log(reliability), 1/w.Shape)
}

// Scheduled is how often something done every `interval` falls due from new up to and with the distance. One
// that falls on the distance itself counts, whatever its last digit was rounded to.
func Scheduled(distance, interval float64) float64 {
	const rounding = 1e-12
	return math.Floor(distance / interval * (1 + rounding))
}
