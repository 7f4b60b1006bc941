package eval

import (
	"go/ast"
	"math"
	"slices"

	"turnplate/site/figure"
	"turnplate/site/value"
)

// curves makes Curves{X, Y, By, Panels, XIn, YIn, Readings, Limits}.
func curves(s *scope, a *arguments) figure.Figure {
	if !a.need(s, "X", "Y") {
		return nil
	}
	x, _ := a.number(s, "X")
	y, _ := a.number(s, "Y")
	by, panels := a.axis(s, "By"), a.axis(s, "Panels")
	if a.failed {
		return nil
	}
	xSource, ySource := s.text.Source(a.exprs["X"]), s.text.Source(a.exprs["Y"])
	c := &figure.Curves{
		X: s.scale(x, a.unit(s, "XIn", x.Dim), xSource),
		Y: s.scale(y, a.unit(s, "YIn", y.Dim), ySource),
	}
	c.Ordered = by != nil && len(by.Labels) == 0
	x, y = s.turned(x), s.turned(y)
	along := s.plotAxis(a, x, by, panels)
	if along == nil {
		return nil
	}
	a.refuseLeft(s, "Y", y, along, by, panels)
	if a.failed || !a.few(s, "X", along.Length, s.budget.limits.Points) || !a.few(s, "Y", lengthOf(by)*lengthOf(panels), maxLines) {
		return nil
	}
	if a.empty(s, "Y", y) {
		return nil
	}
	c.Along, c.Places = s.board.alongs.of(along), placesOf(x, along)
	for p := range lengthOf(panels) {
		var panel figure.Panel
		panel.Title = labelOf(panels, p)
		for b := range lengthOf(by) {
			at := map[*value.Axis]int{}
			if panels != nil {
				at[panels] = p
			}
			if by != nil {
				at[by] = b
			}
			line, absent := lineOf(value.Pick(x, at), value.Pick(y, at), along)
			line.Label = labelOf(by, b)
			c.Absent += absent
			panel.Lines = append(panel.Lines, line)
		}
		c.Panels = append(c.Panels, panel)
	}
	a.readings(s, c, x, y)
	a.limits(s, c, x, y, along)
	a.headInto(s, &c.Head)
	return c
}

// placesOf gives X at each point of the axis that it runs over, or nil where it varies over another one as well.
func placesOf(x *value.Array, along *value.Axis) []float64 {
	x = value.Reduce(x, value.IsDraws, value.Average)
	if len(x.Axes) != 1 {
		return nil
	}
	places := make([]float64, along.Length)
	for i := range places {
		places[i] = value.Pick(x, map[*value.Axis]int{along: i}).Num[0]
	}
	return places
}

// alongs numbers the axes that figures of a page run over, from 1.
type alongs []*value.Axis

func (a *alongs) of(x *value.Axis) int {
	i := slices.Index(*a, x)
	if i < 0 {
		i = len(*a)
		*a = append(*a, x)
	}
	return i + 1
}

// maxLines is how many curves one figure may hold, over all its panels; far fewer are readable.
const maxLines = 100

func lengthOf(axis *value.Axis) int {
	if axis == nil {
		return 1
	}
	return axis.Length
}

// labelOf is what an axis's value is called.
func labelOf(axis *value.Axis, i int) figure.Words {
	switch {
	case axis == nil:
		return figure.Words{}
	case len(axis.Labels) > 0:
		return figure.Plain(axis.Labels[i])
	case len(axis.Coord) == 0:
		return figure.Plain(axisWords(axis) + " " + axis.LabelAt(i))
	}
	in := func(us bool) string {
		return axisWords(axis) + " " + value.Print(axis.Coord[i], axis.ShowUnit(us).Counterpart(us), 0)
	}
	return figure.Either(in(false), in(true))
}

// plotAxis is the one axis along which X runs.
func (s *scope) plotAxis(a *arguments, x *value.Array, by, panels *value.Axis) *value.Axis {
	var free []*value.Axis
	for _, axis := range x.Axes {
		if value.Plotted(axis) && axis != by && axis != panels {
			free = append(free, axis)
		}
	}
	at := a.exprs["X"]
	a.failed = a.failed || len(free) != 1
	switch {
	case len(free) == 0:
		s.fault(at, "give a value made by span or list", "X doesn't vary, so there is no curve")
		return nil
	case len(free) > 1:
		s.fault(at, "name the others in By or Panels, or pick from them with .At", "X varies over %s; a curve runs along one of them", value.Names(free))
		return nil
	case free[0].Length < 2:
		s.fault(at, "", "a curve needs two points")
		a.failed = true
		return nil
	}
	return free[0]
}

// lineOf reads one curve: means over draws, with the 95 % interval as a band.
func lineOf(x, y *value.Array, along *value.Axis) (figure.Line, int) {
	x = value.Reduce(x, value.IsDraws, value.Average)
	var line figure.Line
	absent := 0
	uncertain := value.Uncertain(y)
	for i := range along.Length {
		at := map[*value.Axis]int{along: i}
		point := value.Pick(y, at)
		mid, low, high := mean95(point)
		if uncertain {
			line.Low, line.High = append(line.Low, low), append(line.High, high)
		}
		if math.IsNaN(mid) {
			absent++
		}
		line.X = append(line.X, value.Pick(x, at).Num[0])
		line.Y = append(line.Y, mid)
	}
	if last := len(line.X) - 1; line.X[last] < line.X[0] {
		for _, xs := range [][]float64{line.X, line.Y, line.Low, line.High} {
			slices.Reverse(xs)
		}
	}
	return line, absent
}

// mean95 is the mean of a value without axes and the ends of its 95 % interval, which is nothing where it is certain.
func mean95(v *value.Array) (mean, low, high float64) {
	if !value.Uncertain(v) {
		return v.Num[0], v.Num[0], v.Num[0]
	}
	return value.Spread95(v)
}

// readings lays a reader's own points over the curves: Readings: []Points{{r.Caster, r.Effort}}.
func (a *arguments) readings(s *scope, c *figure.Curves, x, y *value.Array) {
	a.parts(s, "Readings", "Points", func(item *ast.CompositeLit, fields map[string]ast.Expr) bool {
		points := s.points(item, fields, x, y)
		for i := range c.Panels {
			if points != nil {
				c.Panels[i].Points = append(c.Panels[i].Points, *points)
			}
		}
		return points != nil
	})
}

func (s *scope) points(item *ast.CompositeLit, fields map[string]ast.Expr, x, y *value.Array) *figure.Points {
	out := &figure.Points{Label: "Measured"}
	var columns [2]*value.Array
	for i, want := range []struct {
		name string
		like *value.Array
	}{{"X", x}, {"Y", y}} {
		e := fields[want.name]
		if e == nil {
			s.fault(item, "", "Points needs %s", want.name)
			return nil
		}
		n, ok := s.numberLike(e, want.name, want.like)
		if !ok {
			return nil
		}
		columns[i] = n
	}
	axes := value.Union(columns[0].Axes, columns[1].Axes)
	if len(axes) != 1 || axes[0].Kind == value.Draws {
		s.fault(item, "", "the two columns of Points come from one readings file, a row each")
		return nil
	}
	about, ok := s.errorBars(fields["Error"], axes[0], y)
	if !ok {
		return nil
	}
	walked := []*value.Array{columns[0], columns[1]}
	if about != nil {
		walked = append(walked, about)
	}
	w, err := value.NewWalk(axes, walked...)
	if err != nil {
		s.fault(item, "", "%s", err)
		return nil
	}
	for i := range w.N {
		px, py := columns[0].Num[w.Pos[0]], columns[1].Num[w.Pos[1]]
		if !math.IsNaN(px) && !math.IsNaN(py) {
			out.X, out.Y = append(out.X, px), append(out.Y, py)
			if about != nil {
				out.Error = append(out.Error, about.Num[w.Pos[2]])
			}
			if len(axes[0].Labels) > 0 {
				out.Names = append(out.Names, axes[0].Labels[i])
			}
		}
		w.Next()
	}
	if e := fields["Label"]; e != nil {
		snippet, ok := s.quoted(e)
		if !ok {
			return nil
		}
		out.Label = snippet.Text
	}
	return out
}

// numberLike gives a number of the dimension that a plot's axis has.
func (s *scope) numberLike(e ast.Expr, name string, like *value.Array) (*value.Array, bool) {
	v := s.expr(e)
	if isBroken(v) {
		return nil, false
	}
	n, ok := s.number(e, v)
	if ok && n.Dim != like.Dim {
		s.fault(e, "", "these readings are %s, but %s is %s", value.Describe(n), name, value.Describe(like))
		return nil, false
	}
	return n, ok
}

// errorBars reads how far either way the readings of Points may be out: one number, or a column of their file. It is
// nil where that isn't given.
func (s *scope) errorBars(e ast.Expr, rows *value.Axis, y *value.Array) (*value.Array, bool) {
	if e == nil {
		return nil, true
	}
	about, ok := s.numberLike(e, "Y", y)
	if !ok {
		return nil, false
	}
	if len(about.Axes) > 1 || len(about.Axes) == 1 && about.Axes[0] != rows {
		s.fault(e, "", "Error is one number, or a column of the file that X and Y come from")
		return nil, false
	}
	for i, far := range about.Num {
		if far < 0 {
			at := ""
			if len(about.Axes) == 1 {
				at = " at " + rows.LabelAt(i)
			}
			s.fault(e, "give how far either way the reading may be out", "an error is never below zero, and this is%s", at)
			return nil, false
		}
	}
	return about, true
}

// isNamed says whether an expression is a name by itself.
func isNamed(e ast.Expr, name string) bool {
	ident, ok := e.(*ast.Ident)
	return ok && ident.Name == name
}

// isListOf says whether a literal's type is []name.
func isListOf(e ast.Expr, name string) bool {
	list, ok := e.(*ast.ArrayType)
	return ok && isNamed(list.Elt, name)
}

// items takes []T{…} apart into its literals.
func (s *scope) items(e ast.Expr, typeName string) ([]*ast.CompositeLit, bool) {
	list, ok := e.(*ast.CompositeLit)
	if !ok || !isListOf(list.Type, typeName) {
		s.fault(e, "", "a list []%s{{…}, {…}} was expected here", typeName)
		return nil, false
	}
	var items []*ast.CompositeLit
	for _, item := range list.Elts {
		lit, ok := item.(*ast.CompositeLit)
		if !ok || lit.Type != nil && !isNamed(lit.Type, typeName) {
			s.fault(item, "", "%s in braces was expected here", typeName)
			return nil, false
		}
		items = append(items, lit)
	}
	return items, true
}
