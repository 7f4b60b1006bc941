package sim

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"turnplate/sim/compliance"
	"turnplate/sim/geom"
	"turnplate/sim/root"
	"turnplate/sim/steering"
	"turnplate/sim/tyre"
	"turnplate/sim/wishbone"
)

// rolling is the front axle of a vehicle that rolls: exact geometry, tyres, loads and steering gear. Building
// one does the work that doesn't depend on how the vehicle moves.
//
// Simplifications shared by every model built on it: the body stands level across (no roll, so no camber from
// it), the arms rest where they stand, so that steering is pure rotation about the steering axis; load moves across
// the axle at once with lateral acceleration, by FrontRollShare; the rear axle steers straight and is one brush
// tyre with RearCornering; the tyres' aligning moments, and drive that differs from side to side, are left out of the
// vehicle's own yaw balance (2 to 4 % of it); rolling resistance is left out.
type rolling struct {
	axle      axle
	rest      wheels
	weight    weight
	tyre      tyre.Brush
	gear      steering.Gear
	kingpin   float64 // N·m, dry friction about one steering axis
	speed     float64 // m/s
	wheelbase float64
	drive     float64 // N, at each front wheel, reacted by its half-shaft; + forward
	transfer  float64 // N/(m/s²), load moved from the left front wheel to the right by acceleration to the left

	rearCornering, rearLimit float64 // N/rad and N

	giving  *Vehicle    // whose bushes and rods give under the wheels' forces; nil: rigid
	answers [2]answered // the left and the right corner's last one
}

// rollingFields are the Vehicle fields that a rolling axle is built from, for Uses.
func rollingFields() []string {
	return slices.Concat(steeringFields(), weightFields, []string{
		"FrontRollShare", "RearCornering",
		"Tyre.Radius", "Tyre.CorneringStiffness", "Tyre.NominalLoad", "Tyre.CamberStiffness", "Tyre.PatchLength", "Tyre.Friction",
		"Steering.RackPerTurn", "Steering.Friction", "Steering.KingpinFriction", "Steering.RollingFriction", "Steering.ReverseEfficiency",
	})
}

// givingOptional are those of givingFields that a rolling axle can do without, as long as nothing gives.
var givingOptional = []string{"Spring.Rate", "Spring.LowerPoint", "Spring.UpperPoint"}

// rollingOptional are those of them that it can do without: a rack without a limit turns as far as the joints let it.
var rollingOptional = []string{"Steering.RackLimit"}

func newRolling(v *Vehicle, speed float64) (rolling, error) {
	r := rolling{speed: speed, wheelbase: v.Wheelbase, kingpin: v.Steering.KingpinFriction * v.Steering.RollingFriction, rearCornering: v.RearCornering}
	s, t := &v.Steering, &v.Tyre
	var err error
	r.weight = newWeight(v)
	if r.axle, err = newAxle(v); err != nil {
		return r, err
	}
	r.rest = r.axle.atRest()
	r.gear = gearOf(s)
	r.gear.Friction *= s.RollingFriction
	if r.tyre, err = brushOf(t, r.weight.front/2); err != nil {
		return r, err
	}
	r.rearLimit = t.Friction * r.weight.rear
	track := r.rest.left.Contact.Y + r.rest.right.Contact.Y
	if !(track > 0) {
		return r, errors.New("the front wheels must stand on their own sides of the vehicle")
	}
	r.transfer = v.FrontRollShare * r.weight.mass * r.weight.height / track
	return r, nil
}

// gearOf is the rack with its friction as it stands still.
func gearOf(s *Steering) steering.Gear {
	return steering.Gear{
		RackPerRadian: s.RackPerTurn / (2 * math.Pi), Friction: s.Friction,
		Efficiency: s.Efficiency, ReverseEfficiency: s.ReverseEfficiency,
		AssistGain: s.AssistGain, AssistCeiling: s.AssistCeiling, AssistOnset: s.AssistOnset,
	}
}

// assistFields are the Vehicle fields that assistance is made from, for Uses.
var assistFields = []string{"Steering.AssistGain", "Steering.AssistCeiling", "Steering.AssistOnset"}

// brushOf is the tyre as a brush, under the load it stands with: LoadedRadius is the radius standing, so the contact
// length belongs to that load.
func brushOf(t *Tyre, standing float64) (tyre.Brush, error) {
	b := tyre.Brush{
		CorneringStiffness: t.CorneringStiffness, NominalLoad: t.NominalLoad, CamberStiffness: t.CamberStiffness,
		Friction: t.Friction, PatchLoad: standing,
	}
	var err error
	if b.PatchLength, err = patchLength(t); err != nil {
		return b, err
	}
	return b, b.Check()
}

// patchLength is the contact's length under the load that the tyre stands with: given, or from the deflection.
func patchLength(t *Tyre) (float64, error) {
	if t.PatchLength != 0 {
		return t.PatchLength, nil
	}
	length := tyre.PatchLengthFromDeflection(t.Radius, t.Radius-t.LoadedRadius)
	if !(length > 0) {
		return 0, errors.New("Tyre.LoadedRadius must lie below Tyre.Radius by up to a quarter of it, to estimate PatchLength")
	}
	return length, nil
}

// course is how the vehicle moves, seen at the front axle's middle: sideways velocity and yaw rate, both + left,
// and the acceleration that its tyres give it sideways, + left.
type course struct{ sideways, yaw, acceleration float64 }

// wheelForce is one front wheel's forces and what each turns about its steering axis, N·m, + left.
type wheelForce struct {
	mechanical float64 // lateral force behind the axis by the trail: −Fy·n·k_z
	pneumatic  float64 // the tyre's aligning moment: Mz·k_z
	jacking    float64 // vertical load: −W·dz/dδ, by virtual work
	traction   float64 // drive reacted by a half-shaft
	load       float64 // N
	lateral    float64 // N, across the wheel's own heading, + left
	across     float64 // N, across the vehicle, + left
	aligning   float64 // N·m, the tyre's about the vertical, + left
	slip       float64 // tangent of the slip angle, + left
	gradient   float64 // N/rad, −d(lateral)/d(slip)
	axisRate   float64 // rotation about the axis per rack, rad/m, + left
}

func (w wheelForce) total() float64 { return w.mechanical + w.pneumatic + w.jacking + w.traction }

// wheel gives a wheel's forces on a course, with its place as bushes and rod let the same forces move it, if they give.
func (r *rolling) wheel(k *corner, s *stance, c *course) (wheelForce, error) {
	if r.giving == nil {
		return r.held(k, s, c)
	}
	gives, err := r.answer(k, &s.pose)
	if err != nil {
		return wheelForce{}, err
	}
	var turned, wrong geom.Point // by how much the round before turned the wheel, and should have by the forces that it found
	for range mostRounds {
		at := *s // its steering axis's own angles aren't asked for
		at.pose = s.pose.Moved(wishbone.Twist{About: s.pose.Centre, Move: gives.last.Move, Turn: gives.last.Turn})
		at.pose.Steered(&at.Angles, k.wheel, k.ground)
		before := gives.last
		w, err := r.held(k, &at, c)
		switch {
		case err != nil && before == (compliance.Motion{}):
			return w, err
		case err != nil: // on another course it gave way too far for this one
			gives.last, gives.settles, turned = compliance.Motion{}, 1, geom.Point{}
			continue
		}
		now := gives.response.To(
			compliance.Load{At: at.Contact, Force: at.Outboard.Scale(k.mirror * w.lateral), Moment: k.ground.Up.Scale(k.mirror * w.aligning)},
			compliance.Load{At: at.Centre, Force: at.Heading.Scale(r.drive)})
		off := now.Turn.Sub(before.Turn)
		if off.Norm() < given {
			gives.last = now
			// What the wheel turns out of its own side force makes its tyre softer by as much.
			perForce := gives.response.To(compliance.Load{At: at.Contact, Force: at.Outboard}).Turn.Dot(k.ground.Up)
			w.gradient /= 1 - w.gradient*perForce
			return w, nil
		}
		if square := turned.Dot(turned); square > 0 {
			gives.settles = math.Max(leastSettling, math.Min(mostSettling, wrong.Sub(off).Dot(turned)/square))
		}
		wrong, turned = off, off.Scale(1/gives.settles)
		gives.last = compliance.Motion{Move: before.Move.Add(now.Move.Sub(before.Move).Scale(1 / gives.settles)), Turn: before.Turn.Add(turned)}
	}
	return wheelForce{}, fmt.Errorf("%s: bushes and rod are too soft to hold the wheel against its own side force", k.side)
}

// answer is what a wheel's corner gives in a pose. A search for a turn asks for the same pose many times, so the last is kept,
// and how far the wheel gave way to start from.
func (r *rolling) answer(k *corner, p *wishbone.Pose) (*answered, error) {
	last := &r.answers[0]
	if k.mirror < 0 {
		last = &r.answers[1]
	}
	if last.pose != *p {
		gives, err := k.responds(r.giving, p)
		if err != nil {
			return nil, err
		}
		last.pose, last.response = *p, gives
		if last.settles == 0 {
			last.settles = 1
		}
	}
	return last, nil
}

// answered is a pose, what the corner gives in it, and how far it gave last, there or in the pose before.
type answered struct {
	pose     wishbone.Pose
	response compliance.Response
	last     compliance.Motion
	settles  float64 // by how much less is wrong for each radian that the wheel turns; 1 where that leaves the forces as they are
}

// How near, in rad, a wheel's turning comes to rest under the forces that move it. The turning changes the forces in turn by a
// few hundredths. Each round takes that into account as the two before it found it (Aitken's relaxation for vectors: B. M. Irons
// and R. C. Tuck, International Journal for Numerical Methods in Engineering 1, 1969, from memory), so that they are four or five.
const (
	given         = 1e-13
	mostRounds    = 60
	leastSettling = 2.0 / 3 // so that no way to turn but the one found is overshot by more than half
	mostSettling  = 2
)

// held gives the forces of a wheel that stays where it is. Everything is worked out as for a left wheel, then mirrored.
func (r *rolling) held(k *corner, s *stance, c *course) (w wheelForce, err error) {
	w.load = r.weight.left - r.transfer*c.acceleration
	if k.mirror < 0 {
		w.load = r.weight.right + r.transfer*c.acceleration
	}
	over := r.speed - c.yaw*k.mirror*s.Contact.Y
	across := c.sideways + c.yaw*s.Contact.X
	// How the contact moves, seen from the wheel's own heading.
	forward, left := s.Heading.Dot(k.ground.Forward), s.Heading.Dot(k.ground.Up.Cross(k.ground.Forward))
	slip := (k.mirror*across*forward - over*left) / (over*forward + k.mirror*across*left)
	if !(over*forward+k.mirror*across*left > 0) { // it moves backward
		slip = math.NaN()
	}
	if err := r.tyre.InRange(slip, w.load); err != nil {
		return w, fmt.Errorf("%s: %w", k.side, err)
	}
	force := r.tyre.Force(slip, s.Camber, w.load)
	axis := steering.Axis{Through: s.pose.Lower, Along: s.pose.Axis}
	up := axis.Along.Dot(k.ground.Up)
	w.mechanical = -k.mirror * force.Lateral * s.Trail * up
	w.pneumatic = k.mirror * force.Aligning * up
	w.jacking = -w.load * k.jackRate(s)
	w.aligning = k.mirror * force.Aligning
	w.slip, w.lateral, w.gradient = k.mirror*slip, k.mirror*force.Lateral, force.Gradient
	w.axisRate = k.axisRate(s)
	w.across = w.lateral*forward + r.drive*k.mirror*left
	if r.drive != 0 {
		couple := steering.HalfShaft(r.drive, k.wheel.LoadedRadius, s.pose.Spin, k.shaftDirection(&s.pose))
		w.traction = k.mirror * (axis.Moment(s.Contact, s.Heading.Scale(r.drive)) + axis.Couple(couple))
	}
	return w, nil
}

// shaftDirection is the drive shaft's direction, outboard; level across the body when the shaft isn't given.
func (k *corner) shaftDirection(p *wishbone.Pose) Point {
	if !k.hasShaft {
		return Point{Y: 1}
	}
	return p.Knuckle(k.shaftOuter).Sub(k.shaftInner)
}

// pair is both front wheels on a course.
type pair struct{ left, right wheelForce }

func (r *rolling) wheels(w *wheels, c *course) (p pair, err error) {
	if p.left, err = r.wheel(&r.axle.left, &w.left, c); err != nil {
		return p, err
	}
	p.right, err = r.wheel(&r.axle.right, &w.right, c)
	return p, err
}

// rack is the force on the rack, N, + left, of one part of both wheels' torque: ΣM·dδ/ds (virtual work).
func (p *pair) rack(part func(wheelForce) float64) float64 {
	return part(p.left)*p.left.axisRate + part(p.right)*p.right.axisRate
}

// friction is the dry friction felt at the rack, N.
func (r *rolling) friction(p *pair) float64 {
	return r.gear.Friction + r.kingpin*(math.Abs(p.left.axisRate)+math.Abs(p.right.axisRate))
}

// on gives the course on which the rear axle makes its part of the acceleration, at a yaw rate, and how fast the
// rear slip's tangent falls as the acceleration rises. An error when the rear tyres can't.
func (r *rolling) on(acceleration, yaw float64) (c course, perAcceleration float64, err error) {
	share := r.weight.mass * r.weight.frontArm / r.wheelbase
	tan, gradient := tyre.SlipFor(share*acceleration, r.rearCornering, r.rearLimit)
	if math.IsNaN(tan) {
		return c, 0, errors.New("the rear tyres can't hold this lateral acceleration")
	}
	return course{r.speed*tan + yaw*r.wheelbase, yaw, acceleration}, share / gradient * (1 + tan*tan), nil
}

// frontAsked is the force the front axle must make across the vehicle for the yaw balance, N: m·a·b/L.
func (r *rolling) frontAsked(acceleration float64) float64 {
	return r.weight.mass * acceleration * r.weight.rearArm / r.wheelbase
}

// How near the front axle's force is brought to what is asked, as a share of its load: about a thousandth of a newton.
const balanced = 1e-7

var errFront = errors.New("the front tyres can't hold this lateral acceleration")

// steerFor finds the rack position at which the front axle makes its part of the acceleration, at a yaw rate.
func (r *rolling) steerFor(acceleration, yaw float64) (rack float64, w wheels, p pair, err error) {
	c, _, err := r.on(acceleration, yaw)
	if err != nil {
		return 0, w, p, err
	}
	asked := r.frontAsked(acceleration)
	// Rack travel per radian of heading, near enough to start and to keep steps short.
	perRadian := 2 / (r.axle.left.headingRate(&r.rest.left) + r.axle.right.headingRate(&r.rest.right))
	end := 0.5
	if r.axle.rackLimit > 0 {
		end = r.axle.rackLimit * (1 + rounding)
	}
	slip, _ := tyre.SlipFor(asked, 2*r.tyre.Cornering(r.weight.front/2), r.tyre.Friction*r.weight.front)
	guess := math.Atan2(c.sideways, r.speed) - math.Atan(slip)
	if math.IsNaN(guess) {
		return 0, w, p, errFront
	}
	search := root.Search{
		From: math.Max(-end, math.Min(end, guess*perRadian)), Least: -end, Most: end, Step: 0.1 * perRadian,
		Close: balanced * r.weight.front, Resolution: 1e-13,
	}
	rack, err = search.Follow(func(rack float64) (float64, float64, error) {
		var err error
		if w, err = r.axle.steered(&r.rest, rack); err != nil {
			return 0, 0, err
		}
		if p, err = r.wheels(&w, &c); err != nil {
			return 0, 0, err
		}
		slope := p.left.gradient*r.axle.left.headingRate(&w.left) + p.right.gradient*r.axle.right.headingRate(&w.right)
		return p.left.across + p.right.across - asked, slope, nil
	})
	switch {
	case err == root.ErrTurnsBack:
		err = errFront
	case err == root.ErrEnd:
		err = errors.New("the turn needs more rack travel than there is")
	}
	return rack, w, p, err
}

// turnAt finds the lateral acceleration of the steady turn that the vehicle takes with its rack held where w is,
// near a guess.
func (r *rolling) turnAt(w *wheels, guess float64) (acceleration float64, p pair, err error) {
	search := root.Search{From: guess, Least: -20, Most: 20, Step: 2, Close: balanced * r.weight.front, Resolution: 1e-12}
	acceleration, err = search.Follow(func(a float64) (float64, float64, error) {
		c, perRear, err := r.on(a, a/r.speed)
		if err != nil {
			return 0, 0, err
		}
		if p, err = r.wheels(w, &c); err != nil {
			return 0, 0, err
		}
		// How the front slip follows the acceleration: the tighter circle, less the rear tyres' slip.
		follows := r.wheelbase/(r.speed*r.speed) - perRear
		slope := r.weight.mass*r.weight.rearArm/r.wheelbase + (p.left.gradient+p.right.gradient)*follows
		return r.frontAsked(a) - p.left.across - p.right.across, slope, nil
	})
	if err == root.ErrTurnsBack || err == root.ErrEnd {
		err = errors.New("there's no steady turn at this angle and speed")
	}
	return acceleration, p, err
}

// turnGuess is the linear bicycle's answer, kept within what the tyres hold.
func (r *rolling) turnGuess(heading float64) float64 {
	front := 2 * r.tyre.Cornering(r.weight.front/2)
	understeer := r.weight.mass / r.wheelbase * (r.weight.rearArm/front - r.weight.frontArm/r.rearCornering)
	per := r.wheelbase/(r.speed*r.speed) + understeer
	most := 0.5 * r.tyre.Friction * 9.8
	if !(per > 0) {
		return 0
	}
	return math.Max(-most, math.Min(most, heading/per))
}

// rearForce is the rear axle's lateral force at a slip angle, N.
func (r *rolling) rearForce(slip float64) float64 {
	return tyre.AxleForce(slip, r.rearCornering, r.rearLimit)
}
