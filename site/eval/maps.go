package eval

import (
	"math"
	"slices"

	"turnplate/site/figure"
	"turnplate/site/value"
)

// contours makes Contours{X, Y, Z, Levels, ZIn, Panels}.
func contours(s *scope, a *arguments) figure.Figure {
	if !a.need(s, "X", "Y", "Z") {
		return nil
	}
	x, _ := a.number(s, "X")
	y, _ := a.number(s, "Y")
	z, _ := a.number(s, "Z")
	panels := a.axis(s, "Panels")
	if a.failed {
		return nil
	}
	c := &figure.Contours{
		X: s.scale(x, nil, s.text.Source(a.exprs["X"])),
		Y: s.scale(y, nil, s.text.Source(a.exprs["Y"])),
		Z: s.scale(z, a.unit(s, "ZIn", z.Dim), s.text.Source(a.exprs["Z"])),
	}
	if e := a.exprs["Until"]; e != nil {
		until, ok := s.numberLike(e, "Z", z)
		if ok && len(until.Axes) > 0 {
			s.fault(e, "", "one number was expected here; this varies over %s", value.Names(until.Axes))
			ok = false
		}
		if !ok {
			return nil
		}
		c.Until = &until.Num[0]
	}
	x, y, z = s.turned(x), s.turned(y), s.turned(z)
	across, up := s.mapAxis(a, "X", x), s.mapAxis(a, "Y", y)
	if a.failed {
		return nil
	}
	if across == up {
		s.fault(a.exprs["Y"], "", "X and Y run along the same axis, %s; a map needs two", up.Name)
		return nil
	}
	a.refuseLeft(s, "Z", z, across, up, panels)
	c.Levels = a.levels(s, z)
	if a.failed || !a.few(s, "Z", across.Length*up.Length*lengthOf(panels), s.budget.limits.Cells) {
		return nil
	}
	z = value.Reduce(z, value.IsDraws, value.Average)
	z = withoutNoise(z)
	if a.empty(s, "Z", z) {
		return nil
	}
	for p := range lengthOf(panels) {
		at := map[*value.Axis]int{}
		if panels != nil {
			at[panels] = p
		}
		field := figure.Field{X: slices.Clone(x.Num), Y: slices.Clone(y.Num)}
		field.Title = labelOf(panels, p)
		here := value.Pick(z, at)
		for j := range up.Length {
			row := make([]float64, across.Length)
			for i := range row {
				row[i] = value.Pick(here, map[*value.Axis]int{across: i, up: j}).Num[0]
				if math.IsNaN(row[i]) {
					c.Absent++
				}
			}
			field.Z = append(field.Z, row)
		}
		rising(&field)
		c.Panels = append(c.Panels, field)
	}
	a.headInto(s, &c.Head)
	return c
}

// withoutNoise sets values that are only rounding error to zero, so that a map that is zero everywhere has no contours.
func withoutNoise(z *value.Array) *value.Array {
	largest := 0.0
	for _, x := range z.Num {
		if !math.IsNaN(x) {
			largest = math.Max(largest, math.Abs(x))
		}
	}
	const noise = 1e-9
	out := value.Map(z, z.Dim, func(x float64) float64 {
		if math.Abs(x) < noise*largest {
			return 0
		}
		return x
	})
	out.Show, out.Label = z.Show, z.Label
	return out
}

// rising turns a map so that both scales rise.
func rising(f *figure.Field) {
	if f.X[0] > f.X[len(f.X)-1] {
		slices.Reverse(f.X)
		for _, row := range f.Z {
			slices.Reverse(row)
		}
	}
	if f.Y[0] > f.Y[len(f.Y)-1] {
		slices.Reverse(f.Y)
		slices.Reverse(f.Z)
	}
}

// mapAxis is the one axis of a map's scale, along which its values must rise or fall throughout.
func (s *scope) mapAxis(a *arguments, field string, v *value.Array) *value.Axis {
	at := a.exprs[field]
	if len(v.Axes) != 1 || !value.Plotted(v.Axes[0]) || v.Axes[0].Length < 2 {
		s.fault(at, "give a value made by span or list", "%s of a map varies over one axis of at least two points", field)
		a.failed = true
		return nil
	}
	up := v.Num[1] > v.Num[0]
	for i := 1; i < len(v.Num); i++ {
		if math.IsNaN(v.Num[i]) || math.IsNaN(v.Num[i-1]) || v.Num[i] == v.Num[i-1] || (v.Num[i] > v.Num[i-1]) != up {
			s.fault(at, "", "%s of a map must rise or fall throughout", field)
			a.failed = true
			return nil
		}
	}
	return v.Axes[0]
}

// maxLevels bounds the lines of a map.
const maxLevels = 50

// levels reads the values at which lines are drawn, in rising order.
func (a *arguments) levels(s *scope, z *value.Array) []float64 {
	v, given := a.number(s, "Levels")
	if !given {
		return nil
	}
	if v.Dim != z.Dim || v.AbsentCount() > 0 {
		s.fault(a.exprs["Levels"], "", "the levels are %s, but Z is %s", value.Describe(v), value.Describe(z))
		a.failed = true
		return nil
	}
	if len(v.Num) > maxLevels {
		s.fault(a.exprs["Levels"], "", "%d levels are more than anyone can tell apart; the most is %d", len(v.Num), maxLevels)
		a.failed = true
		return nil
	}
	levels := slices.Clone(v.Num)
	slices.Sort(levels)
	return slices.Compact(levels)
}

// bars makes Bars{X, Y, By, YIn}.
func bars(s *scope, a *arguments) figure.Figure {
	if !a.need(s, "X", "Y") {
		return nil
	}
	along, by := a.axis(s, "X"), a.axis(s, "By")
	y, _ := a.number(s, "Y")
	if a.failed {
		return nil
	}
	b := &figure.Bars{XLabel: axisWords(along), Y: s.scale(y, a.unit(s, "YIn", y.Dim), s.text.Source(a.exprs["Y"]))}
	y = s.turned(y)
	a.refuseLeft(s, "Y", y, along, by)
	if a.failed || !a.few(s, "X", along.Length*lengthOf(by), s.budget.limits.Points) {
		return nil
	}
	if a.empty(s, "Y", y) {
		return nil
	}
	v, _ := a.value(s, "X")
	b.Names, b.Steps = s.rowLabels(v, along)
	for k := range lengthOf(by) {
		var set figure.BarSet
		set.Label = labelOf(by, k)
		for i := range along.Length {
			at := map[*value.Axis]int{along: i}
			if by != nil {
				at[by] = k
			}
			here := value.Pick(y, at)
			mid, low, high := mean95(here)
			if value.Uncertain(y) {
				set.Low, set.High = append(set.Low, low), append(set.High, high)
			}
			if math.IsNaN(mid) {
				b.Absent++
			}
			set.Y = append(set.Y, mid)
		}
		b.Sets = append(b.Sets, set)
	}
	a.headInto(s, &b.Head)
	return b
}
