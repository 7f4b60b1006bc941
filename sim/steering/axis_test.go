package steering

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/spatial/r3"

	"turnplate/sim/agree"
	"turnplate/sim/geom"
)

const deg = math.Pi / 180

// turn rotates a point about the axis by an angle (rad, + to the left).
func (a Axis) turn(p geom.Point, angle float64) geom.Point {
	return a.Through.Add(geom.Point(r3.NewRotation(angle, r3.Vec(a.Along)).Rotate(r3.Vec(p.Sub(a.Through)))))
}

// centringGradient is d²z/dδ² at straight ahead, m/rad²: the centring torque about the steering axis, per
// newton of vertical load and radian of turn about the axis, of a wheel with no camber and no toe:
//
//	sin σ·(r·sin σ + d·cos σ) − n·sin τ·cos τ
//
// with steering-axis inclination σ, caster τ (rad), scrub radius d, trail n and loaded radius r (m). Own derivation:
// z is the body's rise over the moving lowest point of the tyre, which textbooks that fix the contact to the
// knuckle give as d·sin σ. Exact for σ or τ alone; with both its error is of the fourth order in the angles.
func centringGradient(inclination, caster, scrub, trail, radius float64) float64 {
	sin, cos := math.Sincos(inclination)
	return sin*(radius*sin+scrub*cos) - trail*math.Sin(caster)*math.Cos(caster)
}

// corner is a left wheel with no camber and no toe: axis angles projected on the side and rear planes, contact at the
// origin, the axis meeting the ground at (trail, −scrub).
type corner struct {
	axis   Axis
	centre geom.Point
	radius float64
}

func newCorner(inclination, caster, scrub, trail, radius float64) corner {
	along := geom.Point{X: -math.Tan(caster), Y: -math.Tan(inclination), Z: 1}.Unit()
	return corner{Axis{geom.Point{X: trail, Y: -scrub}, along}, geom.Point{Z: radius}, radius}
}

// contact is the lowest point of the disc when the wheel is turned by δ about the axis, and the wheel's axis (left).
func (c corner) contact(turn float64) (at, axle geom.Point) {
	centre := c.axis.turn(c.centre, turn)
	left := c.axis.turn(c.axis.Through.Add(geom.Point{Y: 1}), turn).Sub(c.axis.Through)
	down := geom.Point{Z: -1}.Add(left.Scale(left.Z)).Unit()
	return centre.Add(down.Scale(c.radius)), left
}

var up, forward, left = geom.Point{Z: 1}, geom.Point{X: 1}, geom.Point{Y: 1}

// Virtual work: the ground's torque on the wheel is −W·dz/dδ, z the body's rise, for every angle; and its slope at
// straight ahead is minus the closed form.
func TestVerticalLoadByVirtualWork(t *testing.T) {
	const step, differenceError = 1e-5, 1e-7
	for _, g := range [][5]float64{
		{12 * deg, 0, 0.03, 0, 0.4}, {0, 6 * deg, 0.02, 0.04, 0.4}, {13 * deg, 5 * deg, -0.01, 0.03, 0.38}, {10 * deg, -3 * deg, 0.05, -0.02, 0.45},
	} {
		c := newCorner(g[0], g[1], g[2], g[3], g[4])
		rise := func(turn float64) float64 { at, _ := c.contact(turn); return -at.Z }
		for _, turn := range []float64{-0.6, -0.2, 0, 0.1, 0.5} {
			at, _ := c.contact(turn)
			work := (rise(turn+step) - rise(turn-step)) / (2 * step)
			assert.InDelta(t, -work, c.axis.Moment(at, up), differenceError, "%v at %g", g, turn)
		}
		ahead, behind := func() (a, b float64) {
			p, _ := c.contact(step)
			q, _ := c.contact(-step)
			return c.axis.Moment(p, up), c.axis.Moment(q, up)
		}()
		t.Logf("%v: gradient %.6f, closed form %.6f", g, -(ahead-behind)/(2*step), centringGradient(g[0], g[1], g[2], g[3], g[4]))
		assert.InDelta(t, centringGradient(g[0], g[1], g[2], g[3], g[4]), -(ahead-behind)/(2*step), 2e-4*g[4])
	}
	agree.Relative(t, 0.05*math.Sin(12*deg)*math.Cos(12*deg), centringGradient(12*deg, 0, 0.05, 0, 0), 1e-12, "a wheel of no radius is the textbook's")
}

// Gillespie's set (ch. 8; from memory, rows computed by an independent script) belongs to a contact carried round
// with the knuckle. The general moment must give it for such a contact, up to the small terms that it drops.
func TestMomentGivesGillespiesSetForAFixedContact(t *testing.T) {
	const (
		d, r, turn            = 0.050, 0.380, 20 * deg
		inclination, caster   = 12 * deg, 4 * deg
		dropped               = 0.04 // products of small angles
		vertical, side, yawed = -49.777, 6.555, 97.573
		lateral, tractive     = 79.717, 50.0
	)
	c := newCorner(inclination, caster, d, 0, r)
	fixed := func(turn float64) geom.Point { return c.axis.turn(geom.Point{}, turn) }
	// The right wheel's moment is the mirrored left one's: opposite sign, opposite steer.
	pair := func(leftLoad, rightLoad float64) float64 {
		return c.axis.Moment(fixed(turn), up.Scale(leftLoad)) - c.axis.Moment(fixed(-turn), up.Scale(rightLoad))
	}
	// The part that steer angle makes, with the caster part of a load difference taken off.
	agree.Relative(t, vertical, pair(7000, 7000), dropped, "vertical load, inclination part")
	// In this project's signs a heavier left wheel with caster turns the wheels to the right.
	agree.Relative(t, -side, pair(8000, 6000)-pair(7000, 7000), dropped, "vertical load, side difference")

	castered := newCorner(0, caster, 0, r*math.Tan(caster), r)
	agree.Relative(t, -lateral, castered.axis.Moment(geom.Point{}, left.Scale(3000)), dropped, "lateral force through the trail r·tan τ")
	agree.Relative(t, -tractive, c.axis.Moment(geom.Point{}, forward.Scale(1000)), dropped, "tractive force through the scrub radius")
	agree.Relative(t, yawed, c.axis.Couple(up.Scale(100)), 1e-3, "aligning torque")
}

// Barton & Fieldhouse 2018, E2.5, printed p. 103 (seen): the text rounds to 27 N·m.
func TestMomentWorkedExampleSelfAligning(t *testing.T) {
	const textRounding = 0.01
	caster, inclination := 5*deg, 13*deg
	trail := 0.320*math.Tan(caster) - 0.010
	force := 700 * math.Pow(60/3.6, 2) / 300
	agree.Relative(t, 648, force, textRounding, "cornering force")
	agree.Relative(t, 0.043, trail+0.025, textRounding, "total trail")
	c := newCorner(inclination, caster, 0, trail, 0.320)
	moment := c.axis.Moment(geom.Point{X: -0.025}, left.Scale(force)) // the force acts behind the contact's middle
	agree.Relative(t, -27, moment, textRounding, "moment about the axis")
}

func TestLateralForceActsThroughTheTrailAlone(t *testing.T) {
	c := newCorner(13*deg, 5*deg, 0.03, 0.04, 0.38)
	agree.Relative(t, -0.04*2000*c.axis.Along.Z, c.axis.Moment(geom.Point{}, left.Scale(2000)), 1e-12, "−Fy·n·cos of the axis's lean")
	c = newCorner(13*deg, 5*deg, 0.03, 0, 0.38)
	assert.Zero(t, c.axis.Moment(geom.Point{}, left.Scale(2000)), "no trail, no torque")
}

// A half-shaft in line with the wheel's axis lifts the tractive force to the wheel's centre.
func TestHalfShaftLiftsTheForceToTheCentre(t *testing.T) {
	const inclination, scrub, radius, force = 12 * deg, 0.02, 0.4, 1500.0
	c := newCorner(inclination, 0, scrub, 0, radius)
	driven := c.axis.Moment(geom.Point{}, forward.Scale(force)) + c.axis.Couple(HalfShaft(force, radius, left, left))
	agree.Relative(t, c.axis.Moment(c.centre, forward.Scale(force)), driven, 1e-12, "force at the centre")
	agree.Relative(t, -force*(scrub*math.Cos(inclination)+radius*math.Sin(inclination)), driven, 1e-12, "lever d·cos σ + r·sin σ")

	// A shaft that leaves the wheel downwards by an angle adds the cross couple F·r·tan(angle/2) about the vertical.
	const bend = 10 * deg
	drooped := geom.Point{Y: math.Cos(bend), Z: math.Sin(bend)} // inner end lower: its leftward direction points up
	m := HalfShaft(force, radius, left, drooped)
	agree.Relative(t, force*radius*math.Tan(bend/2), m.Z, 1e-12, "cross couple")
	agree.Relative(t, force*radius, m.Dot(left), 1e-12, "torque along the wheel's axis")
	agree.Relative(t, force*radius, m.Dot(drooped), 1e-12, "the same along the shaft")
	upright := Axis{geom.Point{}, up}
	assert.InDelta(t, -upright.Couple(m), upright.Couple(HalfShaft(force, radius, left, geom.Point{Y: math.Cos(bend), Z: -math.Sin(bend)})), 1e-12)
}

// Rows computed from M = I·ω·Ω by an independent script; signs by the right-hand rule.
func TestGyroscopic(t *testing.T) {
	const inertia, speed, radius = 2.5, 30.0, 0.4
	leaningOut := func(rate float64) geom.Point { return geom.Point{X: -rate} } // the top of the left wheel moves left
	m := Gyroscopic(inertia, speed, radius, left, leaningOut(0.5))
	agree.Relative(t, 93.75, m.Z, 1e-6, "a left wheel that leans outward is turned to the left")
	agree.Relative(t, 114.995, Gyroscopic(inertia, speed, radius, left, leaningOut(1/1.630488)).Z, 2e-5, "1 m/s on a 1.63 m swing arm")
	steering := Gyroscopic(inertia, speed, radius, left, up.Scale(0.5))
	agree.Relative(t, 93.75, steering.X, 1e-6, "steering left leans the wheel to the right")
	agree.Relative(t, 2, Gyroscopic(2*inertia, speed, radius, left, leaningOut(0.5)).Z/m.Z, 1e-12, "inertia")
	agree.Relative(t, 2, Gyroscopic(inertia, 2*speed, radius, left, leaningOut(0.5)).Z/m.Z, 1e-12, "speed")
	assert.Zero(t, Gyroscopic(inertia, 0, radius, left, leaningOut(0.5)).Norm(), "standing still")
	assert.Zero(t, Gyroscopic(inertia, speed, radius, left, left).Norm(), "turning about its own axis")
}
