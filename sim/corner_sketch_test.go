package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"turnplate/sim/agree"
)

// What a drawing shows measures what the numbers beside it say, pitch and lift included.
func TestSketchMeasuresWhatItSays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := randomVehicle(t)
		r := reachable(t, Alignment{v})
		s, err := SketchOf(v, 0, 0)
		require.NoError(t, err)
		axis := s.UpperBall.Sub(s.LowerBall)
		agree.Absolute(t, r.Caster, math.Atan(-axis.X/axis.Z), roundingAngle, "caster")
		agree.Absolute(t, r.SteeringAxisInclination, math.Atan(-axis.Y/axis.Z), roundingAngle, "inclination")
		agree.Absolute(t, r.Camber, -math.Asin(s.Spin.Z), roundingAngle, "camber")
		agree.Absolute(t, r.Toe, math.Atan2(s.Spin.X, s.Spin.Y), roundingAngle, "toe")
		agree.Absolute(t, 0, s.Contact.Z, roundingLength, "contact on the ground")
		agree.Absolute(t, 0, s.AxisGround.Z, roundingLength, "axis at the ground")
		along := s.AxisGround.Sub(s.LowerBall)
		agree.Absolute(t, 0, along.Cross(axis).Norm(), roundingLength, "on the axis")
		agree.Absolute(t, v.Tyre.LoadedRadius, s.WheelCentre.Sub(s.Contact).Norm(), roundingLength, "loaded radius")
		from := s.Contact.Sub(s.AxisGround)
		heading := Point{X: math.Cos(r.Toe), Y: -math.Sin(r.Toe)}
		agree.Absolute(t, r.Trail, -from.Dot(heading), roundingLength, "trail")
		agree.Absolute(t, r.ScrubRadius, from.Dot(Point{X: math.Sin(r.Toe), Y: math.Cos(r.Toe)}), roundingLength, "scrub radius")
		agree.Absolute(t, v.Front.TieOuter.Sub(v.Front.TieInner).Norm()+v.Front.Adjust.TieRod, s.TieOuter.Sub(s.TieInner).Norm(), roundingLength, "tie rod")
	})
}

// A posed drawing measures what Travel and Steer say, and the wheel rises by the bump while the body stands still.
func TestSketchOfAPose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := randomVehicle(t)
		bump := rapid.Float64Range(-0.04, 0.04).Draw(t, "bump")
		rack := rapid.Float64Range(-0.03, 0.03).Draw(t, "rack")
		steer := reachable(t, Steer{Vehicle: v, Rack: &rack, Bump: bump})
		travel := reachable(t, Travel{v, bump})
		rest, err := SketchOf(v, 0, 0)
		require.NoError(t, err)
		raised, err := SketchOf(v, bump, 0)
		require.NoError(t, err)
		turned, err := SketchOf(v, bump, rack)
		require.NoError(t, err)

		agree.Absolute(t, travel.Caster, raised.Caster, roundingAngle, "caster raised")
		agree.Absolute(t, travel.Trail, raised.Trail, roundingLength, "trail raised")
		agree.Absolute(t, steer.Camber, turned.Camber, roundingAngle, "camber turned")
		agree.Absolute(t, steer.ScrubRadius, turned.ScrubRadius, roundingLength, "scrub radius turned")
		agree.Absolute(t, -steer.Toe, math.Atan2(-turned.Spin.X, turned.Spin.Y), roundingAngle, "heading, + left")
		for _, now := range []Sketch{raised, turned} {
			agree.Absolute(t, rest.UpperFront.Z, now.UpperFront.Z, roundingLength, "the body stands still")
			agree.Absolute(t, 0, now.LowerBall.Sub(raised.LowerBall).Norm(), roundingLength, "steering holds the arms")
		}
		// The wheel's height is held against the body, which may be pitched against the ground.
		pitch := reachable(t, Alignment{v}).BodyPitch
		moved := raised.WheelCentre.Sub(rest.WheelCentre)
		if v.Tyre.OffsetChange == 0 {
			agree.Absolute(t, bump, moved.Z*math.Cos(pitch)-moved.X*math.Sin(pitch), roundingLength, "rise in the body's axes")
		}
	})
}

// What was typed comes back, whatever lift, tyres and pitch have done to the ground: the rack's end is on the body, and as
// measured so is all else. The right corner is described as if it were a left one.
func TestSketchGivesTypedPointsBack(t *testing.T) {
	typed := func(s *Sketch, p Point) Point {
		return s.Forward.Scale(p.X).Add(s.Up.Scale(p.Z + s.GroundHeight)).Add(Point{Y: p.Y})
	}
	same := func(t require.TestingT, want, got Point) {
		agree.Absolute(t, 0, got.Sub(want).Norm(), roundingLength, "place")
	}
	rapid.Check(t, func(t *rapid.T) {
		v := randomVehicle(t)
		reachable(t, Alignment{v})
		left, right, err := SketchSides(v, 0, 0)
		require.NoError(t, err)
		same(t, v.Front.TieInner, typed(&left, left.TieInner))
		other := v.Front
		if v.Right != nil {
			other = *v.Right
		}
		same(t, other.TieInner, typed(&right, right.TieInner))
		v.Front.Lift, v.Front.Adjust, v.Right, v.RearLift, v.Tyre.OffsetChange = 0, Adjusters{}, nil, 0, 0
		left, right, err = SketchSides(v, 0, 0)
		require.NoError(t, err)
		require.Equal(t, left, right, "one mirrors the other")
		for _, p := range [...]struct{ typed, drawn Point }{
			{v.Front.UpperBall, left.UpperBall}, {v.Front.LowerBall, left.LowerBall}, {v.Front.TieOuter, left.TieOuter},
			{v.Front.WheelCentre, left.WheelCentre}, {v.Front.LowerFront, left.LowerFront},
		} {
			same(t, p.typed, typed(&left, p.drawn))
		}
	})
}
