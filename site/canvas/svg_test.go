package canvas

import (
	"encoding/xml"
	"errors"
	"image/color"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"pgregory.net/rapid"
)

func paper() *SVG { return New(Head{Class: "drawing", Width: 100, Height: 60, Letter: 10}) }

// inside is what stands in the element.
func inside(s *SVG) string {
	_, text, _ := strings.Cut(s.Close(), ">")
	return strings.TrimSuffix(text, "</svg>")
}

func line(points ...float64) (path vg.Path) {
	for i := 0; i+1 < len(points); i += 2 {
		p := vg.Point{X: vg.Length(points[i]), Y: vg.Length(points[i+1])}
		if i == 0 {
			path.Move(p)
		} else {
			path.Line(p)
		}
	}
	return path
}

func TestHead(t *testing.T) {
	s := New(Head{Class: "drawing wide", Width: 720, Height: 310.5, Letter: 14, LabelledBy: "f-title", DescribedBy: "f-words", Descriptions: []Description{{"f-words", "a < b"}}})
	assert.Equal(t, `<svg class="drawing wide" viewBox="0 0 720 310.5" width="720" height="310.5" font-size="14" role="img" aria-labelledby="f-title" aria-describedby="f-words">`+
		`<desc id="f-words">a &lt; b</desc></svg>`, s.Close())
	assert.Equal(t, `<svg class="swatch" viewBox="0 0 34 14" width="34" height="14" aria-hidden="true"></svg>`, New(Head{Class: "swatch", Width: 34, Height: 14}).Close())
}

// An ink is a class. A colour without a name is the page's black, and so is none at all.
func TestInksAreClasses(t *testing.T) {
	for c, class := range map[color.Color]string{Separate(1): "s2", Separate(7): "s2", Step(5): "q6", Soft: "soft", color.RGBA{9, 9, 9, 255}: "ink", nil: "ink"} {
		s := paper()
		s.SetColor(c)
		s.Stroke(line(10, 50, 30, 40))
		assert.Equal(t, `<path class="`+class+`" d="M10 10l20 10"/>`, inside(s))
	}
	s := paper()
	s.SetColor(Mark.Faint(0.17))
	s.Fill(line(10, 50, 30, 40, 30, 50))
	assert.Equal(t, `<path class="mark solid" opacity="0.17" d="M10 10l20 10v-10"/>`, inside(s))
	assert.EqualValues(t, 43, Mark.Faint(0.17).Value().A)
}

func TestLines(t *testing.T) {
	s := paper()
	s.SetLineWidth(2.25)
	s.SetLineDash([]vg.Length{9, 0.5}, 1)
	s.Stroke(line(0, 0, 50, 0))
	assert.Equal(t, `<path class="ink" stroke-width="2.25" stroke-dasharray="9 .5" stroke-dashoffset="1" d="M0 60h50"/>`, inside(s))
	s = paper()
	s.SetLineWidth(0)
	s.Stroke(line(0, 0, 50, 0))
	assert.Empty(t, inside(s), "a line without width")
}

// What looks alike and follows one another shares an element; what lets through doesn't, and order is kept.
func TestAlikeShareAnElement(t *testing.T) {
	s := paper()
	s.Stroke(line(0, 60, 10, 60))
	s.Stroke(line(0, 50, 10, 50))
	s.Fill(line(0, 60, 10, 60, 10, 50))
	s.Stroke(line(0, 60, 10, 60))
	assert.Equal(t, `<path class="ink" d="M0 0h10m-10 10h10"/><path class="ink solid" d="M0 0h10v10"/><path class="ink" d="M0 0h10"/>`, inside(s))
	s = paper()
	s.SetColor(Soft.Faint(0.5))
	s.Fill(line(0, 60, 10, 60, 10, 50))
	s.Fill(line(0, 60, 10, 60, 10, 50))
	assert.Equal(t, 2, strings.Count(inside(s), "<path"))
	s = paper()
	for _, word := range []string{"one", "two"} {
		s.Text(Lettering{Ink: Soft, Size: 9, Halo: true, Anchor: End}, vg.Point{X: 5, Y: 30}, word)
	}
	s.Text(Lettering{Ink: Black, Size: 10, Bold: true, For: "in-us"}, vg.Point{X: 5, Y: 20}, "<3>")
	assert.Equal(t, `<g class="soft halo" font-size="9" text-anchor="end"><text x="5" y="30">one</text><text x="5" y="30">two</text></g>`+
		`<text class="ink in-us bold" x="5" y="40">&lt;3&gt;</text>`, inside(s))
}

func TestGroups(t *testing.T) {
	s := paper()
	assert.True(t, s.Begin("in-metric"))
	s.Stroke(line(0, 60, 10, 60))
	s.End()
	s.Stroke(line(0, 60, 10, 60))
	assert.Equal(t, `<g class="in-metric"><path class="ink" d="M0 0h10"/></g><path class="ink" d="M0 0h10"/>`, inside(s))
}

// gonum's own way of setting text gives live text too.
func TestFillString(t *testing.T) {
	s := paper()
	s.FillString(font.Face{Font: font.Font{Size: 12, Weight: 3}}, vg.Point{X: 10, Y: 20}, "word")
	s.FillString(font.Face{}, vg.Point{X: 10, Y: 20}, "nothing")
	assert.Equal(t, `<text class="ink bold" font-size="12" x="10" y="40">word</text>`, inside(s))
}

// A whole circle, and arcs either way, end where they should, on a circle of their radius.
func TestArcs(t *testing.T) {
	for _, c := range []struct {
		start, angle float64
		want         string
	}{
		{0, 2 * math.Pi, "M60 30a10 10 0 1 0 0 .1"},
		{0, -2 * math.Pi, "M60 30a10 10 0 1 1 0-.1"},
		{math.Pi, 2 * math.Pi, "M40 30a10 10 0 0 0 20 0 10 10 0 0 0-20 0"},
		{0, math.Pi / 2, "M60 30a10 10 0 0 0-10-10"},
		{0, -math.Pi / 2, "M60 30a10 10 0 0 1-10 10"},
		{math.Pi / 2, 3 * math.Pi / 2, "M50 20a10 10 0 1 0 10 10"},
	} {
		s := paper()
		var p vg.Path
		p.Arc(vg.Point{X: 50, Y: 30}, 10, c.start, c.angle)
		s.Stroke(p)
		assert.Equal(t, `<path class="ink" d="`+c.want+`"/>`, inside(s))
	}
	s := paper()
	var p vg.Path
	p.Move(vg.Point{X: 10, Y: 10})
	p.QuadTo(vg.Point{X: 20, Y: 10}, vg.Point{X: 20, Y: 20})
	p.CubeTo(vg.Point{X: 20, Y: 30}, vg.Point{X: 30, Y: 30}, vg.Point{X: 30, Y: 40})
	p.Close()
	s.Stroke(p)
	assert.Equal(t, `<path class="ink" d="M10 50q10 0 10-10c0-10 10-10 10-20Z"/>`, inside(s))
}

// A circle stays where it is, within the rounding, wherever that is.
func TestCirclesKeepTheirPlace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y, r := rapid.Float64Range(10, 90).Draw(t, "x"), rapid.Float64Range(10, 50).Draw(t, "y"), rapid.Float64Range(1, 6).Draw(t, "r")
		s := paper()
		var p vg.Path
		p.Move(vg.Point{X: vg.Length(x + r), Y: vg.Length(y)})
		p.Arc(vg.Point{X: vg.Length(x), Y: vg.Length(y)}, vg.Length(r), 0, 2*math.Pi)
		p.Close()
		s.Fill(p)
		var n []float64
		for _, m := range regexp.MustCompile(`-?(\d+\.?\d*|\.\d+)`).FindAllString(strings.SplitN(inside(s), ` d="`, 2)[1], -1) {
			v, err := strconv.ParseFloat(m, 64)
			require.NoError(t, err)
			n = append(n, v)
		}
		require.Len(t, n, 9)
		require.InDelta(t, x+r, n[0], 0.0501)
		require.InDelta(t, 60-y, n[1], 0.0501)
		require.InDelta(t, r, n[2], 0.0501)
		// The long way round, anticlockwise, to just below the start: the middle is straight left of it.
		require.Equal(t, []float64{1, 0, 0, 0.1}, n[5:])
	})
}

// Moved, turned and larger, as gonum's canvases do it, and back again.
func TestTransforms(t *testing.T) {
	s := paper()
	s.Push()
	s.Translate(vg.Point{X: 10, Y: 20})
	s.Rotate(math.Pi / 2)
	s.Scale(2, 2)
	s.SetColor(Soft)
	s.Stroke(line(0, 0, 5, 0)) // from (10, 20) up by 10
	s.Text(Lettering{Ink: Black, Size: 10}, vg.Point{}, "up")
	s.Pop()
	s.Stroke(line(0, 0, 5, 0))
	assert.Equal(t, `<path class="soft" d="M10 40v-10"/><text class="ink" x="10" y="40" transform="rotate(-90 10 40)">up</text><path class="ink" d="M0 60h5"/>`, inside(s))
}

// No picture of pixels, and nothing that is no number.
func TestRefusals(t *testing.T) {
	assert.Panics(t, func() { paper().DrawImage(vg.Rectangle{}, nil) })
	for _, v := range []float64{math.NaN(), math.Inf(1)} {
		assert.Panics(t, func() { paper().Stroke(line(0, 0, v, 0)) })
		assert.Panics(t, func() { paper().Text(Lettering{Ink: Black, Size: 10}, vg.Point{X: vg.Length(v)}, "x") })
	}
}

// Path data says where the points are, to a tenth, however it is shortened.
func TestPathsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points := rapid.SliceOfN(rapid.Float64Range(-50, 900), 4, 60).Draw(t, "points")
		points = points[:len(points)/2*2]
		for i := len(points) - 2; i > 2; i -= 2 { // steps too short to see aren't written
			if tenths(points[i]) == tenths(points[i-2]) && tenths(300-points[i+1]) == tenths(300-points[i-1]) {
				points = slices.Delete(points, i, i+2)
			}
		}
		s := New(Head{Width: 720, Height: 300})
		s.Stroke(line(points...))
		d := inside(s)
		d = d[strings.Index(d, `d="`)+3 : len(d)-3]
		x, y, at := 0.0, 0.0, 0
		next := func() float64 {
			for d != "" && d[0] == ' ' {
				d = d[1:]
			}
			n := 1
			for n < len(d) && (d[n] >= '0' && d[n] <= '9' || d[n] == '.' && !strings.Contains(d[:n], ".")) {
				n++
			}
			v, err := strconv.ParseFloat(d[:n], 64)
			require.NoError(t, err, d)
			d = d[n:]
			return v
		}
		command := byte(0)
		for d != "" {
			if c := d[0]; c >= 'A' && c <= 'z' {
				command, d = c, d[1:]
			}
			switch command {
			case 'M':
				x, y = next(), next()
			case 'l':
				x, y = x+next(), y+next()
			case 'h':
				x += next()
			case 'v':
				y += next()
			default:
				t.Fatalf("unexpected %c", command)
			}
			require.InDelta(t, points[at], x, 0.0501)
			require.InDelta(t, 300-points[at+1], y, 0.0501)
			at += 2
		}
		require.Equal(t, len(points), at)
	})
}

// Hostile words stay words.
func TestWellFormed(t *testing.T) {
	s := paper()
	s.Text(Lettering{Ink: Black, Size: 10}, vg.Point{}, `</text><script>"'&`)
	for d := xml.NewDecoder(strings.NewReader(s.Close())); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		if start, ok := token.(xml.StartElement); ok {
			assert.NotEqual(t, "script", start.Name.Local)
		}
	}
}

// Coordinates are written as strconv would, but for a nought with a sign or before a point.
func TestTenths(t *testing.T) {
	for _, v := range []float64{0, math.Copysign(0, -1), 0.04, -0.04, 0.1, -0.1, 9.95, 10, -12.3, 720, 1e7 + 0.1, -1e13, 1e17, -1e30} {
		got, err := strconv.ParseFloat(px(v), 64)
		require.NoError(t, err)
		assert.Equal(t, tenths(v)/10, got)
		assert.NotEqual(t, "-0", px(v))
	}
	assert.Equal(t, "-.1", px(-0.1))
}
