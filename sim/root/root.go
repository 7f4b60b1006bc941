// Package root finds where a smooth quantity reaches a value, following it from a known place.
package root

import (
	"errors"
	"math"
)

// ErrTurnsBack says that the quantity stops rising before it reaches the value.
var ErrTurnsBack = errors.New("the quantity turns back before it reaches the value")

// ErrEnd says that the search interval ends before the value is reached.
var ErrEnd = errors.New("the value lies outside the interval searched")

// Search sets out a search by Follow.
type Search struct {
	From         float64 // where to start: a place at which the quantity exists
	Least, Most  float64 // interval searched
	Step         float64 // furthest between two places at which the quantity is looked at
	Close        float64 // a quantity this near to zero counts as reached
	Resolution   float64 // an interval this short is given up; well below Close divided by the slope
	MostAttempts int     // 0: 100
}

// Follow finds x at which the rising quantity f is zero, by Newton's method kept inside a shrinking bracket,
// moving no further than Step at a time from places where f exists. f gives its value and slope, or an error
// where it doesn't exist; the quantity then ends between there and the last good place, and the search keeps
// to this side of the gap. So the root found lies on the same branch as From, unless a gap narrower than Step
// was stepped over; a caller to whom that matters has f itself refuse what lies beyond a gap.
//
// The error is the one that f gave where the quantity ended, ErrTurnsBack where its slope stopped being
// positive, or ErrEnd. It allocates nothing.
func (s Search) Follow(f func(x float64) (value, slope float64, err error)) (float64, error) {
	lo, hi := s.Least, s.Most
	ended := ErrEnd
	x, good := s.From, math.NaN()
	attempts := s.MostAttempts
	if attempts == 0 {
		attempts = 100
	}
	for range attempts {
		value, slope, err := f(x)
		if err == nil && !(slope > 0) { // catches NaN as well
			err = ErrTurnsBack
		}
		if err != nil {
			if math.IsNaN(good) {
				return math.NaN(), err
			}
			ended = err
			if x > good {
				hi = x
			} else {
				lo = x
			}
			if math.Abs(x-good) < s.Resolution {
				break
			}
			x = (good + x) / 2
			continue
		}
		if math.Abs(value) <= s.Close {
			return x, nil
		}
		good = x
		if value < 0 {
			lo = x
		} else {
			hi = x
		}
		if !(hi-lo >= s.Resolution) || math.IsNaN(value) {
			break
		}
		x += math.Max(-s.Step, math.Min(s.Step, -value/slope))
		switch {
		case x >= hi:
			x = (good + hi) / 2
		case x <= lo:
			x = (good + lo) / 2
		}
	}
	return math.NaN(), ended
}
