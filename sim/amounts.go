package sim

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"turnplate/sim/unit"
)

// amount is one input as a message names it.
type amount struct {
	field string
	value float64
	unit  string // as in a field tag
}

func (a amount) String() string {
	u := unit.MustParse(a.unit)
	return a.field + " of " + u.Text(strconv.FormatFloat(a.value/u.SI, 'g', 5, 64))
}

// finite tells whether x is a number.
func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// aboveZero gives an error for the first amount that isn't: NotGiven for one left at zero.
func aboveZero(amounts ...amount) error {
	for _, a := range amounts {
		switch {
		case a.value == 0:
			return NotGiven{a.field}
		case !(a.value > 0) || math.IsInf(a.value, 0):
			return fmt.Errorf("%s must be above zero", a)
		}
	}
	return nil
}

// notBelowZero gives an error for the first amount that is negative or no number.
func notBelowZero(amounts ...amount) error {
	for _, a := range amounts {
		if !(a.value >= 0) || math.IsInf(a.value, 0) {
			return fmt.Errorf("%s must not be below zero", a)
		}
	}
	return nil
}

// share gives an error for the first amount that doesn't lie from 0 to 1.
func share(amounts ...amount) error {
	for _, a := range amounts {
		if !(a.value >= 0 && a.value <= 1) {
			return fmt.Errorf("%s must lie from 0 to 100 %%", a)
		}
	}
	return nil
}

// firstOf gives the first error there is.
func firstOf(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// andOld adds, for each field of the vehicle's Tyre among those named, the same one of an input Old: a tyre to
// compare with is read as the vehicle's own is.
func andOld(fields ...string) []string {
	all := slices.Clone(fields)
	for _, f := range fields {
		if of, ok := strings.CutPrefix(f, "Tyre."); ok {
			all = append(all, "Old."+of)
		}
	}
	return all
}

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
