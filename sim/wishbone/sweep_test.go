package wishbone

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"turnplate/sim/geom"
)

const wheelRadius = 0.385

// leaning is a corner without camber and toe whose steering axis has the caster, inclination, scrub radius and
// trail given, on a wheel of wheelRadius.
func leaning(caster, inclination, scrub, trail float64) Hardpoints {
	h := plain()
	h.Spin = spin(0, 0)
	h.WheelCentre = geom.Point{Y: 0.8, Z: wheelRadius}
	ground := geom.Point{X: trail, Y: 0.8 - scrub}
	along := geom.Point{X: -math.Tan(caster), Y: -math.Tan(inclination), Z: 1}
	h.LowerBall = ground.Add(along.Scale(0.25))
	h.UpperBall = ground.Add(along.Scale(0.6))
	h.TieOuter = h.LowerBall.Add(mm(140, -10, 40))
	h.TieInner = h.TieOuter.Add(mm(-12, -370, 15))
	return h
}

// rotatedTo gives the rack at which the knuckle has turned by angle about its axis from straight ahead.
func rotatedTo(t *testing.T, l *Linkage, angle float64) Pose {
	ahead, err := l.At(0, 0)
	require.NoError(t, err)
	low, high := -0.12, 0.12
	for range 100 {
		p, err := l.At(0, (low+high)/2)
		require.NoError(t, err)
		turned := math.Atan2(ahead.knuckle.g.Cross(p.knuckle.g).Dot(p.Axis), ahead.knuckle.g.Dot(p.knuckle.g))
		if turned < angle {
			low = p.Rack
		} else {
			high = p.Rack
		}
	}
	p, err := l.At(0, (low+high)/2)
	require.NoError(t, err)
	return p
}

// Camber against steer, SOURCES §2 (computed from Rodrigues' rotation by another script): the rows for
// rotation about the axis. The rows for the turnplate are in package sim's CasterSweep test.
func TestCamberAgainstSteer(t *testing.T) {
	const printed = 1e-5 * deg
	for _, row := range []struct{ caster, inclination, left, right float64 }{
		{5 * deg, 10 * deg, 2.26932 * deg, -1.09570 * deg},
		{4 * deg, 0, 1.36710 * deg, -1.36710 * deg},
	} {
		l, err := New(leaning(row.caster, row.inclination, 0.02, 0.03), Settings{})
		require.NoError(t, err)
		for angle, want := range map[float64]float64{20 * deg: row.left, -20 * deg: row.right} {
			p := rotatedTo(t, &l, angle)
			a := p.Angles(Wheel{LoadedRadius: wheelRadius}, Level)
			agree(t, want, a.Camber, printed, "camber")
			n2 := 1 + math.Pow(math.Tan(row.caster), 2) + math.Pow(math.Tan(row.inclination), 2)
			formula := math.Tan(row.caster)/math.Sqrt(n2)*math.Sin(angle) + math.Tan(row.inclination)/n2*(1-math.Cos(angle))
			agree(t, formula, math.Sin(a.Camber), rounding, "formula")
		}
	}
}
