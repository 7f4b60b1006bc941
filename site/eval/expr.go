package eval

import (
	"cmp"
	"errors"
	"go/ast"
	"go/token"
	"reflect"
	"strconv"
	"strings"

	"turnplate/sim"
	"turnplate/sim/unit"
	"turnplate/site/diag"
	"turnplate/site/lang"
	"turnplate/site/model"
	"turnplate/site/notebook"
	"turnplate/site/value"
	"turnplate/site/vocabulary"
)

// expr evaluates an expression. A mistake is reported once and gives value.Broken.
func (s *scope) expr(e ast.Expr) value.Value {
	switch e := e.(type) {
	case *ast.ParenExpr:
		return s.expr(e.X)
	case *ast.BasicLit:
		return s.literalValue(e)
	case *ast.Ident:
		return s.ident(e)
	case *ast.UnaryExpr:
		return s.spend(e, s.unary(e))
	case *ast.BinaryExpr:
		return s.spend(e, s.binary(e))
	case *ast.SelectorExpr:
		return s.selector(e)
	case *ast.CallExpr:
		return s.spend(e, s.call(e))
	case *ast.CompositeLit:
		return s.spend(e, s.composite(e))
	}
	return s.fault(e, "", "this can't be evaluated")
}

func (s *scope) literalValue(e *ast.BasicLit) value.Value {
	if e.Kind == token.STRING {
		text, ok := s.unquote(e)
		if !ok {
			return value.Broken{}
		}
		return value.Text(text)
	}
	if x, err := strconv.ParseFloat(strings.ReplaceAll(e.Value, "_", ""), 64); err == nil {
		return value.Plain(x)
	}
	return s.fault(e, "", "%s isn't a decimal number that fits", e.Value)
}

// unquote reads a text in quotes. Escapes may not bring in what a notebook's own text may not hold.
func (s *scope) unquote(lit *ast.BasicLit) (string, bool) {
	text, err := strconv.Unquote(lit.Value)
	if err != nil {
		s.fault(lit, "", "this text isn't written as Go writes it: %s", err)
		return "", false
	}
	if _, why, hint := notebook.NotText([]byte(text)); why != "" {
		s.fault(lit, hint, "%s", why)
		return "", false
	}
	return text, true
}

func (s *scope) ident(e *ast.Ident) value.Value {
	if entry := s.names.entries[e.Name]; entry != nil {
		s.names.use(entry, "", s.text.Line(e))
		return entry.value
	}
	if s.names.refused[e.Name] {
		return value.Broken{}
	}
	if u, ok := unit.Lookup(e.Name); ok {
		return value.OfUnit(s.currency(u))
	}
	switch e.Name {
	case "true", "yes":
		return value.Bool(true)
	case "false", "no":
		return value.Bool(false)
	case "Spherical":
		return spherical()
	}
	if what := s.reservedAs(e.Name); what != "" {
		return s.fault(e, spelled(e.Name), "%s is %s, not a value", e.Name, what)
	}
	return s.fault(e, cmp.Or(spelled(e.Name), diag.DidYouMean(e.Name, s.known())), "%s isn't known here", e.Name)
}

// spelled is a hint for a unit that is often written in this way.
func spelled(word string) string {
	if write := vocabulary.Spelling(word); write != "" {
		return "as a unit, write " + write
	}
	return ""
}

func oneOfUnits(word string) string { return diag.OneOf(word, unit.Names()) }

func (s *scope) currency(u unit.Unit) unit.Unit {
	if u.Dim == unit.Money && u.Name == "money" {
		u.Symbol = s.nb.Front.Currency
	}
	return u
}

// known lists every name that would have been understood.
func (s *scope) known() []string {
	names := unit.Names()
	for name := range s.names.entries {
		names = append(names, name)
	}
	for name := range functions {
		names = append(names, name)
	}
	for name := range figures {
		names = append(names, name)
	}
	for name := range model.Literals() {
		names = append(names, name)
	}
	for _, m := range sim.Models() {
		names = append(names, m.Name)
	}
	return append(names, "Choices", "Spherical", "true", "false")
}

func reserved(name string) bool {
	_, isUnit := unit.Lookup(name)
	return isUnit || (*scope)(nil).reservedAs(name) != ""
}

// reservedAs says what a name that a notebook can't take for itself stands for.
func (*scope) reservedAs(name string) string {
	switch name {
	case "true", "false", "yes", "no", "Spherical":
		return "a constant"
	case "Choices":
		return "a list of labelled alternatives"
	case "in", "to":
		return "a word of the form for numbers in prose"
	}
	if _, ok := unit.Lookup(name); ok {
		return "a unit"
	}
	if _, ok := functions[name]; ok {
		return "a function"
	}
	if _, ok := figures[name]; ok {
		return "a figure"
	}
	if _, ok := sim.Find(name); ok {
		return "a model"
	}
	if model.Literals()[name] != nil {
		return "a type"
	}
	return ""
}

func (s *scope) unary(e *ast.UnaryExpr) value.Value {
	v := s.expr(e.X)
	if isBroken(v) {
		return v
	}
	switch e.Op {
	case token.SUB:
		return s.checked(e, first2(value.Neg(v)))
	case token.NOT:
		return s.checked(e, first2(value.Not(v)))
	}
	if a, ok := v.(*value.Array); ok && a.Kind == value.Number {
		return a
	}
	return s.fault(e, "", "+ needs a number; this is %s", value.Describe(v))
}

func isBroken(v value.Value) bool {
	_, broken := v.(value.Broken)
	return broken || v == nil
}

// result is a value or an error, so that both can be handed on as one argument.
type result struct {
	v   value.Value
	err error
}

func first2[V value.Value](v V, err error) result { return result{v, err} }

// checked turns an error into a fault at a node.
func (s *scope) checked(n ast.Node, r result) value.Value {
	if r.err == nil {
		return r.v
	}
	hint := ""
	var noLabel value.ErrNoLabel
	if errors.As(r.err, &noLabel) {
		hint = diag.DidYouMean(noLabel.Label, noLabel.Axis.Labels)
	}
	return s.fault(n, hint, "%s", r.err)
}

// present is like checked, and also refuses a result that is absent throughout although its operands weren't.
func (s *scope) present(n ast.Node, r result, from ...value.Value) value.Value {
	v := s.checked(n, r)
	a, ok := v.(*value.Array)
	if !ok || !a.AllAbsent() {
		return v
	}
	for _, f := range from {
		if b, ok := f.(*value.Array); ok && b.AllAbsent() {
			return v
		}
	}
	return s.fault(n, "", "this has no value: %s", a.Reason())
}

func (s *scope) binary(e *ast.BinaryExpr) value.Value {
	x, y := s.expr(e.X), s.expr(e.Y)
	if isBroken(x) || isBroken(y) {
		return value.Broken{}
	}
	switch e.Op {
	case token.ADD:
		return s.checked(e, first2(value.Add(x, y, 1)))
	case token.SUB:
		return s.checked(e, first2(value.Add(x, y, -1)))
	case token.MUL:
		return s.checked(e, first2(value.Mul(x, y)))
	case token.QUO:
		return s.present(e, first2(value.Div(x, y)), x, y)
	case token.LAND, token.LOR:
		return s.checked(e, first2(value.Logic(e.Op == token.LAND, x, y)))
	}
	return s.checked(e, first2(value.Compare(e.Op.String(), x, y)))
}

func (s *scope) selector(e *ast.SelectorExpr) value.Value {
	root, path := lang.Chain(e)
	if root == nil {
		return s.field(e, s.expr(e.X))
	}
	entry := s.names.entries[root.Name]
	if entry == nil {
		v := s.ident(root) // reports
		if !isBroken(v) {
			s.fault(e.Sel, "", "%s has no fields", root.Name)
		}
		return value.Broken{}
	}
	s.names.use(entry, strings.Join(path, "."), s.text.Line(e))
	return s.walk(e, entry.value)
}

// walk takes the fields of a chain from its root outwards.
func (s *scope) walk(e ast.Expr, root value.Value) value.Value {
	sel, ok := e.(*ast.SelectorExpr)
	if !ok {
		return root
	}
	return s.field(sel, s.walk(sel.X, root))
}

// field reads one field of a value.
func (s *scope) field(e *ast.SelectorExpr, v value.Value) value.Value {
	if isBroken(v) {
		return v
	}
	name := e.Sel.Name
	if n, ok := v.(*value.Notebook); ok {
		if got := n.By[name]; got != nil {
			return got
		}
		return s.fault(e.Sel, diag.DidYouMean(name, value.SortedNames(n.By)), "%s has no %s", value.Describe(n), name)
	}
	r, ok := v.(*value.Record)
	if !ok {
		hint := ""
		if _, isMethod := methods[name]; isMethod {
			hint = "call it: ." + name + "(…)"
		}
		return s.fault(e.Sel, hint, "%s has no field %s", value.Describe(v), name)
	}
	sch := model.Literals()[r.Type]
	if got := r.Fields[name]; got != nil {
		return dressed(sch, name, got)
	}
	if sch == nil {
		return s.fault(e.Sel, diag.OneOf(name, value.SortedNames(r.Fields)), "%s has no %s", describeRecord(r), name)
	}
	f := sch.Field(name)
	if f == nil && sch.Name == "Vehicle" && name == bothSides {
		return s.fault(e.Sel, "read Front or Right", "Both is for writing only")
	}
	if f == nil {
		return s.fault(e.Sel, diag.OneOf(name, sch.Names()), "%s has no field %s", sch.Name, name)
	}
	if got := model.Fill(r, name); got != nil {
		return dressed(sch, name, got)
	}
	return s.fault(e.Sel, "", "%s.%s isn't given and has no default", sch.Name, name)
}

func describeRecord(r *value.Record) string {
	if r.Type == "Point" || strings.HasPrefix(r.Type, "readings ") {
		return r.Type
	}
	return "the " + r.Type
}

// dressed shows a field's value in the field's documented units, under the field's name.
func dressed(sch *model.Schema, name string, v value.Value) value.Value {
	if sch == nil || sch.Field(name) == nil {
		return v
	}
	f := sch.Field(name)
	switch v := v.(type) {
	case *value.Array:
		if model.IsPoint(f.Type) || model.HasParts(sch.Type) {
			return v
		}
		if f.PerTurn { // what is given for one turn is a quantity per angle, and divides into turns
			return perTurn(v, name, f)
		}
		return v.Named(name, model.Show(f))
	case *value.Record:
		if v.Type != "Point" && v.Type != "Sides" {
			return v
		}
		out := &value.Record{Type: v.Type, Fields: map[string]value.Value{}}
		for c, part := range v.Fields {
			out.Fields[c] = part.(*value.Array).Named(name+" "+strings.ToLower(c), model.Show(f))
		}
		return out
	}
	return v
}

// perTurn reads a field that is given for one turn.
func perTurn(v *value.Array, name string, f *sim.Field) value.Value {
	turn, _ := unit.Lookup("turn")
	over, err := value.Div(v, value.OfUnit(turn))
	metric, err1 := unit.Parse(f.Unit.Name + "/turn")
	us, err2 := unit.Parse(f.US.Name + "/turn")
	each, ok := over.(*value.Array)
	if !ok || errors.Join(err, err1, err2) != nil {
		return v.Named(name, model.Show(f)) // a field without a unit
	}
	return each.Named(name, &value.Show{Metric: metric, US: us})
}

// unitHint helps with the commonest slip, a number without its unit.
func unitHint(f *sim.Field, v value.Value) string {
	a, ok := v.(*value.Array)
	if ok && a.Kind == value.Number && a.Dim == unit.None && model.Base(f.Type).Kind() == reflect.Float64 && f.Unit.Dim != unit.None {
		return "a unit is missing; multiply by one, as in 2*" + f.Unit.Name
	}
	return ""
}

// unitOf reads a unit written as an expression: N*m, km/hour.
func (s *scope) unitOf(e ast.Expr) (unit.Unit, bool) {
	switch e := e.(type) {
	case *ast.ParenExpr:
		return s.unitOf(e.X)
	case *ast.Ident:
		if u, ok := unit.Lookup(e.Name); ok {
			return s.currency(u), true
		}
		s.fault(e, cmp.Or(spelled(e.Name), oneOfUnits(e.Name)), "%s isn't a unit", e.Name)
		return unit.Unit{}, false
	case *ast.BasicLit:
		if e.Value == "1" {
			return unit.Unit{SI: 1}, true
		}
	case *ast.BinaryExpr:
		x, okX := s.unitOf(e.X)
		if !okX {
			return unit.Unit{}, false
		}
		y, okY := s.unitOf(e.Y)
		if !okY {
			return unit.Unit{}, false
		}
		switch e.Op {
		case token.MUL:
			return x.Mul(y), true
		case token.QUO:
			return x.Div(y), true
		}
	}
	s.fault(e, "", "a unit was expected here, such as deg, mm or N*m")
	return unit.Unit{}, false
}
