package sim

import (
	"errors"
	"math"
)

func init() { register[Steer, SteerResult]() }

// Steer gives the geometry with the wheels steered, by the rack's position or by the mean of both wheels'
// headings; one of the two must be given. The arms are held where the vehicle rests (with Bump, where that
// height puts them straight ahead), as the springs' lengths don't change, so that each wheel turns purely
// about its steering axis.
//
// Valid within Steering.RackLimit and as far as the tie rods reach. Roll and pitch that follow from the
// body's rise are not fed back into the angles.
type Steer struct {
	Vehicle Vehicle
	Rack    *float64 `unit:"mm" us:"inch" default:"none"` // rack from its middle; + turns the wheels left, whether it lies ahead of the axle or behind
	Angle   *float64 `unit:"deg" default:"none"`          // mean of both wheels' headings instead; + left
	Bump    float64  `unit:"mm" us:"inch" default:"0"`    // wheel centres' rise from rest before steering; + up
}

// SteerResult is the geometry at one steer position.
type SteerResult struct {
	SteerWheel
	Right SteerWheel
	AxleAlignment
	Rack     float64 `unit:"mm" us:"inch"` // rack from its middle
	Angle    float64 `unit:"deg"`          // mean of both wheels' headings; + left
	MeanRise float64 `unit:"mm" us:"inch"` // mean of both sides' Rise

	// How much further the outer wheel is turned than Ackermann's relation asks for with the inner wheel where
	// it is: δ_outer − acot(cot δ_inner + c/L), with the wheelbase L and the distance c between the places
	// where the two steering axes meet the ground straight ahead (the relation: Ackermann; the error: Reimpell,
	// Stoll and Betzler, The Automotive Chassis, 2nd ed. 2001, section 3.7, from memory). Zero for true
	// rolling, + towards parallel steer. Both headings are taken as they are, static toe included.
	AckermannError float64 `unit:"deg" absent:"Wheelbase isn't given"`
}

// SteerWheel is one wheel's part of a SteerResult.
type SteerWheel struct {
	WheelAlignment
	RoadWheelAngle float64 `unit:"deg"`          // heading from straight ahead, seen from above; + left, for either wheel
	Rise           float64 `unit:"mm" us:"inch"` // of the body above the ground under this wheel, since straight ahead at the same arm position; + lifted
}

// Uses lists what the result depends on.
func (Steer) Uses() []string { return steeringFields() }

// Optional lists what the model can do without. Without Wheelbase AckermannError is absent.
func (Steer) Optional() []string { return kinematicOptional }

// Run gives the geometry, or an error that names the joint that can't be reached.
func (m Steer) Run() (SteerResult, error) {
	if err := checkInputs(&m); err != nil {
		return SteerResult{}, err
	}
	if (m.Rack == nil) == (m.Angle == nil) {
		return SteerResult{}, errors.New("Steer takes either Rack or Angle, one of them and not both")
	}
	a, err := newAxle(&m.Vehicle)
	if err != nil {
		return SteerResult{}, err
	}
	ahead, err := a.at(m.Bump)
	if err != nil {
		return SteerResult{}, err
	}
	var rack float64
	var w wheels
	if m.Rack != nil {
		rack = *m.Rack
		w, err = a.steered(&ahead, rack)
	} else {
		rack, w, err = a.turned(&ahead, *m.Angle)
	}
	if err != nil {
		return SteerResult{}, err
	}
	rise, rightRise := riseOf(&ahead, &w)
	r := SteerResult{
		SteerWheel: SteerWheel{a.left.alignment(&w.left), a.left.heading(&w.left), rise},
		Right:      SteerWheel{a.right.alignment(&w.right), a.right.heading(&w.right), rightRise},
		Rack:       rack,
		Angle:      a.meanHeading(&w),
		MeanRise:   (rise + rightRise) / 2,
	}
	r.AxleAlignment = together(r.SteerWheel.WheelAlignment, r.Right.WheelAlignment)
	between := ahead.left.AxisGround.Y + ahead.right.AxisGround.Y
	r.AckermannError = ackermannError(r.RoadWheelAngle, r.Right.RoadWheelAngle, between/orAbsent(a.wheelbase))
	return r, nil
}

// ackermannOuter is the heading that Ackermann's relation cot δ_outer − cot δ_inner = c/L asks of the outer wheel
// (both + towards the inside of the turn), with ratio c/L.
func ackermannOuter(inner, ratio float64) float64 {
	return math.Atan2(math.Sin(inner), math.Cos(inner)+ratio*math.Sin(inner))
}

// ackermannError is the outer wheel's heading beyond that; left and right are headings, + left.
func ackermannError(left, right, ratio float64) float64 {
	inner, outer := left, right
	if left+right < 0 {
		inner, outer = -right, -left
	}
	return outer - ackermannOuter(inner, ratio)
}
