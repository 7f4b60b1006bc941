package eval

import (
	"slices"

	"turnplate/sim"
	"turnplate/site/diag"
	"turnplate/site/figure"
	"turnplate/site/model"
	"turnplate/site/value"
)

// drawnCar wraps the vehicle as a model's input does, so that it is bound the same way.
type drawnCar struct{ Vehicle sim.Vehicle }

var views = []string{"front", "side", "top"}

// drawing makes Drawing{Vehicle, View, By, Sweep}: the left front corner to scale, with the tyre's sweep past the
// obstacles when asked for.
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
	swept := a.yes(s, "Sweep")
	if a.failed {
		return nil
	}
	d := &figure.Drawing{View: view.Text}
	alignment, _ := sim.Find("Alignment")
	b := model.Binder{Uses: slices.Concat(alignment.Uses, []string{"Tyre"}), Optional: []string{"Tyre"}}
	if swept {
		clearance, _ := sim.Find("Clearance")
		b.Uses = append(b.Uses, clearance.Uses...)
		b.Optional = append(b.Optional, clearance.Optional...)
	}
	in := &value.Record{Type: "drawing", Fields: map[string]value.Value{"Vehicle": car}}
	why := ""
	for i := range lengthOf(by) {
		var scene figure.Scene
		scene.Label, scene.LabelUS = labelOf(by, i)
		at := map[*value.Axis]int{}
		if by != nil {
			at[by] = i
		}
		car, problem := s.drawn(a, in, at, b, by)
		if a.failed {
			return nil
		}
		if problem == "" {
			if err := sketchInto(&scene, car, swept); err != nil {
				problem = err.Error()
			}
		}
		if problem != "" {
			why = problem
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

// sketchInto draws up one vehicle; what can't be swept when it is asked for isn't drawn either.
func sketchInto(scene *figure.Scene, car sim.Vehicle, swept bool) error {
	sketch, err := sim.SketchOf(car, 0, 0)
	if err != nil {
		return err
	}
	if swept {
		w, err := sim.SweptOf(car)
		if err != nil {
			return err
		}
		scene.Swept = (*figure.Swept)(&w)
	}
	scene.Sketch = figure.Sketch(sketch)
	return nil
}

// drawn gives one vehicle to draw, an uncertain one at its means, or says why there is none.
func (s *scope) drawn(a *arguments, in *value.Record, at map[*value.Axis]int, b model.Binder, by *value.Axis) (sim.Vehicle, string) {
	var car drawnCar
	if err := b.Bind(&car, in); err != nil {
		s.fault(a.exprs["Vehicle"], "", "a drawing %s", err)
		a.failed = true
		return car.Vehicle, ""
	}
	for _, l := range b.Leaves {
		a.refuseLeft(s, "Vehicle", l.From, by)
		if a.failed {
			return car.Vehicle, ""
		}
		here := value.Pick(l.From, at)
		here = s.turned(here)
		mean := here
		if here.Kind == value.Number {
			mean = value.Reduce(here, value.IsDraws, value.Average)
		}
		if mean.Absent(0) {
			return car.Vehicle, l.From.Reason()
		}
		l.Put(mean, 0)
	}
	return car.Vehicle, ""
}
