// Package size reads tyre designations.
//
//	Parse        "285/70R17", "LT285/70R17 121/118S", "35x12.50R17LT" -> Size, or an Error that names the part
//	Size         the nominal dimensions, the estimates that follow from them, and the load it may carry
//	Rating       the most it may carry, and at which pressure
//	LoadOfIndex  the table of load indices; LightTruckLoads the loads of some sizes by pressure
//	TyreMass     an estimate of a tyre's mass by size
//
// All lengths are in metres, loads in kilograms, speeds in m/s. Values that a designation doesn't give are NaN.
package size

import "math"

// Rules that carry a nominal outer diameter to the standing and the rolling tyre. They are the defaults of
// the vehicle's own tyre fields, so that a size typed in and a radius typed in agree.
const (
	// LoadedShare is the loaded radius over the free one, for a tyre at its load and pressure: common
	// practice, no source. Real tyres lie between about 0.93 and 0.97; measure floor to wheel centre.
	LoadedShare = 0.955
	// RollingShare is the rolling radius over the free one. European tyre practice takes a rolling
	// circumference of 3.05 diameters for radial tyres (ETRTO, from memory), which is 3.05/π = 0.971.
	RollingShare = 0.97
)

const inch = 0.0254 // m, exact

// Form is the way a designation is written.
type Form string

// The two forms that are read.
const (
	Metric    Form = "metric"    // section width in mm / height as a percentage of it, rim in inches
	Flotation Form = "flotation" // overall diameter x section width in inches, rim in inches
)

// Size is what a designation says and what follows from it. Lengths are nominal: a maker's tyre is
// commonly a few millimetres off, and UN R30 and R54 allow a radial's section height −3 % to +4 %
// (from memory).
type Size struct {
	Form         Form
	Service      string // "LT", "P" or "ST" as written before or after the size, "C" for commercial, or none
	Construction string // "R" radial, "D" diagonal, "B" bias-belted

	Diameter    float64 // overall, m: rim diameter plus two section heights; the first number of a flotation size
	Width       float64 // section width, m
	Aspect      float64 // section height over section width
	RimDiameter float64 // nominal, m

	LoadedRadius  float64 // m, LoadedShare of half the diameter
	RollingRadius float64 // m, RollingShare of half the diameter
	Revolutions   float64 // rad per m rolled: 1/RollingRadius

	LoadIndex        int     // single fitment; 0: not given
	DualLoadIndex    int     // in dual fitment; 0: not given
	LoadCapacity     float64 // kg, from LoadIndex
	DualLoadCapacity float64 // kg a tyre, from DualLoadIndex
	LoadRange        string  // letter, as in "LT285/70R17/E"; gives the pressure that LoadCapacity needs, not the load
	ExtraLoad        bool    // marked "XL"
	SpeedSymbol      string
	MaxSpeed         float64 // m/s, from SpeedSymbol
}

// metric builds a Size from a section width in mm, an aspect in per cent and a rim diameter in inches:
//
//	D = 25.4·d + 2·W·A/100   (mm)
//
// the rule of UN R30 and R54 (D = d + 2H, H = W·A/100; from memory, its results seen) before their rounding of
// H to a whole millimetre, which moves D by at most 1 mm.
func metric(widthMM, aspectPercent, rimInch float64) Size {
	s := Size{Form: Metric, Width: widthMM * 1e-3, Aspect: aspectPercent / 100, RimDiameter: rimInch * inch}
	s.Diameter = s.RimDiameter + 2*s.Width*s.Aspect
	return s.estimate()
}

// flotation builds a Size from an overall diameter, a section width and a rim diameter, all in inches.
func flotation(diameterInch, widthInch, rimInch float64) Size {
	s := Size{Form: Flotation, Diameter: diameterInch * inch, Width: widthInch * inch, RimDiameter: rimInch * inch}
	s.Aspect = (s.Diameter - s.RimDiameter) / 2 / s.Width
	return s.estimate()
}

func (s Size) estimate() Size {
	s.LoadedRadius = LoadedShare * s.Diameter / 2
	s.RollingRadius = RollingShare * s.Diameter / 2
	s.Revolutions = 1 / s.RollingRadius
	s.LoadCapacity, s.DualLoadCapacity, s.MaxSpeed = math.NaN(), math.NaN(), math.NaN()
	return s
}
