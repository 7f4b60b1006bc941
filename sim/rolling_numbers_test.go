package sim

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// rollingModels runs every rolling model on a vehicle, by name.
var rollingModels = map[string]func(Vehicle) error{
	"ReturnTorque": func(v Vehicle) error {
		_, err := ReturnTorque{Vehicle: v, Speed: 15, LateralAcceleration: value(2), DriveForce: 2000}.Run()
		return err
	},
	"SteerRelease": func(v Vehicle) error {
		_, err := SteerRelease{Vehicle: v, Speed: 15, LateralAcceleration: 2}.Run()
		return err
	},
	"Pull":     func(v Vehicle) error { _, err := Pull{Vehicle: v, Speed: 15, RoadCrown: 0.02}.Run(); return err },
	"KickBack": func(v Vehicle) error { _, err := KickBack{Vehicle: v, Speed: 15, BumpSpeed: 1}.Run(); return err },
}

// numbers lists every number of a vehicle that lies under one of the paths.
func numbers(v reflect.Value, path string, uses []string, visit func(path string, at reflect.Value)) {
	switch v.Kind() {
	case reflect.Float64:
		for _, u := range uses {
			if path == u || strings.HasPrefix(path, u+".") {
				visit(path, v)
				return
			}
		}
	case reflect.Struct:
		for i := range v.NumField() {
			numbers(v.Field(i), strings.TrimPrefix(path+"."+v.Type().Field(i).Name, "."), uses, visit)
		}
	}
}

// geometric tells of a field that goes into an axle, where its own tests watch it.
func geometric(path string) bool {
	return strings.HasPrefix(path, "Front.") || strings.HasPrefix(path, "Spring.") || path == "RearLift" || path == "Wheelbase"
}

// A number that isn't one, anywhere that a rolling model itself looks, is refused: never a plausible result, never a panic.
func TestRollingRefusesBadNumbers(t *testing.T) {
	for name, run := range rollingModels {
		model, _ := Find(name)
		for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
			v := rollingTruck()
			numbers(reflect.ValueOf(&v).Elem(), "", model.Uses, func(path string, at reflect.Value) {
				if geometric(path) {
					return
				}
				good := at.Float()
				at.SetFloat(bad)
				assert.Error(t, run(v), "%s with %s of %g", name, path, bad)
				at.SetFloat(good)
			})
		}
	}
}

// So is a negative amount of what can't be negative.
func TestRollingRefusesNegativeAmounts(t *testing.T) {
	for name, run := range rollingModels {
		model, _ := Find(name)
		v := rollingTruck()
		numbers(reflect.ValueOf(&v).Elem(), "", model.Uses, func(path string, at reflect.Value) {
			if geometric(path) || path == "Tyre.OffsetChange" { // an offset goes either way
				return
			}
			good := at.Float()
			at.SetFloat(-1)
			assert.Error(t, run(v), "%s with %s of −1", name, path)
			at.SetFloat(good)
		})
	}
}
