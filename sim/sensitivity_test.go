package sim

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// liftedTruck has been raised and set since it was measured, so that every point counts.
func liftedTruck() Vehicle {
	v := camTruck()
	v.Front.Lift, v.RearLift = 0.05, 0.04
	v.Front.Adjust.CamFront, v.Front.Adjust.CamRear = -20*deg, 35*deg
	return v
}

// With the points where they were measured, only the ball joints can be wrong about caster, and nothing about
// camber and toe. Caster's own change is the arctangent's: Δx over the height between the ball joints.
func TestSensitivityAsMeasured(t *testing.T) {
	v := testTruck()
	r, err := Sensitivity{Vehicle: v, PointDeviation: 3e-3}.Run()
	require.NoError(t, err)
	require.Len(t, r.Coordinate, 27)
	height := v.Front.UpperBall.Z - v.Front.LowerBall.Z
	base := v.Front.LowerBall.X - v.Front.UpperBall.X
	perX := 3e-3 * height / (height*height + base*base)
	for i, name := range r.Coordinate {
		switch name {
		case "UpperBall.X":
			assert.InDelta(t, -perX, r.Caster[i], 1e-8)
		case "LowerBall.X":
			assert.InDelta(t, perX, r.Caster[i], 1e-8)
		case "UpperBall.Z", "LowerBall.Z":
			assert.InDelta(t, perX*base/height, math.Abs(r.Caster[i]), 1e-8)
		default:
			assert.InDelta(t, 0, r.Caster[i], 1e-8, name)
		}
		assert.InDelta(t, 0, r.Camber[i], 1e-9, name)
		assert.InDelta(t, 0, r.Toe[i], 1e-9, name)
	}
	assert.Equal(t, "none", r.CamberRanking)
	assert.True(t, strings.HasPrefix(r.CasterRanking, "upper ball joint fore and aft 0.45°, lower ball joint fore and aft 0.45°"), r.CasterRanking)
	assert.Contains(t, []string{"UpperBall", "LowerBall"}, r.CasterPoint)
	assert.InDelta(t, math.Sqrt2*math.Hypot(perX, perX*base/height), r.CasterDeviation, 1e-8)
}

// What the derivatives make uncertain is what drawing the points at random does.
func TestSensitivityAgainstDraws(t *testing.T) {
	const draws = 6000
	v := liftedTruck()
	m := Sensitivity{Vehicle: v, PointDeviation: 1e-3, Bump: 0.02}
	r, err := m.Run()
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(3, 71))
	var caster, camber, toe []float64
	for range draws {
		w := v
		for _, c := range w.Front.coordinates() {
			*c += 1e-3 * rng.NormFloat64()
		}
		got, err := Travel{Vehicle: w, Bump: m.Bump}.Run()
		require.NoError(t, err)
		caster, camber, toe = append(caster, got.Caster), append(camber, got.Camber), append(toe, got.Toe)
	}
	together := func(xs []float64) float64 {
		var sum, square float64
		for _, x := range xs {
			sum += x
		}
		for _, x := range xs {
			square += (x - sum/draws) * (x - sum/draws)
		}
		return math.Sqrt(square / (draws - 1))
	}
	// A standard deviation of n draws is good to 1/√(2n), here 0.9 %; three of these, and the bend over a
	// millimetre.
	const near = 0.04
	assert.InEpsilon(t, together(caster), r.CasterDeviation, near)
	assert.InEpsilon(t, together(camber), r.CamberDeviation, near)
	assert.InEpsilon(t, together(toe), r.ToeDeviation, near)
}

// The ranking falls, names what it should, and its parts add up to the whole; the sides differ where they do.
func TestSensitivityRanking(t *testing.T) {
	v := liftedTruck()
	right := v.Front
	right.Lift = 0.03
	right.TieInner.Z += 0.02
	v.Right = &right
	r, err := Sensitivity{Vehicle: v, PointDeviation: 3e-3}.Run()
	require.NoError(t, err)
	assert.NotEqual(t, r.ToeDeviation, r.Right.ToeDeviation)
	var sum float64
	largest := 0
	for i, c := range r.Camber {
		sum += c * c
		if math.Abs(c) > math.Abs(r.Camber[largest]) {
			largest = i
		}
	}
	assert.InDelta(t, sum, r.CamberDeviation*r.CamberDeviation, 1e-15)
	assert.True(t, strings.HasPrefix(r.CamberRanking, coordinateWords()[largest]+" "), r.CamberRanking)
	for _, ranking := range []string{r.CasterRanking, r.CamberRanking, r.ToeRanking} {
		assert.Greater(t, strings.Count(ranking, "°"), 1)
	}
	// The sides' own pitch is kept: the left wheel alone is what it is together with the other.
	pair, err := Alignment{v}.Run()
	require.NoError(t, err)
	for side, want := range []WheelAlignment{pair.WheelAlignment, pair.Right} {
		alone, err := Alignment{v.oneSided(side == 1)}.Run()
		require.NoError(t, err)
		assert.InDelta(t, want.Caster, alone.Caster, 1e-14)
		assert.InDelta(t, want.Camber, alone.Camber, 1e-14)
		assert.InDelta(t, pair.BodyPitch, alone.BodyPitch, 1e-14)
	}
	_, err = Sensitivity{Vehicle: v}.Run()
	assert.ErrorContains(t, err, "PointDeviation of 0 mm must be above zero")
}
