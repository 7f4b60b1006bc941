package sim

import (
	"errors"
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/adjust"
)

// reachedClose is how near AlignTo must bring Alignment to its target: a hundredth of the promised 1e-6 degree.
const reachedClose = 1e-8 * deg

// randomTruck is a truck of ordinary proportions: every point within 25 mm of testTruck's, the rack ahead of the
// axle or behind, lifted, with cams and threaded legs set somehow.
func randomTruck(rng *rand.Rand) Vehicle {
	v := testTruck()
	near := func(p *Point) {
		p.X += 0.025 * (2*rng.Float64() - 1)
		p.Y += 0.025 * (2*rng.Float64() - 1)
		p.Z += 0.025 * (2*rng.Float64() - 1)
	}
	spread := func(most float64) float64 { return most * (2*rng.Float64() - 1) }
	corner := func(c *Corner, behind bool) {
		if behind {
			c.TieInner.X, c.TieOuter.X = -c.TieInner.X, -c.TieOuter.X
		}
		for _, p := range []*Point{&c.UpperFront, &c.UpperRear, &c.UpperBall, &c.LowerFront, &c.LowerRear, &c.LowerBall, &c.TieInner, &c.TieOuter, &c.WheelCentre} {
			near(p)
		}
		c.Camber, c.Toe = spread(1*deg), spread(0.3*deg)
		c.Lift = 0.06 * rng.Float64()
		c.Adjust = Adjusters{
			CamOffset: 0.004 + 0.006*rng.Float64(), CamLimit: (60 + 30*rng.Float64()) * deg, TiePitch: 1.5e-3,
			UpperShift: spread(0.004), UpperFrontLeg: spread(0.004), UpperRearLeg: spread(0.004), TieRod: spread(0.003),
		}
		a := &c.Adjust
		a.CamFront, a.CamRear = spread(a.CamLimit), spread(a.CamLimit)
		a.CamFrontMeasured, a.CamRearMeasured = spread(a.CamLimit), spread(a.CamLimit)
	}
	behind := rng.IntN(2) == 0
	corner(&v.Front, behind)
	if rng.IntN(2) == 0 {
		right := testTruck().Front
		corner(&right, behind)
		v.Right = &right
	}
	v.RearLift = 0.06 * rng.Float64()
	return v
}

// Whatever setting a vehicle can have, AlignTo finds it again from its alignment alone.
func TestAlignToThenAlignment(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	const wanted = 3000
	tried, found := 0, 0
	for found < wanted {
		tried++
		v := randomTruck(rng)
		set := v
		spread := func(most float64) float64 { return most * (2*rng.Float64() - 1) }
		move := func(a *Adjusters) {
			a.CamFront, a.CamRear, a.TieRod = spread(a.CamLimit), spread(a.CamLimit), spread(0.005)
		}
		move(&set.Front.Adjust)
		if v.Right != nil {
			right := *v.Right
			move(&right.Adjust)
			set.Right = &right
		}
		want, err := Alignment{set}.Run()
		if err != nil {
			continue
		}
		if _, err := (Alignment{v}).Run(); err != nil {
			continue
		}
		found++
		r, err := AlignTo{
			Vehicle: v, CamberTolerance: 0.25 * deg,
			Caster: &Sides{want.Caster, want.Right.Caster},
			Camber: &Sides{want.Camber, want.Right.Camber},
			Toe:    &Sides{want.Toe, want.Right.Toe},
		}.Run()
		require.NoError(t, err)
		require.True(t, r.Reached, "%s; %s; left over %g° %g°", r.LimitedBy, r.Right.LimitedBy, r.CasterLeft/deg, r.CamberLeft/deg)
		require.Equal(t, "nothing", r.LimitedBy)
		require.Equal(t, v.Right == nil, r.Vehicle.Right == nil)
		require.Same(t, r.Vehicle, r.Nearest)
		got, err := Alignment{*r.Vehicle}.Run()
		require.NoError(t, err)
		for _, pair := range [][2]WheelAlignment{{want.WheelAlignment, got.WheelAlignment}, {want.Right, got.Right}} {
			require.InDelta(t, pair[0].Caster, pair[1].Caster, reachedClose)
			require.InDelta(t, pair[0].Camber, pair[1].Camber, reachedClose)
			require.InDelta(t, pair[0].Toe, pair[1].Toe, reachedClose)
		}
		assert.LessOrEqual(t, r.CamUse, 1.0)
		// Two cams and a tie rod have one setting for an alignment.
		require.InDelta(t, math.Sin(set.Front.Adjust.CamFront), math.Sin(r.CamFront), 1e-6)
		require.InDelta(t, set.Front.Adjust.TieRod, r.Vehicle.Front.Adjust.TieRod, 1e-9)
		turns := (set.Front.Adjust.TieRod - v.Front.Adjust.TieRod) / 1.5e-3
		require.InDelta(t, 2*math.Pi*turns, r.TieRodTurns, 1e-5)
	}
	assert.Less(t, tried, 2*wanted, "most random trucks can be assembled")
}

// A target left out stays as the vehicle has it.
func TestAlignToKeepsWhatIsLeftOut(t *testing.T) {
	v := camTruck()
	before, err := Alignment{v}.Run()
	require.NoError(t, err)
	r, err := AlignTo{Vehicle: v, Caster: both(before.Caster + 0.5*deg)}.Run()
	require.NoError(t, err)
	require.True(t, r.Reached)
	after, err := Alignment{*r.Vehicle}.Run()
	require.NoError(t, err)
	assert.InDelta(t, before.Caster+0.5*deg, after.Caster, reachedClose)
	assert.InDelta(t, before.Camber, after.Camber, reachedClose)
	assert.InDelta(t, before.Toe, after.Toe, reachedClose)
	assert.Zero(t, v.Front.Adjust.CamFront, "the input stays as it was")
	assert.Nil(t, r.Vehicle.Right)
	assert.Equal(t, r.WheelSetting, r.Right)

	// With nothing asked for, nothing moves; asked again, a setting stays.
	r, err = AlignTo{Vehicle: v}.Run()
	require.NoError(t, err)
	assert.True(t, r.Reached)
	assert.InDelta(t, 0, r.CamUse, 1e-9)
	assert.InDelta(t, 0, r.TieRodTurns, 1e-7)
	assert.Zero(t, r.CamberLeft)
}

// Unlike targets give a vehicle with a right side of its own.
func TestAlignToSides(t *testing.T) {
	v := camTruck()
	v.Front.Lift, v.RearLift = 0.04, 0.02 // the body pitches: both sides must count in it
	before, err := Alignment{v}.Run()
	require.NoError(t, err)
	want := Sides{before.Caster + 0.2*deg, before.Caster - 0.3*deg}
	r, err := AlignTo{Vehicle: v, Caster: &want, Toe: both(0.05 * deg)}.Run()
	require.NoError(t, err)
	require.True(t, r.Reached)
	require.NotNil(t, r.Vehicle.Right)
	after, err := Alignment{*r.Vehicle}.Run()
	require.NoError(t, err)
	assert.InDelta(t, want.Left, after.Caster, reachedClose)
	assert.InDelta(t, want.Right, after.Right.Caster, reachedClose)
	assert.InDelta(t, 0.1*deg, after.TotalToe, 2*reachedClose)
	assert.InDelta(t, before.BodyPitch, after.BodyPitch, 1e-15)
	assert.NotEqual(t, r.CamRear, r.Right.CamRear)
	assert.Nil(t, v.Right)
}

// Without cams only toe can be set, and what is left over says so.
func TestAlignToWithoutCams(t *testing.T) {
	v := testTruck()
	v.Front.Adjust.TiePitch = 1.5e-3
	before, err := Alignment{v}.Run()
	require.NoError(t, err)
	r, err := AlignTo{Vehicle: v, Caster: both(before.Caster + 1*deg), Toe: both(0.2 * deg)}.Run()
	require.NoError(t, err)
	assert.False(t, r.Reached)
	assert.Nil(t, r.Vehicle)
	assert.Equal(t, "no cams", r.LimitedBy)
	assert.True(t, math.IsNaN(r.CamUse))
	after, err := Alignment{*r.Nearest}.Run()
	require.NoError(t, err)
	assert.InDelta(t, 0.2*deg, after.Toe, reachedClose)
	assert.InDelta(t, before.Caster+1*deg, after.Caster+r.CasterLeft, 1e-12)
	assert.InDelta(t, before.Camber, after.Camber+r.CamberLeft, 1e-12)
	// More toe-in of a rod ahead of the axle means a shorter one.
	assert.Negative(t, r.TieRodTurns)

	// Toe alone is reached without cams.
	toe, err := AlignTo{Vehicle: v, Toe: both(0.2 * deg), Caster: both(after.Caster), Camber: both(after.Camber)}.Run()
	require.NoError(t, err)
	assert.True(t, toe.Reached)
}

// Out of reach: toe exact, camber within its tolerance as far as caster needs it, and the cam that ends it named.
func TestAlignToOutOfReach(t *testing.T) {
	v := camTruck()
	before, err := Alignment{v}.Run()
	require.NoError(t, err)
	at, err := Reach{Vehicle: v}.Run()
	require.NoError(t, err)
	target := at.CasterMax + 2*deg
	for _, tolerance := range []float64{0, 0.05 * deg, 0.1 * deg} {
		r, err := AlignTo{Vehicle: v, Caster: both(target), CamberTolerance: tolerance}.Run()
		require.NoError(t, err)
		require.False(t, r.Reached)
		require.Nil(t, r.Vehicle)
		got, err := Alignment{*r.Nearest}.Run()
		require.NoError(t, err)
		assert.InDelta(t, before.Toe, got.Toe, reachedClose)
		assert.InDelta(t, tolerance, math.Abs(got.Camber-before.Camber), reachedClose, "camber is spent on caster")
		assert.InDelta(t, target-got.Caster, r.CasterLeft, reachedClose)
		assert.InDelta(t, before.Camber-got.Camber, r.CamberLeft, reachedClose)
		assert.InDelta(t, 1, r.CamUse, 1e-9)
		assert.Contains(t, []string{"front cam", "rear cam"}, r.LimitedBy)
		most, err := Reach{Vehicle: v, Camber: both(got.Camber)}.Run()
		require.NoError(t, err)
		assert.InDelta(t, most.CasterMax, got.Caster, reachedClose, "as much caster as there is at this camber")
	}
	// Far out in both, both cams stand at their ends.
	r, err := AlignTo{Vehicle: v, Camber: both(-20 * deg)}.Run()
	require.NoError(t, err)
	assert.Equal(t, "both cams", r.LimitedBy)
	assert.InDelta(t, 90*deg, math.Abs(r.CamFront), 1e-6)
}

// The upper arm is left alone unless asked for, and with it caster that the cams don't have is reached.
func TestAlignToUseUpper(t *testing.T) {
	v := camTruck()
	at, err := Reach{Vehicle: v}.Run()
	require.NoError(t, err)
	m := AlignTo{Vehicle: v, Caster: both(at.CasterMax + 2*deg), Camber: both(0), Toe: both(0.05 * deg), UseUpper: true, LegTravel: 40e-3, ShiftTravel: 40e-3}
	r, err := m.Run()
	require.NoError(t, err)
	require.True(t, r.Reached)
	got, err := Alignment{*r.Vehicle}.Run()
	require.NoError(t, err)
	assert.InDelta(t, m.Caster.Left, got.Caster, reachedClose)
	assert.InDelta(t, 0, got.Camber, reachedClose)
	assert.InDelta(t, 0.05*deg, got.Toe, reachedClose)
	assert.NotZero(t, r.UpperShift)
	assert.Equal(t, r.UpperShift, r.Vehicle.Front.Adjust.UpperShift)

	m.LegTravel, m.ShiftTravel = 1e-3, 1e-3
	r, err = m.Run()
	require.NoError(t, err)
	assert.False(t, r.Reached)
	assert.Contains(t, r.LimitedBy, "upper")
	for _, x := range []float64{r.UpperShift, r.UpperFrontLeg, r.UpperRearLeg} {
		assert.LessOrEqual(t, math.Abs(x), 1e-3*(1+1e-12))
	}
	m.UseUpper = false
	r, err = m.Run()
	require.NoError(t, err)
	assert.Zero(t, r.UpperShift)
}

// A travel of zero is none: only what has some moves, and Reach says the same of how far that goes.
func TestAlignToTravelOfZeroIsNone(t *testing.T) {
	v := camTruck()
	for _, c := range []struct{ legs, shift float64 }{{3e-3, 0}, {0, 3e-3}} {
		reach, err := Reach{Vehicle: v, Camber: both(0), Toe: both(0), LegTravel: c.legs, ShiftTravel: c.shift}.Run()
		require.NoError(t, err)
		for beyond, reached := range map[float64]bool{-0.01 * deg: true, 0.01 * deg: false} {
			r, err := AlignTo{Vehicle: v, Caster: both(reach.CasterMax + beyond), Camber: both(0), Toe: both(0),
				UseUpper: true, LegTravel: c.legs, ShiftTravel: c.shift}.Run()
			require.NoError(t, err)
			assert.Equal(t, reached, r.Reached)
			assert.Equal(t, c.shift == 0, r.UpperShift == 0)
			assert.Equal(t, c.legs == 0, r.UpperFrontLeg == 0 && r.UpperRearLeg == 0)
		}
	}
	_, err := AlignTo{Vehicle: v, Caster: both(4 * deg), UseUpper: true}.Run()
	assert.ErrorContains(t, err, "UseUpper needs LegTravel or ShiftTravel")
}

// What can't be asked for is an error that says so.
func TestAlignToErrors(t *testing.T) {
	good := camTruck()
	for name, c := range map[string]struct {
		m    AlignTo
		says string
	}{
		"beyond 45°":         {AlignTo{Vehicle: good, Caster: both(50 * deg)}, "Caster of 50° must lie within 45°"},
		"not a number":       {AlignTo{Vehicle: good, Toe: both(math.NaN())}, "Toe"},
		"negative tolerance": {AlignTo{Vehicle: good, CamberTolerance: -1}, "CamberTolerance"},
		"nothing given":      {AlignTo{}, "isn't given"},
		"leg beyond its own": {func() AlignTo {
			v := good
			v.Front.Adjust.UpperFrontLeg = 5e-3
			return AlignTo{Vehicle: v, UseUpper: true, LegTravel: 2e-3}
		}(), "Front.Adjust.UpperFrontLeg of 5 mm is beyond LegTravel, 2 mm"},
	} {
		_, err := c.m.Run()
		assert.ErrorContains(t, err, c.says, name)
	}
}

// Whatever is asked of whatever truck, with joints that limit and arms that may be set, the answer holds together: the
// vehicle it gives can stand, has its toe, and what is said to be left over is left over.
func TestAlignToAnswersHoldTogether(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 2))
	blocked, answers := 0, 0
	for range 3000 {
		v := randomTruck(rng)
		if rng.IntN(4) == 0 {
			v.Front.JointLimit = (10 + 20*rng.Float64()) * deg
		}
		if rng.IntN(5) == 0 {
			v.Front.Adjust.CamLimit = 0
		}
		size := deg
		if rng.IntN(3) == 0 {
			size = 10 * deg // far out of reach
		}
		ask := func(most float64) *Sides {
			if rng.IntN(5) == 0 {
				return nil
			}
			x := most * size * (2*rng.Float64() - 1)
			if rng.IntN(2) == 0 {
				return both(x)
			}
			return &Sides{x, most * size * (2*rng.Float64() - 1)}
		}
		m := AlignTo{Vehicle: v, Caster: ask(4), Camber: ask(2), Toe: ask(1), CamberTolerance: rng.Float64() * deg, UseUpper: rng.IntN(2) == 0}
		if m.UseUpper {
			m.LegTravel, m.ShiftTravel = 5e-3*float64(1+4*rng.IntN(2)), 5e-3*float64(rng.IntN(5))
		}
		r, err := m.Run()
		if err != nil {
			var joint Unreachable
			stands, _ := Alignment{v}.Run()
			require.True(t, errors.As(err, &joint) || stands == AlignmentResult{}, "%v", err)
			continue
		}
		answers++
		require.Equal(t, r.Reached, r.LimitedBy == "nothing" && r.Right.LimitedBy == "nothing")
		require.Equal(t, r.Reached, r.Vehicle != nil)
		require.NotEmpty(t, r.LimitedBy)
		got, err := Alignment{*r.Nearest}.Run()
		require.NoError(t, err)
		for _, side := range []struct {
			of  side
			got WheelAlignment
			w   WheelSetting
		}{{sideLeft, got.WheelAlignment, r.WheelSetting}, {sideRight, got.Right, r.Right}} {
			want := adjust.Angles{Camber: side.got.Camber + side.w.CamberLeft, Caster: side.got.Caster + side.w.CasterLeft, Toe: side.got.Toe}
			side.of.read(m.Camber, &want.Camber)
			side.of.read(m.Caster, &want.Caster)
			side.of.read(m.Toe, &want.Toe)
			require.InDelta(t, want.Toe, side.got.Toe, reachedClose)
			require.InDelta(t, want.Camber, side.got.Camber+side.w.CamberLeft, reachedClose)
			require.InDelta(t, want.Caster, side.got.Caster+side.w.CasterLeft, reachedClose)
			if side.w.LimitedBy == "upper ball joint" {
				blocked++
			}
		}
	}
	assert.Greater(t, answers, 2000)
	assert.Greater(t, blocked, 20)
}

// TestMissedSaysWhatIsInReach asks for what it says is in reach, and for a little more.
func TestMissedSaysWhatIsInReach(t *testing.T) {
	v := wholeTruck()
	m := AlignTo{Vehicle: v, Caster: &Sides{12 * deg, 12 * deg}, Camber: &Sides{}}
	number := regexp.MustCompile(`both wheels are ([\d.]+)° short of the caster.* asked for \(limited by .*\); the nearest is ([\d.]+)° of caster with .*; in reach is caster from ([-\d.]+)° to ([-\d.]+)° at that camber, and no camber at that caster`)
	got := number.FindStringSubmatch(m.Missed())
	if got == nil {
		t.Fatal(m.Missed())
	}
	var x [5]float64
	for i := 1; i < 5; i++ {
		x[i], _ = strconv.ParseFloat(got[i], 64)
	}
	if math.Abs(x[1]+x[2]-12) > 0.011 {
		t.Errorf("%g° short and %g° reached aren't 12°", x[1], x[2])
	}
	for _, c := range [...]struct {
		caster float64
		reach  bool
	}{{x[4] - 0.01, true}, {x[4] + 0.01, false}, {x[3] + 0.01, true}, {x[3] - 0.01, false}} {
		m.Caster = &Sides{c.caster * deg, c.caster * deg}
		if (m.Missed() == "") != c.reach {
			t.Errorf("%g° of caster: %q", c.caster, m.Missed())
		}
	}
}
