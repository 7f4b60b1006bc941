package eval

import (
	"go/ast"
	"reflect"
	"slices"
	"strings"

	"turnplate/sim"
	"turnplate/sim/size"
	"turnplate/sim/unit"
	"turnplate/site/model"
	"turnplate/site/value"
)

// tyreSize evaluates tyreSize("285/70R17", tyre): the dimensions of the designation, and the load where it
// tells it, on the tyre given. What the designation can't tell stays as it was, and the page says which fields those are.
func tyreSize(s *scope, e *ast.CallExpr, args []value.Value) value.Value {
	text, ok := textOf(args[0])
	if !ok {
		return s.fault(e.Args[0], "", "a tyre's designation in quotes was expected here")
	}
	was, ok := args[1].(*value.Record)
	if !ok || was.Type != "Tyre" {
		return s.fault(e.Args[1], "", "the tyre that gives the rest was expected here; this is %s", value.Describe(args[1]))
	}
	parsed, err := size.Parse(text)
	if err != nil {
		return s.fault(e.Args[0], "", "%s", err)
	}
	out := &value.Record{Type: "Tyre", Fields: map[string]value.Value{}, Written: map[string]value.Mark{}}
	set := map[string]value.Value{
		"Name":          value.Text(text),
		"Radius":        value.Num(parsed.Diameter/2, unit.Length),
		"LoadedRadius":  value.Num(parsed.LoadedRadius, unit.Length),
		"RollingRadius": value.Num(parsed.RollingRadius, unit.Length),
		"Width":         value.Num(parsed.Width, unit.Length),
		"RimDiameter":   value.Num(parsed.RimDiameter, unit.Length),
	}
	words := "radius, loaded radius, rolling radius, width and rim diameter"
	load, pressure := parsed.Rating()
	if load > 0 {
		set["LoadCapacity"] = value.Num(load, unit.MustParse("kg").Dim)
		words = "radius, loaded radius, rolling radius, width, rim diameter and load capacity"
	}
	if pressure > 0 {
		set["LoadPressure"] = value.Num(pressure, unit.MustParse("kPa").Dim)
		words = strings.Replace(words, " and ", ", ", 1) + " and load pressure"
	}
	var kept []string
	for _, f := range model.SchemaOf(reflect.TypeFor[sim.Tyre]()).Fields {
		if v, ok := set[f.Name]; ok {
			out.Fields[f.Name] = v
			out.Written[f.Name] = s.mark(e)
		} else if v, ok := was.Fields[f.Name]; ok {
			out.Fields[f.Name] = v
			out.Written[f.Name] = was.Written[f.Name]
			kept = append(kept, strings.ToLower(value.Humanise(f.Name)))
		}
	}
	note := "The tyre " + text + " takes its " + words + " from its designation"
	if len(kept) > 0 {
		note += " and keeps from the tyre it is given: " + strings.Join(kept, ", ")
	}
	note += ". What the page sets afterwards counts instead."
	if !slices.Contains(s.page.Notes, note) {
		s.page.Notes = append(s.page.Notes, note)
	}
	return out
}
