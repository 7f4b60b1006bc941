package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"turnplate/sim/agree"
	"turnplate/sim/tyre"
	"turnplate/sim/unit"
)

// The scrub torque is the rectangle's, turned from the vertical to the axis. The row µ 0.7, W 6000 N, p 240 kPa, width 0.20 m
// (computed by an independent script): 265.343 N·m about the patch's middle, 314.626 about a point 50 mm across from it.
func TestParkingScrub(t *testing.T) {
	v := testTruck()
	wheels := 2 * (v.Tyre.Mass + v.Tyre.RimMass)
	v.Mass = (2*6000/unit.StandardGravity - wheels) / v.FrontShare
	v.Tyre.PatchLength = 0.125
	k, err := SketchOf(v, 0, 0)
	require.NoError(t, err)
	v.Tyre.OffsetChange = k.ScrubRadius - 0.050 // the wheel out until the scrub radius is the row's, near enough
	for range 5 {
		k, err = SketchOf(v, 0, 0)
		require.NoError(t, err)
		v.Tyre.OffsetChange += k.ScrubRadius - 0.050
	}
	upright := 1 / math.Sqrt(1+math.Pow(math.Tan(k.Caster), 2)+math.Pow(math.Tan(k.Inclination), 2))
	const printed = 1e-3 // N·m
	park := func(v Vehicle, held bool) ParkingEffortResult {
		r, err := ParkingEffort{Vehicle: v, Friction: ptr(0.7), BrakesHeld: held}.Run()
		require.NoError(t, err)
		return r
	}
	free, held := park(v, false), park(v, true)
	agree.Absolute(t, 6000, free.WheelLoad, 1e-9, "load")
	agree.Absolute(t, 265.343*upright, free.KingpinTorque.Scrub, printed, "free to roll")
	agree.Absolute(t, 314.626*upright, held.KingpinTorque.Scrub, printed, "brakes held")
	assert.Greater(t, held.RimForce, free.RimForce)

	wide := v
	wide.Tyre.Pressure *= 0.5 // 0.4 m wide, and so as wide as the tyre and longer
	soft := park(wide, true)
	patch := tyre.Patch{Length: 6000 / (120e3 * v.Tyre.Width), Width: v.Tyre.Width}
	agree.Absolute(t, patch.ScrubTorque(0.7, 6000, k.ScrubRadius)*upright, soft.KingpinTorque.Scrub, 1e-6, "no wider than the tyre")

	estimated := v
	estimated.Tyre.PatchLength = 0
	length := tyre.PatchLengthFromDeflection(v.Tyre.Radius, v.Tyre.Radius-v.Tyre.LoadedRadius)
	patch = tyre.Patch{Length: length, Width: 6000 / (240e3 * length)}
	agree.Absolute(t, patch.ScrubTorque(0.7, 6000, k.ScrubRadius)*upright, park(estimated, true).KingpinTorque.Scrub, 1e-6, "length from the deflection")

	plain, err := ParkingEffort{Vehicle: v}.Run()
	require.NoError(t, err)
	agree.Absolute(t, 0.8/0.7, plain.KingpinTorque.Scrub/free.KingpinTorque.Scrub, 1e-12, "the tyre's own friction")
}

// Two tyres of one load and pressure: the wide low one asks more than the tall narrow one about a scrub radius across its
// width, and the formulas that know only W/p can't tell them apart.
func TestParkingWideTyreIsNotTallNarrow(t *testing.T) {
	v := testTruck()
	park := func(length float64) float64 {
		w := v
		w.Tyre.Width, w.Tyre.PatchLength = 0.4, length
		r, err := ParkingEffort{Vehicle: w, BrakesHeld: true}.Run()
		require.NoError(t, err)
		return r.KingpinTorque.Scrub
	}
	load := newWeight(&v)
	side := math.Sqrt(load.left / v.Tyre.Pressure)
	square, wide, tall := park(side), park(side/1.8), park(side*1.8)
	assert.Greater(t, wide, 1.05*square)
	assert.Greater(t, tall, 1.05*square)
	assert.Greater(t, math.Abs(wide/tall-1), 0.01)
}

// Without friction all the work at the rack goes into raising the body: ∫ rack force ds = Σ W·rise.
func TestParkingEnergyBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := randomVehicle(t)
		angle := anywhere(t, "angle", -25*deg, 25*deg)
		end := reachableAngle(t, Steer{Vehicle: v, Angle: &angle})
		if math.Abs(end.RoadWheelAngle) > 40*deg || math.Abs(end.Right.RoadWheelAngle) > 40*deg {
			t.Skip("too near the end of the tie rod's reach for the rule")
		}
		start := reachable(t, Steer{Vehicle: v, Angle: ptr(0)})
		const n = 40
		var work, load, rightLoad float64
		for i := 0; i <= n; i++ {
			rack := start.Rack + (end.Rack-start.Rack)*float64(i)/n
			at := reachable(t, Steer{Vehicle: v, Rack: &rack})
			weight := []float64{2, 4}[i%2]
			if i == 0 || i == n {
				weight = 1
			}
			m := at.Angle
			if i == 0 {
				m = math.Copysign(1e-12, angle) // already turning that way
			}
			r, err := ParkingEffort{Vehicle: v, Angle: m, Friction: ptr(0)}.Run()
			require.NoError(t, err)
			work += weight * r.RackForce
			load, rightLoad = r.WheelLoad, r.Right.WheelLoad
		}
		way := math.Abs(end.Rack - start.Rack)
		raised := load*(end.Rise-start.Rise) + rightLoad*(end.Right.Rise-start.Right.Rise)
		agree.Absolute(t, raised, work*way/n/3, 1e-3, "work in J, of some 10")
	})
}

// The work at the rack that friction takes is the work of friction where the tyres touch the ground: µ·W times the
// mean way that the contact's points slide under the turning knuckle, over the level and relative to the contact centre,
// whose own movement the rolling wheel takes up.
func TestScrubWorkAtTheGround(t *testing.T) {
	v := testTruck()
	const angle, step = 15 * deg, 1e-5
	park := func(friction float64) ParkingEffortResult {
		r, err := ParkingEffort{Vehicle: v, Angle: angle, Friction: &friction}.Run()
		require.NoError(t, err)
		return r
	}
	with, without := park(0.8), park(0)
	a, err := newAxle(&v)
	require.NoError(t, err)
	ahead := a.atRest()
	lo, err := a.steered(&ahead, with.Rack-step)
	require.NoError(t, err)
	hi, err := a.steered(&ahead, with.Rack+step)
	require.NoError(t, err)
	slid := func(l, h *stance) float64 {
		axis := l.pose.Axis
		square := func(s *stance) Point {
			arm := s.pose.TieOuter.Sub(s.pose.Lower)
			return arm.Sub(axis.Scale(arm.Dot(axis)))
		}
		turned := between(square(l), square(h)) * math.Copysign(1, axis.Dot(square(l).Cross(square(h))))
		turn := r3.NewRotation(turned, r3.Vec(axis))
		length := tyre.PatchLengthFromDeflection(v.Tyre.Radius, v.Tyre.Radius-v.Tyre.LoadedRadius)
		patch := tyre.StandingPatch(with.WheelLoad, v.Tyre.Pressure, length, v.Tyre.Width)
		const points = 24 // a side
		across := Point{X: -l.Heading.Y, Y: l.Heading.X}
		var way float64
		for i := range points {
			for j := range points {
				at := l.Contact.Add(l.Heading.Scale(((float64(i)+0.5)/points - 0.5) * patch.Length)).
					Add(across.Scale(((float64(j)+0.5)/points - 0.5) * patch.Width))
				from := at.Sub(l.Contact) // the contact itself rolls
				move := Point(turn.Rotate(r3.Vec(from))).Sub(from)
				way += math.Hypot(move.X, move.Y) / (points * points)
			}
		}
		return way
	}
	work := 0.8 * with.WheelLoad * (slid(&lo.left, &hi.left) + slid(&lo.right, &hi.right))
	// The axis leans, so points slide in slight ellipses: their mean way is k_z to second order in the lean.
	agree.Absolute(t, 1, work/((with.RackForce-without.RackForce)*2*step), 0.002, "work at the ground over work at the rack")
}

// Turned to the right, the right wheel of a like-sided vehicle gives what the left one gives turned left.
func TestParkingMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := randomVehicle(t)
		angle := anywhere(t, "angle", 1*deg, 25*deg)
		a, err := ParkingEffort{Vehicle: v, Angle: angle, BrakesHeld: true}.Run()
		if err != nil {
			t.Skip(err)
		}
		b, err := ParkingEffort{Vehicle: swapped(v), Angle: -angle, BrakesHeld: true}.Run()
		require.NoError(t, err)
		const force = 1e-6 // N or N·m
		agree.Absolute(t, a.RackForce, b.RackForce, force, "rack force")
		agree.Absolute(t, a.KingpinTorque.Total, b.Right.KingpinTorque.Total, force, "total")
		agree.Absolute(t, a.KingpinTorque.Jacking, b.Right.KingpinTorque.Jacking, force, "jacking")
		agree.Absolute(t, a.Rack, -b.Rack, 1e-10, "rack")
		agree.Absolute(t, a.KingpinTorque.Scrub+a.KingpinTorque.Jacking+a.KingpinTorque.Friction, a.KingpinTorque.Total, force, "sum")
		agree.Absolute(t, a.KingpinTorque.Total*a.AxisRate+a.Right.KingpinTorque.Total*a.Right.AxisRate, a.RackForce, force, "virtual work")
	})
}

// From the rack to the rim: friction added, assistance taken off, efficiency counted.
func TestParkingHandwheel(t *testing.T) {
	v := testTruck()
	v.Steering.Friction, v.Steering.KingpinFriction = 200, 10
	r, err := ParkingEffort{Vehicle: v, BrakesHeld: true}.Run()
	require.NoError(t, err)
	perRadian := 0.044 / (2 * math.Pi)
	agree.Absolute(t, (r.RackForce+200)*perRadian/0.9, r.HandwheelTorque, 1e-9, "unassisted")
	agree.Absolute(t, r.HandwheelTorque/0.19, r.RimForce, 1e-9, "rim")
	agree.Absolute(t, 10, r.KingpinTorque.Friction, 0, "kingpin friction")
	turned, err := ParkingEffort{Vehicle: v, Angle: 10 * deg}.Run()
	require.NoError(t, err)
	agree.Absolute(t, turned.Rack/perRadian, turned.HandwheelAngle, 1e-12, "handwheel angle")
	assert.Greater(t, turned.HandwheelAngle, 10*10*deg, "+ left, and geared down")

	v.Steering.AssistGain, v.Steering.AssistCeiling = 4, 1e5
	boosted, err := ParkingEffort{Vehicle: v, BrakesHeld: true}.Run()
	require.NoError(t, err)
	agree.Absolute(t, r.RimForce/5, boosted.RimForce, 1e-9, "a fifth is the driver's")
	v.Steering.AssistCeiling = 1000
	capped, err := ParkingEffort{Vehicle: v, BrakesHeld: true}.Run()
	require.NoError(t, err)
	agree.Absolute(t, (r.RackForce+200-1000)*perRadian/0.9, capped.HandwheelTorque, 1e-9, "all but the ceiling")
}

func TestParkingErrors(t *testing.T) {
	for _, c := range []struct {
		spoil func(*Vehicle)
		says  string
	}{
		{func(v *Vehicle) { v.Tyre.Pressure = 0 }, "Tyre.Pressure isn't given"},
		{func(v *Vehicle) { v.Tyre.Width = 0 }, "Tyre.Width isn't given"},
		{func(v *Vehicle) { v.Tyre.PatchLength = -0.1 }, "Tyre.PatchLength"},
		{func(v *Vehicle) { v.Tyre.LoadedRadius = v.Tyre.Radius }, "to estimate PatchLength"},
		{func(v *Vehicle) { v.Steering.RackPerTurn = 0 }, "Steering.RackPerTurn isn't given"},
		{func(v *Vehicle) { v.Mass = 0 }, "Mass isn't given"},
		{func(v *Vehicle) { v.Tyre.RimMass = 0 }, "Tyre.RimMass isn't given"},
		{func(v *Vehicle) { v.Steering.Efficiency = 1.1 }, "Steering.Efficiency"},
		{func(v *Vehicle) { v.Tyre.Friction = -0.1 }, "Friction"},
		{func(v *Vehicle) { v.Front.TieOuter = Point{} }, "Front.TieOuter isn't given"},
	} {
		v := testTruck()
		c.spoil(&v)
		_, err := ParkingEffort{Vehicle: v, BrakesHeld: true}.Run()
		assert.ErrorContains(t, err, c.says)
	}
	_, err := ParkingEffort{Vehicle: testTruck(), Angle: 50 * deg}.Run()
	assert.ErrorContains(t, err, "within Steering.RackLimit")
}
