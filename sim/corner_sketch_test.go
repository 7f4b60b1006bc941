package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// What a drawing shows measures what the numbers beside it say, pitch and lift included.
func TestSketchMeasuresWhatItSays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := randomVehicle(t)
		r := reachable(t, Alignment{v})
		s, err := SketchOf(v)
		require.NoError(t, err)
		axis := s.UpperBall.Sub(s.LowerBall)
		agree(t, r.Caster, math.Atan(-axis.X/axis.Z), roundingAngle, "caster")
		agree(t, r.SteeringAxisInclination, math.Atan(-axis.Y/axis.Z), roundingAngle, "inclination")
		agree(t, r.Camber, -math.Asin(s.Spin.Z), roundingAngle, "camber")
		agree(t, r.Toe, math.Atan2(s.Spin.X, s.Spin.Y), roundingAngle, "toe")
		agree(t, 0, s.Contact.Z, roundingLength, "contact on the ground")
		agree(t, 0, s.AxisGround.Z, roundingLength, "axis at the ground")
		along := s.AxisGround.Sub(s.LowerBall)
		agree(t, 0, along.Cross(axis).Norm(), roundingLength, "on the axis")
		agree(t, v.Tyre.LoadedRadius, s.WheelCentre.Sub(s.Contact).Norm(), roundingLength, "loaded radius")
		from := s.Contact.Sub(s.AxisGround)
		heading := Point{X: math.Cos(r.Toe), Y: -math.Sin(r.Toe)}
		agree(t, r.Trail, -from.Dot(heading), roundingLength, "trail")
		agree(t, r.ScrubRadius, from.Dot(Point{X: math.Sin(r.Toe), Y: math.Cos(r.Toe)}), roundingLength, "scrub radius")
		agree(t, v.Front.TieOuter.Sub(v.Front.TieInner).Norm()+v.Front.Adjust.TieRod, s.TieOuter.Sub(s.TieInner).Norm(), roundingLength, "tie rod")
	})
}
