package sim

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/agree"
	"turnplate/sim/unit"
)

const (
	km   = 1000.0 // m
	hour = 3600.0 // s
)

func onSchedule(name string, every, cost, hours float64) Task {
	return Task{Name: name, Interval: every * km, Cost: cost, Hours: hours * hour, Count: 1}
}

func wearing(name string, life, shape, cost, hours, count float64) Task {
	return Task{Name: name, Interval: life * km, Cost: cost, Hours: hours * hour, Count: count, Shape: &shape}
}

func TestUpkeepScheduleByHand(t *testing.T) {
	r, err := Upkeep{Distance: 100000 * km, LoadRatio: 1.3, LoadExponent: 3, Plan: []Task{
		onSchedule("grease", 5000, 2, 0.25), onSchedule("align", 20000, 90, 1),
	}}.Run()
	require.NoError(t, err)
	assert.Equal(t, []float64{20, 5}, r.TaskEvents)
	assert.Equal(t, []float64{40, 450}, r.TaskCost)
	assert.Equal(t, []float64{5 * hour, 5 * hour}, r.TaskHours)
	assert.Equal(t, [3]float64{25, 25, 25}, [3]float64{r.Events, r.EventsLow, r.EventsHigh}, "nothing is left to luck")
	assert.Equal(t, [3]float64{490, 490, 490}, [3]float64{r.Cost, r.CostLow, r.CostHigh})
	assert.Equal(t, 10*hour, r.Hours)
	agree.Relative(t, 490.0/100000, r.CostPerDistance*km, byHand, "cost per km")
	assert.True(t, math.IsNaN(r.TenthWorn[0]) && math.IsNaN(r.TenthWorn[1]))
	metre, err := unit.Parse("money/km")
	require.NoError(t, err)
	agree.Relative(t, 0.0049, r.CostPerDistance/metre.SI, byHand, "in the unit shown")
}

// Against a simulation with its own random draws: each part lives its drawn life, is replaced, and so on.
func TestUpkeepAgainstSimulation(t *testing.T) {
	m := Upkeep{Distance: 150000 * km, LoadRatio: 1.2, LoadExponent: 3, Plan: []Task{
		onSchedule("grease", 10000, 3, 0.3),
		wearing("replace ball joint", 120000, 2.2, 140, 1.5, 2),
		wearing("replace bushing", 60000, 3.5, 35, 1, 1),
	}}
	r, err := m.Run()
	require.NoError(t, err)

	const draws = 40000
	random := rand.New(rand.NewPCG(281, 1990))
	cost, events := make([]float64, draws), make([]float64, draws)
	perTask := make([]float64, 3)
	for i := range draws {
		cost[i], events[i] = 15*3, 15
		for j, task := range m.Plan[1:] {
			scale := task.Interval / math.Pow(1.2, 3) / math.Pow(math.Ln2, 1 / *task.Shape)
			for range int(task.Count) {
				at := scale * math.Pow(-math.Log(1-random.Float64()), 1 / *task.Shape)
				for at <= m.Distance {
					cost[i] += task.Cost
					events[i]++
					perTask[j+1]++
					at += scale * math.Pow(-math.Log(1-random.Float64()), 1 / *task.Shape)
				}
			}
		}
	}
	mean, variance := 0.0, 0.0
	for _, c := range cost {
		mean += c / draws
	}
	for _, c := range cost {
		variance += (c - mean) * (c - mean) / draws
	}
	sampling := 4 * math.Sqrt(variance/draws) // four standard errors
	agree.Absolute(t, mean, r.Cost, sampling+5e-4*mean, "mean cost")
	agree.Absolute(t, perTask[1]/draws, r.TaskEvents[1], 0.02, "ball joints")
	agree.Absolute(t, perTask[2]/draws, r.TaskEvents[2], 0.02, "bushings")
	slices.Sort(cost)
	slices.Sort(events)
	// The costs lie on a lattice; each end of the band must have its share of draws beyond it, no more.
	for _, end := range []struct {
		sorted    []float64
		low, high float64
	}{{cost, r.CostLow, r.CostHigh}, {events, r.EventsLow, r.EventsHigh}} {
		below, _ := slices.BinarySearch(end.sorted, end.low-1e-6)
		upTo, _ := slices.BinarySearch(end.sorted, end.high+1e-6)
		assert.LessOrEqual(t, float64(below)/draws, 0.025+0.004)
		assert.LessOrEqual(t, 1-float64(upTo)/draws, 0.025+0.004)
		assert.Greater(t, float64(upTo-below)/draws, 0.95-0.004)
		assert.Less(t, end.low, end.high)
	}
}

// ISO 281's law with exponent 3: a fifth more load leaves 1/1.728 of the life (worked number), and L10 lies
// below the median as the Weibull slope says (L50/L10 = 3.511 at 1.5).
func TestUpkeepLoadShortensLife(t *testing.T) {
	plan := []Task{wearing("ball joint", 100000, 1.5, 100, 1, 1)}
	base, err := Upkeep{Distance: 50000 * km, LoadRatio: 1, LoadExponent: 3, Plan: plan}.Run()
	require.NoError(t, err)
	loaded, err := Upkeep{Distance: 50000 * km, LoadRatio: 1.2, LoadExponent: 3, Plan: plan}.Run()
	require.NoError(t, err)
	agree.Relative(t, 1/1.728, loaded.TenthWorn[0]/base.TenthWorn[0], byHand, "life under load")
	agree.Relative(t, 1/3.511, base.TenthWorn[0]/(100000*km), 2e-4, "L10 over the median")
	assert.Greater(t, loaded.Cost, base.Cost)
	// The life law and the distance are one scale: less life is as good as more distance.
	further, err := Upkeep{Distance: 50000 * 1.728 * km, LoadRatio: 1, LoadExponent: 3, Plan: plan}.Run()
	require.NoError(t, err)
	agree.Relative(t, further.Events, loaded.Events, 1e-9, "events")
	flat, err := Upkeep{Distance: 50000 * km, LoadRatio: 1.2, LoadExponent: 0, Plan: plan}.Run()
	require.NoError(t, err)
	assert.Equal(t, base, flat, "no exponent, no effect")
}

func TestUpkeepIsRepeatable(t *testing.T) {
	m := Upkeep{Distance: 200000 * km, LoadRatio: 1.1, LoadExponent: 3, Plan: []Task{wearing("a", 50000, 2, 10, 1, 2), onSchedule("b", 7000, 1, 0.1)}}
	first, err := m.Run()
	require.NoError(t, err)
	second, err := m.Run()
	require.NoError(t, err)
	first.TenthWorn, second.TenthWorn = first.TenthWorn[:1], second.TenthWorn[:1] // the other is absent, which equals nothing
	assert.Equal(t, first, second)
}

func TestUpkeepRefusals(t *testing.T) {
	for _, c := range []struct {
		spoil func(*Upkeep)
		says  string
	}{
		{func(m *Upkeep) { m.Plan[1].Interval = -5000 * km }, `Plan[2].Interval of -5000 km must be above zero`},
		{func(m *Upkeep) { m.Plan[0].Interval = 0 }, `Plan[1].Interval of 0 km must be above zero`},
		{func(m *Upkeep) { m.Plan[0].Cost = -1 }, `Plan[1].Cost of -1 money must not be below zero`},
		{func(m *Upkeep) { m.Plan[0].Hours = math.NaN() }, "Hours"},
		{func(m *Upkeep) { m.Plan[0].Count = 1.5 }, "Count of 1.5 must be a whole number from 1 to 100"},
		{func(m *Upkeep) { m.Plan[0].Count = 1000 }, "Count of 1000 must be a whole number from 1 to 100"},
		{func(m *Upkeep) { m.Plan[1].Shape = ptr(0.2) }, "Shape of 0.2 must lie from 0.5 to 10"},
		{func(m *Upkeep) { m.Plan[1].Shape = ptr(math.NaN()) }, "Shape"},
		{func(m *Upkeep) { m.Plan[1].Interval = 100 * km }, "would be replaced more than 20 times"},
		{func(m *Upkeep) { m.Plan[1].Name = ""; m.Plan[1].Cost = -1 }, "Plan[2].Cost"},
		{func(m *Upkeep) { m.Plan[1].Name = "grease" }, `two tasks of the plan are named "grease"`},
		{func(m *Upkeep) { m.Plan = nil }, "Plan isn't given"},
		{func(m *Upkeep) { m.Distance = -1 }, "Distance"},
		{func(m *Upkeep) { m.LoadRatio = -2 }, "LoadRatio"},
		{func(m *Upkeep) { m.LoadExponent = -1 }, "LoadExponent"},
	} {
		m := Upkeep{Distance: 100000 * km, LoadRatio: 1, LoadExponent: 3, Plan: []Task{onSchedule("grease", 5000, 2, 0.25), wearing("replace", 80000, 2, 150, 2, 1)}}
		c.spoil(&m)
		_, err := m.Run()
		if assert.Error(t, err, c.says) {
			assert.Contains(t, spaces(err.Error()), c.says)
		}
	}
}

func BenchmarkUpkeep(b *testing.B) {
	m := Upkeep{Distance: 150000 * km, LoadRatio: 1.1, LoadExponent: 3, Plan: []Task{
		onSchedule("grease", 5000, 2, 0.25), onSchedule("inspect", 10000, 0, 0.5), onSchedule("align", 20000, 90, 0.5),
		wearing("ball joint", 120000, 2.2, 140, 1.5, 2), wearing("bushing", 100000, 3, 40, 1, 4),
	}}
	for b.Loop() {
		if _, err := m.Run(); err != nil {
			b.Fatal(err)
		}
	}
}
