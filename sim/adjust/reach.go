package adjust

import "math"

// heldClose is how near, in rad, a camber (or caster) must be kept to count as held: loose enough that the very
// corner of the region isn't lost to rounding.
const heldClose = 1e-9

// Extreme gives the least and the most caster that can be held at a camber, with toe at the value given,
// starting from a setting within the ranges; or, with atCaster, the least and the most camber at a caster.
// They are NaN when that camber (or caster) can't be held at all.
//
// Where a joint's limit, and not the adjusters' ranges, bounds the region, the result is how far the joint lets caster
// go from its present value at that camber (or camber at that caster).
func (c *Corner) Extreme(from Settings, within *Ranges, at Angles, atCaster bool) (least, most float64) {
	low, high := leastCaster, mostCaster
	if atCaster {
		low, high = leastCamber, mostCamber
	}
	return c.extreme(from, within, at, low), c.extreme(from, within, at, high)
}

func (c *Corner) extreme(from Settings, within *Ranges, at Angles, what seek) float64 {
	var s State
	g := goal{seek: what, at: vector{at.Camber, at.Caster}}
	kept, read := func(s *State) float64 { return s.Camber - at.Camber }, func(s *State) float64 { return s.Caster }
	if what == mostCamber || what == leastCamber {
		kept, read = func(s *State) float64 { return s.Caster - at.Caster }, func(s *State) float64 { return s.Camber }
	}
	if err := c.optimise(from, within, at.Toe, &g, &s); err != nil {
		return math.NaN()
	}
	if !(math.Abs(kept(&s)) < heldClose) {
		return math.NaN()
	}
	if c.allowed(&s) == nil {
		return read(&s)
	}
	end := vector{s.Camber, s.Caster}
	var start State
	if c.At(from, &start) != nil {
		return math.NaN()
	}
	// The point at the camber (or caster) kept that is nearest to where the corner stands.
	near := goal{seek: nearest, at: vector{at.Camber, start.Caster}}
	if what == mostCamber || what == leastCamber {
		near.at = vector{start.Camber, at.Caster}
	}
	if c.settle(from, within, at.Toe, &near, &s) != nil || !(math.Abs(kept(&s)) < heldClose) {
		return math.NaN()
	}
	if c.furthest(from, within, at.Toe, vector{s.Camber, s.Caster}, goal{at: end}, &s) != nil {
		return math.NaN()
	}
	return read(&s)
}

// Outline goes once round the edge of everything that can be reached with toe at the value given: points in
// equal numbers on every side, the last one the first again, so len(edge) − 1 must be a multiple of the
// number of sides, twice that of the adjusters in use. Points that no joint allows are NaN. With no adjuster
// in use the edge is the one point that there is.
//
// It runs the adjusters one by one from one end of their range to the other, in the order of their direction
// (see polygon), each time choosing the next by the rates where it stands. For two the order makes no
// difference; for five the edge is dented by up to about a tenth of a degree, where two of nearly the same
// direction change places along a side.
func (c *Corner) Outline(from Settings, within *Ranges, toe float64, edge []Angles) error {
	var s State
	if err := c.At(from, &s); err != nil {
		return Unreachable{err}
	}
	tie := s.Rate(TieRod)
	rate, _ := s.rates(within, &tie)
	var least, most move
	for k, r := range within {
		least[k], most[k] = from[k], from[k]
		if r.Used() {
			least[k], most[k] = r.Least, r.Most
		}
	}
	p := newPolygon(&rate, &least, &most)
	x := from
	for k := range least {
		x[k] = p.low(k)
	}
	if p.n == 0 {
		only := c.withToe(x, toe, &s)
		for i := range edge {
			edge[i] = only
		}
		return nil
	}
	each := (len(edge) - 1) / p.sides()
	if each*p.sides() != len(edge)-1 {
		panic("adjust: the outline's points don't share out evenly over its sides")
	}
	next := s // scratch space, made once because a State is large
	if edge[0] = c.withToe(x, toe, &next); !math.IsNaN(edge[0].Camber) {
		s = next
	}
	for side := range p.sides() {
		rising := side < p.n
		tie := s.Rate(TieRod)
		rate, back := s.rates(within, &tie)
		k := p.next(&rate, &x, rising)
		start, end := p.low(k), p.high(k)
		if !rising {
			start, end = end, start
		}
		rod := course{y: [3]float64{2: s.Set[TieRod]}}
		if s.Set[k] == start { // else a joint forbids the side's first point, and s stands somewhere before it
			rod.slope = back[k]
			rod.add(start, s.Set[TieRod])
		}
		for i := range each {
			x[k] = start + float64(i+1)/float64(each)*(end-start)
			if i == each-1 {
				x[k] = end // exactly
			}
			edge[side*each+i+1] = c.further(&rod, x, Kind(k), toe, &s, &next)
		}
	}
	edge[len(edge)-1] = edge[0] // exactly
	return nil
}

// next is the adjuster to be run next, by direction, of those still at the end of their range where they began.
func (p *polygon) next(rate *[setters]vector, x *Settings, rising bool) int {
	best, bestLean := -1, math.Inf(1)
	for _, k := range p.order[:p.n] {
		if begin := p.low(k); (x[k] == begin) != rising {
			continue
		}
		g := rate[k]
		if p.turn[k] {
			g = vector{-g.camber, -g.caster}
		}
		if l := g.lean(); l < bestLean {
			best, bestLean = k, l
		}
	}
	return best
}

// course guesses what one setting becomes as another moves along a side, from its last three values.
type course struct {
	slope float64    // at the first place
	x, y  [3]float64 // the last at the end
	n     int
}

func (c *course) add(x, y float64) {
	c.x, c.y = [3]float64{c.x[1], c.x[2], x}, [3]float64{c.y[1], c.y[2], y}
	c.n++
}

// at goes on along the parabola through three places, or straight where there are fewer.
func (c *course) at(x float64) float64 {
	slope := c.slope
	if c.n > 1 {
		slope = (c.y[2] - c.y[1]) / (c.x[2] - c.x[1])
	}
	y := c.y[2] + slope*(x-c.x[2])
	if c.n > 2 {
		before := (c.y[1] - c.y[0]) / (c.x[1] - c.x[0])
		y += (slope - before) / (c.x[2] - c.x[0]) * (x - c.x[2]) * (x - c.x[1])
	}
	return y
}

// further moves adjuster k to x[k] on its way along a side, sets the tie rod to toe, and leaves the corner so set in s;
// next is room for the try. The tie rod starts where its course guesses. Where a joint forbids some points of the side,
// the guess across that gap can be so far out that the toe isn't found though the point is allowed; then the tie rod
// starts once more from where it last stood.
func (c *Corner) further(rod *course, x Settings, k Kind, toe float64, s, next *State) Angles {
	x[TieRod] = rod.at(x[k])
	at := c.withToe(x, toe, next)
	if math.IsNaN(at.Camber) && rod.n > 0 {
		*rod = course{y: [3]float64{2: s.Set[TieRod]}}
		x[TieRod] = s.Set[TieRod]
		at = c.withToe(x, toe, next)
	}
	if !math.IsNaN(at.Camber) {
		*s = *next
		rod.add(s.Set[k], s.Set[TieRod])
	}
	return at
}

// nearlyThere is a step of the tie rod, in m, over which the angles change evenly to within 1e-13 rad.
const nearlyThere = 1e-7

// withToe sets everything but the tie rod to x and the tie rod so that toe is reached. The last step of the tie
// rod is made in the setting and the angles alone; the pose stays that much behind.
func (c *Corner) withToe(x Settings, toe float64, s *State) Angles {
	absent := Angles{math.NaN(), math.NaN(), math.NaN()}
	for range mostSteps {
		if c.At(x, s) != nil {
			return absent
		}
		rate := s.Rate(TieRod)
		step := (toe - s.Toe) / rate.Toe
		if math.Abs(step) < nearlyThere {
			if c.allowed(s) != nil {
				return absent
			}
			s.Set[TieRod] += step
			s.Angles = Angles{s.Camber + rate.Camber*step, s.Caster + rate.Caster*step, toe}
			return s.Angles
		}
		x[TieRod] += clamp(step, -stepMost, stepMost)
	}
	return absent
}
