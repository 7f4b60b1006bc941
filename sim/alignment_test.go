package sim

import (
	"encoding/json"
	"math"
	"os"
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"turnplate/sim/agree"
)

// At rest without lift, and with cams as they stood when measured, the wheel stands exactly as it was measured.
func TestAlignmentAsMeasured(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := testTruck()
		v.Front = randomCorner(t, v.Front, rapid.Bool().Draw(t, "behind"))
		v.Front.Lift = 0
		v.Front.Adjust = Adjusters{CamOffset: 0.006, CamFront: 0.3, CamFrontMeasured: 0.3, CamRear: -0.7, CamRearMeasured: -0.7}
		v.Tyre.OffsetChange = 0.02
		r := reachable(t, Alignment{v})
		agree.Absolute(t, v.Front.Camber, r.Camber, roundingAngle, "camber")
		agree.Absolute(t, v.Front.Toe, r.Toe, roundingAngle, "toe")
		agree.Absolute(t, 2*v.Front.Toe, r.TotalToe, roundingAngle, "total toe")
		axis := v.Front.UpperBall.Sub(v.Front.LowerBall)
		agree.Absolute(t, math.Atan(-axis.X/axis.Z), r.Caster, roundingAngle, "caster")
		agree.Absolute(t, math.Atan(-axis.Y/axis.Z), r.SteeringAxisInclination, roundingAngle, "inclination")
		inboard := v.Tyre.OffsetChange * math.Cos(v.Front.Camber) * math.Cos(v.Front.Toe)
		agree.Absolute(t, v.Front.WheelCentre.Y-inboard, r.WheelY, roundingLength, "wheel centre, moved inboard by the offset")
		agree.Absolute(t, -r.WheelY, r.Right.WheelY, roundingLength, "right wheel centre")
		agree.Absolute(t, v.Front.WheelCentre.Z+v.Tyre.OffsetChange*math.Sin(v.Front.Camber)-v.Tyre.LoadedRadius*math.Cos(v.Front.Camber), r.GroundHeight, roundingLength, "ground")
		agree.Absolute(t, 0, r.BodyPitch, 0, "pitch")
	})
}

// The worked signs of the contract on one plain corner: upright wheel, axis through known places.
func TestAlignmentSigns(t *testing.T) {
	v := testTruck()
	v.Front.Camber, v.Front.Toe = 0, 0
	r, err := Alignment{v}.Run()
	require.NoError(t, err)
	// The axis from (12, 735, 245) to (−22, 665, 620) meets the ground, 245 mm further down, at:
	x, y := 12+34*245./375, 735+70*245./375
	agree.Absolute(t, x/1e3, r.Trail, 1e-9, "trail: the axis meets the ground ahead of the wheel centre's foot at x = 0")
	agree.Absolute(t, (800-y)/1e3, r.ScrubRadius, 1e-9, "scrub radius: contact outboard of the axis")
	agree.Absolute(t, (800-(735-70*140./375))/1e3, r.SpindleLength, 1e-9, "spindle length at 385 mm height")
	assert.Positive(t, r.Caster)
	assert.Positive(t, r.SteeringAxisInclination)
	agree.Absolute(t, 0, r.GroundHeight, roundingLength, "ground at the origin")

	v.Tyre.LoadedRadius += 0.02
	tall, err := Alignment{v}.Run()
	require.NoError(t, err)
	agree.Absolute(t, -0.02, tall.GroundHeight, roundingLength, "a taller tyre lowers the ground")
	assert.Greater(t, tall.Trail, r.Trail)
	agree.Absolute(t, r.Caster, tall.Caster, 0, "and leaves the points where they are")

	v.Front.Adjust.UpperShift = 0.005
	moved, err := Alignment{v}.Run()
	require.NoError(t, err)
	assert.Greater(t, moved.Caster, tall.Caster, "spacers that move the upper arm rearward add caster")
}

// A cam moves its lower pivot outboard (+y) by its offset times the sine: more camber goes, the lower ball
// comes out. The front cam alone carries the ball joint forward, so caster grows.
func TestCamSigns(t *testing.T) {
	v := testTruck()
	v.Front.Adjust = Adjusters{CamOffset: 0.006, CamLimit: 90 * deg, CamFront: 30 * deg, CamRear: 30 * deg}
	before, err := Alignment{testTruck()}.Run()
	require.NoError(t, err)
	both, err := Alignment{v}.Run()
	require.NoError(t, err)
	assert.Less(t, both.Camber, before.Camber, "lower ball outboard: the top leans in")
	v.Front.Adjust.CamFront, v.Front.Adjust.CamRear = 30*deg, -30*deg
	twist, err := Alignment{v}.Run()
	require.NoError(t, err)
	assert.Less(t, twist.Caster, before.Caster, "front pivot out, rear pivot in: the arm turns and carries the lower ball rearward")
}

// Unequal lift pitches the body, and caster is against the ground's vertical: with the front lifted more, the nose
// rises and caster grows by the pitch.
func TestPitchCountsInCaster(t *testing.T) {
	v := testTruck()
	v.Front.Lift, v.RearLift = 0.05, 0.05
	level, err := Alignment{v}.Run()
	require.NoError(t, err)
	v.RearLift = 0
	noseUp, err := Alignment{v}.Run()
	require.NoError(t, err)
	pitch := math.Atan(0.05 / 2.85)
	agree.Absolute(t, 0, level.BodyPitch, 0, "equal lift")
	agree.Absolute(t, pitch, noseUp.BodyPitch, roundingAngle, "pitch")
	agree.Absolute(t, level.Caster+pitch, noseUp.Caster, roundingAngle, "caster")
	assert.Greater(t, noseUp.Trail, level.Trail)

	v.Wheelbase = 0
	_, err = Alignment{v}.Run()
	assert.Equal(t, NotGiven{"Wheelbase"}, err)
}

// A vehicle and its mirror image give each other's results, and a Right that repeats Front changes nothing.
func TestMirrorSymmetry(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := randomVehicle(t)
		bump, rack := anywhere(t, "bump", -0.03, 0.03), anywhere(t, "rack", -0.05, 0.05)
		a, b := reachable(t, Travel{v, bump}), reachable(t, Travel{swapped(v), bump})
		sameWheel(t, a.TravelWheel.WheelAlignment, b.Right.WheelAlignment)
		sameWheel(t, a.Right.WheelAlignment, b.TravelWheel.WheelAlignment)
		agree.Absolute(t, a.MotionRatio, b.Right.MotionRatio, roundingAngle, "motion ratio")
		agree.Absolute(t, a.CasterDifference, -b.CasterDifference, roundingAngle, "caster difference")
		agree.Absolute(t, a.CamberDifference, -b.CamberDifference, roundingAngle, "camber difference")
		agree.Absolute(t, a.TotalToe, b.TotalToe, roundingAngle, "total toe")
		agree.Absolute(t, a.RollCentreHeight, b.RollCentreHeight, 1e-10, "roll centre")
		agree.Absolute(t, a.AntiDive, b.AntiDive, 1e-10, "anti-dive")

		c, d := reachable(t, Steer{Vehicle: v, Rack: &rack, Bump: bump}), reachable(t, Steer{Vehicle: swapped(v), Rack: ptr(-rack), Bump: bump})
		sameWheel(t, c.SteerWheel.WheelAlignment, d.Right.WheelAlignment)
		agree.Absolute(t, c.RoadWheelAngle, -d.Right.RoadWheelAngle, roundingAngle, "road wheel angle")
		agree.Absolute(t, c.Rise, d.Right.Rise, roundingLength, "rise")
		agree.Absolute(t, c.AckermannError, d.AckermannError, 1e-10, "Ackermann error")

		if v.Right == nil {
			same := v.Front
			v.Right = &same
			e := reachable(t, Steer{Vehicle: v, Rack: &rack, Bump: bump})
			assert.Equal(t, c, e)
			assert.Equal(t, a, reachable(t, Travel{v, bump}))
		}
	})
}

func sameWheel(t require.TestingT, left, right WheelAlignment) {
	right.WheelY = -right.WheelY
	l, r := reflect.ValueOf(left), reflect.ValueOf(right)
	for i := range l.NumField() {
		agree.Absolute(t, l.Field(i).Float(), r.Field(i).Float(), roundingAngle, l.Type().Field(i).Name)
	}
}

// The whole way from a Vehicle's fields (cams, lift, pitch, offset, rack sense) to the outputs, against the poses
// that scipy's root finder made (testdata/reference/wishbone.py): 180 of them, with the arms held.
func TestVehicleAgainstRootFinder(t *testing.T) {
	text, err := os.ReadFile("../testdata/reference/wishbone.json")
	require.NoError(t, err)
	type place [3]float64
	var vehicles []struct {
		Points        map[string]place
		Camber, Toe   float64
		Pitch, Offset float64
		LoadedRadius  float64 `json:"loaded_radius"`
		Settings      struct{ LowerFront, LowerRear, UpperShift, UpperFrontLeg, UpperRearLeg, TieRod float64 }
		Poses         []struct {
			Mode                                                            string
			Bump, Rack                                                      float64
			WheelCentre                                                     place
			Camber, Toe, Caster, Inclination, Scrub, Trail, Spindle, Ground float64
		}
	}
	require.NoError(t, json.Unmarshal(text, &vehicles))
	compared := 0
	for _, ref := range vehicles {
		at := func(name string) Point { p := ref.Points[name]; return Point{X: p[0], Y: p[1], Z: p[2]} }
		const offset = 0.01
		s := ref.Settings
		for _, pose := range ref.Poses {
			if pose.Mode != "arm" {
				continue
			}
			v := Vehicle{Wheelbase: 2.8, Front: Corner{
				UpperFront: at("UpperFront"), UpperRear: at("UpperRear"), UpperBall: at("UpperBall"),
				LowerFront: at("LowerFront"), LowerRear: at("LowerRear"), LowerBall: at("LowerBall"),
				TieInner: at("TieInner"), TieOuter: at("TieOuter"), WheelCentre: at("WheelCentre"),
				Camber: ref.Camber, Toe: ref.Toe,
				Adjust: Adjusters{
					CamOffset: offset, CamLimit: 90 * deg, CamFrontMeasured: 0.1,
					CamFront: math.Asin(s.LowerFront/offset + math.Sin(0.1)), CamRear: math.Asin(s.LowerRear / offset),
					UpperShift: s.UpperShift, UpperFrontLeg: s.UpperFrontLeg, UpperRearLeg: s.UpperRearLeg, TieRod: s.TieRod,
				},
			}}
			// Part of the height as lift, the rest as bump; the rear lift that makes the table's pitch.
			v.Front.Lift = -0.4 * pose.Bump
			v.RearLift = v.Front.Lift - v.Wheelbase*math.Tan(ref.Pitch)
			v.Tyre.LoadedRadius, v.Tyre.OffsetChange = ref.LoadedRadius, ref.Offset
			rack := pose.Rack // in +y there; + turns left here, which is +y only for a rack ahead of the axle
			if v.Front.TieOuter.X < v.Front.LowerBall.X {
				rack = -rack
			}
			r, err := Steer{Vehicle: v, Rack: &rack, Bump: 0.6 * pose.Bump}.Run()
			if err != nil && s.LowerFront/offset+math.Sin(0.1) > 1 {
				continue
			}
			require.NoError(t, err)
			compared++
			agree.Absolute(t, pose.Camber, r.Camber, promisedAngle, "camber")
			agree.Absolute(t, pose.Toe, r.Toe, promisedAngle, "toe")
			agree.Absolute(t, pose.Caster, r.Caster, promisedAngle, "caster")
			agree.Absolute(t, pose.Inclination, r.SteeringAxisInclination, promisedAngle, "inclination")
			agree.Absolute(t, pose.Scrub, r.ScrubRadius, promisedLength, "scrub radius")
			agree.Absolute(t, pose.Trail, r.Trail, promisedLength, "trail")
			agree.Absolute(t, pose.Spindle, r.SpindleLength, promisedLength, "spindle length")
			agree.Absolute(t, pose.Ground, r.GroundHeight, promisedLength, "ground")
			agree.Absolute(t, -pose.Toe, r.RoadWheelAngle, promisedAngle, "heading")
		}
	}
	assert.Equal(t, 180, compared)
}

// The promise on poses: 1e-6 mm and 1e-7 rad.
const (
	promisedLength = 1e-9 // m
	promisedAngle  = 1e-7 // rad
)

// What isn't right with a vehicle is said by its field's name.
func TestVehicleErrors(t *testing.T) {
	for _, c := range []struct {
		spoil func(*Vehicle)
		says  string
	}{
		{func(v *Vehicle) { v.Front.UpperBall = Point{} }, "Front.UpperBall isn't given"},
		{func(v *Vehicle) { r := v.Front; r.TieOuter = Point{}; v.Right = &r }, "Right.TieOuter isn't given"},
		{func(v *Vehicle) { v.Tyre.LoadedRadius = 0 }, "Tyre.LoadedRadius isn't given"},
		{func(v *Vehicle) { v.Front.LowerFront.X = math.NaN() }, "Front.LowerFront isn't a place"},
		{func(v *Vehicle) { v.Front.UpperFront, v.Front.UpperRear = v.Front.UpperRear, v.Front.UpperFront }, "Front.UpperFront must lie ahead of UpperRear"},
		{func(v *Vehicle) { v.Front.UpperBall.Z = 0.2 }, "Front.UpperBall must lie above LowerBall"},
		{func(v *Vehicle) { v.Front.LowerBall.Y = -0.7 }, "Front.LowerBall must lie outboard"},
		{func(v *Vehicle) { v.Front.Camber = 1 }, "Front.Camber of 57.296° must lie within 45°"},
		{func(v *Vehicle) { v.Front.Adjust = Adjusters{CamOffset: 0.006, CamLimit: 60 * deg, CamRear: -61 * deg} }, "Front.Adjust.CamRear of -61° is beyond CamLimit, 60°"},
		{func(v *Vehicle) { v.Front.Adjust = Adjusters{CamLimit: 100 * deg} }, "Front.Adjust.CamLimit of 100° must lie from 0 to 90°"},
		{func(v *Vehicle) { v.Front.Adjust.UpperFrontLeg = 0.6 }, "left front: the upper ball joint can't be reached"},
		{func(v *Vehicle) { r := v.Front; r.Adjust.TieRod = 0.3; v.Right = &r }, "right front: the outer tie-rod joint can't be reached"},
		{func(v *Vehicle) { v.Front.Lift = 0.6; v.RearLift = 0.6; v.Spring.DroopTravel = 0 }, "left front: no swing of the lower arm takes its ball joint"},
		{func(v *Vehicle) { v.Front.Lift = 0.13; v.RearLift = 0.13 }, "beyond Spring.DroopTravel of 120 mm"},
		{func(v *Vehicle) { v.Front.JointLimit = 3 * deg; v.Front.UpperStud = Point{X: 0.1, Z: 1} }, "stud would lean"},
		{func(v *Vehicle) { r := v.Front; r.TieInner.X *= -1; r.TieOuter.X *= -1; v.Right = &r }, "turn their wheels opposite ways"},
		{func(v *Vehicle) { v.Front.TieInner.Y = v.Front.TieOuter.Y; v.Front.TieInner.X = 0.5 }, "doesn't turn the wheel"},
		{func(v *Vehicle) {
			v.Front.LowerRear = Point{X: 0.179, Y: 0.339, Z: 0.265}
			v.Front.LowerFront = Point{X: 0.179 + 1e-9, Y: 0.339, Z: 0.265}
		}, "left front: the lower arm's two pivots are in the same place"},
		{func(v *Vehicle) { v.Front.Camber = math.NaN() }, "Front.Camber isn't a number"},
		{func(v *Vehicle) { r := v.Front; r.Toe = math.Inf(1); v.Right = &r }, "Right.Toe isn't a number"},
		{func(v *Vehicle) { v.Front.JointLimit = -1 }, "Front.JointLimit of -57.296° must not be below zero"},
		{func(v *Vehicle) { v.Spring.BumpTravel = -0.1 }, "Spring.BumpTravel of -100 mm must not be below zero"},
		{func(v *Vehicle) { v.Front.Lift, v.RearLift, v.Wheelbase = 0.05, 0, -2 }, "must be above zero"},
	} {
		v := testTruck()
		c.spoil(&v)
		_, err := Alignment{v}.Run()
		assert.ErrorContains(t, err, c.says, c.says)
	}
}

// The benchmarks run the models as a notebook does, each building both corners anew.

func BenchmarkAlignment(b *testing.B) {
	m := Alignment{testTruck()}
	for b.Loop() {
		if _, err := m.Run(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkTravel10000(b *testing.B) {
	v := testTruck()
	for b.Loop() {
		for i := range 10000 {
			v.Front.Adjust.UpperShift = 0.01 * float64(i%100) / 99
			if _, err := (Travel{v, -0.08 + 0.16*float64(i/100)/99}).Run(); err != nil {
				b.Fatal(err)
			}
		}
	}
}

func BenchmarkSteer(b *testing.B) {
	m := Steer{Vehicle: testTruck(), Angle: ptr(20 * deg)}
	for b.Loop() {
		if _, err := m.Run(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkParkingEffort(b *testing.B) {
	m := ParkingEffort{Vehicle: testTruck(), Angle: 20 * deg, BrakesHeld: true}
	for b.Loop() {
		if _, err := m.Run(); err != nil {
			b.Fatal(err)
		}
	}
}
