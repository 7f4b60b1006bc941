package tyre

import "math"

// Patch is the rectangle on which a standing tyre touches the ground, m.
type Patch struct {
	Length float64 // along the wheel's heading
	Width  float64 // across it
}

// StandingPatch is the patch of a tyre that carries a load W (N) by its gauge pressure p (Pa) alone, with contact
// length l and section width B (m):
//
//	W/(p·l) wide, and where that would be wider than the tyre, B wide and W/(p·B) long
//
// the membrane with no stiffness of its own (statics). A carcass carries part of the load itself, which makes the real patch
// smaller, and the grooves carry none, which makes it larger. NaN for what no tyre has.
func StandingPatch(load, pressure, length, width float64) Patch {
	if !(load >= 0) || !(pressure > 0) || !(length > 0) || !(width > 0) {
		return Patch{math.NaN(), math.NaN()}
	}
	if load/(pressure*length) > width {
		return Patch{PatchLengthFromPressure(load, pressure, width), width}
	}
	return Patch{length, load / (pressure * length)}
}

// ScrubTorque is the torque about a vertical axis that turns a standing tyre against the ground, N·m:
//
//	M = µ·W·(mean distance of the patch's points from a centre E off its middle, across its width)
//
// with friction µ, load W (N) and lever E (m, either side). Every part of the patch slides, with one coefficient of
// friction and one pressure. Which lever: with the brakes held the wheel can't roll, and E is the scrub radius. A wheel free
// to roll turns about its own contact centre while it rolls round the axis, so its E is 0: the lower bound. Real wheels with
// the brakes off lie between.
//
// The integral is exact (own derivation). At E = 0 a patch as long as it is wide has an arm of 0.3826 of its side; Gough's
// formula, M = (µ/3)·√(W³/p) (quoted by R. S. Sharp and R. Granger, On car steering torques at parking speeds, Proc. IMechE
// D 217, 2003, from memory), gives 13 % less, and the longer or wider the patch the more so. The tests compare both, and
// other formulas in use.
//
// Range: car and light-truck tyres on hard ground, slow steering. It misses the steep rise of measured torque past
// about 300° of handwheel, where the patch itself is wound up. NaN for a negative load or friction and for a patch
// without a size.
func (p Patch) ScrubTorque(friction, load, lever float64) float64 {
	if !(friction >= 0) || !(load >= 0) || !(p.Length > 0) || !(p.Width >= 0) || math.IsNaN(lever) {
		return math.NaN()
	}
	if load == 0 {
		return 0
	}
	half := p.Length / 2
	// Four quarters that meet at the centre of turning; where it lies outside the patch, one pair is taken off again.
	sum := 2 * (distances(half, p.Width/2+lever) + distances(half, p.Width/2-lever))
	return friction * load * sum / (p.Length * p.Width)
}

// distances is ∬√(x² + y²) over a rectangle from the origin to (a, b), m³; it changes sign with b:
//
//	a·b·d/3 + (a³·asinh(b/a) + b³·asinh(a/|b|))/6,  d = √(a² + b²)
func distances(a, b float64) float64 {
	if b == 0 {
		return 0
	}
	return a*b*math.Hypot(a, b)/3 + (a*a*a*math.Asinh(b/a)+b*b*b*math.Asinh(a/math.Abs(b)))/6
}
