package eval

import (
	"go/ast"
	"go/token"
	"slices"
	"strconv"
	"strings"

	"turnplate/sim"
	"turnplate/site/diag"
	"turnplate/site/model"
	"turnplate/site/value"
	"turnplate/site/vocabulary"
)

// composite evaluates T{…}: a struct, a model, alternatives or a list.
func (s *scope) composite(e *ast.CompositeLit) value.Value {
	switch t := e.Type.(type) {
	case *ast.Ident:
		if t.Name == "Choices" {
			return s.choices(e)
		}
		if m, ok := sim.Find(t.Name); ok {
			in := s.structLit(e, model.SchemaOf(m.Input))
			if isBroken(in) {
				return in
			}
			if m.Input == surveyType {
				return s.survey(e, in.(*value.Record))
			}
			return s.model(e, m, in.(*value.Record))
		}
		if sch := model.Literals()[t.Name]; sch != nil {
			return s.structLit(e, sch)
		}
		if _, ok := figures[t.Name]; ok {
			return s.fault(e, "", "%s puts something on the page; it stands on a line by itself", t.Name)
		}
		return s.fault(t, diag.DidYouMean(t.Name, s.known()), "%s isn't a model, a figure or a type known here", t.Name)
	case *ast.ArrayType:
		name := t.Elt.(*ast.Ident).Name
		if name == "string" {
			return s.texts(e)
		}
		sch := model.Literals()[name]
		if sch == nil {
			return s.fault(t, diag.DidYouMean(name, s.known()), "a list of %s can't stand here", name)
		}
		return s.list(e, sch)
	}
	return s.fault(e, "write its type before the brace, such as Tyre{…}", "this has no type")
}

// list evaluates []T{…}, whose entries may leave out T.
func (s *scope) list(e *ast.CompositeLit, sch *model.Schema) value.Value {
	out := &value.List{Type: sch.Name}
	outer := s.naming.at
	defer func() { s.naming.at = outer }()
	if ast.Expr(e) == s.doubts.named {
		s.doubts.depth++
		defer func() { s.doubts.depth-- }()
	}
	broken := false
	for i, item := range e.Elts {
		s.naming.at = outer + "." + strconv.Itoa(i+1)
		var v value.Value
		if lit, ok := item.(*ast.CompositeLit); ok && lit.Type == nil {
			v = s.structLit(lit, sch)
		} else {
			v = s.expr(item)
		}
		if r, ok := v.(*value.Record); !isBroken(v) && (!ok || r.Type != sch.Name) {
			v = s.fault(item, "", "this list holds %s; this is %s", sch.Name, value.Describe(v))
		}
		broken = broken || isBroken(v)
		out.Items = append(out.Items, v)
	}
	if broken {
		return value.Broken{}
	}
	return out
}

// texts evaluates []string{…}.
func (s *scope) texts(e *ast.CompositeLit) value.Value {
	out := &value.List{Type: "string"}
	for _, item := range e.Elts {
		v := s.expr(item)
		if isBroken(v) {
			return v
		}
		if _, ok := textOf(v); !ok {
			return s.fault(item, "", "this list holds texts in quotes; this is %s", value.Describe(v))
		}
		out.Items = append(out.Items, v)
	}
	return out
}

// structLit evaluates the fields of a struct or of a model's inputs.
func (s *scope) structLit(e *ast.CompositeLit, sch *model.Schema) value.Value {
	out := &value.Record{Type: sch.Name, Fields: map[string]value.Value{}, Written: map[string]value.Mark{}}
	defer s.doubts.inside(e, out)()
	ok := s.eachField(e, sch.Name, sch.Names(), func(name string, at ast.Node, expr ast.Expr) bool {
		v := s.expr(expr)
		if isBroken(v) {
			return false
		}
		if model.HasParts(sch.Type) {
			a, isNumber := v.(*value.Array)
			if !isNumber || a.Kind != value.Number {
				s.fault(expr, "", "%s.%s takes a number; this is %s", sch.Name, name, value.Describe(v))
				return false
			}
			out.Fields[name] = a
			return true
		}
		f := sch.Field(name)
		if v = s.surveyInput(expr, f, v); isBroken(v) {
			return false
		}
		fitted, err := model.Conform(f, v)
		if err != nil {
			s.fault(expr, unitHint(f, v), "%s", err)
			return false
		}
		out.Fields[name] = fitted
		out.Written[name] = s.mark(at)
		return true
	})
	if !ok {
		return value.Broken{}
	}
	if model.HasParts(sch.Type) {
		return s.fillPoint(e, sch, out)
	}
	return out
}

// fillPoint sees that a point's or a pair's parts are all there and alike.
func (s *scope) fillPoint(e *ast.CompositeLit, sch *model.Schema, r *value.Record) value.Value {
	var like *value.Array
	for _, f := range sch.Fields {
		a, ok := r.Fields[f.Name].(*value.Array)
		if !ok {
			return s.fault(e, "", "%s needs %s as well", sch.Name, f.Name)
		}
		if like != nil && a.Dim != like.Dim {
			return s.fault(e, "", "the parts of %s are %s and %s", sch.Name, value.Describe(like), value.Describe(a))
		}
		like = a
	}
	return r
}

// eachField runs over the fields of a literal, by name or in order, and refuses unknown and repeated ones.
func (s *scope) eachField(e *ast.CompositeLit, typeName string, names []string, visit func(name string, at ast.Node, expr ast.Expr) bool) bool {
	ok := true
	seen := map[string]bool{}
	outer := s.naming.at
	defer func() { s.naming.at = outer }()
	for i, item := range e.Elts {
		kv, keyed := item.(*ast.KeyValueExpr)
		name, expr := "", item
		switch {
		case keyed:
			key, isIdent := kv.Key.(*ast.Ident)
			if !isIdent {
				s.fault(kv.Key, "", "a field's name was expected before the colon")
				ok = false
				continue
			}
			name, expr = key.Name, kv.Value
			known := slices.Contains(names, name)
			if !known && typeName == "Vehicle" && name == bothSides {
				s.fault(key, "write Front, and Right if it differs; on a line below the literal, car.Both.Lift = 50*mm writes both", "Both is no field of its own")
				ok = false
				continue
			}
			if !known {
				s.fault(key, diag.OneOf(name, names), "%s has no field %s", typeName, name)
				ok = false
				continue
			}
		case i >= len(names):
			s.fault(item, "", "%s has only %d fields", typeName, len(names))
			return false
		default:
			name = names[i]
		}
		if seen[name] {
			s.fault(item, "", "%s is given twice", name)
			ok = false
			continue
		}
		seen[name] = true
		s.naming.at = name
		if outer != "" {
			s.naming.at = outer + "." + name
		}
		ok = visit(name, item, expr) && ok
	}
	return ok
}

// choices evaluates Choices{"Label": value, …}.
func (s *scope) choices(e *ast.CompositeLit) value.Value {
	if len(e.Elts) == 0 {
		return s.fault(e, "", `Choices needs at least one alternative, as in Choices{"Stock arm": stock}`)
	}
	axis := s.naming.axis(value.Choice, len(e.Elts))
	var options []value.Value
	seen := map[string]bool{}
	broken := false
	outer := s.naming.at
	for _, item := range e.Elts {
		kv, ok := item.(*ast.KeyValueExpr)
		var lit *ast.BasicLit
		if ok {
			lit, ok = kv.Key.(*ast.BasicLit)
		}
		if !ok || lit.Kind != token.STRING {
			s.fault(item, "", `each alternative needs a label in quotes, as in Choices{"Stock arm": stock}`)
			return value.Broken{}
		}
		label, ok := s.unquote(lit)
		if !ok {
			return value.Broken{}
		}
		if strings.TrimSpace(label) == "" {
			return s.fault(lit, "", "a label can't be empty")
		}
		if seen[label] {
			s.fault(lit, "", "the label %s stands twice", lit.Value)
			broken = true
		}
		seen[label] = true
		axis.Labels = append(axis.Labels, label)
		s.naming.at = outer + "." + label
		v := s.expr(kv.Value)
		broken = broken || isBroken(v)
		options = append(options, v)
	}
	s.naming.at = outer
	if broken {
		return value.Broken{}
	}
	merged, err := value.Merge(axis, options, model.Fill)
	if err != nil {
		return s.fault(e, "all alternatives are of one type", "%s", err)
	}
	if a, ok := merged.(*value.Array); ok {
		if !a.Has(axis) {
			// Alternatives that happen to be equal still are alternatives: a plot may ask for this axis.
			a = spread(a, axis)
		}
		own := *a
		own.Own = axis
		return &own
	}
	return merged
}

// spread repeats an array along an axis that it doesn't vary over.
func spread(a *value.Array, axis *value.Axis) *value.Array {
	out := *a
	out.Axes = value.Union(a.Axes, []*value.Axis{axis})
	out.Num, out.Words = nil, nil
	w, err := value.NewWalk(out.Axes, a)
	if err != nil {
		return a
	}
	for range w.N {
		if a.Num != nil {
			out.Num = append(out.Num, a.Num[w.Pos[0]])
		}
		if a.Words != nil {
			out.Words = append(out.Words, a.Words[w.Pos[0]])
		}
		w.Next()
	}
	return &out
}

// fieldsOf gives the fields of a part of a figure, by name.
func (s *scope) fieldsOf(part *ast.CompositeLit, typeName string) (fields map[string]ast.Expr, ok bool) {
	fields = map[string]ast.Expr{}
	ok = s.eachField(part, typeName, vocabulary.FieldsOf(typeName), func(name string, _ ast.Node, e ast.Expr) bool {
		fields[name] = e
		return true
	})
	return fields, ok
}

// parts takes a figure's field that holds a list of parts apart, if it is given. take is called for each part with its
// fields, and says whether they are right.
func (a *arguments) parts(s *scope, field, typeName string, take func(part *ast.CompositeLit, fields map[string]ast.Expr) bool) {
	e := a.exprs[field]
	if e == nil {
		return
	}
	list, ok := s.items(e, typeName)
	a.failed = a.failed || !ok
	for _, item := range list {
		fields, ok := s.fieldsOf(item, typeName)
		if !ok || !take(item, fields) {
			a.failed = true
		}
	}
}

// needed reports the first of a part's fields that is missing; example is how a part is written.
func (s *scope) needed(part *ast.CompositeLit, fields map[string]ast.Expr, what, example string, names ...string) bool {
	for _, name := range names {
		if fields[name] == nil {
			s.fault(part, "", "%s needs %s: %s", what, name, example)
			return false
		}
	}
	return true
}
