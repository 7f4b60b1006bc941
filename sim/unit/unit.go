// Package unit holds physical dimensions and the units a notebook or a field tag may name.
//
//	Dim    powers of length, mass, time, angle and money; the zero Dim is a plain number
//	Unit   a name with its dimension and its size in the coherent SI unit (rad for angle)
//
// Inside sim every quantity is a float64 in coherent SI units (m, kg, s, rad, N, Pa, W); units appear
// only at the edges, in field tags and in notebooks. Angle is a dimension here although SI counts the
// radian as 1: an angle added to a plain number is nearly always a builder's slip. What this cannot
// catch: torque and energy share a dimension (N·m), and so do total toe and toe for one wheel.
package unit

import (
	"fmt"
	"iter"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// Dim is a dimension: the integer power of each base quantity.
type Dim struct{ Length, Mass, Time, Angle, Money int8 }

// Dimensions that code needs by name.
var (
	None   = Dim{}
	Angle  = Dim{Angle: 1}
	Length = Dim{Length: 1}
	Money  = Dim{Money: 1}
)

// Mul gives the dimension of a product.
func (d Dim) Mul(e Dim) Dim {
	return Dim{d.Length + e.Length, d.Mass + e.Mass, d.Time + e.Time, d.Angle + e.Angle, d.Money + e.Money}
}

// Div gives the dimension of a quotient.
func (d Dim) Div(e Dim) Dim {
	return Dim{d.Length - e.Length, d.Mass - e.Mass, d.Time - e.Time, d.Angle - e.Angle, d.Money - e.Money}
}

// Sqrt gives the dimension of a square root; ok is false where a power is odd.
func (d Dim) Sqrt() (half Dim, ok bool) {
	half = Dim{d.Length / 2, d.Mass / 2, d.Time / 2, d.Angle / 2, d.Money / 2}
	return half, half.Mul(half) == d
}

// String names the dimension for a message: its everyday name where it has one ("length", "force"),
// else its powers ("length²·mass/time").
func (d Dim) String() string {
	if name, ok := everyday()[d]; ok {
		return name
	}
	var over, under []string
	for _, p := range []struct {
		name  string
		power int8
	}{{"length", d.Length}, {"mass", d.Mass}, {"time", d.Time}, {"angle", d.Angle}, {"money", d.Money}} {
		switch {
		case p.power > 0:
			over = append(over, powerText(p.name, p.power))
		case p.power < 0:
			under = append(under, powerText(p.name, -p.power))
		}
	}
	text := strings.Join(over, "·")
	if text == "" {
		text = "1"
	}
	if len(under) > 0 {
		text += "/" + strings.Join(under, "/")
	}
	return text
}

var everyday = sync.OnceValue(func() map[Dim]string {
	return map[Dim]string{
		{}:                              "plain number",
		{Length: 1}:                     "length",
		{Mass: 1}:                       "mass",
		{Time: 1}:                       "time",
		{Angle: 1}:                      "angle",
		{Money: 1}:                      "money",
		{Length: 2}:                     "area",
		{Length: 1, Time: -1}:           "speed",
		{Length: 1, Time: -2}:           "acceleration",
		{Mass: 1, Length: 1, Time: -2}:  "force",
		{Mass: 1, Length: 2, Time: -2}:  "torque or energy",
		{Mass: 1, Length: -1, Time: -2}: "pressure",
		{Mass: 1, Length: 2, Time: -3}:  "power",
		{Mass: 1, Length: 2}:            "moment of inertia",
		{Mass: 1, Time: -2}:             "force per length",
		{Mass: 1, Time: -1}:             "force per speed",
		{Time: -1}:                      "frequency",
		{Angle: 1, Time: -1}:            "angular speed",
		{Angle: 1, Length: -1}:          "angle per length",
		{Length: 1, Angle: -1}:          "length per angle",
	}
})

func powerText(name string, power int8) string {
	if power == 1 {
		return name
	}
	return name + Superscript(int(power))
}

var raised = strings.NewReplacer("-", "⁻", "0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴", "5", "⁵", "6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹")

// Superscript writes a whole number as an exponent.
func Superscript(n int) string { return raised.Replace(strconv.Itoa(n)) }

// Unit is a named size of a quantity.
type Unit struct {
	Name   string // as written in a notebook: "N*m/deg"
	Symbol string // as printed: "N·m/°"
	Dim    Dim
	SI     float64 // one of this unit, in coherent SI
}

// Text joins a printed number and the unit's symbol with the space ISO 80000-1 asks for:
// none before the degree sign, a no-break space before the rest.
func (u Unit) Text(number string) string {
	switch {
	case u.Symbol == "":
		return number
	case u.Symbol == "°":
		return number + u.Symbol
	}
	return number + "\u00a0" + u.Symbol
}

const (
	poundMass  = 0.45359237 // kg, exact by the international yard and pound agreement of 1959
	inchLength = 0.0254     // m, exact by the same
	standardG  = 9.80665    // m/s², standard gravity, CGPM 1901
	poundForce = poundMass * standardG
)

var (
	force    = Dim{Mass: 1, Length: 1, Time: -2}
	pressure = Dim{Mass: 1, Length: -1, Time: -2}
	power    = Dim{Mass: 1, Length: 2, Time: -3}
	speed    = Dim{Length: 1, Time: -1}
)

// StandardGravity is the unit `gravity`, 9.80665 m/s² (3rd CGPM, 1901).
const StandardGravity = standardG

// list is the units that notebooks can name, with sizes from the SI brochure (9th ed.) and NIST SP 811, appendix B.
var list = [...]Unit{
	{"mm", "mm", Length, 1e-3},
	{"cm", "cm", Length, 1e-2},
	{"m", "m", Length, 1},
	{"km", "km", Length, 1e3},
	{"inch", "in", Length, inchLength},
	{"ft", "ft", Length, 12 * inchLength},
	{"mile", "mi", Length, 5280 * 12 * inchLength},
	{"deg", "°", Angle, math.Pi / 180},
	{"rad", "rad", Angle, 1},
	{"turn", "turn", Angle, 2 * math.Pi},
	{"kg", "kg", Dim{Mass: 1}, 1},
	{"lb", "lb", Dim{Mass: 1}, poundMass},
	{"N", "N", force, 1},
	{"kN", "kN", force, 1e3},
	{"lbf", "lbf", force, poundForce},
	{"s", "s", Dim{Time: 1}, 1},
	{"minute", "min", Dim{Time: 1}, 60},
	{"hour", "h", Dim{Time: 1}, 3600},
	{"Hz", "Hz", Dim{Time: -1}, 1},
	{"kPa", "kPa", pressure, 1e3},
	{"psi", "psi", pressure, poundForce / (inchLength * inchLength)},
	{"bar", "bar", pressure, 1e5},
	{"W", "W", power, 1},
	{"kW", "kW", power, 1e3},
	{"gravity", "g", Dim{Length: 1, Time: -2}, standardG},
	{"percent", "%", None, 0.01},
	{"kph", "km/h", speed, 1000.0 / 3600},
	{"mph", "mph", speed, 5280 * 12 * inchLength / 3600},
	{"money", "money", Money, 1},
}

var named = func() map[string]Unit {
	all := map[string]Unit{}
	for _, u := range list {
		all[u.Name] = u
	}
	return all
}()

// Lookup finds a named unit.
func Lookup(name string) (Unit, bool) {
	u, ok := named[name]
	return u, ok
}

// Names lists every unit name in order.
func Names() []string { return slices.Sorted(maps.Keys(named)) }

// factors goes through the names of a product such as "N*m/deg", and says of each whether it divides.
func factors(product string) iter.Seq2[string, bool] {
	return func(yield func(name string, divides bool) bool) {
		for divides := false; ; {
			end := strings.IndexAny(product, "*/")
			if end < 0 {
				yield(product, divides)
				return
			}
			if !yield(product[:end], divides) {
				return
			}
			divides, product = product[end] == '/', product[end+1:]
		}
	}
}

// Parse reads a product of unit names: names joined by `*` and `/`, read from left to right as Go does,
// or "1" for a plain number. The error names the part that isn't a unit.
func Parse(text string) (Unit, error) {
	u := Unit{SI: 1}
	for name, divides := range factors(text) {
		name = strings.TrimSpace(name)
		part, ok := named[name]
		if !ok && name == "1" {
			part, ok = Unit{SI: 1}, true
		}
		switch {
		case !ok:
			return Unit{}, fmt.Errorf("%q is not a unit", name)
		case divides:
			u = u.Div(part)
		default:
			u = u.Mul(part)
		}
	}
	return u, nil
}

// MustParse is Parse for units written in the program itself.
func MustParse(text string) Unit {
	u, err := Parse(text)
	if err != nil {
		panic("unit: " + err.Error())
	}
	return u
}

// Mul gives the product of two units.
func (u Unit) Mul(v Unit) Unit {
	name := join(u.Name, "*", v.Name)
	return Unit{name, symbolOf(name, u, v), u.Dim.Mul(v.Dim), u.SI * v.SI}
}

// Div gives the quotient of two units.
func (u Unit) Div(v Unit) Unit {
	// Read from left to right, a name has no brackets: what divides a product divides by each part of it.
	name := ""
	switch under, upside := strings.CutPrefix(v.Name, "1/"); {
	case upside:
		name = join(u.Name, "*", swapSigns.Replace(under))
	case u.Name == "" && v.Name != "":
		name = "1/" + swapSigns.Replace(v.Name)
	default:
		name = join(u.Name, "/", swapSigns.Replace(v.Name))
	}
	return Unit{name, symbolOf(name, u, v), u.Dim.Div(v.Dim), u.SI / v.SI}
}

var swapSigns = strings.NewReplacer("*", "/", "/", "*")

// symbolOf prints a product of units: kg·m², N·m/°, m/s², 1/s. A currency keeps the symbol that one of the
// parts has for it.
func symbolOf(name string, parts ...Unit) string {
	var over, under []factor
	for one, divides := range factors(name) {
		symbol := named[one].Symbol
		for _, p := range parts {
			if p.Name == one {
				symbol = p.Symbol
			}
		}
		switch {
		case symbol == "": // a plain number
		case divides:
			under = count(under, symbol)
		default:
			over = count(over, symbol)
		}
	}
	text := printFactors(over)
	if len(under) == 0 {
		return text
	}
	if text == "" {
		text = "1"
	}
	if len(under) > 1 {
		return text + "/(" + printFactors(under) + ")"
	}
	return text + "/" + printFactors(under)
}

type factor struct {
	symbol string
	power  int8
}

func count(list []factor, symbol string) []factor {
	for i := range list {
		if list[i].symbol == symbol {
			list[i].power++
			return list
		}
	}
	return append(list, factor{symbol, 1})
}

func printFactors(list []factor) string {
	parts := make([]string, len(list))
	for i, f := range list {
		parts[i] = powerText(f.symbol, f.power)
	}
	return strings.Join(parts, "·")
}

func join(a, between, b string) string {
	switch {
	case a == "":
		return b
	case b == "":
		return a
	}
	return a + between + b
}
