package wishbone

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"turnplate/sim/geom"
)

const deg = math.Pi / 180

func mm(x, y, z float64) geom.Point { return geom.Point{X: x * 1e-3, Y: y * 1e-3, Z: z * 1e-3} }

// plain is an invented corner with its rack ahead of the axle.
func plain() Hardpoints {
	return Hardpoints{
		UpperFront: mm(90, 420, 610), UpperRear: mm(-130, 425, 595), UpperBall: mm(-22, 665, 620),
		LowerFront: mm(180, 340, 265), LowerRear: mm(-200, 345, 262), LowerBall: mm(12, 735, 245),
		TieInner: mm(135, 360, 300), TieOuter: mm(150, 718, 288),
		WheelCentre: mm(0, 800, 385), Spin: spin(0.2*deg, 0.05*deg),
	}
}

// spin is the wheel's axis for a camber and a toe.
func spin(camber, toe float64) geom.Point {
	return geom.Point{X: math.Sin(toe) * math.Cos(camber), Y: math.Cos(toe) * math.Cos(camber), Z: -math.Sin(camber)}
}

// corners draws a corner with every point up to 25 mm from the plain one's, rack ahead or behind.
func corners(t *rapid.T) Hardpoints {
	h := plain()
	behind := rapid.Bool().Draw(t, "rack behind")
	for _, p := range []*geom.Point{&h.UpperFront, &h.UpperRear, &h.UpperBall, &h.LowerFront, &h.LowerRear,
		&h.LowerBall, &h.TieInner, &h.TieOuter, &h.WheelCentre} {
		if behind && (p == &h.TieInner || p == &h.TieOuter) {
			p.X = -p.X
		}
		p.X += between(t, "x", -0.025, 0.025)
		p.Y += between(t, "y", -0.025, 0.025)
		p.Z += between(t, "z", -0.025, 0.025)
	}
	h.Spin = spin(between(t, "camber", -2*deg, 2*deg), between(t, "toe", -1*deg, 1*deg))
	return h
}

func settings(t *rapid.T) Settings {
	return Settings{
		LowerFront: between(t, "lower front", -0.008, 0.008), LowerRear: between(t, "lower rear", -0.008, 0.008),
		UpperShift:    between(t, "shift", 0, 0.01),
		UpperFrontLeg: between(t, "front leg", -0.006, 0.006), UpperRearLeg: between(t, "rear leg", -0.006, 0.006),
		TieRod: between(t, "tie rod", -0.006, 0.006),
	}
}

// posed draws a linkage and a pose of it well inside its reach.
func posed(t *rapid.T) (Linkage, Pose) {
	l, err := New(corners(t), settings(t))
	require.NoError(t, err)
	p, err := l.AtHeight(l.at.WheelCentre.Z+between(t, "bump", -0.08, 0.08), between(t, "rack", -0.05, 0.05))
	if err != nil {
		t.Skip("out of reach")
	}
	return l, p
}

func between(t *rapid.T, name string, low, high float64) float64 {
	return rapid.Float64Range(low, high).Draw(t, name)
}

// near fails unless every coordinate agrees within tolerance; a NaN agrees with nothing.
func near(t require.TestingT, want, got geom.Point, tolerance float64, what string) {
	if d := want.Sub(got).Norm(); !(d <= tolerance) {
		t.Errorf("%s: want %v, got %v, %g apart", what, want, got, d)
	}
}

func agree(t require.TestingT, want, got, tolerance float64, what string) {
	if d := math.Abs(want - got); !(d <= tolerance) {
		t.Errorf("%s: want %v, got %v, %g apart", what, want, got, d)
	}
}

func check(t *testing.T, property func(*rapid.T)) { t.Helper(); rapid.Check(t, property) }
