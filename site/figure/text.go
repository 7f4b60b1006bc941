package figure

import (
	"strings"
	"unicode"

	"turnplate/site/canvas"
)

// asciiWidths are the advance widths of U+0020 to U+007E in thousandths of the type size, measured on
// DejaVu Sans. A page is set in whatever sans-serif the reader's machine has; DejaVu Sans is among the
// widest of them, so text laid out with these widths is not clipped in a narrower one.
var asciiWidths = [...]uint16{
	318, 401, 460, 838, 637, 951, 780, 275, 391, 391, 500, 838, 318, 361, 318, 337,
	637, 637, 637, 637, 637, 637, 637, 637, 637, 637, 337, 337, 838, 838, 838, 531,
	1000, 685, 687, 699, 771, 632, 576, 775, 752, 295, 295, 656, 558, 863, 749, 788,
	604, 788, 695, 635, 611, 732, 685, 989, 686, 611, 686, 391, 337, 391, 838, 500,
	500, 613, 635, 550, 635, 616, 353, 635, 634, 278, 278, 580, 278, 975, 634, 612,
	635, 635, 412, 521, 393, 634, 592, 818, 592, 592, 525, 637, 337, 637, 838,
}

// otherWidths are the marks that numbers and units bring, on the same scale and from the same font.
var otherWidths = map[rune]uint16{
	'\u00a0': 318, '\u202f': 200, '\u2007': 637, '·': 318, '°': 500, '²': 401, '³': 401,
	'±': 838, '×': 838, '−': 838, '–': 500, '’': 318, '“': 519, '”': 519, 'µ': 637,
}

// boldness is how much wider DejaVu Sans Bold is, at most, than the regular cut in the letters of a label.
const boldness = 1.12

func runeWidth(r rune) float64 {
	if r >= ' ' && int(r-' ') < len(asciiWidths) {
		return float64(asciiWidths[r-' '])
	}
	if w, ok := otherWidths[r]; ok {
		return float64(w)
	}
	switch {
	case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		return 0
	case unicode.IsLower(r) && r < 0x400: // Latin and Greek
		return 700
	case unicode.IsUpper(r) && r < 0x400:
		return 850
	}
	return 1100 // Cyrillic capitals, ideographs, arrows, pictures: the widest of them
}

// textWidth estimates, on the wide side, how long a text is when set at a size.
func textWidth(s string, size float64) float64 {
	w := 0.0
	for _, r := range s {
		w += runeWidth(r)
	}
	return w * size / 1000
}

// clean makes any text fit for XML and for one line: white space becomes single spaces, and characters
// that XML forbids or that reorder their neighbours are dropped.
func clean(s string) string {
	if isClean(s) {
		return s
	}
	s = strings.Map(func(r rune) rune {
		switch {
		case r == '\u00a0' || r == '\u202f' || r == '\u2007':
			return r
		case unicode.IsSpace(r):
			return ' '
		case r < ' ' || r >= 0x7f && r < 0xa0, r >= 0xfff0 && r <= 0xffff, r >= 0xd800 && r < 0xe000:
			return -1
		case r >= 0x202a && r <= 0x202e, r >= 0x2066 && r <= 0x2069: // bidirectional overrides and isolates
			return -1
		}
		return r
	}, s)
	fields := strings.FieldsFunc(s, func(r rune) bool { return r == ' ' })
	return strings.Join(fields, " ")
}

// isClean tells quickly that a text needs no cleaning: it is printable ASCII with single spaces inside.
func isClean(s string) bool {
	space := true // a text may not begin with one
	for i := range len(s) {
		c := s[i]
		if c < ' ' || c > '~' || c == ' ' && space {
			return false
		}
		space = c == ' '
	}
	return s == "" || !space
}

// wrap breaks a text into at most so many lines of at most a width.
func wrap(s string, size, width float64, most int) (lines []string, cut bool) {
	words := strings.FieldsFunc(s, func(r rune) bool { return r == ' ' })
	return canvas.Wrap(words, most, func(line string) bool { return textWidth(line, size) <= width })
}

// both are the lines of a text as readers of each system see them; us is nil where that is the same.
type both struct{ metric, us []string }

// wrapBoth breaks a text for each system.
func wrapBoth(text Words, size, width float64, most int) (b both, cut bool) {
	b.metric, cut = wrap(clean(text.Metric), size, width, most)
	if text.US != "" {
		us := false
		b.us, us = wrap(clean(text.US), size, width, most)
		cut = cut || us
	}
	return b, cut
}

func (b both) count() int { return max(len(b.metric), len(b.us)) }

func (b both) widest(size float64) float64 { return max(widest(b.metric, size), widest(b.us, size)) }

// write sets the lines for each system, one text over the other: see pen.lines.
func (b both) write(to *pen, how canvas.Lettering, at point, apart float64, from stand) {
	if b.us == nil {
		to.lines(how, at, apart, from, b.metric)
		return
	}
	how.For = systemClass[Metric]
	to.lines(how, at, apart, from, b.metric)
	how.For = systemClass[US]
	to.lines(how, at, apart, from, b.us)
}

// widest is the length of the longest of some lines.
func widest(lines []string, size float64) float64 {
	w := 0.0
	for _, l := range lines {
		w = max(w, textWidth(l, size))
	}
	return w
}
