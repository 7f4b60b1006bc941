package eval

import (
	"fmt"
	"reflect"
	"strings"
	"sync"

	"turnplate/sim"
	"turnplate/sim/unit"
	"turnplate/site/value"
)

// schema is a Go struct of package sim as a notebook sees it.
type schema struct {
	name   string
	goType reflect.Type
	fields []sim.Field
	byName map[string]*sim.Field
}

var (
	schemas   sync.Map // reflect.Type -> *schema
	pointType = reflect.TypeFor[sim.Point]()
	sidesType = reflect.TypeFor[sim.Sides]()
	carType   = reflect.TypeFor[sim.Vehicle]()
	tyreType  = reflect.TypeFor[sim.Tyre]()
)

func schemaOf(t reflect.Type) *schema {
	if s, ok := schemas.Load(t); ok {
		return s.(*schema)
	}
	s := &schema{name: t.Name(), goType: t, fields: sim.Fields(t), byName: map[string]*sim.Field{}}
	for i := range s.fields {
		s.byName[s.fields[i].Name] = &s.fields[i]
	}
	schemas.Store(t, s)
	return s
}

func (s *schema) names() []string {
	names := make([]string, len(s.fields))
	for i, f := range s.fields {
		names[i] = f.Name
	}
	return names
}

// base looks through a pointer: an optional field is used like a plain one.
func base(t reflect.Type) reflect.Type {
	if t.Kind() == reflect.Pointer {
		return t.Elem()
	}
	return t
}

// literals are the struct types a notebook may write out, found from the vehicle and from the models' inputs.
var literals = sync.OnceValue(func() map[string]*schema {
	found := map[string]*schema{}
	var visit func(t reflect.Type)
	visit = func(t reflect.Type) {
		for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
			t = t.Elem()
		}
		if t.Kind() != reflect.Struct || found[t.Name()] != nil {
			return
		}
		found[t.Name()] = schemaOf(t)
		for _, f := range sim.Fields(t) {
			visit(f.Type)
		}
	}
	visit(carType)
	visit(sidesType)
	for _, m := range sim.Models() {
		for _, f := range sim.Fields(m.Input) {
			visit(f.Type)
		}
	}
	return found
})

// show is how a field's value is printed.
func show(f *sim.Field) *value.Show { return &value.Show{Metric: f.Unit, US: f.US} }

// describeField says what a field takes: "an angle, such as 2*deg".
func describeField(f *sim.Field) string {
	switch base(f.Type).Kind() {
	case reflect.Float64:
		if f.Unit.Dim == unit.None {
			return "a plain number"
		}
		return fmt.Sprintf("%s, such as 2*%s", withArticle(f.Unit.Dim.String()), f.Unit.Name)
	case reflect.Bool:
		return "true or false"
	case reflect.String:
		return "text in quotes"
	case reflect.Slice:
		return "a list, []" + f.Type.Elem().Name() + "{…}"
	}
	switch base(f.Type) {
	case pointType:
		return "a point, at(x, y, z)"
	case sidesType:
		return fmt.Sprintf("%s, or Sides{Left: …, Right: …}", withArticle(f.Unit.Dim.String()))
	}
	return withArticle(base(f.Type).Name())
}

func withArticle(noun string) string {
	if strings.ContainsRune("aeiouAEIOU", rune(noun[0])) {
		return "an " + noun
	}
	return "a " + noun
}

// conform checks that v can stand in a field, and gives it the field's form.
func conform(f *sim.Field, v value.Value) (value.Value, error) {
	wrong := func() error {
		return fmt.Errorf("%s takes %s; this is %s", f.Name, describeField(f), value.Describe(v))
	}
	t := base(f.Type)
	switch t.Kind() {
	case reflect.Float64:
		a, ok := v.(*value.Array)
		if !ok || a.Kind != value.Number {
			return nil, wrong()
		}
		if f.PerTurn && a.Dim == f.Unit.Dim.Div(unit.Angle) {
			turn, _ := unit.Lookup("turn")
			scaled, err := value.Mul(a, value.OfUnit(turn))
			if err != nil {
				return nil, err
			}
			a = scaled.(*value.Array)
		}
		if a.Dim != f.Unit.Dim {
			return nil, wrong()
		}
		return a, nil
	case reflect.Bool, reflect.String:
		want := value.Truth
		if t.Kind() == reflect.String {
			want = value.Words
		}
		if a, ok := v.(*value.Array); ok && a.Kind == want {
			return a, nil
		}
		return nil, wrong()
	case reflect.Slice:
		if l, ok := v.(*value.List); ok && l.Type == t.Elem().Name() {
			return l, nil
		}
		return nil, wrong()
	}
	if t == sidesType {
		if a, ok := v.(*value.Array); ok {
			v = &value.Record{Type: "Sides", Fields: map[string]value.Value{"Left": a, "Right": a}}
		}
	}
	r, ok := v.(*value.Record)
	if !ok || r.Type != t.Name() {
		return nil, wrong()
	}
	if t == pointType || t == sidesType {
		for _, c := range r.Fields {
			a, ok := c.(*value.Array)
			// A direction may be given in any unit, because only its proportions count.
			direction := t == pointType && f.Unit.Dim == unit.None
			if !ok || a.Kind != value.Number || a.Dim != f.Unit.Dim && !direction {
				return nil, fmt.Errorf("%s takes %s; its parts are %s", f.Name, describeField(f), value.Describe(c))
			}
		}
	}
	return r, nil
}

// defaultOf gives what stands for a field that a record leaves out, or nil.
func defaultOf(s *schema, f *sim.Field, r *value.Record) value.Value {
	if f.Required {
		return nil
	}
	t := base(f.Type)
	switch {
	case f.Type.Kind() == reflect.Pointer:
		if front, ok := r.Fields["Front"]; ok && s.goType == carType && f.Name == "Right" {
			return front // the right corner mirrors the left one
		}
		return nil
	case t.Kind() == reflect.Float64 && f.Of != "":
		of := s.byName[f.Of]
		basis, ok := r.Fields[f.Of].(*value.Array)
		if !ok {
			basis, ok = defaultOf(s, of, r).(*value.Array)
		}
		if !ok {
			return nil
		}
		share := f.Default
		return value.Map(basis, basis.Dim, func(x float64) float64 { return share * x }).Named("", show(f))
	case t.Kind() == reflect.Float64:
		return value.Num(f.Default, f.Unit.Dim).Named("", show(f))
	case t.Kind() == reflect.Bool:
		return value.Bool(f.Text == "yes")
	case t.Kind() == reflect.String:
		return value.Text(f.Text)
	case t == pointType:
		zero := value.Num(0, f.Unit.Dim)
		return &value.Record{Type: "Point", Fields: map[string]value.Value{"X": zero, "Y": zero, "Z": zero}}
	case t.Kind() == reflect.Slice:
		return &value.List{Type: t.Elem().Name()}
	}
	return nil
}

// fill is defaultOf for value.Merge.
func fill(r *value.Record, name string) value.Value {
	s := literals()[r.Type]
	if s == nil || s.byName[name] == nil {
		return nil
	}
	f := s.byName[name]
	if v := defaultOf(s, f, r); v != nil {
		return v
	}
	if t := base(f.Type); t.Kind() == reflect.Struct && f.Type.Kind() == reflect.Struct && t != pointType && t != sidesType {
		return &value.Record{Type: t.Name(), Fields: map[string]value.Value{}}
	}
	return nil
}
