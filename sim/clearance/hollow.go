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
	w.look(start)
	lo, hi := w.look(0), w.look(1)
	w.search(&lo, &hi, halvings)
	return math.Min(w.least, w.unsearched), w.along
}

// halvings leave a place on the edge uncertain by a thousand-millionth of its length.
const halvings = 30

// spot is a place on the edge, s, with what is asked of it again and again.
type spot struct {
	s, r, a float64    // its distances from the axis and from the middle plane, this one + outboard
	across  float64    // dr/ds
	hull    float64    // the signed distance from the wheel without its hollow, which is convex
	slope   float64    // of hull
	depths  [3]float64 // how far it lies inside the bore and the two pockets, negative outside
}

func (w *wheel) spot(s float64) (p spot) {
	p.s = s
	_, _, p.r, p.a = w.beyond(s)
	if p.r > 0 {
		p.across = (w.mixed + s*w.squareStep) / p.r
	}
	p.hull, p.slope = w.tangent(s)
	p.hull -= w.shoulder
	p.depths = [3]float64{w.bore - p.r, w.pocket(p.r, p.a), w.pocket(p.r, -p.a)}
	return p
}

// pocket is the depth within the pocket beside the barrel, and what lies beyond it, on the side of positive a.
func (w *wheel) pocket(r, a float64) float64 {
	out, along := r-w.rim, w.rimHalf-a
	if out > 0 && along > 0 {
		return -hypot(out, along)
	}
	return -max(out, along)
}

func (w *wheel) look(s float64) spot {
	p := w.spot(s)
	if d := w.distance(&p); d < w.least {
		w.least, w.along = d, s
	}
	return p
}

func (w *wheel) search(lo, hi *spot, depth int) {
	middle := w.look((lo.s + hi.s) / 2)
	bound := w.atLeast(lo, &middle, hi)
	switch {
	case depth == 0 || bound > w.least-resolution:
		return
	case bound > w.enough:
		w.unsearched = min(w.unsearched, bound)
		return
	}
	w.search(lo, &middle, depth-1)
	w.search(&middle, hi, depth-1)
}

// distance is the signed distance from the wheel: outside, to the nearer of tyre and barrel; inside, negative, to
// the nearest of the hull's outside, the bore and the pocket.
func (w *wheel) distance(p *spot) float64 {
	a := math.Abs(p.a)
	switch {
	case p.r >= w.rim && p.hull >= 0:
		return p.hull
	case p.r >= w.rim || p.r >= w.bore && a <= w.rimHalf:
		return -min(-p.hull, p.r-w.bore, hypot(max(0, p.r-w.rim), max(0, w.rimHalf-a)))
	}
	return min(hypot(w.rim-p.r, max(0, a-w.half)), hypot(max(0, w.bore-p.r), max(0, a-w.rimHalf)))
}

// atLeast is a bound that the distance doesn't fall below between two places with a third in their middle: the best of
// what is known of it, or the first that ends the search between them.
//
//   - It changes by no more than the way along the edge.
//   - It is at least the hull's, which lies above its tangent.
//   - It is at least the depth within each of the three convex hollows (the bore, endless; both pockets and what lies
//     beyond them), and a depth within a convex body is smallest at an end.
//   - Apart from both, the distances to tyre and barrel bend downward no more than the distance from the axis bends
//     upward, by no more than length²/r.
func (w *wheel) atLeast(lo, middle, hi *spot) float64 {
	half := (hi.s - lo.s) / 2
	bound := max(w.distance(middle)-half*w.length, middle.hull-math.Abs(middle.slope)*half)
	for i := range lo.depths {
		bound = max(bound, min(lo.depths[i], hi.depths[i]))
	}
	if bound > w.enough || bound > w.least-resolution {
		return bound
	}
	lowest := middle.s
	if w.squareStep > 0 {
		lowest = max(lo.s, min(hi.s, -w.mixed/w.squareStep))
	}
	_, _, r, _ := w.beyond(lowest)
	if sag := w.squareStep / r * half * half / 2; sag < math.Inf(1) { // no bound on the axis
		tyre, tyreSlope := w.fromTyre(middle)
		barrel, barrelSlope := w.fromRing(middle, w.bore, w.rim, w.rimHalf)
		if apart := min(tyre-math.Abs(tyreSlope)*half, barrel-math.Abs(barrelSlope)*half) - sag; apart > 0 {
			bound = max(bound, apart)
		}
	}
	return bound
}

// fromTyre is the distance from the tyre alone, zero within it, and its slope.
func (w *wheel) fromTyre(p *spot) (distance, slope float64) {
	switch {
	case p.r < w.rim:
		return w.fromRing(p, w.rim, math.Inf(1), w.half)
	case p.hull < 0:
		return 0, 0
	}
	return p.hull, p.slope
}

// fromRing is the distance from a ring, zero within it, and its slope.
func (w *wheel) fromRing(p *spot, inner, outer, half float64) (distance, slope float64) {
	var across, acrossSlope, along, alongSlope float64
	switch {
	case p.r < inner:
		across, acrossSlope = inner-p.r, -p.across
	case p.r > outer:
		across, acrossSlope = p.r-outer, p.across
	}
	if math.Abs(p.a) > half {
		along, alongSlope = math.Abs(p.a)-half, math.Copysign(w.axialStep, p.a*w.axialStep)
	}
	if distance = hypot(across, along); distance == 0 {
		return 0, 0
	}
	return distance, (across*acrossSlope + along*alongSlope) / distance
}

// hypot is math.Hypot for lengths of a wheel's size, for which nothing overflows.
func hypot(a, b float64) float64 { return math.Sqrt(a*a + b*b) }

// outward is the direction in the section (away from the axis, away from the middle plane) in which a place's
// distance from the wheel grows.
func (w *wheel) outward(s float64) (across, aside float64) {
	rimward, sideward, r, a := w.beyond(s)
	a = math.Abs(a)
	hull := w.spot(s).hull
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
