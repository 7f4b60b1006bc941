package sim

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"

	"turnplate/sim/unit"
)

// Field describes one input or output as a notebook sees it, read from the struct tags explained at Vehicle.
type Field struct {
	Name     string
	Index    []int // for reflect.Value.FieldByIndex; embedded structs are looked through
	Type     reflect.Type
	Unit     unit.Unit // shown to metric readers; also gives the dimension
	US       unit.Unit // shown to readers who prefer US units
	PerTurn  bool      // the value is one turn's worth
	Required bool
	Default  float64 // SI, for a number with a fixed default
	Of       string  // the default is Default times this field beside it
	Text     string  // the default of a text or yes/no field
	Must     Limits  // of an input
	Called   string  // in figures; empty: the name taken apart says it
	Absent   string  // of an output, or of a part of a result with all in it: why there may be none; empty: there always is
}

// Fields lists the exported fields of a struct type in order.
func Fields(t reflect.Type) []Field {
	var list []Field
	for _, f := range reflect.VisibleFields(t) {
		if !f.IsExported() || f.Anonymous {
			continue
		}
		list = append(list, describe(t, f))
	}
	return list
}

func describe(t reflect.Type, f reflect.StructField) Field {
	d := Field{Name: f.Name, Index: f.Index, Type: f.Type, PerTurn: f.Tag.Get("per") == "turn"}
	d.Unit = unit.MustParse(tagOr(f, "unit", "1"))
	d.US = d.Unit
	if us := f.Tag.Get("us"); us != "" {
		d.US = unit.MustParse(us)
	}
	if d.US.Dim != d.Unit.Dim {
		panic(fmt.Sprintf("sim: %s.%s: unit and us differ in dimension", t, f.Name))
	}
	d.Absent, d.Called = f.Tag.Get("absent"), f.Tag.Get("called")
	var err error
	if d.Must, err = limitsOf(f.Tag.Get("must"), f.Type, d.Unit); err != nil {
		panic(fmt.Sprintf("sim: %s.%s: %s", t, f.Name, err))
	}
	text, has := f.Tag.Lookup("default")
	d.Required = !has
	if !has {
		return d
	}
	base := f.Type
	if base.Kind() == reflect.Pointer {
		return d // a pointer is nil when left out
	}
	switch base.Kind() {
	case reflect.Float64:
		share, of, isShare := strings.Cut(text, "*")
		value, err := strconv.ParseFloat(share, 64)
		if err != nil {
			panic(fmt.Sprintf("sim: %s.%s: default %q isn't a number", t, f.Name, text))
		}
		if isShare {
			d.Default, d.Of = value, of
		} else {
			d.Default = value * d.Unit.SI
		}
	default:
		d.Text = text
	}
	return d
}

func tagOr(f reflect.StructField, key, otherwise string) string {
	if text := f.Tag.Get(key); text != "" {
		return text
	}
	return otherwise
}
