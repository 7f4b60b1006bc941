package notebook

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"

	"turnplate/site/diag"
)

// Limits on a single notebook. They stand far above what a reader would call long. Below them goldmark,
// some of whose steps take the square of a paragraph's length, of the footnotes' number or of the nesting
// depth, reads the worst file in a few seconds (testdata/hostile).
const (
	MaxBytes     = 1 << 20  // of the file
	MaxLines     = 20000    // of the file
	MaxParagraph = 32 << 10 // bytes without an empty line
	MaxMarks     = 2000     // brackets, stars and underscores without an empty line
	MaxNesting   = 50       // quotes and lists inside each other
	MaxFootnotes = 2000     // footnote marks
	MaxCells     = 100000   // of tables
	MaxLinked    = 1 << 20  // bytes of destinations and titles, each as often as a link refers to it
	maxMisses    = 10000    // braces that begin no number
	maxEquation  = 2000     // bytes between dollar signs
	maxLink      = 4000     // bytes from a link's words to the end of its destination
)

// readable reports what makes a file no notebook at all. skipped counts the bytes of a byte order mark.
func (s *source) readable(skipped int) bool {
	at, why, hint := NotText(s.text)
	switch {
	case len(s.text)+skipped > MaxBytes:
		s.faults = diag.List{{File: s.file, Message: fmt.Sprintf("the notebook is larger than %d KiB", MaxBytes>>10),
			Hint: "split it; a picture belongs in a file of its own"}}
	case why != "":
		s.fault(at, 0, hint, "%s", why)
	case len(s.lines) > MaxLines:
		s.fault(s.lines[MaxLines], 0, "split it", "the notebook has more than %d lines", MaxLines)
	case bytes.Count(s.text, []byte("[^")) > MaxFootnotes:
		s.faults = diag.List{{File: s.file, Message: fmt.Sprintf("the notebook has more than %d footnote marks", MaxFootnotes)}}
	default:
		return s.bounded()
	}
	return false
}

// bounded reports a paragraph, a table or a nesting that is too large.
func (s *source) bounded() bool {
	run, marks := 0, 0
	columns, cells := 0, 0 // of the table at hand; of all tables
	for n, start := range s.lines {
		line := s.line(n)
		run += len(line)
		marks += strings.Count(line, "[") + strings.Count(line, "*") + strings.Count(line, "_")
		if strings.TrimSpace(line) == "" {
			run, marks, columns = 0, 0, 0
		}
		// A row of a table has as many cells as its head, however short it is written.
		cells += columns
		if strings.Contains(line, "-") && strings.Trim(line, "|:->+*. \t\r\n") == "" {
			columns = strings.Count(line, "|") + 1
		}
		switch {
		case nesting(line) > MaxNesting:
			s.fault(start, 0, "", "quotes and lists stand more than %d deep inside each other", MaxNesting)
		case cells > MaxCells:
			s.fault(start, 0, "", "the tables up to here have more than %d cells", MaxCells)
		case run > MaxParagraph:
			s.fault(start, 0, "end it with an empty line", "the text up to here is more than %d KiB without an empty line", MaxParagraph>>10)
		case marks > MaxMarks:
			s.fault(start, 0, "end it with an empty line", "the text up to here has more than %d brackets, stars and underscores without an empty line", MaxMarks)
		default:
			continue
		}
		return false
	}
	return true
}

// NotText finds the first byte that text can't hold, and says why; why is "" for text. Control characters are
// refused as well: none has a meaning in Markdown or CSV, and some would act on a terminal or spoil a page's XML.
// So are the marks that turn the direction of what follows them: with those a block, or a reading, can look like
// one thing and be another. (Letters of any script bring their own direction along.)
func NotText(text []byte) (at int, why, hint string) {
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRune(text[i:])
		switch {
		case r == utf8.RuneError && size <= 1:
			hint := "save it as UTF-8"
			if bytes.HasPrefix(text, []byte("\xff\xfe")) || bytes.HasPrefix(text, []byte("\xfe\xff")) {
				hint = "it looks like UTF-16: save it as UTF-8"
			}
			return i, fmt.Sprintf("the file is not UTF-8 text: here is the byte 0x%02X", text[i]), hint
		case r < ' ' && r != '\t' && r != '\n' && r != '\r', r >= 0x7f && r < 0xa0, r == 0xfffe, r == 0xffff:
			return i, fmt.Sprintf("the file is not plain text: here is the control character U+%04X", r), ""
		case r >= 0x202a && r <= 0x202e, r >= 0x2066 && r <= 0x2069:
			return i, fmt.Sprintf("the mark U+%04X stands here unseen and turns the direction of the text, so that it reads otherwise than it is", r), "remove it"
		}
		i += size
	}
	return 0, "", ""
}

// nesting estimates from above how deep a line that starts with a quote or list mark stands: one for each
// mark, and one for each two columns of indent, the least that a list inside a list takes.
func nesting(line string) int {
	count, columns := 0, 0
	for {
		bare := strings.TrimLeft(line, " \t")
		columns += len(line) - len(bare) + 3*strings.Count(line[:len(line)-len(bare)], "\t")
		digits := strings.TrimLeft(bare, "0123456789")
		switch {
		case strings.HasPrefix(bare, ">"):
			line = bare[1:]
		case startsItem(bare, "-+*"):
			line = bare[1:]
		case len(digits) < len(bare) && startsItem(digits, ".)"):
			line = digits[1:]
		case count == 0:
			return 0
		default:
			return max(count, columns/2)
		}
		count++
	}
}

func startsItem(line, marks string) bool {
	return len(line) > 1 && strings.IndexByte(marks, line[0]) >= 0 && (line[1] == ' ' || line[1] == '\t')
}
