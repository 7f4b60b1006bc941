package adjust

import (
	"errors"
	"math"
)

// Target is the alignment asked for. Where it can't be had: toe exactly, the least camber outside the tolerance
// either side of Camber, then the least caster error, then the least camber error.
type Target struct {
	Angles
	CamberTolerance float64
}

// Outcome is how a target was met.
type Outcome struct {
	Reached bool   // every angle to within rounding
	AtEnd   Ends   // adjusters that stand at an end of their range
	Blocked error  // what keeps the corner from coming nearer, where that is a joint and not a range
	Short   Angles // target less what is given
}

// Ends marks adjusters.
type Ends [setters]bool

const (
	// A step, in m, below which a setting counts as found. An angle then changes by less than 1e-10 rad; the
	// wheel height is itself only found to 1e-13 m.
	stepClose = 1e-11
	// An angle, in rad, this near to its target counts as reached: a hundredth of the promised 1e-6 degree.
	angleClose = 1e-10
	// The furthest, in m, that an adjuster moves in one step: about the range over which rates stay good.
	stepMost = 0.02
	// Where the linkage can be assembled only after steps shorter than this, in m, a joint has reached its limit.
	stepLeast = 1e-4
	// Steps after which the search is given up. An ordinary corner takes four or five; one whose best setting lies
	// where two adjusters have the same effect takes some thirty.
	mostSteps = 100
	// Where two adjusters have the same effect at the best setting, the steps never become short by themselves, and
	// settle shortens them. Any setting within this of the best one, in m, is as good: near the best the angles
	// change with the square of the distance, by 1e-12 rad here.
	tradeClose = 1e-6
)

var errUnsettled = errors.New("the alignment can't be set: its adjusters work against each other here")

// Solve finds the settings for a target, starting from a setting within the ranges, and leaves the corner so
// set in s. Of the settings that meet the target it gives the one that has moved least from the start: least
// sum of squares of the movements, each in its own range's Unit, the tie rod not counted.
//
// When a joint and not a range is what limits it, the corner is taken as far along the straight way from its
// present angles to the target's as the joint allows. The error is Unreachable when not even toe can be set.
func (c *Corner) Solve(from Settings, within *Ranges, to Target, s *State) (Outcome, error) {
	g := goal{at: vector{to.Camber, to.Caster}, tolerance: to.CamberTolerance}
	err := c.optimise(from, within, to.Toe, &g, s)
	if err == nil {
		err = c.allowed(s)
	}
	var out Outcome
	if err != nil {
		var start State
		if err := c.At(from, &start); err != nil {
			return out, Unreachable{err}
		}
		stop := err
		if err := c.furthest(from, within, to.Toe, vector{start.Camber, start.Caster}, g, s); err != nil {
			return out, err
		}
		out.Blocked = stop
	}
	out.Short = Angles{to.Camber - s.Camber, to.Caster - s.Caster, to.Toe - s.Toe}
	out.Reached = math.Abs(out.Short.Camber) < angleClose && math.Abs(out.Short.Caster) < angleClose
	out.AtEnd = within.ends(&s.Set)
	return out, nil
}

// ends tells which adjusters stand at an end of their range.
func (w *Ranges) ends(x *Settings) (at Ends) {
	for k, r := range w {
		slack := 1e-9 * (r.Most - r.Least) // rounding
		at[k] = r.Used() && (x[k] <= r.Least+slack || x[k] >= r.Most-slack)
	}
	return at
}

// allowed refuses a setting that can be assembled but may not be used.
func (c *Corner) allowed(s *State) error {
	if c.Allowed == nil {
		return nil
	}
	if err := c.Allowed(s); err != nil {
		return Unreachable{err}
	}
	return nil
}

// furthest goes as far from good towards the goal's target as the joints allow.
func (c *Corner) furthest(from Settings, within *Ranges, toe float64, good vector, g goal, s *State) error {
	const halvings = 32 // from several degrees down to angleClose
	bad := g.at
	try := func(at vector, s *State) error {
		g := goal{nearest, at, g.tolerance}
		if err := c.settle(from, within, toe, &g, s); err != nil {
			return err
		}
		return c.allowed(s)
	}
	if err := try(good, s); err != nil {
		return err
	}
	var next State
	for range halvings {
		if at := good.between(bad, 0.5); try(at, &next) == nil {
			good, *s = at, next
		} else {
			bad = at
		}
	}
	return nil
}

// optimise settles the corner, and makes sure that what it settles at is the best there is.
//
// With two adjusters there is only one best setting. With more, settle can stop at a setting that is the best of its
// neighbours but not of all: where two adjusters have nearly the same effect, either of them may be the one to run to
// its end, because the effects change along the arms' arcs. So each adjuster that stands at an end is tried at its
// other end as well.
func (c *Corner) optimise(from Settings, within *Ranges, toe float64, g *goal, s *State) error {
	if err := c.settle(from, within, toe, g, s); err != nil {
		return err
	}
	used := 0
	for _, r := range within {
		if r.Used() {
			used++
		}
	}
	best := g.score(vector{s.Camber, s.Caster})
	if used <= 2 || g.seek == nearest && best[1] < angleClose && best[2] < angleClose {
		return nil
	}
	settled := s.Set
	var other State
	keep := func(start Settings, within *Ranges) bool {
		if c.settle(start, within, toe, g, &other) != nil {
			return false
		}
		if found := g.score(vector{other.Camber, other.Caster}); found.better(best, angleClose) {
			best, *s = found, other
		}
		return true
	}
	for k, end := range within.ends(&settled) {
		if !end {
			continue
		}
		start, held := settled, *within
		start[k] = within[k].Least + within[k].Most - settled[k]
		held[k].Least, held[k].Most = start[k], start[k]
		if keep(start, &held) {
			keep(other.Set, within)
		}
	}
	return nil
}

// settle sets the corner to the goal and to toe, from a setting within the ranges.
//
// Two adjusters can have so nearly the same effect that the choice of which one to run to its end changes from one
// setting to the next, and whole steps would go to and fro for ever. A step that goes back on the one before is
// therefore allowed only half its length, until the steps are too short to change the angles.
func (c *Corner) settle(from Settings, within *Ranges, toe float64, g *goal, s *State) error {
	if err := c.At(from, s); err != nil {
		return Unreachable{err}
	}
	var next State
	stopped := errUnsettled
	reach := math.Inf(1) // furthest that an adjuster may move in a step
	var last Settings
	for range mostSteps {
		step := c.step(from, within, reach, toe, g, s)
		largest, along := 0.0, 0.0
		for k, d := range step {
			largest = math.Max(largest, math.Abs(d))
			if k != int(TieRod) {
				along += d * last[k]
			}
		}
		switch {
		case math.IsNaN(largest) || math.IsInf(largest, 0):
			return Unreachable{stopped}
		case largest < stepClose:
			return nil
		case along < -square(last)/4 && largest > tradeClose/4: // shorter steps can reverse through rounding error alone
			if reach < tradeClose {
				return nil
			}
			reach = math.Min(reach, largest) / 2
			last = Settings{}
			continue
		case along > 0:
			reach *= 2
		}
		last = step
		share := math.Min(1, stepMost/largest)
		for {
			x := s.Set
			for k, d := range step {
				x[k] += share * d
			}
			err := c.At(x, &next)
			if err == nil {
				break
			}
			stopped = err
			share /= 2
			if share*largest < stepLeast {
				return Unreachable{stopped}
			}
		}
		*s = next
	}
	return Unreachable{stopped}
}

// step gives the movement that would meet the goal and toe if the corner were linear from where it stands.
//
// No adjuster moves further than reach; the tie rod follows.
func (c *Corner) step(from Settings, within *Ranges, reach, toe float64, g *goal, s *State) Settings {
	tie := s.Rate(TieRod)
	// What a movement does once the tie rod has brought toe back.
	reset := (toe - s.Toe) / tie.Toe
	at := goal{g.seek, g.at.sub(vector{s.Camber + tie.Camber*reset, s.Caster + tie.Caster*reset}), g.tolerance}
	rate, back := s.rates(within, &tie)
	var least, most, wanted move
	used := 0
	for k, r := range within {
		if r.Used() {
			used++
			least[k], most[k] = math.Max(-reach, r.Least-s.Set[k]), math.Min(reach, r.Most-s.Set[k])
			wanted[k] = from[k] - s.Set[k]
		}
	}
	d, ok := move{}, false
	if g.seek == nearest {
		switch {
		case used == 2:
			d, ok = only(&rate, &least, &most, within, at.at)
		case used > 2:
			d, ok = smallest(&rate, &least, &most, &wanted, within, at.at)
		}
	}
	if !ok {
		p := newPolygon(&rate, &least, &most)
		d = p.best(&at)
	}
	var step Settings
	step[TieRod] = reset
	for k := range within {
		step[k] = d[k]
		step[TieRod] += back[k] * d[k]
	}
	return step
}

// square is the sum of the squares of all movements but the tie rod's.
func square(d Settings) (sum float64) {
	for _, x := range d[:setters] {
		sum += x * x
	}
	return sum
}

// rates gives, from the tie rod's own rates, the change of camber and caster per metre of each adjuster in
// use with toe brought back by the tie rod, and how much longer the tie rod then is.
func (s *State) rates(within *Ranges, tie *Angles) (rate [setters]vector, back [setters]float64) {
	for k, r := range within {
		if r.Used() {
			a := s.Rate(Kind(k))
			back[k] = -a.Toe / tie.Toe
			rate[k] = vector{a.Camber + tie.Camber*back[k], a.Caster + tie.Caster*back[k]}
		}
	}
	return rate, back
}

// only gives the one movement of two adjusters that goes to a point; ok is false when it lies outside their ranges.
func only(rate *[setters]vector, least, most *move, within *Ranges, to vector) (d move, ok bool) {
	a, b := -1, -1
	for k, r := range within {
		if r.Used() {
			a, b = b, k
		}
	}
	det := rate[a].cross(rate[b])
	d[a], d[b] = to.cross(rate[b])/det, rate[a].cross(to)/det
	for _, k := range [...]int{a, b} {
		if !(d[k] >= least[k] && d[k] <= most[k]) { // written so that NaN, no solution, is refused too
			return d, false
		}
	}
	return d, true
}
