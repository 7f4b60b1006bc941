package eval

import (
	"go/ast"
	"math"
	"slices"

	"turnplate/sim/unit"
	"turnplate/site/diag"
	"turnplate/site/figure"
	"turnplate/site/value"
)

// gauges makes Gauges{Rows: []Gauge{{Head, Value, In, To, From, Until, Limit, Better}}}.
func gauges(s *scope, a *arguments) figure.Figure {
	if !a.need(s, "Rows") {
		return nil
	}
	items, ok := s.items(a.exprs["Rows"], "Gauge")
	if !ok {
		a.failed = true
		return nil
	}
	if len(items) == 0 || len(items) > maxGauges {
		s.fault(a.exprs["Rows"], "", "from 1 to %d gauges stand together; these are %d", maxGauges, len(items))
		return nil
	}
	g := &figure.Gauges{Rows: make([]figure.Gauge, len(items))}
	for i, item := range items {
		if !s.gauge(a, item, &g.Rows[i]) {
			a.failed = true
		}
	}
	a.headInto(s, &g.Head)
	return g
}

// maxGauges is how many strips a reader still takes in at one look.
const maxGauges = 12

var betters = []string{"more", "less"}

func (s *scope) gauge(a *arguments, item *ast.CompositeLit, out *figure.Gauge) bool {
	fields, ok := s.fieldsOf(item, "Gauge")
	if !ok {
		return false
	}
	if !s.needed(item, fields, "a gauge", `{Head: "Cams used", Value: set.CamUse, In: percent, From: 0, Until: 1}`, "Head", "Value", "From", "Until") {
		return false
	}
	before := len(s.page.Faults)
	v, ok := s.gaugeNumber(a, fields["Value"], nil)
	if !ok && s.without(before) {
		var from *value.Array
		if from, ok = s.gaugeEnd(a, fields["From"], nil); ok {
			v = value.Num(math.NaN(), from.Dim)
		}
	}
	if !ok {
		return false
	}
	u, to := value.Display(v.Show, v.Dim, false), 0.0
	if e := fields["In"]; e != nil {
		if u, ok = s.unitOf(e); !ok {
			return false
		}
		if u.Dim != v.Dim {
			s.fault(e, "", "%s is a unit of %s, but the value is %s", s.text.Source(e), u.Dim, value.Describe(v))
			return false
		}
	}
	if e := fields["To"]; e != nil {
		if to, ok = positive(e); !ok {
			s.fault(e, "", "a rounding step such as 0.1 was expected here")
			return false
		}
	}
	ends := [2]float64{}
	for i, name := range []string{"From", "Until"} {
		end, ok := s.gaugeEnd(a, fields[name], v)
		if !ok {
			return false
		}
		ends[i] = end.Num[0]
		*[]*figure.Span{&out.From, &out.Until}[i] = s.span(end, u, to)
	}
	if ends[0] == ends[1] {
		s.fault(fields["Until"], "", "the strip has no length: From and Until are the same")
		return false
	}
	share := func(x float64) float64 { return (x - ends[0]) / (ends[1] - ends[0]) }
	mid, low, high := mean95(v)
	out.Numbers = [4]float64{mid, low, high, math.NaN()}
	out.Metric, out.US = u.Counterpart(false), u.Counterpart(true)
	out.At, out.Low, out.High = share(mid), math.Min(share(low), share(high)), math.Max(share(low), share(high))
	out.Value = figure.Span{Text: figure.Plain("–"), Value: true}
	if !v.AllAbsent() {
		out.Value = s.span(v, u, to)
	}
	if !s.gaugeLimit(a, fields, v, u, to, share, out) {
		return false
	}
	// Better speaks of the value; on a strip that runs from more to less it is the other way round.
	if ends[1] < ends[0] {
		out.More = !out.More
	}
	head, ok := s.quoted(fields["Head"])
	if !ok {
		return false
	}
	s.board.later = append(s.board.later, func() { out.Name = s.words(head) })
	return true
}

// gaugeLimit reads Limit and Better, which go together.
func (s *scope) gaugeLimit(a *arguments, fields map[string]ast.Expr, v *value.Array, u unit.Unit, to float64, share func(float64) float64, out *figure.Gauge) bool {
	out.Limit = math.NaN()
	limit, better := fields["Limit"], fields["Better"]
	switch {
	case limit == nil && better == nil:
		return true
	case limit == nil || better == nil:
		at := limit
		if at == nil {
			at = better
		}
		s.fault(at, "", "Limit and Better go together: on which side of the limit is the value good?")
		return false
	}
	side, ok := s.quoted(better)
	if !ok {
		return false
	}
	if !slices.Contains(betters, side.Text) {
		s.fault(better, diag.DidYouMean(side.Text, betters), `Better is "more" or "less"`)
		return false
	}
	end, ok := s.gaugeEnd(a, limit, v)
	if !ok {
		return false
	}
	out.Better, out.More, out.Limit, out.LimitText = side.Text, side.Text == "more", share(end.Num[0]), s.span(end, u, to)
	out.Numbers[3] = end.Num[0]
	return true
}

// gaugeEnd evaluates a place on the strip: the mean of an uncertain one.
func (s *scope) gaugeEnd(a *arguments, e ast.Expr, like *value.Array) (*value.Array, bool) {
	n, ok := s.gaugeNumber(a, e, like)
	if !ok {
		return nil, false
	}
	n = value.Reduce(n, value.IsDraws, value.Average)
	if n.Absent(0) {
		s.fault(e, "", "this has no value: %s", n.Reason())
		return nil, false
	}
	return n, true
}

// gaugeNumber evaluates a number that dials and poses move and that may be uncertain, and varies over nothing else.
func (s *scope) gaugeNumber(a *arguments, e ast.Expr, like *value.Array) (*value.Array, bool) {
	n, ok := s.followedNumber(a, e)
	if !ok {
		return nil, false
	}
	if like != nil && n.Dim != like.Dim {
		s.fault(e, "", "this is %s, but the gauge's value is %s", value.Describe(n), value.Describe(like))
		return nil, false
	}
	if left := leftover(n); len(left) > 0 {
		s.fault(e, pickHint(left)+", or let a Drawing above pose along it", "this varies over %s, and a gauge shows one value", value.Names(left))
		return nil, false
	}
	return n, true
}

// followedNumber evaluates a number inside a list, once for all positions, as dials and poses stand.
func (s *scope) followedNumber(a *arguments, e ast.Expr) (*value.Array, bool) {
	v, known := a.values[e]
	if !known {
		v = s.expr(e)
		a.values[e] = v
	}
	if isBroken(v) {
		return nil, false
	}
	n, ok := s.number(e, v)
	if !ok {
		return nil, false
	}
	return s.followed(n), true
}
