package release

import (
	"encoding/csv"
	"math"
	"math/cmplx"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"turnplate/sim/agree"
	"turnplate/sim/geom"
)

// numbers reads a table of testdata/reference without its heading.
func numbers(t *testing.T, name string) [][]float64 {
	t.Helper()
	f, err := os.Open("../../testdata/reference/" + name)
	require.NoError(t, err)
	defer f.Close()
	read := csv.NewReader(f)
	read.Comment = '#'
	all, err := read.ReadAll()
	require.NoError(t, err)
	var rows [][]float64
	for _, cells := range all[1:] {
		row := make([]float64, len(cells))
		for i, cell := range cells {
			row[i], err = strconv.ParseFloat(cell, 64)
			require.NoError(t, err)
		}
		rows = append(rows, row)
	}
	return rows
}

func wheelOf(row []float64) SteeredWheel {
	at := func(i int) geom.Point { return geom.Point{X: row[i], Y: row[i+1], Z: row[i+2]} }
	return SteeredWheel{
		Mass: row[0], SteerInertia: row[1], SpinInertia: row[2], Knuckle: row[3],
		FromMass: at(4), Axis: at(7), FromAxis: at(10), Spin: at(13), Up: at(16),
	}
}

// The yaw momentum of 40 steered wheels against Lagrange's equations by sympy (yawmomentum.py), and against the mass
// matrix that a multibody library makes of wheels that don't spin (yawmomentum_simbody.cpp).
func TestYawMomentumAgainstLagrangeAndSimbody(t *testing.T) {
	const twelveDigits = 2e-11 // of the directions written in the table
	lagrange, simbody := numbers(t, "yawmomentum.csv"), numbers(t, "yawmomentum_simbody.csv")
	require.Len(t, lagrange, 40)
	require.Len(t, simbody, 40)
	for i, row := range lagrange {
		w := wheelOf(row)
		agree.Relative(t, row[19], w.YawMomentum(), twelveDigits, "sympy")
		agree.Relative(t, simbody[i][0], w.YawMomentum(), twelveDigits, "Simbody")
		agree.Relative(t, row[20], simbody[i][1], twelveDigits, "both agree on the wheel's own inertia")
		mirrored := w
		for _, p := range []*geom.Point{&mirrored.Axis, &mirrored.Spin, &mirrored.FromAxis, &mirrored.FromMass, &mirrored.Up} {
			p.Y = -p.Y
		}
		agree.Relative(t, w.YawMomentum(), mirrored.YawMomentum(), 1e-13, "the right wheel adds what the left one does")
	}
}

// A wheel on an upright axis through its middle adds its own inertia; set out by ρ it adds m·ρ·y.
func TestYawMomentumOfAnUprightAxis(t *testing.T) {
	up, left := geom.Point{Z: 1}, geom.Point{Y: 1}
	w := SteeredWheel{Mass: 40, SteerInertia: 2, SpinInertia: 3.5, Knuckle: 0.8, Up: up, Axis: up, Spin: left, FromMass: geom.Point{X: 1.4, Y: 0.8}}
	agree.Relative(t, 2.8, w.YawMomentum(), 1e-14, "on its axis")
	w.FromAxis = geom.Point{Y: 0.06}
	agree.Relative(t, 2.8+40*0.06*0.8, w.YawMomentum(), 1e-14, "outboard of it")
}

// base is the vehicle of the table of eigenvalues below: its tyres answer at once, and its trail is all the tyre's.
func base(speed, momentum, handwheel float64) FreeSteer {
	const atOnce = 1e-7 // m
	return FreeSteer{
		Bicycle:         Bicycle{Mass: 2400, YawInertia: 4800, Front: 1.45, Rear: 1.60, FrontCornering: 110e3, RearCornering: 125e3, Speed: speed},
		FrontRelaxation: atOnce, RearRelaxation: atOnce, PneumaticTrail: 0.060,
		Inertia: momentum + handwheel, Momentum: momentum, Damping: 45, Stiffness: 180,
	}
}

// Eigenvalues of the hands-off vehicle with its wheels' yaw momentum 6 kg·m² (12 in the last row), computed by an
// independent script from Lagrange's equations; the two columns differ by the momentum alone.
func TestEigenvaluesWithYawMomentum(t *testing.T) {
	const printed = 1e-5
	for _, row := range []struct {
		speed, momentum, handwheel float64
		coupled, without           [2]complex128
	}{
		{13.8889, 6, 13, [2]complex128{-4.247064 + 5.039319i, -4.621478 + 18.067148i}, [2]complex128{-4.253187 + 5.180202i, -4.590580 + 17.748942i}},
		{22.2222, 6, 13, [2]complex128{-2.599695 + 6.031601i, -3.387407 + 18.192499i}, [2]complex128{-2.598822 + 6.155841i, -3.372620 + 17.870588i}},
		{27.7778, 6, 13, [2]complex128{-2.050823 + 6.240692i, -2.975788 + 18.212674i}, [2]complex128{-2.047462 + 6.362345i, -2.966527 + 17.889752i}},
		{33.3333, 6, 13, [2]complex128{-1.684932 + 6.352474i, -2.701361 + 18.220122i}, [2]complex128{-1.679881 + 6.472868i, -2.695817 + 17.896594i}},
		{27.7778, 12, 7, [2]complex128{-2.053439 + 6.125775i, -2.988394 + 18.535121i}, [2]complex128{-2.047462 + 6.362345i, -2.966527 + 17.889752i}},
	} {
		s := base(row.speed, row.momentum, row.handwheel)
		near := func(want complex128, s FreeSteer) {
			missed := math.Inf(1)
			for _, value := range Eigenvalues(s.Matrix()) {
				missed = math.Min(missed, cmplx.Abs(value-want))
			}
			assert.LessOrEqual(t, missed, printed, "%g m/s: %v", row.speed, want)
		}
		for i := range 2 {
			near(row.coupled[i], s)
			alone := s
			alone.Momentum = 0
			near(row.without[i], alone)
		}
	}
}

// Stiffer and stiffer steering makes of it the vehicle with its wheels held, whatever their momentum.
func TestYawMomentumOfHeldWheelsIsNothing(t *testing.T) {
	s := base(27.7778, 6, 13)
	want := -3.829767 + 2.856622i // by the same script with a large stiffness
	assert.LessOrEqual(t, cmplx.Abs(Eigenvalues(s.Bicycle.Matrix())[0]-want), 5e-5, "the bicycle")
	s.FrontRelaxation, s.RearRelaxation = 1e-6, 1e-6
	for _, stiffness := range []float64{1e6, 1e8} {
		s.Stiffness = stiffness
		missed := math.Inf(1)
		for _, value := range Eigenvalues(s.Matrix()) {
			missed = math.Min(missed, cmplx.Abs(value-want))
		}
		assert.Less(t, missed, 2e6/stiffness, "stiffness %g", stiffness)
	}
}

// Without tyres nothing turns the vehicle from outside: what the steering gains in yaw momentum the body loses, whatever
// spring, damping and friction do between the two, and the whole doesn't move by itself.
func TestYawMomentumIsConserved(t *testing.T) {
	s := systemOf(base(20, 6, 13))
	const stiffness = 900
	s.FrontRelaxation, s.RearRelaxation = 0.5, 0.5
	s.Front = func(q, _, _ float64) Axle { return Axle{Heading: q, Steering: -stiffness * q} }
	s.Rear = func(_, _ float64) float64 { return 0 }
	s.Friction, s.Damping = 15, 20
	s.Momentum = 6
	start := State{Yaw: 0.1, Steer: 0.2, SteerRate: 1.5}
	list := []float64{0, 0.05, 0.1, 0.2, 0.4, 1, 3}
	got, err := s.Run(start, list)
	require.NoError(t, err)
	momentum := func(x State) float64 { return s.YawInertia*x.Yaw + s.Momentum*x.SteerRate }
	for _, x := range got {
		assert.InDelta(t, momentum(start), momentum(x.State), 1e-4*s.Momentum)
	}
	assert.NotEqual(t, start.Yaw, got[1].Yaw, "the body does turn against the wheels")

	still := base(20, 6, 13)
	still.FrontCornering, still.RearCornering, still.Damping, still.Stiffness = 0, 0, 0, 0
	still.FrontRelaxation, still.RearRelaxation = 0.5, 0.5
	for _, value := range Eigenvalues(still.Matrix()) {
		lag := math.Abs(real(value) + 20/0.5) // of the tyres, which push nothing
		assert.Less(t, math.Min(cmplx.Abs(value), lag), 1e-4)
	}
}

// Energy: the undamped steering on its spring with the body keeps ½·Iz·r² + J·r·q̇ + ½·I·q̇² + ½·k·q².
func TestYawMomentumKeepsEnergy(t *testing.T) {
	s := systemOf(base(20, 6, 13))
	const stiffness = 900
	s.FrontRelaxation, s.RearRelaxation, s.Damping, s.Momentum = 0.5, 0.5, 0, 6
	s.Front = func(q, _, _ float64) Axle { return Axle{Heading: q, Steering: -stiffness * q} }
	s.Rear = func(_, _ float64) float64 { return 0 }
	energy := func(x State) float64 {
		return s.YawInertia*x.Yaw*x.Yaw/2 + s.Momentum*x.Yaw*x.SteerRate + s.Inertia*x.SteerRate*x.SteerRate/2 + stiffness*x.Steer*x.Steer/2
	}
	start := State{Steer: 0.2}
	got, err := s.Run(start, []float64{0, 0.1, 0.2, 0.3, 0.5, 1})
	require.NoError(t, err)
	for _, x := range got {
		agree.Relative(t, energy(start), energy(x.State), 1e-4, "energy")
	}
	assert.NotZero(t, got[1].Yaw)
}

// What is left out: a wheel's mass off its axis pushes the body sideways as it turns. With the sideways entries of Simbody's
// mass matrix put in, each swing of a vehicle on such wheels moves by less than a fiftieth of itself.
func TestSidewaysPushOfTheWheelsIsSmall(t *testing.T) {
	const small = 0.02
	rows, wheels := numbers(t, "yawmomentum_simbody.csv"), numbers(t, "yawmomentum.csv")
	for i, row := range rows {
		w := wheelOf(wheels[i])
		s := base(22, 0, 13)
		s.FrontRelaxation, s.RearRelaxation = 0.5, 0.5
		s.Momentum, s.Inertia = 2*w.YawMomentum(), 13+2*row[1]
		a := s.Matrix()
		want := Eigenvalues(a)
		// Forces again from the accelerations, then accelerations with the sideways entry.
		mass := mat.NewDense(3, 3, []float64{s.Mass, 0, 0, 0, s.YawInertia, s.Momentum, 0, s.Momentum, s.Inertia})
		full := mat.DenseCopyOf(mass)
		full.Set(0, 2, 2*row[2])
		full.Set(2, 0, 2*row[2])
		for j := range 6 {
			turning := 0.0
			if j == 1 {
				turning = s.Speed
			}
			var force, rates mat.VecDense
			force.MulVec(mass, mat.NewVecDense(3, []float64{a.At(0, j) + turning, a.At(1, j), a.At(3, j)}))
			require.NoError(t, rates.SolveVec(full, &force))
			a.Set(0, j, rates.AtVec(0)-turning)
			a.Set(1, j, rates.AtVec(1))
			a.Set(3, j, rates.AtVec(2))
		}
		for k, value := range Eigenvalues(a) {
			assert.Less(t, cmplx.Abs(value-want[k]), small*cmplx.Abs(want[k]), "wheel %d, swing %d", i, k)
		}
	}
}

func TestTooMuchYawMomentumIsRefused(t *testing.T) {
	s := readTable(t).system("linear")
	s.Momentum = math.Sqrt(s.YawInertia * s.Inertia)
	_, err := s.Run(State{}, []float64{0, 1})
	assert.ErrorIs(t, err, ErrMomentum)
}
