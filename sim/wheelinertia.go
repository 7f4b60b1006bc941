package sim

import (
	"errors"

	"turnplate/sim/inertia"
	"turnplate/sim/size"
)

func init() { register[WheelInertia, WheelInertiaResult]() }

// WheelInertia gives the moments of inertia of a tyre on its rim: estimated from masses and dimensions, and measured
// where the reader has swung or rolled the wheel and timed it.
//
// The estimate puts 65 % of a tyre's mass into tread and belts (the outer 5 % of the radius), 22 % into the
// side walls and 13 % into the beads, and 62 % of a rim's mass into its barrel. Makers publish no such shares;
// these come within 10 % of the one measured tyre found (Pacejka's 205/60R15). Expect ±10 % for a tyre and ±15
// % for a rim.
//
// A tyre that nobody has weighed: with Tread told, MassBySize is estimated from its Radius and Width by a fit to a tyre
// maker's size sheets (seen; see size.TyreMass), m = 4.875 + 123.606·D²·B for mud treads and 3.079 + 112.302·D²·B for all-terrain
// ones, for 235 to 315 mm of width only. It stands in for Tyre.Mass where that isn't given.
//
// Swung on two equal vertical strings, with the axle upright for the spin inertia and level for the one about a
// diameter:
//
//	I = m·g·d²·T²/(16·π²·L)
//
// with m tyre and rim, d between the strings, L their length and T one full swing. Rolled from rest down a ramp, on its
// free radius r:
//
//	I = m·r²·(g·(sin α − f·cos α)·t²/(2·s) − 1)
//
// with α the slope, f the rolling resistance, s the distance and t the time. Both are basic mechanics; ranges are at
// inertia.BifilarInertia and inertia.RollDownInertia. A measured value replaces nothing by itself: set Tyre.Inertia to it
// less RimSpin.
type WheelInertia struct {
	Vehicle     Vehicle
	RimDiameter float64  `unit:"inch" us:"inch" must:">0"`                                  // nominal, as in the tyre's designation
	RimWidth    *float64 `unit:"inch" us:"inch" default:"0.75 of the tyre width" must:">0"` // between the flanges
	Old         *Tyre    `default:"none"`                                                   // to compare with
	Tread       string   `default:"not told" must:"not told, mud, all-terrain"`             // of the vehicle's tyre, to estimate its mass by size

	OldRimDiameter *float64 `unit:"inch" us:"inch" default:"as RimDiameter" must:">0"` // the old rim's

	StringLength  *float64 `unit:"mm" us:"inch" default:"not swung" must:">0"` // from the fixed end to the wheel
	StringSpacing *float64 `unit:"mm" us:"inch" default:"not swung" must:">0"` // between the strings
	FlatPeriod    *float64 `unit:"s" default:"not swung" must:">0"`            // one full swing, hung with the axle upright
	UprightPeriod *float64 `unit:"s" default:"not swung" must:">0"`            // one full swing, hung with the axle level

	RollDistance   *float64 `unit:"m" us:"ft" default:"not rolled" must:">0"` // along the ramp, from rest
	RollTime       *float64 `unit:"s" default:"not rolled" must:">0"`         // from letting go to RollDistance
	RollSlope      *float64 `unit:"deg" default:"not rolled" must:">0 <90"`   // of the ramp, α
	RollResistance float64  `unit:"1" default:"0" must:">=0"`                 // rolling resistance of the bare wheel on the ramp; left out, the inertia comes out high
}

// WheelFigures is one tyre on its rim.
type WheelFigures struct {
	Mass           float64 `unit:"kg" us:"lb"`           // tyre and rim
	TyreSpin       float64 `unit:"kg*m*m" us:"lb*ft*ft"` // tyre about the axle, estimated: a value for Tyre.Inertia
	RimSpin        float64 `unit:"kg*m*m" us:"lb*ft*ft"` // rim about the axle, estimated: a value for Tyre.RimInertia
	Spin           float64 `unit:"kg*m*m" us:"lb*ft*ft"` // both
	Steer          float64 `unit:"kg*m*m" us:"lb*ft*ft"` // both about a diameter, estimated: a value for Tyre.SteerInertia
	EquivalentMass float64 `unit:"kg" us:"lb"`           // what the rolling wheel counts for when speeding up: m + I/r²
	MassFactor     float64 `unit:"1"`                    // EquivalentMass over Mass: 1 + (k/r)², at most 2
}

// WheelInertiaResult is the wheel, the old one where it's given, and what was measured.
type WheelInertiaResult struct {
	WheelFigures
	Old           WheelFigures `absent:"Old isn't given"`                                       // on the old tyre; absent without Old
	MassBySize    float64      `unit:"kg" us:"lb" absent:"Tread isn't told"`                    // of the tyre alone, estimated from its size
	MassMisfit    float64      `unit:"kg" us:"lb" absent:"Tread isn't told"`                    // furthest that a size of the sheets lies off that estimate
	SwungSpin     float64      `unit:"kg*m*m" us:"lb*ft*ft" absent:"FlatPeriod isn't given"`    // from FlatPeriod
	SwungSteer    float64      `unit:"kg*m*m" us:"lb*ft*ft" absent:"UprightPeriod isn't given"` // from UprightPeriod
	RolledSpin    float64      `unit:"kg*m*m" us:"lb*ft*ft" absent:"RollTime isn't given"`      // from RollTime
	MeasuredOver  float64      `unit:"1" absent:"nothing was swung or rolled"`                  // SwungSpin, or else RolledSpin, over the estimate Spin
	SpinOverOld   float64      `unit:"1" absent:"Old isn't given"`                              // Spin over the old wheel's
	WeightOverOld float64      `unit:"1" absent:"Old isn't given"`                              // Mass over the old wheel's
}

// Uses lists what the result depends on.
func (WheelInertia) Uses() []string {
	return andOld("Tyre.Radius", "Tyre.RollingRadius", "Tyre.Width", "Tyre.Mass", "Tyre.RimMass")
}

// Optional lists what the model can do without.
func (WheelInertia) Optional() []string { return []string{"Tyre.Mass"} }

// Run gives the inertias, or an error for a size that can't be or a timing that no wheel has.
func (m WheelInertia) Run() (WheelInertiaResult, error) {
	r := absent[WheelInertiaResult]()
	if err := checkInputs(&m); err != nil {
		return r, err
	}
	var err error
	tyre := &m.Vehicle.Tyre
	if m.Tread != "" && m.Tread != "not told" {
		if r.MassBySize, r.MassMisfit, err = size.TyreMass(2*tyre.Radius, tyre.Width, size.Tread(m.Tread)); err != nil {
			return r, err
		}
	}
	if !(tyre.Mass > 0) {
		if !(r.MassBySize > 0) {
			return r, NotGiven{"Tyre.Mass"}
		}
		tyre.Mass = r.MassBySize
	}
	if r.WheelFigures, err = m.figures(tyre, m.RimDiameter); err != nil {
		return r, err
	}
	if m.Old != nil {
		rim := m.RimDiameter
		if m.OldRimDiameter != nil {
			rim = *m.OldRimDiameter
		}
		if r.Old, err = m.figures(m.Old, rim); err != nil {
			return r, err
		}
		r.SpinOverOld, r.WeightOverOld = r.Spin/r.Old.Spin, r.Mass/r.Old.Mass
	}
	if err := m.swing(&r); err != nil {
		return r, err
	}
	if err := m.roll(&r); err != nil {
		return r, err
	}
	measured := r.SwungSpin
	if !(measured > 0) {
		measured = r.RolledSpin
	}
	r.MeasuredOver = measured / r.Spin
	return r, nil
}

func (m WheelInertia) figures(t *Tyre, rimDiameter float64) (WheelFigures, error) {
	if rimDiameter/2 >= 0.95*t.Radius {
		return WheelFigures{}, errors.New("the rim leaves no room for a side wall: RimDiameter is as large as the tyre")
	}
	width := 0.75 * t.Width
	if m.RimWidth != nil {
		width = *m.RimWidth
	}
	w := inertia.Wheel{TyreMass: t.Mass, RimMass: t.RimMass, Radius: t.Radius, Width: t.Width, RimRadius: rimDiameter / 2, RimWidth: width}
	f := WheelFigures{Mass: t.Mass + t.RimMass, TyreSpin: w.TyreSpin(), RimSpin: w.RimSpin(), Steer: w.Steer()}
	f.Spin = f.TyreSpin + f.RimSpin
	f.EquivalentMass = inertia.EquivalentMass(f.Mass, f.Spin, t.RollingRadius)
	f.MassFactor = f.EquivalentMass / f.Mass
	return f, nil
}

// swing reads the two-string timings, if there are any.
func (m WheelInertia) swing(r *WheelInertiaResult) error {
	if m.FlatPeriod == nil && m.UprightPeriod == nil {
		return nil
	}
	if m.StringLength == nil || m.StringSpacing == nil {
		return NotGiven{"StringLength or StringSpacing"}
	}
	for _, timed := range [...]struct {
		name   string
		period *float64
		result *float64
	}{{"FlatPeriod", m.FlatPeriod, &r.SwungSpin}, {"UprightPeriod", m.UprightPeriod, &r.SwungSteer}} {
		if timed.period == nil {
			continue
		}
		*timed.result = inertia.BifilarInertia(r.Mass, *m.StringSpacing, *m.StringLength, *timed.period)
		if err := m.plausible(timed.name, *timed.result, r.Mass); err != nil {
			return err
		}
	}
	return nil
}

// roll reads the ramp's timing, if there is one.
func (m WheelInertia) roll(r *WheelInertiaResult) error {
	if m.RollTime == nil && m.RollDistance == nil && m.RollSlope == nil {
		return nil
	}
	if m.RollTime == nil || m.RollDistance == nil || m.RollSlope == nil {
		return NotGiven{"one of RollTime, RollDistance and RollSlope"}
	}
	r.RolledSpin = inertia.RollDownInertia(r.Mass, m.Vehicle.Tyre.Radius, *m.RollSlope, *m.RollDistance, *m.RollTime, m.RollResistance)
	return m.plausible("RollTime", r.RolledSpin, r.Mass)
}

// plausible refuses a measured inertia that no wheel of this mass and radius can have: below zero, or more than
// if all its mass sat in the tread's surface.
func (m WheelInertia) plausible(timed string, measured, mass float64) error {
	switch ring := mass * m.Vehicle.Tyre.Radius * m.Vehicle.Tyre.Radius; {
	case !(measured > 0):
		return errors.New(timed + " is too short: the wheel would have no inertia at all")
	case measured > ring:
		return errors.New(timed + " is too long: the inertia would be more than if the wheel's whole mass lay in its tread")
	}
	return nil
}
