package vocabulary

import "strings"

// spellings are how units are often written, and what a notebook writes instead. The words are looked up without
// capitals if they aren't found with theirs.
var spellings = map[string]string{
	"in": "inch", "ins": "inch", "inches": "inch", "″": "inch", `"`: "inch", "”": "inch", "zoll": "inch",
	"feet": "ft", "foot": "ft", "′": "ft", "yd": "3*ft", "yard": "3*ft", "mi": "mile", "miles": "mile",
	"millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm", "metre": "m", "metres": "m", "meter": "m", "meters": "m", "µm": "mm/1000", "μm": "mm/1000", "um": "mm/1000",
	"°": "deg", "º": "deg", "degree": "deg", "degrees": "deg", "radian": "rad", "radians": "rad", "arcmin": "deg/60", "arcminute": "deg/60", "arcsec": "deg/3600", "arcsecond": "deg/3600",
	"turns": "turn", "rev": "turn", "revs": "turn", "rpm": "turn/minute",
	"kgs": "kg", "kilogram": "kg", "kilograms": "kg", "gram": "kg/1000", "grams": "kg/1000", "t": "1000*kg", "tonne": "1000*kg", "tonnes": "1000*kg",
	"lbs": "lb (of mass) or lbf (of force)", "pound": "lb (of mass) or lbf (of force)", "pounds": "lb (of mass) or lbf (of force)", "oz": "lb/16", "kgf": "9.80665*N", "kp": "9.80665*N",
	"newton": "N", "newtons": "N", "Nm": "N*m", "N·m": "N*m", "Nmm": "N*mm", "kNm": "kN*m", "J": "N*m", "ftlb": "lbf*ft", "ftlbs": "lbf*ft", "lbft": "lbf*ft", "inlb": "lbf*inch",
	"Pa": "kPa/1000", "MPa": "1000*kPa", "mbar": "bar/1000", "psig": "psi (pressures are gauge)", "hp": "745.7*W", "PS": "735.5*W",
	"sec": "s", "secs": "s", "second": "s", "seconds": "s", "ms": "s/1000", "min": "minute", "mins": "minute", "minutes": "minute", "h": "hour", "hr": "hour", "hrs": "hour", "hours": "hour",
	"km/h": "kph", "kmh": "kph", "m/s²": "m/s/s", "%": "percent", "g": "gravity (or kg/1000 for a gram)",
	"eur": "money", "usd": "money", "gbp": "money", "€": "money", "$": "money", "£": "money",
}

// Spelling gives what a notebook writes for a unit that is often written otherwise, "" if it isn't known.
func Spelling(word string) string {
	if known := spellings[word]; known != "" {
		return known
	}
	return spellings[strings.ToLower(word)]
}
