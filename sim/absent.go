package sim

import (
	"math"
	"reflect"
)

// absent is a result with every number absent.
func absent[T any]() T {
	var result T
	makeAbsent(reflect.ValueOf(&result).Elem())
	return result
}

func makeAbsent(v reflect.Value) {
	switch v.Kind() {
	case reflect.Float64:
		v.SetFloat(math.NaN())
	case reflect.Struct:
		for i := range v.NumField() {
			makeAbsent(v.Field(i))
		}
	}
}
