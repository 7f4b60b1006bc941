package model

import (
	"cmp"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"turnplate/sim"
	"turnplate/site/value"
)

// column is one output of a model over every combination.
type column struct {
	path  []string // field names down to it
	field *sim.Field
	from  any // points into a worker's result: to a number, a truth, a text, or a list of numbers or texts
	kind  value.Kind
	slice bool
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
	switch t := v.Type(); {
	case t == reflect.PointerTo(carType):
		o.vehicle = append(o.vehicle, vehicleOut{strings.Join(path, "."), v})
		return
	case t.Kind() == reflect.Pointer:
		holder, empty := reflect.New(t.Elem()).Elem(), reflect.New(t.Elem()).Elem()
		noNumbers(empty)
		o.after = append(o.after, func() {
			if v.IsNil() {
				holder.Set(empty)
			} else {
				holder.Set(v.Elem())
			}
		})
		g := *f
		g.Type = t.Elem()
		o.output(holder, &g, path)
		return
	case t.Kind() == reflect.Struct:
		o.gather(v, f, path)
		return
	}
	c := &column{path: path, field: f, from: v.Addr().Interface()}
	switch c.from.(type) {
	case *float64:
	case *bool:
		c.kind = value.Truth
	case *string:
		c.kind = value.Words
	case *[]float64:
		c.slice = true
	case *[]string:
		c.slice, c.kind = true, value.Words
	default:
		panic(fmt.Sprintf("model: a model's output %s has type %s", strings.Join(path, "."), v.Type()))
	}
	o.columns = append(o.columns, c)
}

// gather lists a struct's outputs. A point's coordinates take the unit of the field that holds the point. Where the
// struct may be absent, so may each of its outputs.
func (o *outlet) gather(v reflect.Value, f *sim.Field, path []string) {
	for _, inner := range SchemaOf(v.Type()).Fields {
		g := inner
		if HasParts(v.Type()) {
			g.Unit, g.US = f.Unit, f.US
		}
		if f != nil {
			g.Absent = cmp.Or(g.Absent, f.Absent)
		}
		o.output(v.FieldByIndex(g.Index), &g, append(slices.Clone(path), g.Name))
	}
}

// noNumbers makes a number, or every number of a struct, absent.
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
