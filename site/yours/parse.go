package yours

import (
	"go/ast"
	"go/token"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"turnplate/sim"
	"turnplate/sim/size"
	"turnplate/sim/unit"
	"turnplate/site/diag"
	"turnplate/site/lang"
	"turnplate/site/model"
	"turnplate/site/value"
)

// reader turns statements into changes. Its grammar is all that a link from a stranger can say:
//
//	name.Field.Field = value
//	value   a number, calculated from numbers and units with + - * / ( )
//	        normal(…), uniform(…), triangular(…) of such numbers, times a unit if wanted
//	        at(x, y, z) of such numbers, times a unit if wanted
//	        "text"
//	        tyreSize("designation", name.Tyre), for name.Tyre alone
type reader struct {
	name   string
	text   *lang.Text
	faults diag.List
}

func (r *reader) fault(n ast.Node, hint, format string, args ...any) {
	if len(r.faults) < diag.Most {
		r.faults = append(r.faults, r.text.Fault(n, hint, format, args...))
	}
}

func (r *reader) change(stmt ast.Stmt) (Change, bool) {
	assign, ok := stmt.(*ast.AssignStmt)
	if !ok || assign.Tok != token.ASSIGN {
		r.fault(stmt, "", "only a field of %s can be set here, as in %s.Mass = 1900*kg", r.name, r.name)
		return Change{}, false
	}
	left, right := assign.Lhs[0], assign.Rhs[0]
	root, path := lang.Chain(left)
	if root == nil || root.Name != r.name || len(path) == 0 {
		r.fault(left, "", "only a field of %s can be set here", r.name)
		return Change{}, false
	}
	pos, _ := r.text.Place(left)
	c := Change{Path: strings.Join(path, "."), Expr: r.text.Source(right), Pos: pos}
	if strings.ContainsAny(c.Expr, "\r\n") || strings.Contains(c.Expr, "/*") {
		r.fault(stmt, "", "each value stands on a line of its own, without remarks inside it")
		return c, false
	}
	if c.Path == "Tyre" {
		return c, r.designation(&c, right)
	}
	var part string
	if c.Field, part, ok = r.field(left, path); !ok {
		return c, false
	}
	return c, r.fits(&c, part, left, right)
}

// field looks a path up. part is X, Y or Z where it goes into a point.
func (r *reader) field(at ast.Node, path []string) (f *sim.Field, part string, ok bool) {
	f, part, wrong := Lookup(path)
	if wrong != "" {
		_, among := model.FieldAt(strings.Replace(strings.Join(path, "."), "Both.", "Front.", 1))
		r.fault(at, diag.DidYouMean(wrong, among), "%s has no field %s that can be set here", r.name, strings.Join(path, "."))
	}
	return f, part, wrong == ""
}

// Lookup finds the field of a vehicle that a path names, and the part of a point or direction where it goes on into one.
// wrong is the name that leads nowhere. Lists, such as Body, are nowhere: a reader sets numbers, points and texts.
func Lookup(path []string) (f *sim.Field, part, wrong string) {
	s := model.SchemaOf(reflect.TypeFor[sim.Vehicle]())
	for i, name := range path {
		if i == 0 && name == "Both" {
			name = "Front"
		}
		if f = s.Field(name); f == nil {
			return nil, "", path[i]
		}
		last := i == len(path)-1
		switch t := model.Base(f.Type); {
		case model.IsPoint(t) && !last:
			if i != len(path)-2 || !slices.Contains([]string{"X", "Y", "Z"}, path[i+1]) {
				return nil, "", path[i+1]
			}
			return f, path[i+1], ""
		case model.IsPoint(t):
			return f, "", ""
		case t.Kind() == reflect.Struct && !last:
			s = model.SchemaOf(t)
		case last && (t.Kind() == reflect.Float64 || t.Kind() == reflect.String):
			return f, "", ""
		default:
			return nil, "", name
		}
	}
	return nil, "", ""
}

// fits reads the value and checks that it can stand in the field.
func (r *reader) fits(c *Change, part string, left, right ast.Expr) bool {
	v, ok := r.value(right)
	if !ok {
		return false
	}
	f := c.Field
	if part != "" {
		number := *f
		number.Type, number.Name = reflect.TypeFor[float64](), f.Name+"."+part
		f = &number
	}
	fitted, err := model.Conform(f, v.Value)
	if err != nil {
		r.fault(left, "", "%s", err)
		return false
	}
	c.Spread, c.Half = v.spread, coverage*v.deviation
	switch fitted := fitted.(type) {
	case *value.Array:
		if fitted.Kind == value.Words {
			c.Words = fitted.Words[0]
			return r.wordFits(c, left)
		}
		c.Numbers = []float64{fitted.Num[0]}
	case *value.Record:
		for _, name := range []string{"X", "Y", "Z"} {
			c.Numbers = append(c.Numbers, fitted.Fields[name].(*value.Array).Num[0])
		}
	}
	for _, x := range c.Numbers {
		if !c.Field.Must.Holds(x) {
			r.fault(right, "", "%s %s", f.Name, orFinite(c.Field.Must.Text(c.Field.Unit)))
			return false
		}
	}
	return true
}

func orFinite(must string) string {
	if must == "" {
		return "must be a number of a size that can be calculated with"
	}
	return must
}

func (r *reader) wordFits(c *Change, at ast.Node) bool {
	words := c.Field.Must.Words
	if len(words) > 0 && !slices.Contains(words, c.Words) {
		r.fault(at, "", "%s %s", c.Field.Name, c.Field.Must.Text(c.Field.Unit))
		return false
	}
	return true
}

// designation reads tyreSize("285/70R17", truck.Tyre).
func (r *reader) designation(c *Change, e ast.Expr) bool {
	call, ok := e.(*ast.CallExpr)
	if ok {
		name, named := call.Fun.(*ast.Ident)
		ok = named && name.Name == "tyreSize" && len(call.Args) == 2
	}
	if ok {
		root, path := lang.Chain(call.Args[1])
		ok = root != nil && root.Name == r.name && slices.Equal(path, []string{"Tyre"})
	}
	if !ok {
		r.fault(e, "", "the whole tyre is set by its designation: tyreSize(\"285/70R17\", %s.Tyre)", r.name)
		return false
	}
	if c.Words, ok = r.words(call.Args[0]); !ok {
		return false
	}
	if _, err := size.Parse(c.Words); err != nil {
		r.fault(call.Args[0], "", "%s", err)
		return false
	}
	return true
}

// words reads a text in quotes that a page may show.
func (r *reader) words(e ast.Expr) (string, bool) {
	lit, ok := e.(*ast.BasicLit)
	if !ok || lit.Kind != token.STRING {
		r.fault(e, "", "a text in quotes was expected here")
		return "", false
	}
	text, err := strconv.Unquote(lit.Value)
	if err != nil || strings.ContainsFunc(text, unprintable) || len(text) > maxText {
		r.fault(e, "", "a text here has at most %d bytes, on one line", maxText)
		return "", false
	}
	return text, true
}

// unprintable tells what could make a page say something other than what was written, such as a change of direction.
func unprintable(c rune) bool { return !strconv.IsPrint(c) }

// quantity is a value with whether it is uncertain, and how much where it is normal.
type quantity struct {
	value.Value
	spread    bool
	deviation float64
}

// coverage is half of a normal distribution's 95 % interval, in standard deviations.
const coverage = 1.96

func (r *reader) value(e ast.Expr) (quantity, bool) {
	if lit, ok := e.(*ast.BasicLit); ok && lit.Kind == token.STRING {
		text, ok := r.words(e)
		return quantity{Value: value.Text(text)}, ok
	}
	return r.number(e)
}

func (r *reader) number(e ast.Expr) (quantity, bool) {
	switch e := e.(type) {
	case *ast.BasicLit:
		x, err := strconv.ParseFloat(strings.ReplaceAll(e.Value, "_", ""), 64)
		if err != nil || e.Kind == token.STRING || math.IsInf(x, 0) {
			r.fault(e, "", "a number was expected here")
			return quantity{}, false
		}
		return quantity{Value: value.Plain(x)}, true
	case *ast.Ident:
		u, ok := unit.Lookup(e.Name)
		if !ok {
			r.fault(e, diag.DidYouMean(e.Name, unit.Names()), "%s isn't a unit; a value here is a number with its unit", e.Name)
		}
		return quantity{Value: value.OfUnit(u)}, ok
	case *ast.ParenExpr:
		return r.number(e.X)
	case *ast.UnaryExpr:
		return r.signed(e)
	case *ast.BinaryExpr:
		return r.binary(e)
	case *ast.CallExpr:
		return r.call(e)
	}
	r.fault(e, "", "a value here is a number with its unit, such as 400*mm")
	return quantity{}, false
}

func (r *reader) signed(e *ast.UnaryExpr) (quantity, bool) {
	x, ok := r.number(e.X)
	if !ok || e.Op == token.ADD {
		return x, ok
	}
	if e.Op != token.SUB {
		r.fault(e, "", "a value here is a number with its unit, such as 400*mm")
		return x, false
	}
	v, err := value.Neg(x.Value)
	if err != nil {
		r.fault(e, "", "%s", err)
	}
	return quantity{v, x.spread, x.deviation}, err == nil
}

func (r *reader) binary(e *ast.BinaryExpr) (quantity, bool) {
	x, okX := r.number(e.X)
	y, okY := r.number(e.Y)
	if !okX || !okY {
		return quantity{}, false
	}
	if x.spread && y.spread || y.spread && e.Op == token.QUO {
		r.fault(e, "write one normal(mean, standard deviation)", "uncertain numbers can't be combined here")
		return quantity{}, false
	}
	var v value.Value
	var err error
	switch e.Op {
	case token.ADD:
		v, err = value.Add(x.Value, y.Value, 1)
	case token.SUB:
		v, err = value.Add(x.Value, y.Value, -1)
	case token.MUL:
		v, err = value.Mul(x.Value, y.Value)
	case token.QUO:
		v, err = value.Div(x.Value, y.Value)
	default:
		r.fault(e, "", "a value here is a number with its unit, such as 400*mm")
		return quantity{}, false
	}
	if err != nil {
		r.fault(e, "", "%s", err)
		return quantity{}, false
	}
	return quantity{v, x.spread || y.spread, deviation(e.Op, x, y)}, true
}

// deviation is the standard deviation of a result of which one part at most is uncertain.
func deviation(op token.Token, x, y quantity) float64 {
	size := func(q quantity) float64 {
		if a, ok := q.Value.(*value.Array); ok {
			return math.Abs(a.Num[0])
		}
		return 0 // of a point nothing is said
	}
	switch op {
	case token.MUL:
		return x.deviation*size(y) + y.deviation*size(x)
	case token.QUO:
		return x.deviation / size(y)
	}
	return x.deviation + y.deviation
}

func (r *reader) call(e *ast.CallExpr) (quantity, bool) {
	name, _ := e.Fun.(*ast.Ident)
	args, known := 0, false
	if name != nil {
		args, known = map[string]int{"normal": 2, "uniform": 2, "triangular": 3, "at": 3}[name.Name]
	}
	switch {
	case !known:
		r.fault(e, "", "a value here is a number with its unit, or one of normal, uniform, triangular and at")
		return quantity{}, false
	case len(e.Args) != args:
		r.fault(e, lang.DecimalComma(r.text.Source(e)), "%s takes %d values", name.Name, args)
		return quantity{}, false
	}
	parts, spread, ok := r.alike(e)
	if !ok {
		return quantity{}, false
	}
	if name.Name == "at" {
		return quantity{&value.Record{Type: "Point", Fields: map[string]value.Value{"X": parts[0], "Y": parts[1], "Z": parts[2]}}, spread, 0}, true
	}
	if spread {
		r.fault(e, "", "the values of %s are plain numbers with units", name.Name)
		return quantity{}, false
	}
	mean, wrong := meanOf(name.Name, parts)
	if wrong != "" {
		r.fault(e, "", "%s", wrong)
		return quantity{}, false
	}
	out := quantity{Value: value.Num(mean, parts[0].Dim), spread: true}
	if name.Name == "normal" {
		out.deviation = parts[1].Num[0]
	}
	return out, true
}

// alike reads a call's numbers, which are of one dimension.
func (r *reader) alike(e *ast.CallExpr) (parts []*value.Array, spread, ok bool) {
	for _, arg := range e.Args {
		x, ok := r.number(arg)
		if !ok {
			return nil, false, false
		}
		a, isNumber := x.Value.(*value.Array)
		if !isNumber || len(parts) > 0 && a.Dim != parts[0].Dim {
			r.fault(arg, "", "the values in one pair of brackets are numbers of one kind, such as lengths")
			return nil, false, false
		}
		if a.Absent(0) {
			r.fault(arg, "", "a number of a size that can be calculated with was expected here")
			return nil, false, false
		}
		parts, spread = append(parts, a), spread || x.spread
	}
	return parts, spread, true
}

// meanOf gives the mean of a distribution, or what is wrong with it.
func meanOf(name string, parts []*value.Array) (mean float64, wrong string) {
	x, y := parts[0].Num[0], parts[1].Num[0]
	switch {
	case name == "normal" && y < 0:
		return 0, "a standard deviation can't be negative"
	case name == "normal":
		return x, ""
	case x > y:
		return 0, "the lower end comes first"
	case name == "uniform":
		return (x + y) / 2, ""
	}
	z := parts[2].Num[0]
	if y > z {
		return 0, "the values go from low over the likeliest to high"
	}
	return (x + y + z) / 3, ""
}
