package eval

import (
	"go/ast"
	"slices"

	"turnplate/site/diag"
	"turnplate/site/figure"
	"turnplate/site/value"
)

// limits draws what the curves are held against: Limits: []Limit{{"A finger's breadth", 15*mm, "more", "too close"}}.
func (a *arguments) limits(s *scope, c *figure.Curves, x, y *value.Array, along *value.Axis) {
	a.parts(s, "Limits", "Limit", func(item *ast.CompositeLit, fields map[string]ast.Expr) bool {
		limit := s.limit(item, fields, x, y, along)
		if limit != nil {
			c.Limits = append(c.Limits, *limit)
		}
		return limit != nil
	})
}

func (s *scope) limit(item *ast.CompositeLit, fields map[string]ast.Expr, x, y *value.Array, along *value.Axis) *figure.Limit {
	if fields["Label"] == nil || fields["Value"] == nil {
		s.fault(item, "", `a limit needs a name and a value, {"A finger's breadth", 15*mm, "more"}`)
		return nil
	}
	v := s.expr(fields["Value"])
	if isBroken(v) {
		return nil
	}
	n, ok := s.number(fields["Value"], v)
	if !ok {
		return nil
	}
	if n.Dim != y.Dim {
		s.fault(fields["Value"], "", "this limit is %s, but Y is %s", value.Describe(n), value.Describe(y))
		return nil
	}
	n = value.Reduce(s.turned(n), value.IsDraws, value.Average)
	if len(n.Axes) > 1 || len(n.Axes) == 1 && n.Axes[0] != along {
		s.fault(fields["Value"], "pick from it with .At", "a limit is one number or varies over %s, as X does; this varies over %s", along.Name, value.Names(n.Axes))
		return nil
	}
	if n.AllAbsent() {
		s.fault(fields["Value"], "", "this limit has no value: %s", n.Reason())
		return nil
	}
	var words [3]string
	for i, name := range []string{"Label", "Better", "Beyond"} {
		if fields[name] == nil {
			continue
		}
		text, ok := s.quoted(fields[name])
		if !ok {
			return nil
		}
		words[i] = text.Text
	}
	if fields["Better"] != nil && !slices.Contains(betters, words[1]) {
		s.fault(fields["Better"], diag.DidYouMean(words[1], betters), `Better is "more" or "less"`)
		return nil
	}
	first := map[*value.Axis]int{}
	for _, axis := range x.Axes {
		if axis != along && axis.Kind != value.Draws {
			first[axis] = 0
		}
	}
	out := &figure.Limit{Better: words[1], Beyond: words[2]}
	out.Line, _ = lineOf(value.Pick(x, first), n, along)
	out.Label = figure.Plain(words[0])
	return out
}
