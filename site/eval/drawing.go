package eval

import (
	"reflect"

	"turnplate/sim"
	"turnplate/site/diag"
	"turnplate/site/figure"
	"turnplate/site/value"
)

// drawnCar wraps the vehicle as a model's input does, so that it is bound the same way.
type drawnCar struct{ Vehicle sim.Vehicle }

var views = []string{"front", "side", "top"}

// drawing makes Drawing{Vehicle, View, By}: the left front corner to scale.
func drawing(s *scope, a *arguments) figure.Figure {
	if !a.need(s, "Vehicle", "View") {
		return nil
	}
	v, ok := a.value(s, "Vehicle")
	if !ok {
		return nil
	}
	car, ok := v.(*value.Record)
	if !ok || car.Type != "Vehicle" {
		s.fault(a.exprs["Vehicle"], "", "a vehicle was expected here; this is %s", value.Describe(v))
		return nil
	}
	view, ok := s.quoted(a.exprs["View"])
	if !ok {
		return nil
	}
	if !contains(views, view.Text) {
		s.fault(a.exprs["View"], diag.DidYouMean(view.Text, views), `a view is "front", "side" or "top"`)
		return nil
	}
	by := a.axis(s, "By")
	if a.failed {
		return nil
	}
	d := &figure.Drawing{View: view.Text}
	uses, _ := sim.Find("Alignment")
	in := &value.Record{Type: "drawing", Fields: map[string]value.Value{"Vehicle": car}}
	why := ""
	for i := range lengthOf(by) {
		var scene figure.Scene
		scene.Label, scene.LabelUS = labelOf(by, i)
		at := map[*value.Axis]int{}
		if by != nil {
			at[by] = i
		}
		sketch, problem := s.sketch(a, in, at, append(uses.Uses, "Tyre"), by)
		if a.failed {
			return nil
		}
		if problem != "" {
			why = problem
		} else {
			scene.Sketch = sketch
		}
		d.Scenes = append(d.Scenes, scene)
	}
	if why != "" && allMissing(d.Scenes) {
		s.fault(a.exprs["Vehicle"], "", "there is nothing to draw: %s", why)
		return nil
	}
	a.headInto(s, &d.Head)
	return d
}

func contains(list []string, x string) bool {
	for _, y := range list {
		if x == y {
			return true
		}
	}
	return false
}

func allMissing(scenes []figure.Scene) bool {
	for _, c := range scenes {
		if c.Radius > 0 {
			return false
		}
	}
	return true
}

// sketch gives one corner; an uncertain vehicle is drawn at its means.
func (s *scope) sketch(a *arguments, in *value.Record, at map[*value.Axis]int, uses []string, by *value.Axis) (figure.Sketch, string) {
	var car drawnCar
	b := &binder{uses: uses, optional: []string{"Tyre"}}
	b.bind(reflect.ValueOf(&car).Elem(), in, schemaOf(reflect.TypeFor[drawnCar]()), "")
	if len(b.missing) > 0 {
		s.fault(a.exprs["Vehicle"], "", "a drawing needs %s, which %s given and %s no default", listed(b.missing), isAre(b.missing), hasHave(b.missing))
		a.failed = true
		return figure.Sketch{}, ""
	}
	for _, l := range b.leaves {
		a.refuseLeft(s, "Vehicle", l.from, by)
		if a.failed {
			return figure.Sketch{}, ""
		}
		here := value.Pick(l.from, at)
		here = s.turned(here)
		mean := here
		if here.Kind == value.Number {
			mean = value.Reduce(here, value.IsDraws, value.Average)
		}
		if mean.Absent(0) {
			return figure.Sketch{}, reason(l.from)
		}
		l.put(mean, 0)
	}
	sketch, err := sim.SketchOf(car.Vehicle)
	if err != nil {
		return figure.Sketch{}, err.Error()
	}
	return figure.Sketch(sketch), ""
}
