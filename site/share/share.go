// Package share draws the picture that stands for a page where it is talked about: its title beside one of
// its figures, as a PNG that any forum and messenger can show.
//
//	Card    what is on the picture
//	PNG     the picture, 1200 by 630 pixels; the same card gives the same bytes
//	styles  the looks of the page's own style sheet (style.go)
//	painter the figures' own SVG on a grid of pixels (paint.go, path.go)
//
// A figure looks as it does on its page, in the light theme, because both come from one drawing and one
// style sheet. Of SVG and CSS it knows what package figure and that style sheet use, and no more: a test
// fails when they use something new.
package share

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"slices"
	"strings"
	"sync"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"git.sr.ht/~sbinet/gg"
	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
)

// Card is what a picture shows.
type Card struct {
	Site, Title, Summary string
	Figure               string  // the figure's title
	Wide, Narrow         string  // its two drawings, SVG elements of package figure
	Keys                 []Key   // its legend
	Styles               *Styles // the page's looks
	Hidden               string  // the class of elements for readers of other units
}

// Key is one line of the legend.
type Key struct {
	Swatch, Label string
	Wide, Narrow  bool // which drawing needs it
}

// Width and Height are what the sites that show such pictures ask for: 1.91 to 1, at least 1200 across
// (common practice, no source).
const Width, Height = 1200, 630

const (
	margin = 64
	gutter = 46  // between words and figure
	top    = 112 // below the heading line
	bottom = Height - 44
	edge   = 14 // that a drawing has around it
)

// canvas is what a picture is made on. There are as many as pictures are made at once: each takes five
// megabytes, which would be most of what a site's writing asks of the memory.
type canvas struct {
	dc      *gg.Context
	reducer reducer
	encoder png.EncoderBuffer
}

var canvases = sync.Pool{New: func() any { return &canvas{dc: gg.NewContext(Width, Height)} }}

// Get and Put lend the canvas's buffer to the encoder.
func (c *canvas) Get() *png.EncoderBuffer { return &c.encoder }
func (c *canvas) Put(*png.EncoderBuffer)  {}

// PNG draws the card.
func PNG(c Card) ([]byte, error) {
	on := canvases.Get().(*canvas)
	defer canvases.Put(on)
	p := &painter{dc: on.dc, styles: c.Styles, faces: map[fontSize]font.Face{}, hidden: c.Hidden}
	p.page(c.Site)
	beside, err := p.planBeside(c)
	if err != nil {
		return nil, err
	}
	below, err := p.planBelow(c)
	if err != nil {
		return nil, err
	}
	// The arrangement with the larger letters.
	if beside.letter >= below.letter {
		err = p.beside(c, beside)
	} else {
		err = p.below(c, below)
	}
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	encoder := png.Encoder{CompressionLevel: png.BestSpeed, BufferPool: on}
	if err := encoder.Encode(&out, on.reducer.reduced(p.pixels(), p.painted)); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

func (p *painter) pixels() *image.RGBA { return p.dc.Image().(*image.RGBA) }

func (p *painter) named(variable string) colour {
	c, _ := p.styles.colour(variable)
	return c
}

// lastHead is the head of the picture made last: all of a site's pictures have the same.
var lastHead struct {
	sync.Mutex
	site    string
	styles  *Styles
	pixels  []uint8 // never changed
	painted []color.NRGBA
}

// page draws the paper, the site's name and the graduated rule that heads its pages.
func (p *painter) page(site string) {
	lastHead.Lock()
	if lastHead.pixels == nil || lastHead.site != site || lastHead.styles != p.styles {
		p.head(site)
		lastHead.site, lastHead.styles = site, p.styles
		lastHead.pixels, lastHead.painted = slices.Clone(p.pixels().Pix), slices.Clone(p.painted)
		lastHead.Unlock()
		return
	}
	pixels, painted := lastHead.pixels, lastHead.painted
	lastHead.Unlock()
	copy(p.pixels().Pix, pixels)
	p.painted = slices.Clone(painted)
}

func (p *painter) head(site string) {
	paper := p.named("--paper").at(1)
	p.painted = append(p.painted, paper)
	draw.Draw(p.pixels(), p.pixels().Bounds(), image.NewUniform(paper), image.Point{}, draw.Src)
	p.words(fit(site, bold, 26, Width-2*margin), margin, 56, 26, bold, p.named("--ink"))
	p.ink(p.named("--soft").at(0.7))
	p.dc.DrawRectangle(0, 78, Width, 1.5)
	for x := 0; x < Width; x += 10 {
		long := 7.0
		if x%50 == 0 {
			long = 14
		}
		p.dc.DrawRectangle(float64(x), 78, 1.5, long)
	}
	p.dc.Fill()
}

// arrangement is where a drawing goes.
type arrangement struct {
	title       []string // in lines: the figure's beside, the page's above
	x, y, scale float64
	letter      float64 // size of the drawing's letters
}

func arrange(drawing string, width float64, top, bottom float64) (a arrangement, w float64, err error) {
	w, h, letter, err := size(drawing)
	a.y, a.scale = top, min(width/w, (bottom-top)/h)
	a.letter = letter * a.scale
	return a, w, err
}

// planBeside has words at the left and the narrow drawing at the right.
func (p *painter) planBeside(c Card) (arrangement, error) {
	const least = 380 // of the width that the figure's title has
	var a arrangement
	for lines := 1.0; lines <= 2; lines++ {
		next, w, err := arrange(c.Narrow, Width/2-margin, top+12+30*lines, bottom)
		if err != nil {
			return a, err
		}
		width := max(w*next.scale-edge, least)
		next.title, next.x = wrap(c.Figure, bold, 22, width, int(lines)), Width-margin-width
		if a = next; len(wrap(c.Figure, bold, 22, width, 2)) < 2 {
			break
		}
	}
	return a, nil
}

func (p *painter) beside(c Card, a arrangement) error {
	ink, soft := p.named("--ink"), p.named("--soft")
	right := a.x
	column := right - gutter - margin
	y := p.title(c.Title, column, ink)
	low := float64(bottom)
	for i := len(c.Keys) - 1; i >= 0; i-- { // from the bottom up, as far as there is room
		if !c.Keys[i].Narrow {
			continue
		}
		if low < y+50 {
			break
		}
		if err := p.key(c.Keys[i], margin, low, column-66); err != nil {
			return err
		}
		low -= 34
	}
	p.paragraph(c.Summary, column, y+16, low-20, soft)
	for i, l := range a.title {
		p.words(l, right, top+20+30*float64(i), 22, bold, ink)
	}
	return p.svg(c.Narrow, a.x, a.y, a.scale)
}

// key writes a line of the legend.
func (p *painter) key(k Key, x, y, width float64) error {
	p.words(fit(k.Label, regular, 22, width), x+66, y, 22, regular, p.named("--ink"))
	return p.svg(k.Swatch, x, y-19, 1.5)
}

// planBelow has the wide drawing under the titles and the legend.
func (p *painter) planBelow(c Card) (arrangement, error) {
	lines := wrap(c.Title, bold, 40, Width-2*margin, 2)
	y := top - 8 + 46*float64(len(lines)) + 48 + 14
	if slices.ContainsFunc(c.Keys, func(k Key) bool { return k.Wide }) {
		y += 36
	}
	a, w, err := arrange(c.Wide, Width-2*margin+2*edge, y, bottom+16)
	a.title, a.x = lines, (Width-w*a.scale)/2
	return a, err
}

func (p *painter) below(c Card, a arrangement) error {
	ink := p.named("--ink")
	y := float64(top) - 8
	for _, l := range a.title {
		y += 46
		p.words(l, margin, y, 40, bold, ink)
	}
	y += 48
	p.words(fit(c.Figure, bold, 22, Width-2*margin), margin, y, 22, bold, ink)
	y += 36
	x := float64(margin)
	for _, k := range c.Keys {
		if !k.Wide {
			continue
		}
		long := 66 + length(k.Label, face(regular, 22))
		if x+long > Width-margin {
			break
		}
		if err := p.key(k, x, y, long); err != nil {
			return err
		}
		x += long + 36
	}
	return p.svg(c.Wide, a.x, a.y, a.scale)
}

// title writes the title as large as it fits into five lines, and gives where the last one stands.
func (p *painter) title(text string, column float64, ink colour) (y float64) {
	size := 54.0
	lines := wrap(text, bold, size, column, 99)
	for ; size > 34 && len(lines) > 5; size -= 4 {
		lines = wrap(text, bold, size-4, column, 99)
	}
	if len(lines) > 6 {
		lines = wrap(text, bold, size, column, 6)
	}
	y = top + 46
	for i, l := range lines {
		if i > 0 {
			y += 1.16 * size
		}
		p.words(l, margin, y, size, bold, ink)
	}
	return y
}

// paragraph writes a text between two heights, cut where there is no more room.
func (p *painter) paragraph(text string, column, from, to float64, c colour) {
	const size, step = 24, 34
	most := int((to - from) / step)
	if text == "" || most < 1 {
		return
	}
	for i, l := range wrap(text, regular, size, column, most) {
		p.words(l, margin, from+step*float64(i+1), size, regular, c)
	}
}

type weight int

const (
	regular weight = iota
	bold
)

// fonts are those whose outlines the program carries, as gonum's plots do.
var fonts = sync.OnceValue(func() (list [2]*opentype.Font) {
	for i, data := range [][]byte{liberationsansregular.TTF, liberationsansbold.TTF} {
		f, err := opentype.Parse(data)
		if err != nil {
			panic(fmt.Sprintf("share: the program's own font can't be read: %v", err))
		}
		list[i] = f
	}
	return list
})

func face(w weight, size float64) font.Face {
	f, err := opentype.NewFace(fonts()[w], &opentype.FaceOptions{Size: size, DPI: 72})
	if err != nil {
		panic(fmt.Sprintf("share: a font of size %v: %v", size, err)) // sizes are positive numbers
	}
	return f
}

func length(text string, f font.Face) float64 { return float64(font.MeasureString(f, text)) / 64 }

// fit shortens a text to a width, with an ellipsis.
func fit(text string, w weight, size, width float64) string {
	lines := wrap(text, w, size, width, 1)
	if len(lines) == 0 {
		return ""
	}
	return lines[0]
}

// wrap breaks a text into at most so many lines of a width. What doesn't fit is cut, with an ellipsis.
func wrap(text string, w weight, size, width float64, most int) (lines []string) {
	f := face(w, size)
	words := strings.Fields(text)
	line := ""
	for i, word := range words {
		try := strings.TrimSpace(line + " " + word)
		if length(try, f) <= width {
			line = try
			continue
		}
		if line == "" || len(lines) == most-1 {
			line = shorten(try, f, width)
			if len(lines) == most-1 {
				return append(lines, line)
			}
			lines, line = append(lines, line), ""
			continue
		}
		lines, line = append(lines, line), word
		if length(word, f) > width || i == len(words)-1 {
			line = shorten(word, f, width)
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

func shorten(text string, f font.Face, width float64) string {
	if length(text, f) <= width {
		return text
	}
	letters := []rune(text)
	for len(letters) > 0 && length(string(letters)+"…", f) > width {
		letters = letters[:len(letters)-1]
	}
	return strings.TrimRight(string(letters), " ") + "…"
}
