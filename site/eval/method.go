package eval

import (
	"go/ast"
	"maps"
	"slices"

	"turnplate/site/diag"
	"turnplate/site/value"
)

// method evaluates .At, .Min, .Max, .Mean and .Called of a value.
func (s *scope) method(e *ast.CallExpr, sel *ast.SelectorExpr) value.Value {
	name := sel.Sel.Name
	m, ok := methods[name]
	if !ok {
		return s.fault(sel.Sel, diag.DidYouMean(name, slices.Collect(maps.Keys(methods))), "only .At, .Min, .Max, .Mean and .Called can be called on a value; %s isn't one of them", name)
	}
	if len(e.Args) < m.Min || len(e.Args) > m.Max {
		return s.fault(e, "", "this call doesn't fit; write %s", m.Call)
	}
	v := s.expr(sel.X)
	if isBroken(v) {
		return v
	}
	var axis *value.Axis
	var by value.Value
	if name == "Called" {
		return s.called(e, sel, v)
	}
	if len(e.Args) > 0 {
		if by = s.expr(e.Args[0]); isBroken(by) {
			return by
		}
		var err error
		if axis, err = value.Only(by); err != nil {
			return s.fault(e.Args[0], "", "%s", err)
		}
	}
	if name == "At" {
		return s.at(e, v, by, axis)
	}
	a, ok := s.number(sel.X, v)
	if !ok {
		return value.Broken{}
	}
	fold := map[string]func([]float64) float64{"Min": value.Smallest, "Max": value.Largest, "Mean": value.Average}[name]
	over := value.Plotted
	if axis != nil {
		if !a.Has(axis) {
			return s.fault(e.Args[0], "", "this value doesn't vary over %s", axis.Name)
		}
		over = func(x *value.Axis) bool { return x == axis }
	}
	return value.Reduce(a, over, fold)
}

// called gives a value its words for figures, and the axis that it makes, if it does.
func (s *scope) called(e *ast.CallExpr, sel *ast.SelectorExpr, v value.Value) value.Value {
	text := s.expr(e.Args[0])
	if isBroken(text) {
		return text
	}
	words, ok := textOf(text)
	if !ok || words == "" {
		return s.fault(e.Args[0], "", "words in quotes were expected here")
	}
	a, ok := s.number(sel.X, v)
	if !ok {
		return value.Broken{}
	}
	if _, fresh := sel.X.(*ast.CallExpr); fresh && a.Own != nil {
		a.Own.Called = words
	}
	return a.Named(words, nil)
}

// at reads a value where an axis has a value or a label.
func (s *scope) at(e *ast.CallExpr, v, by value.Value, axis *value.Axis) value.Value {
	where := s.expr(e.Args[1])
	if isBroken(where) {
		return where
	}
	w, ok := where.(*value.Array)
	if !ok {
		return s.fault(e.Args[1], "", "a value or a label was expected here; this is %s", value.Describe(where))
	}
	if w.Kind == value.Words {
		if len(axis.Labels) == 0 {
			return s.fault(e.Args[1], "", "%s has no labels; give a value such as %s", axis.Name, axis.LabelAt(0))
		}
		if len(w.Axes) > 0 {
			return s.fault(e.Args[1], "", "one label was expected here")
		}
		return s.checked(e.Args[1], first2(value.AtLabel(v, axis, w.Words[0])))
	}
	x, ok := by.(*value.Array)
	if !ok || x.Kind != value.Number {
		return s.fault(e.Args[1], "", "%s has labels; give one of them in quotes", axis.Name)
	}
	y, ok := v.(*value.Array)
	if !ok {
		if x.Dim != w.Dim {
			return s.fault(e.Args[1], "", "%s is %s; this is %s", axis.Name, value.Describe(x), value.Describe(w))
		}
		return s.checked(e, first2(value.AtThroughout(v, x, w, axis)))
	}
	return s.present(e, first2(value.At(y, x, w, axis)), y, w)
}
