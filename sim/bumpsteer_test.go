package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// bumpTruck is a corner whose pivot axes lie along the vehicle, its rod ahead of the axle and too steep: our own, with its
// toe over the travel worked out beforehand by a general solver for the three-dimensional linkage (numpy, scipy).
func bumpTruck() Vehicle {
	v := testTruck()
	v.Right, v.RearLift = nil, 0
	v.Front = Corner{
		UpperFront: mm(150, 450, 650), UpperRear: mm(-200, 450, 650), UpperBall: mm(0, 700, 690),
		LowerFront: mm(200, 380, 340), LowerRear: mm(-250, 380, 340), LowerBall: mm(0, 760, 300),
		TieInner: mm(160, 370, 430), TieOuter: mm(160, 720, 400), WheelCentre: mm(0, 850, 430),
	}
	v.Tyre.LoadedRadius, v.Tyre.OffsetChange = 0.43, 0
	v.Spring.BumpTravel, v.Spring.DroopTravel = 0.1, 0.1
	return v
}

func toeAt(t *testing.T, v Vehicle, bump float64) TravelResult {
	t.Helper()
	r, err := Travel{Vehicle: v, Bump: bump}.Run()
	require.NoError(t, err)
	return r
}

// curve wants toe, in degrees, at 80 and 40 mm of droop and at 40 and 80 mm of bump.
func curve(t *testing.T, v Vehicle, want [4]float64) {
	t.Helper()
	for i, bump := range [...]float64{-0.08, -0.04, 0.04, 0.08} {
		assert.InDelta(t, want[i], toeAt(t, v, bump).Toe/deg, 5e-6, "at %g m", bump) // the table stands on heights of six digits
	}
}

// The rate of toe-in for bump is v_o·t/(e·(t_y − t_z·k_y/k_z)): the outer end's velocity with the steering held, turned by the
// rod back into the steering. v_o follows from the front view's instant centre, t is the rod's direction inward, e how far
// the rod lies ahead of the axis (elementary kinematics, own working; the trade's rule is its zero: the rod's line runs
// through the instant centre).
func TestBumpSteerByInstantCentre(t *testing.T) {
	v := bumpTruck()
	c := &v.Front
	ic := instantCentre(c)
	assert.InDelta(t, -0.746429, ic.Y, 1e-6)
	assert.InDelta(t, 0.458571, ic.Z, 1e-6)
	got := toeAt(t, v, 0).BumpSteer / deg
	assert.InDelta(t, -15.25767, got, 1e-4, "the solver's finite difference")
	rod := c.TieInner.Sub(c.TieOuter).Unit()
	axis := c.UpperBall.Sub(c.LowerBall)
	run := c.WheelCentre.Y - ic.Y
	velocity := Point{Y: -(c.TieOuter.Z - ic.Z) / run, Z: (c.TieOuter.Y - ic.Y) / run}
	level := c.LowerBall.X + axis.X*(c.TieOuter.Z-c.LowerBall.Z)/axis.Z
	formula := velocity.Dot(rod) / ((c.TieOuter.X - level) * (rod.Y - rod.Z*axis.Y/axis.Z))
	assert.InDelta(t, formula/deg, got, 1e-8)
	const h = 1e-5
	assert.InDelta(t, (toeAt(t, v, h).Toe-toeAt(t, v, -h).Toe)/(2*h)/deg, got, 1e-6)
	curve(t, v, [4]float64{1.104969, 0.576860, -0.653799, -1.418899})
}

// instantCentre is where the lines of both arms meet in the front view.
func instantCentre(c *Corner) Point {
	slope := func(pivot, ball Point) float64 { return (ball.Z - pivot.Z) / (ball.Y - pivot.Y) }
	up, low := slope(c.UpperFront, c.UpperBall), slope(c.LowerFront, c.LowerBall)
	y := (c.LowerBall.Z - c.UpperBall.Z + up*c.UpperBall.Y - low*c.LowerBall.Y) / (up - low)
	return Point{Y: y, Z: c.UpperBall.Z + up*(y-c.UpperBall.Y)}
}

// Cures: the construction gives the height at which the rate is nought, for the rack and for the rod's outer end alike, and
// toe over ±80 mm is then a small part of what it was.
func TestBumpSteerCures(t *testing.T) {
	v := bumpTruck()
	ic := instantCentre(&v.Front)
	onLine := func(through Point, y float64) float64 { // height on the line from the instant centre
		return ic.Z + (through.Z-ic.Z)/(through.Y-ic.Y)*(y-ic.Y)
	}
	worst := func(v Vehicle) (most float64) {
		for bump := -0.08; bump <= 0.081; bump += 0.01 {
			most = math.Max(most, math.Abs(toeAt(t, v, bump).Toe))
		}
		return most
	}
	was := worst(v)

	rack := v
	rack.Front.TieInner.Z = onLine(v.Front.TieOuter, v.Front.TieInner.Y)
	assert.InDelta(t, 0.413980, rack.Front.TieInner.Z, 1e-6)
	assert.InDelta(t, 0, toeAt(t, rack, 0).BumpSteer/deg, 1e-6)
	curve(t, rack, [4]float64{-0.199751, -0.050880, -0.055569, -0.238069})
	assert.Less(t, worst(rack), was/4)

	outer := v
	outer.Front.TieOuter.Z = onLine(v.Front.TieInner, v.Front.TieOuter.Y)
	assert.InDelta(t, 0.421043, outer.Front.TieOuter.Z, 1e-6)
	assert.InDelta(t, 0, toeAt(t, outer, 0).BumpSteer/deg, 1e-6)
	curve(t, outer, [4]float64{-0.268679, -0.067401, -0.071652, -0.303202})
	assert.Less(t, worst(outer), was/4)

	// A shorter rod on the same line takes the bend out of the curve too.
	shorter := rack
	shorter.Front.TieInner = Point{X: 0.16, Y: 0.39466, Z: onLine(v.Front.TieOuter, 0.39466)}
	assert.InDelta(t, 0.3256, shorter.Front.TieInner.Sub(shorter.Front.TieOuter).Norm(), 5e-5)
	bend := func(v Vehicle) float64 {
		const h = 0.01
		return (toeAt(t, v, h).Toe + toeAt(t, v, -h).Toe - 2*toeAt(t, v, 0).Toe) / (h * h) / deg
	}
	assert.InDelta(t, -65.964, bend(rack), 0.05)
	assert.Less(t, math.Abs(bend(shorter)), 0.1)

	lower := v
	lower.Front.TieInner.Z -= 0.02
	assert.InDelta(t, 3.75655, toeAt(t, lower, 0).BumpSteer/deg, 1e-4)

	// A lift moves along the same curve: less of it cures nothing by itself.
	lifted := v
	lifted.Front.Lift, lifted.RearLift = 0.05, 0.05
	rest := toeAt(t, lifted, 0)
	assert.InDelta(t, -13.41705, rest.BumpSteer/deg, 1e-4)
	assert.InDelta(t, 0.712414, rest.Toe/deg, 1e-6)
}

// Roll steer is the rate times half the track, for small roll (elementary).
func TestRollSteerOfTheWorkedCorner(t *testing.T) {
	v := bumpTruck()
	assert.InDelta(t, -0.22635, toeAt(t, v, 0).BumpSteer*0.85, 1e-5)
}
