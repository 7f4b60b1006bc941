// Package model runs a model of package sim once for each combination over which its inputs really vary.
//
//	Schema   how a Go struct of package sim looks from a notebook, read from its field tags
//	Binder   lays a record of values into such a struct (inputs.go)
//	Job      one model over all its combinations, on as many processors as are worth it
//	Record   its results as values over axes (outputs.go, record.go); vehicle.go is a result that is itself a vehicle
//	Cache    results that need no second run
package model

import (
	"context"
	"errors"
	"fmt"
	"math"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"turnplate/sim"
	"turnplate/site/value"
)

// chunk is how many combinations a worker takes at a time at most: enough that taking costs nothing, few enough
// that an abandoned build stops soon.
const chunk = 64

// Starting another worker pays from this many combinations on. Each worker takes several turns, so that none waits
// long for another at the end.
const (
	worth = 2
	turns = 16
)

// Job is one model over all the combinations over which its inputs really vary.
type Job struct {
	Combinations int
	Spent        time.Duration // of the processor, once it has run

	m      sim.Model
	in     *value.Record
	axes   []*value.Axis
	arrays []*value.Array
	first  *worker

	mu    sync.Mutex
	spare *worker // whose input columns of vehicles are begun with; nil until there is one
	outcome
	changeable []int             // fields of a vehicle output that may differ from the input's
	mirrored   map[string][]bool // combinations at which a vehicle output's sides are each other's mirror
	absent     map[string][]int  // combinations at which a vehicle output isn't there
	failed     int               // lowest combination without a value
	mistaken   int               // lowest combination at which the model has made a mistake
	mistake    string            // the output that was no number there
	missing    int               // lowest combination at which a model that has a value gives no vehicle
}

// outcome is what remains of a job that has been run.
type outcome struct {
	columns  []*column
	vehicles []*vehicleCol // changed fields of vehicle outputs
	length   int           // of slice outputs
	failures int           // combinations without a value
	reason   string        // why the first of them has none
	missed   string        // why a model that has a value gives no vehicle
}

// vehicleCol is one field of an output vehicle that differs from the input's in some combination.
type vehicleCol struct {
	output string
	leaf   int
	nums   []float64
}

type worker struct {
	job    *Job
	walk   *value.Walk
	leaves []Leaf
	in     reflect.Value
	out    reflect.Value
	outlet *outlet
	before carNumbers // of the vehicle that a model is given
	after  carNumbers // of one that it gives
}

// NewJob prepares a model for the inputs given. The error says which inputs it needs as well, or that there are too
// many combinations.
func NewJob(m sim.Model, in *value.Record) (*Job, error) {
	j := &Job{m: m, in: in}
	var err error
	if j.first, err = j.newWorker(); err != nil {
		return nil, fmt.Errorf("%s %w", m.Name, err)
	}
	for _, l := range j.first.leaves {
		j.arrays = append(j.arrays, l.From)
		j.axes = value.Union(j.axes, l.From.Axes)
	}
	if j.Combinations, err = value.Size(j.axes); err != nil {
		return nil, fmt.Errorf("%s: %w", m.Name, err)
	}
	j.failed, j.mistaken, j.missing = j.Combinations, j.Combinations, j.Combinations
	return j, nil
}

// NoValue is the error of a job of which no combination has a value.
type NoValue struct {
	Model  string
	Reason string // of the first combination; it begins with an input's name where the input is what is wrong
}

func (e NoValue) Error() string { return e.Model + " has no value here: " + e.Reason }

// newWorker makes a worker; the error says what the model needs and isn't given.
func (j *Job) newWorker() (*worker, error) {
	w := &worker{job: j, in: reflect.New(j.m.Input), out: reflect.New(j.m.Result), outlet: &outlet{}}
	b := &Binder{Uses: j.m.Uses, Optional: j.m.Optional}
	err := b.Bind(w.in.Interface(), j.in)
	w.leaves = b.Leaves
	w.outlet.gather(w.out.Elem(), nil, nil)
	return w, err
}

// Numbers is how many numbers the results have, lists and changed vehicles aside.
func (j *Job) Numbers() int { return j.Combinations * len(j.first.outlet.columns) }

// Options say how a Job is run.
type Options struct {
	Workers int           // on this many goroutines; GOMAXPROCS when 0
	Time    time.Duration // the most of the processor's time that it may take
	Cache   *Cache        // of model runs; nil: none

	// Hurry, unless it is zero, is how long the job may take before it is left for later: a job that the cache doesn't
	// know, and one at once that took longer at this Place the last time.
	Hurry time.Duration
	Place string
}

// ErrLater means that a job in a hurry was left for later.
var ErrLater = errors.New("this is left for later")

// ErrTime means that a job would have taken more time than it may.
var ErrTime = errors.New("this takes too long")

// Run works through all combinations, or takes the outcome from the cache. The error is the context's or ErrTime, or
// says that no combination has a value.
func (j *Job) Run(ctx context.Context, o Options) error {
	var key cacheKey
	cache := o.Cache
	if cache != nil {
		key = j.key(j.first.in.Elem(), j.first.leaves)
	}
	if known := cache.get(key); known != nil {
		j.outcome = known.outcome.(outcome)
	} else if cache.slow(o.Place, o.Hurry) {
		return ErrLater
	} else {
		hurried := o.Hurry > 0 && o.Hurry < o.Time
		if hurried {
			o.Time = o.Hurry
		}
		j.run(ctx, o)
		if err := ctx.Err(); err != nil {
			return err
		}
		cache.note(o.Place, j.Spent)
		if j.Spent > o.Time && hurried {
			return ErrLater
		}
		if j.Spent > o.Time {
			return ErrTime
		}
		if j.mistake != "" {
			return fmt.Errorf("%s has no number for %s, and doesn't say that it may be absent: this is a mistake in the program, not in the notebook", j.m.Name, j.mistake)
		}
		j.explain()
		j.settle()
		j.remember(cache, key)
	}
	if j.failures == j.Combinations {
		return NoValue{j.m.Name, j.reason}
	}
	return nil
}

// run works through all combinations with the first worker and as many more as are worth it.
func (j *Job) run(ctx context.Context, o Options) {
	workers := o.Workers
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	workers = max(min(workers, j.Combinations/worth), 1)
	size := max(min(chunk, j.Combinations/(workers*turns)), 1)
	j.makeRoom()
	var next, spent atomic.Int64
	var wait sync.WaitGroup
	for k := range workers {
		wait.Go(func() {
			w := j.first
			if k > 0 {
				w, _ = j.newWorker()
			}
			runtime.LockOSThread() // clock reads the time of the thread
			defer runtime.UnlockOSThread()
			for before := clock(); ctx.Err() == nil && time.Duration(spent.Load()) <= o.Time; {
				from := int(next.Add(int64(size))) - size
				if from >= j.Combinations {
					return
				}
				w.stretch(from, min(from+size, j.Combinations))
				now := clock()
				spent.Add(int64(now - before))
				before = now
			}
		})
	}
	wait.Wait()
	j.Spent = time.Duration(spent.Load())
}

// makeRoom prepares for the results of all combinations.
func (j *Job) makeRoom() {
	if len(j.first.outlet.vehicle) > 0 {
		j.changeable = changeableLeaves(j.m)
		j.mirrored = map[string][]bool{}
		for _, v := range j.first.outlet.vehicle {
			j.mirrored[v.name] = make([]bool, j.Combinations)
		}
	}
	for _, c := range j.first.outlet.columns {
		if c.slice {
			j.length = -1 // until the first list is there
			continue
		}
		c.nums = make([]float64, j.Combinations)
		if c.kind == value.Words {
			c.words = make([]string, j.Combinations)
		}
	}
	j.columns = j.first.outlet.columns
}

// stretch runs the combinations from one up to another.
func (w *worker) stretch(from, to int) {
	if w.walk == nil {
		w.walk, _ = value.NewWalk(w.job.axes, w.job.arrays...)
	}
	w.walk.Seek(from)
	for i := from; i < to; i++ {
		w.one(i)
		w.walk.Next()
	}
}

// one runs combination i.
func (w *worker) one(i int) {
	for k, l := range w.leaves {
		at := w.walk.Pos[k]
		if l.From.Absent(at) {
			w.fail(i, l.From.Reason())
			return
		}
		l.Put(l.From, at)
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
	for _, c := range w.outlet.columns {
		if c.lacking() {
			w.job.mistakeAt(i, strings.Join(c.path, "."))
			break
		}
	}
	for _, v := range w.outlet.vehicle {
		w.compare(i, v)
	}
}

// lacking tells whether an output that must be a number isn't one.
func (c *column) lacking() bool {
	if c.field.Absent != "" {
		return false
	}
	switch p := c.from.(type) {
	case *float64:
		return !finite(*p)
	case *[]float64:
		return slices.ContainsFunc(*p, func(x float64) bool { return !finite(x) })
	}
	return false
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// mistakeAt notes an output that is no number at a combination.
func (j *Job) mistakeAt(i int, output string) {
	j.mu.Lock()
	defer j.mu.Unlock()
	if i < j.mistaken {
		j.mistaken, j.mistake = i, output
	}
}

// store keeps combination i of an output, which a worker's own column holds.
func (c *column) store(j *Job, i int, worker *column) {
	switch p := worker.from.(type) {
	case *string:
		c.words[i] = *p
	case *bool:
		if *p {
			c.nums[i] = 1
		}
	case *float64:
		if c.nums[i] = *p; math.IsInf(*p, 0) {
			c.nums[i] = math.NaN()
		}
	case *[]float64:
		c.storeList(j, i, *p, nil)
	case *[]string:
		c.storeList(j, i, make([]float64, len(*p)), *p)
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
	for _, v := range j.first.outlet.vehicle {
		j.gone(v.name, i)
	}
}

// storeList keeps a list output: numbers, or texts, which are the same for all combinations and have no numbers. All
// combinations of one model have lists of one length.
func (c *column) storeList(j *Job, i int, xs []float64, texts []string) {
	j.mu.Lock()
	defer j.mu.Unlock()
	if j.length < 0 {
		j.length = len(xs)
	}
	if c.nums == nil {
		if j.Combinations > value.MaxElements/max(j.length, 1) {
			return // Record leaves it out
		}
		c.nums = make([]float64, j.Combinations*j.length)
		for k := range c.nums {
			c.nums[k] = math.NaN()
		}
	}
	if len(xs) != j.length {
		return // stays absent
	}
	copy(c.nums[i*j.length:], xs)
	c.words = texts
}
