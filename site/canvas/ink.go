// Package canvas is what figures are drawn on: gonum's vg.Canvas, written as SVG.
//
//	Ink     a colour by name: its class on a page, its value in the light theme elsewhere
//	SVG     a vg.Canvas that writes an SVG element with live text
//	Layers  what a canvas may know beyond vg.Canvas: groups for some readers alone, and text by its anchor
//
// Lengths are pixels of the drawing, one to a vg.Length. Colours belong to the page's style sheet, so that they
// follow its theme: a path or text carries its ink's name as a class, and the style sheet gives each such class
// its colour. There is no inline style, which a page forbids.
package canvas

import (
	"image/color"
	"strconv"
)

// Ink is a colour with a name.
type Ink struct {
	name  string
	value color.NRGBA
}

// RGBA is the ink's value in the light theme, as every color.Color gives it.
func (i Ink) RGBA() (r, g, b, a uint32) { return i.value.RGBA() }

// Value is the same, before it is multiplied by how opaque it is.
func (i Ink) Value() color.NRGBA { return i.value }

// Name is the ink's class.
func (i Ink) Name() string { return i.name }

// Faint is the ink as thin as a share of itself.
func (i Ink) Faint(share float64) Ink {
	i.value.A = uint8(share*255 + 0.5)
	return i
}

func ink(name string, rgb uint32) Ink {
	return Ink{name, color.NRGBA{uint8(rgb >> 16), uint8(rgb >> 8), uint8(rgb), 255}}
}

// The inks. A test of package page holds these values to those of its style sheet.
var (
	Paper = ink("paper", 0xfcfcfa)
	Wash  = ink("wash", 0xf1f3f1)
	Rule  = ink("rule", 0xcfd5d3)
	Soft  = ink("soft", 0x566068)
	Black = ink("ink", 0x1a2024)
	Mark  = ink("mark", 0xa3470f)
	Good  = ink("good", 0x14694a)
	Bad   = ink("bad", 0xa8261c)

	separate = [Hues]uint32{0x1560bb, 0xcf3d10, 0x0f8f69, 0xa03a90, 0x927d2a, 0x4d5963}
	ordered  = [Hues]uint32{0x4f97a3, 0x36808f, 0x226a7b, 0x145466, 0x0a3e4f, 0x042a38}
)

// Hues is how many colours there are to tell things apart, and as many steps of one quantity.
const Hues = 6

// Separate is the colour of thing i, from 0; after Hues they come again.
func Separate(i int) Ink { return ink("s"+strconv.Itoa(i%Hues+1), separate[i%Hues]) }

// Step is step i of one quantity, from light to dark, from 0 to Hues-1.
func Step(i int) Ink { return ink("q"+strconv.Itoa(i+1), ordered[i]) }

// opacity is an ink's share of itself, as an attribute.
func opacity(c color.Color) string {
	_, _, _, a := c.RGBA()
	if a == 0xffff {
		return ""
	}
	return strconv.FormatFloat(float64(a)/0xffff, 'f', 2, 64)
}
