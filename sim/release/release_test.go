package release

import (
	"bufio"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"turnplate/sim/tyre"
)

// table is testdata/reference/release.csv: histories by scipy (DOP853, rtol 1e-11) made by release.py beside it.
type table struct {
	values map[string]float64
	rows   map[string][]row
}

type row struct {
	t     float64
	state State
}

func readTable(t testing.TB) table {
	f, err := os.Open("../../testdata/reference/release.csv")
	require.NoError(t, err)
	defer f.Close()
	tab := table{map[string]float64{}, map[string][]row{}}
	for lines := bufio.NewScanner(f); lines.Scan(); {
		line := lines.Text()
		if rest, ok := strings.CutPrefix(line, "# "); ok {
			if name, value, ok := strings.Cut(rest, " "); ok {
				if x, err := strconv.ParseFloat(value, 64); err == nil {
					tab.values[name] = x
				}
			}
			continue
		}
		part := strings.Split(line, ",")
		x := make([]float64, 7)
		if part[0] == "case" {
			continue
		}
		for i := range x {
			x[i], err = strconv.ParseFloat(part[i+1], 64)
			require.NoError(t, err)
		}
		tab.rows[part[0]] = append(tab.rows[part[0]], row{x[0], State{x[1], x[2], x[3], x[4], x[5], x[6]}})
	}
	require.Len(t, tab.rows, 5)
	return tab
}

func (tab table) linear() FreeSteer {
	p := tab.values
	return FreeSteer{
		Bicycle: Bicycle{Mass: p["m"], YawInertia: p["iz"], Front: p["a"], Rear: p["b"],
			FrontCornering: p["cf"], RearCornering: p["cr"], Speed: p["v"]},
		FrontRelaxation: p["sf"], RearRelaxation: p["sr"], MechanicalTrail: p["n"], PneumaticTrail: p["t"],
		Inertia: p["inertia"], Damping: p["c"], Stiffness: p["k"],
	}
}

// systemOf is a FreeSteer as a System, q the mean steer angle.
func systemOf(f FreeSteer) System {
	return System{
		Speed: f.Speed, Mass: f.Mass, YawInertia: f.YawInertia, FrontArm: f.Bicycle.Front, RearArm: f.Bicycle.Rear,
		FrontRelaxation: f.FrontRelaxation, RearRelaxation: f.RearRelaxation, Inertia: f.Inertia, Momentum: f.Momentum, Damping: f.Damping,
		Front: func(q, slip, _ float64) Axle {
			force := -f.FrontCornering * slip
			return Axle{Heading: q, Sweep: -f.MechanicalTrail, Lateral: force,
				Steering: -(f.MechanicalTrail+f.PneumaticTrail)*force - f.Stiffness*q}
		},
		Rear: func(slip, _ float64) float64 { return -f.RearCornering * slip },
	}
}

// system is one of the table's cases.
func (tab table) system(name string) System {
	f, p := tab.linear(), tab.values
	s := systemOf(f)
	switch name {
	case "dry":
		s.Friction = 12
	case "sticky":
		s.Friction = 60
	case "brush", "momentum":
		s.Friction, s.Loss = 12, 0.25
		if name == "momentum" {
			s.Momentum = p["j"]
		}
		// One tyre that stands for the axle, at a load where stiffness and patch are the table's own.
		load := p["mu_front"]
		front := tyre.Brush{CorneringStiffness: f.FrontCornering, NominalLoad: load, Friction: 1, PatchLength: 2 * p["half"], PatchLoad: load}
		s.Front = func(q, slip, _ float64) Axle {
			force := front.Force(math.Tan(slip), 0, load)
			return Axle{Heading: q, Sweep: -f.MechanicalTrail, Lateral: force.Lateral,
				Steering: -f.MechanicalTrail*force.Lateral + force.Aligning - f.Stiffness*q}
		}
		s.Rear = func(slip, _ float64) float64 { return tyre.AxleForce(slip, f.RearCornering, p["mu_rear"]) }
	}
	return s
}

func times(rows []row) []float64 {
	list := make([]float64, len(rows))
	for i, r := range rows {
		list[i] = r.t
	}
	return list
}

// historyError is how far a history may lie from scipy's, as a share of each state's largest value; one error a
// step of 1e-6 adds up over a few hundred steps and a few changes between sticking and sliding.
const historyError = 2e-5

func TestHistoriesAgainstScipy(t *testing.T) {
	tab := readTable(t)
	for _, name := range []string{"linear", "dry", "sticky", "brush", "momentum"} {
		rows := tab.rows[name]
		require.Len(t, rows, 101)
		s := tab.system(name)
		got, err := s.Run(rows[0].state, times(rows))
		require.NoError(t, err, name)
		require.Len(t, got, len(rows))
		most, missed := make([]float64, states), make([]float64, states)
		want, have := make([]float64, states), make([]float64, states)
		for i, r := range rows {
			r.state.put(want)
			got[i].State.put(have)
			for j := range states {
				most[j] = math.Max(most[j], math.Abs(want[j]))
				missed[j] = math.Max(missed[j], math.Abs(want[j]-have[j]))
				require.False(t, math.IsNaN(have[j]))
			}
		}
		for j := range states {
			missed[j] /= most[j]
			assert.LessOrEqual(t, missed[j], historyError, "%s: state %d", name, j)
		}
		t.Logf("%-7s largest difference to scipy, as a share of each state's peak: %.1e", name, missed)
	}
}

// The same linear history by gonum's eigenvalues alone: y(t) = e^{At}·y₀ with the exponential by gonum's own method.
func TestLinearHistoryAgainstExponential(t *testing.T) {
	tab := readTable(t)
	rows := tab.rows["linear"]
	s := tab.system("linear")
	got, err := s.Run(rows[0].state, times(rows))
	require.NoError(t, err)
	start := make([]float64, states)
	rows[0].state.put(start)
	for i := 0; i < len(rows); i += 5 {
		var at, e mat.Dense
		at.Scale(rows[i].t, tab.linear().Matrix())
		e.Exp(&at)
		var want mat.VecDense
		want.MulVec(&e, mat.NewVecDense(states, start))
		have := make([]float64, states)
		got[i].State.put(have)
		for j := range states {
			assert.InDelta(t, want.AtVec(j), have[j], 1e-5, "t %g, state %d", rows[i].t, j)
		}
	}
}

func TestLineariseGivesTheMatrix(t *testing.T) {
	tab := readTable(t)
	s := tab.system("linear")
	got, err := s.Linearise(State{Lateral: 0.1, Steer: 0.01})
	require.NoError(t, err)
	want := tab.linear().Matrix()
	for i := range states {
		for j := range states {
			assert.InDelta(t, want.At(i, j), got.At(i, j), 1e-6*math.Max(1, math.Abs(want.At(i, j))), "%d,%d", i, j)
		}
	}
	s = tab.system("brush")
	coupled := tab.linear()
	coupled.Momentum = tab.values["j"]
	full := systemOf(coupled)
	got, err = full.Linearise(State{Lateral: 0.1, Steer: 0.01})
	require.NoError(t, err)
	want = coupled.Matrix()
	for i := range states {
		for j := range states {
			assert.InDelta(t, want.At(i, j), got.At(i, j), 1e-6*math.Max(1, math.Abs(want.At(i, j))), "with yaw momentum, %d,%d", i, j)
		}
	}
	s.Loss = 0
	got, err = s.Linearise(State{})
	require.NoError(t, err)
	assert.InDelta(t, tab.values["n"]+tab.values["half"]/3, got.At(3, 4)*s.Inertia/tab.values["cf"], 1e-6,
		"a brush at zero slip has a third of its half length as trail")
}

// With ever stiffer steering the free motion becomes the held one: two of its modes are the bicycle's. Short
// relaxation lengths take the tyres' lag away as well.
func TestFreeSteerBecomesFixedSteer(t *testing.T) {
	free := readTable(t).linear()
	free.FrontRelaxation, free.RearRelaxation = 1e-4, 1e-4
	want := Eigenvalues(free.Bicycle.Matrix())[0]
	last := math.Inf(1)
	for _, stiffness := range []float64{1e5, 1e6, 1e7, 1e9} {
		free.Stiffness = stiffness
		missed := math.Inf(1)
		for _, value := range Eigenvalues(free.Matrix()) {
			missed = math.Min(missed, math.Hypot(real(value-want), imag(value-want)))
		}
		assert.Less(t, missed, last)
		last = missed
	}
	const lag = 1e-2 // what the remaining 0.1 mm of relaxation leaves, 1/s
	assert.Less(t, last, lag)
}

// Without trail the tyres don't turn the wheels: steering and vehicle part, and the steering's own mode is √(k/I).
func TestNoTrailNoCoupling(t *testing.T) {
	free := readTable(t).linear()
	free.MechanicalTrail, free.PneumaticTrail, free.Damping = 0, 0, 0
	want := math.Sqrt(free.Stiffness / free.Inertia)
	missed := math.Inf(1)
	for _, value := range Eigenvalues(free.Matrix()) {
		missed = math.Min(missed, math.Hypot(real(value), imag(value)-want))
	}
	assert.Less(t, missed, 1e-6)
}

// A mass on a spring with dry friction loses 4·F/k of its swing in every cycle and stops within ±F/k: the classical
// solution (each half swing is a cosine about ±F/k; e.g. Den Hartog, Mechanical Vibrations, from memory).
func TestDryFrictionAmplitude(t *testing.T) {
	const inertia, stiffness, friction, start = 8.0, 800.0, 10.0, 0.1
	s := System{Speed: 20, Mass: 2000, YawInertia: 3000, FrontArm: 1.3, RearArm: 1.4, FrontRelaxation: 0.5, RearRelaxation: 0.5,
		Inertia: inertia, Friction: friction,
		Front: func(q, _, _ float64) Axle { return Axle{Heading: q, Steering: -stiffness * q} },
		Rear:  func(_, _ float64) float64 { return 0 },
	}
	const band = friction / stiffness
	half := math.Pi * math.Sqrt(inertia/stiffness)
	list := []float64{0, half, 2 * half, 3 * half, 4 * half, 10 * half}
	got, err := s.Run(State{Steer: start}, list)
	require.NoError(t, err)
	const swing = 1e-5
	for i, want := range []float64{start, -(start - 2*band), start - 4*band, -(start - 6*band), start - 8*band, start - 8*band} {
		assert.InDelta(t, want, got[i].Steer, swing, "half swing %d", i)
	}
	assert.LessOrEqual(t, math.Abs(got[5].Steer), band)
	assert.Zero(t, got[5].SteerRate, "it truly stops")

	// Inside the band it never starts.
	got, err = s.Run(State{Steer: 0.99 * band}, list)
	require.NoError(t, err)
	for _, x := range got {
		assert.Equal(t, 0.99*band, x.Steer)
	}
	// Just outside it does, and at once stops again.
	got, err = s.Run(State{Steer: 1.01 * band}, list)
	require.NoError(t, err)
	assert.InDelta(t, 0.99*band, got[5].Steer, swing)

	// A lossy gear takes a share of the spring's force on every move, as if the spring were weaker on the way in
	// and stiffer on the way out: (1+loss)·out² = (1−loss)·in² by energy, and each quarter swing has its own period.
	s.Friction, s.Loss = 0, 0.2
	got, err = s.Run(State{Steer: start}, []float64{0, 100 * half})
	require.NoError(t, err)
	assert.Less(t, math.Abs(got[1].Steer), 1e-4)
	quarter := math.Pi / 2 * (math.Sqrt(inertia/(stiffness*0.8)) + math.Sqrt(inertia/(stiffness*1.2)))
	got, err = s.Run(State{Steer: start}, []float64{0, quarter})
	require.NoError(t, err)
	assert.InDelta(t, -start*math.Sqrt(0.8/1.2), got[1].Steer, swing)
}

func TestMirror(t *testing.T) {
	tab := readTable(t)
	for _, name := range []string{"linear", "dry", "sticky", "brush"} {
		s := tab.system(name)
		rows := tab.rows[name]
		start := rows[0].state
		one, err := s.Run(start, times(rows))
		require.NoError(t, err)
		other, err := s.Run(State{-start.Lateral, -start.Yaw, -start.Steer, -start.SteerRate, -start.FrontSlip, -start.RearSlip}, times(rows))
		require.NoError(t, err)
		for i := range one {
			assert.InDelta(t, one[i].Steer, -other[i].Steer, 1e-12)
			assert.InDelta(t, one[i].Acceleration, -other[i].Acceleration, 1e-9)
		}
	}
}

// What the tyres and the spring put into the steering must be found again as motion, damping and friction.
func TestSteeringEnergy(t *testing.T) {
	tab := readTable(t)
	s := tab.system("dry")
	start := tab.rows["dry"][0].state
	list := make([]float64, 4001)
	for i := range list {
		list[i] = 2 * float64(i) / 4000
	}
	got, err := s.Run(start, list)
	require.NoError(t, err)
	given, lost := 0.0, 0.0
	for i := range got[1:] {
		power := func(x Sample) (in, out float64) {
			force := s.Front(x.Steer, x.FrontSlip, 0).Steering
			return force * x.SteerRate, s.Damping*x.SteerRate*x.SteerRate + s.Friction*math.Abs(x.SteerRate)
		}
		in0, out0 := power(got[i])
		in1, out1 := power(got[i+1])
		h := list[i+1] - list[i]
		given, lost = given+h*(in0+in1)/2, lost+h*(out0+out1)/2
	}
	last := got[len(got)-1].SteerRate
	motion := s.Inertia * last * last / 2
	require.Greater(t, given, 1.0)
	assert.InDelta(t, given, lost+motion, 1e-4*given)
}

func TestRefusals(t *testing.T) {
	tab := readTable(t)
	list := []float64{0, 1}
	for _, spoil := range []func(*System){
		func(s *System) { s.Speed = 0 },
		func(s *System) { s.Speed = math.NaN() },
		func(s *System) { s.Mass = 0 },
		func(s *System) { s.Inertia = -1 },
		func(s *System) { s.FrontRelaxation = 0 },
		func(s *System) { s.Friction = -1 },
		func(s *System) { s.Loss = 1.1 },
	} {
		s := tab.system("brush")
		spoil(&s)
		_, err := s.Run(State{}, list)
		assert.Error(t, err)
		_, err = s.Linearise(State{})
		assert.Error(t, err)
	}
	s := tab.system("brush")
	_, err := s.Run(State{Lateral: 30, FrontSlip: 0.9}, list)
	assert.ErrorIs(t, err, ErrBeyond, "past the tyre's range")
	s.Front = func(_, _, _ float64) Axle { return Axle{Steering: math.NaN()} }
	_, err = s.Linearise(State{})
	assert.ErrorIs(t, err, ErrBeyond)
}

func BenchmarkRunFiveSeconds(b *testing.B) {
	tab := readTable(b)
	for _, name := range []string{"linear", "dry", "sticky", "brush"} {
		s, rows := tab.system(name), tab.rows[name]
		list := times(rows)
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := s.Run(rows[0].state, list); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
