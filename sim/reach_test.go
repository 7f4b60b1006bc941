package sim

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func camTruck() Vehicle {
	v := testTruck()
	v.Front.Adjust = Adjusters{CamOffset: 6e-3, CamLimit: 90 * deg, TiePitch: 1.5e-3}
	return v
}

func both(x float64) *Sides { return &Sides{x, x} }

// At the ends of Reach's ranges AlignTo reaches its target with a cam (or an arm's leg) used up, and just
// beyond it doesn't.
func TestReachAgainstAlignTo(t *testing.T) {
	const step = 1e-5 * deg
	rng := rand.New(rand.NewPCG(3, 41))
	held := 0
	for done := 0; done < 40; {
		v := randomTruck(rng)
		upper := rng.IntN(2) == 0
		m := Reach{Vehicle: v, Toe: both(0.05 * deg)}
		set := AlignTo{Vehicle: v, Toe: m.Toe, UseUpper: upper}
		if upper {
			m.LegTravel, m.ShiftTravel = 6e-3, 5e-3
			set.LegTravel, set.ShiftTravel = m.LegTravel, m.ShiftTravel
		}
		here, err := Alignment{v}.Run()
		if err != nil {
			continue
		}
		done++
		m.Camber, m.Caster = &Sides{here.Camber, here.Right.Camber}, &Sides{here.Caster, here.Right.Caster}
		r, err := m.Run()
		require.NoError(t, err)
		for _, at := range []struct {
			w           WheelReach
			camber, cas float64
			right       bool
		}{{r.WheelReach, here.Camber, here.Caster, false}, {r.Right, here.Right.Camber, here.Right.Caster, true}} {
			try := func(camber, caster float64) bool {
				set.Camber, set.Caster = both(camber), both(caster)
				got, err := set.Run()
				require.NoError(t, err)
				if at.right {
					return got.Right.LimitedBy == "nothing"
				}
				return got.LimitedBy == "nothing"
			}
			if math.IsNaN(at.w.CasterMax) {
				continue // at the toe asked for the present camber lies just out of reach
			}
			held++
			if at.w.CasterMax-at.w.CasterMin > 0.01*deg {
				assert.True(t, try(at.camber, at.w.CasterMax-step) && try(at.camber, at.w.CasterMin+step), "inside")
			}
			assert.False(t, try(at.camber, at.w.CasterMax+step) || try(at.camber, at.w.CasterMin-step), "outside")
			if !math.IsNaN(at.w.CamberMax) {
				assert.False(t, try(at.w.CamberMax+step, at.cas) || try(at.w.CamberMin-step, at.cas), "outside")
			}
		}
	}
	assert.Greater(t, held, 70)
}

// The edge is closed, lies on the ranges at its own cambers, and the present alignment lies inside.
func TestReachEdge(t *testing.T) {
	v := camTruck()
	r, err := Reach{Vehicle: v}.Run()
	require.NoError(t, err)
	require.Len(t, r.EdgeCamber, edgePoints)
	require.Len(t, r.EdgeCaster, edgePoints)
	last := edgePoints - 1
	assert.InDelta(t, r.EdgeCamber[0], r.EdgeCamber[last], 1e-9)
	assert.InDelta(t, r.EdgeCaster[0], r.EdgeCaster[last], 1e-9)
	for i := range last {
		at, err := Reach{Vehicle: v, Camber: both(r.EdgeCamber[i])}.Run()
		require.NoError(t, err)
		near := math.Min(math.Abs(at.CasterMin-r.EdgeCaster[i]), math.Abs(at.CasterMax-r.EdgeCaster[i]))
		assert.False(t, near > 1e-8, "point %d is %g off the ranges", i, near) // a range may be absent at the very corner
	}
	here, err := Alignment{v}.Run()
	require.NoError(t, err)
	assert.Less(t, r.CasterMin, here.Caster)
	assert.Greater(t, r.CasterMax, here.Caster)
	assert.Less(t, r.CamberMin, here.Camber)
	assert.Greater(t, r.CamberMax, here.Camber)
}

// More adjusters hold no less, and each range contains the smaller one's.
func TestReachGrowsWithAdjusters(t *testing.T) {
	last := WheelReach{math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)}
	for i, travel := range []float64{0, 2e-3, 4e-3, 8e-3} {
		v := camTruck()
		if i == 0 {
			v.Front.Adjust.CamLimit = 0
			travel = 0
		}
		r, err := Reach{Vehicle: v, LegTravel: travel, ShiftTravel: travel}.Run()
		require.NoError(t, err)
		assert.LessOrEqual(t, r.CasterMin, last.CasterMin)
		assert.GreaterOrEqual(t, r.CasterMax, last.CasterMax)
		assert.LessOrEqual(t, r.CamberMin, last.CamberMin)
		assert.GreaterOrEqual(t, r.CamberMax, last.CamberMax)
		last = r.WheelReach
	}
}

// Without anything to adjust there is the one point that the vehicle has.
func TestReachOfNothing(t *testing.T) {
	v := testTruck()
	here, err := Alignment{v}.Run()
	require.NoError(t, err)
	r, err := Reach{Vehicle: v}.Run()
	require.NoError(t, err)
	assert.InDelta(t, here.Caster, r.CasterMin, 1e-12)
	assert.InDelta(t, here.Caster, r.CasterMax, 1e-12)
	for i := range r.EdgeCamber {
		assert.InDelta(t, here.Camber, r.EdgeCamber[i], 1e-12)
	}
	r, err = Reach{Vehicle: v, Camber: both(1 * deg)}.Run()
	require.NoError(t, err)
	assert.True(t, math.IsNaN(r.CasterMin), "a camber that can't be held has no range")
}

// The upper ball joint's limit cuts the region.
func TestReachJointLimit(t *testing.T) {
	v := camTruck()
	wide, err := Reach{Vehicle: v, LegTravel: 10e-3}.Run()
	require.NoError(t, err)
	rest, err := Travel{Vehicle: v}.Run()
	require.NoError(t, err)
	v.Front.JointLimit = rest.UpperJointAngle + 0.3*deg
	tight, err := Reach{Vehicle: v, LegTravel: 10e-3}.Run()
	require.NoError(t, err)
	assert.Less(t, tight.CasterMax-tight.CasterMin, wide.CasterMax-wide.CasterMin)
	lost := 0
	for i := range tight.EdgeCamber {
		if math.IsNaN(tight.EdgeCamber[i]) {
			lost++
		}
	}
	assert.Positive(t, lost)
	// At the end of the range the stud leans by exactly JointLimit.
	set, err := AlignTo{Vehicle: v, Caster: both(wide.CasterMax), UseUpper: true, LegTravel: 10e-3}.Run()
	require.NoError(t, err)
	require.False(t, set.Reached)
	require.Equal(t, "upper ball joint", set.LimitedBy)
	travel, err := Travel{Vehicle: *set.Nearest}.Run()
	require.NoError(t, err)
	assert.InDelta(t, v.Front.JointLimit, travel.UpperJointAngle, 1e-6*deg)
}
