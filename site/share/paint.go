package share

import (
	"encoding/xml"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"git.sr.ht/~sbinet/gg"
	"golang.org/x/image/font"
	"golang.org/x/image/math/fixed"
)

// painter puts SVG on pixels.
type painter struct {
	dc     *gg.Context
	styles *Styles
	hidden string
	faces  map[fontSize]font.Face
	// painted are the colours used, for the palette.
	painted []color.NRGBA
	// The drawing at hand: where its corner lies, and how many pixels one of its own is.
	x, y, scale float64
}

// node is an open element.
type node struct {
	name  string
	look  look
	attrs map[string]string
	text  strings.Builder
	skip  bool // nothing in it shows
}

// ink chooses a colour.
func (p *painter) ink(c color.NRGBA) {
	if opaque := (color.NRGBA{c.R, c.G, c.B, 255}); c.A == 255 && !slices.Contains(p.painted, opaque) {
		p.painted = append(p.painted, opaque)
	}
	p.dc.SetColor(c)
}

// svg paints a drawing with its upper left corner at a place.
func (p *painter) svg(text string, x, y, scale float64) error {
	p.x, p.y, p.scale = x, y, scale
	d := xml.NewDecoder(strings.NewReader(text))
	var stack []*node
	inDrawing := false
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return fmt.Errorf("share: a figure is not XML: %w", err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			n := &node{name: token.Name.Local, attrs: map[string]string{}}
			for _, a := range token.Attr {
				n.attrs[a.Name.Local] = a.Value
			}
			parent := look{}
			if len(stack) > 0 {
				parent, n.skip = stack[len(stack)-1].look, stack[len(stack)-1].skip
			}
			classes := strings.Fields(n.attrs["class"])
			for _, c := range classes {
				inDrawing = inDrawing || c == "drawing"
				n.skip = n.skip || p.hidden != "" && c == p.hidden
			}
			n.look = p.styles.of(parent, n.name, n.attrs, inDrawing)
			stack = append(stack, n)
			if !n.skip && n.name == "path" {
				if err := p.path(n); err != nil {
					return err
				}
			}
		case xml.CharData:
			if len(stack) > 0 {
				stack[len(stack)-1].text.Write(token)
			}
		case xml.EndElement:
			n := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			switch n.name {
			case "svg", "g", "path", "desc":
			case "text":
				if err := p.label(n); err != nil {
					return err
				}
			default:
				return fmt.Errorf("share: a figure holds <%s>, which can't be painted", n.name)
			}
		}
	}
}

// size reads the size of a drawing and of its letters.
func size(text string) (w, h, letter float64, err error) {
	d := xml.NewDecoder(strings.NewReader(text))
	for {
		token, err := d.Token()
		if err != nil {
			return 0, 0, 0, fmt.Errorf("share: a figure without a size: %w", err)
		}
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		for _, a := range start.Attr {
			if a.Name.Local == "viewBox" {
				if n := strings.Fields(a.Value); len(n) == 4 {
					w, _ = strconv.ParseFloat(n[2], 64)
					h, _ = strconv.ParseFloat(n[3], 64)
				}
			}
			if a.Name.Local == "font-size" {
				letter, _ = strconv.ParseFloat(a.Value, 64)
			}
		}
		if !(w > 0 && h > 0) {
			return 0, 0, 0, errors.New("share: a figure without a size")
		}
		return w, h, letter, nil
	}
}

func (p *painter) path(n *node) error {
	parts, err := parsePath(n.attrs["d"])
	if err != nil {
		return err
	}
	outline := func() {
		for _, part := range parts {
			for i, q := range part.points {
				x, y := p.x+q.x*p.scale, p.y+q.y*p.scale
				if i == 0 {
					p.dc.MoveTo(x, y)
				} else {
					p.dc.LineTo(x, y)
				}
			}
			if part.closed {
				p.dc.ClosePath()
			}
		}
	}
	fill, ok := p.styles.paint(n.look, "fill", "#000000")
	if !ok {
		return fmt.Errorf("share: %q has no fill that is a colour", n.attrs["class"])
	}
	if !fill.none {
		outline()
		p.ink(fill.at(n.look.number("fill-opacity", 1)))
		p.dc.Fill()
	}
	stroke, ok := p.styles.paint(n.look, "stroke", "none")
	if !ok {
		return fmt.Errorf("share: %q has no stroke that is a colour", n.attrs["class"])
	}
	if width := n.look.number("stroke-width", 1) * p.scale; !stroke.none && width > 0 {
		outline()
		p.ink(stroke.at(n.look.number("stroke-opacity", 1)))
		p.dc.SetLineWidth(width)
		p.dc.SetDash(dashes(n.look["stroke-dasharray"], p.scale)...)
		p.dc.SetLineCap(gg.LineCapButt)
		if n.look["stroke-linecap"] == "round" {
			p.dc.SetLineCap(gg.LineCapRound)
		}
		p.dc.SetLineJoin(gg.LineJoinBevel) // gg has no mitres; at these widths none is seen
		if n.look["stroke-linejoin"] == "round" {
			p.dc.SetLineJoin(gg.LineJoinRound)
		}
		p.dc.Stroke()
		p.dc.SetDash()
	}
	return nil
}

func dashes(text string, scale float64) (list []float64) {
	for _, f := range strings.FieldsFunc(text, func(c rune) bool { return c == ' ' || c == ',' }) {
		if v, err := strconv.ParseFloat(f, 64); err == nil && v >= 0 {
			list = append(list, v*scale)
		}
	}
	if len(list)%2 == 1 {
		list = append(list, list...)
	}
	return list
}

// label writes a text element, over a halo of the page's colour where it has one.
func (p *painter) label(n *node) error {
	text := strings.TrimSpace(n.text.String())
	if n.skip || text == "" {
		return nil
	}
	x, errX := strconv.ParseFloat(n.attrs["x"], 64)
	y, errY := strconv.ParseFloat(n.attrs["y"], 64)
	if err := errors.Join(errX, errY); err != nil {
		return fmt.Errorf("share: a text without a place: %w", err)
	}
	w := regular
	if n.look.number("font-weight", 400) >= 600 {
		w = bold
	}
	size := n.look.number("font-size", 16) * p.scale
	x, y = p.x+x*p.scale, p.y+y*p.scale
	switch long := length(text, p.face(w, size)); n.look["text-anchor"] {
	case "middle":
		x -= long / 2
	case "end":
		x -= long
	}
	if halo, ok := p.styles.paint(n.look, "stroke", "none"); ok && !halo.none {
		r := n.look.number("stroke-width", 1) / 2 * p.scale
		var around []image.Point
		for i := range 8 {
			s, c := math.Sincos(float64(i) * math.Pi / 4)
			around = append(around, image.Pt(int(math.Round(r*c)), int(math.Round(r*s))))
		}
		p.set(text, x, y, size, w, halo, around)
	}
	fill, ok := p.styles.paint(n.look, "fill", "#000000")
	if !ok {
		return fmt.Errorf("share: %q has no fill that is a colour", n.attrs["class"])
	}
	p.words(text, x, y, size, w, fill)
	return nil
}

// words writes one line with its baseline at y.
func (p *painter) words(text string, x, y, size float64, w weight, c colour) {
	p.set(text, x, y, size, w, c, []image.Point{{}})
}

// set writes a line several times, each moved by so many pixels; its letters are drawn once.
func (p *painter) set(text string, x, y, size float64, w weight, c colour, moves []image.Point) {
	p.ink(c.at(1))
	dst, src := p.pixels(), image.NewUniform(c.at(1))
	dot := fixed.Point26_6{X: fixed.Int26_6(math.Round(x * 64)), Y: fixed.Int26_6(math.Round(y * 64))}
	f := p.face(w, size)
	previous := rune(-1)
	for _, letter := range text {
		if previous >= 0 {
			dot.X += f.Kern(previous, letter)
		}
		box, mask, at, advance, _ := f.Glyph(dot, letter)
		for _, by := range moves {
			draw.DrawMask(dst, box.Add(by), src, image.Point{}, mask, at, draw.Over)
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
