package eval

import (
	"math"

	"turnplate/site/figure"
	"turnplate/site/value"
)

// histogram makes Histogram{X, By, XIn}.
func histogram(s *scope, a *arguments) figure.Figure {
	if !a.need(s, "X") {
		return nil
	}
	x, _ := a.number(s, "X")
	by := a.axis(s, "By")
	if a.failed {
		return nil
	}
	h := &figure.Histogram{X: s.scale(x, a.unit(s, "XIn", x.Dim), s.text.Source(a.exprs["X"]))}
	x = s.turned(x)
	a.refuseLeft(s, "X", x, by)
	if a.failed || !a.few(s, "By", lengthOf(by), maxSpreads) {
		return nil
	}
	if !value.Uncertain(x) {
		s.fault(a.exprs["X"], "make it from a value that normal, uniform or triangular gives", "X isn't uncertain, so there is no spread to show")
		a.failed = true
		return nil
	}
	if a.empty(s, "X", x) {
		return nil
	}
	for k := range lengthOf(by) {
		here := x
		if by != nil {
			here = value.Pick(x, map[*value.Axis]int{by: k})
		}
		spread := figure.Spread{Draws: here.Num}
		spread.Label = labelOf(by, k)
		spread.Mean, spread.Low, spread.High = value.Spread95(here)
		for _, v := range here.Num {
			if math.IsNaN(v) {
				h.Absent++
			}
		}
		h.Spreads = append(h.Spreads, spread)
	}
	a.headInto(s, &h.Head)
	return h
}

// maxSpreads is how many histograms one figure may hold; fewer are readable.
const maxSpreads = 24
