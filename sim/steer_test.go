package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"turnplate/sim/agree"
)

// A positive rack turns both wheels left, with the rack ahead of the axle and behind it.
func TestPositiveRackTurnsLeft(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := randomVehicle(t)
		rack := anywhere(t, "rack", 0.005, 0.05)
		ahead := reachable(t, Steer{Vehicle: v, Rack: ptr(0)})
		r := reachable(t, Steer{Vehicle: v, Rack: &rack})
		assert.Greater(t, r.RoadWheelAngle, ahead.RoadWheelAngle)
		assert.Greater(t, r.Right.RoadWheelAngle, ahead.Right.RoadWheelAngle)
		agree.Absolute(t, -r.Toe, r.RoadWheelAngle, 0, "left heading is toe-out")
		agree.Absolute(t, r.Right.Toe, r.Right.RoadWheelAngle, 0, "right heading is toe-in")
		// The steering axes don't move: the arms are held.
		agree.Absolute(t, ahead.Caster, r.Caster, roundingAngle, "caster")
		agree.Absolute(t, ahead.SteeringAxisInclination, r.SteeringAxisInclination, roundingAngle, "inclination")
	})
}

// By Angle and by Rack the same position is reached.
func TestAngleAndRackAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := randomVehicle(t)
		angle, bump := anywhere(t, "angle", -30*deg, 30*deg), anywhere(t, "bump", -0.03, 0.03)
		byAngle := reachableAngle(t, Steer{Vehicle: v, Angle: &angle, Bump: bump})
		agree.Absolute(t, angle, (byAngle.RoadWheelAngle+byAngle.Right.RoadWheelAngle)/2, 1e-11, "mean heading")
		byRack := reachable(t, Steer{Vehicle: v, Rack: &byAngle.Rack, Bump: bump})
		assert.Equal(t, byRack, byAngle)
	})
}

// reachableAngle also passes over a linkage that turns back before the angle.
func reachableAngle(t *rapid.T, m Steer) SteerResult {
	r, err := m.Run()
	if err != nil {
		t.Skip(err)
	}
	return r
}

func TestSteerTakesOneInput(t *testing.T) {
	_, err := Steer{Vehicle: testTruck()}.Run()
	assert.ErrorContains(t, err, "either Rack or Angle")
	_, err = Steer{Vehicle: testTruck(), Rack: ptr(0), Angle: ptr(0)}.Run()
	assert.ErrorContains(t, err, "either Rack or Angle")
	_, err = Steer{Vehicle: testTruck(), Rack: ptr(0.0781)}.Run()
	assert.ErrorContains(t, err, "beyond Steering.RackLimit of 78 mm")
	_, err = Steer{Vehicle: testTruck(), Angle: ptr(45 * deg)}.Run()
	assert.ErrorContains(t, err, "within Steering.RackLimit of 78 mm")
	v := testTruck()
	v.Steering.RackLimit = 0
	_, err = Steer{Vehicle: v, Angle: ptr(170 * deg)}.Run()
	assert.Error(t, err)
	_, err = Steer{Vehicle: v, Rack: ptr(0.3)}.Run()
	assert.Equal(t, Unreachable{"left front", "outer tie-rod joint"}, err)
	_, err = Steer{Vehicle: v, Rack: ptr(math.NaN())}.Run()
	assert.Error(t, err)
}

// Ackermann's relation with the numbers of SOURCES §11: wheelbase 2.8, distance between axes 1.6, inner 30° →
// outer 23.46691° (relation seen, value computed).
func TestAckermannRelation(t *testing.T) {
	const ratio = 1.6 / 2.8
	outer := ackermannOuter(30*deg, ratio)
	agree.Absolute(t, 23.46691*deg, outer, 1e-5*deg, "outer")
	agree.Absolute(t, ratio, 1/math.Tan(outer)-1/math.Tan(30*deg), roundingAngle, "cot δo − cot δi = c/L")
	agree.Absolute(t, 0, ackermannError(30*deg, outer, ratio), roundingAngle, "left turn")
	agree.Absolute(t, 0, ackermannError(-outer, -30*deg, ratio), roundingAngle, "right turn")
	agree.Absolute(t, 30*deg-outer, ackermannError(30*deg, 30*deg, ratio), roundingAngle, "parallel steer: the outer wheel turned too far")
	agree.Absolute(t, 0, ackermannError(0, 0, ratio), 0, "straight ahead")
	assert.Greater(t, ackermannOuter(100*deg, ratio), 30*deg, "past a right angle")
}

// On a real corner the relation uses the distance between the axes at the ground.
func TestAckermannErrorOfACorner(t *testing.T) {
	v := testTruck()
	r, err := Steer{Vehicle: v, Rack: ptr(0.05)}.Run()
	require.NoError(t, err)
	k, err := SketchOf(v, 0, 0)
	require.NoError(t, err)
	want := r.Right.RoadWheelAngle - ackermannOuter(r.RoadWheelAngle, 2*k.AxisGround.Y/v.Wheelbase)
	agree.Absolute(t, want, r.AckermannError, roundingAngle, "error of the right, outer wheel")
}

// The rise of the body is the integral of dz/dδ over the rotation about the steering axis, from straight ahead.
func TestRiseIsTheIntegralOfJacking(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := randomVehicle(t)
		rack := anywhere(t, "rack", -0.05, 0.05)
		end := reachable(t, Steer{Vehicle: v, Rack: &rack})
		a, err := newAxle(&v)
		require.NoError(t, err)
		ahead := a.atRest()
		// Simpson's rule over the rack: dz/ds = dz/dδ·dδ/ds.
		const n = 40
		var left, right float64
		for i := 0; i <= n; i++ {
			w, err := a.steered(&ahead, rack*float64(i)/n)
			require.NoError(t, err)
			weight := []float64{2, 4}[i%2]
			if i == 0 || i == n {
				weight = 1
			}
			left += weight * a.left.jackRate(&w.left) * a.left.axisRate(&w.left)
			right += weight * a.right.jackRate(&w.right) * a.right.axisRate(&w.right)
		}
		if math.Abs(end.RoadWheelAngle) > 40*deg || math.Abs(end.Right.RoadWheelAngle) > 40*deg {
			t.Skip("too near the end of the tie rod's reach for the rule")
		}
		agree.Absolute(t, left*rack/n/3, end.Rise, 1e-7, "left rise")
		agree.Absolute(t, right*rack/n/3, end.Right.Rise, 1e-7, "right rise")
		agree.Absolute(t, (end.Rise+end.Right.Rise)/2, end.MeanRise, roundingLength, "mean")
	})
}
