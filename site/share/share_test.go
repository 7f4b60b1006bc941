package share

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"strings"
	"testing"

	"git.sr.ht/~sbinet/gg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font"
)

// sheet is a style sheet as small as it can be, with what must be passed over.
const sheet = `/* .mark { fill: #000000; } */
:root { --paper: #ffffff; --ink: #102030; --soft: #808080; --red: #ff0000; --blue: #0000ff; }
@media (prefers-color-scheme: dark) { :root { --paper: #000000; } .mark { fill: #00ff00; } }
.s1 { --c: var(--red); } .s2 { --c: var(--blue); }
.mark { fill: var(--c); stroke: none; }
.line { stroke: var(--c); stroke-width: 4; }
.line, .other { fill: none; }
.thin.line { stroke-width: 1px; }
.drawing text { fill: var(--ink); }
.drawing .quiet { fill: var(--soft); font-size: .5em; }
.swatch .mark { fill: #123456; }
@media print { .mark { fill: #00ff00; } }
`

const head = `<svg class="drawing narrow" viewBox="0 0 100 60" font-size="10">`

func card(inside string) Card {
	drawing := head + inside + "</svg>"
	return Card{Site: "Site", Title: "Title", Figure: "Figure", Wide: drawing, Narrow: drawing, Styles: ReadStyles(sheet), Hidden: "in-us"}
}

// painted puts a drawing alone on white, a pixel for each of its own.
func painted(t *testing.T, inside string) image.Image {
	t.Helper()
	p := &painter{dc: gg.NewContext(100, 60), styles: ReadStyles(sheet), faces: map[fontSize]font.Face{}, hidden: "in-us"}
	p.dc.SetColor(color.White)
	p.dc.Clear()
	require.NoError(t, p.svg(head+inside+"</svg>", 0, 0, 1))
	return p.dc.Image()
}

var (
	white = color.RGBA{255, 255, 255, 255}
	red   = color.RGBA{255, 0, 0, 255}
	blue  = color.RGBA{0, 0, 255, 255}
)

func TestShapes(t *testing.T) {
	for inside, want := range map[string]map[image.Point]color.RGBA{
		`<g class="s1"><path class="mark" d="M10 10h20v20h-20Z"/></g>`:                       {{15, 15}: red, {5, 5}: white, {35, 15}: white},
		`<g class="s1"><g class="s2"><path class="mark" d="M10 10H30V30H10z"/></g></g>`:      {{15, 15}: blue},
		`<g class="s1 in-us"><path class="mark" d="M10 10h20v20h-20Z"/></g>`:                 {{15, 15}: white},
		`<path class="line s1" d="M10 20h50"/>`:                                              {{30, 20}: red, {30, 18}: red, {30, 15}: white, {70, 20}: white},
		`<path class="line thin s1" d="M10 20.5h50"/>`:                                       {{30, 20}: red, {30, 18}: white},
		`<path class="line s1" d="M10 20h50" stroke-dasharray="10 10"/>`:                     {{15, 20}: red, {25, 20}: white, {35, 20}: red},
		`<path class="mark s1" d="M10 30a10 10 0 1 1 0 .1Z"/>`:                               {{20, 30}: red, {9, 30}: white, {28, 30}: red, {31, 30}: white},
		`<path class="mark s1" d="M10 30A10 10 0 0 1 30 30Z"/>`:                              {{20, 25}: red, {20, 35}: white},
		`<path class="mark s1" d="M10 30A10 10 0 0 0 30 30Z"/>`:                              {{20, 25}: white, {20, 35}: red},
		`<path class="mark s1" d="M10 10h20v20h-20Zm40 0h20v20h-20Z"/>`:                      {{15, 15}: red, {55, 15}: red, {40, 15}: white},
		`<path class="mark s1" fill-opacity=".5" d="M10 10h20v20h-20Z"/>`:                    {{15, 15}: {255, 127, 127, 255}},
		`<desc>M10 10h20v20h-20Z</desc><path class="mark s1" d="M10,10 30,10 30,30-5 30Z"/>`: {{15, 15}: red},
	} {
		m := painted(t, inside)
		for at, colour := range want {
			assert.Equal(t, colour, color.RGBAModel.Convert(m.At(at.X, at.Y)), "%s at %v", inside, at)
		}
	}
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
	start := painted(t, `<text x="50" y="30">mmmm</text>`)
	assert.Positive(t, dark(start, 50, 100, 20, 32))
	assert.Zero(t, dark(start, 0, 49, 0, 60))
	middle := painted(t, `<g text-anchor="middle"><text x="50" y="30">mmmm</text></g>`)
	left, right := dark(middle, 0, 50, 20, 32), dark(middle, 50, 100, 20, 32)
	assert.InDelta(t, left, right, float64(left)/5)
	end := painted(t, `<text x="50" y="30" text-anchor="end">mmmm</text>`)
	assert.Zero(t, dark(end, 51, 100, 0, 60))
	quiet := painted(t, `<text class="quiet" x="50" y="30">mmmm</text>`)
	assert.Less(t, dark(quiet, 0, 100, 0, 60), dark(start, 0, 100, 0, 60)/2, "half the size")
	assert.Zero(t, dark(painted(t, `<text class="in-us" x="50" y="30">mmmm</text>`), 0, 100, 0, 60))
}

func TestRefusals(t *testing.T) {
	for inside, says := range map[string]string{
		`<circle r="3"/>`:                                "<circle>",
		`<path class="mark" d="M1 1h1"/>`:                "no fill that is a colour",
		`<path class="mark s1" d="M1 1q1 1 2"/>`:         "the command q",
		`<path class="mark s1" d="1 1"/>`:                "path data",
		`<path class="mark s1" d="l1 1"/>`:               "without a move",
		`<path class="mark s1" d="M1"/>`:                 "is no number",
		`<path class="mark s1" d="M1 1a1 2 0 0 1 3 3"/>`: "no circle",
		`<text x="a" y="1">x</text>`:                     "without a place",
		`<text`:                                          "not XML",
	} {
		_, err := PNG(card(inside))
		if assert.Error(t, err, inside) {
			assert.Contains(t, err.Error(), says, inside)
		}
	}
	c := card("")
	c.Wide = `<svg class="drawing wide"></svg>`
	_, err := PNG(c)
	assert.ErrorContains(t, err, "without a size")
}

// A circle's points lie on it, and go round the way that the flags say.
func TestArc(t *testing.T) {
	parts, err := parsePath("M10 20A10 10 0 1 0 20 10")
	require.NoError(t, err)
	require.Len(t, parts, 1)
	for _, p := range parts[0].points {
		onOne := math.Abs(math.Hypot(p.x-20, p.y-20)-10) < 1e-9
		onOther := math.Abs(math.Hypot(p.x-10, p.y-10)-10) < 1e-9
		assert.True(t, onOne || onOther, "%v", p)
	}
	assert.Equal(t, point{20, 10}, parts[0].points[len(parts[0].points)-1])
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

// The same card gives the same bytes, of a size that can be sent, whatever the words are.
func TestCards(t *testing.T) {
	for _, title := range []string{"", "A", "How much caster is worth having?", strings.Repeat("Long title ", 60), strings.Repeat("W", 400), "<script>&\x00\u202e"} {
		for _, keys := range [][]Key{nil, {{`<svg class="swatch" viewBox="0 0 34 14"><path class="mark s1" d="M0 0h9v9Z"/></svg>`, strings.Repeat("key ", 90), true, true}}} {
			c := card(`<g class="s1"><path class="line" d="M0 0l100 60"/></g><text x="5" y="9">label</text>`)
			c.Title, c.Summary, c.Figure, c.Site, c.Keys = title, title, title, title, keys
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
	plain, busy := card(`<path class="line s1" d="M10 10h2"/>`), card(`<path class="mark s2" d="M0 0h100v60h-100Z"/>`)
	busy.Site, busy.Title = "Another site", "Another title"
	first, err := PNG(plain)
	require.NoError(t, err)
	other, err := PNG(busy)
	require.NoError(t, err)
	assert.NotEqual(t, first, other)
	dark := plain
	dark.Styles = ReadStyles(strings.Replace(sheet, "#ffffff", "#eeeeee", 1))
	grey, err := PNG(dark)
	require.NoError(t, err)
	assert.NotEqual(t, first, grey)
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
	c := card(`<path class="line s1" d="M10 10h2"/>`)
	for _, l := range []string{"Many words with many edges", "and more of them"} {
		c.Title += l
		c.Summary += strings.Repeat(l, 9)
	}
	data, err := PNG(c)
	require.NoError(t, err)
	m, err := png.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	assert.Contains(t, m.(*image.Paletted).Palette, color.Color(red))
}

// The page's own style sheet gives each colour that a drawing asks for.
func TestStyleSheet(t *testing.T) {
	css, err := os.ReadFile("../page/assets/page.css")
	require.NoError(t, err)
	s := ReadStyles(string(css))
	for _, name := range []string{"--paper", "--ink", "--soft", "--s1", "--s6", "--q1", "--q6", "--mark"} {
		_, ok := s.colour(name)
		assert.True(t, ok, name)
	}
	line := s.of(look{"--c": "var(--s2)"}, "path", map[string]string{"class": "line"}, true)
	stroke, ok := s.paint(line, "stroke", "none")
	assert.True(t, ok)
	want, _ := s.colour("--s2")
	assert.Equal(t, want, stroke)
}

func BenchmarkPNG(b *testing.B) {
	c := card(`<g class="s1"><path class="line" d="M0 0l100 60"/></g><text x="5" y="9">label</text>`)
	for b.Loop() {
		if _, err := PNG(c); err != nil {
			b.Fatal(err)
		}
	}
}
