package eval

import (
	"go/ast"
	"go/token"
	"slices"
	"strings"

	"turnplate/sim"
	"turnplate/site/diag"
	"turnplate/site/lang"
	"turnplate/site/model"
	"turnplate/site/value"
)

// assign sets a name or a field. Values are never changed in place: setting a field makes a new value that
// shares the rest, so a copy stays as it was.
func (s *scope) assign(stmt *ast.AssignStmt) {
	lhs := stmt.Lhs[0]
	root, path := lang.Chain(lhs)
	s.naming.at = strings.Join(append([]string{root.Name}, path...), ".")
	// The right side first: it may read what the left side will replace.
	before := 0
	if e := s.names.entries[root.Name]; e != nil {
		before = len(e.used)
	}
	s.doubts.named = stmt.Rhs[0]
	v := s.expr(stmt.Rhs[0])
	paths := [][]string{path}
	if e := s.names.entries[root.Name]; e != nil && stmt.Tok == token.ASSIGN {
		if paths = s.bothOf(lhs, e.value, path); paths == nil {
			return
		}
		// x = x + 1 replaces what only it has read.
		e.used = append(e.used[:before:before], slices.DeleteFunc(slices.Clone(e.used[before:]), func(u usage) bool {
			return slices.ContainsFunc(paths, func(own []string) bool { return u.path == strings.Join(own, ".") })
		})...)
	}
	if len(path) == 0 {
		s.setName(stmt, root, v)
		return
	}
	e := s.names.entries[root.Name]
	if e == nil {
		s.fault(root, diag.DidYouMean(root.Name, s.known()), "%s isn't known here", root.Name)
		return
	}
	for _, path := range paths {
		if s.alreadyUsed(lhs, root.Name, strings.Join(path, "."), e) {
			return
		}
	}
	if _, broken := v.(value.Broken); broken {
		e.value = v // broken from here on, so that later lines don't report the same mistake again
		return
	}
	for _, path := range paths {
		changed := s.setField(lhs.(*ast.SelectorExpr), e.value, path, v)
		if changed == nil {
			return
		}
		e.value = changed
	}
}

// bothSides is the name that stands for both corners of a vehicle where a field of them is written.
const bothSides = "Both"

// bothOf gives the fields that an assignment writes: car.Both.Lift means Front.Lift, and Right.Lift where the vehicle
// has a Right. It gives nil after a fault.
func (s *scope) bothOf(lhs ast.Expr, v value.Value, path []string) [][]string {
	car, ok := v.(*value.Record)
	if !ok || car.Type != "Vehicle" || len(path) == 0 || path[0] != bothSides {
		return [][]string{path}
	}
	if len(path) == 1 {
		s.fault(lhs, "as in car.Both.Lift = 50*mm", "Both takes one field of both sides")
		return nil
	}
	paths := [][]string{append([]string{"Front"}, path[1:]...)}
	if car.Fields["Right"] != nil {
		paths = append(paths, append([]string{"Right"}, path[1:]...))
	}
	return paths
}

func (s *scope) setName(stmt *ast.AssignStmt, name *ast.Ident, v value.Value) {
	e := s.names.entries[name.Name]
	switch {
	case reserved(name.Name):
		s.fault(name, "choose another name", "%s is %s", name.Name, s.reservedAs(name.Name))
		s.names.refused[name.Name] = true
		return
	case stmt.Tok == token.DEFINE && e != nil:
		s.fault(name, "use = to change it before it is used, or another name", "%s already has a value, from line %d", name.Name, e.line)
		return
	case stmt.Tok == token.ASSIGN && e == nil:
		s.fault(name, "use := for a new name", "%s has no value yet", name.Name)
		return
	case e != nil && s.alreadyUsed(name, name.Name, "", e):
		return
	}
	if a, ok := v.(*value.Array); ok {
		// The first name sticks; a copy of park.RimForce is still the rim force.
		if a.Label == "" {
			v = a.Named(name.Name, nil)
		} else {
			v = a.Named("", nil)
		}
	}
	s.names.last, s.names.lastIn = name, s.text
	s.names.entries[name.Name] = &entry{value: v, line: s.text.Line(name)}
}

// alreadyUsed refuses a change to what something has used: a page has one value for a name.
func (s *scope) alreadyUsed(n ast.Node, name, path string, e *entry) bool {
	line := e.usedOn(path)
	if line == 0 {
		return false
	}
	s.fault(n, "set it before that line, or copy it to a new name and change the copy",
		"%s can't change here: it was used on line %d, and a page has one value for a name", strings.TrimSuffix(name+"."+path, "."), line)
	return true
}

// setField gives a copy of v with one field changed, or nil after a fault.
func (s *scope) setField(at *ast.SelectorExpr, v value.Value, path []string, to value.Value) value.Value {
	r, ok := v.(*value.Record)
	sch := recordSchema(r, ok)
	if sch != nil && (model.HasParts(sch.Type)) {
		return s.setComponent(at, &sim.Field{Name: sch.Name}, r, path, to)
	}
	if sch == nil {
		if _, broken := v.(value.Broken); !broken {
			s.fault(at.Sel, "", "%s has no fields that can be set", value.Describe(v))
		}
		return nil
	}
	f := sch.Field(path[0])
	if f == nil {
		s.fault(at.Sel, diag.OneOf(path[0], sch.Names()), "%s has no field %s", sch.Name, path[0])
		return nil
	}
	if len(path) == 1 {
		fitted, err := model.Conform(f, to)
		if err != nil {
			s.fault(at, unitHint(f, to), "%s", err)
			return nil
		}
		return r.With(f.Name, fitted, s.mark(at))
	}
	inner := r.Fields[f.Name]
	if inner == nil {
		inner = model.Fill(r, f.Name)
	}
	if inner == nil && model.IsPoint(f.Type) {
		s.fault(at.Sel, "set the whole point with at(x, y, z)", "%s isn't given, so one of its coordinates can't be changed", f.Name)
		return nil
	}
	if inner == nil {
		s.fault(at.Sel, "", "%s isn't given", f.Name)
		return nil
	}
	if model.HasParts(f.Type) {
		changed := s.setComponent(at, f, inner.(*value.Record), path[1:], to)
		if changed == nil {
			return nil
		}
		return r.With(f.Name, changed, s.mark(at))
	}
	changed := s.setField(at, inner, path[1:], to)
	if changed == nil {
		return nil
	}
	return r.With(f.Name, changed, r.Written[f.Name])
}

// setComponent changes X, Y or Z of a point, or one of a pair of sides, whose dimension is the field's.
func (s *scope) setComponent(at *ast.SelectorExpr, f *sim.Field, r *value.Record, path []string, to value.Value) value.Value {
	old, ok := r.Fields[path[0]].(*value.Array)
	if !ok || len(path) > 1 {
		s.fault(at.Sel, diag.OneOf(path[0], value.SortedNames(r.Fields)), "%s has no field %s", r.Type, strings.Join(path, "."))
		return nil
	}
	a, ok := to.(*value.Array)
	if !ok || a.Kind != value.Number || a.Dim != old.Dim {
		s.fault(at, "", "%s.%s takes %s; this is %s", f.Name, path[0], value.Describe(old), value.Describe(to))
		return nil
	}
	return r.With(path[0], a, value.Mark{})
}

func recordSchema(r *value.Record, ok bool) *model.Schema {
	if !ok {
		return nil
	}
	return model.Literals()[r.Type]
}
