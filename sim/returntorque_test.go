package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/agree"
	"turnplate/sim/tyre"
)

func returnTorque(t *testing.T, v Vehicle, speed, turn float64) ReturnTorqueResult {
	t.Helper()
	out, err := ReturnTorque{Vehicle: v, Speed: speed, LateralAcceleration: &turn}.Run()
	require.NoError(t, err, "%g m/s, %g m/s²", speed, turn)
	return out
}

// On centre the torque per lateral acceleration is, in closed form,
//
//	i·(dδ/ds)·[F·(n + a/3)·k_z − 2·ΔW·k_z·(n·tan σ + d·tan τ) + 2·W·g·δ]
//
// with front axle force F, load transfer ΔW, the vertical load's lever straight ahead (k·(r×z), the second term) and
// the centring gradient g = sin σ·(r·sin σ + d·cos σ) − n·sin τ·cos τ per steer angle δ about the axis (third term). Load on a wheel turns it
// towards the vehicle's middle, so what moves to the outer wheel steers further into the turn.
func TestReturnOnCentreAgainstClosedForm(t *testing.T) {
	const closedForm = 0.005 // caster and inclination together bend the gradient in the fourth order
	v := plainTruck()
	for _, speed := range []float64{8, 15, 30} {
		out := returnTorque(t, v, speed, 0.2)
		r, err := newRolling(&v, speed)
		require.NoError(t, err)
		a := r.rest.left
		load := r.weight.front / 2
		trail := a.Trail + tyre.PatchLengthFromDeflection(v.Tyre.Radius, v.Tyre.Radius-v.Tyre.LoadedRadius)/6
		up := 1 / math.Sqrt(1+math.Pow(math.Tan(a.Caster), 2)+math.Pow(math.Tan(a.Inclination), 2))
		rate := r.axle.left.axisRate(&a)
		lever := up * (a.Trail*math.Tan(a.Inclination) + a.ScrubRadius*math.Tan(a.Caster))
		sin, cos := math.Sincos(a.Inclination)
		gradient := sin*(v.Tyre.LoadedRadius*sin+a.ScrubRadius*cos) - a.Trail*math.Sin(a.Caster)*math.Cos(a.Caster)

		// Steer about the axis per acceleration: Ackermann's angle and understeer, per heading; a heading of one
		// is 1/k_z about the axis, near enough.
		front, rear := 2*r.tyre.Cornering(load), v.RearCornering
		perTurn := v.Wheelbase/(speed*speed) + r.weight.mass/v.Wheelbase*(r.weight.rearArm/front-r.weight.frontArm/rear)
		steer := perTurn * r.axle.left.axisRate(&a) / r.axle.left.headingRate(&a)

		want := v.Steering.RackPerTurn / (2 * math.Pi) * rate * (r.frontAsked(1)*trail*up - 2*r.transfer*lever + 2*load*gradient*steer)
		agree.Relative(t, want, out.GradientPerG, closedForm, "gradient per acceleration")
		// A handwheel angle θ moves the rack by i·θ and so the mean heading by i·θ·headingRate.
		perHandwheel := v.Steering.RackPerTurn / (2 * math.Pi) * r.axle.left.headingRate(&a) / perTurn
		agree.Relative(t, want*perHandwheel, out.Gradient, closedForm, "gradient per handwheel angle")
	}
}

// Each wheel's mechanical-trail part is its lateral force times the trail that model Steer gives at that rack, times the
// axis's upward part; the pneumatic one is the brush's own moment.
func TestReturnPartsAgainstSteer(t *testing.T) {
	v := rollingTruck()
	for _, angle := range []float64{-15 * deg, 3 * deg, 20 * deg} {
		out, err := ReturnTorque{Vehicle: v, Speed: 6, Angle: &angle}.Run()
		require.NoError(t, err)
		assert.InDelta(t, angle, out.Angle, 1e-9)
		steer, err := Steer{Vehicle: v, Angle: &angle}.Run()
		require.NoError(t, err)
		back := -math.Copysign(1, angle)
		for _, side := range []struct {
			got    WheelReturn
			of     WheelAlignment
			mirror float64
		}{{out.Left, steer.WheelAlignment, 1}, {out.Right, steer.Right.WheelAlignment, -1}} {
			up := 1 / math.Sqrt(1+math.Pow(math.Tan(side.of.Caster), 2)+math.Pow(math.Tan(side.of.SteeringAxisInclination), 2))
			agree.Relative(t, -back*side.got.LateralForce*side.of.Trail*up, side.got.MechanicalTrail, 1e-9, "mechanical trail")
			brush, err := brushOf(&v.Tyre, (out.Left.WheelLoad+out.Right.WheelLoad)/2)
			require.NoError(t, err)
			force := brush.Force(math.Tan(side.mirror*side.got.SlipAngle), side.of.Camber, side.got.WheelLoad)
			agree.Relative(t, side.mirror*force.Lateral, side.got.LateralForce, 1e-9, "lateral force")
			agree.Relative(t, back*side.mirror*force.Aligning*up, side.got.PneumaticTrail, 1e-9, "pneumatic trail")
			assert.InDelta(t, side.got.MechanicalTrail+side.got.PneumaticTrail+side.got.Jacking+side.got.Traction, side.got.Total, 1e-9)
		}
		// Virtual work from the wheels to the rack, with ParkingEffort's axis rates.
		park, err := ParkingEffort{Vehicle: v, Angle: angle}.Run()
		require.NoError(t, err)
		rack := out.Left.Total*park.AxisRate + out.Right.Total*park.Right.AxisRate
		agree.Relative(t, rack, out.RackForce, 1e-9, "rack force")
	}
}

func TestReturnMirrors(t *testing.T) {
	const same = 1e-6
	for _, v := range []Vehicle{rollingTruck(), unlikeTruck()} {
		one, other := returnTorque(t, v, 15, 2.5), returnTorque(t, mirrored(v), 15, -2.5)
		assert.InDelta(t, one.Total, other.Total, same)
		assert.InDelta(t, one.MechanicalTrail, other.MechanicalTrail, same)
		assert.InDelta(t, one.PneumaticTrail, other.PneumaticTrail, same)
		assert.InDelta(t, one.Jacking, other.Jacking, same)
		assert.InDelta(t, one.HandwheelAngle, -other.HandwheelAngle, same)
		assert.InDelta(t, one.Gradient, other.Gradient, same)
		assert.InDelta(t, one.Left.Total, other.Right.Total, 1e-4)
		assert.InDelta(t, one.Left.LateralForce, -other.Right.LateralForce, 1e-3)
		assert.InDelta(t, one.Left.SlipAngle, -other.Right.SlipAngle, same)
	}
}

func TestReturnFrictionBand(t *testing.T) {
	v := rollingTruck()
	free := returnTorque(t, plainTruck(), 15, 1)
	assert.Zero(t, free.FrictionBand)
	assert.Zero(t, free.HoldAngle, "no friction holds nothing")
	assert.Zero(t, free.Friction)
	assert.InDelta(t, free.MechanicalTrail+free.PneumaticTrail+free.Jacking, free.Total, 1e-12)

	for _, speed := range []float64{8, 15, 30} {
		held := returnTorque(t, v, speed, 0.1)
		require.Positive(t, held.HoldAcceleration)
		inside := returnTorque(t, v, speed, 0.995*held.HoldAcceleration)
		assert.Zero(t, inside.Total, "friction holds just inside")
		assert.Less(t, inside.HandwheelAngle, held.HoldAngle)
		outside := returnTorque(t, v, speed, 1.005*held.HoldAcceleration)
		assert.Positive(t, outside.Total, "and lets go just outside")
		assert.Greater(t, outside.HandwheelAngle, held.HoldAngle)
		// What the gear passes on: ηr of the force, less the band.
		big := returnTorque(t, v, speed, 2)
		sum := big.MechanicalTrail + big.PneumaticTrail + big.Jacking + big.Traction
		agree.Relative(t, 0.8*sum-big.FrictionBand, big.Total, 1e-12, "let go")
		agree.Relative(t, big.Total, sum+big.Friction, 1e-12, "parts add up")
	}
	stiff := v
	stiff.Steering.Friction = 50e3
	out := returnTorque(t, stiff, 15, 2)
	assert.Zero(t, out.Total)
	assert.True(t, math.IsNaN(out.HoldAngle), "friction that's never overcome has no end")
}

func TestReturnHeld(t *testing.T) {
	v := rollingTruck()
	turn := 2.0
	out, err := ReturnTorque{Vehicle: v, Speed: 15, LateralAcceleration: &turn, Held: true}.Run()
	require.NoError(t, err)
	assert.Zero(t, out.Friction)
	assert.InDelta(t, out.MechanicalTrail+out.PneumaticTrail+out.Jacking+out.Traction, out.Total, 1e-12)
	agree.Relative(t, out.Total/5, out.HandwheelTorque, 1e-9, "an assistance of four times the driver's own leaves a fifth")
	v.Steering.AssistCeiling = 100
	out, err = ReturnTorque{Vehicle: v, Speed: 15, LateralAcceleration: &turn, Held: true}.Run()
	require.NoError(t, err)
	agree.Relative(t, out.Total-100*v.Steering.RackPerTurn/(2*math.Pi), out.HandwheelTorque, 1e-9, "past the ceiling the rest is the driver's")
}

// Drive reacted by a level half-shaft acts at the wheel's centre, with a lever d·cos σ + r·sin σ straight ahead; both sides
// cancel at the rack.
func TestReturnTraction(t *testing.T) {
	v := plainTruck()
	v.Front.ShaftInner, v.Front.ShaftOuter = Point{}, Point{}
	turn := 0.0
	out, err := ReturnTorque{Vehicle: v, Speed: 15, LateralAcceleration: &turn, DriveForce: 4000}.Run()
	require.NoError(t, err)
	a, err := Alignment{Vehicle: v}.Run()
	require.NoError(t, err)
	lever := a.ScrubRadius*math.Cos(a.SteeringAxisInclination) + v.Tyre.LoadedRadius*math.Sin(a.SteeringAxisInclination)
	// Each wheel has a quarter; the left one is turned to the right, which is "returning" in a turn of nothing.
	agree.Relative(t, 1000*lever, out.Left.Traction, 0.005, "lever d·cos σ + r·sin σ, caster aside")
	assert.InDelta(t, -out.Left.Traction, out.Right.Traction, 1e-9)
	assert.InDelta(t, 0, out.Traction, 1e-9)
	// In a turn the levers part.
	turn = 3
	out, err = ReturnTorque{Vehicle: v, Speed: 8, LateralAcceleration: &turn, DriveForce: 4000}.Run()
	require.NoError(t, err)
	assert.NotZero(t, out.Traction)
	v.FrontDriveShare = 0
	out, err = ReturnTorque{Vehicle: v, Speed: 8, LateralAcceleration: &turn, DriveForce: 4000}.Run()
	require.NoError(t, err)
	assert.Zero(t, out.Traction, "no drive at the front")
}

// More caster (upper ball joint further back) brings more trail and more return torque: what everyone knows.
func TestReturnRisesWithCaster(t *testing.T) {
	last := 0.0
	for _, shift := range []float64{0, 0.010, 0.020, 0.030} {
		v := plainTruck()
		v.Front.Adjust.UpperShift = shift
		out := returnTorque(t, v, 20, 2)
		assert.Greater(t, out.MechanicalTrail, last)
		last = out.MechanicalTrail
	}
	// Without a trail the lateral force turns nothing about an upright axis through the contact: mechanical part 0.
	v := plainTruck()
	r, err := newRolling(&v, 20)
	require.NoError(t, err)
	w := r.rest
	w.left.Trail = 0
	f, err := r.wheel(&r.axle.left, &w.left, &course{sideways: 0.5})
	require.NoError(t, err)
	assert.Zero(t, f.mechanical)
	assert.NotZero(t, f.lateral)
}

// An oversteering truck past its critical speed can be in a turn, but not held straight: the turn's figures stand, those on
// centre are absent.
func TestReturnOversteer(t *testing.T) {
	v := rollingTruck()
	v.RearCornering, v.FrontShare = 70e3, 0.45
	out := returnTorque(t, v, 35, 1)
	assert.Positive(t, out.RackForce)
	assert.True(t, math.IsNaN(out.Gradient) && math.IsNaN(out.GradientPerG) && math.IsNaN(out.HoldAngle))
	slow := returnTorque(t, v, 8, 1)
	assert.Positive(t, slow.Gradient, "below the critical speed it's held like any other")
}

func TestReturnRefusals(t *testing.T) {
	v := rollingTruck()
	for name, m := range map[string]ReturnTorque{
		"neither":     {Vehicle: v, Speed: 10},
		"both":        {Vehicle: v, Speed: 10, Angle: value(0.1), LateralAcceleration: value(1)},
		"standing":    {Vehicle: v, Angle: value(0.1)},
		"too hard":    {Vehicle: v, Speed: 20, LateralAcceleration: value(9)},
		"too far":     {Vehicle: v, Speed: 5, Angle: value(60 * deg)},
		"no number":   {Vehicle: v, Speed: 5, LateralAcceleration: value(math.NaN())},
		"no vehicle":  {Speed: 5, LateralAcceleration: value(1)},
		"inside lock": {Vehicle: v, Speed: 2, LateralAcceleration: value(3)},
	} {
		out, err := m.Run()
		assert.Error(t, err, name)
		assert.Equal(t, ReturnTorqueResult{}, out, name)
	}
}

// A 60 × 60 map, as a page of contours asks for it.
func BenchmarkReturnTorqueMap60x60(b *testing.B) {
	v := rollingTruck()
	for b.Loop() {
		for i := range 60 {
			for j := range 60 {
				v.Front.Adjust.UpperShift = 0.0005 * float64(i)
				turn := 0.05 * float64(j)
				if _, err := (ReturnTorque{Vehicle: v, Speed: 20, LateralAcceleration: &turn}).Run(); err != nil {
					b.Fatal(err)
				}
			}
		}
	}
}

func BenchmarkReturnTorque(b *testing.B) {
	v, turn := rollingTruck(), 2.0
	for b.Loop() {
		if _, err := (ReturnTorque{Vehicle: v, Speed: 20, LateralAcceleration: &turn}).Run(); err != nil {
			b.Fatal(err)
		}
	}
}
