package value

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"turnplate/sim/unit"
)

// Fill gives the value that stands for a field a record leaves out, or nil when it has none.
type Fill func(r *Record, field string) Value

// Merge lays alternatives of one type along an axis. Records merge field by field, so that what is the same
// in all of them doesn't vary, and a model that doesn't use the rest runs once.
func Merge(axis *Axis, options []Value, fill Fill) (Value, error) {
	switch options[0].(type) {
	case *Array:
		return mergeArrays(axis, options)
	case *Record:
		return mergeRecords(axis, options, fill)
	case *List:
		return mergeLists(axis, options, fill)
	case *Notebook:
		return nil, fmt.Errorf("alternatives are values; pick one of the names of %s", Describe(options[0]))
	}
	return Broken{}, nil
}

// alike gives alternatives by their Go type, or an error unless same says of each that it is as the first.
func alike[T Value](options []Value, same func(first, other T) bool) ([]T, error) {
	all := make([]T, len(options))
	for i, v := range options {
		one, ok := v.(T)
		if all[i] = one; !ok || !same(all[0], one) {
			return nil, unlike("choose between", options[0], v)
		}
	}
	return all, nil
}

func mergeArrays(axis *Axis, options []Value) (Value, error) {
	arrays, err := alike(options, func(a, b *Array) bool { return a.Kind == b.Kind && a.Dim == b.Dim })
	if err != nil {
		return nil, err
	}
	over := [][]*Axis{{axis}}
	for _, a := range arrays {
		over = append(over, a.Axes)
	}
	if !slices.ContainsFunc(arrays, func(a *Array) bool { return !Same(a, arrays[0]) }) {
		return arrays[0], nil
	}
	axes := Union(over...)
	w, err := NewWalk(axes, arrays...)
	if err != nil {
		return nil, err
	}
	out := &Array{Kind: arrays[0].Kind, Dim: arrays[0].Dim, Axes: axes, Show: arrays[0].Show, Label: arrays[0].Label, Why: why(arrays...)}
	for _, a := range arrays {
		if a.Label != out.Label {
			out.Label = ""
		}
	}
	which := slices.Index(axes, axis)
	for range w.N {
		a, at := arrays[w.At[which]], w.Pos[w.At[which]]
		switch {
		case a.Kind != Words:
			out.Num = append(out.Num, a.Num[at])
		case a.Absent(at):
			out.Words, out.Num = append(out.Words, ""), append(out.Num, math.NaN())
		default:
			out.Words, out.Num = append(out.Words, a.Words[at]), append(out.Num, 0)
		}
		w.Next()
	}
	return out, nil
}

// Same tells whether two arrays have the same elements over the same axes.
func Same(a, b *Array) bool {
	if a == b {
		return true
	}
	return a.Kind == b.Kind && a.Dim == b.Dim && slices.Equal(a.Axes, b.Axes) && slices.Equal(a.Words, b.Words) &&
		slices.EqualFunc(a.Num, b.Num, func(x, y float64) bool { return x == y || math.IsNaN(x) && math.IsNaN(y) })
}

func mergeRecords(axis *Axis, options []Value, fill Fill) (Value, error) {
	records, err := alike(options, func(a, b *Record) bool { return a.Type == b.Type })
	if err != nil {
		return nil, err
	}
	names := map[string]Value{}
	for _, r := range records {
		maps.Copy(names, r.Fields)
	}
	out := &Record{Type: records[0].Type, Fields: map[string]Value{}, Choice: axis}
	for _, name := range SortedNames(names) {
		parts := make([]Value, len(records))
		for i, r := range records {
			parts[i] = r.Fields[name]
			if parts[i] == nil {
				parts[i] = fill(r, name)
			}
			if parts[i] == nil {
				parts[i] = missing(names[name], fmt.Sprintf("%s isn't given for %s", name, axis.Labels[i]))
			}
		}
		merged, err := Merge(axis, parts, fill)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		if r, ok := merged.(*Record); ok {
			r.Choice = nil // only the record as a whole names the axis
		}
		out.Fields[name] = merged
	}
	return out, nil
}

// missing is an absent value of the same shape.
func missing(like Value, reason string) Value {
	v, _ := Each(like, func(a *Array) (Value, error) { return none(a.Kind, a.Dim, reason), nil })
	return v
}

// none is an absent number, truth or text.
func none(kind Kind, dim unit.Dim, reason string) *Array {
	a := &Array{Kind: kind, Dim: dim, Num: []float64{math.NaN()}, Why: reason}
	if kind == Words {
		a.Words = []string{""}
	}
	return a
}

func mergeLists(axis *Axis, options []Value, fill Fill) (Value, error) {
	lists, err := alike(options, func(a, b *List) bool { return a.Type == b.Type })
	if err != nil {
		return nil, err
	}
	if lists[0].Type == "string" {
		return options[0], nil // what a vehicle's Measured says changes no result
	}
	for _, l := range lists {
		if len(l.Items) != len(lists[0].Items) {
			return nil, fmt.Errorf("the alternatives have %d and %d entries of %s; they need as many", len(lists[0].Items), len(l.Items), l.Type)
		}
	}
	out := &List{Type: lists[0].Type}
	for i := range lists[0].Items {
		parts := make([]Value, len(lists))
		for j, l := range lists {
			parts[j] = l.Items[i]
		}
		merged, err := Merge(axis, parts, fill)
		if err != nil {
			return nil, err
		}
		out.Items = append(out.Items, merged)
	}
	return out, nil
}
