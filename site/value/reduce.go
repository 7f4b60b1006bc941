package value

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Pick fixes axes at an index and gives what is left.
func Pick(a *Array, at map[*Axis]int) *Array {
	fixed := func(x *Axis) bool { _, is := at[x]; return is }
	rest := Without(a.Axes, fixed)
	if len(rest) == len(a.Axes) {
		return a
	}
	base := 0
	for i, step := range strides(a.Axes, a) {
		base += step * at[a.Axes[i]] // 0 for the axes that stay
	}
	out := *a
	out.Axes, out.Num, out.Words = rest, nil, nil
	if fixed(a.Own) {
		out.Own = nil
	}
	w, _ := NewWalk(rest, a)
	for range w.N {
		if a.Num != nil {
			out.Num = append(out.Num, a.Num[base+w.Pos[0]])
		}
		if a.Words != nil {
			out.Words = append(out.Words, a.Words[base+w.Pos[0]])
		}
		w.Next()
	}
	return &out
}

// PickValue fixes axes throughout a value.
func PickValue(v Value, at map[*Axis]int) Value {
	switch v := v.(type) {
	case *Array:
		return Pick(v, at)
	case *Record:
		out := &Record{Type: v.Type, Fields: make(map[string]Value, len(v.Fields)), Choice: v.Choice, Written: v.Written}
		if _, fixed := at[v.Choice]; fixed {
			out.Choice = nil
		}
		for name, f := range v.Fields {
			out.Fields[name] = PickValue(f, at)
		}
		return out
	case *List:
		out := &List{Type: v.Type}
		for _, item := range v.Items {
			out.Items = append(out.Items, PickValue(item, at))
		}
		return out
	}
	return v
}

// Reduce folds the elements along some axes into one: f gets those that are there and gives NaN for none.
func Reduce(a *Array, over func(*Axis) bool, f func(xs []float64) float64) *Array {
	keep := Without(a.Axes, over)
	if len(keep) == len(a.Axes) {
		return a
	}
	fold := Without(a.Axes, func(x *Axis) bool { return !over(x) })
	out := &Array{Kind: a.Kind, Dim: a.Dim, Axes: keep, Show: a.Show, Label: a.Label, Why: a.Why}
	outer, _ := NewWalk(keep, a)
	inner, _ := NewWalk(fold, a)
	out.Num = make([]float64, outer.N)
	buffer := make([]float64, 0, inner.N)
	for i := range out.Num {
		buffer = buffer[:0]
		for range inner.N {
			if x := a.Num[outer.Pos[0]+inner.Pos[0]]; !math.IsNaN(x) {
				buffer = append(buffer, x)
			}
			inner.Next()
		}
		out.Num[i] = math.NaN()
		if len(buffer) > 0 {
			out.Num[i] = f(buffer)
		}
		outer.Next()
	}
	return out
}

// Smallest folds to the least.
func Smallest(xs []float64) float64 { return slices.Min(xs) }

// Largest folds to the greatest.
func Largest(xs []float64) float64 { return slices.Max(xs) }

// Average folds to the mean.
func Average(xs []float64) float64 {
	sum := 0.0
	for _, x := range xs {
		sum += x
	}
	return sum / float64(len(xs))
}

// Quantile folds to the p-quantile, linear between order statistics (definition 7 of Hyndman and Fan,
// "Sample quantiles in statistical packages", The American Statistician 50, 1996).
func Quantile(p float64) func(xs []float64) float64 {
	return func(xs []float64) float64 {
		slices.Sort(xs)
		h := p * float64(len(xs)-1)
		i := min(int(h), len(xs)-1)
		j := min(i+1, len(xs)-1)
		return xs[i] + (h-float64(i))*(xs[j]-xs[i])
	}
}

// present copies those numbers that are there.
func present(xs []float64) []float64 { return slices.DeleteFunc(slices.Clone(xs), math.IsNaN) }

// Spread95 is the mean and the 95 % coverage interval (JCGM 101:2008, 7.7) of what is there.
func Spread95(a *Array) (mean, low, high float64) {
	xs := present(a.Num)
	if len(xs) == 0 {
		return math.NaN(), math.NaN(), math.NaN()
	}
	return Average(xs), Quantile(0.025)(xs), Quantile(0.975)(xs)
}

// IsDraws selects the axis of draws.
func IsDraws(x *Axis) bool { return x.Kind == Draws }

// Plotted selects what Min, Max and Mean run over: every axis but dials and draws.
func Plotted(x *Axis) bool { return x.Kind != Draws && x.Kind != Dial }

// Only gives the one axis of an argument that names an axis: a value's single plotted axis, or a choice's.
func Only(v Value) (*Axis, error) {
	switch v := v.(type) {
	case *Record:
		if v.Choice != nil {
			return v.Choice, nil
		}
	case *Array:
		if v.Own != nil {
			return v.Own, nil
		}
		found := Without(v.Axes, IsDraws)
		if len(found) == 1 {
			return found[0], nil
		}
		// A value such as a reached caster varies over its span and, beside that, over choices.
		if spans := Without(found, func(x *Axis) bool { return x.Kind != Span }); len(spans) == 1 {
			return spans[0], nil
		}
		if len(found) > 1 {
			return nil, fmt.Errorf("this varies over %s; name one of them", Names(found))
		}
	}
	return nil, errors.New("this doesn't vary over any axis; give a name made by span, list, Choices or dial")
}

// Names lists axes for a message.
func Names(axes []*Axis) string {
	names := make([]string, len(axes))
	for i, a := range axes {
		names[i] = a.Name
	}
	return strings.Join(names, ", ")
}
