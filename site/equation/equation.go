// Package equation sets mathematics, typed in TeX's notation, as presentation MathML.
//
//	Set      a formula's text -> a <math> element, or the place of the first mistake in it
//	Plain    a <math> element -> one line of plain text (plain.go)
//	symbol   a sign as it is set; symbols.go has the tables of all signs and letters
//	reader   the text, mark by mark, into atoms (reader.go, commands.go, tables.go)
//	atom     a piece of the formula with its kind, from which the space around it follows (atom.go)
//
// Browsers set MathML by themselves, so a page needs no script for it, its text can be selected, and it is
// read aloud as mathematics. The spaces are TeX's: Knuth, The TeXbook, chapter 18, from memory. Of TeX it
// knows the part that formulas of engineering need; whatever else is refused by name and place, because a
// formula that is half understood is worse than none.
package equation

import (
	"fmt"
	"html"
	"strings"
	"unicode"
	"unicode/utf8"

	"turnplate/site/diag"
)

// Limits on one formula, far above what a reader would follow.
const (
	MaxBytes   = 4000
	maxNesting = 40
)

// Set typesets a formula. Displayed, it stands on a line of its own, where fractions and sums are set
// larger, and may have several lines ending in \\ with & where they line up. At a mistake mathML is "". The
// formula's own text is the alternative for what can't show MathML.
func Set(text diag.Snippet, display bool) (mathML string, faults diag.List) {
	r := &reader{text: text.Text, display: display}
	inside := ""
	switch {
	case len(r.text) > MaxBytes:
		r.fail(0, 1, "split it", "the formula is longer than %d characters", MaxBytes)
	case strings.TrimSpace(r.text) == "":
		r.fail(0, 1, "", "the formula is empty")
	case strings.ContainsFunc(r.text, misplaced):
		at := strings.IndexFunc(r.text, misplaced)
		c, size := utf8.DecodeRuneInString(r.text[at:])
		r.fail(at, size, "", "%q has no place in a formula", c)
	default:
		inside = r.formula()
	}
	if r.fault != nil {
		f := r.fault
		return "", diag.List{text.FaultAt(f.at, f.length, f.hint, "%s", f.message)}
	}
	start := "math"
	if display {
		start += ` display="block"`
	}
	return tag(start+` alttext="`+html.EscapeString(strings.Join(strings.Fields(r.text), " "))+`"`, inside), nil
}

// tag writes an element of MathML: its name with its attributes, and what it holds.
func tag(start string, inside ...string) string {
	name, _, _ := strings.Cut(start, " ")
	return "<" + start + ">" + strings.Join(inside, "") + "</" + name + ">"
}

// misplaced tells the characters that XML forbids, and those that turn the direction of their neighbours.
func misplaced(c rune) bool {
	switch {
	case c == utf8.RuneError, c == 0xfffe, c == 0xffff:
		return true
	case c >= 0x202a && c <= 0x202e, c >= 0x2066 && c <= 0x2069:
		return true
	}
	return unicode.IsControl(c) && !strings.ContainsRune(blanks, c)
}

// fault is the first mistake found; a formula has one at most, since what follows one is guesswork.
type fault struct {
	at, length    int // bytes of the text
	hint, message string
}

// fail notes a mistake and ends the reading: the text is over.
func (r *reader) fail(at, length int, hint, format string, args ...any) {
	if r.fault != nil {
		return
	}
	at = min(at, len(r.text))
	// A caret can't stand under the line's end of a formula that stops too early.
	for at > 0 && at == len(r.text) && r.text[at-1] == '\n' {
		at--
	}
	r.fault = &fault{at, length, hint, fmt.Sprintf(format, args...)}
	r.at = len(r.text)
}
