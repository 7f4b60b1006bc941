package eval

import (
	"maps"
	"slices"

	"turnplate/sim"
	"turnplate/sim/geom"
	"turnplate/sim/unit"
	"turnplate/site/diag"
	"turnplate/site/figure"
	"turnplate/site/model"
	"turnplate/site/notebook"
	"turnplate/site/value"
)

// drawnCar is a vehicle in a pose, with the fields and tags of a model's input, so that it is bound the same way.
type drawnCar struct {
	Vehicle sim.Vehicle
	Bump    float64 `unit:"mm" us:"inch" default:"0"`
	Rack    float64 `unit:"mm" us:"inch" default:"0"`
}

var views = []string{"front", "side", "top", "oblique"}

// drawing makes Drawing{Vehicle, View, By, Sweep, Points, Both, Bump, Rack, Pose, Ghost}: the left front corner to scale,
// with the tyre's sweep past the obstacles, its points' names and coordinates and the other side laid over it when asked
// for, and at every position of an axis along which it is posed.
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
	if !slices.Contains(views, view.Text) {
		s.fault(a.exprs["View"], diag.DidYouMean(view.Text, views), `a view is "front", "side", "top" or "oblique"`)
		return nil
	}
	by, pose := a.axis(s, "By"), s.poseOf(a)
	asked := asked{sweep: a.yes(s, "Sweep"), points: a.yes(s, "Points"), both: a.yes(s, "Both")}
	if a.failed {
		return nil
	}
	if asked.sweep && (a.exprs["Pose"] != nil || a.exprs["Bump"] != nil || a.exprs["Rack"] != nil) {
		s.fault(a.exprs["Sweep"], "leave one of them out", "Sweep shows the whole of lock and travel, and a pose one place of it")
		return nil
	}
	d := &figure.Drawing{View: view.Text, Points: asked.points}
	if !s.ghost(a, d) {
		return nil
	}
	b := sketchBinder()
	if asked.sweep {
		clearance, _ := sim.Find("Clearance")
		b.Uses = append(b.Uses, clearance.Uses...)
		b.Optional = append(b.Optional, clearance.Optional...)
	}
	in := &value.Record{Type: "drawing", Fields: map[string]value.Value{"Vehicle": car}}
	for _, field := range []string{"Bump", "Rack"} {
		if e := a.exprs[field]; e != nil {
			n, ok := a.number(s, field)
			if !ok {
				return nil
			}
			if n.Dim != unit.Length {
				s.fault(e, "", "%s is a length; this is %s", field, value.Describe(n))
				return nil
			}
			in.Fields[field] = n
		}
	}
	why := ""
	for i := range lengthOf(by) {
		var scene figure.Scene
		scene.Label = labelOf(by, i)
		at := map[*value.Axis]int{}
		if by != nil {
			at[by] = i
		}
		car, problem := s.drawn(a, in, at, b)
		if a.failed {
			return nil
		}
		if problem == "" {
			if err := sketchInto(&scene, car, asked); err != nil {
				problem = err.Error()
			}
		}
		if problem != "" {
			why = problem
		} else if asked.points {
			scene.Spread = s.spread(a, in, at, b)
		}
		if pose != nil {
			scene.Ends = s.poseEnds(a, in, at, b, pose)
		}
		d.Scenes = append(d.Scenes, scene)
	}
	if why != "" && !slices.ContainsFunc(d.Scenes, func(c figure.Scene) bool { return c.Radius > 0 }) {
		s.suspectJoint(car)
		s.fault(a.exprs["Vehicle"], "", "there is nothing to draw: %s", why)
		return nil
	}
	a.headInto(s, &d.Head)
	return d
}

// asked is what a drawing shows beside the corner.
type asked struct{ sweep, points, both bool }

// sketchInto draws up one vehicle; what can't be swept when it is asked for isn't drawn either.
func sketchInto(scene *figure.Scene, car drawnCar, asked asked) error {
	sketch, right, err := sim.SketchSides(car.Vehicle, car.Bump, car.Rack)
	if err != nil {
		return err
	}
	if asked.both {
		other := figure.Sketch(right)
		scene.Other = &other
	}
	if asked.sweep {
		w, err := sim.SweptOf(car.Vehicle)
		if err != nil {
			return err
		}
		scene.Swept = (*figure.Swept)(&w)
	}
	scene.Sketch = figure.Sketch(sketch)
	return nil
}

// drawn gives one vehicle to draw, an uncertain one at its means, or says why there is none.
func (s *scope) drawn(a *arguments, in *value.Record, at map[*value.Axis]int, b model.Binder) (drawnCar, string) {
	var car drawnCar
	if err := b.Bind(&car, in); err != nil {
		s.fault(a.exprs["Vehicle"], "", "a drawing %s", err)
		a.failed = true
		return car, ""
	}
	for _, l := range b.Leaves {
		here := s.followed(value.Pick(l.From, at))
		a.refuseLeft(s, "Vehicle", here)
		if a.failed {
			return car, ""
		}
		mean := here
		if here.Kind == value.Number {
			mean = value.Reduce(here, value.IsDraws, value.Average)
		}
		if mean.Absent(0) {
			return car, l.From.Reason()
		}
		l.Put(mean, 0)
	}
	return car, ""
}

// spread gives the covariance of the measured points as they stand, over the draws of an uncertain vehicle; nil where
// it isn't uncertain. Draws that can't be are left out.
func (s *scope) spread(a *arguments, in *value.Record, at map[*value.Axis]int, b model.Binder) []figure.Covariance {
	var car drawnCar
	b.Leaves = nil
	if b.Bind(&car, in) != nil {
		return nil // the mistake has been reported
	}
	type leaf struct {
		model.Leaf
		here *value.Array
	}
	var leaves []leaf
	draws := 1
	for _, l := range b.Leaves {
		here := s.followed(value.Pick(l.From, at))
		leaves = append(leaves, leaf{l, here})
		draws = max(draws, len(here.Num))
	}
	if draws == 1 {
		return nil
	}
	if !s.take(a.lit, amounts{Numbers: draws * figure.Measured * 3}) {
		return nil
	}
	var n float64
	var mean [figure.Measured]geom.Point
	out := make([]figure.Covariance, figure.Measured)
	for i := range draws {
		if s.ctx.Err() != nil {
			return nil
		}
		for _, l := range leaves {
			l.Put(l.here, i%max(len(l.here.Num), len(l.here.Words)))
		}
		sketch, err := sim.SketchOf(car.Vehicle, car.Bump, car.Rack)
		if err != nil {
			continue
		}
		n++
		for k, p := range figure.Sketch(sketch).MeasuredPoints() {
			covary(&out[k], &mean[k], n, p)
		}
	}
	for k := range out {
		for i := range out[k] {
			for j := range out[k] {
				out[k][i][j] /= n - 1
			}
		}
	}
	if n < 2 || !slices.ContainsFunc(out, func(c figure.Covariance) bool { return c != figure.Covariance{} }) {
		return nil
	}
	return out
}

// covary takes the nth place into a running mean and sum of products (Welford, Technometrics 4, 1962, for several
// coordinates at once).
func covary(sum *figure.Covariance, mean *geom.Point, n float64, p geom.Point) {
	before := p.Sub(*mean)
	*mean = mean.Add(before.Scale(1 / n))
	after := p.Sub(*mean)
	x, y := [3]float64{before.X, before.Y, before.Z}, [3]float64{after.X, after.Y, after.Z}
	for i := range x {
		for j := range y {
			sum[i][j] += x[i] * y[j]
		}
	}
}

// sketchBinder binds what a corner is drawn from.
func sketchBinder() model.Binder {
	alignment, _ := sim.Find("Alignment")
	more := []string{"Tyre", "Steering.RackLimit"}
	return model.Binder{Uses: slices.Concat(alignment.Uses, more), Optional: slices.Concat(alignment.Optional, more)}
}

// poseOf reads Pose: a span axis along which the drawing is posed, in a walk also one of choices, a step each; or nil.
func (s *scope) poseOf(a *arguments) *value.Axis {
	pose := a.axis(s, "Pose")
	if pose == nil {
		return nil
	}
	hint := ""
	switch {
	case pose.Kind == value.Dial:
		hint = "leave Pose out: a dial moves every drawing that depends on it"
	case pose.Kind == value.Choice && a.block.Fold == notebook.Walk:
		if pose.Length == a.block.Steps() {
			s.pose(pose)
			return pose
		}
		s.fault(a.exprs["Pose"], "give each step of the list its choice, in order", "%s has %d choices, and the list below has %d steps", pose.Name, pose.Length, a.block.Steps())
		a.failed = true
		return nil
	case pose.Kind == value.Choice || len(pose.Coord) == 0:
		hint = "show alternatives side by side with By, or one for each step of a walk (go params walk)"
	case pose.Length > MaxStates:
		hint = "use fewer points"
	default:
		s.pose(pose)
		return pose
	}
	s.fault(a.exprs["Pose"], hint, "a drawing is posed along numbers made by span or list, at most %d of them", MaxStates)
	a.failed = true
	return nil
}

// ghost draws up the vehicle that stands faint behind, as it rests.
func (s *scope) ghost(a *arguments, d *figure.Drawing) bool {
	v, given := a.value(s, "Ghost")
	if !given {
		return !a.failed
	}
	car, ok := v.(*value.Record)
	if !ok || car.Type != "Vehicle" {
		s.fault(a.exprs["Ghost"], "", "a vehicle was expected here; this is %s", value.Describe(v))
		return false
	}
	b := sketchBinder()
	in := &value.Record{Type: "drawing", Fields: map[string]value.Value{"Vehicle": car}}
	behind, problem := s.drawn(a, in, nil, b)
	if a.failed {
		return false
	}
	if problem == "" {
		if sketch, err := sim.SketchOf(behind.Vehicle, 0, 0); err != nil {
			problem = err.Error()
		} else {
			ghost := figure.Sketch(sketch)
			d.Ghost = &ghost
		}
	}
	if problem != "" {
		s.fault(a.exprs["Ghost"], "", "there is no ghost to draw: %s", problem)
	}
	return problem == ""
}

// poseEnds draws up both ends of a pose, which stay on show while it moves; those out of reach are left out.
func (s *scope) poseEnds(a *arguments, in *value.Record, at map[*value.Axis]int, b model.Binder, pose *value.Axis) []figure.Sketch {
	var ends []figure.Sketch
	for _, i := range []int{0, pose.Length - 1} {
		end := maps.Clone(at)
		end[pose] = i
		car, problem := s.drawn(a, in, end, b)
		if problem != "" || a.failed {
			continue
		}
		if sketch, err := sim.SketchOf(car.Vehicle, car.Bump, car.Rack); err == nil {
			ends = append(ends, figure.Sketch(sketch))
		}
	}
	return ends
}
