package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/agree"
	"turnplate/sim/unit"
)

func pull(t *testing.T, v Vehicle, crown float64) PullResult {
	t.Helper()
	out, err := Pull{Vehicle: v, RoadCrown: crown, Speed: 25}.Run()
	require.NoError(t, err)
	return out
}

func TestPullNothingOnALevelRoadWithLikeSides(t *testing.T) {
	out := pull(t, rollingTruck(), 0)
	const nothing = 1e-6
	assert.InDelta(t, 0, out.HandwheelTorque, nothing)
	assert.InDelta(t, 0, out.HandwheelAngle, nothing)
	assert.InDelta(t, 0, out.CrabAngle, nothing)
	assert.True(t, out.StaysStraight)
	assert.Zero(t, out.Drift)
}

// On a road that falls to the right the tyres must push left; behind the axis that turns the wheels right, so the
// driver holds left.
func TestPullDownTheCrown(t *testing.T) {
	v := plainTruck()
	out := pull(t, v, 0.02)
	assert.Positive(t, out.HandwheelTorque)
	assert.Positive(t, out.MechanicalTrail)
	assert.Positive(t, out.PneumaticTrail)
	assert.Positive(t, out.CrabAngle, "the nose points up the slope")
	assert.False(t, out.StaysStraight, "no friction to hold it")
	assert.Negative(t, out.Drift, "hands off it runs down to the right")
	agree.Relative(t, out.MechanicalTrail+out.PneumaticTrail+out.Jacking, out.RackForce*v.Steering.RackPerTurn/(2*math.Pi), 1e-9, "parts add up")
	agree.Relative(t, out.RackForce*v.Steering.RackPerTurn/(2*math.Pi)/5, out.HandwheelTorque, 1e-9, "assistance of four")

	double := pull(t, v, 0.04)
	agree.Relative(t, 2, double.RackForce/out.RackForce, 0.05, "in proportion, nearly")

	// By hand: front weight times slope through trail and pneumatic trail, and the moved load as in ReturnTorque.
	r, err := newRolling(&v, 25)
	require.NoError(t, err)
	down := unit.StandardGravity * math.Sin(math.Atan(0.02))
	a := r.rest.left
	up := a.pose.Axis.Z
	wantTrail := r.frontAsked(down) * a.Trail * up * r.axle.left.axisRate(&a) * v.Steering.RackPerTurn / (2 * math.Pi)
	agree.Relative(t, wantTrail, out.MechanicalTrail, 0.01, "front axle's share of m·g·sin θ times trail")
}

// A vehicle with more caster on the right is the mirror of one with more on the left, and pulls towards the side with less.
func TestPullTowardsLessCaster(t *testing.T) {
	v := plainTruck()
	right := v.Front
	right.Adjust.UpperShift = 0.010
	v.Right = &right
	out := pull(t, v, 0)
	assert.Negative(t, out.CasterDifference, "the right side has more")
	assert.Negative(t, out.HandwheelTorque, "pulls to the left, held to the right")
	assert.Positive(t, out.Drift)
	other := pull(t, mirrored(v), 0)
	assert.InDelta(t, out.HandwheelTorque, -other.HandwheelTorque, 1e-6)
	assert.InDelta(t, out.Drift, -other.Drift, 1e-3)
	assert.InDelta(t, out.HandwheelAngle, -other.HandwheelAngle, 1e-6)

	// Some crown to the right balances it: the torque changes sign between a level road and a steep one.
	assert.Positive(t, pull(t, v, 0.08).HandwheelTorque)
}

// A wheel that leans outward pulls to its side: with thrust through the trail.
func TestPullTowardsMoreCamber(t *testing.T) {
	v := plainTruck()
	v.Tyre.CamberStiffness = 3000
	v.Front.Camber = 1 * deg
	right := v.Front
	right.Camber = 0
	v.Right = &right
	out := pull(t, v, 0)
	assert.Positive(t, out.CamberDifference)
	assert.Positive(t, out.Drift, "drifts to the left, the side with more camber")
	assert.Negative(t, out.HandwheelTorque)
}

func TestPullFrictionHoldsASmallOne(t *testing.T) {
	v := rollingTruck()
	v.Steering.Friction = 400
	out := pull(t, v, 0.01)
	assert.True(t, out.StaysStraight)
	assert.Zero(t, out.Drift)
	assert.NotZero(t, out.HandwheelTorque)
}

// Drift is the circle on which the free steering rests: let go there and it stays.
func TestDriftIsARestOfTheFreeSteering(t *testing.T) {
	v := plainTruck()
	speed := 25.0
	out, err := Pull{Vehicle: v, RoadCrown: 0.02, Speed: speed}.Run()
	require.NoError(t, err)
	yaw := out.Drift * 2 / (driftDistance * driftDistance) * speed
	r, err := newRolling(&v, speed)
	require.NoError(t, err)
	down := unit.StandardGravity * math.Sin(math.Atan(0.02))
	_, _, p, err := r.steerFor(down+yaw*speed, yaw)
	require.NoError(t, err)
	assert.InDelta(t, 0, p.rack(wheelForce.total), 0.01)
}

func TestPullRefusals(t *testing.T) {
	v := rollingTruck()
	for name, m := range map[string]Pull{
		"too steep": {Vehicle: v, RoadCrown: 0.2, Speed: 20},
		"no number": {Vehicle: v, RoadCrown: math.NaN(), Speed: 20},
		"standing":  {Vehicle: v, RoadCrown: 0.02},
	} {
		_, err := m.Run()
		assert.Error(t, err, name)
	}
}
