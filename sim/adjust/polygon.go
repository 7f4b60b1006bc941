package adjust

import "math"

// vector is a point of the plane of camber and caster.
type vector struct{ camber, caster float64 }

func (a vector) add(b vector, times float64) vector {
	return vector{a.camber + times*b.camber, a.caster + times*b.caster}
}

func (a vector) sub(b vector) vector                { return vector{a.camber - b.camber, a.caster - b.caster} }
func (a vector) cross(b vector) float64             { return a.camber*b.caster - a.caster*b.camber }
func (a vector) dot(b vector) float64               { return a.camber*b.camber + a.caster*b.caster }
func (a vector) lean() float64                      { return math.Atan2(a.caster, a.camber) }
func (a vector) flipped() bool                      { return a.caster < 0 || a.caster == 0 && a.camber < 0 }
func (a vector) between(b vector, t float64) vector { return a.add(b.sub(a), t) }

// move is how far each adjuster moves from where it stands.
type move [setters]float64

// polygon is everything that a linear corner reaches from where it stands: the zonotope of its generators.
//
// Its corners are found by starting where every generator, turned to point up (towards more caster), stands
// at its least, which is the lowest corner, and raising them one by one in the order of their direction,
// which walks up the right-hand side; lowering them in the same order walks down the left.
type polygon struct {
	rate  [setters]vector // of each adjuster
	least move
	most  move
	order [setters]int  // the adjusters that move, by direction
	turn  [setters]bool // whose rate points down, so that raising them lowers caster
	n     int           // how many move
	start vector
}

func newPolygon(rate *[setters]vector, least, most *move) polygon {
	p := polygon{rate: *rate, least: *least, most: *most}
	var lean [setters]float64
	for i := range p.rate {
		g := p.rate[i]
		if p.turn[i] = g.flipped(); p.turn[i] {
			g = vector{-g.camber, -g.caster}
		}
		p.start = p.start.add(p.rate[i], p.low(i))
		if !(most[i] > least[i]) {
			continue
		}
		lean[i] = g.lean()
		at := p.n
		for at > 0 && lean[p.order[at-1]] > lean[i] {
			p.order[at] = p.order[at-1]
			at--
		}
		p.order[at] = i
		p.n++
	}
	return p
}

// low is the end of adjuster i's range with the least caster, high the other.
func (p *polygon) low(i int) float64 {
	if p.turn[i] {
		return p.most[i]
	}
	return p.least[i]
}

func (p *polygon) high(i int) float64 {
	if p.turn[i] {
		return p.least[i]
	}
	return p.most[i]
}

// sides is the number of sides: two for each adjuster.
func (p *polygon) sides() int { return 2 * p.n }

// corners gives the corners in order; side e runs from corner e to corner e+1, the last back to the first.
func (p *polygon) corners(at *[2*setters + 1]vector) []vector {
	at[0] = p.start
	for e := range p.sides() {
		i := p.order[e%p.n]
		span := p.high(i) - p.low(i)
		if e >= p.n {
			span = -span
		}
		at[e+1] = at[e].add(p.rate[i], span)
	}
	return at[:max(p.sides(), 1)]
}

// edge gives the movement that puts the corner on side e, a share t along it.
func (p *polygon) edge(e int, t float64) move {
	m := p.least // an adjuster that can't move has only this
	for k := range p.n {
		i := p.order[k]
		rising := e < p.n
		done, on := k < e%p.n, k == e%p.n
		switch {
		case on:
			share := t
			if !rising {
				share = 1 - t
			}
			m[i] = p.low(i) + share*(p.high(i)-p.low(i))
			// Exactly the limits at the ends, so that they are recognised as reached.
			if share <= 0 {
				m[i] = p.low(i)
			} else if share >= 1 {
				m[i] = p.high(i)
			}
		case done == rising:
			m[i] = p.high(i)
		default:
			m[i] = p.low(i)
		}
	}
	return m
}

// holds tells whether a point lies inside.
func (p *polygon) holds(at vector) bool {
	if p.n < 2 {
		return false
	}
	var room [2*setters + 1]vector
	corner := p.corners(&room)
	for e, from := range corner {
		to := corner[(e+1)%len(corner)]
		if to.sub(from).cross(at.sub(from)) < 0 {
			return false
		}
	}
	return true
}

// goal is what makes one point of the plane better than another: keys of falling importance, each the smaller the
// better, convex and piecewise linear.
type goal struct {
	seek      seek
	at        vector
	tolerance float64 // of camber, for nearest
}

type seek int

const (
	nearest     seek = iota // least camber outside the tolerance, then least caster error, then least camber error
	mostCaster              // at this camber
	leastCaster             // at this camber
	mostCamber              // at this caster
	leastCamber             // at this caster
)

func (g *goal) score(p vector) score {
	miss := p.sub(g.at)
	camber, caster := math.Abs(miss.camber), math.Abs(miss.caster)
	switch g.seek {
	case mostCaster:
		return score{camber, -p.caster}
	case leastCaster:
		return score{camber, p.caster}
	case mostCamber:
		return score{caster, -p.camber}
	case leastCamber:
		return score{caster, p.camber}
	}
	return score{math.Max(0, camber-g.tolerance), caster, camber}
}

type score [3]float64

// scoreClose is the difference, in rad, below which two points of one polygon count as equal and the next key
// decides; a smaller difference is rounding error.
const scoreClose = 1e-13

// better tells whether a score is better by more than close in the first key that differs by more than that.
func (s score) better(than score, close float64) bool {
	for k := range s {
		if d := s[k] - than[k]; d < -close {
			return true
		} else if d > close {
			return false
		}
	}
	return false
}

// best gives the movement to the point of the polygon's edge that is best by the goal. The keys break only where
// camber or caster meets the target or the tolerance's end, so the best is a corner or lies on such a line.
func (p *polygon) best(g *goal) move {
	if p.n == 0 {
		return p.least
	}
	var room [2*setters + 1]vector
	corner := p.corners(&room)
	bestEdge, bestShare, bestScore := 0, 0.0, g.score(corner[0])
	try := func(e int, t float64, at vector) {
		if s := g.score(at); s.better(bestScore, scoreClose) {
			bestEdge, bestShare, bestScore = e, t, s
		}
	}
	for e, from := range corner {
		to := corner[(e+1)%len(corner)]
		try(e, 1, to)
		for _, c := range [...]float64{g.at.camber, g.at.camber - g.tolerance, g.at.camber + g.tolerance} {
			if t := (c - from.camber) / (to.camber - from.camber); t > 0 && t < 1 {
				at := from.between(to, t)
				at.camber = c
				try(e, t, at)
			}
		}
		if t := (g.at.caster - from.caster) / (to.caster - from.caster); t > 0 && t < 1 {
			at := from.between(to, t)
			at.caster = g.at.caster
			try(e, t, at)
		}
	}
	return p.edge(bestEdge, bestShare)
}
