package wishbone

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"turnplate/sim/geom"
	"turnplate/sim/steering"
)

// Central differences over step leave an error of about curvature·step² plus rounding/step.
const (
	step      = 1e-5 // m or rad
	byStep    = 2e-6 // what may be left, for quantities and places of order one
	byStepToo = 2e-5 // where a joint is near the end of its reach and bends sharply
)

// slopes compares the exact twist with differences of every place and direction on the knuckle.
func slopes(t *rapid.T, l *Linkage, twist Twist, before, after Pose, h float64, what string) {
	rate := func(a, b geom.Point) geom.Point { return b.Sub(a).Scale(1 / (2 * h)) }
	tolerance := byStep * (1 + twist.Turn.Norm()*twist.Turn.Norm()*twist.Turn.Norm())
	near(t, rate(before.Lower, after.Lower), twist.At(twist.About), tolerance, what+": lower ball")
	far := l.OnKnuckle(geom.Point{X: 0.3, Y: 1, Z: 0.1})
	mid := twistPlace(twist, before, after, far)
	near(t, rate(before.Knuckle(far), after.Knuckle(far)), mid, tolerance, what+": a place on the knuckle")
	near(t, rate(before.Spin, after.Spin), twist.Turn.Cross(before.Spin.Add(after.Spin).Scale(0.5)), tolerance, what+": wheel's axis")
}

func twistPlace(twist Twist, before, after Pose, local geom.Point) geom.Point {
	return twist.At(before.Knuckle(local).Add(after.Knuckle(local)).Scale(0.5))
}

// gentle skips poses so near the end of a joint's reach that differences say nothing.
func gentle(t *rapid.T, twist Twist) {
	if twist.Turn.Norm() > 12 {
		t.Skip("near the end of a joint's reach")
	}
}

func TestTravelAgainstDifferences(t *testing.T) {
	check(t, func(t *rapid.T) {
		l, p := posed(t)
		twist, ok := l.Travel(&p)
		require.True(t, ok)
		gentle(t, twist)
		agree(t, 1, twist.At(p.Centre).Z, rounding, "rise")
		before, err := l.AtHeight(p.Centre.Z-step, p.Rack)
		require.NoError(t, err)
		after, err := l.AtHeight(p.Centre.Z+step, p.Rack)
		require.NoError(t, err)
		slopes(t, &l, twist, before, after, step, "travel")

		some := geom.Point{X: 0.02, Y: 0.55, Z: 0.3}
		rate := func(on func(*Pose, geom.Point) geom.Point) geom.Point {
			return on(&after, some).Sub(on(&before, some)).Scale(1 / (2 * step))
		}
		near(t, rate(l.OnLowerArm), l.LowerArm(&p).At(l.OnLowerArm(&p, some)), byStepToo, "on the lower arm")
		near(t, rate(l.OnUpperArm), l.UpperArm(&p).At(l.OnUpperArm(&p, some)), byStepToo, "on the upper arm")

		for _, g := range []Ground{Level, Pitched(0.03)} {
			r := p.Rates(twist, g)
			w := Wheel{LoadedRadius: 0.385}
			b, a := before.Angles(w, g), after.Angles(w, g)
			agree(t, (a.Camber-b.Camber)/(2*step), r.Camber, byStepToo, "camber gain")
			agree(t, (a.Toe-b.Toe)/(2*step), r.Toe, byStepToo, "bump steer")
			agree(t, (a.Caster-b.Caster)/(2*step), r.Caster, byStepToo, "caster gain")
			agree(t, (a.Inclination-b.Inclination)/(2*step), r.Inclination, byStepToo, "inclination gain")
		}
	})
}

func TestSteeringAgainstDifferences(t *testing.T) {
	check(t, func(t *rapid.T) {
		l, p := posed(t)
		rate := p.SteerRate()
		twist := p.Steering().Scale(rate)
		gentle(t, twist)
		before, err := l.At(p.LowerAngle, p.Rack-step)
		require.NoError(t, err)
		after, err := l.At(p.LowerAngle, p.Rack+step)
		require.NoError(t, err)
		slopes(t, &l, twist, before, after, step, "steering")
		behind := l.at.TieOuter.X < l.at.WheelCentre.X
		assert.Equal(t, behind, rate < 0, "a rack behind the axle pulls where one ahead pushes")

		g := Pitched(0.02)
		w := Wheel{LoadedRadius: 0.39, OffsetChange: 0.02}
		a, b, m := after.Angles(w, g), before.Angles(w, g), p.Angles(w, g)
		agree(t, (b.GroundHeight-a.GroundHeight)/(2*step), p.JackRate(&m, g)*rate, byStepToo, "jacking dz/dδ")
		agree(t, (a.Toe-b.Toe)/(2*step), p.Rates(twist, g).Toe, byStepToo, "heading")
	})
}

// The exact response to each adjuster, with the wheel's height held, against differences.
func TestResponseAgainstDifferences(t *testing.T) {
	check(t, func(t *rapid.T) {
		h, s := corners(t), settings(t)
		l, err := New(h, s)
		require.NoError(t, err)
		z, rack := h.WheelCentre.Z+between(t, "bump", -0.05, 0.05), between(t, "rack", -0.03, 0.03)
		p, err := l.AtHeight(z, rack)
		if err != nil {
			t.Skip("out of reach")
		}
		for i, d := range []Settings{{LowerFront: 1}, {LowerRear: 1}, {UpperShift: 1}, {UpperFrontLeg: 1},
			{UpperRearLeg: 1}, {TieRod: 1}, {1, -0.5, 0.3, -0.7, 0.4, 0.9}} {
			at := func(k float64) Pose {
				l, err := New(h, Settings{
					s.LowerFront + k*d.LowerFront, s.LowerRear + k*d.LowerRear, s.UpperShift + k*d.UpperShift,
					s.UpperFrontLeg + k*d.UpperFrontLeg, s.UpperRearLeg + k*d.UpperRearLeg, s.TieRod + k*d.TieRod})
				require.NoError(t, err)
				p, err := l.AtHeight(z, rack)
				require.NoError(t, err)
				return p
			}
			twist := l.Response(&p, l.Swing(&p), d)
			gentle(t, twist)
			agree(t, 0, twist.At(p.Centre).Z, rounding, "height held")
			slopes(t, &l, twist, at(-step), at(step), step, []string{"front cam", "rear cam", "shift", "front leg", "rear leg", "tie rod", "all"}[i])
		}
	})
}

// instantAxis is the line the body turns about at this instant, as the place of the line nearest to About,
// its unit direction, and the pitch: how far the body slides along the line per radian. A motion without
// turning has no such line, and ok is false.
func instantAxis(t Twist) (point, direction geom.Point, pitch float64, ok bool) {
	square := t.Turn.Dot(t.Turn)
	if !(square > 0) {
		return geom.Point{}, geom.Point{}, 0, false
	}
	return t.About.Add(t.Turn.Cross(t.Move).Scale(1 / square)), t.Turn.Unit(), t.Turn.Dot(t.Move) / square, true
}

// On the instant axis the body only slides along it.
func TestInstantAxis(t *testing.T) {
	check(t, func(t *rapid.T) {
		l, p := posed(t)
		twist, _ := l.Travel(&p)
		point, direction, pitch, ok := instantAxis(twist)
		require.True(t, ok)
		along := twist.At(point.Add(direction.Scale(between(t, "along", -1, 1))))
		near(t, direction.Scale(pitch*twist.Turn.Norm()), along, 1e-9, "velocity on the instant axis")
	})
	_, _, _, ok := instantAxis(Twist{Move: mm(1, 0, 0)})
	assert.False(t, ok, "a body that doesn't turn has no axis")
}

// The ground's torque on a wheel, −W·dz/dδ by virtual work, is k·(r × F) with the load at the contact centre.
func TestJackingIsTheMomentOfTheLoad(t *testing.T) {
	check(t, func(t *rapid.T) {
		_, p := posed(t)
		g := Pitched(between(t, "pitch", -0.05, 0.05))
		a := p.Angles(Wheel{LoadedRadius: between(t, "radius", 0.3, 0.45)}, g)
		const load = 6000.0
		moment := steering.Axis{Through: p.Lower, Along: p.Upper.Sub(p.Lower).Unit()}.Moment(a.Contact, g.Up.Scale(load))
		agree(t, moment, -load*p.JackRate(&a, g), 1e-9, "torque")
	})
}

// At straight ahead, without camber or toe, the gradient of the centring torque is DESIGN's
// sinσ(r·sinσ + d·cosσ) − n·sinτ·cosτ per unit load. It is exact for inclination or caster alone (the axis's
// angles are those projected on the side and rear planes, so with both it is off to fourth order).
func TestCentringGradient(t *testing.T) {
	check(t, func(t *rapid.T) {
		caster, inclination := between(t, "caster", -10*deg, 10*deg), 0.0
		if rapid.Bool().Draw(t, "inclined") {
			caster, inclination = 0, between(t, "inclination", 0, 18*deg)
		}
		h := leaning(caster, inclination, between(t, "scrub", -0.03, 0.06), between(t, "trail", -0.02, 0.05))
		l, err := New(h, Settings{})
		require.NoError(t, err)
		p, err := l.At(0, 0)
		require.NoError(t, err)
		a := p.Angles(Wheel{LoadedRadius: wheelRadius}, Level)
		agree(t, caster, a.Caster, rounding, "caster")
		agree(t, inclination, a.Inclination, rounding, "inclination")
		jack := func(rack float64) float64 {
			p, err := l.At(0, rack)
			require.NoError(t, err)
			a := p.Angles(Wheel{LoadedRadius: wheelRadius}, Level)
			return p.JackRate(&a, Level)
		}
		gradient := (jack(step) - jack(-step)) / (2 * step * p.SteerRate())
		sin, cos := math.Sincos(inclination)
		closed := sin*(wheelRadius*sin+a.ScrubRadius*cos) - a.Trail*math.Sin(caster)*math.Cos(caster)
		agree(t, closed, gradient, byStepToo, "d²z/dδ²")
	})
}
