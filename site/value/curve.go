package value

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"turnplate/sim/unit"
)

// along gives x's elements along an axis for the combination at which walk stands.
func along(w *Walk, k int, a *Array, axis *Axis) []float64 {
	step := strides([]*Axis{axis}, a)[0]
	xs := make([]float64, axis.Length)
	for i := range xs {
		xs[i] = a.Num[w.Pos[k]+i*step]
	}
	return xs
}

// fold runs f on the curve y(x) along one axis, for every combination of the others, and of level's.
func fold(y, x, level *Array, axis *Axis, dim unit.Dim, f func(xs, ys []float64, level float64) float64) (*Array, error) {
	if level.Has(axis) {
		return nil, fmt.Errorf("the value looked for varies along %s itself", axis.Name)
	}
	rest := Without(Union(y.Axes, x.Axes, level.Axes), func(a *Axis) bool { return a == axis })
	w, err := NewWalk(rest, y, x, level)
	if err != nil {
		return nil, err
	}
	out := &Array{Dim: dim, Axes: rest, Num: make([]float64, w.N), Why: why(y, x, level)}
	for i := range out.Num {
		out.Num[i] = f(along(w, 1, x, axis), along(w, 0, y, axis), level.Num[w.Pos[2]])
		w.Next()
	}
	return out, nil
}

// AtLabel picks a labelled alternative.
func AtLabel(v Value, axis *Axis, label string) (Value, error) {
	i := slices.Index(axis.Labels, label)
	if i < 0 {
		return nil, ErrNoLabel{axis, label}
	}
	return PickValue(v, map[*Axis]int{axis: i}), nil
}

// ErrNoLabel is a label that an axis doesn't have.
type ErrNoLabel struct {
	Axis  *Axis
	Label string
}

func (e ErrNoLabel) Error() string {
	return fmt.Sprintf("%s has no %q; it has %s", e.Axis.Name, e.Label, strings.Join(e.Axis.Labels, ", "))
}

// At reads y where x has the value wanted, linear between points and absent beyond the ends.
func At(y, x, wanted *Array, axis *Axis) (*Array, error) {
	if y.Kind == Words {
		return nil, errors.New("text can't be read between points; use Choices labels")
	}
	if x.Dim != wanted.Dim {
		return nil, unlike("look up", x, wanted)
	}
	if !y.Has(axis) && !x.Has(axis) {
		return y, nil
	}
	out, err := fold(y, x, wanted, axis, y.Dim, interpolate)
	if err != nil {
		return nil, err
	}
	out.Kind, out.Show, out.Label = y.Kind, y.Show, y.Label
	if out.Kind == Truth { // between yes and no there is no value
		for i, v := range out.Num {
			if v != 0 && v != 1 {
				out.Num[i] = math.NaN()
			}
		}
	}
	if out.AbsentCount() > 0 {
		lo, hi := math.NaN(), math.NaN()
		if there := present(x.Num); len(there) > 0 {
			lo, hi = Smallest(there), Largest(there)
		}
		u := Display(cmp.Or(x.Show, wanted.Show), x.Dim, false)
		for _, at := range wanted.Num { // beyond the ends that is the reason; within them it is y's own
			switch {
			case at < lo || at > hi:
				out.Why = fmt.Sprintf("outside %s, which runs from %s to %s", axis.Name, Print(lo, u, 0), Print(hi, u, 0))
				if x.AbsentCount() > 0 {
					out.Why += "; elsewhere on it there is no value: " + x.Reason()
				}
			case out.Why == "":
				out.Why = "there is no value at this place: " + y.Reason()
			}
		}
	}
	return out, nil
}

// AtThroughout is At for every part of a record that varies along the axis.
func AtThroughout(v Value, x, wanted *Array, axis *Axis) (Value, error) {
	return Each(v, func(a *Array) (Value, error) {
		switch {
		case !a.Has(axis):
			return a, nil
		case a.Kind == Words:
			return wordAt(a, x, wanted, axis), nil
		}
		return At(a, x, wanted, axis)
	})
}

// wordAt reads a text at one of an axis's points; between them there is none.
func wordAt(v, x, wanted *Array, axis *Axis) *Array {
	if len(x.Axes) == 1 && len(wanted.Axes) == 0 {
		for i, at := range x.Num {
			if nearly(at, wanted.Num[0]) {
				return Pick(v, map[*Axis]int{axis: i})
			}
		}
	}
	return none(Words, unit.None, "a text stands only at the points of "+axis.Name)
}

func interpolate(xs, ys []float64, at float64) float64 {
	for i := range xs {
		// A written 0.3*deg and the same point of a span may differ in the last bits.
		if nearly(xs[i], at) {
			return ys[i]
		}
		if i > 0 && (xs[i-1] < at && at < xs[i] || xs[i] < at && at < xs[i-1]) && !nearly(xs[i-1], at) {
			return ys[i-1] + (at-xs[i-1])/(xs[i]-xs[i-1])*(ys[i]-ys[i-1])
		}
	}
	return math.NaN()
}

func nearly(a, b float64) bool {
	const lastBits = 1e-12 // relative; far below any length or angle that can be measured
	return math.Abs(a-b) <= lastBits*math.Max(math.Abs(a), math.Abs(b))
}

// Crossing gives the first x at which y passes a level, linear between points; absent when it never does.
func Crossing(y, x, level *Array, axis *Axis) (*Array, error) {
	if y.Dim != level.Dim {
		return nil, unlike("compare", y, level)
	}
	return find(y, x, level, axis, "the curve never reaches that level", func(xs, ys []float64, level float64) float64 {
		for i := range ys {
			if ys[i] == level {
				return xs[i]
			}
			if i > 0 && (ys[i-1]-level)*(ys[i]-level) < 0 {
				return xs[i-1] + (level-ys[i-1])/(ys[i]-ys[i-1])*(xs[i]-xs[i-1])
			}
		}
		return math.NaN()
	})
}

// find gives the x that f finds on the curve y(x); nowhere says why there may be none although y is there.
func find(y, x, level *Array, axis *Axis, nowhere string, f func(xs, ys []float64, level float64) float64) (*Array, error) {
	out, err := fold(y, x, level, axis, x.Dim, f)
	if err != nil {
		return nil, err
	}
	out.Show, out.Label = x.Show, x.Label
	if out.Why == "" || !y.AllAbsent() {
		out.Why = nowhere
	}
	return out, nil
}

// Slope gives dy/dx along an axis by second-order differences that allow uneven steps (as in Fornberg,
// "Generation of finite difference formulas on arbitrarily spaced grids", Math. Comp. 51, 1988).
func Slope(y, x *Array, axis *Axis) (*Array, error) {
	if axis.Length < 2 {
		return nil, fmt.Errorf("a slope needs two points along %s", axis.Name)
	}
	axes := Union(y.Axes, x.Axes)
	size, err := Size(axes)
	if err != nil {
		return nil, err
	}
	out := &Array{Dim: y.Dim.Div(x.Dim), Axes: axes, Num: make([]float64, size), Why: why(y, x)}
	w, err := NewWalk(Without(axes, func(a *Axis) bool { return a == axis }), y, x, out)
	if err != nil {
		return nil, err
	}
	step := strides([]*Axis{axis}, out)[0]
	for range w.N {
		for i, g := range gradient(along(w, 1, x, axis), along(w, 0, y, axis)) {
			out.Num[w.Pos[2]+i*step] = finite(g)
		}
		w.Next()
	}
	if y.Show != nil && x.Show != nil {
		out.Show = &Show{y.Show.Metric.Div(x.Show.Metric), y.Show.US.Div(x.Show.US)}
	}
	return out, nil
}

func gradient(xs, ys []float64) []float64 {
	n := len(xs)
	g := make([]float64, n)
	if n == 2 {
		g[0] = (ys[1] - ys[0]) / (xs[1] - xs[0])
		g[1] = g[0]
		return g
	}
	for i := range xs {
		// The parabola through three neighbours, differentiated at i; at an end through the last three.
		c := min(max(i, 1), n-2)
		h, k := xs[c]-xs[c-1], xs[c+1]-xs[c]
		left, right := (ys[c]-ys[c-1])/h, (ys[c+1]-ys[c])/k
		bend := (right - left) / (h + k) // half the second derivative
		g[i] = left + bend*(2*xs[i]-xs[c]-xs[c-1])
		if math.IsNaN(g[i]) { // beside a gap, the slope towards the neighbour that is there
			switch {
			case i > 0 && !math.IsNaN(ys[i]-ys[i-1]):
				g[i] = (ys[i] - ys[i-1]) / (xs[i] - xs[i-1])
			case i < n-1 && !math.IsNaN(ys[i+1]-ys[i]):
				g[i] = (ys[i+1] - ys[i]) / (xs[i+1] - xs[i])
			}
		}
	}
	return g
}

// Knee gives the x at which the gain per unit, dy/dx, has dropped furthest below the straight line that
// joins its first and last values; absent where the gain doesn't drop below that line. A falling y counts
// by its size, so that a loss and a gain of the same shape have the same knee.
func Knee(y, x *Array, axis *Axis) (*Array, error) {
	if axis.Length < 5 {
		return nil, fmt.Errorf("a knee needs at least 5 points along %s", axis.Name)
	}
	return find(y, x, Plain(0), axis, "the gain doesn't flatten", func(xs, ys []float64, _ float64) float64 { return knee(xs, ys) })
}

func knee(xs, ys []float64) float64 {
	var px, py []float64
	for i := range xs {
		if !math.IsNaN(xs[i]) && !math.IsNaN(ys[i]) {
			px, py = append(px, xs[i]), append(py, ys[i])
		}
	}
	n := len(px)
	if n < 5 {
		return math.NaN()
	}
	g := gradient(px, py)
	if py[n-1] < py[0] {
		for i := range g {
			g[i] = -g[i]
		}
	}
	below := make([]float64, n)
	best := 0
	for i := range g {
		chord := g[0] + (px[i]-px[0])/(px[n-1]-px[0])*(g[n-1]-g[0])
		below[i] = chord - g[i]
		if below[i] > below[best] {
			best = i
		}
	}
	// Differences of a straight line leave rounding noise; that isn't a knee.
	const noise = 1e-6
	if best == 0 || best == n-1 || below[best] <= noise*(math.Abs(g[0])+math.Abs(g[n-1])) {
		return math.NaN()
	}
	return vertex(px[best-1:best+2], below[best-1:best+2])
}

// vertex is the top of the parabola through three points, so that the knee doesn't jump from point to point.
func vertex(x, y []float64) float64 {
	left, right := (y[1]-y[0])/(x[1]-x[0]), (y[2]-y[1])/(x[2]-x[1])
	bend := (right - left) / (x[2] - x[0])
	if bend >= 0 {
		return x[1]
	}
	return min(max((x[0]+x[1])/2-left/(2*bend), x[0]), x[2])
}
