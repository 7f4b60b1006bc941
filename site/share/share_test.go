package share

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"

	"turnplate/site/canvas"
)

// on is a drawing of 100 by 60 pixels.
func on(draw func(c vg.Canvas)) Drawing {
	return Drawing{Width: 100, Height: 60, Letter: 10, Draw: draw}
}

func card(draw func(c vg.Canvas)) Card {
	return Card{Site: "Site", Headline: "Title", Figure: "Figure", Wide: on(draw), Narrow: on(draw), Hidden: "in-us"}
}

// painted puts a drawing alone on white, in the picture's upper left corner.
func painted(scale float64, draw func(p *painter)) image.Image {
	p := newPainter()
	p.hidden = "in-us"
	p.drawing(on(func(vg.Canvas) { draw(p) }), 0, 0, scale)
	return p.img
}

// along is a stroke from place to place, y up.
func along(points ...vg.Point) (path vg.Path) {
	for i, p := range points {
		if i == 0 {
			path.Move(p)
		} else {
			path.Line(p)
		}
	}
	return path
}

var (
	white = color.RGBA{255, 255, 255, 255}
	red   = canvas.Bad
)

// A drawing lies where it is put, as large as it is said to be: lines get wider and dashes longer with it.
func TestDrawingsAreScaled(t *testing.T) {
	draw := func(p *painter) {
		p.SetColor(red)
		p.SetLineWidth(4)
		p.SetLineDash([]vg.Length{10, 10}, 0)
		p.Stroke(along(vg.Point{X: 10, Y: 40}, vg.Point{X: 60, Y: 40}))
	}
	for _, scale := range []float64{1, 2} {
		m := painted(scale, draw)
		for at, want := range map[image.Point]color.Color{
			{15, 20}: red, {15, 21}: red, {15, 18}: red, {15, 16}: white, {25, 20}: white, {35, 20}: red, {15, 40}: white,
		} {
			x, y := int(scale*float64(at.X)), int(scale*float64(at.Y))
			assert.Equal(t, color.RGBAModel.Convert(want), color.RGBAModel.Convert(m.At(x, y)), "%v, %g times", at, scale)
		}
	}
}

// What is for other readers doesn't show.
func TestOtherReaders(t *testing.T) {
	p := newPainter()
	p.hidden = "in-us"
	assert.True(t, p.Begin("in-metric"))
	assert.False(t, p.Begin("in-us"))
}

// dark counts the pixels of a box that are not white.
func dark(m image.Image, x0, x1, y0, y1 int) (n int) {
	for x := x0; x < x1; x++ {
		for y := y0; y < y1; y++ {
			if color.RGBAModel.Convert(m.At(x, y)) != white {
				n++
			}
		}
	}
	return n
}

func TestTexts(t *testing.T) {
	set := func(l canvas.Lettering) image.Image {
		l.Ink = canvas.Black
		return painted(1, func(p *painter) { p.Text(l, vg.Point{X: 50, Y: 30}, "mmmm") })
	}
	start := set(canvas.Lettering{Size: 10})
	assert.Positive(t, dark(start, 50, 100, 20, 32))
	assert.Zero(t, dark(start, 0, 49, 0, 60))
	assert.Zero(t, dark(start, 0, 100, 31, 60), "it stands on its baseline")
	middle := set(canvas.Lettering{Size: 10, Anchor: canvas.Middle})
	left, right := dark(middle, 0, 50, 20, 32), dark(middle, 50, 100, 20, 32)
	assert.InDelta(t, left, right, float64(left)/5)
	end := set(canvas.Lettering{Size: 10, Anchor: canvas.End})
	assert.Zero(t, dark(end, 51, 100, 0, 60))
	assert.Less(t, dark(set(canvas.Lettering{Size: 5}), 0, 100, 0, 60), dark(start, 0, 100, 0, 60)/2, "half the size")
	assert.Zero(t, dark(set(canvas.Lettering{Size: 10, For: "in-us"}), 0, 100, 0, 60))
	// A halo covers what lies under the letters, and no more.
	line := func(halo bool) image.Image {
		return painted(1, func(p *painter) {
			p.SetColor(red)
			p.SetLineWidth(1)
			p.Stroke(along(vg.Point{X: 0, Y: 29.5}, vg.Point{X: 100, Y: 29.5}))
			p.Text(canvas.Lettering{Size: 10, Ink: canvas.Paper, Halo: halo}, vg.Point{X: 50, Y: 30}, "mmmm")
		})
	}
	bare, clear := line(false), line(true)
	assert.Equal(t, color.RGBAModel.Convert(red), color.RGBAModel.Convert(clear.At(20, 30)))
	count := func(m image.Image) (n int) {
		for x := range 100 {
			if color.RGBAModel.Convert(m.At(x, 30)) == color.RGBAModel.Convert(red) {
				n++
			}
		}
		return n
	}
	assert.Less(t, count(clear), count(bare)-10)
}

func TestWrap(t *testing.T) {
	for text, most := range map[string]int{
		"": 3, "one": 3, "one two three four five six seven eight": 3, strings.Repeat("x", 500): 2, strings.Repeat("many words ", 100): 4,
		"short " + strings.Repeat("y", 300) + " end": 5, "a\x00b\u202e<&>": 1, "日本語 текст ελληνικά": 2,
	} {
		lines := wrap(text, bold, 30, 200, most)
		assert.LessOrEqual(t, len(lines), most, text)
		for _, l := range lines {
			assert.LessOrEqual(t, length(l, face(bold, 30)), 200.0, l)
			assert.NotEmpty(t, l)
		}
		if text == "one two three four five six seven eight" {
			assert.Equal(t, "one two three four five six seven eight", strings.Join(wrap(text, bold, 30, 200, 9), " "), "no word is lost")
		}
	}
}

// line draws one line and a word.
func line(c vg.Canvas) {
	c.SetColor(red)
	c.SetLineWidth(2)
	c.Stroke(along(vg.Point{}, vg.Point{X: 100, Y: 60}))
	c.(canvas.Layers).Text(canvas.Lettering{Ink: canvas.Black, Size: 10}, vg.Point{X: 5, Y: 50}, "label")
}

// speck draws next to nothing.
func speck(c vg.Canvas) {
	c.SetColor(red)
	c.SetLineWidth(2)
	c.Stroke(along(vg.Point{X: 10, Y: 50}, vg.Point{X: 12, Y: 50}))
}

// The same card gives the same bytes, of a size that can be sent, whatever the words are.
func TestCards(t *testing.T) {
	for _, title := range []string{"", "A", "How much caster is worth having?", strings.Repeat("Long title ", 60), strings.Repeat("W", 400), "<script>&\x00\u202e"} {
		for _, keys := range [][]Key{nil, {{on(line), strings.Repeat("key ", 90), true, true}}} {
			c := card(line)
			c.Headline, c.Rest, c.Figure, c.Site, c.Keys = title, title, title, title, keys
			data, err := PNG(c)
			require.NoError(t, err)
			again, err := PNG(c)
			require.NoError(t, err)
			require.Equal(t, data, again)
			assert.Less(t, len(data), 60_000)
			m, err := png.Decode(bytes.NewReader(data))
			require.NoError(t, err)
			assert.Equal(t, image.Rect(0, 0, Width, Height), m.Bounds())
		}
	}
}

// What is kept from one picture to the next shows in none: not another site's name, not another drawing.
func TestPicturesOneAfterAnother(t *testing.T) {
	plain, busy := card(speck), card(func(c vg.Canvas) {
		c.SetColor(canvas.Good)
		c.SetLineWidth(50)
		c.Stroke(along(vg.Point{Y: 30}, vg.Point{X: 100, Y: 30}))
		c.Scale(3, 3) // and leaves its canvas otherwise
	})
	busy.Site, busy.Headline = "Another site", "Another title"
	first, err := PNG(plain)
	require.NoError(t, err)
	other, err := PNG(busy)
	require.NoError(t, err)
	assert.NotEqual(t, first, other)
	again, err := PNG(plain)
	require.NoError(t, err)
	assert.Equal(t, first, again)
}

func TestAlike(t *testing.T) {
	for _, n := range []int{1, 2, 3, 30, 31, 32, 33, 34, 63, 64, 65, 96, 500} {
		for _, after := range []int{0, 1, 2, 40} {
			pixels := append(bytes.Repeat([]uint8{1, 2, 3, 255}, n), bytes.Repeat([]uint8{1, 2, 4, 255}, after)...)
			assert.Equal(t, n, alike(pixels), "%d and %d others", n, after)
		}
	}
}

// Colours that something was painted with survive, however little there is of them.
func TestColoursSurvive(t *testing.T) {
	c := card(speck)
	for _, l := range []string{"Many words with many edges", "and more of them"} {
		c.Headline += l
		c.Rest += strings.Repeat(l, 9)
	}
	data, err := PNG(c)
	require.NoError(t, err)
	m, err := png.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	assert.Contains(t, m.(*image.Paletted).Palette, color.RGBAModel.Convert(red))
}

func BenchmarkPNG(b *testing.B) {
	c := card(line)
	for b.Loop() {
		if _, err := PNG(c); err != nil {
			b.Fatal(err)
		}
	}
}
