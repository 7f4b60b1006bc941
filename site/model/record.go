package model

import (
	"cmp"
	"slices"
	"strings"

	"turnplate/sim/unit"
	"turnplate/site/value"
)

// Record gives the results of a job that has been run. newAxis makes the axis of a model's lists, if it has any;
// inCurrency gives the unit in which a result is shown, with the notebook's currency.
func (j *Job) Record(newAxis func(value.AxisKind, int) *value.Axis, inCurrency func(unit.Unit) unit.Unit) *value.Record {
	out := &value.Record{Type: j.m.Name + " result", Fields: map[string]value.Value{}}
	var along *value.Axis
	if j.length > 0 {
		along = j.nameAxis(newAxis(value.Span, j.length))
	}
	for _, c := range j.columns {
		a := &value.Array{Kind: c.kind, Axes: j.axes, Num: c.nums, Words: c.words, Why: cmp.Or(j.reason, c.field.Absent), Label: c.path[len(c.path)-1]}
		if len(c.path) > 1 && c.path[0] != "Right" {
			a.Label = strings.Join(c.path, "")
		}
		a.Label = cmp.Or(c.field.Called, a.Label)
		if c.kind == value.Number {
			a.Dim, a.Show = c.field.Unit.Dim, &value.Show{Metric: inCurrency(c.field.Unit), US: inCurrency(c.field.US)}
		}
		if c.slice {
			if along == nil {
				continue
			}
			if c.kind == value.Words {
				if len(c.words) == along.Length { // names are the same for every combination
					put(out, c.path, &value.Array{Kind: value.Words, Axes: []*value.Axis{along}, Words: c.words, Label: a.Label, Own: along})
				}
				continue
			}
			a.Axes = append(slices.Clone(j.axes), along)
			if c.nums == nil {
				continue
			}
			a = reorder(a)
		}
		put(out, c.path, a)
	}
	for _, v := range j.first.outlet.vehicle {
		put(out, strings.Split(v.name, "."), j.vehicle(v.name))
	}
	return out
}

// nameAxis names the axis of a model's list outputs: labelled by a list of names where there is one, else by
// its first list, such as the time of a history.
func (j *Job) nameAxis(axis *value.Axis) *value.Axis {
	for _, c := range j.columns {
		if c.slice && c.kind == value.Words && len(c.words) == j.length {
			axis.Kind, axis.Name, axis.Labels = value.Choice, c.path[len(c.path)-1], c.words
			return axis
		}
	}
	for _, c := range j.columns {
		if c.slice && c.nums != nil {
			axis.Name, axis.Dim, axis.Show = c.path[len(c.path)-1], c.field.Unit.Dim, Show(c.field)
			axis.Coord = c.nums[:j.length]
			return axis
		}
	}
	return axis
}

// reorder brings a list output's own axis into the order of axes: draws run fastest.
func reorder(a *value.Array) *value.Array {
	sorted := value.Union(a.Axes)
	if slices.Equal(sorted, a.Axes) {
		return a
	}
	out := *a
	out.Axes, out.Num = sorted, make([]float64, len(a.Num))
	walk, _ := value.NewWalk(sorted, a)
	for i := range out.Num {
		out.Num[i] = a.Num[walk.Pos[0]]
		walk.Next()
	}
	return &out
}

func put(r *value.Record, path []string, v value.Value) {
	for _, name := range path[:len(path)-1] {
		inner, ok := r.Fields[name].(*value.Record)
		if !ok {
			inner = &value.Record{Type: name, Fields: map[string]value.Value{}}
			r.Fields[name] = inner
		}
		r = inner
	}
	r.Fields[path[len(path)-1]] = v
}
