package sim

import (
	"fmt"
	"math"
	"slices"

	"turnplate/sim/upkeep"
)

func init() { register[Upkeep, UpkeepResult]() }

// Task is one line of a plan of upkeep. It is either done on schedule, every Interval, or it is a part that
// wears out and is replaced when it has: Shape tells which.
type Task struct {
	Name     string   `default:""`                                       // shown in tables
	Interval float64  `unit:"km" us:"mile" must:">0"`                    // on schedule: the distance between; wearing: the life that half of such parts pass at a LoadRatio of 1
	Cost     float64  `unit:"money" default:"0" must:">=0"`              // each time, for one part, work bought in included
	Hours    float64  `unit:"hour" default:"0" must:">=0"`               // each time, for one part, of one's own
	Count    float64  `unit:"1" default:"1" must:">=1 <=100 whole"`      // parts alike, each with its own life
	Shape    *float64 `unit:"1" default:"on schedule" must:">=0.5 <=10"` // Weibull slope of a wearing part's life, 0.5 to 10: 1 pure chance, 1.5 as rolling bearings, 3 and more plain wear
}

// Upkeep gives what a plan of upkeep takes in money and hours over a distance, from new: how often something must be done, what it costs
// and how many hours it takes, with a 95 % band for the luck of the parts.
//
// What is on schedule falls due every Interval, the last one on the distance itself. A wearing part's lives are
// Weibull, each new part starting afresh (a renewal process, worked out on a grid, not by draws), and scaled
// with the load by the life law of ISO 281,
//
//	life = Interval · LoadRatio^−LoadExponent
//
// Exponent 3 is that law's for ball bearings. A ball joint slides: no published law for it was found, and the
// exponent is an analogy. LoadRatio is the load on the parts over the one at which their lives are known: for
// example JointLoads' LowerBall.Magnitude on the new tyre over that on the old.
//
// Parts wear independently, nothing is replaced before it is worn out, prices stay. Good for wearing parts
// replaced up to about twenty times.
type Upkeep struct {
	Plan         []Task  // what is done, a line for each task
	Distance     float64 `unit:"km" us:"mile" must:">0"`   // from new
	LoadRatio    float64 `unit:"1" default:"1" must:">0"`  // load on the wearing parts over the one at which their lives are known
	LoadExponent float64 `unit:"1" default:"3" must:">=0"` // of the life law; 0 leaves the load out
}

// UpkeepResult is the sums over the plan, and each task's in the plan's order. Low and High hold the middle 95 %.
type UpkeepResult struct {
	Events          float64   `unit:"1"`                        // expected number of times something is done
	EventsLow       float64   `unit:"1"`                        // at most one vehicle in forty has fewer
	EventsHigh      float64   `unit:"1"`                        // at most one vehicle in forty has more
	Cost            float64   `unit:"money"`                    // expected
	CostLow         float64   `unit:"money"`                    // at most one vehicle in forty costs less
	CostHigh        float64   `unit:"money"`                    // at most one vehicle in forty costs more
	Hours           float64   `unit:"hour"`                     // expected
	HoursLow        float64   `unit:"hour"`                     // at most one vehicle in forty takes less
	HoursHigh       float64   `unit:"hour"`                     // at most one vehicle in forty takes more
	CostPerDistance float64   `unit:"money/km" us:"money/mile"` // Cost over Distance
	TaskName        []string  // each task's Name, or "task 2" for one without
	TaskEvents      []float64 `unit:"1"`                                             // expected, task by task
	TaskCost        []float64 `unit:"money"`                                         // expected, task by task
	TaskHours       []float64 `unit:"hour"`                                          // expected, task by task
	TenthWorn       []float64 `unit:"km" us:"mile" absent:"the task is on schedule"` // distance by which a tenth of such parts have worn out (L10) under this load; absent on schedule
}

// Run gives the sums.
func (m Upkeep) Run() (UpkeepResult, error) {
	var r UpkeepResult
	if err := checkInputs(&m); err != nil {
		return r, err
	}
	names, err := m.names()
	if err != nil {
		return r, err
	}
	r.TaskName = names
	events, cost, hours := upkeep.Certain(0), upkeep.Certain(0), upkeep.Certain(0)
	for i, task := range m.Plan {
		times, tenth, err := m.times(task)
		if err != nil {
			return UpkeepResult{}, fmt.Errorf("%s: %w", names[i], err)
		}
		events = events.Plus(times)
		cost = cost.Plus(times.Scale(task.Cost))
		hours = hours.Plus(times.Scale(task.Hours))
		mean := times.Mean()
		r.TaskEvents = append(r.TaskEvents, mean)
		r.TaskCost = append(r.TaskCost, mean*task.Cost)
		r.TaskHours = append(r.TaskHours, mean*task.Hours)
		r.TenthWorn = append(r.TenthWorn, tenth)
	}
	r.Events, r.EventsLow, r.EventsHigh = band(events)
	r.Cost, r.CostLow, r.CostHigh = band(cost)
	r.Hours, r.HoursLow, r.HoursHigh = band(hours)
	r.CostPerDistance = r.Cost / m.Distance
	return r, nil
}

// times is how often one task is done, and the distance by which a tenth of its parts have worn out.
func (m Upkeep) times(t Task) (times upkeep.Distribution, tenth float64, err error) {
	if t.Shape == nil {
		return upkeep.Certain(t.Count * upkeep.Scheduled(m.Distance, t.Interval)), math.NaN(), nil
	}
	life := upkeep.LoadLife(t.Interval, m.LoadRatio, m.LoadExponent)
	lives := upkeep.FromMedian(life, *t.Shape)
	if !(m.Distance/lives.Scale <= upkeep.MostScales) {
		return nil, 0, fmt.Errorf("half of these parts last no more than %.4g km under this load, and would be replaced more than %d times: plan that on schedule", life*1e-3, upkeep.MostScales)
	}
	return lives.Renewals(m.Distance).Times(int(t.Count)), lives.Reached(0.9), nil
}

func band(s upkeep.Distribution) (mean, low, high float64) {
	return s.Mean(), s.Quantile(0.025), s.Quantile(0.975)
}

// names are the tasks' names; no two may share one, since results are told apart by them.
func (m Upkeep) names() ([]string, error) {
	var names []string
	for i, task := range m.Plan {
		name := task.Name
		if name == "" {
			name = fmt.Sprintf("task %d", i+1)
		}
		if slices.Contains(names, name) {
			return nil, fmt.Errorf("two tasks of the plan are named %q", name)
		}
		names = append(names, name)
	}
	return names, nil
}
