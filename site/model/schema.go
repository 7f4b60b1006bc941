package model

import (
	"fmt"
	"reflect"
	"sync"

	"turnplate/sim"
	"turnplate/sim/unit"
	"turnplate/site/value"
)

// Schema is a Go struct of package sim as a notebook sees it.
type Schema struct {
	Name   string
	Type   reflect.Type
	Fields []sim.Field
	byName map[string]*sim.Field
}

var (
	schemas   sync.Map // reflect.Type -> *Schema
	pointType = reflect.TypeFor[sim.Point]()
	sidesType = reflect.TypeFor[sim.Sides]()
	drawsType = reflect.TypeFor[sim.SurveyDraws]()
	carType   = reflect.TypeFor[sim.Vehicle]()
)

// SchemaOf gives the schema of a struct type.
func SchemaOf(t reflect.Type) *Schema {
	if s, ok := schemas.Load(t); ok {
		return s.(*Schema)
	}
	s := &Schema{Name: t.Name(), Type: t, Fields: sim.Fields(t), byName: map[string]*sim.Field{}}
	for i := range s.Fields {
		s.byName[s.Fields[i].Name] = &s.Fields[i]
	}
	schemas.Store(t, s)
	return s
}

// Field gives a field by its name, or nil.
func (s *Schema) Field(name string) *sim.Field { return s.byName[name] }

// Names lists the fields' names in order.
func (s *Schema) Names() []string {
	names := make([]string, len(s.Fields))
	for i, f := range s.Fields {
		names[i] = f.Name
	}
	return names
}

// Base looks through a pointer: an optional field is used like a plain one.
func Base(t reflect.Type) reflect.Type {
	if t.Kind() == reflect.Pointer {
		return t.Elem()
	}
	return t
}

// IsPoint tells whether a field holds a point, given or not.
func IsPoint(t reflect.Type) bool { return Base(t) == pointType }

// HasParts tells whether a type is a point or a pair of sides: its parts are numbers that all take the dimension and
// the units of the field which holds it.
func HasParts(t reflect.Type) bool { return IsPoint(t) || Base(t) == sidesType }

// Literals are the struct types a notebook may write out, found from the vehicle and from the models' inputs.
var Literals = sync.OnceValue(func() map[string]*Schema {
	found := map[string]*Schema{}
	var visit func(t reflect.Type)
	visit = func(t reflect.Type) {
		for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
			t = t.Elem()
		}
		if t.Kind() != reflect.Struct || found[t.Name()] != nil {
			return
		}
		found[t.Name()] = SchemaOf(t)
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

// Show is how a field's value is printed.
func Show(f *sim.Field) *value.Show { return &value.Show{Metric: f.Unit, US: f.US} }

// describeField says what a field takes: "an angle, such as 2*deg".
func describeField(f *sim.Field) string {
	switch Base(f.Type).Kind() {
	case reflect.Float64:
		if f.Unit.Dim == unit.None {
			return "a plain number"
		}
		return fmt.Sprintf("%s, such as 2*%s", value.WithArticle(f.Unit.Dim.String()), f.Unit.Name)
	case reflect.Bool:
		return "true or false"
	case reflect.String:
		return "text in quotes"
	case reflect.Slice:
		return "a list, []" + f.Type.Elem().Name() + "{…}"
	}
	switch Base(f.Type) {
	case pointType:
		return "a point, at(x, y, z)"
	case drawsType:
		return "a number with draws"
	case sidesType:
		return fmt.Sprintf("%s, or Sides{Left: …, Right: …}", value.WithArticle(f.Unit.Dim.String()))
	}
	return value.WithArticle(Base(f.Type).Name())
}

// Conform checks that v can stand in a field, and gives it the field's form.
func Conform(f *sim.Field, v value.Value) (value.Value, error) {
	t := Base(f.Type)
	fits := false
	switch given := v.(type) {
	case *value.Array:
		switch {
		case t.Kind() == reflect.Float64:
			a := perTurn(f, given)
			v, fits = a, a.Kind == value.Number && a.Dim == f.Unit.Dim
		case t.Kind() == reflect.Bool:
			fits = given.Kind == value.Truth
		case t.Kind() == reflect.String:
			fits = given.Kind == value.Words
		case t == drawsType: // of any dimension
			fits = given.Kind == value.Number
		case t == sidesType: // one number for both sides
			r := &value.Record{Type: t.Name(), Fields: map[string]value.Value{"Left": given, "Right": given}}
			return r, conformParts(f, r)
		}
	case *value.List:
		fits = t.Kind() == reflect.Slice && given.Type == t.Elem().Name()
	case *value.Record:
		fits = given.Type == t.Name()
		if fits && HasParts(t) {
			return given, conformParts(f, given)
		}
	}
	if !fits {
		return nil, fmt.Errorf("%s takes %s; this is %s", f.Name, describeField(f), value.Describe(v))
	}
	return v, nil
}

// perTurn gives a length for each radian as one for each turn, where that is what a field takes.
func perTurn(f *sim.Field, a *value.Array) *value.Array {
	if !f.PerTurn || a.Kind != value.Number || a.Dim != f.Unit.Dim.Div(unit.Angle) {
		return a
	}
	scaled, _ := value.Mul(a, value.OfUnit(unit.MustParse("turn"))) // a number can always be scaled by a fixed one
	return scaled.(*value.Array)
}

// conformParts checks the numbers of a point or of a pair of sides.
func conformParts(f *sim.Field, r *value.Record) error {
	// A direction may be given in any unit, because only its proportions count.
	direction := IsPoint(f.Type) && f.Unit.Dim == unit.None
	for _, name := range value.SortedNames(r.Fields) {
		a, ok := r.Fields[name].(*value.Array)
		if !ok || a.Kind != value.Number || a.Dim != f.Unit.Dim && !direction {
			return fmt.Errorf("%s takes %s; its parts are %s", f.Name, describeField(f), value.Describe(r.Fields[name]))
		}
	}
	return nil
}

// defaultOf gives what stands for a field that a record leaves out, or nil.
func defaultOf(s *Schema, f *sim.Field, r *value.Record) value.Value {
	t := Base(f.Type)
	switch {
	case f.Type.Kind() == reflect.Struct && !HasParts(t):
		return &value.Record{Type: t.Name(), Fields: map[string]value.Value{}} // its own fields have defaults
	case f.Required:
		return nil
	case f.Type.Kind() == reflect.Pointer:
		if front, ok := r.Fields["Front"]; ok && s.Type == carType && f.Name == "Right" {
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
		return value.Map(basis, basis.Dim, func(x float64) float64 { return share * x }).Named("", Show(f))
	case t.Kind() == reflect.Float64:
		return value.Num(f.Default, f.Unit.Dim).Named("", Show(f))
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

// Fill is defaultOf for value.Merge.
func Fill(r *value.Record, name string) value.Value {
	s := Literals()[r.Type]
	if s == nil || s.Field(name) == nil {
		return nil
	}
	return defaultOf(s, s.Field(name), r)
}
