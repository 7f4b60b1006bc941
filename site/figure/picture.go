package figure

import "strconv"

// Picture is a figure ready for a page.
type Picture struct {
	// Wide and Narrow are two drawings of the same thing as SVG elements, one for a desk and one for a
	// telephone, so that letters keep their size. The page shows one of them at a time.
	Wide, Narrow string
	Keys         []Key    // the legend
	Notes        []string // sentences for the caption: what shading means, what is missing
	Values       []byte   // JSON for the read-out of values, safe inside a script element; nil without
}

// Key explains one mark of a figure. A line's label stands at its end where there is room for it; then
// the legend of that drawing needs no key for it.
type Key struct {
	Swatch       string // a small SVG, safe to insert
	Label        string
	LabelUS      string // as US readers see it; "" where that is the same
	Wide, Narrow bool   // which drawing needs it
}

// layout is one of the two ways to draw, in pixels.
type layout struct {
	name   string
	width  float64
	letter float64 // size of letters
	labels float64 // most that labels at the lines' ends may take of the width
	most   int     // and how many of them there may be
	apart  float64 // least distance of labelled graduations across
}

// The narrow drawing is made for a page 360 pixels wide, the wide one for the column of text on a desk.
var (
	wide   = layout{"wide", 720, 14, 180, 8, 56}
	narrow = layout{"narrow", 336, 13, 92, 5, 34}
)

func (l layout) line() float64 { return 1.3 * l.letter }

func (l layout) small() float64 { return l.letter - 1 }

// TitleID is the id that the page must give to a figure's title: the drawing takes its name from there.
func TitleID(h Head) string { return clean(h.ID) + "-title" }

// begin opens the drawing. Its text alternative is a description element, for readers of each system of
// units; a title element would pop up over the read-out of values.
func (l layout) begin(s *svg, h Head, height float64, system System, alternative words) {
	id := clean(h.ID) + "-words"
	us := id
	if alternative.us != "" && alternative.us != alternative.metric {
		us = id + "-us"
	}
	described := id
	if system == US {
		described = us
	}
	s.begin("svg", class("drawing "+l.name), attr{"viewBox", "0 0 " + px(l.width) + " " + px(height)},
		attr{"width", px(l.width)}, attr{"height", px(height)}, attr{"font-size", px(l.letter)},
		attr{"role", "img"}, attr{"aria-labelledby", TitleID(h)}, attr{"aria-describedby", described})
	if l.name != wide.name {
		return // a description is read even from a drawing that isn't shown
	}
	s.words("desc", alternative.metric, attr{"id", id})
	if us != id {
		s.words("desc", alternative.us, attr{"id", us})
	}
}

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// count writes a number with the noun it takes.
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}
