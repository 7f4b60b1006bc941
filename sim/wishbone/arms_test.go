package wishbone

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"turnplate/sim/geom"
)

// The turn of an arm is also the angle between its plane's normals, which needs neither centre nor radius.
func TestArmTurnsBetweenPlanes(t *testing.T) {
	check(t, func(t *rapid.T) {
		l, from := posed(t)
		to, err := l.At(from.LowerAngle+between(t, "swing", -0.2, 0.2), from.Rack)
		if err != nil {
			t.Skip("out of reach")
		}
		upper, lower := l.ArmTurns(&from, &to)
		lowerFront, lowerRear, upperFront, upperRear := l.Pivots()
		byPlanes := func(front, rear, before, after geom.Point) float64 {
			m, n := before.Sub(front).Cross(before.Sub(rear)), after.Sub(front).Cross(after.Sub(rear))
			return math.Copysign(math.Atan2(m.Cross(n).Norm(), m.Dot(n)), after.Z-before.Z)
		}
		agree(t, byPlanes(lowerFront, lowerRear, from.Lower, to.Lower), lower, 1e-9, "lower arm")
		// Near the top of its circle the upper ball joint's height doesn't tell the sense of the turn.
		if math.Abs(to.Upper.Z-from.Upper.Z) > 1e-4 {
			agree(t, byPlanes(upperFront, upperRear, from.Upper, to.Upper), upper, 1e-7, "upper arm")
		}
	})
}

// For an arm with legs of one length L on pivots s apart, one leg made longer by e and the other shorter by e
// leans the eyes by 2·h·e/(s·L) to first order, h being the distance from the ball joint to the pivot axis: the
// ball moves along the axis by 2·L·e/s, which turns either leg by h/L² times that.
func TestUpperEyeTiltOfEqualLegs(t *testing.T) {
	h := plain()
	h.UpperFront, h.UpperRear, h.UpperBall = mm(120, 450, 650), mm(-120, 450, 650), mm(0, 700, 690)
	leg := h.UpperBall.Sub(h.UpperFront).Norm()
	out := math.Hypot(0.25, 0.04)
	const e, span = 1e-4, 0.24
	l, err := New(h, Settings{UpperFrontLeg: e, UpperRearLeg: -e})
	require.NoError(t, err)
	agree(t, 2*out*e/(span*leg), l.UpperEyeTilt(), 1e-8, "front leg longer: ball joint rearward")

	even, err := New(h, Settings{UpperFrontLeg: 5e-3, UpperRearLeg: 5e-3})
	require.NoError(t, err)
	agree(t, 0, even.UpperEyeTilt(), 1e-12, "both legs alike")
}

// The same as vectors: how the directions of both legs have turned in the arm's plane against the pivot axis.
func TestUpperEyeTiltByVectors(t *testing.T) {
	check(t, func(t *rapid.T) {
		h, s := corners(t), settings(t)
		s.UpperShift = 0
		l, err := New(h, s)
		if err != nil {
			t.Skip("the legs can't meet")
		}
		ball := l.upper.centre.Add(l.upper.e1.Scale(l.upper.radius))
		lean := func(ball geom.Point) float64 {
			axis := h.UpperRear.Sub(h.UpperFront).Unit()
			to := func(pivot geom.Point) float64 {
				leg := ball.Sub(pivot)
				return math.Atan2(leg.Cross(axis).Norm(), leg.Dot(axis))
			}
			return (to(h.UpperFront) + to(h.UpperRear)) / 2
		}
		agree(t, lean(h.UpperBall)-lean(ball), l.UpperEyeTilt(), 1e-9, "mean turn of the legs")
	})
}
