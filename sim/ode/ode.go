// Package ode integrates ordinary differential equations y′ = f(t, y) with an error it controls, and stops
// where something happens.
//
//	Integrate   from one time to another, or to the first event
//	Event       a function of time and state whose change of sign stops the integration
//	Span        one accepted step, with which the solution can be read at any time inside it
//
// The method is Dormand & Prince's embedded Runge–Kutta pair of orders 5 and 4 with its own fourth-order
// interpolant (J. Comput. Appl. Math. 6, 1980; the numbers as in Hairer, Nørsett & Wanner, Solving Ordinary
// Differential Equations I, 2nd ed. 1993, tables II.5.2 and section II.6; from memory, and checked here by the order
// conditions and by the observed order). Step sizes follow a proportional–integral controller (same book, section II.4).
//
// It is made for smooth, non-stiff equations. Where the equations change their form (dry friction that sticks
// or slips), end at an event and start anew with the other form: stepping across a kink costs both steps and accuracy.
package ode

import (
	"errors"
	"math"
)

// Func writes the rate of change of y at time t into dydt; it must not keep or change y.
type Func func(t float64, y, dydt []float64)

// Event stops an integration where Value passes through zero. A step that only starts at zero doesn't count, so that
// an integration may go on from the event it stopped at. Two zeros closer together than a quarter of a step can be missed:
// keep Options.MaxStep below the shortest thing that matters.
type Event struct {
	Value     func(t float64, y []float64) float64
	Direction int // +1: only rising through zero, −1: only falling, 0: both
}

// Options say how exactly to integrate. The zero value means the defaults.
type Options struct {
	Relative float64   // error allowed per step, as a share of each component; 0: 1e-6
	Absolute []float64 // error allowed per step, per component, beside the relative one; nil: 1e-9 for each
	MaxStep  float64   // 0: the whole interval
	MaxSteps int       // accepted and refused together; 0: 100 000
	Events   []Event
	Each     func(Span) // called after every accepted step, cut short at an event
}

// End tells where an integration ended.
type End struct {
	T     float64
	Event int // index of the event that stopped it; −1: the end of the interval
	Steps int // accepted steps
	Calls int // evaluations of the function
}

// Reasons an integration can fail.
var (
	ErrStep     = errors.New("ode: the step has shrunk to nothing; the equations are not smooth or not finite here")
	ErrTooLong  = errors.New("ode: too many steps")
	ErrInterval = errors.New("ode: the interval runs backwards or isn't finite")
)

// Integrate carries y from time `from` to time `to`, which must not lie before it, or to the first event; y is changed in
// place. On an error y holds the last good state.
func Integrate(f Func, from, to float64, y []float64, o Options) (End, error) {
	end := End{T: from, Event: -1}
	if !(to >= from) || math.IsInf(to, 0) || math.IsInf(from, 0) {
		return end, ErrInterval
	}
	if to == from || len(y) == 0 {
		end.T = to
		return end, nil
	}
	s := newStepper(f, y)
	c := newController(o, len(y), to-from)

	f(from, s.y, s.k[0])
	end.Calls = 1
	h := c.first(s, from)
	end.Calls++
	before := valuesAt(o.Events, from, s.y, nil)
	var after []float64
	for tries := 0; end.T < to; tries++ {
		if tries >= c.maxSteps {
			return end, ErrTooLong
		}
		// The last step is stretched or cut to land on the end, so that no sliver is left over.
		if h > c.maxStep {
			h = c.maxStep
		}
		if end.T+1.01*h >= to {
			h = to - end.T
		}
		if end.T+h == end.T {
			return end, ErrStep
		}
		s.try(end.T, h)
		end.Calls += 6
		next, good := c.judge(s, h)
		if !good {
			h = next
			continue
		}
		span := Span{From: end.T, To: end.T + h, s: s, h: h}
		if end.T+h >= to {
			span.To = to
		}
		end.Steps++
		if len(o.Events) > 0 {
			s.prepare(h)
			after = valuesAt(o.Events, span.To, s.next, after)
			if at, which := first(o.Events, span, before, after); which >= 0 {
				span.To = at
				if o.Each != nil {
					o.Each(span)
				}
				span.At(at, y)
				end.T, end.Event = at, which
				return end, nil
			}
			before, after = after, before
		}
		if o.Each != nil {
			s.prepare(h)
			o.Each(span)
		}
		end.T = span.To
		s.accept()
		copy(y, s.y)
		h = next
	}
	return end, nil
}

// Sampler gives an Each function that reads the solution at the times given, which must rise, and hands each state
// on by its index. The state is only valid during the call.
func Sampler(times []float64, dim int, take func(i int, y []float64)) func(Span) {
	next, y := 0, make([]float64, dim)
	return func(s Span) {
		for ; next < len(times) && times[next] <= s.To; next++ {
			if times[next] >= s.From {
				s.At(times[next], y)
				take(next, y)
			}
		}
	}
}
