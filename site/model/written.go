package model

import (
	"fmt"
	"strings"

	"turnplate/sim"
	"turnplate/site/value"
)

// Whole gives the vehicle of which a value is all or a part, with nothing else in it; nil if it is neither.
func Whole(v value.Value) *value.Record {
	r, ok := v.(*value.Record)
	if !ok {
		return nil
	}
	field := ""
	switch r.Type {
	case carType.Name():
		return r
	case "Corner":
		field = "Front"
	case "Adjusters":
		return Whole((&value.Record{Type: "Corner"}).With("Adjust", r, value.Mark{}))
	case "Tyre", "Steering", "Spring":
		field = r.Type
	case "Obstacle":
		return (&value.Record{Type: carType.Name()}).With("Body", &value.List{Type: r.Type, Items: []value.Value{r}}, value.Mark{})
	default:
		return nil
	}
	return (&value.Record{Type: carType.Name()}).With(field, r, value.Mark{})
}

// gone tells whether a number, or a part of a point, is absent throughout.
func gone(v value.Value) bool {
	switch v := v.(type) {
	case *value.Array:
		return v.AllAbsent()
	case *value.Record:
		for _, part := range v.Fields {
			if gone(part) {
				return true
			}
		}
	}
	return false
}

// Trails gives, for each field of a vehicle that a notebook wrote and that isn't absent, where it was written: the place
// of the vehicle, of each part that holds the field, and last of the field itself. A part in between may have no place.
func Trails(car *value.Record) map[string][]value.Mark {
	found := map[string][]value.Mark{}
	var visit func(r *value.Record, sch *Schema, path string, trail []value.Mark)
	visit = func(r *value.Record, sch *Schema, path string, trail []value.Mark) {
		for i := range sch.Fields {
			f := &sch.Fields[i]
			at, below := path+f.Name, append(trail[:len(trail):len(trail)], r.Written[f.Name])
			switch v := r.Fields[f.Name].(type) {
			case *value.Record:
				if !HasParts(f.Type) {
					visit(v, SchemaOf(Base(f.Type)), at+".", below)
					continue
				}
			case *value.List:
				for i, item := range v.Items {
					if item, ok := item.(*value.Record); ok {
						visit(item, SchemaOf(f.Type.Elem()), fmt.Sprintf("%s[%d].", at, i+1), below)
					}
				}
			}
			if r.Written[f.Name].File != "" && !gone(r.Fields[f.Name]) {
				found[at] = below
			}
		}
	}
	visit(car, SchemaOf(carType), "", nil)
	return found
}

// Settled gives the vehicle that a record describes, with every spread at its mean and the first of all words. What
// isn't given, or is absent throughout, has its default or is zero.
func Settled(car *value.Record) sim.Vehicle {
	everyAxis := func(*value.Axis) bool { return true }
	settled, _ := value.Each(car, func(a *value.Array) (value.Value, error) {
		if a.Kind != value.Words {
			return value.Reduce(a, everyAxis, value.Average), nil
		}
		first := map[*value.Axis]int{}
		for _, x := range a.Axes {
			first[x] = 0
		}
		return value.Pick(a, first), nil
	})
	var v sim.Vehicle
	_ = (&Binder{}).Bind(&v, settled.(*value.Record)) // the error says what isn't given, and nothing has to be
	return v
}

// FieldAt follows a dotted path from the vehicle. unknown is the first name on it that isn't a field, "" where all are;
// among lists the fields that could stand in its place.
func FieldAt(path string) (unknown string, among []string) {
	sch := SchemaOf(carType)
	for _, name := range strings.Split(path, ".") {
		if sch == nil {
			return name, nil
		}
		f := sch.Field(name)
		if f == nil {
			return name, sch.Names()
		}
		t := Base(f.Type)
		if sch = nil; Literals()[t.Name()] != nil && !HasParts(t) {
			sch = SchemaOf(t)
		}
	}
	return "", nil
}
