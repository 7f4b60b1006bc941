package sim

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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
