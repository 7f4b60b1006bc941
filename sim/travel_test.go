package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"turnplate/sim/agree"
)

// planar is a corner whose arms' pivot axes lie along the vehicle, with every joint in the transverse plane
// through the wheel centre: what a front view shows is all there is. Coordinates in metres, y outboard.
func planar(lowerPivot, lowerBall, upperPivot, upperBall, contact [2]float64) Vehicle {
	at := func(p [2]float64, x float64) Point { return Point{X: x, Y: p[0], Z: p[1]} }
	v := testTruck()
	v.Tyre.LoadedRadius = 0.38
	v.Front = Corner{
		LowerFront: at(lowerPivot, 0.15), LowerRear: at(lowerPivot, -0.15), LowerBall: at(lowerBall, 0),
		UpperFront: at(upperPivot, 0.12), UpperRear: at(upperPivot, -0.12), UpperBall: at(upperBall, 0),
		TieInner: Point{X: 0.13, Y: 0.36, Z: 0.3}, TieOuter: Point{X: 0.14, Y: 0.69, Z: 0.27},
		WheelCentre: Point{Y: contact[0], Z: contact[1] + v.Tyre.LoadedRadius},
	}
	return v
}

// The front-view oracle of SOURCES §11: instant centre (−0.880488, 0.397561), roll centre height 0.182872,
// camber gain 0.0351403 °/mm (computed by another script from the line intersections).
func TestRollCentreOracle(t *testing.T) {
	v := planar([2]float64{0.30, 0.25}, [2]float64{0.70, 0.20}, [2]float64{0.40, 0.50}, [2]float64{0.65, 0.52}, [2]float64{0.75, 0})
	r, err := Travel{v, 0}.Run()
	require.NoError(t, err)
	const printed = 1e-6
	agree.Absolute(t, 0.182872, r.RollCentreHeight, printed, "roll centre height")
	agree.Absolute(t, 0.0351403*deg/1e-3, -r.CamberGain, 1e-6*deg/1e-3, "camber gain, top inward as the wheel rises")
}

// With parallel arms the instant centre is at infinity, and the roll centre is where the line through the
// contact centre along the arms meets the vehicle's middle.
func TestRollCentreOfParallelArms(t *testing.T) {
	for _, slope := range []float64{-0.15, 0, 0.1} {
		v := planar([2]float64{0.30, 0.25}, [2]float64{0.70, 0.25 - 0.4*slope}, [2]float64{0.40, 0.50}, [2]float64{0.65, 0.50 - 0.25*slope}, [2]float64{0.75, 0})
		// The steering must not turn the wheel as it rises, for a true picture: tie rod along the arms too.
		v.Front.TieInner = Point{X: 0.13, Y: 0.4, Z: 0.3}
		v.Front.TieOuter = Point{X: 0.13, Y: 0.69, Z: 0.3 - 0.29*slope}
		r, err := Travel{v, 0}.Run()
		require.NoError(t, err)
		agree.Absolute(t, 0.75*slope, r.RollCentreHeight, roundingLength, "roll centre height")
		agree.Absolute(t, 0, r.CamberGain, 1e-10, "camber gain")
	}
}

// The anti-dive oracle of SOURCES §11: ξ 0.65, θ 6°, h 0.7 m, L 2.85 m → 27.815 %. Arms and tie rod are
// alike and parallel about axes that slope down to the front by θ, so the contact centre moves forward and up
// along a line square to that: the side-view instant centre lies along θ from it, at infinity.
func TestAntiDiveOracle(t *testing.T) {
	const theta = 6 * deg
	v := testTruck()
	v.Wheelbase, v.CentreHeight, v.FrontBrakeShare = 2.85, 0.7, 0.65
	axis := Point{X: math.Cos(theta), Z: -math.Sin(theta)}
	arm := Point{Y: 0.35, Z: 0}
	pivots := func(middle Point) (front, rear, ball Point) {
		return middle.Add(axis.Scale(0.15)), middle.Add(axis.Scale(-0.15)), middle.Add(arm)
	}
	c := &v.Front
	c.Camber, c.Toe = 0, 0
	c.LowerFront, c.LowerRear, c.LowerBall = pivots(mm(0, 380, 250))
	c.UpperFront, c.UpperRear, c.UpperBall = pivots(mm(0, 340, 600))
	c.TieInner, c.TieOuter = mm(140, 370, 300), mm(140, 720, 300)
	r, err := Travel{v, 0}.Run()
	require.NoError(t, err)
	agree.Absolute(t, 0.27815, r.AntiDive, 5e-6, "anti-dive")
	v.Front.LowerFront, v.Front.LowerRear = v.Front.LowerRear.Add(mm(298, 0, 0)), v.Front.LowerFront.Add(mm(-298, 0, 0)) // slope the other way
	lower, err := Travel{v, 0}.Run()
	require.NoError(t, err)
	assert.Less(t, lower.AntiDive, r.AntiDive)
}

// Every slope along the travel against differences of the outputs it is the slope of.
func TestTravelSlopes(t *testing.T) {
	const step, byStep = 1e-5, 1e-5
	rapid.Check(t, func(t *rapid.T) {
		v := randomVehicle(t)
		v.Spring.On = rapid.SampledFrom([]string{"lower", "upper"}).Draw(t, "on")
		bump := anywhere(t, "bump", -0.03, 0.03)
		r := reachable(t, Travel{v, bump})
		lo, hi := reachable(t, Travel{v, bump - step}), reachable(t, Travel{v, bump + step})
		if math.Abs(r.CamberGain) > 5 || math.Abs(r.BumpSteer) > 5 {
			t.Skip("near the end of a joint's reach")
		}
		slope := func(a, b float64) float64 { return (b - a) / (2 * step) }
		agree.Absolute(t, slope(lo.Camber, hi.Camber), r.CamberGain, byStep, "camber gain")
		agree.Absolute(t, slope(lo.Toe, hi.Toe), r.BumpSteer, byStep, "bump steer")
		agree.Absolute(t, slope(lo.Right.Camber, hi.Right.Camber), r.Right.CamberGain, byStep, "right camber gain")

		length := func(bump float64) float64 {
			a, err := newAxle(&v)
			require.NoError(t, err)
			w, err := a.at(bump)
			require.NoError(t, err)
			p := &w.left.pose
			end := a.left.link.OnLowerArm(p, v.Spring.LowerPoint)
			if v.Spring.On == "upper" {
				end = a.left.link.OnUpperArm(p, v.Spring.LowerPoint)
			}
			return v.Spring.UpperPoint.Sub(end).Norm()
		}
		agree.Absolute(t, -slope(length(bump-step), length(bump+step)), r.MotionRatio, byStep, "motion ratio")
	})
}

// The roll centre and anti-dive come from how the contact centre, locked to the knuckle, moves as the wheel rises.
func TestContactMovesAsRollCentreAndAntiDiveSay(t *testing.T) {
	const step = 1e-5
	rapid.Check(t, func(t *rapid.T) {
		v := randomVehicle(t)
		v.Right = nil
		r := reachable(t, Travel{v, 0})
		a, err := newAxle(&v)
		require.NoError(t, err)
		w := a.atRest()
		place := func(bump float64) Point {
			p, err := a.left.height(bump)
			if err != nil {
				t.Skip(err)
			}
			// Carry the contact centre of the rest pose with the knuckle, found from the knuckle's own places.
			from := w.left.pose
			k, g := from.Axis, from.TieOuter.Sub(from.Lower)
			n := k.Cross(g)
			at := w.left.Contact.Sub(from.Lower)
			// Solve at = αk + βg + γn.
			gk := g.Dot(k)
			nn := n.Dot(n)
			gg := g.Dot(g)
			beta := (at.Dot(g) - gk*at.Dot(k)) / (gg - gk*gk)
			alpha := at.Dot(k) - beta*gk
			gamma := at.Dot(n) / nn
			k2, g2 := p.Axis, p.TieOuter.Sub(p.Lower)
			return p.Lower.Add(k2.Scale(alpha)).Add(g2.Scale(beta)).Add(k2.Cross(g2).Scale(gamma))
		}
		move := place(step).Sub(place(-step))
		sin, cos := math.Sincos(a.pitch)
		rise := move.X*sin + move.Z*cos
		if rise < step {
			t.Skip("near the end of the travel")
		}
		agree.Absolute(t, w.left.Contact.Y*move.Y/rise, r.RollCentreHeight, 1e-6, "roll centre")
		forward := move.X*cos - move.Z*sin
		agree.Absolute(t, v.FrontBrakeShare*forward/rise*v.Wheelbase/v.CentreHeight, r.AntiDive, 1e-6, "anti-dive")
	})
}

func TestTravelStops(t *testing.T) {
	v := testTruck() // 100 mm up and 120 mm down from where it was measured
	v.Front.Lift, v.RearLift = 0.05, 0.05
	for _, c := range []struct {
		bump float64
		says string
	}{{0.1499, ""}, {0.15, ""}, {0.1501, "beyond Spring.BumpTravel of 100 mm"}, {-0.07, ""}, {-0.0701, "beyond Spring.DroopTravel of 120 mm"}} {
		_, err := Travel{v, c.bump}.Run()
		if c.says == "" {
			assert.NoError(t, err, "%v", c.bump)
		} else {
			assert.ErrorContains(t, err, c.says)
		}
	}
	v.Spring.BumpTravel, v.Spring.DroopTravel = 0, 0
	_, err := Travel{v, 0.151}.Run()
	assert.NoError(t, err, "stops not given")
	_, err = Travel{v, 0.6}.Run()
	assert.Equal(t, Unreachable{"left front", "wheel height"}, err)
}

// What hasn't what it needs is absent, and the rest is there.
func TestTravelLeavesOutWhatIsntGiven(t *testing.T) {
	v := testTruck()
	full, err := Travel{v, 0.02}.Run()
	require.NoError(t, err)
	v.Spring.LowerPoint, v.Front.ShaftInner, v.CentreHeight = Point{}, Point{}, 0
	r, err := Travel{v, 0.02}.Run()
	require.NoError(t, err)
	for _, absent := range []float64{r.MotionRatio, r.ShaftAngle, r.ShaftOuterAngle, r.AntiDive} {
		assert.True(t, math.IsNaN(absent))
	}
	assert.Equal(t, full.WheelAlignment, r.WheelAlignment)
	assert.Equal(t, full.RollCentreHeight, r.RollCentreHeight)
}

// Angles of joints on a corner where they can be read off the drawing.
func TestJointAngles(t *testing.T) {
	v := planar([2]float64{0.30, 0.25}, [2]float64{0.70, 0.25}, [2]float64{0.40, 0.50}, [2]float64{0.65, 0.50}, [2]float64{0.75, 0})
	v.Front.ShaftInner, v.Front.ShaftOuter = mm(0, 200, 300), mm(0, 700, 380)
	r, err := Travel{v, 0}.Run()
	require.NoError(t, err)
	agree.Absolute(t, math.Atan(0.08/0.5), r.ShaftAngle, roundingAngle, "shaft at the inner joint")
	agree.Absolute(t, math.Atan(0.08/0.5), r.ShaftOuterAngle, roundingAngle, "shaft at the outer joint, wheel upright")
	agree.Absolute(t, math.Atan(0.05/0.25), r.UpperJointAngle, roundingAngle, "stud along the steering axis, arm level")
	v.Front.UpperStud = Point{X: -0.1, Z: -1} // given downward
	r, err = Travel{v, 0}.Run()
	require.NoError(t, err)
	agree.Absolute(t, math.Atan(0.1), r.UpperJointAngle, roundingAngle, "stud as given")
	v.Front.JointLimit = math.Atan(0.1) + 0.5*deg
	_, err = Travel{v, 0}.Run()
	assert.NoError(t, err)
	_, err = Travel{v, 0.09}.Run()
	assert.ErrorContains(t, err, "left front: the upper ball joint can't be reached: its stud would lean")
}
