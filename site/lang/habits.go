package lang

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"

	"turnplate/site/diag"
	"turnplate/site/pattern"
	"turnplate/site/vocabulary"
)

// Numbers are written in many ways that aren't the language's: as on paper, as in a spreadsheet, as in speech. What is
// meant is mostly plain, and then the message says exactly what to write.

// habit is one such way of writing.
type habit struct {
	found *regexp.Regexp
	write func(m []string) (message, hint string)
}

const decimal = `(\d+(?:[.,]\d+)?)`

// habits are made ready when a mistake first asks for them, as most notebooks have none.
var habits = sync.OnceValue(func() []habit {
	return []habit{
		{regexp.MustCompile(`(\d+)\s*[°º]\s*(\d+(?:[.,]\d+)?)\s*['′’](?:\s*(\d+(?:[.,]\d+)?)\s*(?:["″”]|''))?(?:\*deg\b)?`), func(m []string) (string, string) {
			return "degrees and minutes are written as degrees", "write " + Degrees(m[1], m[2], m[3]) + "*deg"
		}},
		{regexp.MustCompile(decimal + `\s*\*?\s*([°º%€$£])(?:\*deg\b)?`), func(m []string) (string, string) {
			return "a unit is a name to multiply by", "write " + point(m[1]) + "*" + vocabulary.Spelling(m[2])
		}},
		{regexp.MustCompile(decimal + `\s*\*?\s*["″”]`), func(m []string) (string, string) {
			return "a unit is a name to multiply by", "write " + point(m[1]) + "*inch"
		}},
		{regexp.MustCompile(decimal + `\s*\*?\s*['′’]`), func(m []string) (string, string) {
			return "a unit is a name to multiply by", fmt.Sprintf("write %s*ft for feet, or %s/60*deg for minutes of arc", point(m[1]), point(m[1]))
		}},
		{regexp.MustCompile(decimal + `\s*\*?\s*([A-Za-zµμ]+(?:[*/·.][A-Za-z]+)*)([²³])`), func(m []string) (string, string) {
			unit := m[2]
			for range map[string]int{"²": 1, "³": 2}[m[3]] {
				unit += "*" + m[2]
			}
			if over, under, parts := strings.Cut(m[2], "/"); parts { // m/s² is m over s over s
				unit = over + strings.Repeat("/"+under, map[string]int{"²": 2, "³": 3}[m[3]])
			}
			return "powers are written as products", "write " + point(m[1]) + "*" + unit
		}},
		{regexp.MustCompile(`([A-Za-z]+)·([A-Za-z]+)`), func(m []string) (string, string) {
			return "a product is written with *", "write " + m[1] + "*" + m[2]
		}},
		{regexp.MustCompile(decimal + `\s*[×·]\s*`), func(m []string) (string, string) {
			return "a product is written with *", "write " + point(m[1]) + "*"
		}},
		{regexp.MustCompile(`[−–—]\s*` + decimal), func(m []string) (string, string) {
			return "this is a dash of print, not the minus sign of a keyboard", "write -" + point(m[1])
		}},
		{regexp.MustCompile(`(\d*)([½¼¾⅛⅜⅝⅞])`), func(m []string) (string, string) {
			eighths := map[string]float64{"½": 4, "¼": 2, "¾": 6, "⅛": 1, "⅜": 3, "⅝": 5, "⅞": 7}[m[2]]
			whole, _ := strconv.ParseFloat("0"+m[1], 64)
			return "fractions are written as decimals", "write " + strconv.FormatFloat(whole+eighths/8, 'f', -1, 64)
		}},
		{regexp.MustCompile(decimal + `\s*([A-Za-zµμ][A-Za-zµμ]*(?:[*/·][A-Za-z]+)*)`), func(m []string) (string, string) {
			unit := strings.ReplaceAll(m[2], "·", "*")
			if known := vocabulary.Spelling(unit); known != "" {
				unit = known
			}
			return "a unit is a name to multiply by", "write " + point(m[1]) + "*" + unit
		}},
	}
})

// point writes a number with the decimal point of the language.
func point(number string) string { return strings.Replace(number, ",", ".", 1) }

// Degrees is an angle in degrees, minutes and seconds of arc as a decimal number, to a hundredth of a second.
func Degrees(degrees, minutes, seconds string) string {
	total := 0.0
	for i, part := range []string{degrees, minutes, seconds} {
		x, _ := strconv.ParseFloat(point("0"+part), 64)
		total += x / []float64{1, 60, 3600}[i]
	}
	text := strconv.FormatFloat(total, 'f', 6, 64)
	return strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
}

// habitFault looks for such writing on the line of the text where the parser gave up, or else on the one before, whose
// end it may have waited for.
func (t *Text) habitFault(offset int) (diag.Diagnostic, bool) {
	text := t.Snippet.Text
	start := strings.LastIndexByte(text[:min(max(offset, 0), len(text))], '\n') + 1
	if f, found := t.habitOn(start); found || start == 0 {
		return f, found
	}
	return t.habitOn(strings.LastIndexByte(text[:start-1], '\n') + 1)
}

// habitOn looks on the line that starts at an offset.
func (t *Text) habitOn(start int) (diag.Diagnostic, bool) {
	line, _, _ := strings.Cut(t.Snippet.Text[start:], "\n")
	masked := mask(line)
	for _, h := range habits() {
		at := h.found.FindStringSubmatchIndex(masked)
		if at == nil || !bare(masked, at[0]) {
			continue
		}
		m := make([]string, len(at)/2)
		for i := range m {
			if at[2*i] >= 0 {
				m[i] = masked[at[2*i]:at[2*i+1]]
			}
		}
		message, hint := h.write(m)
		return t.Snippet.FaultAt(start+at[0], len(strings.TrimRight(m[0], " ")), hint, "%s", message), true
	}
	return diag.Diagnostic{}, false
}

// bare tells whether what begins at a place isn't the rest of a name or of a longer number.
func bare(line string, at int) bool {
	r, _ := utf8.DecodeLastRuneInString(line[:at])
	return at == 0 || !(r == '_' || r == '.' || r >= '0' && r <= '9' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z')
}

var quotedOrRemark = pattern.Of("\"(?:[^\"\\\\]|\\\\.)*\"|`[^`]*`|//.*$")

// mask blanks out texts in quotes and comments, whose numbers aren't the block's.
func mask(line string) string {
	return quotedOrRemark().ReplaceAllStringFunc(line, func(s string) string { return strings.Repeat("\x00", len(s)) })
}

// comma finds a number with a decimal comma that reads as two values.
var comma = pattern.Of(`(?:^|[^\w.,])(\d+),(\d+)(?:$|[^\d.])`)

// DecimalComma says how to write a number in a piece of source that has a decimal comma, "" if it has none.
func DecimalComma(source string) string {
	if !commaInNumber(source) {
		return ""
	}
	masked := mask(source)
	for _, at := range comma().FindAllStringSubmatchIndex(masked, -1) {
		return "a decimal comma parts two values; write " + masked[at[2]:at[3]] + "." + masked[at[4]:at[5]]
	}
	return ""
}

func commaInNumber(source string) bool {
	digit := func(i int) bool { return source[i] >= '0' && source[i] <= '9' }
	for i := 1; i < len(source)-1; i++ {
		if source[i] == ',' && digit(i-1) && digit(i+1) {
			return true
		}
	}
	return false
}

// Slips in the unit or the step of a number in prose whose value can be read. It was meant as a number, so it mustn't be
// published as text.
var (
	slipInStep = pattern.Of(`^\s*(\d+(?:[.,]\d+)?|[.,]\d+)\s*([°º%"″'′’]|[A-Za-zµμ]+)?\s*$`)
	slipInUnit = pattern.Of(`^\s*([°º%"″'′’])\s*$`)
	noTo       = pattern.Of(`^(\s*[A-Za-z][A-Za-z*/]*)\s+(\d+(?:[.,]\d+)?)\s*$`)
)

// slip says what is wrong with the unit or the step of a number in prose, and what to write; "" if it isn't known.
func slip(in, to piece) (part piece, message, hint string) {
	if !strings.ContainsAny(in.text, `0123456789°º%"″'′’`) && (!to.given || isNumber(to.text)) {
		return piece{}, "", "" // as nearly all are
	}
	if m := slipInUnit().FindStringSubmatch(in.text); in.given && m != nil {
		return in, "a unit is written with its name", "write " + vocabulary.Spelling(strings.NewReplacer("’", "′", "'", "′").Replace(m[1]))
	}
	if m := noTo().FindStringSubmatch(in.text); in.given && !to.given && m != nil {
		return in, "a unit and a rounding step are parted by the word to", "write in " + strings.TrimSpace(m[1]) + " to " + point(m[2])
	}
	if m := slipInStep().FindStringSubmatch(to.text); to.given && m != nil && !isNumber(to.text) && (in.given || m[2] == "") {
		return to, "a rounding step is a plain number, with a decimal point, in the unit before it", "write to " + point(m[1])
	}
	return piece{}, "", ""
}
