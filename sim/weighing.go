package sim

import (
	"errors"
	"math"
)

func init() { register[Weighing, WeighingResult]() }

// Weighing gives a vehicle's masses and its centre of mass from a weighbridge or four scales: on the level, and once more
// with the rear axle raised.
//
//	M  = Front + Rear,   a = L·Rear/M
//	sin θ = Rise/L
//	h  = r + L·(FrontRaised − Front)/(M·tan θ)
//
// with M all of it, L the wheelbase, a the centre behind the front axle, r the loaded radius and h the centre's height above
// level ground: moments about the rear wheels, which stand higher by Rise. It is the axle-lift method of ISO 10392:2011,
// Road vehicles: determination of centre of gravity (from memory). What a Vehicle calls Mass, FrontShare and CentreHeight
// leaves out tyres and rims, so four of these, at their centres, are taken off.
//
// It holds for equal tyres, springs that are blocked so that the body doesn't move on its axles, wheels free to roll on the
// axle that is weighed, full or empty tanks, and nobody aboard. Raise it as far as is safe: HeightPerKilogram says what one
// kilogram misread at the front does to the height, and it grows as the rise shrinks. Give the readings with their spreads.
//
// Raising an axle is work for a hoist or ramps that are made for it, wheels chocked on the axle that stays down, nobody
// aboard or under it.
type Weighing struct {
	Vehicle     Vehicle
	Front       float64  `unit:"kg" us:"lb" must:">0"`                         // on the front axle, standing level
	Rear        float64  `unit:"kg" us:"lb" must:">0"`                         // on the rear axle, standing level
	Left        *float64 `unit:"kg" us:"lb" default:"not weighed" must:">0"`   // on both left wheels, standing level
	FrontRaised *float64 `unit:"kg" us:"lb" default:"not weighed" must:">0"`   // on the front axle, with the rear one raised
	Rise        *float64 `unit:"mm" us:"inch" default:"not weighed" must:">0"` // how much higher the rear wheels then stand
}

// WeighingResult is what the scales say of the vehicle.
type WeighingResult struct {
	Mass         float64 `unit:"kg" us:"lb"`                                    // all but tyres and rims: a value for Vehicle.Mass
	FrontShare   float64 `unit:"percent"`                                       // share of Mass on the front axle: a value for Vehicle.FrontShare
	LeftShare    float64 `unit:"percent" absent:"Left isn't given"`             // share of the load on the left wheels: a value for Vehicle.LeftShare
	CentreHeight float64 `unit:"mm" us:"inch" absent:"FrontRaised isn't given"` // of Mass above level ground: a value for Vehicle.CentreHeight
	CentreBehind float64 `unit:"mm" us:"inch"`                                  // centre of mass of all of it, behind the front axle
	Slope        float64 `unit:"deg" absent:"Rise isn't given"`                 // of the raised vehicle, θ

	HeightPerKilogram float64 `unit:"mm/kg" us:"inch/lb" absent:"FrontRaised isn't given"` // change of CentreHeight for FrontRaised
}

// Uses lists what the result depends on.
func (Weighing) Uses() []string {
	return []string{"Wheelbase", "Tyre.Mass", "Tyre.RimMass", "Tyre.LoadedRadius"}
}

// Run gives the masses, or an error for readings that no vehicle has.
func (m Weighing) Run() (WeighingResult, error) {
	r := absent[WeighingResult]()
	if err := checkInputs(&m); err != nil {
		return r, err
	}
	v := &m.Vehicle
	all, wheel := m.Front+m.Rear, v.Tyre.Mass+v.Tyre.RimMass
	r.Mass = all - 4*wheel
	r.FrontShare = (m.Front - 2*wheel) / r.Mass
	if !(m.Front > 2*wheel && m.Rear > 2*wheel) {
		return r, errors.New("Front and Rear must each be more than two tyres with their rims")
	}
	r.CentreBehind = v.Wheelbase * m.Rear / all
	if m.Left != nil {
		if r.LeftShare = *m.Left / all; r.LeftShare >= 1 {
			return r, errors.New("Left must be less than Front and Rear together")
		}
	}
	if m.FrontRaised == nil && m.Rise == nil {
		return r, nil
	}
	return r, m.raised(&r)
}

// raised takes what the raised axle tells.
func (m *Weighing) raised(r *WeighingResult) error {
	t, base := &m.Vehicle.Tyre, m.Vehicle.Wheelbase
	switch {
	case m.FrontRaised == nil:
		return NotGiven{"FrontRaised"}
	case m.Rise == nil:
		return NotGiven{"Rise"}
	case *m.Rise >= base:
		return errors.New("Rise must be less than Vehicle.Wheelbase")
	}
	all := m.Front + m.Rear
	r.Slope = math.Asin(*m.Rise / base)
	lever := base / math.Tan(r.Slope)
	above := lever * (*m.FrontRaised - m.Front) / all
	r.CentreHeight = t.LoadedRadius + above*all/r.Mass // four wheels, at r, are taken off
	r.HeightPerKilogram = lever / r.Mass
	if !(r.CentreHeight > 0) || *m.FrontRaised >= all {
		return errors.New("FrontRaised gives a centre of mass under the ground, or puts everything on one axle: was it read on the same scale, the springs blocked")
	}
	return nil
}
