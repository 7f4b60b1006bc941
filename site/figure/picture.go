package figure

import (
	"strconv"

	"gonum.org/v1/plot/vg"

	"turnplate/site/canvas"
)

// Picture is a figure ready for a page.
type Picture struct {
	// Wide and Narrow are two drawings of the same thing, one for a desk and one for a telephone, so that
	// letters keep their size. The page shows one of them at a time.
	Wide, Narrow Plate
	Keys         []Key    // the legend
	Notes        []string // sentences for the caption: what shading means, what is missing
	Values       []byte   // JSON for the read-out of values, safe inside a script element; nil without
}

// Key explains one mark of a figure. A line's label stands at its end where there is room for it; then
// the legend of that drawing needs no key for it.
type Key struct {
	Swatch       Plate
	Label        Words
	Wide, Narrow bool // which drawing needs it
}

// Plate is one drawing: as SVG for the page, and to be drawn again on any other canvas.
type Plate struct {
	SVG                   string // an SVG element, safe to insert; "" where there is no drawing
	Width, Height, Letter float64
	draw                  func(p *pen)
}

func newPlate(h canvas.Head, draw func(p *pen)) Plate {
	s := canvas.New(h)
	draw(newPen(s, h.Width, h.Height))
	return Plate{SVG: s.Close(), Width: h.Width, Height: h.Height, Letter: h.Letter, draw: draw}
}

// Draw draws the same on another canvas, which has the origin of gonum's, the lower left corner.
func (p Plate) Draw(c vg.Canvas) { p.draw(newPen(c, p.Width, p.Height)) }

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

// plate makes a drawing of so much height. Its text alternative is a description, for readers of each system of
// units; a title would pop up over the read-out of values.
func (l layout) plate(h Head, height float64, system System, alternative Words, draw func(p *pen)) Plate {
	id := clean(h.ID) + "-words"
	us := id
	if alternative.US != "" {
		us = id + "-us"
	}
	head := canvas.Head{Class: "drawing " + l.name, Width: l.width, Height: height, Letter: l.letter, LabelledBy: TitleID(h), DescribedBy: id}
	if system == US {
		head.DescribedBy = us
	}
	if l.name == wide.name { // a description is read even from a drawing that isn't shown
		head.Descriptions = []canvas.Description{{ID: id, Text: clean(alternative.Metric)}}
		if us != id {
			head.Descriptions = append(head.Descriptions, canvas.Description{ID: us, Text: clean(alternative.US)})
		}
	}
	return newPlate(head, draw)
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
