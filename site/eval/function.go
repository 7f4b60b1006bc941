package eval

import (
	"go/ast"
	"maps"
	"math"
	"slices"

	"turnplate/sim/unit"
	"turnplate/site/diag"
	"turnplate/site/lang"
	"turnplate/site/value"
	"turnplate/site/vocabulary"
)

// function is a name that a notebook may call.
type function struct {
	vocabulary.Function
	run runner
}

// run is what is done for a name.
type run struct {
	name string
	run  runner
}

type runner = func(s *scope, e *ast.CallExpr, args []value.Value) value.Value

// ofNumber makes a function whose first argument is a number.
func ofNumber(run func(s *scope, e *ast.CallExpr, a *value.Array, args []value.Value) value.Value) runner {
	return func(s *scope, e *ast.CallExpr, args []value.Value) value.Value {
		a, ok := s.number(e.Args[0], args[0])
		if !ok {
			return value.Broken{}
		}
		return run(s, e, a, args)
	}
}

// functions is everything that can be called by name, methods what can be called on a value. How often, with what and
// to what end stands in package vocabulary; what has no words there can't be called.
var functions, methods map[string]function

func init() {
	functions = bound(vocabulary.Functions, []run{
		{"span", span}, {"list", list}, {"dial", dial},
		{"normal", uncertain}, {"uniform", uncertain}, {"triangular", uncertain},
		{"sin", trig(math.Sin)}, {"cos", trig(math.Cos)}, {"tan", trig(math.Tan)}, {"asin", arc(math.Asin)}, {"acos", arc(math.Acos)}, {"atan", arc(math.Atan)},
		{"sqrt", ofNumber(root)}, {"abs", ofNumber(magnitude)},
		{"min", extreme(math.Min, value.Smallest)}, {"max", extreme(math.Max, value.Largest)},
		{"mean", ofNumber(meanOfDraws)}, {"quantile", ofNumber(quantile)},
		{"slope", alongAxis}, {"crossing", alongAxis}, {"knee", alongAxis},
		{"at", point}, {"tyreSize", tyreSize}, {"readings", readings},
		{"use", nil}, // looks at the call itself, whose argument isn't a value
	})
	methods = bound(vocabulary.Methods, []run{{"At", nil}, {"Min", nil}, {"Max", nil}, {"Mean", nil}, {"Called", nil}}) // one method does them all
}

// bound joins the words of each function with what it does. It panics at the program's start if either lacks the other.
func bound(words []vocabulary.Function, runs []run) map[string]function {
	all := map[string]function{}
	for _, r := range runs {
		all[r.name] = function{run: r.run}
	}
	for _, f := range words {
		bare, known := all[f.Name]
		if !known {
			panic("eval: nothing is done for the function " + f.Name)
		}
		all[f.Name] = function{f, bare.run}
	}
	for name, f := range all {
		if f.Name == "" {
			panic("eval: package vocabulary has no words for the function " + name)
		}
	}
	return all
}

func (s *scope) call(e *ast.CallExpr) value.Value {
	if sel, ok := e.Fun.(*ast.SelectorExpr); ok {
		return s.method(e, sel)
	}
	name := e.Fun.(*ast.Ident)
	f, ok := functions[name.Name]
	if !ok {
		return s.fault(name, diag.OneOf(name.Name, slices.Sorted(maps.Keys(functions))), "%s isn't a function known here", name.Name)
	}
	if name.Name == "use" {
		return s.use(e)
	}
	if len(e.Args) < f.Min || f.Max >= 0 && len(e.Args) > f.Max {
		return s.fault(e, lang.DecimalComma(s.text.Source(e)), "this call doesn't fit; write %s", f.Call)
	}
	args := make([]value.Value, len(e.Args))
	broken := false
	for i, a := range e.Args {
		args[i] = s.expr(a)
		broken = broken || isBroken(args[i])
	}
	if broken {
		return value.Broken{}
	}
	return f.run(s, e, args)
}

// textOf is the one text that a value is, if it is.
func textOf(v value.Value) (string, bool) {
	a, ok := v.(*value.Array)
	if !ok || a.Kind != value.Words || len(a.Axes) > 0 {
		return "", false
	}
	return a.Words[0], true
}

// number asks for a number argument.
func (s *scope) number(n ast.Node, v value.Value) (*value.Array, bool) {
	a, ok := v.(*value.Array)
	if !ok || a.Kind != value.Number {
		s.fault(n, "", "a number was expected here; this is %s", value.Describe(v))
		return nil, false
	}
	return a, true
}

// scalar asks for a number argument without axes that is there.
func (s *scope) scalar(n ast.Node, v value.Value) (*value.Array, bool) {
	a, ok := s.number(n, v)
	if !ok {
		return nil, false
	}
	if len(a.Axes) > 0 {
		s.fault(n, "pick one with .At, .Min or .Max", "one number was expected here; this varies over %s", value.Names(a.Axes))
		return nil, false
	}
	if a.AllAbsent() {
		s.fault(n, "", "this has no value: %s", a.Reason())
		return nil, false
	}
	return a, true
}

// scalars asks for arguments of one dimension without axes.
func (s *scope) scalars(e *ast.CallExpr, args []value.Value) ([]float64, *value.Array, bool) {
	xs := make([]float64, len(args))
	var like *value.Array
	for i, v := range args {
		a, ok := s.scalar(e.Args[i], v)
		if !ok {
			return nil, nil, false
		}
		if like != nil && a.Dim != like.Dim {
			s.fault(e.Args[i], lang.DecimalComma(s.text.Source(e)), "this is %s, but the first value is %s", value.Describe(a), value.Describe(like))
			return nil, nil, false
		}
		if like == nil {
			like = a
		}
		xs[i] = a.Num[0]
	}
	return xs, like, true
}

// count reads a whole number of points.
func (s *scope) count(n ast.Node, v value.Value, least int) (int, bool) {
	a, ok := s.scalar(n, v)
	if !ok {
		return 0, false
	}
	if a.Dim != unit.None || a.Num[0] != math.Trunc(a.Num[0]) || a.Num[0] < float64(least) {
		s.fault(n, "", "a whole number of points was expected here, at least %d", least)
		return 0, false
	}
	if a.Num[0] > float64(value.MaxElements) {
		s.fault(n, "", "%.10g points are too many; the most is %d", a.Num[0], value.MaxElements)
		return 0, false
	}
	return int(a.Num[0]), true
}

func (s *scope) coordinates(axis *value.Axis, like *value.Array, at func(i int) float64) value.Value {
	axis.Dim, axis.Show = like.Dim, like.Show
	out := &value.Array{Dim: like.Dim, Axes: []*value.Axis{axis}, Show: like.Show, Own: axis}
	for i := range axis.Length {
		out.Num = append(out.Num, at(i))
	}
	axis.Coord = out.Num
	return out
}

// evenly steps so that both ends are exact.
func evenly(from, to float64, n int) func(i int) float64 {
	return func(i int) float64 {
		if i == n-1 {
			return to
		}
		x := from + (to-from)*float64(i)/float64(n-1)
		// A value that should be zero is exactly zero, and doesn't print as 1.39·10^-14.
		const lastBits = 1e-12
		if math.Abs(x) < lastBits*math.Max(math.Abs(from), math.Abs(to)) {
			return 0
		}
		return x
	}
}

func span(s *scope, e *ast.CallExpr, args []value.Value) value.Value {
	xs, like, ok := s.scalars(e, args[:2])
	if !ok {
		return value.Broken{}
	}
	n, ok := s.count(e.Args[2], args[2], 2)
	if !ok {
		return value.Broken{}
	}
	if xs[0] == xs[1] {
		return s.fault(e, "", "this span starts and ends at the same value")
	}
	return s.coordinates(s.naming.axis(value.Span, n), like, evenly(xs[0], xs[1], n))
}

func list(s *scope, e *ast.CallExpr, args []value.Value) value.Value {
	xs, like, ok := s.scalars(e, args)
	if !ok {
		return value.Broken{}
	}
	return s.coordinates(s.naming.axis(value.Span, len(xs)), like, func(i int) float64 { return xs[i] })
}

func dial(s *scope, e *ast.CallExpr, args []value.Value) value.Value {
	xs, like, ok := s.scalars(e, args[:3])
	if !ok {
		return value.Broken{}
	}
	n, ok := s.count(e.Args[3], args[3], 2)
	if !ok {
		return value.Broken{}
	}
	if xs[1] == xs[2] {
		return s.fault(e, "", "this dial starts and ends at the same value")
	}
	axis := s.naming.axis(value.Dial, n)
	v := s.coordinates(axis, like, evenly(xs[1], xs[2], n))
	axis.Start = -1
	for i, x := range axis.Coord {
		// Positions are computed by even steps, so a typed one may differ in the last bits.
		if math.Abs(x-xs[0]) < 1e-9*math.Abs(xs[2]-xs[1]) {
			axis.Start = i
		}
	}
	if axis.Start < 0 {
		u := value.Display(like.Show, like.Dim, false)
		step := (xs[2] - xs[1]) / float64(n-1)
		return s.fault(e.Args[0], "", "the dial's starting value must be one of its %d positions, %s apart from %s", n, value.Print(step, u, 0), value.Print(xs[1], u, 0))
	}
	if s.still(axis) {
		at := standing(axis, axis.Start, s.ev.options.Still)
		axis.Coord, axis.Length, axis.Start = axis.Coord[at:at+1], 1, 0
		v.(*value.Array).Num = axis.Coord
	}
	return v
}

func uncertain(s *scope, e *ast.CallExpr, args []value.Value) value.Value {
	xs, like, ok := s.scalars(e, args)
	if !ok {
		return value.Broken{}
	}
	name := e.Fun.(*ast.Ident).Name
	var d value.Distribution
	wrong := ""
	switch name {
	case "normal":
		if xs[1] < 0 {
			wrong = "a standard deviation can't be negative"
		}
		d = value.Normal(xs[0], xs[1])
	case "uniform":
		if xs[0] > xs[1] {
			wrong = "the lower end comes first"
		}
		d = value.Uniform(xs[0], xs[1])
	default:
		if xs[0] > xs[1] || xs[1] > xs[2] {
			wrong = "the values go from low over the likeliest to high"
		}
		d = value.Triangular(xs[0], xs[1], xs[2])
	}
	if wrong != "" {
		return s.fault(e, "", "%s", wrong)
	}
	out := value.Sample(s.ev.drawsAxis(s.nb.Front.Draws), s.nb.Path, s.naming.source(), like.Dim, d)
	out.Show = like.Show
	return out
}

func trig(f func(float64) float64) runner {
	return ofNumber(func(s *scope, e *ast.CallExpr, a *value.Array, _ []value.Value) value.Value {
		if a.Dim != unit.Angle {
			return s.fault(e.Args[0], "multiply by deg or rad", "an angle was expected here; this is %s", value.Describe(a))
		}
		return value.Map(a, unit.None, f)
	})
}

func arc(f func(float64) float64) runner {
	return ofNumber(func(s *scope, e *ast.CallExpr, a *value.Array, _ []value.Value) value.Value {
		if a.Dim != unit.None {
			return s.fault(e.Args[0], "", "a plain number was expected here; this is %s", value.Describe(a))
		}
		out := value.Map(a, unit.Angle, f)
		why(out, a, "the number is outside −1 to 1")
		return s.present(e, result{out, nil}, a)
	})
}

// why gives the reason for values that a function has just made absent.
func why(out, from *value.Array, reason string) {
	if out.Why == "" && out.AbsentCount() > from.AbsentCount() {
		out.Why = reason
	}
}

func root(s *scope, e *ast.CallExpr, a *value.Array, _ []value.Value) value.Value {
	dim, ok := a.Dim.Sqrt()
	if !ok {
		return s.fault(e, "", "%s has no square root among units", value.Describe(a))
	}
	out := value.Map(a, dim, math.Sqrt)
	why(out, a, "the square root of a negative number")
	return s.present(e, result{out, nil}, a)
}

func magnitude(_ *scope, _ *ast.CallExpr, a *value.Array, _ []value.Value) value.Value {
	return value.Map(a, a.Dim, math.Abs).Named("", a.Show)
}

func extreme(pair func(x, y float64) float64, fold func([]float64) float64) runner {
	return ofNumber(func(s *scope, e *ast.CallExpr, a *value.Array, args []value.Value) value.Value {
		if len(args) == 1 {
			return value.Reduce(a, value.Plotted, fold)
		}
		for i, v := range args[1:] {
			b, ok := s.number(e.Args[i+1], v)
			if !ok {
				return value.Broken{}
			}
			if a.Dim != b.Dim {
				return s.fault(e.Args[i+1], "", "this is %s, but the first value is %s", value.Describe(b), value.Describe(a))
			}
			out, err := value.Zip(a, b, value.Number, a.Dim, pair)
			if err != nil {
				return s.fault(e, "", "%s", err)
			}
			out.Show = a.Show
			a = out
		}
		return a
	})
}

func meanOfDraws(_ *scope, _ *ast.CallExpr, a *value.Array, _ []value.Value) value.Value {
	return value.Reduce(a, value.IsDraws, value.Average)
}

func quantile(s *scope, e *ast.CallExpr, a *value.Array, args []value.Value) value.Value {
	p, ok := s.scalar(e.Args[1], args[1])
	if !ok {
		return value.Broken{}
	}
	if p.Dim != unit.None || p.Num[0] < 0 || p.Num[0] > 1 {
		return s.fault(e.Args[1], "", "a probability from 0 to 1 was expected here")
	}
	return value.Reduce(a, value.IsDraws, value.Quantile(p.Num[0]))
}

func alongAxis(s *scope, e *ast.CallExpr, args []value.Value) value.Value {
	y, okY := s.number(e.Args[0], args[0])
	if !okY {
		return value.Broken{}
	}
	x, okX := s.number(e.Args[1], args[1])
	if !okX {
		return value.Broken{}
	}
	axis, err := value.Only(x)
	if err != nil {
		return s.fault(e.Args[1], "", "%s", err)
	}
	if !y.Has(axis) {
		return s.fault(e.Args[0], "", "this doesn't vary over %s", axis.Name)
	}
	switch e.Fun.(*ast.Ident).Name {
	case "slope":
		return s.checked(e, first2(value.Slope(y, x, axis)))
	case "knee":
		return s.checked(e, first2(value.Knee(y, x, axis)))
	}
	level, ok := s.number(e.Args[2], args[2])
	if !ok {
		return value.Broken{}
	}
	return s.checked(e, first2(value.Crossing(y, x, level, axis)))
}

func point(s *scope, e *ast.CallExpr, args []value.Value) value.Value {
	r := &value.Record{Type: "Point", Fields: map[string]value.Value{}}
	var like *value.Array
	for i, name := range []string{"X", "Y", "Z"} {
		a, ok := s.number(e.Args[i], args[i])
		if !ok {
			return value.Broken{}
		}
		if like != nil && a.Dim != like.Dim {
			hint := ""
			if a.Dim == unit.None || like.Dim == unit.None {
				hint = "a unit is missing"
			}
			return s.fault(e.Args[i], hint, "this is %s, but the first coordinate is %s", value.Describe(a), value.Describe(like))
		}
		like = a
		r.Fields[name] = a
	}
	return r
}
