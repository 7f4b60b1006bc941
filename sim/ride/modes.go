package ride

import (
	"math"
)

// Mode is one way of swinging by itself.
type Mode struct {
	// Frequency is the undamped natural one in rad/s; NaN when the motion is damped to or above critical and so
	// doesn't swing at all.
	Frequency float64
	// DampingRatio is that of the damped system's own pair of roots: −Re λ/|λ| below critical, and
	// (|λ1| + |λ2|)/(2·√(λ1·λ2)) ≥ 1 for a pair of real roots.
	DampingRatio float64
}

// Oscillates tells whether the mode is damped below critical.
func (m Mode) Oscillates() bool { return m.DampingRatio < 1 }

// Modes gives the body's mode (the slower) and the wheel's (hop).
//
// The undamped natural frequencies solve ω⁴ − a2·ω² + a0 = 0 (Barton & Fieldhouse 2018, Eq. 3.83). The damping
// ratios come from the roots of the whole damped system, not from c/(2·√(k·m)) of each mass by itself, so that
// body and wheel share the one damper as they really do.
func (q QuarterCar) Modes() (body, hop Mode) {
	slow, fast := q.undamped()
	body.Frequency, hop.Frequency = slow, fast
	body.DampingRatio, hop.DampingRatio = q.ratios()
	for _, m := range []*Mode{&body, &hop} {
		if !m.Oscillates() {
			m.Frequency = math.NaN()
		}
	}
	return body, hop
}

func (q QuarterCar) undamped() (slow, fast float64) {
	_, a2, _, a0 := q.polynomial()
	fast2 := (a2 + math.Sqrt(a2*a2-4*a0)) / 2
	return math.Sqrt(a0 / fast2), math.Sqrt(fast2) // the product of the squares is a0: no cancellation
}

// ratios factors the characteristic polynomial into (s² + p1·s + q1)·(s² + p2·s + q2) with q1 ≤ q2 and gives
// the damping ratio p/(2·√q) of each factor.
//
// y = q1 + q2 is the largest root of the resolvent cubic
//
//	y³ − a2·y² + (a1·a3 − 4·a0)·y + 4·a0·a2 − a1² − a0·a3² = 0
//
// (Ferrari's method): of the three ways to pair four roots it keeps complex roots with their mates, and puts the
// two slowest together when all are real. It lies from 2·√a0 (q1 = q2) to a2 (p1·p2 = 0), where the cubic is not
// above and not below zero. With three real roots the cubic is convex right of its largest, and Newton's steps from
// a2 come down on that one; with a single one they are kept in the bracket.
func (q QuarterCar) ratios() (slow, fast float64) {
	a3, a2, a1, a0 := q.polynomial()
	b, d := a1*a3-4*a0, 4*a0*a2-a1*a1-a0*a3*a3
	low, high := 2*math.Sqrt(a0), a2
	y := high
	for range 200 { // about six steps; a double root, at critical damping, only halves the distance each time
		value, slope := ((y-a2)*y+b)*y+d, (3*y-2*a2)*y+b
		if value > 0 {
			high = y
		} else {
			low = y
		}
		next := y - value/slope
		if !(next >= low && next <= high) {
			next = (low + high) / 2
		}
		if math.Abs(next-y) <= 1e-16*y {
			break
		}
		y = next
	}
	gap := math.Sqrt(math.Max(y*y-4*a0, 0))
	q2 := (y + gap) / 2
	q1 := a0 / q2
	var p1, p2 float64
	if gap > 1e-3*y {
		// p1 + p2 = a3 and p1·q2 + p2·q1 = a1: linear, and exact however light the damping.
		p1 = (a1 - a3*q1) / (q2 - q1)
		p2 = a3 - p1
	} else {
		// Nearly equal frequencies: those two equations become one, and p1·p2 = a2 − y takes over. The second one
		// still tells which belongs to which.
		half := math.Sqrt(math.Max(a3*a3-4*(a2-y), 0))
		p1, p2 = (a3-half)/2, (a3+half)/2
		if math.Abs(p2*q2+p1*q1-a1) < math.Abs(p1*q2+p2*q1-a1) {
			p1, p2 = p2, p1
		}
	}
	return p1 / (2 * math.Sqrt(q1)), p2 / (2 * math.Sqrt(q2))
}

// DampingForHop gives the damping at the wheel, in N·s/m, at which hop has the given damping ratio: NaN when
// there is none below critical within four times the first guess.
func (q QuarterCar) DampingForHop(ratio float64) float64 {
	miss := func(c float64) float64 {
		q.Damping = c
		_, hop := q.Modes()
		return hop.DampingRatio - ratio
	}
	// The wheel by itself between spring and tyre: c = 2·ζ·√((k + kt)·mu), a little high for the coupled pair.
	guess := 2 * ratio * math.Sqrt((q.Spring+q.Tyre)*q.Unsprung)
	low, atLow := 0.0, -ratio
	high, atHigh := guess, miss(guess)
	if atHigh < 0 {
		low, atLow = high, atHigh
		high = 4 * guess
		atHigh = miss(high)
	}
	if !(ratio > 0 && ratio < 1 && atHigh >= 0) {
		return math.NaN()
	}
	// False position, halving the value at an end that stays put (the Illinois method).
	stayed := 0.0
	for range 100 {
		c := high - atHigh*(high-low)/(atHigh-atLow)
		at := miss(c)
		switch {
		case math.Abs(at) <= 1e-12:
			return c
		case at > 0:
			high, atHigh = c, at
			if stayed > 0 {
				atLow /= 2
			}
		default:
			low, atLow = c, at
			if stayed < 0 {
				atHigh /= 2
			}
		}
		stayed = at
	}
	// Where the roots meet, the ratio jumps from one pair to another; a jump over the target is no answer.
	return math.NaN()
}
