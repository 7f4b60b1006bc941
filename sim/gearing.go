package sim

import (
	"turnplate/sim/gearing"
)

func init() { register[Gearing, GearingResult]() }

// Gearing gives what the tyre's rolling radius does to engine speed, axle ratio and speedometer:
//
//	engine speed       V/r · AxleRatio · GearRatio
//	equivalent ratio   AxleRatio · r/r_old        brings the old engine speed back
//	speedometer        V · r_old/r                reads this at true speed V, calibrated on the old tyre
//
// with the Speed V and the rolling radius r. The speedometer is judged by UN R39 §5.3: 0 ≤ shown − true ≤ true/10 + 4
// km/h. Basic mechanics; the clutch or converter is taken as locked. What compares with the old tyre is absent unless Old
// is given.
type Gearing struct {
	Vehicle  Vehicle
	Speed    float64 `unit:"kph" us:"mph" default:"100" must:">=0"` // true
	Old      *Tyre   `default:"none"`                               // the tyre that the speedometer was right with
	Optimism float64 `unit:"percent" default:"0" must:">=0"`        // how much the speedometer showed too much on the old tyre
}

// GearingResult is the gearing.
type GearingResult struct {
	EngineSpeed      float64 `unit:"turn/minute"`                           // at Speed
	WheelTurns       float64 `unit:"turn/km" us:"turn/mile"`                // per distance
	OldEngineSpeed   float64 `unit:"turn/minute" absent:"Old isn't given"`  // on the old tyre
	RadiusRise       float64 `unit:"percent" absent:"Old isn't given"`      // rolling radius over the old one, less one: as much less pull in every gear
	EquivalentRatio  float64 `unit:"1" absent:"Old isn't given"`            // axle ratio that brings the old engine speed back
	FeelsLikeRatio   float64 `unit:"1" absent:"Old isn't given"`            // axle ratio that would pull the old tyre as the present one pulls the new
	Shown            float64 `unit:"kph" us:"mph" absent:"Old isn't given"` // on the speedometer at Speed
	LeastAllowed     float64 `unit:"kph" us:"mph" absent:"Old isn't given"` // by UN R39
	MostAllowed      float64 `unit:"kph" us:"mph" absent:"Old isn't given"` // by UN R39
	SpeedometerError float64 `unit:"percent" absent:"Old isn't given"`      // shown over true, less one; below zero: it shows too little, which UN R39 never allows
	WithinR39        bool    // only with Old
	OdometerError    float64 `unit:"percent" absent:"Old isn't given"` // distance counted over distance driven, less one
}

// Uses lists what the result depends on.
func (Gearing) Uses() []string {
	return append([]string{"AxleRatio", "GearRatio"}, andOld("Tyre.RollingRadius")...)
}

// Run gives the gearing.
func (m Gearing) Run() (GearingResult, error) {
	v := &m.Vehicle
	r := absent[GearingResult]()
	if err := checkInputs(&m); err != nil {
		return r, err
	}
	rolling := v.Tyre.RollingRadius
	r.EngineSpeed = gearing.EngineSpeed(m.Speed, rolling, v.AxleRatio, v.GearRatio)
	r.WheelTurns = 1 / rolling
	if m.Old == nil {
		return r, nil
	}
	was := m.Old.RollingRadius
	r.OldEngineSpeed = gearing.EngineSpeed(m.Speed, was, v.AxleRatio, v.GearRatio)
	r.RadiusRise = rolling/was - 1
	r.EquivalentRatio = gearing.EquivalentRatio(v.AxleRatio, rolling, was)
	r.FeelsLikeRatio = gearing.EquivalentRatio(v.AxleRatio, was, rolling)
	r.OdometerError = was/rolling - 1
	r.Shown = m.Speed * was / rolling * (1 + m.Optimism)
	r.SpeedometerError = was/rolling*(1+m.Optimism) - 1
	r.LeastAllowed, r.MostAllowed = gearing.SpeedometerBand(m.Speed)
	r.WithinR39 = r.Shown >= r.LeastAllowed && r.Shown <= r.MostAllowed
	return r, nil
}
