package model

import (
	"cmp"
	"fmt"
	"math"
	"reflect"
	"strings"

	"turnplate/sim"
	"turnplate/site/value"
)

// column is one output of a model over every combination.
type column struct {
	path  []string // field names down to it
	field *sim.Field
	kind  value.Kind
	slice bool
	read  func() float64
	word  func() string
	many  func() []float64
	names func() []string
	nums  []float64
	words []string
}

// outlet lists the outputs of a result struct, bound to one worker's copy of it.
type outlet struct {
	columns []*column
	after   []func() // copy what outputs point to into the places that columns read
	vehicle []vehicleOut
}

// vehicleOut is an output that is a whole vehicle: the input with some fields changed.
type vehicleOut struct {
	name string
	at   reflect.Value // *sim.Vehicle
}

func (o *outlet) output(v reflect.Value, f *sim.Field, path []string) {
	t := v.Type()
	c := &column{path: path, field: f}
	switch {
	case t == reflect.PointerTo(carType):
		o.vehicle = append(o.vehicle, vehicleOut{strings.Join(path, "."), v})
		return
	case t.Kind() == reflect.Pointer:
		pointer := v
		holder := reflect.New(t.Elem()).Elem()
		empty := absentOf(t.Elem())
		o.after = append(o.after, func() {
			if pointer.IsNil() {
				holder.Set(empty)
			} else {
				holder.Set(pointer.Elem())
			}
		})
		g := *f
		g.Type = t.Elem()
		o.output(holder, &g, path)
		return
	case t.Kind() == reflect.Float64:
		p := v.Addr().Interface().(*float64)
		c.read = func() float64 { return *p }
	case t.Kind() == reflect.Bool:
		p := v.Addr().Interface().(*bool)
		c.kind = value.Truth
		c.read = func() float64 {
			if *p {
				return 1
			}
			return 0
		}
	case t.Kind() == reflect.String:
		p := v.Addr().Interface().(*string)
		c.kind, c.word = value.Words, func() string { return *p }
	case t == reflect.TypeFor[[]float64]():
		p := v.Addr().Interface().(*[]float64)
		c.slice, c.many = true, func() []float64 { return *p }
	case t == reflect.TypeFor[[]string]():
		p := v.Addr().Interface().(*[]string)
		c.slice, c.kind, c.names = true, value.Words, func() []string { return *p }
	case t.Kind() == reflect.Struct:
		o.gather(v, f, path)
		return
	default:
		panic(fmt.Sprintf("model: a model's output %s has type %s", strings.Join(path, "."), t))
	}
	o.columns = append(o.columns, c)
}

// gather lists a struct's outputs. A point's coordinates take the unit of the field that holds the point. Where the
// struct may be absent, so may each of its outputs.
func (o *outlet) gather(v reflect.Value, f *sim.Field, path []string) {
	for _, inner := range SchemaOf(v.Type()).Fields {
		g := inner
		if v.Type() == pointType || v.Type() == sidesType {
			g.Unit, g.US = f.Unit, f.US
		}
		if f != nil {
			g.Absent = cmp.Or(g.Absent, f.Absent)
		}
		o.output(v.FieldByIndex(g.Index), &g, append(append([]string{}, path...), g.Name))
	}
}

// absentOf is a struct or number with every number absent.
func absentOf(t reflect.Type) reflect.Value {
	v := reflect.New(t).Elem()
	noNumbers(v)
	return v
}

// noNumbers makes every number of a struct absent.
func noNumbers(v reflect.Value) {
	switch v.Kind() {
	case reflect.Float64:
		v.SetFloat(math.NaN())
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Field(i).CanSet() {
				noNumbers(v.Field(i))
			}
		}
	}
}
