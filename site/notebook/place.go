package notebook

import (
	"fmt"
	"sort"
	"strings"

	"turnplate/site/diag"
)

// source knows where each line of a file starts, and so turns byte offsets into places. It gathers what is wrong there.
type source struct {
	file   string
	text   []byte
	lines  []int // offset of each line's first byte
	faults diag.List
}

func newSource(file string, text []byte) *source {
	s := &source{file: file, text: text, lines: []int{0}}
	for i, c := range text {
		if c == '\n' {
			s.lines = append(s.lines, i+1)
		}
	}
	return s
}

func (s *source) pos(offset int) diag.Pos {
	line := sort.SearchInts(s.lines, offset+1) // lines[line-1] <= offset
	return diag.Pos{Line: line, Col: offset - s.lines[line-1] + 1}
}

// fault notes a mistake.
func (s *source) fault(offset, length int, hint, format string, args ...any) {
	s.faults = append(s.faults, diag.New(s.file, s.text, s.pos(max(offset, 0)), length, hint, fmt.Sprintf(format, args...)))
}

// line gives line n (from 0) without its line end.
func (s *source) line(n int) string {
	end := len(s.text)
	if n+1 < len(s.lines) {
		end = s.lines[n+1] - 1
	}
	return strings.TrimSuffix(string(s.text[s.lines[n]:end]), "\r")
}

// A cutting gathers pieces of a file, each at an offset of its own, into a Snippet.
type cutting struct {
	*source
	lines  []string
	starts []diag.Pos
}

// add takes one line: pad blanks that stand for part of a tab, then the bytes from start to stop. A line
// end among them is dropped, so that files with either kind of line end give the same text.
func (c *cutting) add(start, stop, pad int) {
	line := string(c.text[start:stop])
	line = strings.TrimSuffix(strings.TrimSuffix(line, "\n"), "\r")
	c.lines = append(c.lines, strings.Repeat(" ", pad)+line)
	at := c.pos(start)
	at.Col -= pad
	c.starts = append(c.starts, at)
}

func (c *cutting) snippet(text string) diag.Snippet {
	return diag.Snippet{File: c.file, Source: c.text, Text: text, Starts: c.starts}
}
