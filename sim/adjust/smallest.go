package adjust

import "math"

// smallest gives, of the movements d within their ranges that go to a point (Σ rate·d = to), the one that comes
// nearest to wanted, each adjuster measured in its own unit: least Σ((d − wanted)/unit)². It is false when no
// movement within the ranges reaches the point.
//
// With y = d/unit and b = rate·unit it is y(λ) = clamp(y_wanted + b·λ) for the two multipliers λ at which
// Σ b·y(λ) = to. That sum rises with λ and is piecewise linear, so Newton's method on it ends after finitely
// many steps; each is shortened until the dual function φ, whose gradient is the sum's miss, falls
// (R. T. Rockafellar, Convex Analysis, Princeton 1970, §31, for the dual; from memory).
func smallest(rate *[setters]vector, least, most, wanted *move, within *Ranges, to vector) (move, bool) {
	var b [setters]vector
	var low, high, want move
	for k, r := range within {
		if r.Used() {
			b[k] = vector{rate[k].camber * r.Unit, rate[k].caster * r.Unit}
			low[k], high[k], want[k] = least[k]/r.Unit, most[k]/r.Unit, wanted[k]/r.Unit
		}
	}
	p := newPolygon(rate, least, most)
	if !p.holds(to) {
		return move{}, false
	}
	// at gives the movement for the multipliers, its miss, the sum of b·bᵀ over what is free, and φ.
	at := func(l vector) (y move, miss vector, cc, cs, ss, phi float64) {
		miss = vector{-to.camber, -to.caster}
		for k, r := range within {
			if !r.Used() {
				continue
			}
			free := want[k] + b[k].dot(l)
			y[k] = clamp(free, low[k], high[k])
			miss = miss.add(b[k], y[k])
			if y[k] == free {
				cc += b[k].camber * b[k].camber
				cs += b[k].camber * b[k].caster
				ss += b[k].caster * b[k].caster
			}
			phi += (free*free - (free-y[k])*(free-y[k])) / 2
		}
		return y, miss, cc, cs, ss, phi - to.dot(l)
	}
	const (
		steps   = 50
		missEnd = 1e-15 // rad; less is rounding error
		// Unless two adjusters of unlike effect are free the sum's derivative is singular; this share of the derivative with all
		// of them free is added to its diagonal.
		ridge = 1e-9
	)
	var full float64
	for k := range b {
		full += b[k].dot(b[k])
	}
	var l vector
	y, miss, cc, cs, ss, phi := at(l)
	for range steps {
		if math.Abs(miss.camber)+math.Abs(miss.caster) <= missEnd {
			break
		}
		det := (cc+ridge*full)*(ss+ridge*full) - cs*cs
		if cc*ss-cs*cs > 1e-6*full*full { // the effects differ well: nothing is added, and the step is exact
			det = cc*ss - cs*cs
		} else {
			cc, ss = cc+ridge*full, ss+ridge*full
		}
		step := vector{-(ss*miss.camber - cs*miss.caster) / det, -(cc*miss.caster - cs*miss.camber) / det}
		if !(step.dot(step) > 0) {
			break
		}
		slope := miss.dot(step)
		better := false
		for share := 1.0; share > 1e-12; share /= 2 {
			next := l.add(step, share)
			y2, miss2, cc2, cs2, ss2, phi2 := at(next)
			if phi2 <= phi+1e-4*share*slope {
				l, y, miss, cc, cs, ss, phi = next, y2, miss2, cc2, cs2, ss2, phi2
				better = true
				break
			}
		}
		if !better {
			break // φ falls no further than by rounding error
		}
	}
	var d move
	for k, r := range within {
		switch d[k] = y[k] * r.Unit; y[k] {
		case low[k]: // exactly the limit, so that it is recognised as reached
			d[k] = least[k]
		case high[k]:
			d[k] = most[k]
		}
	}
	return d, math.Abs(miss.camber)+math.Abs(miss.caster) < scoreClose*10
}
