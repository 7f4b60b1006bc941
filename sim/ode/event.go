package ode

import "math"

func valuesAt(events []Event, t float64, y, into []float64) []float64 {
	if into == nil {
		into = make([]float64, len(events))
	}
	for i, e := range events {
		into[i] = e.Value(t, y)
	}
	return into
}

// quarters: an event function is looked at this many times in a step, so that a zero passed and passed back within
// one step is seen too.
const quarters = 4

// first finds the earliest event in a span, given the event functions' values at its ends.
func first(events []Event, span Span, before, after []float64) (at float64, which int) {
	at, which = math.Inf(1), -1
	y := span.s.inside
	for i, e := range events {
		value := func(t float64) float64 {
			span.At(t, y)
			return e.Value(t, y)
		}
		left, leftValue := span.From, before[i]
		for q := 1; q <= quarters; q++ {
			right, rightValue := span.To, after[i]
			if q < quarters {
				right = span.From + (span.To-span.From)*float64(q)/quarters
				rightValue = value(right)
			}
			if right >= at && left >= at {
				break
			}
			if crosses(leftValue, rightValue, e.Direction) {
				if t := root(value, left, right, leftValue, rightValue); t < at {
					at, which = t, i
				}
				break
			}
			left, leftValue = right, rightValue
		}
	}
	return at, which
}

func crosses(left, right float64, direction int) bool {
	switch {
	case left < 0 && right >= 0:
		return direction >= 0
	case left > 0 && right <= 0:
		return direction <= 0
	}
	return false
}

// root narrows a change of sign down to neighbouring times by the Illinois form of regula falsi, with a
// bisection every third time, and gives the later end, where the change has happened.
func root(value func(float64) float64, left, right, leftValue, rightValue float64) float64 {
	const most = 200 // bisection alone would need about 60
	kept := 0        // the end that stayed last time: −1 left, +1 right
	for i := range most {
		mid := right - rightValue*(right-left)/(rightValue-leftValue)
		if i%3 == 2 || !(mid > left && mid < right) {
			mid = left + (right-left)/2
		}
		if mid <= left || mid >= right {
			break // the ends are neighbouring numbers
		}
		m := value(mid)
		if m == 0 {
			return mid
		}
		if (m < 0) == (leftValue < 0) {
			left, leftValue = mid, m
			if kept > 0 {
				rightValue /= 2
			}
			kept = 1
		} else {
			right, rightValue = mid, m
			if kept < 0 {
				leftValue /= 2
			}
			kept = -1
		}
	}
	return right
}
