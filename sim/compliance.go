package sim

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"turnplate/sim/compliance"
	"turnplate/sim/unit"
	"turnplate/sim/wishbone"
)

func init() { register[Compliance, ComplianceResult]() }

// Compliance gives how far the front wheels move and turn because bushes, tie rod and rack mount yield: the change of
// caster, camber, toe and each wheel's place in braking, cornering or drive, while the force acts and for each kN of it.
//
// Each arm stands on two bushes whose axis is the line through its pivots; ball joints pass force only; the tie rod is a
// spring along itself (Steering.RodStiffness, the rack's mount counted in), the coil one along its own line; all else is
// rigid, and so is what isn't given. The stiffness matrix of the whole corner is set up at rest and solved for the
// force: see package compliance for the equations. Linear: twice the force gives twice the change. The wheel centre's height
// is held, so what the spring would do isn't counted; each wheel gives by itself.
//
// Brake and Side act at the contact centre (brakes on the hub pass their torque into the knuckle), along and across the
// wheel's heading; Drive acts at the wheel's centre (a shaft from the frame); Aligning is a moment about the vertical.
// From Deceleration, each front wheel's brake force is half of FrontBrakeShare of mass × Deceleration; from
// LateralAcceleration the side force is the front axle's mass × LateralAcceleration, shared by the wheels' loads in that
// turn, as in JointLoads. Caster is the change of the line through the moved ball joints. Published ranges, from memory:
// 0.1 to 0.4 degrees of caster lost for each kN of brake force at a wheel, up to 0.15 degrees of toe.
//
// Rubber is softer at first and stiffer later, stiffer when it's shaken fast, and ages; a stiffness without a test behind it
// is a guess by a factor of two, so give it as a spread. Structure of the method: M. Blundell and D. Harty, The Multibody
// Systems Approach to Vehicle Dynamics, ch. 4, and J. C. Dixon, Suspension Geometry and Computation, Wiley 2009 (from memory).
type Compliance struct {
	Vehicle  Vehicle
	Brake    *float64 `unit:"kN" us:"lbf" default:"0, or by Deceleration"`        // each front wheel's, at the ground; + rearward
	Side     *float64 `unit:"kN" us:"lbf" default:"0, or by LateralAcceleration"` // each front wheel's, at the ground; + left
	Drive    float64  `unit:"kN" us:"lbf" default:"0"`                            // each front wheel's, at its centre; + forward
	Aligning float64  `unit:"N*m" us:"lbf*ft" default:"0"`                        // on each front wheel; + turning it left

	Deceleration        *float64 `unit:"gravity" default:"none" must:">=0 <=2: speeding up is Drive's matter"` // in the place of Brake
	LateralAcceleration *float64 `unit:"gravity" default:"none" must:">=-2 <=2"`                               // in the place of Side; + turning left
}

// ComplianceResult is what both front wheels do; plain outputs mean the left one.
type ComplianceResult struct {
	WheelCompliance
	Right WheelCompliance
}

// WheelCompliance is one wheel's changes under its forces, and for each kN (each kN·m) of one of them.
type WheelCompliance struct {
	Given
	BrakeForce float64 `unit:"kN" us:"lbf"` // that acted on this wheel; + rearward
	SideForce  float64 `unit:"kN" us:"lbf"` // that acted on this wheel; + left

	CasterPerBrake float64 `unit:"deg/kN" us:"deg/lbf"` // Caster's change for each kN of Brake
	CamberPerBrake float64 `unit:"deg/kN" us:"deg/lbf"` // Camber's
	ToePerBrake    float64 `unit:"deg/kN" us:"deg/lbf"` // Toe's
	WheelXPerBrake float64 `unit:"mm/kN" us:"inch/lbf"` // WheelX's
	WheelYPerBrake float64 `unit:"mm/kN" us:"inch/lbf"` // WheelY's

	CasterPerSide float64 `unit:"deg/kN" us:"deg/lbf"` // Caster's change for each kN of Side, + left
	CamberPerSide float64 `unit:"deg/kN" us:"deg/lbf"` // Camber's
	ToePerSide    float64 `unit:"deg/kN" us:"deg/lbf"` // Toe's
	WheelXPerSide float64 `unit:"mm/kN" us:"inch/lbf"` // WheelX's
	WheelYPerSide float64 `unit:"mm/kN" us:"inch/lbf"` // WheelY's

	CasterPerDrive float64 `unit:"deg/kN" us:"deg/lbf"` // Caster's change for each kN of Drive
	CamberPerDrive float64 `unit:"deg/kN" us:"deg/lbf"` // Camber's
	ToePerDrive    float64 `unit:"deg/kN" us:"deg/lbf"` // Toe's
	WheelXPerDrive float64 `unit:"mm/kN" us:"inch/lbf"` // WheelX's
	WheelYPerDrive float64 `unit:"mm/kN" us:"inch/lbf"` // WheelY's

	CasterPerAligning float64 `unit:"deg/kN/m" us:"deg/lbf/ft"` // Caster's change for each kN·m of Aligning, + left
	CamberPerAligning float64 `unit:"deg/kN/m" us:"deg/lbf/ft"` // Camber's
	ToePerAligning    float64 `unit:"deg/kN/m" us:"deg/lbf/ft"` // Toe's
	WheelXPerAligning float64 `unit:"mm/kN/m" us:"inch/lbf/ft"` // WheelX's
	WheelYPerAligning float64 `unit:"mm/kN/m" us:"inch/lbf/ft"` // WheelY's
}

// Given is how far a wheel gave way; + as in Alignment.
type Given struct {
	Caster float64 `unit:"deg"`          // change of the line through the moved ball joints, on the side plane
	Camber float64 `unit:"deg"`          // change
	Toe    float64 `unit:"deg"`          // change
	WheelX float64 `unit:"mm" us:"inch"` // of the wheel's centre; + forward
	WheelY float64 `unit:"mm" us:"inch"` // of the wheel's centre; + left
}

// givingFields are what gives way, beside the geometry, for Uses.
var givingFields = []string{"Front.UpperBush", "Front.LowerFrontBush", "Front.LowerRearBush", "Steering.RodStiffness",
	"Spring.Rate", "Spring.LowerPoint", "Spring.UpperPoint", "Spring.On"}

// Uses lists what the result depends on.
func (Compliance) Uses() []string {
	return slices.Concat(kinematicFields(), givingFields, weightFields, []string{"FrontRollShare", "FrontBrakeShare"})
}

// Optional lists what the model can do without: masses and sizes, as long as only forces are given.
func (Compliance) Optional() []string {
	return []string{"Wheelbase", "Mass", "CentreHeight", "Tyre.Mass", "Tyre.RimMass"}
}

// Run gives the changes, or an error that says what isn't given or what nothing holds.
func (m Compliance) Run() (ComplianceResult, error) {
	if err := checkInputs(&m); err != nil {
		return ComplianceResult{}, err
	}
	switch {
	case m.Brake != nil && m.Deceleration != nil:
		return ComplianceResult{}, errors.New("give either Brake or Deceleration")
	case m.Side != nil && m.LateralAcceleration != nil:
		return ComplianceResult{}, errors.New("give either Side or LateralAcceleration")
	}
	v := &m.Vehicle
	a, err := newAxle(v)
	if err != nil {
		return ComplianceResult{}, err
	}
	at := a.atRest()
	left, right, err := m.forces(&at)
	if err != nil {
		return ComplianceResult{}, err
	}
	var r ComplianceResult
	if r.WheelCompliance, err = a.left.compliance(v, &at.left, left, m.Drive, m.Aligning); err != nil {
		return ComplianceResult{}, err
	}
	r.Right, err = a.right.compliance(v, &at.right, right, m.Drive, m.Aligning)
	return r, err
}

// forces gives the brake and side force of each front wheel.
func (m *Compliance) forces(at *wheels) (left, right tyreForces, err error) {
	v := &m.Vehicle
	var g loadCase
	if m.Deceleration != nil {
		g.braking = *m.Deceleration / unit.StandardGravity
	}
	if m.LateralAcceleration != nil {
		g.cornering = *m.LateralAcceleration / unit.StandardGravity
	}
	if m.Deceleration != nil || m.LateralAcceleration != nil {
		for _, needed := range []amount{
			{"Wheelbase", v.Wheelbase}, {"Mass", v.Mass}, {"CentreHeight", v.CentreHeight},
			{"Tyre.Mass", v.Tyre.Mass}, {"Tyre.RimMass", v.Tyre.RimMass},
		} {
			if needed.value == 0 {
				return left, right, NotGiven{needed.field}
			}
		}
		g.bump = 1
		w := newWeight(v)
		left, right = v.frontTyres(g, &w, at.left.Contact.Y+at.right.Contact.Y)
		left.brake = v.FrontBrakeShare * w.mass * g.braking * unit.StandardGravity / 2
		right.brake = left.brake
	}
	if m.Brake != nil {
		left.brake, right.brake = *m.Brake, *m.Brake
	}
	if m.Side != nil {
		left.side, right.side = *m.Side, *m.Side
	}
	return left, right, nil
}

type amount struct {
	field string
	value float64
}

// compliance gives one wheel's changes.
func (k *corner) compliance(v *Vehicle, s *stance, f tyreForces, drive, aligning float64) (w WheelCompliance, err error) {
	r, err := k.responds(v, &s.pose)
	if err != nil {
		return w, err
	}
	per := func(load compliance.Load) Given { return k.given(s, r.To(load)) }
	ahead, across, up := s.Heading, s.Outboard.Scale(k.mirror), k.ground.Up.Scale(k.mirror)
	brake := per(compliance.Load{At: s.Contact, Force: ahead.Scale(-1)})
	side := per(compliance.Load{At: s.Contact, Force: across})
	pull := per(compliance.Load{At: s.Centre, Force: ahead})
	turn := per(compliance.Load{Moment: up})
	w.BrakeForce, w.SideForce = f.brake, f.side
	w.Given = brake.times(f.brake).plus(side.times(f.side)).plus(pull.times(drive)).plus(turn.times(aligning))
	w.CasterPerBrake, w.CamberPerBrake, w.ToePerBrake, w.WheelXPerBrake, w.WheelYPerBrake = brake.Caster, brake.Camber, brake.Toe, brake.WheelX, brake.WheelY
	w.CasterPerSide, w.CamberPerSide, w.ToePerSide, w.WheelXPerSide, w.WheelYPerSide = side.Caster, side.Camber, side.Toe, side.WheelX, side.WheelY
	w.CasterPerDrive, w.CamberPerDrive, w.ToePerDrive, w.WheelXPerDrive, w.WheelYPerDrive = pull.Caster, pull.Camber, pull.Toe, pull.WheelX, pull.WheelY
	w.CasterPerAligning, w.CamberPerAligning, w.ToePerAligning, w.WheelXPerAligning, w.WheelYPerAligning = turn.Caster, turn.Camber, turn.Toe, turn.WheelX, turn.WheelY
	return w, nil
}

func (g Given) times(x float64) Given {
	return Given{g.Caster * x, g.Camber * x, g.Toe * x, g.WheelX * x, g.WheelY * x}
}

func (g Given) plus(h Given) Given {
	return Given{g.Caster + h.Caster, g.Camber + h.Camber, g.Toe + h.Toe, g.WheelX + h.WheelX, g.WheelY + h.WheelY}
}

// given reads a movement of the knuckle into changes.
func (k *corner) given(s *stance, m compliance.Motion) Given {
	t := wishbone.Twist{About: s.pose.Centre, Move: m.Move, Turn: m.Turn}
	rates, centre := s.pose.Rates(t, k.ground), t.At(s.Centre)
	return Given{Caster: rates.Caster, Camber: rates.Camber, Toe: rates.Toe, WheelX: centre.X, WheelY: k.mirror * centre.Y}
}

// responds sets up what a corner gives in a pose.
func (k *corner) responds(v *Vehicle, p *wishbone.Pose) (compliance.Response, error) {
	switch {
	case !k.coil.given:
		return compliance.Response{}, NotGiven{"Spring.LowerPoint or Spring.UpperPoint"}
	case v.Spring.Rate == 0:
		return compliance.Response{}, NotGiven{"Spring.Rate"}
	}
	c := &v.Front
	if k.mirror < 0 && v.Right != nil {
		c = v.Right
	}
	at := compliance.Corner{
		Rod: orRigid(v.Steering.RodStiffness), TieInner: p.TieInner, TieOuter: p.TieOuter,
		Coil: v.Spring.Rate, CoilOnUpper: k.coil.onUpper, Reference: p.Centre, Held: true,
	}
	at.Lower.Front, at.Lower.Rear, at.Upper.Front, at.Upper.Rear = k.link.Pivots()
	at.Upper.Ball, at.Lower.Ball = p.Upper, p.Lower
	at.Upper.FrontBush, at.Upper.RearBush = c.UpperBush.stiffness(), c.UpperBush.stiffness()
	at.Lower.FrontBush, at.Lower.RearBush = c.LowerFrontBush.stiffness(), c.LowerRearBush.stiffness()
	at.Seat = k.link.OnLowerArm(p, k.coil.lower)
	if k.coil.onUpper {
		at.Seat = k.link.OnUpperArm(p, k.coil.lower)
	}
	at.Along = k.coil.upper.Sub(at.Seat)
	r, err := at.Respond()
	if err != nil {
		err = fmt.Errorf("%s: %w", k.side, err)
	}
	return r, err
}

func (b *Bush) stiffness() compliance.Bush {
	return compliance.Bush{Radial: orRigid(b.Radial), Axial: orRigid(b.Axial), Torsion: b.Torsion, Tilt: b.Tilt}
}

// orRigid reads a stiffness whose zero means that nothing gives.
func orRigid(x float64) float64 {
	if x == 0 {
		return math.Inf(1)
	}
	return x
}
