package sim

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// jointTruck is a truck with all joints described and limited (invented).
func jointTruck() Vehicle {
	v := archTruck()
	c := &v.Front
	c.ShaftInner, c.ShaftOuter = mm(0, 210, 370), mm(2, 700, 388)
	c.JointLimit, c.LowerJointLimit, c.TieJointLimit = 60*deg, 60*deg, 60*deg
	c.ShaftLimit, c.ShaftInnerLimit, c.ShaftPlunge = 47*deg, 26*deg, 0.05
	return v
}

// No pose of a finer grid bends a joint further, and where the worst is said to be the joint bends that far.
func TestJointAnglesAgainstDenseSweep(t *testing.T) {
	const promised = 1e-5 // rad and m
	rng := rand.New(rand.NewPCG(14, 2))
	tries := 0
	for done := 0; done < 6; {
		tries++
		require.Less(t, tries, 500)
		v := randomTruck(rng)
		v.Steering.RackLimit, v.RearLift = 0.05+0.02*rng.Float64(), v.Front.Lift
		v.Front.ShaftInner, v.Front.ShaftOuter = mm(5, 200, 380), v.Front.WheelCentre.Sub(mm(0, 90, 0))
		v.Front.JointLimit, v.Right = 0, nil
		r, err := JointAngles{Vehicle: v}.Run()
		if err != nil {
			continue
		}
		done++
		a, err := newAxle(&v)
		require.NoError(t, err)
		j, err := newJointed(&a.left, &v.Front)
		require.NoError(t, err)
		k := &a.left
		var most [jointQuantities]float64
		for i := range most {
			most[i] = math.Inf(-1)
		}
		for b := range 61 {
			ahead, err := k.height(k.lift - k.travelDown + float64(b)/60*(k.travelUp+k.travelDown))
			require.NoError(t, err)
			for s := range 81 {
				p, err := k.steered(&ahead, v.Steering.RackLimit*(float64(s)/40-1))
				require.NoError(t, err)
				for i, q := range j.bends(&p) {
					most[i] = math.Max(most[i], q)
				}
			}
		}
		for i, got := range []float64{r.UpperBall.Angle, r.LowerBall.Angle, r.TieOuter.Angle, r.TieInner.Angle, r.ShaftOuter.Angle, r.ShaftInner.Angle, r.Plunge.Longest, -r.Plunge.Shortest} {
			assert.GreaterOrEqual(t, got, most[i]-promised, "quantity %d", i)
			assert.Less(t, got, most[i]+2e-3, "and is nowhere that isn't swept: %d", i)
		}
		for _, bend := range []JointBend{r.UpperBall, r.ShaftOuter, r.TieOuter} {
			there, err := JointAngles{Vehicle: v, Rack: &bend.Rack, Bump: &bend.Bump}.Run()
			require.NoError(t, err)
			assert.LessOrEqual(t, there.ShaftOuter.Angle, r.ShaftOuter.Angle+1e-12)
			assert.LessOrEqual(t, there.UpperBall.Angle, r.UpperBall.Angle+1e-12)
		}
		there, err := JointAngles{Vehicle: v, Rack: &r.ShaftOuter.Rack, Bump: &r.ShaftOuter.Bump}.Run()
		require.NoError(t, err)
		assert.InDelta(t, r.ShaftOuter.Angle, there.ShaftOuter.Angle, 1e-12)
		travel, err := Travel{Vehicle: v, Bump: r.UpperBall.Bump}.Run()
		require.NoError(t, err)
		assert.LessOrEqual(t, travel.UpperJointAngle, r.UpperBall.Angle+1e-12, "Travel looks at the rack's middle alone")
	}
}

// hubTruck is a corner that steers about a vertical axis through the outer shaft joint, its shaft down by d and swept rearward
// by s on its way out.
func hubTruck(d, swept float64) Vehicle {
	v := jointTruck()
	c := &v.Front
	c.Camber, c.Toe = 0, 0
	out := c.WheelCentre.Sub(mm(0, 60, 0))
	c.LowerBall, c.UpperBall = Point{X: out.X, Y: out.Y, Z: out.Z - 0.14}, Point{X: out.X, Y: out.Y, Z: out.Z + 0.2}
	c.UpperFront, c.UpperRear = mm(100, 470, 600), mm(-120, 470, 600)
	c.LowerFront, c.LowerRear = mm(180, 340, 250), mm(-200, 340, 250)
	along := Point{X: -math.Sin(swept) * math.Cos(d), Y: math.Cos(swept) * math.Cos(d), Z: -math.Sin(d)}
	c.ShaftOuter, c.ShaftInner = out, out.Sub(along.Scale(0.45))
	v.Right, v.Steering.RackLimit, v.Front.Lift, v.RearLift = nil, 0, 0, 0
	return v
}

// A shaft down by d at a level hub steered by s bends by β with cos β = cos d·cos s (spherical trigonometry; the three
// angles were worked out by hand beforehand), and on a swept shaft the lock that opposes the sweep is the worse one.
func TestShaftBendsAsSphericalTrigonometrySays(t *testing.T) {
	const close = 1e-6 * deg
	at := func(v Vehicle, heading float64) float64 { // the outer joint with the left wheel at a heading, + left
		a, err := newAxle(&v)
		require.NoError(t, err)
		rest := a.atRest()
		rack, _, err := a.findRack(&rest, func(w *wheels) (float64, float64) {
			return a.left.heading(&w.left) - heading, a.left.headingRate(&w.left)
		})
		require.NoError(t, err)
		zero := 0.0
		r, err := JointAngles{Vehicle: v, Rack: &rack, Bump: &zero}.Run()
		require.NoError(t, err)
		return r.ShaftOuter.Angle
	}
	for _, c := range []struct{ down, steer, want float64 }{{12, 35, 36.750211}, {20, 35, 39.668454}, {25, 38, 44.423939}} {
		assert.InDelta(t, c.want*deg, at(hubTruck(c.down*deg, 0), c.steer*deg), close)
		assert.InDelta(t, c.want*deg, at(hubTruck(c.down*deg, 0), -c.steer*deg), close)
	}
	assert.InDelta(t, 29.362386*deg, at(hubTruck(12*deg, 8*deg), 35*deg), close)
	assert.InDelta(t, 44.326317*deg, at(hubTruck(12*deg, 8*deg), -35*deg), close, "a right lock brings the hub's axis forward, against the sweep")
}

// A shaft from (160, 420) whose outer end moves from (740, 420) shortens and leans as Pythagoras says (worked out by hand).
func TestPlungeByPythagoras(t *testing.T) {
	inner, outer := mm(0, 160, 420), mm(0, 740, 420)
	j := jointed{corner: &corner{shaftInner: inner}, shaftLength: outer.Sub(inner).Norm()}
	for _, c := range []struct{ y, z, plunge, angle float64 }{{-4, -50, -1.8339e-3, 4.96116}, {-16, -100, -7.2034e-3, 10.05434}} {
		moved := outer.Add(mm(0, c.y, c.z))
		assert.InDelta(t, c.plunge, j.plunge(moved), 1e-7)
		assert.InDelta(t, c.angle*deg, between(moved.Sub(inner), Point{Y: 1}), 1e-7)
	}
}

// Limits tell margins and what gives first; what isn't known is absent, and the upper joint's limit ends nothing.
func TestJointAnglesLimits(t *testing.T) {
	v := jointTruck()
	r, err := JointAngles{Vehicle: v}.Run()
	require.NoError(t, err)
	assert.InDelta(t, 47*deg-r.ShaftOuter.Angle, r.ShaftOuter.Margin, 1e-12)
	assert.InDelta(t, 0.025-math.Max(r.Plunge.Longest, -r.Plunge.Shortest), r.Plunge.Margin, 1e-12)
	assert.True(t, math.IsNaN(r.TieInner.Margin), "no limit of the inner end")

	tight := v
	tight.Front.TieJointLimit = r.TieOuter.Angle / 2
	bound, err := JointAngles{Vehicle: tight}.Run()
	require.NoError(t, err)
	assert.Equal(t, "outer tie-rod end", bound.LimitedBy)
	assert.InDelta(t, 2, bound.Use, 1e-9)
	assert.Negative(t, bound.TieOuter.Margin)

	past := v
	past.Front.JointLimit = r.UpperBall.Angle * 0.6
	over, err := JointAngles{Vehicle: past}.Run()
	require.NoError(t, err)
	assert.InDelta(t, r.UpperBall.Angle, over.UpperBall.Angle, 1e-12, "looked at past its limit")
	assert.Equal(t, "upper ball joint", over.LimitedBy)

	none := v
	c := &none.Front
	c.JointLimit, c.LowerJointLimit, c.TieJointLimit, c.ShaftLimit, c.ShaftInnerLimit, c.ShaftPlunge = 0, 0, 0, 0, 0, 0
	unknown, err := JointAngles{Vehicle: none}.Run()
	require.NoError(t, err)
	assert.Equal(t, "unknown", unknown.LimitedBy)
	assert.True(t, math.IsNaN(unknown.Use) && math.IsNaN(unknown.UpperBall.Margin) && math.IsNaN(unknown.Plunge.Margin))

	c.ShaftInner = Point{}
	bare, err := JointAngles{Vehicle: none}.Run()
	require.NoError(t, err)
	assert.True(t, math.IsNaN(bare.ShaftOuter.Angle) && math.IsNaN(bare.Plunge.Longest))
	assert.InDelta(t, r.UpperBall.Angle, bare.UpperBall.Angle, 1e-12)
}

// A tie rod is square to its stud where it was measured if nothing else is said; the right side mirrors the left.
func TestJointAnglesAsMeasured(t *testing.T) {
	v := jointTruck()
	zero := 0.0
	r, err := JointAngles{Vehicle: v, Rack: &zero, Bump: &zero}.Run()
	require.NoError(t, err)
	assert.InDelta(t, 0, r.TieOuter.Angle, 1e-9)
	assert.InDelta(t, 0, r.Plunge.Longest, 1e-12)
	travel, err := Travel{Vehicle: v}.Run()
	require.NoError(t, err)
	assert.InDelta(t, travel.UpperJointAngle, r.UpperBall.Angle, 1e-12)
	assert.InDelta(t, travel.ShaftOuterAngle, r.ShaftOuter.Angle, 1e-12)
	assert.InDelta(t, travel.ShaftAngle, r.ShaftInner.Angle, 1e-12)

	v.Front.TieStud = Point{Z: 1}
	all, err := JointAngles{Vehicle: v}.Run()
	require.NoError(t, err)
	assert.InDelta(t, all.ShaftOuter.Angle, all.Right.ShaftOuter.Angle, 1e-7)
	assert.InDelta(t, all.ShaftOuter.Rack, -all.Right.ShaftOuter.Rack, 1e-4)
}

func BenchmarkJointAngles(b *testing.B) {
	m := JointAngles{Vehicle: jointTruck()}
	for b.Loop() {
		r, err := m.Run()
		if err != nil {
			b.Fatal(err)
		}
		benchKeep += r.Use
	}
}
