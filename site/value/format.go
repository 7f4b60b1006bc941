package value

import (
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"turnplate/sim/unit"
)

// byDimension is how a quantity is shown when neither a field nor the notebook says: the everyday unit.
var byDimension = map[unit.Dim]Show{}

func init() {
	for _, pair := range [][2]string{
		{"mm", "inch"}, {"deg", "deg"}, {"kg", "lb"}, {"N", "lbf"}, {"N*m", "lbf*ft"}, {"kph", "mph"}, {"s", "s"},
		{"kPa", "psi"}, {"kW", "kW"}, {"gravity", "gravity"}, {"Hz", "Hz"}, {"N/mm", "lbf/inch"}, {"N/deg", "lbf/deg"},
		{"deg/mm", "deg/inch"}, {"mm/deg", "inch/deg"}, {"N*m/deg", "lbf*ft/deg"}, {"kg*m*m", "lb*ft*ft"}, {"deg/s", "deg/s"},
		{"N*s/m", "lbf*s/ft"}, {"money", "money"}, {"money/km", "money/mile"}, {"mm*mm", "inch*inch"}, {"mm/turn", "inch/turn"},
	} {
		show := Show{unit.MustParse(pair[0]), unit.MustParse(pair[1])}
		if _, known := byDimension[show.Metric.Dim]; !known {
			byDimension[show.Metric.Dim] = show
		}
	}
}

// Display gives the unit in which a quantity is shown.
func Display(show *Show, dim unit.Dim, us bool) unit.Unit {
	if show == nil {
		known, ok := byDimension[dim]
		if !ok {
			return coherent(dim)
		}
		show = &known
	}
	if us {
		return show.US
	}
	return show.Metric
}

// coherent builds a unit for a dimension that has no everyday one.
func coherent(dim unit.Dim) unit.Unit {
	u := unit.Unit{SI: 1}
	powers := []struct {
		name  string
		power int8
	}{{"kg", dim.Mass}, {"m", dim.Length}, {"s", dim.Time}, {"rad", dim.Angle}, {"money", dim.Money}}
	for _, p := range powers {
		for range max(p.power, 0) {
			u = u.Mul(unit.MustParse(p.name))
		}
	}
	for _, p := range powers {
		for range max(-p.power, 0) {
			u = u.Div(unit.MustParse(p.name))
		}
	}
	return u
}

// Print gives a quantity with its unit, rounded to a multiple of `to` (in that unit), or to three
// significant figures when to is 0.
func Print(si float64, u unit.Unit, to float64) string {
	return u.Text(Digits(si/u.SI, to))
}

// Digits prints a plain number rounded to a multiple of to, or to three significant figures (all of the
// whole part is kept). Trailing zeros go in the second case only: to 0.1 asks for one decimal always.
func Digits(x, to float64) string {
	if to > 0 {
		return tidy(strconv.FormatFloat(math.Round(x/to)*to, 'f', decimals(to), 64))
	}
	if x == 0 {
		return "0"
	}
	text := strconv.FormatFloat(x, 'f', SignificantDecimals(x), 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if magnitude := math.Abs(x); magnitude < 1e-4 || magnitude >= 1e9 {
		text = scientific(x)
	}
	return tidy(text)
}

// SignificantDecimals is how many decimals show three significant figures of x.
func SignificantDecimals(x float64) int {
	if x == 0 {
		return 0
	}
	return min(max(2-int(math.Floor(math.Log10(math.Abs(x))+1e-12)), 0), 7)
}

func scientific(x float64) string {
	mantissa, exponent, _ := strings.Cut(strconv.FormatFloat(x, 'e', 2, 64), "e")
	n, _ := strconv.Atoi(exponent)
	return mantissa + "·10" + unit.Superscript(n)
}

// decimals is how many decimals a rounding step needs.
func decimals(to float64) int {
	for d := range 12 {
		scaled := to * math.Pow10(d)
		if math.Abs(scaled-math.Round(scaled)) < 1e-9*scaled {
			return d
		}
	}
	return 12
}

// tidy drops a minus before zero, sets a true minus sign and groups thousands.
func tidy(text string) string {
	text, negative := strings.CutPrefix(text, "-")
	whole, _, _ := strings.Cut(text, ".")
	if len(whole) > 4 && !strings.Contains(whole, "·") {
		for i := len(whole) - 3; i > 0; i -= 3 {
			text = text[:i] + "\u202f" + text[i:]
		}
	}
	if negative && strings.Trim(text, "0.") != "" {
		text = "−" + text
	}
	return text
}

// Humanise turns a name into words: RimForce into "Rim force", steeringAxis into "Steering axis".
// What has a space is somebody's own words, and only begins with a capital letter.
func Humanise(name string) string {
	if first, size := utf8.DecodeRuneInString(name); strings.Contains(name, " ") {
		return string(unicode.ToUpper(first)) + name[size:]
	}
	var out strings.Builder
	runes := []rune(name)
	for i, r := range runes {
		upper := r >= 'A' && r <= 'Z'
		switch {
		case i == 0:
			out.WriteString(strings.ToUpper(string(r)))
		case upper && (runes[i-1] < 'A' || runes[i-1] > 'Z'):
			out.WriteString(" " + strings.ToLower(string(r)))
		default:
			out.WriteRune(r)
		}
	}
	return out.String()
}
