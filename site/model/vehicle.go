package model

import (
	"cmp"
	"math"
	"reflect"
	"slices"
	"strings"

	"turnplate/sim"
	"turnplate/site/value"
)

// An output that is a vehicle is the input with some fields changed. Only what a model really changed
// becomes an array over its combinations; the rest stays the input's own values, with their own axes.

// carriers are the fields that are made absent where a model gives no vehicle. It would have set them, and every model of
// the geometry reads them, so what is calculated from such a vehicle is absent too.
var carriers = []string{"CamFront", "CamRear", "UpperShift", "UpperFrontLeg", "UpperRearLeg", "TieRod"}

// carLeaf is one number of a vehicle.
type carLeaf struct {
	path  string
	index []int
}

// carLeaves are the numbers of a vehicle, those of the right corner included. No model changes lists or texts.
var carLeaves = func() []carLeaf {
	var list []carLeaf
	var visit func(t reflect.Type, path string, index []int)
	visit = func(t reflect.Type, path string, index []int) {
		for _, f := range sim.Fields(t) {
			at := strings.TrimPrefix(path+"."+f.Name, ".")
			in := append(slices.Clone(index), f.Index...)
			switch ft := Base(f.Type); ft.Kind() {
			case reflect.Float64:
				list = append(list, carLeaf{at, in})
			case reflect.Struct:
				visit(ft, at, in)
			}
		}
	}
	visit(carType, "", nil)
	return list
}()

// carNumbers reads the numbers of one vehicle after another.
type carNumbers struct {
	car    sim.Vehicle
	right  sim.Corner
	leaves []*float64 // those of carLeaves, in car and right
}

// of gives a vehicle's numbers, in the order of carLeaves, until it is asked for another's. The right corner may be the left
// one's mirror image.
func (n *carNumbers) of(v *sim.Vehicle) []*float64 {
	n.car = *v
	if n.right = v.Front; v.Right != nil {
		n.right = *v.Right
	}
	n.car.Right = &n.right
	if n.leaves == nil {
		whole := reflect.ValueOf(&n.car).Elem()
		for _, l := range carLeaves {
			n.leaves = append(n.leaves, whole.FieldByIndex(l.index).Addr().Interface().(*float64))
		}
	}
	return n.leaves
}

func leafAt(path string) int {
	return slices.IndexFunc(carLeaves, func(l carLeaf) bool { return l.path == path })
}

// compare notes every field in which the output vehicle differs from the input.
func (w *worker) compare(i int, v vehicleOut) {
	if v.at.IsNil() {
		w.job.mu.Lock()
		w.job.missing = min(w.job.missing, i)
		w.job.gone(v.name, i)
		w.job.mu.Unlock()
		return
	}
	in := w.in.Elem().FieldByName("Vehicle").Addr().Interface().(*sim.Vehicle)
	out := v.at.Interface().(*sim.Vehicle)
	sameSides := in.Right == nil && out.Right == nil
	if sameSides {
		w.job.mirrored[v.name][i] = true
	}
	before, after := w.before.of(in), w.after.of(out)
	for _, k := range w.job.changeable {
		l := carLeaves[k]
		if sameSides && strings.HasPrefix(l.path, "Right.") {
			continue
		}
		is := *after[k]
		if is == *before[k] {
			continue // a column starts with the input's values
		}
		if !finite(is) {
			w.job.mistakeAt(i, v.name+"."+l.path)
		}
		w.job.mu.Lock()
		w.job.vehicleColumn(v.name, k).nums[i] = is
		w.job.mu.Unlock()
	}
}

// changeableLeaves are the fields that a model can have changed: those that it reads.
func changeableLeaves(m sim.Model) []int {
	var list []int
	for k, l := range carLeaves {
		if m.Reads("Vehicle." + l.path) {
			list = append(list, k)
		}
	}
	return list
}

// explain asks the model why it gives no vehicle, at the first combination where it doesn't.
func (j *Job) explain() {
	if j.missing == j.Combinations {
		return
	}
	walk, _ := value.NewWalk(j.axes, j.arrays...)
	walk.Seek(j.missing)
	for k, l := range j.first.leaves {
		l.Put(l.From, walk.Pos[k])
	}
	j.missed = "there is none"
	if m, ok := j.first.in.Elem().Interface().(interface{ Missed() string }); ok {
		j.missed = m.Missed()
	}
}

// settle makes every field absent that would have been set where an output has no vehicle.
func (j *Job) settle() {
	for output, mirrored := range j.mirrored {
		j.mirror(output, mirrored)
	}
	for output, gone := range j.absent {
		for _, name := range carriers {
			j.vehicleColumn(output, leafAt("Front.Adjust."+name))
		}
		for _, c := range j.vehicles {
			for _, i := range gone {
				if c.output == output {
					c.nums[i] = math.NaN()
				}
			}
		}
	}
	j.absent = nil
}

// mirror gives the right corner what the left one was given, at the combinations where the model left it the
// left one's mirror image while elsewhere the sides differ.
func (j *Job) mirror(output string, mirrored []bool) {
	differ := slices.ContainsFunc(j.vehicles, func(c *vehicleCol) bool {
		return c.output == output && strings.HasPrefix(carLeaves[c.leaf].path, "Right.")
	})
	if !differ {
		return
	}
	for _, left := range slices.Clone(j.vehicles) {
		side, ok := strings.CutPrefix(carLeaves[left.leaf].path, "Front.")
		if !ok || left.output != output {
			continue
		}
		right := j.vehicleColumn(output, leafAt("Right."+side))
		for i, same := range mirrored {
			if same {
				right.nums[i] = left.nums[i]
			}
		}
	}
}

// gone notes that an output has no vehicle at a combination. The caller holds the lock.
func (j *Job) gone(output string, i int) {
	if j.absent == nil {
		j.absent = map[string][]int{}
	}
	j.absent[output] = append(j.absent[output], i)
}

// vehicleColumn finds or starts a field's column. The caller holds the lock.
func (j *Job) vehicleColumn(output string, leaf int) *vehicleCol {
	for _, c := range j.vehicles {
		if c.output == output && c.leaf == leaf {
			return c
		}
	}
	return j.addColumn(output, leaf)
}

// addColumn starts a field's column with the input's values, which hold wherever nothing else is noted.
func (j *Job) addColumn(output string, leaf int) *vehicleCol {
	c := &vehicleCol{output: output, leaf: leaf, nums: make([]float64, j.Combinations)}
	if j.spare == nil {
		j.spare, _ = j.newWorker() // NewJob has seen that nothing is missing
	}
	car := j.spare.in.Elem().FieldByName("Vehicle").Addr().Interface().(*sim.Vehicle)
	walk, _ := value.NewWalk(j.axes, j.arrays...)
	for i := range c.nums {
		for k, l := range j.spare.leaves {
			l.Put(l.From, walk.Pos[k])
		}
		c.nums[i] = *j.spare.before.of(car)[leaf]
		walk.Next()
	}
	j.vehicles = append(j.vehicles, c)
	return c
}

// vehicle makes the record of an output vehicle.
func (j *Job) vehicle(output string) value.Value {
	in := j.in.Fields["Vehicle"].(*value.Record)
	out := in
	for _, c := range j.vehicles {
		if in.Fields["Right"] == nil && c.output == output && strings.HasPrefix(carLeaves[c.leaf].path, "Right.") {
			// The sides differ from here on: the right one starts as the mirror of the left as it came in.
			out = in.With("Right", in.Fields["Front"], value.Mark{})
			break
		}
	}
	for _, c := range j.vehicles {
		if c.output != output {
			continue
		}
		out = withLeaf(out, SchemaOf(carType), strings.Split(carLeaves[c.leaf].path, "."), &value.Array{
			Axes: j.axes, Num: c.nums, Why: cmp.Or(j.missed, j.reason),
		})
	}
	return out
}

// withLeaf gives a copy of a record with one number below it replaced.
func withLeaf(r *value.Record, sch *Schema, path []string, a *value.Array) *value.Record {
	f := sch.Field(path[0])
	if len(path) == 1 {
		b := *a
		b.Dim, b.Show, b.Label = f.Unit.Dim, Show(f), f.Name
		return r.With(f.Name, &b, value.Mark{})
	}
	inner, _ := r.Fields[f.Name].(*value.Record)
	if inner == nil {
		inner, _ = Fill(r, f.Name).(*value.Record)
	}
	if IsPoint(f.Type) {
		b := *a
		b.Dim, b.Show = f.Unit.Dim, Show(f)
		return r.With(f.Name, inner.With(path[1], &b, value.Mark{}), value.Mark{})
	}
	return r.With(f.Name, withLeaf(inner, SchemaOf(Base(f.Type)), path[1:], a), r.Written[f.Name])
}
