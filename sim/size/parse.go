package size

import (
	"fmt"
	"strconv"
	"strings"
)

// Error says which part of a designation couldn't be read.
type Error struct {
	Text   string // the whole designation
	Column int    // character where the part starts, from 1
	Part   string // "section width", "rim diameter", …
	Reason string
}

func (e *Error) Error() string {
	return fmt.Sprintf("tyre size %q, character %d, %s: %s", e.Text, e.Column, e.Part, e.Reason)
}

// longest is the length of text that is looked at: no designation comes near it.
const longest = 64

// Parse reads a tyre designation. Capitals and small letters mean the same; "x" may be written "×".
//
//	[P|LT|ST]WIDTH/ASPECT[ ](R|ZR|D|B|-)RIM[LT|C][ /]RANGE[ ]INDEX[/DUAL]SYMBOL [XL]     LT285/70R17/E 121/118S
//	DIAMETERxWIDTH(R|D|B|-)RIM[LT][ /]RANGE[ ]INDEX[/DUAL]SYMBOL                         35x12.50R17LT 121Q
//
// What follows the rim may be left out. Numeric sizes without an aspect ratio ("7.50R16"), metric rims and
// temporary spares aren't read. The error is an *Error.
func Parse(text string) (Size, error) {
	r := &reader{whole: text, rest: []rune(strings.ToUpper(text))}
	if len(r.rest) > longest {
		return Size{}, r.fail("designation", "%d characters are more than any tyre size has", len(r.rest))
	}
	s, err := r.designation()
	if err != nil {
		return Size{}, err
	}
	return s, nil
}

// reader is a place in a designation. rest is in capitals, so what it hands out is too.
type reader struct {
	whole string
	rest  []rune
	at    int // index into rest
}

func (r *reader) fail(part, format string, args ...any) *Error {
	return &Error{Text: r.whole, Column: r.at + 1, Part: part, Reason: fmt.Sprintf(format, args...)}
}

func (r *reader) spaces() {
	for r.at < len(r.rest) && r.rest[r.at] == ' ' {
		r.at++
	}
}

// take steps over the first of the given words that stands here.
func (r *reader) take(words ...string) (string, bool) {
	here := string(r.rest[r.at:])
	for _, w := range words {
		if strings.HasPrefix(here, w) {
			r.at += len([]rune(w))
			return w, true
		}
	}
	return "", false
}

// seen names what stands here, for a message.
func (r *reader) seen() string {
	if r.at >= len(r.rest) {
		return "the end"
	}
	return strconv.Quote(string(r.rest[r.at : r.at+1]))
}

// number reads digits, with one decimal point where fraction is set, and checks the range. The place of an
// error of range is where the number starts.
func (r *reader) number(part string, low, high float64, unit string, fraction bool) (float64, *Error) {
	start := r.at
	point := false
	for r.at < len(r.rest) {
		c := r.rest[r.at]
		if c == '.' && fraction && !point && r.at > start {
			point = true
		} else if c < '0' || c > '9' {
			break
		}
		r.at++
	}
	if r.at == start {
		return 0, r.fail(part, "expected a number in %s, found %s", unit, r.seen())
	}
	digits := string(r.rest[start:r.at])
	value, err := strconv.ParseFloat(digits, 64)
	if err != nil || value < low || value > high {
		r.at = start
		return 0, r.fail(part, "%s %s is outside %g to %g", digits, unit, low, high)
	}
	return value, nil
}

func (r *reader) designation() (Size, error) {
	r.spaces()
	service, _ := r.take("LT", "ST", "P")
	first := r.at
	_, err := r.number("first number", 0, 1e6, "mm or inch", true)
	if err != nil {
		return Size{}, err
	}
	_, slash := r.take("/")
	_, cross := r.take("X", "×")
	after := r.at
	r.at = first
	var s Size
	switch {
	case slash:
		s, err = r.metricSize()
	case cross:
		s, err = r.flotationSize()
	default:
		r.at = after
		return Size{}, r.fail("aspect ratio", `expected "/" and a height in per cent (285/70R17), or "x" and a width in inches (35x12.50R17), found %s`, r.seen())
	}
	if err != nil {
		return Size{}, err
	}
	s.Service = service
	if err := r.serviceMark(&s); err != nil {
		return Size{}, err
	}
	if err := r.loadRange(&s); err != nil {
		return Size{}, err
	}
	if err := r.description(&s); err != nil {
		return Size{}, err
	}
	r.spaces()
	if r.at < len(r.rest) {
		return Size{}, r.fail("end", "expected nothing more, found %s", r.seen())
	}
	return s, nil
}

func (r *reader) metricSize() (Size, *Error) {
	width, err := r.number("section width", 105, 505, "mm", false)
	if err != nil {
		return Size{}, err
	}
	if _, ok := r.take("/"); !ok {
		return Size{}, r.fail("section width", "expected whole millimetres, found %s", r.seen())
	}
	aspect, err := r.number("aspect ratio", 20, 100, "per cent", false)
	if err != nil {
		return Size{}, err
	}
	construction, rim, err := r.rim()
	if err != nil {
		return Size{}, err
	}
	s := metric(width, aspect, rim)
	s.Construction = construction
	return s, nil
}

func (r *reader) flotationSize() (Size, *Error) {
	start := r.at
	diameter, err := r.number("overall diameter", 18, 60, "inch", true)
	if err != nil {
		return Size{}, err
	}
	r.take("X", "×")
	width, err := r.number("section width", 6, 24, "inch", true)
	if err != nil {
		return Size{}, err
	}
	construction, rim, err := r.rim()
	if err != nil {
		return Size{}, err
	}
	if rim > diameter-2 {
		r.at = start
		return Size{}, r.fail("overall diameter", "%g inch leaves no side wall on a rim of %g inch", diameter, rim)
	}
	s := flotation(diameter, width, rim)
	s.Construction = construction
	return s, nil
}

// rim reads the letter of the construction and the rim diameter in inches.
func (r *reader) rim() (construction string, rim float64, err *Error) {
	r.spaces()
	construction, ok := r.take("ZR", "R", "D", "B", "-")
	if !ok {
		return "", 0, r.fail("construction", `expected "R" (radial), "ZR", "D", "B" or "-", found %s`, r.seen())
	}
	switch construction {
	case "ZR":
		construction = "R"
	case "-":
		construction = "D"
	}
	r.spaces()
	rim, err = r.number("rim diameter", 8, 30, "inch", true)
	return construction, rim, err
}

// serviceMark reads the letters that may stand right behind the rim diameter.
func (r *reader) serviceMark(s *Size) *Error {
	at := r.at
	mark, ok := r.take("LT", "C")
	if !ok {
		return nil
	}
	if s.Service != "" {
		r.at = at
		return r.fail("service mark", `%q stands before the size already; a load range follows after a space or "/"`, s.Service)
	}
	s.Service = mark
	return nil
}

// loadRange reads a load range letter, which stands after a space or a slash.
func (r *reader) loadRange(s *Size) *Error {
	start := r.at
	_, slash := r.take("/")
	r.spaces()
	at := r.at
	letter, ok := r.take("B", "C", "D", "E", "F", "G", "H", "J", "L", "M", "N")
	switch {
	case !ok && slash:
		return r.fail("load range", "expected a letter from B to N, found %s", r.seen())
	case !ok:
		r.at = start
		return nil
	case at == start:
		r.at = at
		return r.fail("load range", `expected a space or "/" before it`)
	case r.at < len(r.rest) && r.rest[r.at] != ' ':
		return r.fail("load range", "expected one letter and a space, found %s", r.seen())
	}
	s.LoadRange = letter
	return nil
}

// description reads the service description: load index, dual index, speed symbol, and "XL".
func (r *reader) description(s *Size) *Error {
	spaced := r.at
	r.spaces()
	if r.at == len(r.rest) {
		return nil
	}
	if r.at == spaced {
		return r.fail("service description", "expected a space before it, found %s", r.seen())
	}
	_, open := r.take("(")
	if err := r.index("load index", &s.LoadIndex, &s.LoadCapacity); err != nil {
		return err
	}
	if _, dual := r.take("/"); dual {
		at := r.at
		if err := r.index("load index in dual fitment", &s.DualLoadIndex, &s.DualLoadCapacity); err != nil {
			return err
		}
		if s.DualLoadIndex > s.LoadIndex {
			r.at = at
			return r.fail("load index in dual fitment", "%d is above the single one, %d", s.DualLoadIndex, s.LoadIndex)
		}
	}
	r.spaces()
	if err := r.speed(s); err != nil {
		return err
	}
	if _, shut := r.take(")"); shut != open {
		return r.fail("service description", "the brackets don't match")
	}
	at := r.at
	r.spaces()
	_, s.ExtraLoad = r.take("XL")
	if s.ExtraLoad && r.at-len("XL") == at {
		r.at = at
		return r.fail("end", "expected a space before XL")
	}
	return nil
}

func (r *reader) index(part string, index *int, load *float64) *Error {
	at := r.at
	value, err := r.number(part, 0, 999, "(no unit)", false)
	if err != nil {
		return err
	}
	kg, outside := LoadOfIndex(int(value))
	if outside != nil {
		r.at = at
		return r.fail(part, "%s", outside)
	}
	*index, *load = int(value), kg
	return nil
}

func (r *reader) speed(s *Size) *Error {
	if r.at < len(r.rest) {
		symbol := string(r.rest[r.at])
		if kph, ok := speeds[symbol]; ok {
			r.at++
			s.SpeedSymbol, s.MaxSpeed = symbol, kph/3.6
			return nil
		}
	}
	return r.fail("speed symbol", "expected a letter such as S (180 km/h), found %s", r.seen())
}
