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

// Follow finds x at which the rising quantity f is zero, moving no further than Step at a time from places where
// f exists and keeping inside a shrinking bracket. The first step is Newton's; each later one goes to the zero of
// the cubic, x as a function of f, that has the last two places' values and slopes (inverse Hermite
// interpolation; the error shrinks as the square of each of the last two, order 1 + √3). f gives its value and slope, or an error
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
	var lastX, lastValue, lastSlope float64 // of the good place before
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
		step := -value / slope
		if !math.IsNaN(good) && value != lastValue {
			step = hermite(lastX-x, lastValue, lastSlope, value, slope)
		}
		good, lastX, lastValue, lastSlope = x, x, value, slope
		if value < 0 {
			lo = x
		} else {
			hi = x
		}
		if !(hi-lo >= s.Resolution) || math.IsNaN(value) {
			break
		}
		x += math.Max(-s.Step, math.Min(s.Step, step))
		switch {
		case x >= hi:
			x = (good + hi) / 2
		case x <= lo:
			x = (good + lo) / 2
		}
	}
	return math.NaN(), ended
}

// hermite gives the way from x to the zero of the cubic x(f) through the place before (at back from x) and the
// place at x, with the slopes there.
func hermite(back, before, slopeBefore, value, slope float64) float64 {
	gap := value - before
	t := -before / gap // 0 at the place before, 1 at x
	u := 1 - t
	return u*u*(1+2*t)*back + t*u*u*gap/slopeBefore - t*t*u*gap/slope
}
