package value

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
)

// Pick fixes axes at an index and gives what is left.
func Pick(a *Array, at map[*Axis]int) *Array {
	var rest []*Axis
	for _, x := range a.Axes {
		if _, fixed := at[x]; !fixed {
			rest = append(rest, x)
		}
	}
	if len(rest) == len(a.Axes) {
		return a
	}
	steps := Strides(a.Axes, a)
	base := 0
	for i, x := range a.Axes {
		base += steps[i] * at[x] // 0 for the axes that stay
	}
	out := *a
	out.Axes, out.Num, out.Words = rest, nil, nil
	if _, fixed := at[a.Own]; fixed {
		out.Own = nil
	}
	n := 1
	for _, x := range rest {
		n *= x.Length
	}
	w := &Walk{Axes: rest, N: n, At: make([]int, len(rest)), Pos: []int{base}}
	var kept []int
	for _, x := range rest {
		kept = append(kept, steps[slices.Index(a.Axes, x)])
	}
	w.steps = [][]int{kept}
	for range n {
		if a.Num != nil {
			out.Num = append(out.Num, a.Num[w.Pos[0]])
		}
		if a.Words != nil {
			out.Words = append(out.Words, a.Words[w.Pos[0]])
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
	var keep, fold []*Axis
	for _, x := range a.Axes {
		if over(x) {
			fold = append(fold, x)
		} else {
			keep = append(keep, x)
		}
	}
	if len(fold) == 0 {
		return a
	}
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

// Smallest, Largest and Average fold for Reduce.
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
		sort.Float64s(xs)
		h := p * float64(len(xs)-1)
		i := min(int(h), len(xs)-1)
		j := min(i+1, len(xs)-1)
		return xs[i] + (h-float64(i))*(xs[j]-xs[i])
	}
}

// Spread95 is the mean and the 95 % coverage interval (JCGM 101:2008, 7.7) of what is there.
func Spread95(a *Array) (mean, low, high float64) {
	xs := make([]float64, 0, len(a.Num))
	for _, x := range a.Num {
		if !math.IsNaN(x) {
			xs = append(xs, x)
		}
	}
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
		var found []*Axis
		for _, x := range v.Axes {
			if x.Kind != Draws {
				found = append(found, x)
			}
		}
		if len(found) == 1 {
			return found[0], nil
		}
		// A value such as a reached caster varies over its span and, beside that, over choices.
		var spans []*Axis
		for _, x := range found {
			if x.Kind == Span {
				spans = append(spans, x)
			}
		}
		if len(spans) == 1 {
			return spans[0], nil
		}
		if len(found) > 1 {
			return nil, fmt.Errorf("this varies over %s; name one of them", Names(found))
		}
	}
	return nil, fmt.Errorf("this doesn't vary over any axis; give a name made by span, list, Choices or dial")
}

// Names lists axes for a message.
func Names(axes []*Axis) string {
	names := make([]string, len(axes))
	for i, a := range axes {
		names[i] = a.Name
	}
	return strings.Join(names, ", ")
}
