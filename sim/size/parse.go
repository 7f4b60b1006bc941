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
		r.fail("designation", "%d characters are more than any tyre size has", len(r.rest))
	}
	s := r.designation()
	if r.err != nil {
		return Size{}, r.err
	}
	return s, nil
}

// reader is a place in a designation. rest is in capitals, so what it hands out is too. After its first mistake, which it keeps,
// it finds nothing more.
type reader struct {
	whole string
	rest  []rune
	at    int // index into rest
	err   *Error
}

func (r *reader) fail(part, format string, args ...any) {
	if r.err == nil {
		r.err = &Error{Text: r.whole, Column: r.at + 1, Part: part, Reason: fmt.Sprintf(format, args...)}
	}
}

func (r *reader) spaces() {
	for r.at < len(r.rest) && r.rest[r.at] == ' ' {
		r.at++
	}
}

// take steps over the first of the given words that stands here.
func (r *reader) take(words ...string) (string, bool) {
	if r.err != nil {
		return "", false
	}
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
func (r *reader) number(part string, low, high float64, unit string, fraction bool) float64 {
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
		r.fail(part, "expected a number in %s, found %s", unit, r.seen())
		return 0
	}
	digits := string(r.rest[start:r.at])
	value, err := strconv.ParseFloat(digits, 64)
	if err != nil || value < low || value > high {
		r.at = start
		r.fail(part, "%s %s is outside %g to %g", digits, unit, low, high)
	}
	return value
}

func (r *reader) designation() (s Size) {
	r.spaces()
	service, _ := r.take("LT", "ST", "P")
	first := r.at
	r.number("first number", 0, 1e6, "mm or inch", true)
	_, slash := r.take("/")
	_, cross := r.take("X", "×")
	switch {
	case slash:
		r.at = first
		s = r.metricSize()
	case cross:
		r.at = first
		s = r.flotationSize()
	default:
		r.fail("aspect ratio", `expected "/" and a height in per cent (285/70R17), or "x" and a width in inches (35x12.50R17), found %s`, r.seen())
	}
	s.Service = service
	r.serviceMark(&s)
	r.loadRange(&s)
	r.description(&s)
	r.spaces()
	if r.at < len(r.rest) {
		r.fail("end", "expected nothing more, found %s", r.seen())
	}
	return s
}

func (r *reader) metricSize() Size {
	width := r.number("section width", 105, 505, "mm", false)
	if _, ok := r.take("/"); !ok {
		r.fail("section width", "expected whole millimetres, found %s", r.seen())
	}
	aspect := r.number("aspect ratio", 20, 100, "per cent", false)
	construction, rim := r.rim()
	s := metric(width, aspect, rim)
	s.Construction = construction
	return s
}

func (r *reader) flotationSize() Size {
	start := r.at
	diameter := r.number("overall diameter", 18, 60, "inch", true)
	r.take("X", "×")
	width := r.number("section width", 6, 24, "inch", true)
	construction, rim := r.rim()
	if rim > diameter-2 {
		r.at = start
		r.fail("overall diameter", "%g inch leaves no side wall on a rim of %g inch", diameter, rim)
	}
	s := flotation(diameter, width, rim)
	s.Construction = construction
	return s
}

// rim reads the letter of the construction and the rim diameter in inches.
func (r *reader) rim() (construction string, rim float64) {
	r.spaces()
	construction, ok := r.take("ZR", "R", "D", "B", "-")
	if !ok {
		r.fail("construction", `expected "R" (radial), "ZR", "D", "B" or "-", found %s`, r.seen())
	}
	switch construction {
	case "ZR":
		construction = "R"
	case "-":
		construction = "D"
	}
	r.spaces()
	return construction, r.number("rim diameter", 8, 30, "inch", true)
}

// serviceMark reads the letters that may stand right behind the rim diameter.
func (r *reader) serviceMark(s *Size) {
	at := r.at
	mark, ok := r.take("LT", "C")
	if ok && s.Service != "" {
		r.at = at
		r.fail("service mark", `%q stands before the size already; a load range follows after a space or "/"`, s.Service)
	}
	if ok {
		s.Service = mark
	}
}

// loadRange reads a load range letter, which stands after a space or a slash.
func (r *reader) loadRange(s *Size) {
	start := r.at
	_, slash := r.take("/")
	r.spaces()
	at := r.at
	letter, ok := r.take("B", "C", "D", "E", "F", "G", "H", "J", "L", "M", "N")
	switch {
	case !ok && slash:
		r.fail("load range", "expected a letter from B to N, found %s", r.seen())
	case !ok:
		r.at = start
	case at == start:
		r.at = at
		r.fail("load range", `expected a space or "/" before it`)
	case r.at < len(r.rest) && r.rest[r.at] != ' ':
		r.fail("load range", "expected one letter and a space, found %s", r.seen())
	}
	s.LoadRange = letter
}

// description reads the service description: load index, dual index, speed symbol, and "XL".
func (r *reader) description(s *Size) {
	spaced := r.at
	r.spaces()
	if r.at == len(r.rest) {
		return
	}
	if r.at == spaced {
		r.fail("service description", "expected a space before it, found %s", r.seen())
	}
	_, open := r.take("(")
	s.LoadIndex, s.LoadCapacity = r.index("load index")
	if _, dual := r.take("/"); dual {
		at := r.at
		s.DualLoadIndex, s.DualLoadCapacity = r.index("load index in dual fitment")
		if s.DualLoadIndex > s.LoadIndex {
			r.at = at
			r.fail("load index in dual fitment", "%d is above the single one, %d", s.DualLoadIndex, s.LoadIndex)
		}
	}
	r.spaces()
	r.speed(s)
	if _, shut := r.take(")"); shut != open {
		r.fail("service description", "the brackets don't match")
	}
	at := r.at
	r.spaces()
	_, s.ExtraLoad = r.take("XL")
	if s.ExtraLoad && r.at-len("XL") == at {
		r.at = at
		r.fail("end", "expected a space before XL")
	}
}

// index reads a load index and gives the load that it stands for.
func (r *reader) index(part string) (index int, load float64) {
	at := r.at
	index = int(r.number(part, 0, 999, "(no unit)", false))
	load, err := LoadOfIndex(index)
	if err != nil {
		r.at = at
		r.fail(part, "%s", err)
	}
	return index, load
}

func (r *reader) speed(s *Size) {
	if r.at < len(r.rest) {
		symbol := string(r.rest[r.at])
		if kph, ok := speeds[symbol]; ok {
			r.at++
			s.SpeedSymbol, s.MaxSpeed = symbol, kph/3.6
			return
		}
	}
	r.fail("speed symbol", "expected a letter such as S (180 km/h), found %s", r.seen())
}
