package clearance

import "math"

// wheel is a hollow wheel as an edge sees it. Its section is the tyre, from the rim's radius outward, and below it
// the rim's barrel, from the bore to the rim's radius, narrower than the tyre: beside the barrel lies a pocket.
type wheel struct {
	line
	shoulder, half     float64 // of the tyre
	rim, bore, rimHalf float64
	length             float64 // of the edge
	least, along       float64 // the smallest distance that was seen, and where
	enough, unsearched float64 // more than this needn't be known well; what is left unsearched for it has no less than unsearched
}

// resolution is a distance that nobody could tell, in m.
const resolution = 1e-10

// throughout finds the smallest distance along the edge by cutting it into halves as long as one of them could hold
// a smaller one than was seen (branch and bound: R. Horst and H. Tuy, Global Optimization, 3rd edition, Springer
// 1996, ch. 4, from memory). It starts from the hull's nearest place. A distance that is more than enough may be
// told too small, yet as more than enough.
func (w *wheel) throughout(start, enough float64) (distance, along float64) {
	w.least, w.enough, w.unsearched = math.Inf(1), enough, math.Inf(1)
	for _, s := range [...]float64{start, 0, 1} {
		w.look(s)
	}
	w.search(0, 1, halvings)
	return math.Min(w.least, w.unsearched), w.along
}

func (w *wheel) look(s float64) {
	if d := w.distance(s); d < w.least {
		w.least, w.along = d, s
	}
}

func (w *wheel) search(lo, hi float64, depth int) {
	w.look((lo + hi) / 2)
	bound := w.atLeast(lo, hi)
	switch {
	case depth == 0 || bound > w.least-resolution:
		return
	case bound > w.enough:
		w.unsearched = math.Min(w.unsearched, bound)
		return
	}
	w.search(lo, (lo+hi)/2, depth-1)
	w.search((lo+hi)/2, hi, depth-1)
}

// distance is the signed distance from the wheel: outside, to the nearer of tyre and barrel; inside, negative, to
// the nearest of the hull's outside, the bore and the pocket.
func (w *wheel) distance(s float64) float64 {
	_, _, r, a := w.beyond(s)
	a = math.Abs(a)
	hull, _ := w.hull(s)
	switch {
	case r >= w.rim && hull >= 0:
		return hull
	case r >= w.rim || r >= w.bore && a <= w.rimHalf:
		return -min(-hull, r-w.bore, math.Hypot(math.Max(0, r-w.rim), math.Max(0, w.rimHalf-a)))
	}
	tyre := math.Hypot(w.rim-r, math.Max(0, a-w.half))
	return math.Min(tyre, math.Hypot(math.Max(0, w.bore-r), math.Max(0, a-w.rimHalf)))
}

// hull is the signed distance from the wheel without its hollow, which is convex, and its slope.
func (w *wheel) hull(s float64) (distance, slope float64) {
	distance, slope = w.tangent(s)
	return distance - w.shoulder, slope
}

// atLeast is a bound that the distance doesn't fall below between two places: the best of what is known of it.
//
//   - It changes by no more than the way along the edge.
//   - It is at least the hull's, which lies above its tangent.
//   - It is at least the depth within each of the three convex hollows (the bore, endless; both pockets and what lies
//     beyond them), and a depth within a convex body is smallest at an end.
//   - Apart from both, the distances to tyre and barrel bend downward no more than the distance from the axis bends
//     upward, by no more than length²/r.
func (w *wheel) atLeast(lo, hi float64) float64 {
	middle, half := (lo+hi)/2, (hi-lo)/2
	bound := w.distance(middle) - half*w.length
	hull, slope := w.hull(middle)
	bound = math.Max(bound, hull-math.Abs(slope)*half)
	from, to := w.depths(lo), w.depths(hi)
	for i := range from {
		bound = math.Max(bound, math.Min(from[i], to[i]))
	}
	lowest := middle
	if w.squareStep > 0 {
		lowest = math.Max(lo, math.Min(hi, -w.mixed/w.squareStep))
	}
	_, _, r, _ := w.beyond(lowest)
	if sag := w.squareStep / r * half * half / 2; sag < math.Inf(1) { // no bound on the axis
		tyre, tyreSlope := w.fromTyre(middle)
		barrel, barrelSlope := w.fromBarrel(middle)
		if apart := math.Min(tyre-math.Abs(tyreSlope)*half, barrel-math.Abs(barrelSlope)*half) - sag; apart > 0 {
			bound = math.Max(bound, apart)
		}
	}
	return bound
}

// depths is how far a place lies inside the bore and the two pockets, negative outside.
func (w *wheel) depths(s float64) [3]float64 {
	_, _, r, a := w.beyond(s)
	pocket := func(a float64) float64 {
		out, along := r-w.rim, w.rimHalf-a
		if out > 0 && along > 0 {
			return -math.Hypot(out, along)
		}
		return -math.Max(out, along)
	}
	return [3]float64{w.bore - r, pocket(a), pocket(-a)}
}

// fromTyre is the distance from the tyre alone, zero within it, and its slope.
func (w *wheel) fromTyre(s float64) (distance, slope float64) {
	if _, _, r, _ := w.beyond(s); r >= w.rim {
		if distance, slope = w.hull(s); distance < 0 {
			return 0, 0
		}
		return distance, slope
	}
	return w.fromRing(s, w.rim, math.Inf(1), w.half)
}

// fromBarrel is the distance from the rim's barrel alone, zero within it, and its slope.
func (w *wheel) fromBarrel(s float64) (distance, slope float64) {
	return w.fromRing(s, w.bore, w.rim, w.rimHalf)
}

func (w *wheel) fromRing(s, inner, outer, half float64) (distance, slope float64) {
	_, _, r, a := w.beyond(s)
	var across, acrossSlope, along, alongSlope float64
	if r > 0 {
		acrossSlope = (w.mixed + s*w.squareStep) / r
	}
	switch {
	case r < inner:
		across, acrossSlope = inner-r, -acrossSlope
	case r > outer:
		across = r - outer
	default:
		acrossSlope = 0
	}
	if math.Abs(a) > half {
		along, alongSlope = math.Abs(a)-half, math.Copysign(w.axialStep, a*w.axialStep)
	}
	if distance = math.Hypot(across, along); distance == 0 {
		return 0, 0
	}
	return distance, (across*acrossSlope + along*alongSlope) / distance
}

// outward is the direction in the section (away from the axis, away from the middle plane) in which a place's
// distance from the wheel grows.
func (w *wheel) outward(s float64) (across, aside float64) {
	rimward, sideward, r, a := w.beyond(s)
	a = math.Abs(a)
	hull, _ := w.hull(s)
	toPocket := math.Hypot(math.Max(0, r-w.rim), math.Max(0, w.rimHalf-a))
	towards := func(across, aside float64) (float64, float64) {
		if n := math.Hypot(across, aside); n > 0 {
			return across / n, aside / n
		}
		return 0, 1
	}
	inside := hull < 0 && (r >= w.rim || r >= w.bore && a <= w.rimHalf)
	switch {
	case inside && r-w.bore <= math.Min(-hull, toPocket):
		return -1, 0
	case inside && toPocket <= -hull:
		return towards(-math.Max(0, r-w.rim), math.Max(0, w.rimHalf-a))
	case inside || r >= w.rim:
		if rimward > 0 && sideward > 0 {
			return towards(rimward, sideward)
		}
		if sideward >= rimward {
			return 0, 1
		}
		return 1, 0
	case math.Hypot(w.rim-r, math.Max(0, a-w.half)) < math.Hypot(math.Max(0, w.bore-r), math.Max(0, a-w.rimHalf)):
		return towards(r-w.rim, math.Max(0, a-w.half))
	}
	return towards(-math.Max(0, w.bore-r), math.Max(0, a-w.rimHalf))
}
