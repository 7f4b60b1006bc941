package sim

import (
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"turnplate/sim/unit"
)

// working gives a model with random plausible inputs that give a result, and that result.
func working(t *testing.T, rng *rand.Rand, m Model) (in, out reflect.Value) {
	t.Helper()
	for range 10_000 {
		in, out = reflect.New(m.Input), reflect.New(m.Result)
		scatter(rng, in.Elem(), false, unit.Unit{SI: 1})
		if m.Run(in.Interface(), out.Interface()) == nil {
			return in, out
		}
	}
	require.Fail(t, "no random input gave a result", m.Name)
	return in, out
}

// seeded is chance that a model's name alone decides.
func seeded(m Model) *rand.Rand {
	h := fnv.New64a()
	h.Write([]byte(m.Name))
	return rand.New(rand.NewPCG(1, h.Sum64()))
}

// everyNumber calls do with every number of a value, and its path.
func everyNumber(v reflect.Value, path string, do func(path string, at reflect.Value)) {
	switch v.Kind() {
	case reflect.Float64:
		do(path, v)
	case reflect.Pointer:
		if !v.IsNil() {
			everyNumber(v.Elem(), path, do)
		}
	case reflect.Slice:
		for i := range v.Len() {
			everyNumber(v.Index(i), fmt.Sprintf("%s[%d]", path, i), do)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				everyNumber(v.Field(i), path+"."+v.Type().Field(i).Name, do)
			}
		}
	}
}

// numbersOf lists every number of a result by its path, but for those of a vehicle or corner: it is handed on as it
// came, with other settings or points.
func numbersOf(v reflect.Value) map[string]float64 {
	all := map[string]float64{}
	for i := range v.NumField() {
		f := v.Type().Field(i)
		if !f.IsExported() {
			continue
		}
		if f.Type != reflect.TypeFor[Vehicle]() && f.Type != reflect.TypeFor[*Vehicle]() && f.Type != reflect.TypeFor[Corner]() {
			everyNumber(v.Field(i), f.Name, func(path string, at reflect.Value) { all[path] = at.Float() })
		}
	}
	return all
}

// Where an input is no number, no result that depends on it is one: it is an error or absent, or the same as ever
// where the input doesn't matter. Every input of every model is tried so.
func TestNoNumberFromNoNumber(t *testing.T) {
	for _, m := range Models() {
		t.Run(m.Name, func(t *testing.T) {
			t.Parallel()
			rng := seeded(m)
			tried := 0
			for range 2 { // two vehicles: with and without what is optional
				in, good := working(t, rng, m)
				want := numbersOf(good.Elem())
				everyNumber(in.Elem(), "", func(path string, at reflect.Value) {
					value := at.Float()
					defer at.SetFloat(value)
					for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
						tried++
						at.SetFloat(bad)
						out := reflect.New(m.Result)
						if m.Run(in.Interface(), out.Interface()) != nil {
							continue
						}
						for name, got := range numbersOf(out.Elem()) {
							before, known := want[name]
							if math.IsNaN(got) || known && got == before {
								continue
							}
							t.Errorf("%s%s of %g gives %s of %g (%g before)", m.Name, path, bad, name, got, before)
						}
					}
				})
			}
			require.Greater(t, tried, 6)
		})
	}
}

// Results are continuous: a change of every input by a billionth changes no result by more than a ten-thousandth of
// what it is, but where a joint or a stop just ends the way. A jump would be a linkage that takes its other
// position, or a search that ends at another place.
func TestResultsAreContinuous(t *testing.T) {
	const (
		change = 1e-9
		most   = 1e-4 // of the result: a hundred thousand times the change
		least  = 1e-6 // SI: searches end within less, and differences of like numbers lose as much
		rounds = 40
	)
	for _, m := range Models() {
		t.Run(m.Name, func(t *testing.T) {
			t.Parallel()
			rng := seeded(m)
			jumps := 0
			for range rounds {
				in, good := working(t, rng, m)
				want := numbersOf(good.Elem())
				everyNumber(in.Elem(), "", func(_ string, at reflect.Value) {
					if x := at.Float(); x != math.Trunc(x) { // a count stays whole
						at.SetFloat(x * (1 + change*(2*rng.Float64()-1)))
					}
				})
				out := reflect.New(m.Result)
				if m.Run(in.Interface(), out.Interface()) != nil {
					jumps++
					continue
				}
				got := numbersOf(out.Elem())
				for name, a := range want {
					if b, known := got[name]; !known || math.IsNaN(a) != math.IsNaN(b) || math.Abs(a-b) > most*math.Abs(a)+least {
						t.Logf("%s went from %g to %g with %+v", name, a, b, in.Elem().Interface())
						jumps++
						break
					}
				}
			}
			require.LessOrEqual(t, jumps, 1, "of %d", rounds)
		})
	}
}

// fieldAt gives the field of a struct at a dotted path.
func fieldAt(v reflect.Value, path string) reflect.Value {
	for name := range strings.SplitSeq(path, ".") {
		v = v.FieldByName(name)
	}
	return v
}

// notSaid lists the outputs that are no numbers though nothing says that they may be.
func notSaid(v reflect.Value, path string) (list []string) {
	for _, f := range Fields(v.Type()) {
		if f.Absent != "" {
			continue
		}
		name, inner := strings.TrimPrefix(path+"."+f.Name, "."), v.FieldByIndex(f.Index)
		if inner.Type() == reflect.TypeFor[*Vehicle]() {
			continue // it is what came in but for the settings, and these are outputs as well
		}
		if inner.Kind() == reflect.Struct && inner.Type() != pointType {
			list = append(list, notSaid(inner, name)...)
			continue
		}
		everyNumber(inner, name, func(path string, at reflect.Value) {
			if !finite(at.Float()) {
				list = append(list, fmt.Sprintf("%s of %g", path, at.Float()))
			}
		})
	}
	return list
}
