// Package share draws the picture that stands for a page where it is talked about: what it found beside one of
// its figures, as a PNG that any forum and messenger can show.
//
//	Card     what is on the picture
//	PNG      the picture, 1200 by 630 pixels; the same card gives the same bytes
//	painter  gonum's canvas of pixels (paint.go)
//	reducer  few colours, for a picture that weighs little (palette.go)
//
// A figure looks as it does on its page, in the light theme, because the same drawing is drawn on another canvas.
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
	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"gonum.org/v1/plot/vg"

	"turnplate/site/canvas"
)

// Card is what a picture shows.
type Card struct {
	Site, Page     string  // titles; no Page where the headline is its title
	Headline, Rest string  // what the page found, and what it says beside that
	Figure         string  // the figure's title
	Wide, Narrow   Drawing // of the figure
	Keys           []Key   // its legend
	Hidden         string  // the class of what is for readers of other units
}

// Drawing is what can be drawn on a canvas, so many pixels large at its own size.
type Drawing struct {
	Width, Height, Letter float64 // Letter: size of its letters
	Draw                  func(vg.Canvas)
}

// Key is one line of the legend.
type Key struct {
	Swatch       Drawing
	Label        string
	Wide, Narrow bool // which drawing needs it
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

// easel is what a picture is made on. There are as many as pictures are made at once: each takes five
// megabytes, which would be most of what a site's writing asks of the memory.
type easel struct {
	painter *painter
	reducer reducer
	encoder png.EncoderBuffer
}

// easels are those at rest. They are few, and kept: a pool that the garbage collector empties would have them made anew
// for every other picture, which takes as long as the picture.
var easels = make(chan *easel, 4)

func takeEasel() *easel {
	select {
	case e := <-easels:
		return e
	default:
		return &easel{painter: newPainter()}
	}
}

func (e *easel) rest() {
	select {
	case easels <- e:
	default:
	}
}

// Get and Put lend the easel's buffer to the encoder.
func (e *easel) Get() *png.EncoderBuffer { return &e.encoder }
func (e *easel) Put(*png.EncoderBuffer)  {}

// PNG draws the card.
func PNG(c Card) ([]byte, error) {
	on := takeEasel()
	defer on.rest()
	p := on.painter
	p.hidden, p.painted, p.faces = c.Hidden, nil, map[fontSize]font.Face{} // sizes differ from drawing to drawing
	p.page(c.Site)
	if c.Page != "" {
		room := Width - 3*margin - length(c.Site, face(bold, 26))
		name := fit(c.Page, regular, 22, room)
		p.words(name, Width-margin-length(name, face(regular, 22)), 56, 22, regular, canvas.Soft)
	}
	// The arrangement with the larger letters.
	if beside, below := p.planBeside(c), p.planBelow(c); beside.letter >= below.letter {
		p.beside(c, beside)
	} else {
		p.below(c, below)
	}
	var out bytes.Buffer
	encoder := png.Encoder{CompressionLevel: png.BestSpeed, BufferPool: on}
	if err := encoder.Encode(&out, on.reducer.reduced(p.img, p.painted)); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// lastHead is the head of the picture made last: all of a site's pictures have the same.
var lastHead struct {
	sync.Mutex
	site    string
	pixels  []uint8 // never changed
	painted []color.NRGBA
}

// page draws the paper, the site's name and the graduated rule that heads its pages.
func (p *painter) page(site string) {
	lastHead.Lock()
	if lastHead.pixels == nil || lastHead.site != site {
		p.head(site)
		lastHead.site = site
		lastHead.pixels, lastHead.painted = slices.Clone(p.img.Pix), slices.Clone(p.painted)
		lastHead.Unlock()
		return
	}
	pixels, painted := lastHead.pixels, lastHead.painted
	lastHead.Unlock()
	copy(p.img.Pix, pixels)
	p.painted = slices.Clone(painted)
}

func (p *painter) head(site string) {
	draw.Draw(p.img, p.img.Bounds(), image.NewUniform(canvas.Paper), image.Point{}, draw.Src)
	p.painted = []color.NRGBA{canvas.Paper.Value()} // first in the palette
	p.words(fit(site, bold, 26, Width-2*margin), margin, 56, 26, bold, canvas.Black)
	p.drawing(Drawing{Width: Width, Height: Height, Draw: graduated}, 0, 0, 1)
}

// graduated draws the rule with graduations that heads every page.
func graduated(c vg.Canvas) {
	var path vg.Path
	bar := func(x, y, w, h vg.Length) {
		path.Move(vg.Point{X: x, Y: Height - y})
		path.Line(vg.Point{X: x + w, Y: Height - y})
		path.Line(vg.Point{X: x + w, Y: Height - y - h})
		path.Line(vg.Point{X: x, Y: Height - y - h})
		path.Close()
	}
	bar(0, 78, Width, 1.5)
	for x := vg.Length(0); x < Width; x += 10 {
		long := vg.Length(7)
		if int(x)%50 == 0 {
			long = 14
		}
		bar(x, 78, 1.5, long)
	}
	c.SetColor(canvas.Soft.Faint(0.7))
	c.Fill(path)
}

// arrangement is where a drawing goes.
type arrangement struct {
	title       []string // in lines: the figure's beside, the page's above
	x, y, scale float64
	letter      float64 // size of the drawing's letters
	size        float64 // of the headline above
}

func arrange(d Drawing, width, top, bottom float64) (a arrangement) {
	a.y, a.scale = top, min(width/d.Width, (bottom-top)/d.Height)
	a.letter = d.Letter * a.scale
	return a
}

// planBeside has words at the left and the narrow drawing at the right.
func (p *painter) planBeside(c Card) (a arrangement) {
	const least = 380 // of the width that the figure's title has
	for lines := 1.0; lines <= 2; lines++ {
		a = arrange(c.Narrow, Width/2-margin, top+12+30*lines, bottom)
		width := max(c.Narrow.Width*a.scale-edge, least)
		a.title, a.x = wrap(c.Figure, bold, 22, width, int(lines)), Width-margin-width
		if len(wrap(c.Figure, bold, 22, width, 2)) < 2 {
			break
		}
	}
	return a
}

func (p *painter) beside(c Card, a arrangement) {
	right := a.x
	column := right - gutter - margin
	y := p.title(c.Headline, column)
	low := float64(bottom)
	for i := len(c.Keys) - 1; i >= 0; i-- { // from the bottom up, as far as there is room
		if !c.Keys[i].Narrow {
			continue
		}
		if low < y+50 {
			break
		}
		p.key(c.Keys[i], margin, low, column-66)
		low -= 34
	}
	p.paragraph(c.Rest, column, y+16, low-20)
	for i, l := range a.title {
		p.words(l, right, top+20+30*float64(i), 22, bold, canvas.Black)
	}
	p.drawing(c.Narrow, a.x, a.y, a.scale)
}

// key writes a line of the legend.
func (p *painter) key(k Key, x, y, width float64) {
	p.words(fit(k.Label, regular, 22, width), x+66, y, 22, regular, canvas.Black)
	p.drawing(k.Swatch, x, y-19, 1.5)
}

// planBelow has the wide drawing under the titles and the legend.
func (p *painter) planBelow(c Card) arrangement {
	size, lines := 40.0, wrap(c.Headline, bold, 40, Width-2*margin, 3)
	if len(lines) > 2 {
		size = 32
		lines = wrap(c.Headline, bold, size, Width-2*margin, 3)
	}
	y := top - 8 + 1.15*size*float64(len(lines)) + 48 + 14
	if slices.ContainsFunc(c.Keys, func(k Key) bool { return k.Wide }) {
		y += 36
	}
	a := arrange(c.Wide, Width-2*margin+2*edge, y, bottom+16)
	a.title, a.size, a.x = lines, size, (Width-c.Wide.Width*a.scale)/2
	return a
}

func (p *painter) below(c Card, a arrangement) {
	y := float64(top) - 8
	for _, l := range a.title {
		y += 1.15 * a.size
		p.words(l, margin, y, a.size, bold, canvas.Black)
	}
	y += 48
	p.words(fit(c.Figure, bold, 22, Width-2*margin), margin, y, 22, bold, canvas.Black)
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
		p.key(k, x, y, long)
		x += long + 36
	}
	p.drawing(c.Wide, a.x, a.y, a.scale)
}

// title writes the title as large as it fits into five lines, and gives where the last one stands.
func (p *painter) title(text string, column float64) (y float64) {
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
		p.words(l, margin, y, size, bold, canvas.Black)
	}
	return y
}

// paragraph writes a text between two heights, cut where there is no more room.
func (p *painter) paragraph(text string, column, from, to float64) {
	const size, step = 24, 34
	most := int((to - from) / step)
	if text == "" || most < 1 {
		return
	}
	for i, l := range wrap(text, regular, size, column, most) {
		p.words(l, margin, from+step*float64(i+1), size, regular, canvas.Soft)
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
	return strings.Join(wrap(text, w, size, width, 1), "")
}

// wrap breaks a text into at most so many lines of a width. What doesn't fit is cut, with an ellipsis.
func wrap(text string, w weight, size, width float64, most int) []string {
	f := face(w, size)
	lines, _ := canvas.Wrap(strings.Fields(text), most, func(line string) bool { return length(line, f) <= width })
	return lines
}
