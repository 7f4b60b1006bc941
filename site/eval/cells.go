package eval

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"

	"turnplate/sim/unit"
	"turnplate/site/lang"
	"turnplate/site/pattern"
	"turnplate/site/vocabulary"
)

// separator tells what parts the columns of a file: commas, as RFC 4180 has it, or semicolons or tabs, as spreadsheets
// write them where the comma is the decimal sign. The line of headings shows it, whose texts in quotes don't count.
func separator(data []byte) rune {
	line, _, _ := bytes.Cut(data, []byte("\n"))
	quoted := false
	for _, c := range line {
		switch {
		case c == '"':
			quoted = !quoted
		case !quoted && (c == ';' || c == '\t'):
			return rune(c)
		}
	}
	return ','
}

// cellReader reads the numbers of one file.
type cellReader struct {
	separator rune
	commas    bool // some number of the file has a decimal comma
}

func newCellReader(separator rune, rows [][]string) *cellReader {
	r := &cellReader{separator: separator}
	for _, row := range rows {
		for _, cell := range row {
			r.commas = r.commas || hasDecimalComma(strings.TrimSpace(cell))
		}
	}
	return r
}

var (
	decimalComma = pattern.Of(`^[+−-]?\d+,\d+$`)
	grouped      = pattern.Of(`^[+−-]?\d{1,3}(?:[., ']\d{3})+(?:[.,]\d+)?$`)
	degreeCell   = pattern.Of(`^([+−-]?)(\d+(?:[.,]\d+)?)\s*[°º]\s*(?:(\d+(?:[.,]\d+)?)\s*['′’]\s*)?(?:(\d+(?:[.,]\d+)?)\s*(?:["″”]|'')\s*)?$`)
	withUnit     = pattern.Of(`^([+−-]?\d+(?:[.,]\d+)?)\s*[^\d\s.,]`)
)

// begins tells whether a cell begins as a number does in all of these. Most texts don't, and need no search.
func begins(cell string) bool {
	cell = strings.TrimLeft(cell, "+−-")
	return cell != "" && cell[0] >= '0' && cell[0] <= '9'
}

func hasDecimalComma(cell string) bool {
	return begins(cell) && strings.Contains(cell, ",") && decimalComma().MatchString(cell)
}

// column reads the cells of a column as numbers, of a unit if the heading gives one; a blank is NaN. Where one isn't a
// number, bad is its row and hint what to write instead; otherwise bad is -1.
func (r *cellReader) column(words []string, u *unit.Unit) (nums []float64, bad int, hint string) {
	for i, w := range words {
		x, ok := math.NaN(), true
		if w != "" {
			x, ok, hint = r.number(w, u)
		}
		if !ok {
			return nil, i, hint
		}
		nums = append(nums, x)
	}
	return nums, -1, ""
}

func (r *cellReader) number(word string, u *unit.Unit) (x float64, ok bool, hint string) {
	plain := strings.Replace(word, "−", "-", 1)
	if m := degreesIn(word, u); m != nil {
		degrees, err := strconv.ParseFloat(lang.Degrees(m[2], m[3], m[4]), 64)
		if m[1] != "" && m[1] != "+" {
			degrees = -degrees
		}
		return degrees * math.Pi / 180 / u.SI, err == nil, ""
	}
	switch {
	case hasDecimalComma(word) && !(r.separator == ',' && grouped().MatchString(word)):
		plain = strings.Replace(plain, ",", ".", 1)
	case begins(word) && (strings.ContainsAny(word, ", '") || r.commas) && grouped().MatchString(word):
		return 0, false, "it can be read in two ways: write it without a sign between thousands"
	case r.commas && strings.Contains(word, "."):
		if _, err := strconv.ParseFloat(plain, 64); err == nil {
			return 0, false, "other numbers of this file have a decimal comma: write this one with a comma too"
		}
	}
	x, err := strconv.ParseFloat(plain, 64)
	if err != nil || math.IsInf(x, 0) || math.IsNaN(x) {
		if begins(word) {
			if m := withUnit().FindStringSubmatch(word); m != nil {
				hint = "write " + m[1] + ", and the unit in the heading alone"
			}
		}
		return 0, false, hint
	}
	return x, true, ""
}

// degreesIn takes a cell of degrees, minutes and seconds of arc apart: its sign and the three; nil if it is something else.
func degreesIn(word string, u *unit.Unit) []string {
	if u == nil || u.Dim != unit.Angle || !strings.ContainsAny(word, "°º") {
		return nil
	}
	return degreeCell().FindStringSubmatch(word)
}

type headingError struct{ message, hint string }

// headingOf splits `Total toe (deg)` into TotalToe and its unit, which may be written as on paper: (°), (in), (N·m).
func headingOf(heading string) (string, *unit.Unit, *headingError) {
	at := strings.IndexAny(heading, "([")
	text, inside := heading, ""
	if at >= 0 {
		text, inside = heading[:at], heading[at+1:]
	}
	var name strings.Builder
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		runes := []rune(word)
		runes[0] = unicode.ToUpper(runes[0])
		name.WriteString(string(runes))
	}
	if name.Len() == 0 || unicode.IsDigit([]rune(name.String())[0]) {
		return "", nil, &headingError{message: "a heading needs a name that starts with a letter"}
	}
	if at < 0 {
		return name.String(), nil, nil
	}
	end := strings.IndexAny(inside, ")]")
	if end < 0 {
		return "", nil, &headingError{message: "the heading's bracket isn't closed: " + strconv.Quote(heading[at:])}
	}
	inside = strings.TrimSpace(inside[:end])
	u, err := printedUnit(inside)
	if err != nil {
		return "", nil, &headingError{"the heading's brackets hold no known unit: " + strconv.Quote(inside), unitHelp(inside)}
	}
	return name.String(), &u, nil
}

// printedUnit reads a unit as a notebook writes it, or as it is printed.
func printedUnit(text string) (unit.Unit, error) {
	u, err := unit.Parse(text)
	if err == nil {
		return u, nil
	}
	if write := vocabulary.Spelling(text); write != "" {
		return unit.Parse(write)
	}
	var name strings.Builder
	for part := range strings.SplitSeq(strings.NewReplacer("·", "\x00*\x00", "*", "\x00*\x00", "/", "\x00/\x00").Replace(text), "\x00") {
		if write := vocabulary.Spelling(strings.TrimSpace(part)); write != "" {
			part = write
		}
		name.WriteString(strings.TrimSpace(part))
	}
	return unit.Parse(name.String())
}

// unitHelp says what to write for something that isn't a unit.
func unitHelp(text string) string {
	if write := vocabulary.Spelling(text); write != "" {
		return fmt.Sprintf("it would be %s; give the values in a unit of the list, which turnplate tell units shows", write)
	}
	return oneOfUnits(text)
}
