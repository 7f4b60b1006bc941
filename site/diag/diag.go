// Package diag is the one way a mistake in a notebook is reported: file, line, column, the source line
// with a caret, what was expected, and the nearest known name.
package diag

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// Pos is a place in a file: line from 1, column from 1 counted in bytes. The zero Pos means the whole file.
type Pos struct{ Line, Col int }

// Compare orders places as they stand in a file.
func (p Pos) Compare(q Pos) int {
	return cmp.Or(cmp.Compare(p.Line, q.Line), cmp.Compare(p.Col, q.Col))
}

// Diagnostic is one mistake.
type Diagnostic struct {
	File    string // slash-separated path from the collection's root, with its extension
	Pos     Pos
	Length  int    // bytes to underline; 0 underlines one character
	Message string // what is wrong and what was expected, one line, no trailing stop
	Hint    string // "did you mean …", how to mend it; may be empty
	Line    string // the source line, without its line end; of a long one the part around Pos

	skipped int // bytes of the source line before Line
}

// Bounds, in bytes, of what is kept of a mistake's line and of its message: a notebook may have a hundred thousand
// mistakes, on lines as long as a paragraph may be.
const (
	maxLine    = 240
	maxMessage = 600
)

// Error gives the contract's one-line form, file:line:col: message.
func (d Diagnostic) Error() string {
	text := d.Message
	if d.Hint != "" {
		text += " (" + d.Hint + ")"
	}
	if d.Pos.Line == 0 {
		return fmt.Sprintf("%s: %s", d.File, text)
	}
	return fmt.Sprintf("%s:%d:%d: %s", d.File, d.Pos.Line, d.Pos.Col, text)
}

// Excerpt shows the source line with a caret under the fault, or "" when there is no line to show.
func (d Diagnostic) Excerpt() string {
	if d.Pos.Line == 0 || strings.TrimSpace(d.Line) == "" {
		return ""
	}
	before := d.Line
	if col := d.Pos.Col - 1 - d.skipped; col < len(before) {
		before = before[:max(col, 0)]
	}
	under := d.Line[len(before):]
	if d.Length > 0 && d.Length < len(under) {
		under = under[:d.Length]
	} else if d.Length == 0 {
		under = ""
	}
	// Tabs stay tabs, so that the caret stands in its place however wide the terminal's tabs are.
	pad := strings.Map(func(r rune) rune {
		if r == '\t' {
			return '\t'
		}
		return ' '
	}, before)
	return "    " + d.Line + "\n    " + pad + strings.Repeat("^", max(utf8.RuneCountInString(under), 1))
}

// Most is how many mistakes are kept of one notebook, or of one of its blocks. Nobody mends more at once.
const Most = 1000

// List is a set of mistakes.
type List []Diagnostic

// Sort orders by file, line and column, and drops exact repeats.
func (l *List) Sort() {
	slices.SortStableFunc(*l, func(a, b Diagnostic) int {
		return cmp.Or(cmp.Compare(a.File, b.File), a.Pos.Compare(b.Pos))
	})
	*l = slices.Compact(*l)
}

// Snippet is text cut out of a file, such as a fence's body or a number in prose, that remembers where
// each of its lines stood (in a list item each line starts at an offset of its own). Its JSON is for who has the file.
type Snippet struct {
	File   string
	Source []byte // the whole file
	Text   string
	Starts []Pos // Starts[i] is where line i (from 0) of Text begins in the file
	Jumps  []Jump
}

// Jump is a place of a Snippet's Text from which on its line stands elsewhere in the file than its columns say,
// because the file has more to read there: an escape for one character, or a line end that isn't in the text.
type Jump struct {
	Line, Col int // from 1
	To        Pos
}

// At turns a line (from 1) and byte column (from 1) of Text into a place in the file. A line past the end gives the end
// of the text, because that is where a parser misses a bracket.
func (s Snippet) At(line, col int) Pos {
	if len(s.Starts) == 0 {
		return Pos{}
	}
	if line > len(s.Starts) {
		line = len(s.Starts)
		lines := strings.Split(strings.TrimRight(s.Text, "\n"), "\n")
		last := min(line, len(lines))
		line, col = last, len(lines[last-1])+1
	}
	start, from := s.Starts[max(line, 1)-1], 1
	for _, j := range s.Jumps {
		if j.Line == line && j.Col <= col {
			start, from = j.To, j.Col
		}
	}
	return Pos{start.Line, start.Col + col - from}
}

// Place turns an offset in Text into a line and a byte column of it, both from 1.
func (s Snippet) Place(offset int) (line, col int) {
	before := s.Text[:min(max(offset, 0), len(s.Text))]
	return 1 + strings.Count(before, "\n"), len(before) - strings.LastIndexByte(before, '\n')
}

// Part is the part of a snippet from one offset in its Text to another.
func (s Snippet) Part(from, to int) Snippet {
	part := Snippet{File: s.File, Source: s.Source, Text: s.Text[from:to]}
	line, col := s.Place(from)
	for i := range strings.Count(part.Text, "\n") + 1 {
		part.Starts = append(part.Starts, s.At(line+i, col))
		col = 1
	}
	return part
}

// FaultAt is Fault at an offset in Text.
func (s Snippet) FaultAt(offset, length int, hint, format string, args ...any) Diagnostic {
	line, col := s.Place(offset)
	return s.Fault(line, col, length, hint, format, args...)
}

// Fault makes a Diagnostic at a place of the snippet.
func (s Snippet) Fault(line, col, length int, hint, format string, args ...any) Diagnostic {
	return New(s.File, s.Source, s.At(line, col), length, hint, fmt.Sprintf(format, args...))
}

// New makes a Diagnostic and copies the source line it points at.
func New(file string, source []byte, pos Pos, length int, hint, message string) Diagnostic {
	d := Diagnostic{File: file, Pos: pos, Length: length, Message: message, Hint: hint}
	if len(message) > maxMessage {
		d.Message = strings.ToValidUTF8(message[:maxMessage], "") + "…"
	}
	line := lineOf(source, pos.Line)
	if len(line) > maxLine {
		d.skipped = min(max(pos.Col-1-maxLine/2, 0), len(line)-maxLine)
		line = line[d.skipped : d.skipped+maxLine]
		for d.skipped > 0 && len(line) > 0 && !utf8.RuneStart(line[0]) {
			line, d.skipped = line[1:], d.skipped+1
		}
	}
	d.Line = strings.ToValidUTF8(string(line), "\ufffd")
	return d
}

// lineOf gives a line of a text, counted from 1, without its line end; nil if there is none.
func lineOf(source []byte, line int) []byte {
	n := 0
	for text := range bytes.Lines(source) {
		if n++; n == line {
			return bytes.TrimSuffix(bytes.TrimSuffix(text, []byte("\n")), []byte("\r"))
		}
	}
	return nil
}
