package size

import (
	"fmt"
	"math"
)

// Tread is the kind of a tyre's tread.
type Tread string

// The treads that a mass can be estimated for.
const (
	Mud        Tread = "mud"
	AllTerrain Tread = "all-terrain"
)

// massFits are m = fixed + perVolume·D²·B in kg, with diameter D and section width B in m, and the fit's largest misfit.
var massFits = map[Tread]struct{ fixed, perVolume, misfit float64 }{
	Mud:        {4.875, 123.606, 0.67},
	AllTerrain: {3.079, 112.302, 1.34},
}

// The sizes that the fits were made from: 235 to 315 mm of nominal width, which is up to 328 mm as measured.
const (
	narrowestFitted, widestFitted = 0.235, 0.328 // m
	lowestFitted, tallestFitted   = 0.770, 0.890 // m
)

// TyreMass estimates the mass of a tyre alone, kg, from its diameter and section width (m) and its tread: a fit to a tyre
// maker's size sheets for light-truck tyres (seen; eight rows of mud treads and seven of all-terrain ones). misfit is the largest
// by which a row lies off. An error outside the sizes that were fitted: a tyre's mass hangs on how it is built, and no law
// carries it further.
func TyreMass(diameter, width float64, tread Tread) (mass, misfit float64, err error) {
	fit, ok := massFits[tread]
	if !ok {
		return 0, 0, fmt.Errorf("a tyre's mass can be estimated for a tread that is %q or %q, not %q", Mud, AllTerrain, tread)
	}
	if !(width >= narrowestFitted-1e-9 && width <= widestFitted+1e-9) || !(diameter >= lowestFitted && diameter <= tallestFitted) {
		return 0, 0, fmt.Errorf("a tyre's mass can be estimated for 235 to 315 mm of width (%.0f to %.0f as measured) and %.0f to %.0f mm of diameter, not for %.0f and %.0f",
			narrowestFitted*1e3, widestFitted*1e3, lowestFitted*1e3, tallestFitted*1e3, width*1e3, diameter*1e3)
	}
	return fit.fixed + fit.perVolume*diameter*diameter*width, fit.misfit, nil
}

// basic is the size alone, as load tables list it.
func (s Size) basic() string {
	rim := math.Round(s.RimDiameter / inch * 10)
	if math.Mod(rim, 10) != 0 || s.Construction != "R" {
		return ""
	}
	if s.Form == Flotation {
		return fmt.Sprintf("%gx%.2fR%gLT", math.Round(s.Diameter/inch*100)/100, s.Width/inch, rim/10)
	}
	if s.Service != "LT" {
		return ""
	}
	return fmt.Sprintf("LT%.0f/%.0fR%g", s.Width*1e3, s.Aspect*100, rim/10)
}
