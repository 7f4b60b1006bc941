package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/agree"
	"turnplate/sim/release"
)

func steerRelease(t *testing.T, v Vehicle, speed, turn float64) SteerReleaseResult {
	t.Helper()
	out, err := SteerRelease{Vehicle: v, Speed: speed, LateralAcceleration: turn}.Run()
	require.NoError(t, err, "%g m/s, %g m/s²", speed, turn)
	return out
}

func TestReleaseShape(t *testing.T) {
	out := steerRelease(t, rollingTruck(), 15, 1.5)
	for _, list := range [][]float64{out.Time, out.HandwheelAngle, out.YawRate, out.LateralAcceleration} {
		require.Len(t, list, 251)
		for _, x := range list {
			require.False(t, math.IsNaN(x))
		}
	}
	assert.Zero(t, out.Time[0])
	assert.Equal(t, 5.0, out.Time[250])
	agree.Relative(t, 1.5, out.LateralAcceleration[0], 1e-6, "the turn let go of")
	agree.Relative(t, 1.5/15, out.YawRate[0], 1e-9, "its yaw rate")
	assert.Equal(t, out.HandwheelAngle[0], out.AngleAtRelease)
	assert.True(t, out.Stable)
}

// With so much friction that nothing moves, the turn goes on as it was: start and equations agree.
func TestReleaseHeldByFrictionGoesOn(t *testing.T) {
	v := rollingTruck()
	v.Steering.Friction = 50e3
	for _, turn := range []float64{-2, 0.5, 4} {
		out := steerRelease(t, v, 20, turn)
		const goesOn = 1e-5
		for _, i := range []int{0, 10, 100, 250} {
			agree.Relative(t, out.HandwheelAngle[0], out.HandwheelAngle[i], 1e-12, "handwheel")
			agree.Relative(t, turn, out.LateralAcceleration[i], goesOn, "lateral acceleration")
			agree.Relative(t, turn/20, out.YawRate[i], goesOn, "yaw rate")
		}
		assert.True(t, math.IsNaN(out.TimeToHalf))
		agree.Relative(t, 1, out.YawRateLeft, goesOn, "yaw rate left")
		assert.Zero(t, out.Overshoot)
	}
}

// The friction band of ReturnTorque and the sticking of SteerRelease are one thing: just inside it the wheel stays, just
// outside it moves.
func TestReleaseAgreesWithReturnTorque(t *testing.T) {
	v := rollingTruck()
	hold := returnTorque(t, v, 20, 1).HoldAcceleration
	inside := steerRelease(t, v, 20, 0.98*hold)
	assert.InDelta(t, inside.AngleAtRelease, inside.AngleLeft, 1e-12)
	outside := steerRelease(t, v, 20, 1.02*hold)
	assert.Less(t, outside.AngleLeft, outside.AngleAtRelease)
}

// A small release without friction is the linear system's: gonum's eigenvalues of the model give the frequency and decay
// that are read off the history.
func TestReleaseAgainstEigenvalues(t *testing.T) {
	v := plainTruck()
	v.Steering.Damping = 2000 // little, so that one swing outlives all else
	out := steerRelease(t, v, 12, 0.05)
	// The last swings: zero crossings and peaks.
	var crossings, peaks []float64
	for i := 1; i < len(out.Time)-1; i++ {
		a, b := out.HandwheelAngle[i-1], out.HandwheelAngle[i]
		if (a < 0) != (b < 0) {
			crossings = append(crossings, out.Time[i-1]+0.02*a/(a-b))
		}
		if c := out.HandwheelAngle[i+1]; math.Abs(b) > math.Abs(a) && math.Abs(b) >= math.Abs(c) {
			// The peak's height by a parabola through three samples.
			peaks = append(peaks, math.Abs(b-(c-a)*(c-a)/(8*(a-2*b+c))))
		}
	}
	require.Greater(t, len(crossings), 6)
	require.Greater(t, len(peaks), 6)
	n := len(crossings)
	half := (crossings[n-1] - crossings[n-5]) / 4
	damped := out.Frequency * math.Sqrt(1-out.DampingRatio*out.DampingRatio)
	const reading = 0.01 // of figures read off samples 20 ms apart
	agree.Relative(t, 1/(2*damped), half, reading, "half a swing")
	m := len(peaks)
	decay := math.Log(peaks[m-5]/peaks[m-1]) / 4
	agree.Relative(t, math.Pi*out.DampingRatio/math.Sqrt(1-out.DampingRatio*out.DampingRatio), decay, 0.03, "decay per half swing")
}

// The model's linear system against the bicycle with its steering let go, which package release's tests check against
// scipy: parameters read off the geometry at rest, per mean road-wheel angle.
func TestReleaseLinearAgainstBicycle(t *testing.T) {
	v := plainTruck()
	v.Steering.HandwheelInertia, v.FrontRollShare = 0.03, 0 // no load transfer: the bicycle has none
	r, err := newRolling(&v, 18)
	require.NoError(t, err)
	system, err := r.freeSteer(&v)
	require.NoError(t, err)
	matrix, err := system.Linearise(release.State{})
	require.NoError(t, err)
	got := release.Eigenvalues(matrix)

	a := r.rest.left
	up := a.pose.Axis.Z
	perRack, rate := r.axle.left.headingRate(&a), r.axle.left.axisRate(&a)
	load := r.weight.front / 2
	// Torque on the mean heading by virtual work: about the axis, times dδ/d(heading).
	lever := up * rate / perRack
	jack := func(rack float64) float64 {
		w, err := r.axle.steered(&r.rest, rack)
		require.NoError(t, err)
		return load * (r.axle.left.jackRate(&w.left)*r.axle.left.axisRate(&w.left) + r.axle.right.jackRate(&w.right)*r.axle.right.axisRate(&w.right))
	}
	const step = 1e-4
	trail, pneumatic := a.Trail*lever, r.tyre.PatchLength/6*lever
	cornering, stiffness := 2*r.tyre.Cornering(load), (jack(step)-jack(-step))/(2*step)/(perRack*perRack)
	bicycle := release.System{
		Speed: 18, Mass: r.weight.mass, YawInertia: v.YawInertia, FrontArm: r.weight.frontArm, RearArm: r.weight.rearArm,
		FrontRelaxation: 0.5, RearRelaxation: 0.5,
		Inertia: system.Inertia / (perRack * perRack), Momentum: system.Momentum / perRack, Damping: v.Steering.Damping / (perRack * perRack),
		Front: func(heading, slip, _ float64) release.Axle {
			force := -cornering * slip
			return release.Axle{Heading: heading, Sweep: -trail, Lateral: force, Steering: -(trail+pneumatic)*force - stiffness*heading}
		},
		Rear: func(slip, _ float64) float64 { return -v.RearCornering * slip },
	}
	linear, err := bicycle.Linearise(release.State{})
	require.NoError(t, err)
	want := release.Eigenvalues(linear)
	const contactOffAxle = 2e-3 // the contacts stand a few millimetres off the axle's middle
	for i := range want {
		size := math.Hypot(real(want[i]), imag(want[i]))
		assert.InDelta(t, real(want[i]), real(got[i]), contactOffAxle*size, "eigenvalue %d", i)
		assert.InDelta(t, imag(want[i]), imag(got[i]), contactOffAxle*size, "eigenvalue %d", i)
	}
}

// The yaw momentum of both wheels again from where they are a little later, by differences of their poses alone: the places
// of their centres, and how far each knuckle has turned.
func TestYawMomentumFromPoses(t *testing.T) {
	for _, v := range []Vehicle{rollingTruck(), unlikeTruck()} {
		v.Tyre.OffsetChange, v.Front.Lift, v.RearLift = -0.03, 0.03, 0.03
		if v.Right != nil {
			v.Right.Lift = 0.03 // no pitch
		}
		r, err := newRolling(&v, 20)
		require.NoError(t, err)
		system, err := r.freeSteer(&v)
		require.NoError(t, err)
		const step = 1e-5
		left, err := r.axle.steered(&r.rest, step)
		require.NoError(t, err)
		right, err := r.axle.steered(&r.rest, -step)
		require.NoError(t, err)
		want := 0.0
		for _, side := range []struct {
			k              *corner
			rest, one, two *stance
		}{
			{&r.axle.left, &r.rest.left, &left.left, &right.left},
			{&r.axle.right, &r.rest.right, &left.right, &right.right},
		} {
			// A mirrored wheel's places, and turns about the vertical, change sign with it.
			moved := side.one.Centre.Sub(side.two.Centre).Scale(1 / (2 * step))
			from := side.rest.Centre.Add(Point{X: r.weight.frontArm})
			want += side.k.mirror * 36 * from.Cross(moved).Z
			// The knuckle's angular velocity from three of its directions: ω = ½·Σ e×ė.
			var turning Point
			for _, e := range []Point{{X: 1}, {Y: 1}, {Z: 1}} {
				at := side.rest.pose.KnuckleDirection(e)
				rate := side.one.pose.KnuckleDirection(e).Sub(side.two.pose.KnuckleDirection(e)).Scale(1 / (2 * step))
				turning = turning.Add(at.Cross(rate).Scale(0.5))
			}
			spin := side.rest.pose.Spin
			momentum := turning.Scale(1.6 + 0.7).Add(spin.Scale((2.6 + 0.35 - 1.6) * turning.Dot(spin)))
			want += side.k.mirror * momentum.Z
		}
		agree.Relative(t, want, system.Momentum, 1e-6, "yaw momentum per rack speed")
	}
}

// On a lightly damped truck with heavy wheels set out, the wheels' yaw momentum takes a good part of the damping away; counted
// in one of the two equations alone it would give other figures.
func TestYawMomentumTakesDamping(t *testing.T) {
	v := rollingTruck()
	v.Tyre.Mass, v.Tyre.SteerInertia, v.Tyre.Inertia, v.Tyre.OffsetChange = 36, 2.6, 4.4, -0.04
	v.Steering.Damping, v.Steering.HandwheelInertia = 4000, 0.03
	r, err := newRolling(&v, 60/3.6)
	require.NoError(t, err)
	system, err := r.freeSteer(&v)
	require.NoError(t, err)
	damping := func(s release.System) float64 {
		a, err := s.Linearise(release.State{})
		require.NoError(t, err)
		mode, swings := release.LeastDamped(release.Eigenvalues(a))
		require.True(t, swings)
		return mode.DampingRatio
	}
	with := damping(system)
	alone := system
	alone.Momentum = 0
	without := damping(alone)
	t.Logf("damping ratio %.3f with the wheels' yaw momentum, %.3f without", with, without)
	assert.Less(t, with, 0.9*without)
	out := steerRelease(t, v, 60/3.6, 1)
	agree.Relative(t, with, out.DampingRatio, 1e-9, "the model's own")
}

func TestReleaseMirrors(t *testing.T) {
	for _, v := range []Vehicle{rollingTruck(), unlikeTruck()} {
		one, other := steerRelease(t, v, 15, 2), steerRelease(t, mirrored(v), 15, -2)
		for i := range one.Time {
			assert.InDelta(t, one.HandwheelAngle[i], -other.HandwheelAngle[i], 1e-5)
			assert.InDelta(t, one.YawRate[i], -other.YawRate[i], 1e-6)
		}
		assert.InDelta(t, one.Overshoot, other.Overshoot, 1e-4)
		assert.InDelta(t, one.AngleLeft, other.AngleLeft, 1e-5)
	}
}

// More friction leaves more over; more damping swings less past; a heavier, further-out wheel is slower to come back.
func TestReleaseTrends(t *testing.T) {
	base := rollingTruck()
	base.Steering.Friction, base.Steering.KingpinFriction = 60, 0
	rough := base
	rough.Steering.Friction = 400
	assert.Greater(t, math.Abs(steerRelease(t, rough, 15, 1).AngleLeft), math.Abs(steerRelease(t, base, 15, 1).AngleLeft))

	damped := base
	damped.Steering.Damping = 20e3
	assert.Less(t, steerRelease(t, damped, 15, 1.5).Overshoot, steerRelease(t, base, 15, 1.5).Overshoot)

	heavy := base
	heavy.Tyre.OffsetChange, heavy.Tyre.SteerInertia = -0.04, 3
	light := steerRelease(t, base, 15, 1.5)
	slow := steerRelease(t, heavy, 15, 1.5)
	assert.Greater(t, slow.SteeringInertia, light.SteeringInertia)

	undamped := base
	undamped.Steering.Damping = 0
	assert.Less(t, steerRelease(t, undamped, 8, 1).DampingRatio, light.DampingRatio)
}

func TestReleaseRefusals(t *testing.T) {
	v := rollingTruck()
	for name, m := range map[string]SteerRelease{
		"standing":       {Vehicle: v, LateralAcceleration: 2},
		"no turn":        {Vehicle: v, Speed: 20},
		"past the tyres": {Vehicle: v, Speed: 20, LateralAcceleration: 9},
		"inside lock":    {Vehicle: v, Speed: 2, LateralAcceleration: 3},
		"no number":      {Vehicle: v, Speed: 20, LateralAcceleration: math.NaN()},
	} {
		_, err := m.Run()
		assert.Error(t, err, name)
	}
	for name, spoil := range map[string]func(*Vehicle){
		"YawInertia":            func(v *Vehicle) { v.YawInertia = 0 },
		"Tyre.RelaxationLength": func(v *Vehicle) { v.Tyre.RelaxationLength = -1 },
		"Tyre.SteerInertia":     func(v *Vehicle) { v.Tyre.SteerInertia = 0 },
		"Steering.Damping":      func(v *Vehicle) { v.Steering.Damping = -1 },
	} {
		v := rollingTruck()
		spoil(&v)
		_, err := SteerRelease{Vehicle: v, Speed: 20, LateralAcceleration: 1}.Run()
		if assert.Error(t, err, name) {
			assert.Contains(t, err.Error(), name)
		}
	}
}

func TestSwivelInertia(t *testing.T) {
	v := plainTruck()
	r, err := newRolling(&v, 10)
	require.NoError(t, err)
	got, err := swivelInertia(&v, &r.axle.left, &r.rest.left)
	require.NoError(t, err)
	s := r.rest.left
	// Steiner about the axis: the wheel centre's distance is the spindle length seen square to the leaning axis.
	lever := s.SpindleLength * math.Cos(math.Atan(math.Tan(s.Inclination)*math.Cos(s.Caster)))
	lean := math.Sin(s.Inclination)
	want := v.Steering.KnuckleInertia + 1.6*(1-lean*lean) + (2.6+0.35)*lean*lean + 36*lever*lever
	agree.Relative(t, want, got, 0.02, "sum of parts")
	v.Tyre.OffsetChange = -0.05
	r, err = newRolling(&v, 10)
	require.NoError(t, err)
	out, err := swivelInertia(&v, &r.axle.left, &r.rest.left)
	require.NoError(t, err)
	assert.Greater(t, out, got, "a wheel further out is harder to swing")
}

func BenchmarkSteerRelease(b *testing.B) {
	v := rollingTruck()
	for b.Loop() {
		if _, err := (SteerRelease{Vehicle: v, Speed: 20, LateralAcceleration: 3}).Run(); err != nil {
			b.Fatal(err)
		}
	}
}
