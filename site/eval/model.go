package eval

import (
	"go/ast"
	"math"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"turnplate/sim"
	"turnplate/site/value"
)

// chunk is how many combinations a worker takes at a time at most: enough that taking costs nothing, few enough
// that an abandoned build stops soon.
const chunk = 64

// A worker is worth its start for this many combinations. Each worker takes several turns, so that none
// waits long for another at the end.
const (
	worth = 2
	turns = 16
)

// model runs a model once for each combination over which its inputs really vary.
func (s *scope) model(e *ast.CompositeLit, m sim.Model, in *value.Record) value.Value {
	job := &job{m: m, in: in}
	first, missing := job.newWorker()
	if len(missing) > 0 {
		return s.fault(e, "", "%s needs %s, which %s given and %s no default", m.Name, listed(missing), isAre(missing), hasHave(missing))
	}
	arrays := make([]*value.Array, len(first.leaves))
	var axes []*value.Axis
	for i, l := range first.leaves {
		arrays[i] = l.from
		axes = value.Union(axes, l.from.Axes)
	}
	n, err := value.Size(axes)
	if err != nil {
		return s.fault(e, "", "%s: %s", m.Name, err)
	}
	s.page.Cautions = s.page.Cautions || cautioned[m.Name]
	job.axes, job.arrays, job.n, job.failed, job.sample = axes, arrays, n, n, first.outlet
	if s.spent+n > s.ev.options.Limits.Numbers {
		return s.fault(e, "fewer points or draws", "%s would run %d times, which is more than this notebook has left", m.Name, n)
	}
	var key cacheKey
	if s.ev.options.Cache != nil {
		key = job.key(first.in.Elem(), first.leaves)
	}
	if known := s.ev.options.Cache.get(key); known != nil {
		job.columns, job.vehicles, job.length = known.columns, known.vehicles, known.length
		job.failures, job.reason = known.failures, known.reason
	} else {
		job.run(s, first)
		if s.overtime(e) {
			return value.Broken{}
		}
		job.settle()
		job.remember(s.ev.options.Cache, key)
	}
	if job.failures == n {
		return s.fault(e, "", "%s has no value here: %s", m.Name, job.reason)
	}
	return job.collect(s)
}

// cautioned are the models whose results somebody may set or trust their safety to.
var cautioned = map[string]bool{"AlignTo": true, "JointLoads": true}

func listed(items []string) string {
	if len(items) == 1 {
		return items[0]
	}
	return strings.Join(items[:len(items)-1], ", ") + " and " + items[len(items)-1]
}

func isAre(items []string) string {
	if len(items) == 1 {
		return "isn't"
	}
	return "aren't"
}

func hasHave(items []string) string {
	if len(items) == 1 {
		return "has"
	}
	return "have"
}

// job is one model over all its combinations.
type job struct {
	m      sim.Model
	in     *value.Record
	axes   []*value.Axis
	arrays []*value.Array
	n      int

	mu         sync.Mutex
	columns    []*column         // of the finished job
	changeable []int             // fields of a vehicle output that may differ from the input's
	vehicles   []*vehicleCol     // changed fields of vehicle outputs
	mirrored   map[string][]bool // combinations at which a vehicle output's sides are each other's mirror
	absent     map[string][]int  // combinations at which a vehicle output isn't there
	length     int               // of slice outputs
	failed     int               // lowest combination without a value
	failures   int
	reason     string
	sample     *outlet
}

// vehicleCol is one field of an output vehicle that differs from the input's in some combination.
type vehicleCol struct {
	output string
	leaf   int
	nums   []float64
}

type worker struct {
	job    *job
	walk   *value.Walk
	leaves []leaf
	in     reflect.Value
	out    reflect.Value
	outlet *outlet
}

// newWorker makes a worker, and lists the fields that the model needs and isn't given.
func (j *job) newWorker() (w *worker, missing []string) {
	w = &worker{job: j, in: reflect.New(j.m.Input), out: reflect.New(j.m.Result), outlet: &outlet{}}
	b := &binder{uses: j.m.Uses, optional: j.m.Optional}
	b.bind(w.in.Elem(), j.in, schemaOf(j.m.Input), "")
	w.leaves = b.leaves
	w.outlet.gather(w.out.Elem(), nil, nil)
	return w, b.missing
}

// run works through all combinations with first and as many more workers as are worth it.
func (j *job) run(s *scope, first *worker) {
	workers := s.ev.options.Workers
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	workers = max(min(workers, j.n/worth), 1)
	size := max(min(chunk, j.n/(workers*turns)), 1)
	if len(j.sample.vehicle) > 0 {
		j.changeable = changeableLeaves(j.m)
		j.mirrored = map[string][]bool{}
		for _, v := range j.sample.vehicle {
			j.mirrored[v.name] = make([]bool, j.n)
		}
	}
	for _, c := range j.sample.columns {
		if c.slice {
			j.length = -1
		} else if c.kind == value.Words {
			c.words = make([]string, j.n)
			c.nums = make([]float64, j.n)
		} else {
			c.nums = make([]float64, j.n)
		}
	}
	j.columns = j.sample.columns
	var next atomic.Int64
	var wait sync.WaitGroup
	for k := range workers {
		wait.Add(1)
		go func() {
			defer wait.Done()
			w := first
			if k > 0 {
				w, _ = j.newWorker()
			}
			w.walk, _ = value.NewWalk(j.axes, j.arrays...)
			for s.ctx.Err() == nil {
				from := int(next.Add(int64(size))) - size
				if from >= j.n {
					return
				}
				w.walk.Seek(from)
				for i := from; i < min(from+size, j.n); i++ {
					w.one(i)
					w.walk.Next()
				}
			}
		}()
	}
	wait.Wait()
}

// one runs combination i.
func (w *worker) one(i int) {
	for k, l := range w.leaves {
		at := w.walk.Pos[k]
		if l.from.Absent(at) {
			w.fail(i, reason(l.from))
			return
		}
		l.put(l.from, at)
	}
	if err := w.job.m.Run(w.in.Interface(), w.out.Interface()); err != nil {
		w.fail(i, err.Error())
		return
	}
	for _, f := range w.outlet.after {
		f()
	}
	for k, c := range w.outlet.columns {
		w.job.columns[k].store(w.job, i, c)
	}
	for _, v := range w.outlet.vehicle {
		w.compare(i, v)
	}
}

func (c *column) store(j *job, i int, from *column) {
	switch {
	case from.slice:
		c.storeSlice(j, i, from)
	case c.kind == value.Words:
		c.words[i] = from.word()
	default:
		x := from.read()
		if math.IsInf(x, 0) {
			x = math.NaN()
		}
		c.nums[i] = x
	}
}

func (w *worker) fail(i int, why string) {
	j := w.job
	j.mu.Lock()
	defer j.mu.Unlock()
	j.failures++
	if i < j.failed {
		j.failed, j.reason = i, why
	}
	for _, c := range j.columns {
		if !c.slice {
			c.nums[i] = math.NaN()
		} else if c.nums != nil {
			for k := range j.length {
				c.nums[i*j.length+k] = math.NaN()
			}
		}
	}
	for _, v := range j.sample.vehicle {
		j.gone(v.name, i)
	}
}

// storeSlice keeps a list output. All combinations of one model have lists of one length.
func (c *column) storeSlice(j *job, i int, from *column) {
	j.mu.Lock()
	defer j.mu.Unlock()
	var xs []float64
	var names []string
	if from.names != nil {
		names = from.names()
		xs = make([]float64, len(names))
	} else {
		xs = from.many()
	}
	if j.length < 0 {
		j.length = len(xs)
	}
	if c.nums == nil {
		if j.n > value.MaxElements/max(j.length, 1) {
			return // collect reports it
		}
		c.nums = make([]float64, j.n*j.length)
		for k := range c.nums {
			c.nums[k] = math.NaN()
		}
	}
	if len(xs) != j.length {
		return // stays absent
	}
	copy(c.nums[i*j.length:], xs)
	if names != nil {
		c.words = names
	}
}

// collect makes the result record.
func (j *job) collect(s *scope) value.Value {
	out := &value.Record{Type: j.m.Name + " result", Fields: map[string]value.Value{}}
	var along *value.Axis
	if j.length > 0 {
		along = j.sliceAxis(s)
	}
	for _, c := range j.columns {
		a := &value.Array{Kind: c.kind, Axes: j.axes, Num: c.nums, Words: c.words, Why: j.reason, Label: strings.Join(c.path, " ")}
		a.Label = c.path[len(c.path)-1]
		if len(c.path) > 1 && c.path[0] != "Right" {
			a.Label = strings.Join(c.path, " ")
		}
		if c.kind == value.Number {
			a.Dim, a.Show = c.field.Unit.Dim, &value.Show{Metric: s.currency(c.field.Unit), US: s.currency(c.field.US)}
		}
		if c.slice {
			if along == nil {
				continue
			}
			if c.kind == value.Words {
				if len(c.words) == along.Length { // names are the same for every combination
					put(out, c.path, &value.Array{Kind: value.Words, Axes: []*value.Axis{along}, Words: c.words, Label: a.Label, Own: along})
				}
				continue
			}
			a.Axes = append(slices.Clone(j.axes), along)
			if c.nums == nil {
				continue
			}
			a = reorder(a)
		}
		put(out, c.path, a)
	}
	for _, v := range j.sample.vehicle {
		put(out, strings.Split(v.name, "."), j.vehicle(v.name))
	}
	return out
}

// sliceAxis is the axis of a model's list outputs: labelled by a list of names where there is one, else by
// its first list, such as the time of a history.
func (j *job) sliceAxis(s *scope) *value.Axis {
	axis := s.newAxis(value.Span, j.length)
	for _, c := range j.columns {
		if c.slice && c.kind == value.Words && len(c.words) == j.length {
			axis.Kind, axis.Name, axis.Labels = value.Choice, c.path[len(c.path)-1], c.words
			return axis
		}
	}
	for _, c := range j.columns {
		if c.slice && c.nums != nil {
			axis.Name, axis.Dim, axis.Show = c.path[len(c.path)-1], c.field.Unit.Dim, show(c.field)
			axis.Coord = c.nums[:j.length]
			return axis
		}
	}
	return axis
}

// reorder brings a list output's own axis into the order of axes: draws run fastest.
func reorder(a *value.Array) *value.Array {
	sorted := value.Union(a.Axes)
	if slices.Equal(sorted, a.Axes) {
		return a
	}
	out := *a
	out.Axes = sorted
	out.Num = make([]float64, len(a.Num))
	steps := value.Strides(sorted, a)
	at := make([]int, len(sorted))
	for i := range out.Num {
		pos := 0
		for k, x := range at {
			pos += steps[k] * x
		}
		out.Num[i] = a.Num[pos]
		for k := len(at) - 1; k >= 0; k-- {
			if at[k]++; at[k] < sorted[k].Length {
				break
			}
			at[k] = 0
		}
	}
	return &out
}

func put(r *value.Record, path []string, v value.Value) {
	for _, name := range path[:len(path)-1] {
		inner, ok := r.Fields[name].(*value.Record)
		if !ok {
			inner = &value.Record{Type: name, Fields: map[string]value.Value{}}
			r.Fields[name] = inner
		}
		r = inner
	}
	r.Fields[path[len(path)-1]] = v
}
