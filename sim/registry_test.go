package sim

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A model's Uses lists all that it reads: on random vehicles, whatever isn't listed may be no number or any other value,
// text or list, and may differ from side to side, and every output stays the same to the last bit. All models of the
// registry are tried, so that a new one needs no line here.
func TestUsesListsAllThatIsRead(t *testing.T) {
	together, oneByOne := 25, 3
	if testing.Short() {
		together, oneByOne = 8, 1
	}
	for _, m := range Models() {
		t.Run(m.Name, func(t *testing.T) {
			t.Parallel()
			for _, read := range readUnlisted(t, m, together, oneByOne) {
				t.Error(read)
			}
		})
	}
}

// readUnlisted names, each on a line with the model, the inputs that a model reads without listing them. On `together`
// vehicles everything that isn't listed is changed at once, on `oneByOne` of them each field by itself as well.
func readUnlisted(t *testing.T, m Model, together, oneByOne int) (lines []string) {
	rng := seeded(m)
	seen := map[string]bool{}
	add := func(path, what string) {
		if what != "" && !seen[path] {
			seen[path] = true
			lines = append(lines, fmt.Sprintf("%s reads %s, which its Uses doesn't list: %s", m.Name, strings.TrimPrefix(path, "Vehicle."), what))
		}
	}
	for n := range together {
		in, out := working(t, rng, m)
		want := outputsOf(m, in, out)
		fields := unlisted(m, in.Elem())
		if m.Uses != nil {
			require.NotEmpty(t, fields, "%s lists the whole vehicle", m.Name)
		}
		for way := range ways {
			var undo []func()
			for _, f := range fields {
				undo = append(undo, f.change(way))
			}
			what := differs(m, in, want)
			for _, u := range undo {
				u()
			}
			if what == "" && n >= oneByOne {
				continue
			}
			alone := len(lines)
			for _, f := range fields {
				u := f.change(way)
				add(f.path, differs(m, in, want))
				u()
			}
			if what != "" && len(lines) == alone && len(seen) == 0 {
				add("something", what+" when all that isn't listed changes together")
			}
		}
	}
	return lines
}

// ways are the values that a field is given in turn: no number, and two others.
const ways = 3

// unlistedField is a field that a model doesn't list. change gives it another value and returns what takes that back.
type unlistedField struct {
	path   string
	change func(way int) (undo func())
}

// unlisted gives the inputs of a model that it says it doesn't read, as far down as needed to leave out what it does.
func unlisted(m Model, in reflect.Value) (list []unlistedField) {
	var visit func(v reflect.Value, path string)
	visit = func(v reflect.Value, path string) {
		for _, f := range Fields(v.Type()) {
			at, inner := strings.TrimPrefix(path+"."+f.Name, "."), v.FieldByIndex(f.Index)
			inside := inner.Kind() == reflect.Struct && inner.Type() != pointType && inner.Type() != sidesType
			if !m.Reads(at) && !inside {
				other := f
				list = append(list, unlistedField{at, func(way int) func() {
					old := reflect.New(inner.Type()).Elem()
					old.Set(inner)
					inner.Set(otherValue(inner, &other, way))
					return func() { inner.Set(old) }
				}})
				continue
			}
			switch inner.Kind() {
			case reflect.Pointer:
				if !inner.IsNil() && inner.Elem().Kind() == reflect.Struct {
					visit(inner.Elem(), at)
				}
			case reflect.Slice:
				for i := range inner.Len() {
					if inner.Index(i).Kind() == reflect.Struct {
						visit(inner.Index(i), fmt.Sprintf("%s[%d]", at, i+1))
					}
				}
			case reflect.Struct:
				if inside {
					visit(inner, at)
				}
			}
		}
	}
	visit(in, "")
	return list
}

// otherValue gives a value unlike the one that is there: first without any number, then two others.
func otherValue(v reflect.Value, f *Field, way int) reflect.Value {
	other := reflect.New(v.Type()).Elem()
	switch v.Kind() {
	case reflect.Float64:
		other.SetFloat([ways]float64{math.NaN(), 0, 1.7*v.Float() + 1}[way])
	case reflect.Bool:
		other.SetBool(!v.Bool())
	case reflect.String:
		words := slices.DeleteFunc(append([]string{"another word", ""}, f.Must.Words...), func(w string) bool { return w == v.String() })
		other.SetString(words[way%len(words)])
	case reflect.Pointer:
		if way == 1 && !v.IsNil() {
			return other // none
		}
		other.Set(reflect.New(v.Type().Elem()))
		if from := v; from.IsNil() {
			other.Elem().Set(otherValue(other.Elem(), f, way))
		} else {
			other.Elem().Set(otherValue(from.Elem(), f, way))
		}
	case reflect.Slice:
		if way == 1 && v.Len() > 0 {
			return other // empty
		}
		other.Set(reflect.MakeSlice(v.Type(), v.Len()+1, v.Len()+1))
		for i := range other.Len() {
			item := reflect.New(v.Type().Elem()).Elem()
			if i < v.Len() {
				item.Set(v.Index(i))
			}
			other.Index(i).Set(otherValue(item, f, way))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if !v.Type().Field(i).IsExported() {
				continue
			}
			inner := *f
			inner.Must = Limits{}
			other.Field(i).Set(otherValue(v.Field(i), &inner, way))
		}
	}
	return other
}

// differs runs a model again and tells what became of its outputs: nothing when they are the same to the last bit.
func differs(m Model, in reflect.Value, want []output) (what string) {
	defer func() {
		if p := recover(); p != nil {
			what = fmt.Sprintf("it panics: %v", p)
		}
	}()
	out := reflect.New(m.Result)
	if err := m.Run(in.Interface(), out.Interface()); err != nil {
		return "it gives an error: " + err.Error()
	}
	got := outputsOf(m, in, out)
	if len(got) != len(want) {
		return fmt.Sprintf("it gives %d outputs, not %d", len(got), len(want))
	}
	for i := range want {
		if a, b := got[i], want[i]; (a.bits != b.bits || a.text != b.text) && !(a.came && b.came) {
			return fmt.Sprintf("%s is another", got[i].path)
		}
	}
	return ""
}

// output is one number, text or truth of a result.
type output struct {
	path string
	bits uint64
	text string
	came bool // it is what came in
}

// outputsOf lists a result's outputs. Of a vehicle or a corner that is handed on, what the model doesn't list must be
// what came in, or the same whatever came in.
func outputsOf(m Model, in, out reflect.Value) (list []output) {
	car := vehicleOf(m)
	var visit func(v, from reflect.Value, path string)
	visit = func(v, from reflect.Value, path string) {
		if v.Type() == reflect.TypeFor[Corner]() && !from.IsValid() {
			from = in.Elem().FieldByName(car).FieldByName("Front")
			if right := in.Elem().FieldByName(car).FieldByName("Right"); path == "Right" && !right.IsNil() {
				from = right.Elem()
			}
		}
		if from.IsValid() && v.Kind() != reflect.Struct && !m.Reads(car+"."+path) {
			o := output{path: "handed-on " + path, text: fmt.Sprint(v.Interface()), came: fmt.Sprint(v.Interface()) == fmt.Sprint(from.Interface())}
			list = append(list, o)
			return
		}
		o := output{path: path}
		switch v.Kind() {
		case reflect.Float64:
			if o.bits = math.Float64bits(v.Float()); math.IsNaN(v.Float()) {
				o.bits = math.Float64bits(math.NaN()) // whichever NaN it is
			}
		case reflect.Bool:
			o.text = fmt.Sprint(v.Bool())
		case reflect.String:
			o.text = v.String()
		case reflect.Pointer:
			o.text = fmt.Sprint("there: ", !v.IsNil())
			if v.IsNil() {
				break
			}
			if v.Type() == reflect.TypeFor[*Vehicle]() {
				visit(v.Elem(), in.Elem().FieldByName(car), "")
				break
			}
			if from.IsValid() && from.Kind() == reflect.Pointer {
				if from.IsNil() {
					from = reflect.Value{} // a side that now differs
				} else {
					from = from.Elem()
				}
			}
			visit(v.Elem(), from, path)
		case reflect.Slice:
			o.bits = uint64(v.Len())
			for i := range v.Len() {
				visit(v.Index(i), reflect.Value{}, path)
			}
		case reflect.Struct:
			for i := range v.NumField() {
				if !v.Type().Field(i).IsExported() {
					continue
				}
				next := reflect.Value{}
				if from.IsValid() {
					next = from.Field(i)
				}
				visit(v.Field(i), next, strings.TrimPrefix(path+"."+v.Type().Field(i).Name, "."))
			}
			return
		}
		list = append(list, o)
	}
	visit(out.Elem(), reflect.Value{}, "")
	return list
}

// trap is the mistake that the test is there for: it reads HandwheelRadius without listing it, and a notebook would
// have it work with a radius that is never the reader's.
type trap struct{ Vehicle Vehicle }

type trapResult struct {
	RimForce float64 `unit:"N"`
}

func (trap) Uses() []string { return []string{"Tyre.Mass"} }

func (m trap) Run() (trapResult, error) {
	return trapResult{m.Vehicle.Tyre.Mass / m.Vehicle.Steering.HandwheelRadius}, nil
}

func TestUsesTrapIsCaught(t *testing.T) {
	lines := readUnlisted(t, modelOf[trap, trapResult](), 2, 1)
	require.Len(t, lines, 1)
	assert.Contains(t, lines[0], "trap reads Steering.HandwheelRadius, which its Uses doesn't list")

	// So are readers that take care not to show it.
	for path, read := range map[string]func(*Vehicle) (float64, error){
		"Steering.RackLimit": func(v *Vehicle) (float64, error) { return math.Max(1, 0*v.Steering.RackLimit), nil },
		"Tyre.Width": func(v *Vehicle) (float64, error) {
			if v.Tyre.Width > 1 {
				return 2, nil
			}
			return 1, nil
		},
		"Wheelbase": func(v *Vehicle) (float64, error) {
			if v.Wheelbase == 0 {
				return 0, NotGiven{"Wheelbase"}
			}
			return 1, nil
		},
		"Spring.On": func(v *Vehicle) (float64, error) { return float64(len(v.Spring.On)), nil },
		"Tyre.Name": func(v *Vehicle) (float64, error) { return float64(len(v.Tyre.Name)), nil },
		"Body":      func(v *Vehicle) (float64, error) { return float64(len(v.Body)), nil },
		"Right": func(v *Vehicle) (float64, error) {
			if v.Right == nil {
				return 1, nil
			}
			return v.Right.Toe, nil
		},
	} {
		m := modelOf[trap, trapResult]()
		m.run = func(in, out any) (err error) {
			out.(*trapResult).RimForce, err = read(&in.(*trap).Vehicle)
			return err
		}
		lines := readUnlisted(t, m, 4, 4)
		require.Len(t, lines, 1, path)
		assert.Contains(t, lines[0], "trap reads "+path+", ", path)
	}
}

// What a model says it uses and can do without is there, and it does do without.
func TestModelsDoWithoutWhatTheyCallOptional(t *testing.T) {
	for _, m := range Models() {
		for _, path := range append(m.Uses, m.Optional...) {
			require.NotEmpty(t, whole(m, path), "%s uses %s, which there isn't", m.Name, path)
		}
		rng := seeded(m)
		for _, path := range m.Optional {
			at := whole(m, path)
			if !m.Reads(at) {
				continue
			}
			does := false
			for range 100 {
				in, out := working(t, rng, m)
				car := fieldAt(in.Elem(), vehicleOf(m))
				fieldAt(car, "Right").SetZero()
				fieldAt(car, "RearLift").Set(fieldAt(car, "Front.Lift")) // a pitched body needs Wheelbase
				if !strings.Contains(at, "Right") {
					fieldAt(in.Elem(), at).SetZero()
				}
				if m.Run(in.Interface(), out.Interface()) == nil {
					does = true
					break
				}
			}
			assert.True(t, does, "%s can't do without %s, which it calls optional", m.Name, path)
		}
	}
}

// vehicleOf names the input of a model that is the vehicle; empty: none.
func vehicleOf(m Model) string {
	for _, f := range Fields(m.Input) {
		if f.Type == reflect.TypeFor[Vehicle]() {
			return f.Name
		}
	}
	return ""
}

// whole gives the path from a model's input of what its Uses names: there, or below its vehicle; empty: neither is there.
func whole(m Model, path string) string {
	for _, at := range []string{path, "Vehicle." + path} {
		t, ok := m.Input, true
		for name := range strings.SplitSeq(at, ".") {
			if t.Kind() == reflect.Pointer {
				t = t.Elem()
			}
			var f reflect.StructField
			if ok = t.Kind() == reflect.Struct; ok {
				f, ok = t.FieldByName(name)
			}
			if !ok {
				break
			}
			t = f.Type
		}
		if ok {
			return at
		}
	}
	return ""
}
