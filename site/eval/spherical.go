package eval

import (
	"reflect"

	"turnplate/sim"
	"turnplate/site/value"
)

// spherical is the constant Spherical, a Bush.
func spherical() value.Value {
	from := reflect.ValueOf(sim.Spherical)
	out := &value.Record{Type: from.Type().Name(), Fields: map[string]value.Value{}}
	for _, f := range sim.Fields(from.Type()) {
		out.Fields[f.Name] = value.Num(from.FieldByIndex(f.Index).Float(), f.Unit.Dim)
	}
	return out
}
