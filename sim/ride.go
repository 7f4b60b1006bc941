package sim

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"turnplate/sim/ride"
	"turnplate/sim/unit"
)

func init() { register[Ride, RideResult]() }

// Ride tells how body and wheel of one front corner move on a rough road: a quarter car whose spring and damper work through the real
// linkage (see ride.QuarterCar).
//
//	wheel rate      k·MR² + F·dMR/dz
//	wheel damping   c·MRd²
//	tyre            Tyre.VerticalStiffness, undamped
//
// with k Spring.Rate, c Spring.Damping, MR the coil's shortening per rise z of the wheel centre, MRd the damper's, F the coil's force
// at rest, and both front wheels moving alike, so that the anti-roll bar does nothing. Frequencies and damping ratios
// are those of the two coupled masses (D. C. Barton, J. D. Fieldhouse, Automotive Chassis Engineering, Springer
// 2018, Eq. 3.83), the road is ISO 8608:2016's (waviness 2), and root-mean-square values are the closed
// solution of the Lyapunov equation (see ride.QuarterCar.RMS).
//
// Linear: no stops, no friction, one damper rate both ways, and the tyre never leaving the ground. Where its
// force varies by more than half the static load (it would leave the ground 2 % of the time and more), the
// random-road results are absent and Note says so. A mode damped to critical or above doesn't swing: it has no
// frequency, and Note says that too.
type Ride struct {
	Vehicle   Vehicle
	Road      string   `default:"C" must:"A, B, C, D, E, F, G, H"`    // ISO 8608 class, A (smooth) to H
	Roughness *float64 `unit:"m*m*m" default:"the class's" must:">0"` // Gd(n0) at 0.1 cycle/m instead of a class
	Speed     float64  `unit:"kph" us:"mph" default:"80" must:">0"`   // along the road
	Frequency *float64 `unit:"Hz" default:"none" must:">0"`           // of a sine road, for the transmissibilities
	Old       *Tyre    `default:"none"`                               // to compare with, on the same suspension
}

// RideFigures is the corner on one kind of tyre.
type RideFigures struct {
	Sprung                float64 `unit:"kg" us:"lb"`                                                                                                          // body mass over this wheel
	Unsprung              float64 `unit:"kg" us:"lb"`                                                                                                          // wheel, tyre and what moves with them
	BodyFrequency         float64 `unit:"Hz" absent:"body or hop is damped above critical"`                                                                    // undamped natural frequency; absent when body or hop is damped above critical
	HopFrequency          float64 `unit:"Hz" absent:"body or hop is damped above critical"`                                                                    // of the wheel between tyre and spring; absent when body or hop is damped above critical
	BodyDamping           float64 `unit:"1" absent:"body or hop is damped above critical"`                                                                     // damping ratio; 1 is critical
	HopDamping            float64 `unit:"1" absent:"body or hop is damped above critical"`                                                                     // damping ratio; 1 is critical
	BodyAcceleration      float64 `unit:"m/s/s" us:"ft/s/s" absent:"the tyre would leave the ground too often for a linear model"`                             // rms
	StrokeRMS             float64 `unit:"mm" us:"inch" absent:"the tyre would leave the ground too often for a linear model"`                                  // wheel against body, rms
	StrokeLikely          float64 `unit:"mm" us:"inch" absent:"the tyre would leave the ground too often for a linear model"`                                  // three times StrokeRMS: passed one way or the other 0.3 % of the time
	TyreForce             float64 `unit:"N" us:"lbf" absent:"the tyre would leave the ground too often for a linear model"`                                    // rms about the static load
	DynamicLoad           float64 `unit:"percent" absent:"the tyre would leave the ground too often for a linear model" called:"variation of the tyre's load"` // dynamic tyre-load coefficient: TyreForce over the static load
	BodyTransmissibility  float64 `unit:"1" absent:"Frequency isn't given"`                                                                                    // body movement over road movement at Frequency
	WheelTransmissibility float64 `unit:"1" absent:"Frequency isn't given" called:"wheel movement over road movement"`                                         // wheel movement over road movement at Frequency
}

// RideResult is the corner as it stands, and on its old tyre where it's given.
type RideResult struct {
	RideFigures
	Old RideFigures `absent:"Old isn't given"` // on the old tyre; absent without Old

	MotionRatio   float64 `unit:"1"`                                                                                            // coil's shortening per rise of the wheel centre
	DamperRatio   float64 `unit:"1"`                                                                                            // damper's shortening per rise of the wheel centre
	SpringForce   float64 `unit:"N" us:"lbf"`                                                                                   // in the coil, at rest
	WheelRate     float64 `unit:"N/mm" us:"lbf/inch"`                                                                           // of the spring at the wheel, geometry included
	GeometricRate float64 `unit:"N/mm" us:"lbf/inch"`                                                                           // the part of it from the changing motion ratio, F·dMR/dz
	RollRate      float64 `unit:"N/mm" us:"lbf/inch"`                                                                           // at the wheel with the anti-roll bar, one side moving against the other
	WheelDamping  float64 `unit:"N*s/m" us:"lbf*s/ft"`                                                                          // of the damper at the wheel
	BumpUsed      float64 `unit:"percent" absent:"Spring.BumpTravel isn't given, or the tyre would leave the ground too often"` // StrokeLikely over the travel up to the stop; absent when Spring.BumpTravel isn't given

	DampingForOldHop float64 `unit:"N*s/m" us:"lbf*s/ft" absent:"Old isn't given, or hop doesn't swing"`           // at the damper, that gives hop the damping ratio it had on the old tyre
	DampingRise      float64 `unit:"percent" absent:"Old isn't given, or hop doesn't swing"`                       // DampingForOldHop over Spring.Damping, less one
	AccelerationRise float64 `unit:"percent" absent:"Old isn't given, or a tyre would leave the ground too often"` // BodyAcceleration over the old one, less one
	DynamicLoadRise  float64 `unit:"percent" absent:"Old isn't given, or a tyre would leave the ground too often"` // DynamicLoad over the old one, less one
	Note             string  // what is absent and why, and what to look at
}

// Uses lists what the result depends on.
func (Ride) Uses() []string {
	return slices.Concat(kinematicFields(), []string{"Unsprung", "Spring"}, andOld(append([]string{"Tyre.VerticalStiffness"}, weightFields...)...))
}

// Optional lists what the model can do without.
func (Ride) Optional() []string { return []string{"CentreHeight", "Wheelbase"} }

// Run gives the ride.
func (m Ride) Run() (RideResult, error) {
	r := absent[RideResult]()
	if err := checkInputs(&m); err != nil {
		return r, err
	}
	v := &m.Vehicle
	roughness, err := m.roughness()
	if err != nil {
		return r, err
	}
	a, err := newAxle(v)
	if err != nil {
		return r, err
	}
	car, err := r.suspend(v, &a.left)
	if err != nil {
		return r, err
	}
	noise := ride.VelocityNoise(roughness, m.Speed)
	var notes []string
	var hop ride.Mode
	r.RideFigures, hop, notes = m.figures(car, noise)
	if up := v.Spring.BumpTravel + a.left.lift; v.Spring.BumpTravel > 0 {
		if r.BumpUsed = r.StrokeLikely / up; r.BumpUsed > 1 {
			notes = append(notes, "the wheel would reach its stop")
		}
	}
	r.Note = strings.Join(notes, "; ")
	if m.Old == nil {
		return r, nil
	}
	was := car
	if was.Sprung, was.Unsprung, was.Tyre, err = masses(v, m.Old); err != nil {
		return r, fmt.Errorf("on the old tyre: %w", err)
	}
	var oldHop ride.Mode
	r.Old, oldHop, _ = m.figures(was, noise)
	r.AccelerationRise, r.DynamicLoadRise = r.BodyAcceleration/r.Old.BodyAcceleration-1, r.DynamicLoad/r.Old.DynamicLoad-1
	if hop.Oscillates() {
		r.DampingForOldHop = car.DampingForHop(oldHop.DampingRatio) / (r.DamperRatio * r.DamperRatio)
		r.DampingRise = r.DampingForOldHop/v.Spring.Damping - 1
	}
	return r, nil
}

func (m Ride) roughness() (float64, error) {
	if m.Roughness != nil {
		return *m.Roughness, nil
	}
	if m.Road == "" {
		return ride.RoadClass("C")
	}
	return ride.RoadClass(m.Road)
}

// masses splits the left front corner into sprung and unsprung on a given tyre.
func masses(v *Vehicle, t *Tyre) (sprung, unsprung, tyre float64, err error) {
	on := *v
	on.Tyre = *t
	w := newWeight(&on)
	unsprung = v.Unsprung + t.Mass + t.RimMass
	sprung = w.left/unit.StandardGravity - unsprung
	if !(sprung > 0) {
		err = errors.New("Unsprung with tyre and rim is more than the wheel carries: nothing is left to spring")
	}
	return sprung, unsprung, t.VerticalStiffness, err
}

// suspend reads rates at the wheel off the linkage at rest.
func (r *RideResult) suspend(v *Vehicle, k *corner) (ride.QuarterCar, error) {
	var car ride.QuarterCar
	var err error
	if car.Sprung, car.Unsprung, car.Tyre, err = masses(v, &v.Tyre); err != nil {
		return car, err
	}
	if !k.coil.given {
		return car, NotGiven{"Spring.LowerPoint or Spring.UpperPoint"}
	}
	damper := *k
	if s := &v.Spring; s.DamperLower != (Point{}) && s.DamperUpper != (Point{}) {
		damper.coil.lower, damper.coil.upper = s.DamperLower, s.DamperUpper
	}
	slope, err := k.motionRatioSlope()
	if err != nil {
		return car, err
	}
	r.MotionRatio, r.DamperRatio = k.motionRatio(&k.rest), damper.motionRatio(&k.rest)
	if !(r.MotionRatio > 0) || !(r.DamperRatio > 0) {
		return car, errors.New("the coil and the damper must shorten as the wheel rises: check Spring's points and Spring.On")
	}
	// The coil holds up the sprung mass: virtual work, F·MR = ms·g.
	r.SpringForce = car.Sprung * unit.StandardGravity / r.MotionRatio
	r.GeometricRate = r.SpringForce * slope
	r.WheelRate = v.Spring.Rate*r.MotionRatio*r.MotionRatio + r.GeometricRate
	r.RollRate = r.WheelRate + v.Spring.WheelBarRate
	r.WheelDamping = v.Spring.Damping * r.DamperRatio * r.DamperRatio
	if !(r.WheelRate > 0) {
		return car, fmt.Errorf("the wheel rate isn't above zero: the falling motion ratio takes more (%.4g N/mm) than the coil gives", -r.GeometricRate*1e-3)
	}
	car.Spring, car.Damping = r.WheelRate, r.WheelDamping
	return car, nil
}

// motionRatioSlope is dMR/dz at rest, by central difference: at a tenth of a millimetre the third derivative adds
// less than a millionth, and rounding a billionth.
func (k *corner) motionRatioSlope() (float64, error) {
	const step = 1e-4 // m
	z := k.measuredZ - k.lift
	up, err := k.link.AtHeight(z+step, 0)
	if err != nil {
		return 0, k.explain(err)
	}
	down, err := k.link.AtHeight(z-step, 0)
	if err != nil {
		return 0, k.explain(err)
	}
	return (k.motionRatio(&up) - k.motionRatio(&down)) / (2 * step), nil
}

// mostDynamicLoad is the dynamic load coefficient past which a tyre that is pressed down by a normally
// distributed force would leave the ground more than 2.3 % of the time.
const mostDynamicLoad = 0.5

func (m Ride) figures(car ride.QuarterCar, noise float64) (f RideFigures, hop ride.Mode, notes []string) {
	f = absent[RideFigures]()
	f.Sprung, f.Unsprung = car.Sprung, car.Unsprung
	body, hop := car.Modes()
	f.BodyFrequency, f.HopFrequency = body.Frequency/(2*math.Pi), hop.Frequency/(2*math.Pi)
	f.BodyDamping, f.HopDamping = body.DampingRatio, hop.DampingRatio
	// With one pair of roots real, what is left of the swings is the body's and the wheel's together: neither
	// has a frequency of its own, and only the ratio of the pair that doesn't swing says something.
	for _, mode := range [...]struct {
		name  string
		mode  ride.Mode
		other *float64
	}{{"body", body, &f.HopDamping}, {"hop", hop, &f.BodyDamping}} {
		if mode.mode.Oscillates() {
			continue
		}
		f.BodyFrequency, f.HopFrequency = math.NaN(), math.NaN()
		if body.Oscillates() || hop.Oscillates() {
			*mode.other = math.NaN()
		}
		notes = append(notes, fmt.Sprintf("%s is damped above critical (ratio %.2f): it doesn't swing, and body and hop have no frequencies of their own", mode.name, mode.mode.DampingRatio))
	}
	if m.Frequency != nil {
		f.BodyTransmissibility, f.WheelTransmissibility = car.Transmissibility(2 * math.Pi * *m.Frequency)
	}
	rms := car.RMS(noise)
	static := (car.Sprung + car.Unsprung) * unit.StandardGravity
	if rms.TyreForce > mostDynamicLoad*static {
		return f, hop, append(notes, "the tyre would leave the ground more than 2 % of the time: this road is too rough at this speed for a linear model")
	}
	f.BodyAcceleration, f.TyreForce, f.DynamicLoad = rms.BodyAcceleration, rms.TyreForce, rms.TyreForce/static
	f.StrokeRMS, f.StrokeLikely = rms.Stroke, 3*rms.Stroke
	return f, hop, notes
}
