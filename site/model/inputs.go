package model

import (
	"fmt"
	"reflect"
	"strings"

	"turnplate/sim"
	"turnplate/site/value"
)

// Leaf is one varying input of a model: where it goes in the Go struct, and the array it comes from.
type Leaf struct {
	From *value.Array
	Put  func(a *value.Array, i int) // stores element i of From, or of what was picked from it
}

// Binder lays a record into a Go struct. Fixed values are stored at once; varying ones become leaves. Two
// binders given the same record make the same leaves in the same order, so that each worker has its own.
type Binder struct {
	Uses     []string // fields of the vehicle that count; nil: everything
	Optional []string // may be missing
	Leaves   []Leaf
	missing  []string
}

// Bind stores a record in the struct that to points to. The error lists the fields that are needed and aren't given.
func (b *Binder) Bind(to any, r *value.Record) error {
	dst := reflect.ValueOf(to).Elem()
	b.bind(dst, r, SchemaOf(dst.Type()), "")
	switch len(b.missing) {
	case 0:
		return nil
	case 1:
		return fmt.Errorf("needs %s, which isn't given and has no default%s", b.missing[0], source(b.missing))
	}
	last := len(b.missing) - 1
	return fmt.Errorf("needs %s and %s, which aren't given and have no default%s", strings.Join(b.missing[:last], ", "), b.missing[last], source(b.missing))
}

// source says which model gives what is missing, where one does.
func source(missing []string) string {
	for _, path := range missing {
		for field, output := range map[string]string{"Tyre.Inertia": "TyreSpin", "Tyre.RimInertia": "RimSpin", "Tyre.SteerInertia": "Steer"} {
			if strings.HasSuffix(path, field) {
				return fmt.Sprintf("; WheelInertia estimates it from sizes and masses: %s takes its %s", field, output)
			}
		}
	}
	return ""
}

// miss notes a required field that isn't given, unless the model can do without it.
func (b *Binder) miss(path string) {
	rest := strings.TrimPrefix(path, "Vehicle.")
	for _, o := range b.Optional {
		if rest == o || strings.HasPrefix(rest, o+".") {
			return
		}
	}
	b.missing = append(b.missing, path)
}

func (b *Binder) bind(dst reflect.Value, r *value.Record, sch *Schema, path string) {
	reads := sim.Model{Uses: b.Uses}
	for i := range sch.Fields {
		f := &sch.Fields[i]
		at := f.Name
		if path != "" {
			at = path + "." + f.Name
		}
		if !reads.Reads(at) {
			noNumbers(dst.FieldByIndex(f.Index)) // so that a model which reads it without listing it in Uses gets no number
			continue
		}
		b.field(dst.FieldByIndex(f.Index), r, sch, f, at)
	}
}

func (b *Binder) field(dst reflect.Value, r *value.Record, sch *Schema, f *sim.Field, path string) {
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
	if v == nil {
		b.miss(path)
		return
	}
	b.store(dst, v, Base(f.Type), path)
}

func (b *Binder) store(dst reflect.Value, v value.Value, t reflect.Type, path string) {
	switch v := v.(type) {
	case *value.Array:
		b.array(dst, v)
	case *value.List:
		dst.Set(reflect.MakeSlice(t, len(v.Items), len(v.Items)))
		for i, item := range v.Items {
			if text, ok := item.(*value.Array); ok {
				b.array(dst.Index(i), text)
				continue
			}
			b.bind(dst.Index(i), item.(*value.Record), SchemaOf(t.Elem()), fmt.Sprintf("%s[%d]", path, i+1))
		}
	case *value.Record:
		if HasParts(t) {
			for _, f := range SchemaOf(t).Fields {
				b.array(dst.FieldByIndex(f.Index), v.Fields[f.Name].(*value.Array))
			}
			return
		}
		b.bind(dst, v, SchemaOf(t), path)
	}
}

func (b *Binder) array(dst reflect.Value, a *value.Array) {
	var put func(a *value.Array, i int)
	switch p := dst.Addr().Interface().(type) {
	case *float64:
		put = func(a *value.Array, i int) { *p = a.Num[i] }
	case *bool:
		put = func(a *value.Array, i int) { *p = a.Num[i] == 1 }
	case *string:
		put = func(a *value.Array, i int) { *p = a.Words[i] }
	default:
		panic(fmt.Sprintf("model: a model's input has type %s", dst.Type()))
	}
	if len(a.Axes) == 0 && !a.Absent(0) {
		put(a, 0)
		return
	}
	b.Leaves = append(b.Leaves, Leaf{a, put})
}
