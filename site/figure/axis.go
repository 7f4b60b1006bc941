package figure

import (
	"math"
	"strings"

	"turnplate/sim/unit"
)

// System is the family of units a reader prefers.
type System int

// The two systems.
const (
	Metric System = iota
	US
)

// SystemOf reads the front matter's word for a system.
func SystemOf(units string) System {
	if units == "us" {
		return US
	}
	return Metric
}

// In is a text as readers of a system see it.
func (t Text) In(system System) string {
	var b strings.Builder
	for _, p := range t {
		b.WriteString(p.Text.In(system))
	}
	return b.String()
}

// Unit is what the scale shows to readers of a system.
func (s Scale) Unit(system System) unit.Unit {
	u := s.Metric
	if system == US {
		u = s.US
	}
	if u.SI == 0 || !finite(u.SI) { // the zero Unit: a plain number
		u.SI = 1
	}
	return u
}

// title is the scale's label with its unit, as written at an axis or over a column.
func title(label, symbol string) string {
	switch {
	case symbol == "":
		return label
	case label == "":
		return symbol
	}
	return label + " (" + symbol + ")"
}

// beyond is the size from which on a number is treated as absent: no quantity of a vehicle is so large,
// and sums and ratios of smaller ones can't overflow.
const beyond = 1e100

// finite tells a value from a gap.
func finite(v float64) bool { return math.Abs(v) < beyond } // false for NaN

// extent is the range of an axis, in SI units.
type extent struct{ lo, hi float64 }

var nothing = extent{math.Inf(1), math.Inf(-1)}

func (e extent) with(v float64) extent { return extent{min(e.lo, v), max(e.hi, v)} }

// withAll has room for those of some values that aren't gaps.
func (e extent) withAll(values []float64) extent {
	for _, v := range values {
		if finite(v) {
			e = e.with(v)
		}
	}
	return e
}

func (e extent) empty() bool { return e.lo > e.hi }

func (e extent) size() float64 { return e.hi - e.lo }

// widened gives an axis room: never empty, never so narrow that its labels would need more digits than
// the numbers have. one is the size of one display unit.
func (e extent) widened(one float64) extent {
	if e.empty() {
		return extent{0, one}
	}
	const narrowest = 1e-6 // of the largest number
	size := max(math.Abs(e.lo), math.Abs(e.hi))
	if e.size() > narrowest*size && e.size() > 1e-90 {
		return e
	}
	pad := size / 10
	if pad < 1e-90 {
		pad = one
	}
	return extent{e.lo - pad, e.hi + pad}
}

// padded leaves air above and below the curves, except that an axis near zero begins at zero: there a
// height stands for the whole quantity. It is the same in every unit system, so curves keep their shape.
func (e extent) padded() extent {
	const air, nearZero = 0.06, 0.7
	pad := air * e.size()
	padded := extent{e.lo - pad, e.hi + pad}
	switch {
	case e.lo >= 0 && e.lo < nearZero*e.hi:
		padded.lo = 0
	case e.hi <= 0 && e.hi > nearZero*e.lo:
		padded.hi = 0
	}
	return padded
}

// axis is one direction of a plot: its extent and how it is labelled in one unit system.
type axis struct {
	extent
	unit  unit.Unit
	label string
}

// graduate chooses an axis's labels: about so many as wished, and more of them where the steps that are
// round enough would leave fewer than three, because one or two labels make no scale.
func (a axis) graduate(wish int, room func([]tick) bool) graduation {
	const enough, most = 3, 7
	best := graduate(a.lo/a.unit.SI, a.hi/a.unit.SI, wish, room)
	for more := wish + 1; len(best.ticks) < enough && more <= most; more++ {
		if g := graduate(a.lo/a.unit.SI, a.hi/a.unit.SI, more, room); len(g.ticks) > len(best.ticks) && room(g.ticks) {
			best = g
		}
	}
	return best
}

// roomy tells whether labels across so many pixels have a gap between them.
func (a axis) roomy(width, size, gap float64) func([]tick) bool {
	perUnit := width / (a.size() / a.unit.SI)
	return func(ticks []tick) bool {
		for i := 1; i < len(ticks); i++ {
			need := (textWidth(ticks[i-1].label, size)+textWidth(ticks[i].label, size))/2 + gap
			if (ticks[i].value-ticks[i-1].value)*perUnit < need {
				return false
			}
		}
		return true
	}
}

// symbol is the axis's unit together with the power of ten left out of its labels.
func (a axis) symbol(g graduation) unit.Unit {
	mark := powerMark(g.power)
	switch {
	case mark == "":
		return unit.Unit{Symbol: a.unit.Symbol}
	case a.unit.Symbol == "":
		return unit.Unit{Symbol: "×" + mark}
	}
	return unit.Unit{Symbol: mark + "\u00a0" + a.unit.Symbol}
}

func (a axis) title(g graduation) string { return title(clean(a.label), a.symbol(g).Symbol) }

// reading prints a value as finely as it can be read off the axis, with the unit.
func (a axis) reading(v float64) string { return a.symbol(a.graduate(6, anyRoom)).Text(a.bare(v)) }

// bare is the same without the unit, and without the power of ten left out of the labels.
func (a axis) bare(v float64) string {
	g := a.graduate(6, anyRoom)
	return number(v/a.unit.SI/math.Pow(10, float64(g.power)), g.fine)
}

// whole is a value as fine as that, in the unit alone.
func (a axis) whole(v float64) string {
	g := a.graduate(6, anyRoom)
	return number(v/a.unit.SI, max(g.fine-g.power, 0))
}

// shown is a figure's axes in the units of one system.
type shown struct {
	class   string // of what only this system's readers see; "" when both see the same
	x, y, z axis   // z is that of a map's value
	over    string // what stands over the plots besides the y axis's title
}

// systems are a figure's axes in each system, or once where both have the same units.
type systems []shown

func (s systems) in(system System) shown {
	if system == US {
		return s[len(s)-1]
	}
	return s[0]
}

// across says something about the axis across, in the units of each system.
func (s systems) across(say func(axis) string) Words {
	return Either(say(s.in(Metric).x), say(s.in(US).x))
}

// The style sheet hides one of these classes, as the page or its reader chooses.
var systemClass = map[System]string{Metric: "in-metric", US: "in-us"}

func shownIn(x, y Scale, xs, ys extent) (out systems) {
	for _, system := range []System{Metric, US} {
		out = append(out, shown{
			class: systemClass[system],
			x:     axis{xs, x.Unit(system), x.Label}, y: axis{ys, y.Unit(system), y.Label},
		})
	}
	if out[0].x.unit == out[1].x.unit && out[0].y.unit == out[1].y.unit {
		out[0].class = ""
		return out[:1]
	}
	return out
}

// frame is the ruled area of one plot. Its extents are the same in every unit system, and so are its lines.
type frame struct {
	area box
	x, y extent
}

func (f frame) at(x, y float64) point {
	return point{
		f.area.x + f.area.w*(x-f.x.lo)/f.x.size(),
		f.area.bottom() - f.area.h*(y-f.y.lo)/f.y.size(),
	}
}

// heightOf is the value along y at a height of the drawing.
func (f frame) heightOf(y float64) float64 {
	return f.y.lo + f.y.size()*(f.area.bottom()-y)/f.area.h
}
