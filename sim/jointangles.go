package sim

import (
	"math"
	"slices"

	"turnplate/sim/clearance"
	"turnplate/sim/wishbone"
)

func init() { register[JointAngles, JointAnglesResult]() }

// JointAngles gives how far each joint of a front corner has to bend at its worst, and what is left to its limit: over all the
// steering and travel that Rack and Bump allow, with the place in that sweep, so that it shows whether a lift, an arm or a longer
// damper asks more of a ball joint, a tie-rod end or a drive shaft than it can do.
//
//	UpperBall, LowerBall   the stud from the square to its arm (the arm's normal)
//	TieOuter               the rod from the square to its stud
//	TieInner               the rod from the rack's line, y
//	ShaftOuter             the drive shaft from the wheel's axis, by the dot product of both
//	ShaftInner             the drive shaft from the axle's axis, y
//	Plunge                 the drive shaft longer or shorter than as measured, half of ShaftPlunge either way
//
// Studs stand in the knuckle as they were measured, and move with it. Limits are what is given in the vehicle; one that isn't is
// unknown, and its margin absent. JointLimit doesn't end the sweep here: that a joint would have to go past it is what is asked.
// A fixed constant-velocity joint bends 45 to 48 degrees, some 54; plunging ones 22 to 31; a tie-rod end or a ball joint 20 to
// 30 each way (parts makers' pages and memory: look up your own). A limit on the bench is no licence for the road: a shaft
// that bends far wears fast, and shops advise not to load it beyond some 30 degrees.
//
// Exact geometry of the linkage (package wishbone). The sweep looks at 25 rack positions by 13 heights and goes uphill from the
// highest of them. A pose that a link can't reach is an error: narrow the range, or correct the travel. Left out, the
// range is the whole of Steering.RackLimit either way, and all of Spring.BumpTravel and DroopTravel, counted from rest.
type JointAngles struct {
	Vehicle  Vehicle
	Rack     *float64 `unit:"mm" us:"inch" default:"none"` // one rack position instead of a range; + left turn
	Bump     *float64 `unit:"mm" us:"inch" default:"none"` // one height of the wheels, from rest, instead of a range
	RackFrom *float64 `unit:"mm" us:"inch" default:"none"` // rack furthest to the right turn; left out: −RackLimit
	RackTo   *float64 `unit:"mm" us:"inch" default:"none"` // rack furthest to the left turn; left out: RackLimit
	BumpFrom *float64 `unit:"mm" us:"inch" default:"none"` // lowest wheel, from rest; left out: full droop
	BumpTo   *float64 `unit:"mm" us:"inch" default:"none"` // highest wheel, from rest; left out: full bump
}

// JointAnglesResult is both corners' joints; plain outputs mean the left one.
type JointAnglesResult struct {
	CornerJoints
	Right CornerJoints
}

// CornerJoints is one corner's joints at their worst.
type CornerJoints struct {
	UpperBall  JointBend // upper ball joint's stud from the square to its arm
	LowerBall  JointBend // lower ball joint's stud from the square to its arm
	TieOuter   JointBend // tie rod from the square to its outer end's stud
	TieInner   JointBend // tie rod from the rack's line
	ShaftOuter JointBend `absent:"the shaft's joints aren't given"` // drive shaft from the wheel's axis
	ShaftInner JointBend `absent:"the shaft's joints aren't given"` // drive shaft from the axle's axis
	Plunge     Plunge    `absent:"the shaft's joints aren't given"` // drive shaft's sliding joint

	LimitedBy string  // the joint that uses most of its limit, where that is more than all of it; else "nothing"; "unknown" without any limit
	Use       float64 `unit:"percent" absent:"no joint's limit is given"` // the most that any joint uses of its limit
}

// JointBend is one joint where it bends most.
type JointBend struct {
	Angle  float64 `unit:"deg"`                                // largest
	Margin float64 `unit:"deg" absent:"its limit isn't given"` // what is left to its limit; negative: it doesn't go there
	Rack   float64 `unit:"mm" us:"inch"`                       // where the rack then is; + left turn
	Bump   float64 `unit:"mm" us:"inch"`                       // where the wheel centre then is, from rest
}

// Plunge is how far a drive shaft slides.
type Plunge struct {
	Longest  float64 `unit:"mm" us:"inch"`                                  // most that the shaft has to grow from as measured
	Shortest float64 `unit:"mm" us:"inch"`                                  // least: negative where it has to shrink
	Margin   float64 `unit:"mm" us:"inch" absent:"ShaftPlunge isn't given"` // what is left of half the stroke; negative: it pulls apart or bottoms
	Rack     float64 `unit:"mm" us:"inch"`                                  // where the rack then is, at the larger of the two; + left turn
	Bump     float64 `unit:"mm" us:"inch"`                                  // where the wheel centre then is, from rest
}

var jointFields = []string{"Front.LowerStud", "Front.LowerJointLimit", "Front.TieStud", "Front.TieJointLimit",
	"Front.ShaftLimit", "Front.ShaftInnerLimit", "Front.ShaftPlunge"}

// Uses lists what the result depends on.
func (JointAngles) Uses() []string { return slices.Concat(steeringFields(), jointFields) }

// Optional lists what the model can do without.
func (JointAngles) Optional() []string { return kinematicOptional }

// Run gives the angles, or an error that names the joint that can't be reached, or the field that isn't given.
func (m JointAngles) Run() (JointAnglesResult, error) {
	if err := checkInputs(&m); err != nil {
		return JointAnglesResult{}, err
	}
	v := m.Vehicle
	v.Front.JointLimit = 0 // to see past it
	right := &m.Vehicle.Front
	if v.Right != nil {
		right = m.Vehicle.Right
		own := *right
		own.JointLimit = 0
		v.Right = &own
	}
	a, err := newAxle(&v)
	if err != nil {
		return JointAnglesResult{}, err
	}
	ranges := Clearance{Vehicle: v, Rack: m.Rack, Bump: m.Bump, RackFrom: m.RackFrom, RackTo: m.RackTo, BumpFrom: m.BumpFrom, BumpTo: m.BumpTo}
	if err := ranges.fix(); err != nil {
		return JointAnglesResult{}, err
	}
	rack, err := ranges.racks()
	if err != nil {
		return JointAnglesResult{}, err
	}
	var r JointAnglesResult
	if r.CornerJoints, err = joints(&a.left, &m.Vehicle.Front, &ranges, rack); err != nil {
		return JointAnglesResult{}, err
	}
	r.Right, err = joints(&a.right, right, &ranges, rack)
	return r, err
}

// The quantities that are swept, in this order: bends of joints, then how much longer and shorter the shaft is.
const (
	upperBall = iota
	lowerBall
	tieOuter
	tieInner
	shaftOuter
	shaftInner
	longer
	shorter
	jointQuantities
)

// jointed is a corner with its joints' studs.
type jointed struct {
	*corner
	lowerStud, tieStud Point // in the knuckle's axes
	shaftLength        float64
}

func newJointed(k *corner, c *Corner) (jointed, error) {
	measured, err := wishbone.Measure(c.hardpoints())
	if err != nil {
		return jointed{}, k.explain(err)
	}
	rod := c.TieOuter.Sub(c.TieInner).Unit()
	stud := c.TieStud
	if stud == (Point{}) {
		axis := c.UpperBall.Sub(c.LowerBall)
		stud = axis.Sub(rod.Scale(axis.Dot(rod)))
	}
	return jointed{
		corner:      k,
		lowerStud:   measured.AlongKnuckle(c.studOr(c.LowerStud, c.LowerFront, c.LowerRear, c.LowerBall).Unit()),
		tieStud:     measured.AlongKnuckle(stud.Unit()),
		shaftLength: c.ShaftOuter.Sub(c.ShaftInner).Norm(),
	}, nil
}

// bends gives all quantities in a pose. Those of a shaft that isn't described are NaN.
func (j *jointed) bends(p *wishbone.Pose) (q [jointQuantities]float64) {
	rod := p.TieInner.Sub(p.TieOuter)
	q[upperBall] = j.studLean(p)
	q[lowerBall] = between(p.KnuckleDirection(j.lowerStud), j.link.LowerArmNormal(p))
	q[tieOuter] = math.Abs(math.Pi/2 - between(p.KnuckleDirection(j.tieStud), rod))
	q[tieInner] = between(rod, Point{Y: -1})
	q[shaftInner], q[shaftOuter] = j.shaftAngles(p)
	q[longer] = math.NaN()
	if j.hasShaft {
		q[longer] = j.plunge(p.Knuckle(j.shaftOuter))
	}
	q[shorter] = -q[longer]
	return q
}

// plunge is how much longer the shaft is than as measured, with its outer joint at a place.
func (j *jointed) plunge(outer Point) float64 { return outer.Sub(j.shaftInner).Norm() - j.shaftLength }

// joints sweeps one corner.
func joints(k *corner, c *Corner, ranges *Clearance, rack clearance.Range) (CornerJoints, error) {
	bump, err := ranges.bumps(k)
	if err != nil {
		return CornerJoints{}, err
	}
	j, err := newJointed(k, c)
	if err != nil {
		return CornerJoints{}, err
	}
	heights := heights{corner: k}
	var now [jointQuantities]float64
	var aside float64
	visit := func(rack, bump float64) error {
		aside = turnedAside(rack)
		ahead, err := heights.at(bump)
		if err != nil {
			return err
		}
		p, err := k.steered(&ahead.pose, rack)
		if err == nil {
			now = j.bends(&p)
		}
		return err
	}
	sweep := clearance.Sweep{X: rack, Y: bump, Columns: clearanceRacks, Rows: clearanceBumps, Margin: clearanceMargin, Step: clearanceStep}
	quantities := jointQuantities
	if !k.hasShaft {
		quantities = shaftOuter
	}
	least, err := sweep.Least(quantities, visit, func(q int, _ float64) float64 { return -now[q] + aside })
	if err != nil {
		return CornerJoints{}, err
	}
	for i := range least {
		least[i].Value -= turnedAside(least[i].X)
	}
	return c.jointsAtWorst(least), nil
}

// turnedAside is what a place of the sweep counts less for being away from straight ahead. A stud along the steering
// axis leans the same on any lock, and where it leans most would else be a matter of rounding. It is less than a
// ten-millionth of a degree on any rack.
func turnedAside(rack float64) float64 { return 1e-8 * math.Abs(rack) }

// jointsAtWorst reads a sweep into a result and holds it against the limits.
func (c *Corner) jointsAtWorst(least []clearance.Swept) CornerJoints {
	r := CornerJoints{LimitedBy: "unknown", Use: math.NaN()}
	hold := func(name string, most, limit float64) (margin float64) {
		if !(limit > 0) || math.IsNaN(most) {
			return math.NaN()
		}
		if use := most / limit; !(use <= r.Use) {
			r.Use, r.LimitedBy = use, "nothing"
			if use > 1+rounding {
				r.LimitedBy = name
			}
		}
		return limit - most
	}
	for _, joint := range [...]struct {
		to    *JointBend
		of    int
		name  string
		limit float64
	}{
		{&r.UpperBall, upperBall, "upper ball joint", c.JointLimit},
		{&r.LowerBall, lowerBall, "lower ball joint", c.LowerJointLimit},
		{&r.TieOuter, tieOuter, "outer tie-rod end", c.TieJointLimit},
		{&r.TieInner, tieInner, "inner tie-rod end", 0},
		{&r.ShaftOuter, shaftOuter, "outer shaft joint", c.ShaftLimit},
		{&r.ShaftInner, shaftInner, "inner shaft joint", c.ShaftInnerLimit},
	} {
		if joint.of >= len(least) {
			*joint.to = absent[JointBend]()
			continue
		}
		at := least[joint.of]
		*joint.to = JointBend{-at.Value, hold(joint.name, -at.Value, joint.limit), at.X, at.Y}
	}
	if longer >= len(least) {
		r.Plunge = absent[Plunge]()
		return r
	}
	grow, shrink := least[longer], least[shorter]
	most := grow
	if shrink.Value < grow.Value {
		most = shrink
	}
	r.Plunge = Plunge{-grow.Value, shrink.Value, hold("shaft plunge", -most.Value, c.ShaftPlunge/2), most.X, most.Y}
	return r
}
