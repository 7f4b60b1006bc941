package sim

import (
	"fmt"
	"math"
	"slices"

	"turnplate/sim/knuckle"
	"turnplate/sim/unit"
)

func init() { register[JointLoads, JointLoadsResult]() }

// JointLoads gives the forces that ball joints, tie rod, arm pivots and spring of a front corner carry, by
// equilibrium of the knuckle on the exact geometry at rest (six equations, see package knuckle).
//
// A case is a vertical load in g and accelerations of the vehicle in g; its forces on a tyre are
//
//	vertical        Bump × static load ± load transfer of Braking (CentreHeight/Wheelbase) and of Cornering (FrontRollShare)
//	longitudinal    FrontBrakeShare × mass × Braking, at the contact centre: the brakes are on the knuckle and react its torque
//	lateral         mass on the front axle × Cornering, at the contact centre
//	blow            Strike × static load, rearward at the wheel centre: a free-rolling wheel can't pass on a torque about its axle
//
// Longitudinal and lateral forces of the axle are shared between its wheels as the vertical loads are; a wheel
// that would lift carries nothing and the other one all. Weight and inertia of the corner's unsprung mass act
// at the wheel centre, the wheel's spinning-down inertia about its axle.
//
// Named cases (common practice from memory, no standard; compare M. Blundell and D. Harty, The Multibody
// Systems Approach to Vehicle Dynamics, ch. 4):
//
//	static      1 g vertical
//	braking     1 g braking
//	cornering   1 g to the right, which loads the left wheel as the outer one
//	bump        3 g vertical
//	kerb        2 g vertical and 1 g to the right
//	pothole     3 g vertical and a rearward blow of 2 g
//
// Quasi-static: the links are rigid and the position is that at rest, whatever the case. Aligning moment and
// drive are left out. The spring's force is that of coil and stop together.
type JointLoads struct {
	Vehicle   Vehicle
	Case      string   `default:"static" must:"static, braking, cornering, bump, kerb, pothole"`          // one of those named above
	Braking   *float64 `unit:"gravity" default:"the case's" must:">=-20 <=20: beyond that nothing holds"` // deceleration
	Cornering *float64 `unit:"gravity" default:"the case's" must:">=-20 <=20: beyond that nothing holds"` // lateral acceleration; + left turn, which loads the right wheel
	Bump      *float64 `unit:"gravity" default:"the case's" must:">=0 <=20: beyond that nothing holds"`   // vertical; 1 g is standing still
	Strike    *float64 `unit:"gravity" default:"the case's" must:">=0 <=20: beyond that nothing holds"`   // rearward blow on the wheel, over its static load
}

// JointLoadsResult is both corners' forces.
type JointLoadsResult struct {
	CornerLoads
	Right          CornerLoads
	Residual       float64 `unit:"N" us:"lbf"`      // largest sum of forces left over on any part: rounding only
	ResidualMoment float64 `unit:"N*m" us:"lbf*ft"` // largest sum of moments left over on any part
}

// CornerLoads is one corner's forces.
type CornerLoads struct {
	UpperBall     Force   // of the upper arm on the knuckle
	LowerBall     Force   // of the lower arm on the knuckle
	TieRod        Force   // of the tie rod on the knuckle
	UpperFront    Force   // of the body on the upper arm at its front pivot
	UpperRear     Force   // of the body on the upper arm at its rear pivot
	LowerFront    Force   // of the body on the lower arm at its front pivot
	LowerRear     Force   // of the body on the lower arm at its rear pivot
	TieTension    float64 `unit:"N" us:"lbf"`                           // along the tie rod; + pulled, − pushed
	Spring        float64 `unit:"N" us:"lbf"`                           // + pressed
	WheelVertical float64 `unit:"N" us:"lbf"`                           // upward on the tyre
	WheelRearward float64 `unit:"N" us:"lbf"`                           // along the wheel's heading on the tyre, brake and blow together; + rearward
	WheelSide     float64 `unit:"N" us:"lbf"`                           // lateral on the tyre; + left
	UsedFriction  float64 `unit:"1" absent:"the wheel carries no load"` // brake and side force over the vertical load: above Friction the tyre would slide instead
}

// Force is a force in the vehicle's axes.
type Force struct {
	X         float64 `unit:"N" us:"lbf"` // + forward
	Y         float64 `unit:"N" us:"lbf"` // + left
	Z         float64 `unit:"N" us:"lbf"` // + up
	Magnitude float64 `unit:"N" us:"lbf"` // its size, whichever way
}

// loadCase is a case in g.
type loadCase struct{ braking, cornering, bump, strike float64 }

var loadCases = map[string]loadCase{
	"static":    {bump: 1},
	"braking":   {bump: 1, braking: 1},
	"cornering": {bump: 1, cornering: -1},
	"bump":      {bump: 3},
	"kerb":      {bump: 2, cornering: -1},
	"pothole":   {bump: 3, strike: 2},
}

// Uses lists what the result depends on.
func (JointLoads) Uses() []string {
	return slices.Concat(kinematicFields(), weightFields, []string{"FrontRollShare", "FrontBrakeShare", "Unsprung",
		"Tyre.Inertia", "Tyre.RimInertia", "Tyre.RollingRadius", "Spring.LowerPoint", "Spring.UpperPoint", "Spring.On"})
}

// Run gives the forces.
func (m JointLoads) Run() (JointLoadsResult, error) {
	if err := checkInputs(&m); err != nil {
		return JointLoadsResult{}, err
	}
	g := m.chosen()
	v := &m.Vehicle
	w := newWeight(v)
	a, err := newAxle(v)
	if err != nil {
		return JointLoadsResult{}, err
	}
	if !a.left.coil.given {
		return JointLoadsResult{}, NotGiven{"Spring.LowerPoint or Spring.UpperPoint"}
	}
	at := a.atRest()
	left, right := v.frontTyres(g, &w, at.left.Contact.Y+at.right.Contact.Y)
	leftSolved, err := a.left.balance(&at.left, v, g, left)
	if err != nil {
		return JointLoadsResult{}, err
	}
	rightSolved, err := a.right.balance(&at.right, v, g, right)
	return JointLoadsResult{
		CornerLoads:    a.left.loads(&leftSolved, left),
		Right:          a.right.loads(&rightSolved, right),
		Residual:       math.Max(leftSolved.Residual, rightSolved.Residual),
		ResidualMoment: math.Max(leftSolved.ResidualMoment, rightSolved.ResidualMoment),
	}, err
}

// chosen is the named case with what was given in its place.
func (m JointLoads) chosen() loadCase {
	name := m.Case
	if name == "" {
		name = "static"
	}
	g := loadCases[name]
	for _, given := range [...]struct{ value, to *float64 }{
		{m.Braking, &g.braking}, {m.Cornering, &g.cornering}, {m.Bump, &g.bump}, {m.Strike, &g.strike},
	} {
		if given.value != nil {
			*given.to = *given.value / unit.StandardGravity
		}
	}
	return g
}

// tyreForces is what the ground does to one front tyre, in N.
type tyreForces struct{ vertical, brake, side, strike float64 } // side: + left

// frontTyres shares a case's forces between the two front tyres.
func (v *Vehicle) frontTyres(g loadCase, w *weight, track float64) (left, right tyreForces) {
	const gravity = unit.StandardGravity
	left.vertical, right.vertical = g.bump*w.left, g.bump*w.right
	left.strike, right.strike = g.strike*w.left, g.strike*w.right
	// Braking presses the front axle down, evenly; a left turn moves load from the left wheel to the right.
	pitch := g.braking * w.mass * gravity * w.height / v.Wheelbase / 2
	roll := g.cornering * w.mass * gravity * w.height / track * v.FrontRollShare
	axle := left.vertical + right.vertical + 2*pitch
	left.vertical = math.Max(0, math.Min(axle, left.vertical+pitch-roll))
	right.vertical = math.Max(0, axle-left.vertical)
	if axle = left.vertical + right.vertical; axle > 0 {
		brake, side := v.FrontBrakeShare*w.mass*g.braking*gravity, w.frontMass*g.cornering*gravity
		left.brake, right.brake = brake*left.vertical/axle, brake*right.vertical/axle
		left.side, right.side = side*left.vertical/axle, side*right.vertical/axle
	}
	return left, right
}

// balance solves one corner as if it were a left one.
func (k *corner) balance(s *stance, v *Vehicle, g loadCase, tyre tyreForces) (knuckle.Reactions, error) {
	const gravity = unit.StandardGravity
	up, ahead := k.ground.Up, k.ground.Forward
	across := up.Cross(ahead)
	side, cornering := k.mirror*tyre.side, k.mirror*g.cornering // + outboard
	unsprung := v.Unsprung + v.Tyre.Mass + v.Tyre.RimMass
	spinDown := (v.Tyre.Inertia + v.Tyre.RimInertia) * g.braking * gravity / v.Tyre.RollingRadius
	l := knuckle.Linkage{TieInner: s.pose.TieInner, TieOuter: s.pose.TieOuter, SpringFrame: k.coil.upper, OnUpper: k.coil.onUpper}
	l.Upper.Ball, l.Lower.Ball = s.pose.Upper, s.pose.Lower
	l.Lower.Front, l.Lower.Rear, l.Upper.Front, l.Upper.Rear = k.link.Pivots()
	l.SpringArm = k.link.OnLowerArm(&s.pose, k.coil.lower)
	if l.OnUpper {
		l.SpringArm = k.link.OnUpperArm(&s.pose, k.coil.lower)
	}
	solved, err := l.Balance(
		knuckle.Load{At: s.Contact, Force: up.Scale(tyre.vertical).Add(s.Heading.Scale(-tyre.brake)).Add(s.Outboard.Scale(side))},
		knuckle.Load{At: s.Centre, Force: s.Heading.Scale(-tyre.strike)},
		// D'Alembert's forces of the unsprung mass, and of the wheel whose turning (about its axis, outboard on
		// a left wheel) slows down.
		knuckle.Load{At: s.Centre,
			Force:  up.Scale(-g.bump).Add(ahead.Scale(g.braking)).Add(across.Scale(-cornering)).Scale(unsprung * gravity),
			Moment: s.pose.Spin.Scale(spinDown)},
	)
	if err != nil {
		err = fmt.Errorf("%s: %w", k.side, err)
	}
	return solved, err
}

// loads reads a solved corner into a result: the forces on a right corner are mirrored back.
func (k *corner) loads(solved *knuckle.Reactions, tyre tyreForces) CornerLoads {
	outer := func(p Point) Force { return Force{X: p.X, Y: k.mirror * p.Y, Z: p.Z, Magnitude: p.Norm()} }
	c := CornerLoads{
		UpperBall: outer(solved.Upper), LowerBall: outer(solved.Lower), TieRod: outer(solved.Tie),
		UpperFront: outer(solved.UpperFront), UpperRear: outer(solved.UpperRear),
		LowerFront: outer(solved.LowerFront), LowerRear: outer(solved.LowerRear),
		TieTension: solved.Tension, Spring: solved.Spring,
		WheelVertical: tyre.vertical, WheelRearward: tyre.brake + tyre.strike, WheelSide: tyre.side,
		UsedFriction: math.NaN(),
	}
	if tyre.vertical > 0 {
		c.UsedFriction = math.Hypot(tyre.brake, tyre.side) / tyre.vertical
	}
	return c
}
