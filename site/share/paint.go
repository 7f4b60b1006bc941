package share

import (
	"image"
	"image/color"
	"image/draw"
	"math"
	"slices"

	"git.sr.ht/~sbinet/gg"
	"golang.org/x/image/font"
	"golang.org/x/image/math/fixed"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgimg"

	"turnplate/site/canvas"
)

// painter is gonum's canvas of pixels, with what figures ask of ours: groups for some readers alone, and letters with
// paper around them. Lines and letters are as much larger as what is drawn.
type painter struct {
	*vgimg.Canvas
	img     *image.RGBA
	hidden  string // class of what is for other readers
	faces   map[fontSize]font.Face
	painted []color.NRGBA // colours used, for the palette
	// The drawing at hand: where its corner lies, how high it is, and how many pixels one of its own is.
	x, y, height, scale float64
}

func newPainter() *painter {
	img := image.NewRGBA(image.Rect(0, 0, Width, Height))
	dc := gg.NewContextForRGBA(img)
	dc.SetLineCapButt()
	dc.InvertY()
	const inch = 72 // points, so that one is a pixel
	return &painter{img: img, Canvas: vgimg.NewWith(vgimg.UseImageWithContext(img, dc), vgimg.UseDPI(inch)), faces: map[fontSize]font.Face{}}
}

// drawing draws with the upper left corner at a place.
func (p *painter) drawing(d Drawing, x, y, scale float64) {
	p.x, p.y, p.height, p.scale = x, y, d.Height, scale
	p.Push()
	p.Translate(vg.Point{X: vg.Length(x), Y: vg.Length(Height - y - d.Height*scale)})
	p.Scale(scale, scale)
	d.Draw(p)
	p.Pop()
}

// SetLineWidth is vg.Canvas's; gonum's canvas leaves widths as they are when it is scaled.
func (p *painter) SetLineWidth(w vg.Length) { p.Canvas.SetLineWidth(w * vg.Length(p.scale)) }

// SetLineDash is the same for dashes.
func (p *painter) SetLineDash(pattern []vg.Length, offset vg.Length) {
	list := make([]vg.Length, len(pattern))
	for i, d := range pattern {
		list[i] = d * vg.Length(p.scale)
	}
	p.Canvas.SetLineDash(list, offset*vg.Length(p.scale))
}

// SetColor keeps colours for the palette.
func (p *painter) SetColor(c color.Color) {
	if c == nil { // of a line without a width
		c = canvas.Black
	}
	p.ink(color.NRGBAModel.Convert(c).(color.NRGBA))
	p.Canvas.SetColor(c)
}

func (p *painter) ink(c color.NRGBA) {
	if c.A == 255 && !slices.Contains(p.painted, c) {
		p.painted = append(p.painted, c)
	}
}

// Begin says whether a group is for this picture's readers.
func (p *painter) Begin(class string) (seen bool) { return class != p.hidden }

// End has nothing to close.
func (p *painter) End() {}

// Text sets one line of a drawing, over a halo of paper where it has one.
func (p *painter) Text(l canvas.Lettering, at vg.Point, text string) {
	if l.For != "" && l.For == p.hidden {
		return
	}
	w := regular
	if l.Bold {
		w = bold
	}
	size := l.Size * p.scale
	x, y := p.x+float64(at.X)*p.scale, p.y+(p.height-float64(at.Y))*p.scale
	switch l.Anchor {
	case canvas.Middle:
		x -= length(text, p.face(w, size)) / 2
	case canvas.End:
		x -= length(text, p.face(w, size))
	}
	if l.Halo {
		const wide = 1.5 // as the page's style sheet has it
		r := wide * p.scale
		var around []image.Point
		for i := range 8 {
			s, c := math.Sincos(float64(i) * math.Pi / 4)
			around = append(around, image.Pt(int(math.Round(r*c)), int(math.Round(r*s))))
		}
		p.set(text, x, y, size, w, canvas.Paper, around)
	}
	p.words(text, x, y, size, w, l.Ink)
}

// words writes one line with its baseline at y.
func (p *painter) words(text string, x, y, size float64, w weight, c canvas.Ink) {
	p.set(text, x, y, size, w, c, []image.Point{{}})
}

// set writes a line several times, each moved by so many pixels; its letters are drawn once.
func (p *painter) set(text string, x, y, size float64, w weight, c canvas.Ink, moves []image.Point) {
	p.ink(c.Value())
	src := image.NewUniform(c.Value())
	dot := fixed.Point26_6{X: fixed.Int26_6(math.Round(x * 64)), Y: fixed.Int26_6(math.Round(y * 64))}
	f := p.face(w, size)
	previous := rune(-1)
	for _, letter := range text {
		if previous >= 0 {
			dot.X += f.Kern(previous, letter)
		}
		box, mask, at, advance, _ := f.Glyph(dot, letter)
		for _, by := range moves {
			draw.DrawMask(p.img, box.Add(by), src, image.Point{}, mask, at, draw.Over)
		}
		dot.X += advance
		previous = letter
	}
}

// fontSize is one cut of the letters.
type fontSize struct {
	weight weight
	size   float64
}

// face gives a cut, set up once.
func (p *painter) face(w weight, size float64) font.Face {
	key := fontSize{w, size}
	if p.faces[key] == nil {
		p.faces[key] = face(w, size)
	}
	return p.faces[key]
}
