package unit

import "strings"

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
	var name strings.Builder
	changed := false
	for rest := u.Name; rest != ""; {
		end := strings.IndexAny(rest, "*/")
		part := rest
		if end >= 0 {
			part = rest[:end]
		}
		if other, ok := exchange[part]; ok {
			part, changed = other, true
		}
		name.WriteString(part)
		if end < 0 {
			break
		}
		name.WriteByte(rest[end])
		rest = rest[end+1:]
	}
	if !changed {
		return u // and keep a currency's own symbol
	}
	other, err := Parse(name.String())
	if err != nil {
		return u
	}
	return other
}
