package sim

import (
	"math"
	"slices"
)

func init() { register[Travel, TravelResult]() }

// Travel gives the geometry with both front wheel centres raised by Bump from rest, the rack in its middle
// and the body held where it rests: the whole alignment along the travel, and what the suspension does to
// roll, dive, the coil, the upper ball joint and the drive shaft.
//
// Valid between the stops (Spring.BumpTravel and DroopTravel, counted from where the corner was measured) and
// as far as every joint can be reached; beyond, there is no result. An output whose own inputs aren't given
// (the coil's ends, the shaft's joints, CentreHeight) is absent.
type Travel struct {
	Vehicle Vehicle
	Bump    float64 `unit:"mm" us:"inch" default:"0"` // wheel centre's rise relative to the body, from rest; + up
}

// TravelResult is the geometry at one height of the wheels.
type TravelResult struct {
	TravelWheel
	Right TravelWheel
	AxleAlignment

	// Height above the ground at which a lateral force on the body, shared evenly by both front tyres, doesn't
	// roll it: the mean over both sides of y·(dy/dz), where y is the contact centre's distance from the
	// vehicle's middle and dy/dz its outward movement per rise. On arms whose pivot axes lie along the vehicle
	// it is the height at the middle of the line from the contact centre to the front-view instant centre,
	// h = (t/2)·z_IC/(t/2 − y_IC) (Gillespie, Fundamentals of Vehicle Dynamics, ch. 7; Milliken and Milliken,
	// Race Car Vehicle Dynamics, ch. 17; from memory).
	RollCentreHeight float64 `unit:"mm" us:"inch"`

	// Share of the front's dive under braking that the geometry holds up: FrontBrakeShare·(dx/dz)·(L/h), where
	// dx/dz = tan θ is the contact centre's forward movement per rise with the wheel locked to the knuckle
	// (brakes outboard), so θ is the slope of the line from the contact centre to the side-view instant
	// centre, L the wheelbase and h CentreHeight; the mean over both sides. Negative when the geometry adds to the dive.
	// The same sources as RollCentreHeight, from memory.
	AntiDive float64 `unit:"percent" absent:"CentreHeight or Wheelbase isn't given"`
}

// TravelWheel is one wheel's part of a TravelResult.
type TravelWheel struct {
	WheelAlignment
	BumpSteer       float64 `unit:"deg/mm" us:"deg/inch"`                                                                              // change of Toe per rise of the wheel centre
	CamberGain      float64 `unit:"deg/mm" us:"deg/inch"`                                                                              // change of Camber per rise of the wheel centre
	MotionRatio     float64 `unit:"1" absent:"the coil's ends aren't given"`                                                           // coil's shortening per rise of the wheel centre
	UpperJointAngle float64 `unit:"deg" called:"lean of the upper ball joint"`                                                         // lean of the upper ball joint's stud from the square to the upper arm's plane, to hold against JointLimit
	UpperArmTurn    float64 `unit:"deg"`                                                                                               // upper arm about its pivots, from rest, + ball joint up: what a bush tightened at rest is twisted by
	LowerArmTurn    float64 `unit:"deg"`                                                                                               // the same for the lower arm
	ShaftAngle      float64 `unit:"deg" absent:"the drive shaft's joints aren't given" called:"bend of the drive shaft's inner joint"` // bend of the drive shaft's inner joint, from the body's y (the axle's axis)
	ShaftOuterAngle float64 `unit:"deg" absent:"the drive shaft's joints aren't given"`                                                // bend of the drive shaft's outer joint, from the wheel's axis
}

// Uses lists what the result depends on.
func (Travel) Uses() []string {
	return slices.Concat(kinematicFields(), []string{"CentreHeight", "FrontBrakeShare", "Spring.LowerPoint", "Spring.UpperPoint", "Spring.On"})
}

// Optional lists what the model can do without.
func (Travel) Optional() []string {
	return slices.Concat(kinematicOptional, []string{"CentreHeight", "Spring.LowerPoint", "Spring.UpperPoint"})
}

// Run gives the geometry, or an error that names the joint that can't be reached or the stop that is passed.
func (m Travel) Run() (TravelResult, error) {
	if err := checkInputs(&m); err != nil {
		return TravelResult{}, err
	}
	a, err := newAxle(&m.Vehicle)
	if err != nil {
		return TravelResult{}, err
	}
	w, err := a.at(m.Bump)
	if err != nil {
		return TravelResult{}, err
	}
	left, drift, dive := a.left.travel(&w.left)
	right, rightDrift, rightDive := left, drift, dive
	if !a.mirrored {
		right, rightDrift, rightDive = a.right.travel(&w.right)
	}
	right.WheelAlignment = a.right.alignment(&w.right)
	return TravelResult{
		TravelWheel:      left,
		Right:            right,
		AxleAlignment:    together(left.WheelAlignment, right.WheelAlignment),
		RollCentreHeight: (w.left.Contact.Y*drift + w.right.Contact.Y*rightDrift) / 2,
		AntiDive:         m.Vehicle.FrontBrakeShare * (dive + rightDive) / 2 * orAbsent(a.wheelbase) / orAbsent(m.Vehicle.CentreHeight),
	}, nil
}

// travel reads a stance; drift is the contact centre's outward movement per rise and dive its forward one.
func (k *corner) travel(s *stance) (w TravelWheel, drift, dive float64) {
	t, _ := k.link.Travel(&s.pose)
	rates := s.pose.Rates(t, k.ground)
	w = TravelWheel{
		WheelAlignment:  k.alignment(s),
		BumpSteer:       rates.Toe,
		CamberGain:      rates.Camber,
		MotionRatio:     k.motionRatio(&s.pose),
		UpperJointAngle: k.studLean(&s.pose),
	}
	w.UpperArmTurn, w.LowerArmTurn = k.link.ArmTurns(&k.rest, &s.pose)
	w.ShaftAngle, w.ShaftOuterAngle = k.shaftAngles(&s.pose)
	v := t.At(s.Contact)
	rise := v.Dot(k.ground.Up)
	return w, v.Y / rise, v.Dot(k.ground.Forward) / rise
}

// orAbsent makes a length that wasn't given, or is none, absent.
func orAbsent(x float64) float64 {
	if x > 0 && !math.IsInf(x, 1) {
		return x
	}
	return math.NaN()
}
