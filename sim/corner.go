package sim

import (
	"fmt"
	"math"

	"turnplate/sim/geom"
	"turnplate/sim/wishbone"
)

// NotGiven is the error of a model that needs a field which was left out.
type NotGiven struct{ Field string } // as a notebook writes it: "Front.UpperBall"

func (e NotGiven) Error() string { return e.Field + " isn't given (zero counts as not given)" }

// Unreachable is the error of a corner with a joint that can't be where it would have to be.
type Unreachable struct {
	Side  string // "left front" or "right front"
	Joint string // "upper ball joint", "outer tie-rod joint", "lower ball joint" or "wheel height"
}

func (e Unreachable) Error() string {
	if e.Joint == wishbone.WheelHeight {
		return e.Side + ": no swing of the lower arm takes its ball joint, and with it the wheel, to this height"
	}
	return e.Side + ": the " + e.Joint + " can't be reached"
}

// corner is one front corner of a vehicle, set as its adjusters say and at rest: what every kinematic model
// builds on. A right corner is built as if it were a left one; everything on it is mirrored except where a
// method says "real".
type corner struct {
	side   string  // for messages
	mirror float64 // +1 left, −1 right
	link   wishbone.Linkage
	ground wishbone.Ground
	wheel  wishbone.Wheel

	rackSense  float64 // movement of the inner tie-rod joint in this corner's +y per positive Rack
	measuredZ  float64 // wheel centre's height as measured
	lift       float64
	travelUp   float64 // most and least wheel travel from where measured; 0: not known
	travelDown float64
	jointLimit float64    // 0: not known
	stud       geom.Point // upper stud's direction, in the knuckle's axes, + out of the arm's upper side
	shaftInner geom.Point
	shaftOuter geom.Point // in the knuckle's axes
	hasShaft   bool
	coil       coil

	rest wishbone.Pose // at rest, rack in its middle
}

// stance is a corner in one pose, with its angles against the ground.
type stance struct {
	pose wishbone.Pose
	wishbone.Angles
}

// coil is where the spring acts.
type coil struct {
	lower, upper Point // lower end as measured, upper end on the body
	onUpper      bool  // the upper arm carries it
	given        bool
}

// newCorner builds a corner from its description. name is the field that holds it, "Front" or "Right".
func newCorner(v *Vehicle, c *Corner, name string, ground wishbone.Ground) (corner, error) {
	k := corner{
		side: "left front", mirror: 1, ground: ground,
		wheel:     wishbone.Wheel{LoadedRadius: v.Tyre.LoadedRadius, OffsetChange: v.Tyre.OffsetChange},
		measuredZ: c.WheelCentre.Z, lift: c.Lift,
		travelUp: v.Spring.BumpTravel, travelDown: v.Spring.DroopTravel,
		jointLimit: c.JointLimit,
	}
	if name == "Right" {
		k.side, k.mirror = "right front", -1
	}
	if err := checkOrder(c, name); err != nil {
		return k, err
	}
	if err := c.Adjust.check(name); err != nil {
		return k, err
	}
	k.coil = coil{lower: v.Spring.LowerPoint, upper: v.Spring.UpperPoint, onUpper: v.Spring.On == "upper"}
	k.coil.given = k.coil.lower != Point{} && k.coil.upper != Point{}
	measured, err := wishbone.Measure(c.hardpoints())
	if err != nil {
		return k, k.explain(err)
	}
	if k.rackSense, err = k.senseOfRack(&measured); err != nil {
		return k, err
	}
	if k.link, err = measured.Set(c.Adjust.settings()); err != nil {
		return k, k.explain(err)
	}
	k.placeParts(c, &measured)
	k.rest, err = k.height(0)
	return k, err
}

// hardpoints gives the corner's points with the direction of the wheel's axis that the measured camber and
// toe fix: heading (cos t, −sin t, 0), axis level and square to it, then leaned down outboard by the camber.
func (c *Corner) hardpoints() wishbone.Hardpoints {
	sinT, cosT := math.Sincos(c.Toe)
	sinC, cosC := math.Sincos(c.Camber)
	return wishbone.Hardpoints{
		UpperFront: c.UpperFront, UpperRear: c.UpperRear, UpperBall: c.UpperBall,
		LowerFront: c.LowerFront, LowerRear: c.LowerRear, LowerBall: c.LowerBall,
		TieInner: c.TieInner, TieOuter: c.TieOuter, WheelCentre: c.WheelCentre,
		Spin: Point{X: sinT * cosC, Y: cosT * cosC, Z: -sinC},
	}
}

// settings turns the adjusters into movements of pivots and lengths (DESIGN: a cam moves its pivot by
// CamOffset·(sin angle − sin measured angle) in +y and in no other direction).
func (a *Adjusters) settings() wishbone.Settings {
	return wishbone.Settings{
		LowerFront:    a.CamOffset * (math.Sin(a.CamFront) - math.Sin(a.CamFrontMeasured)),
		LowerRear:     a.CamOffset * (math.Sin(a.CamRear) - math.Sin(a.CamRearMeasured)),
		UpperShift:    a.UpperShift,
		UpperFrontLeg: a.UpperFrontLeg,
		UpperRearLeg:  a.UpperRearLeg,
		TieRod:        a.TieRod,
	}
}

func (a *Adjusters) check(name string) error {
	if a.CamLimit == 0 {
		return nil // not known how far the bolts may turn
	}
	for _, cam := range [...]struct {
		field string
		angle float64
	}{{"CamFront", a.CamFront}, {"CamRear", a.CamRear}} {
		if math.Abs(cam.angle) > a.CamLimit*(1+rounding) {
			return fmt.Errorf("%s.Adjust.%s of %.4g° is beyond CamLimit, %.4g°", name, cam.field, degrees(cam.angle), degrees(a.CamLimit))
		}
	}
	return nil
}

// placeParts takes in what rides on the knuckle beside the wheel.
func (k *corner) placeParts(c *Corner, m *wishbone.Measured) {
	stud := c.studOr(c.UpperStud, c.UpperFront, c.UpperRear, c.UpperBall)
	k.stud = m.AlongKnuckle(stud.Unit())
	k.hasShaft = c.ShaftInner != Point{} && c.ShaftOuter != Point{}
	k.shaftInner = c.ShaftInner
	k.shaftOuter = m.OnKnuckle(c.ShaftOuter)
}

// studOr is the direction of a ball joint's stud, along the steering axis if it isn't given. A direction has no arrow: it
// takes the end that is on the same side of the arm as its upward normal.
func (c *Corner) studOr(stud, front, rear, ball Point) Point {
	if stud == (Point{}) {
		stud = c.UpperBall.Sub(c.LowerBall)
	}
	normal := front.Sub(rear).Cross(ball.Sub(rear))
	if (normal.Z < 0) != (stud.Dot(normal) < 0) {
		stud = stud.Scale(-1)
	}
	return stud
}

// noRate is a steering ratio, in rad/m, that is nothing but rounding: a real one is a few.
const noRate = 1e-9

// senseOfRack finds which way the rack must move to turn this wheel left, from the measured geometry: with
// the outer tie-rod joint ahead of the steering axis the rack pushes left, behind it the rack pulls right.
func (k *corner) senseOfRack(m *wishbone.Measured) (float64, error) {
	rate := m.SteerRate()
	if !(math.Abs(rate) > noRate) {
		return 0, fmt.Errorf("%s: the rack doesn't turn the wheel: its tie rod lies square to the rack", k.side)
	}
	// A right wheel seen as a left one turns right when the real one turns left, and its y points right.
	return k.mirror * math.Copysign(1, rate), nil
}

// explain names the side in an error of the linkage.
func (k *corner) explain(err error) error {
	if joint, ok := wishbone.IsUnreachable(err); ok {
		return Unreachable{k.side, joint}
	}
	return fmt.Errorf("%s: %w", k.side, err)
}

// checkOrder makes sure that a corner's points lie the way round that their names say.
func checkOrder(c *Corner, name string) error {
	for _, r := range cornerOrder() {
		if wrong := r.check(nil, c, name); wrong.says != "" {
			return fmt.Errorf("%s (%s)", wrong.says, wrong.hint)
		}
	}
	return nil
}

// height gives the pose with the wheel centre raised by bump from rest and the rack in its middle.
//
// The wheel centre whose height is held is the one measured, on the knuckle: fitting a wheel with another
// offset doesn't move the suspension.
func (k *corner) height(bump float64) (wishbone.Pose, error) {
	from := bump - k.lift
	switch {
	case k.travelUp > 0 && from > k.travelUp*(1+rounding):
		return wishbone.Pose{}, fmt.Errorf("%s: the wheel would stand %.4g mm above where it was measured, beyond Spring.BumpTravel of %.4g mm", k.side, from*1e3, k.travelUp*1e3)
	case k.travelDown > 0 && from < -k.travelDown*(1+rounding):
		return wishbone.Pose{}, fmt.Errorf("%s: the wheel would hang %.4g mm below where it was measured, beyond Spring.DroopTravel of %.4g mm", k.side, -from*1e3, k.travelDown*1e3)
	}
	p, err := k.link.AtHeight(k.measuredZ+from, 0)
	if err != nil {
		return p, k.explain(err)
	}
	return p, k.checkStud(&p)
}

// steered gives the pose with the arms held as in p and the rack moved to rack (+ turns the wheels left).
func (k *corner) steered(p *wishbone.Pose, rack float64) (wishbone.Pose, error) {
	q := *p
	return q, k.steer(&q, rack)
}

// steer moves the rack of a pose to rack.
func (k *corner) steer(p *wishbone.Pose, rack float64) error {
	if err := k.link.Steer(p, k.rackSense*rack); err != nil {
		return k.explain(err)
	}
	return k.checkStud(p)
}

// seen adds the angles to a pose.
func (k *corner) seen(p wishbone.Pose) stance { return stance{p, p.Angles(k.wheel, k.ground)} }

// studLean is how far the upper ball joint's stud leans from the square to its arm.
func (k *corner) studLean(p *wishbone.Pose) float64 {
	stud, normal := p.KnuckleDirection(k.stud), k.link.UpperArmNormal(p)
	return math.Atan2(stud.Cross(normal).Norm(), stud.Dot(normal))
}

func (k *corner) checkStud(p *wishbone.Pose) error {
	if k.jointLimit <= 0 {
		return nil
	}
	if lean := k.studLean(p); lean > k.jointLimit*(1+rounding) {
		return fmt.Errorf("%s: the upper ball joint can't be reached: its stud would lean %.1f°, more than JointLimit of %.1f°", k.side, degrees(lean), degrees(k.jointLimit))
	}
	return nil
}

// shaftAngles gives how far the drive shaft is bent at its inner joint (from the axle's axis, which is taken
// as the body's y) and at its outer joint (from the wheel's axis). NaN when the shaft isn't given.
func (k *corner) shaftAngles(p *wishbone.Pose) (inner, outer float64) {
	if !k.hasShaft {
		return math.NaN(), math.NaN()
	}
	shaft := p.Knuckle(k.shaftOuter).Sub(k.shaftInner)
	return between(shaft, Point{Y: 1}), between(shaft, p.Spin)
}

// motionRatio is the coil's shortening per wheel-centre rise, with the rack held. NaN when the coil's ends
// aren't given.
func (k *corner) motionRatio(p *wishbone.Pose) float64 {
	if !k.coil.given {
		return math.NaN()
	}
	var end, speed Point
	if k.coil.onUpper {
		end = k.link.OnUpperArm(p, k.coil.lower)
		speed = k.link.UpperArm(p).At(end)
	} else {
		end = k.link.OnLowerArm(p, k.coil.lower)
		speed = k.link.LowerArm(p).At(end)
	}
	return k.coil.upper.Sub(end).Unit().Dot(speed)
}

// axisRate is the wheel's rotation about its steering axis (real, + left) per positive movement of the rack.
func (k *corner) axisRate(s *stance) float64 { return k.mirror * k.rackSense * s.pose.SteerRate() }

// headingRate is the turning of the wheel's heading (real, + left) per positive movement of the rack.
func (k *corner) headingRate(s *stance) float64 {
	// Toe-in is a right turn of a left wheel.
	return -s.pose.Rates(s.pose.Steering(), k.ground).Toe * k.axisRate(s)
}

// heading is the wheel's heading from straight ahead (real, + left).
func (k *corner) heading(s *stance) float64 { return -k.mirror * s.Toe }

// jackRate is the rise of the corner's body above the ground under its own wheel per rotation about the
// steering axis (real, + left), with the arms held. See wishbone.Pose.JackRate.
func (k *corner) jackRate(s *stance) float64 { return k.mirror * s.pose.JackRate(&s.Angles, k.ground) }

func between(a, b Point) float64 { return math.Atan2(a.Cross(b).Norm(), a.Dot(b)) }

func degrees(rad float64) float64 { return rad * 180 / math.Pi }
