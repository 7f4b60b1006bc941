package unit

import (
	"cmp"
	"regexp"
)

// Where metric and US customary readers use different units for the same thing.
var toUS = map[string]string{
	"mm": "inch", "cm": "inch", "m": "ft", "km": "mile", "kg": "lb", "N": "lbf", "kN": "lbf", "kPa": "psi", "bar": "psi", "kph": "mph",
}

var toMetric = map[string]string{
	"inch": "mm", "ft": "m", "mile": "km", "lb": "kg", "lbf": "N", "psi": "kPa", "mph": "kph",
}

var unitName = regexp.MustCompile(`[a-zA-Z]+`)

// Counterpart gives the unit that readers of the other system use in place of u: N·m becomes lbf·ft. A unit
// that both use, such as the degree, stays as it is.
func (u Unit) Counterpart(us bool) Unit {
	exchange := toMetric
	if us {
		exchange = toUS
	}
	name := unitName.ReplaceAllStringFunc(u.Name, func(part string) string { return cmp.Or(exchange[part], part) })
	if name == u.Name {
		return u // and keep a currency's own symbol
	}
	other, err := Parse(name)
	if err != nil {
		return u
	}
	return other
}
