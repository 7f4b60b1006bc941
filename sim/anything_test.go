package sim

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"turnplate/sim/unit"
)

// each asks for so many random vehicles through every model.
var each = flag.Int("each", 600, "random vehicles for each model in TestNumbersCannotLie")

// TestNumbersCannotLie puts random vehicles, plausible ones and absurd ones, some without what a model can do without,
// through every model. Whatever comes of it, a model neither panics nor hangs, never gives an infinity, says why when it
// gives nothing, and gives no output that is absent unless its field's tag says why.
func TestNumbersCannotLie(t *testing.T) {
	tries := *each
	if testing.Short() {
		tries /= 5
	}
	for _, m := range Models() {
		t.Run(m.Name, func(t *testing.T) {
			t.Parallel()
			rng, good := seeded(m), 0
			for n := range tries {
				// One in four is absurd: sizes over many decades, either sign, zeros.
				if tryAnything(t, rng, m, n%4 == 3) {
					good++
				}
			}
			require.Positive(t, good, "not one of %d random inputs gave a result", tries)
		})
	}
}

func tryAnything(t *testing.T, rng *rand.Rand, m Model, absurd bool) bool {
	in, out := reflect.New(m.Input), reflect.New(m.Result)
	scatter(rng, in.Elem(), absurd, unit.Unit{SI: 1})
	for _, path := range m.Optional {
		if at := whole(m, path); rng.IntN(4) == 0 && !strings.Contains(at, "Right") {
			fieldAt(in.Elem(), at).SetZero()
		}
	}
	defer func() {
		if p := recover(); p != nil {
			t.Fatalf("%v\nwith %+v", p, in.Elem().Interface())
		}
	}()
	err := m.Run(in.Interface(), out.Interface())
	if err != nil {
		if strings.TrimSpace(err.Error()) == "" || strings.Contains(err.Error(), "NaN") || strings.Contains(err.Error(), "Inf") {
			t.Fatalf("an error that says nothing: %q with %+v", err, in.Elem().Interface())
		}
		return false
	}
	if where, is := infinity(out.Elem()); is {
		t.Fatalf("%s%s is infinite with %+v", m.Name, where, in.Elem().Interface())
	}
	if missing := notSaid(out.Elem(), ""); len(missing) > 0 {
		t.Fatalf("%s: %v is no number and no tag says why, with %+v", m.Name, missing, in.Elem().Interface())
	}
	return true
}

// infinity finds an infinite number in a result. Its path is put together only where there is one: a survey's result
// holds some hundred thousand numbers.
func infinity(v reflect.Value) (path string, is bool) {
	switch v.Kind() {
	case reflect.Float64:
		return "", math.IsInf(v.Float(), 0)
	case reflect.Pointer:
		if !v.IsNil() {
			return infinity(v.Elem())
		}
	case reflect.Slice:
		for i := range v.Len() {
			if path, is = infinity(v.Index(i)); is {
				return fmt.Sprintf("[%d]%s", i, path), true
			}
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if path, is = infinity(v.Field(i)); is {
				return "." + v.Type().Field(i).Name + path, true
			}
		}
	}
	return "", false
}

// scatter fills a model's inputs at random: the vehicle around one that works, the rest by its dimension.
func scatter(rng *rand.Rand, v reflect.Value, absurd bool, u unit.Unit) {
	switch whole := wholeTruck(); v.Type() {
	case reflect.TypeFor[Vehicle]():
		v.Set(reflect.ValueOf(whole))
		spread := 0.02 // hardpoints move by some millimetres to centimetres
		if absurd {
			spread = 0.5
		}
		shake(rng, v, spread, absurd)
		return
	case reflect.TypeFor[Tyre]():
		v.Set(reflect.ValueOf(whole.Tyre))
		shake(rng, v, 0.2, absurd)
		return
	case reflect.TypeFor[Survey]():
		m := cardSurvey(whole, whole.Front, whole.Front, rng)
		if absurd {
			shake(rng, reflect.ValueOf(&m).Elem(), 0.5, true)
		}
		v.Set(reflect.ValueOf(m))
		return
	case reflect.TypeFor[Weighing]():
		front, rise := 1000+200*rng.Float64(), 0.3+0.5*rng.Float64()
		raised, left := front+20+80*rng.Float64(), 900+100*rng.Float64()
		m := Weighing{Front: front, Rear: 900 + 200*rng.Float64(), Left: &left, FrontRaised: &raised, Rise: &rise}
		scatter(rng, reflect.ValueOf(&m.Vehicle).Elem(), absurd, u)
		if absurd {
			shake(rng, reflect.ValueOf(&m).Elem(), 0.5, true)
		}
		v.Set(reflect.ValueOf(m))
		return
	case reflect.TypeFor[Task]():
		v.Set(reflect.ValueOf(Task{Name: fmt.Sprint("task ", rng.IntN(1000)), Interval: 1e6 * (1 + 50*rng.Float64()), Cost: 300 * rng.Float64(), Hours: 3600 * rng.Float64(), Count: float64(1 + rng.IntN(3))}))
		if absurd {
			shake(rng, v, 2, true)
		}
		return
	}
	switch v.Kind() {
	case reflect.Float64:
		v.SetFloat(typical(rng, u, absurd))
	case reflect.Bool:
		v.SetBool(rng.IntN(2) == 0)
	case reflect.String:
		v.SetString([]string{"A", "B", "C", "D", "E", "braking", "cornering", "bump", "kerb", "static", "lower"}[rng.IntN(11)])
	case reflect.Pointer:
		if rng.IntN(2) == 0 {
			v.Set(reflect.New(v.Type().Elem()))
			scatter(rng, v.Elem(), absurd, u)
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), rng.IntN(4), 4))
		for i := range v.Len() {
			scatter(rng, v.Index(i), absurd, u)
		}
	case reflect.Struct:
		for _, f := range Fields(v.Type()) {
			inner := f.Unit
			if v.Type() == reflect.TypeFor[Sides]() || v.Type() == reflect.TypeFor[Point]() {
				inner = u
			}
			scatter(rng, v.FieldByIndex(f.Index), absurd, inner)
			if words := f.Must.Words; len(words) > 0 && rng.IntN(4) > 0 {
				v.FieldByIndex(f.Index).SetString(words[rng.IntN(len(words))])
			}
		}
	}
}

// wholeTruck has every field that some model asks for.
func wholeTruck() Vehicle {
	v := rollingTruck()
	complete(reflect.ValueOf(&v).Elem(), reflect.ValueOf(loadedTruck()))
	complete(reflect.ValueOf(&v).Elem(), reflect.ValueOf(archTruck()))
	v.Front.Adjust.CamLimit = 80 * deg
	return v
}

// complete takes from another vehicle what one leaves at zero.
func complete(v, from reflect.Value) {
	switch {
	case v.Kind() == reflect.Struct:
		for i := range v.NumField() {
			complete(v.Field(i), from.Field(i))
		}
	case v.IsZero():
		v.Set(from)
	}
}

// typical is a number that an input of this unit might have.
func typical(rng *rand.Rand, u unit.Unit, absurd bool) float64 {
	if absurd {
		switch rng.IntN(8) {
		case 0:
			return 0
		case 1:
			return -math.Pow(10, 12*rng.Float64()-6)
		}
		return math.Pow(10, 12*rng.Float64()-6)
	}
	x := rng.Float64()
	switch u.Name {
	case "deg":
		return (x - 0.3) * 8 * deg
	case "kph":
		return (2 + 30*x)
	case "gravity":
		return (x - 0.2) * 4
	case "mm":
		return (x - 0.3) * 0.05
	case "N":
		return (x - 0.3) * 2000
	case "percent", "1":
		return x
	case "km":
		return 1000 * (1 + 50000*x)
	}
	return 5 * x * u.SI
}

// shake changes every number of a struct a little, or by much.
func shake(rng *rand.Rand, v reflect.Value, spread float64, absurd bool) {
	switch v.Kind() {
	case reflect.Float64:
		x := v.Float() * (1 + spread*(2*rng.Float64()-1))
		if absurd && rng.IntN(60) == 0 {
			x = typical(rng, unit.Unit{SI: 1}, true)
		}
		v.SetFloat(x)
	case reflect.Pointer:
		if !v.IsNil() {
			shake(rng, v.Elem(), spread, absurd)
		}
	case reflect.Slice:
		for i := range v.Len() {
			shake(rng, v.Index(i), spread, absurd)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				shake(rng, v.Field(i), spread, absurd)
			}
		}
	}
}
