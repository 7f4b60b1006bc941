package unit

import (
	"cmp"
	"strings"
)

// Where metric and US customary readers use different units for the same thing.
var toUS = map[string]string{
	"mm": "inch", "cm": "inch", "m": "ft", "km": "mile", "kg": "lb", "N": "lbf", "kN": "lbf", "kPa": "psi", "bar": "psi", "kph": "mph",
}

var toMetric = map[string]string{
	"inch": "mm", "ft": "m", "mile": "km", "lb": "kg", "lbf": "N", "psi": "kPa", "mph": "kph",
}

// Counterpart gives the unit that readers of the other system use in place of u: N·m becomes lbf·ft. A unit
// that both use, such as the degree, stays as it is.
func (u Unit) Counterpart(us bool) Unit {
	exchange := toMetric
	if us {
		exchange = toUS
	}
	var b strings.Builder
	for part, divides := range factors(u.Name) {
		switch {
		case divides:
			b.WriteByte('/')
		case b.Len() > 0:
			b.WriteByte('*')
		}
		b.WriteString(cmp.Or(exchange[part], part))
	}
	name := b.String()
	if name == u.Name {
		return u // and keep a currency's own symbol
	}
	other, err := Parse(name)
	if err != nil {
		return u
	}
	return other
}
