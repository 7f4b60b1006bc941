package figure

import (
	"math"
	"strconv"
	"strings"
)

// tick is a labelled place on an axis: Value is in the axis's display unit.
type tick struct {
	value float64
	label string
}

// graduation is a choice of ticks for one axis.
type graduation struct {
	ticks  []tick
	part   float64 // from one unlabelled graduation to the next, in the display unit
	power  int     // labels are to be multiplied by ten to this power; a multiple of 3
	coarse int     // decimals of the labels, after that division
	fine   int     // decimals of a number read off the axis: its last digit is at most a 200th of the axis
}

// A step is 1, 2 or 5 times a power of ten; parts is into how many its minor graduations divide it, so
// that they too are round.
var steps = []struct{ digit, parts int }{{1, 5}, {2, 4}, {5, 5}}

// graduate chooses ticks between lo and hi (finite, lo < hi, see widen): the finest 1-2-5 step that gives
// at most so many and whose labels have room. Labels are exact decimals, made from whole numbers, so no
// two are alike and none shows a rounding error.
func graduate(lo, hi float64, most int, room func([]tick) bool) graduation {
	power := 0
	if size := max(math.Abs(lo), math.Abs(hi)); size >= 1e6 || size < 1e-3 {
		power = 3 * int(math.Floor(math.Log10(size)/3))
	}
	var best graduation
	finest := int(math.Floor(math.Log10((hi - lo) / float64(max(most, 1)))))
	for exponent := finest; exponent <= finest+3; exponent++ {
		for _, s := range steps {
			g, few := graduateBy(lo, hi, s.digit, exponent, s.parts, power, most)
			if !few {
				continue
			}
			if len(g.ticks) < 2 && len(best.ticks) > 0 {
				return best // coarser ones only get emptier
			}
			best = g
			if room(g.ticks) {
				return g
			}
		}
	}
	return best
}

// graduateBy chooses the ticks of one step, unless they are more than so many.
func graduateBy(lo, hi float64, digit, exponent, parts, power, most int) (g graduation, few bool) {
	step := float64(digit) * math.Pow(10, float64(exponent))
	// A tick that misses an end of the axis only by rounding error belongs to the axis.
	const slack = 1e-9
	first, last := math.Ceil(lo/step-slack), math.Floor(hi/step+slack)
	if last-first+1 > float64(most) {
		return g, false
	}
	g = graduation{power: power, coarse: max(power-exponent, 0)}
	g.fine = max(power-int(math.Floor(math.Log10((hi-lo)/200))), g.coarse)
	for i := first; i <= last; i++ {
		g.ticks = append(g.ticks, tick{i * step, decimal(int64(i)*int64(digit), exponent-power)})
	}
	g.part = step / float64(parts)
	return g, true
}

// decimal prints n times ten to a power exactly, with a true minus sign and thousands set apart.
func decimal(n int64, exponent int) string {
	sign := ""
	if n < 0 {
		sign, n = "−", -n
	}
	digits := strconv.FormatInt(n, 10)
	fraction := ""
	switch {
	case n == 0:
		if exponent < 0 {
			fraction = strings.Repeat("0", -exponent)
		}
	case exponent >= 0:
		digits += strings.Repeat("0", exponent)
	default:
		if short := -exponent - len(digits) + 1; short > 0 {
			digits = strings.Repeat("0", short) + digits
		}
		cut := len(digits) + exponent
		digits, fraction = digits[:cut], digits[cut:]
	}
	text := sign + thousands(digits)
	if fraction != "" {
		text += "." + fraction
	}
	return text
}

// thousands sets groups of three apart with a narrow no-break space, from five digits on (ISO 80000-1).
func thousands(digits string) string {
	if len(digits) < 5 {
		return digits
	}
	for cut := len(digits) - 3; cut > 0; cut -= 3 {
		digits = digits[:cut] + "\u202f" + digits[cut:]
	}
	return digits
}

// number prints a value in a unit to so many decimals, as the ticks are printed.
func number(v float64, places int) string {
	places = min(max(places, 0), 12)
	text := strconv.FormatFloat(math.Abs(v), 'f', places, 64)
	whole, fraction, _ := strings.Cut(text, ".")
	text = thousands(whole)
	if fraction != "" {
		text += "." + fraction
	}
	if v < 0 && strings.Trim(text, "0.\u202f") != "" {
		text = "−" + text
	}
	return text
}

// powerMark is how an axis's title shows the factor left out of its labels.
func powerMark(power int) string {
	if power == 0 {
		return ""
	}
	raised := strings.Map(func(r rune) rune {
		if r == '-' {
			return '⁻'
		}
		return []rune("⁰¹²³⁴⁵⁶⁷⁸⁹")[r-'0']
	}, strconv.Itoa(power))
	return "10" + raised
}
