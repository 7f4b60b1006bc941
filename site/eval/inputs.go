package eval

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"turnplate/sim"
	"turnplate/site/value"
)

// leaf is one varying input of a model: where it goes in the Go struct, and the array it comes from.
type leaf struct {
	from *value.Array
	put  func(a *value.Array, i int) // stores element i of from, or of what was picked from it
}

// binder lays a record into a Go struct. Fixed values are stored at once; varying ones become leaves. Two
// binders given the same record make the same leaves in the same order, so that each worker has its own.
type binder struct {
	uses     []string // nil: everything
	optional []string // may be missing
	leaves   []leaf
	missing  []string
}

// miss notes a required field that isn't given, unless the model can do without it.
func (b *binder) miss(path string) {
	rest := strings.TrimPrefix(path, "Vehicle.")
	for _, o := range b.optional {
		if rest == o || strings.HasPrefix(rest, o+".") {
			return
		}
	}
	b.missing = append(b.missing, path)
}

// isUsed tells whether a field of a model's Vehicle can change its result. What isn't used is left at zero,
// so that it needn't be given and its spread costs nothing. Of another input all counts, unless Uses names
// parts of it ("Old.Mass", of a tyre to compare with).
func (b *binder) isUsed(path string) bool {
	rest, inVehicle := strings.CutPrefix(path, "Vehicle.")
	if b.uses == nil {
		return true
	}
	// "Body" means every item of the list.
	if list, item, ok := strings.Cut(rest, "["); ok {
		_, inside, _ := strings.Cut(item, "]")
		rest = list + inside
	}
	if !inVehicle {
		input, _, inside := strings.Cut(path, ".")
		partly := slices.ContainsFunc(b.uses, func(u string) bool { return strings.HasPrefix(u, input+".") })
		if !inside || !partly {
			return true
		}
	}
	right, isRight := strings.CutPrefix(rest, "Right")
	for _, u := range b.uses {
		if within(rest, u) || within(u, rest) {
			return true
		}
		// The right corner is the left one's mirror: what matters in one matters in the other.
		if left, isLeft := strings.CutPrefix(u, "Front"); isRight && isLeft && (within(right, left) || within(left, right)) {
			return true
		}
	}
	return false
}

// within tells whether a dotted path is another or leads on from it, into a part or into an item of a list.
func within(path, of string) bool {
	return strings.HasPrefix(path, of) && (len(path) == len(of) || path[len(of)] == '.' || path[len(of)] == '[')
}

func (b *binder) bind(dst reflect.Value, r *value.Record, sch *schema, path string) {
	for i := range sch.fields {
		f := &sch.fields[i]
		at := f.Name
		if path != "" {
			at = path + "." + f.Name
		}
		// What a vehicle or a tyre is called changes nothing; in a list, a name tells which item is meant.
		aside := f.Name == "Name" && f.Type.Kind() == reflect.String && !strings.HasSuffix(path, "]")
		if !b.isUsed(at) || aside {
			continue
		}
		b.field(dst.FieldByIndex(f.Index), r, sch, f, at)
	}
}

func (b *binder) field(dst reflect.Value, r *value.Record, sch *schema, f *sim.Field, path string) {
	v := r.Fields[f.Name]
	if f.Type.Kind() == reflect.Pointer {
		if v == nil {
			if f.Required {
				b.miss(path)
			}
			return
		}
		dst.Set(reflect.New(f.Type.Elem()))
		dst = dst.Elem()
	}
	if v == nil {
		v = defaultOf(sch, f, r)
	}
	t := base(f.Type)
	if v == nil && t.Kind() == reflect.Struct && t != pointType && t != sidesType {
		v = &value.Record{Type: t.Name(), Fields: map[string]value.Value{}}
	}
	if v == nil {
		b.miss(path)
		return
	}
	b.store(dst, v, t, path)
}

func (b *binder) store(dst reflect.Value, v value.Value, t reflect.Type, path string) {
	switch v := v.(type) {
	case *value.Array:
		b.array(dst, v)
	case *value.List:
		dst.Set(reflect.MakeSlice(t, len(v.Items), len(v.Items)))
		for i, item := range v.Items {
			b.bind(dst.Index(i), item.(*value.Record), schemaOf(t.Elem()), fmt.Sprintf("%s[%d]", path, i+1))
		}
	case *value.Record:
		if t == pointType || t == sidesType {
			for _, f := range schemaOf(t).fields {
				b.array(dst.FieldByIndex(f.Index), v.Fields[f.Name].(*value.Array))
			}
			return
		}
		b.bind(dst, v, schemaOf(t), path)
	}
}

func (b *binder) array(dst reflect.Value, a *value.Array) {
	var put func(a *value.Array, i int)
	switch p := dst.Addr().Interface().(type) {
	case *float64:
		put = func(a *value.Array, i int) { *p = a.Num[i] }
	case *bool:
		put = func(a *value.Array, i int) { *p = a.Num[i] == 1 }
	case *string:
		put = func(a *value.Array, i int) { *p = a.Words[i] }
	default:
		panic(fmt.Sprintf("eval: a model's input has type %s", dst.Type()))
	}
	if len(a.Axes) == 0 && !a.Absent(0) {
		put(a, 0)
		return
	}
	b.leaves = append(b.leaves, leaf{a, put})
}

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
	after   []func() // brings pointers' targets to where they are read
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
		panic(fmt.Sprintf("eval: a model's output %s has type %s", strings.Join(path, "."), t))
	}
	o.columns = append(o.columns, c)
}

// gather lists a struct's outputs; a point's coordinates take the unit of the field that holds the point.
func (o *outlet) gather(v reflect.Value, f *sim.Field, path []string) {
	for _, inner := range schemaOf(v.Type()).fields {
		g := inner
		if v.Type() == pointType || v.Type() == sidesType {
			g.Unit, g.US = f.Unit, f.US
		}
		o.output(v.FieldByIndex(g.Index), &g, append(append([]string{}, path...), g.Name))
	}
}

// absentOf is a struct or number with every number absent.
func absentOf(t reflect.Type) reflect.Value {
	v := reflect.New(t).Elem()
	var blank func(v reflect.Value)
	blank = func(v reflect.Value) {
		switch v.Kind() {
		case reflect.Float64:
			v.SetFloat(math.NaN())
		case reflect.Struct:
			for i := range v.NumField() {
				if v.Field(i).CanSet() {
					blank(v.Field(i))
				}
			}
		}
	}
	blank(v)
	return v
}
