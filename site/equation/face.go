package equation

import "strings"

// face is the style of letters in force.
type face int

const (
	usual      face = iota // one slanting letter each
	upright                // \mathrm: words
	bold                   // \mathbf: upright words
	boldItalic             // \boldsymbol
)

// The alphabets of bold letters that Unicode keeps for mathematics (Unicode 15.1, block 1D400 to 1D7FF).
var alphabets = []struct {
	first, last  rune
	bold, italic rune
}{
	{'A', 'Z', 0x1d400, 0x1d468}, {'a', 'z', 0x1d41a, 0x1d482}, {'0', '9', 0x1d7ce, 0x1d7ce},
	{'Α', 'Ω', 0x1d6a8, 0x1d71c}, {'α', 'ω', 0x1d6c2, 0x1d736},
}

// embolden turns letters into those of a bold alphabet; others stay as they are.
func embolden(name string, f face) string {
	return strings.Map(func(c rune) rune {
		for _, a := range alphabets {
			if c >= a.first && c <= a.last {
				to := a.bold
				if f == boldItalic {
					to = a.italic
				}
				return to + c - a.first
			}
		}
		return c
	}, name)
}
