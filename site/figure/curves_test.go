package figure

import (
	"encoding/json"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/canvas"
)

func square8(d float64) float64 { return 10 + d*d }

func TestCurvesSayWhatTheyShow(t *testing.T) {
	p := curvesOf(along("Stock", 33, square8), along("Long", 33, func(d float64) float64 { return 80 - d })).Draw(Metric)
	check(t, p)
	for _, drawing := range []Plate{p.Wide, p.Narrow} {
		assert.Equal(t, []string{"Stock", "Long"}, texts(drawing, "label"))
		assert.Equal(t, []string{"Effort (N)", "Effort (lbf)", "Caster (°)"}, texts(drawing, "title"))
		for i := range 2 {
			assert.Len(t, drawn(drawing).lines(styleOf(i, 2, false).line()), 1)
		}
		assert.Contains(t, drawing.SVG, `role="img" aria-labelledby="fig-title" aria-describedby="fig-words"`)
	}
	assert.Contains(t, p.Wide.SVG, `<desc id="fig-words">Effort (N) against Caster (°), from 0.00° to 8.00°. `+
		"Stock: rises from 10.0\u00a0N at 0.00° to 74.0\u00a0N at 8.00°. Long: falls from 80.0\u00a0N at 0.00° to 72.0\u00a0N at 8.00°.</desc>")
	assert.Contains(t, p.Wide.SVG, `<desc id="fig-words-us">Effort (lbf) against`)
	assert.False(t, p.Keys[0].Wide || p.Keys[0].Narrow, "lines with labels need no legend")
	assert.Empty(t, p.Notes)
}

func TestOwnWordsTakeThePlaceOfGeneratedOnes(t *testing.T) {
	c := curvesOf(along("", 5, square8))
	c.Alt = Text{{Text: Plain("Effort grows by ")}, {Text: Words{"64 N", "14.4 lbf"}, Value: true}, {Text: Plain(".")}}
	p := c.Draw(US)
	assert.Contains(t, p.Wide.SVG, ">Effort grows by 64 N.</desc>")
	assert.Contains(t, p.Wide.SVG, ">Effort grows by 14.4 lbf.</desc>")
	assert.Contains(t, p.Wide.SVG, `aria-describedby="fig-words-us"`)
}

// Every point of a line lies where the axes say, in the order of the data: checked against the ticks drawn beside
// it. A label stands level with its tick, and just under it.
func TestLinesLieOnTheirAxes(t *testing.T) {
	const near = 1e-6 // pixels
	line := along("", 9, func(d float64) float64 { return 100 + 10*d*d/8 })
	for _, plate := range []Plate{curvesOf(line).Draw(Metric).Wide, curvesOf(line).Draw(Metric).Narrow} {
		l := wide
		if plate.Width == narrow.width {
			l = narrow
		}
		m := drawn(plate)
		long := m.lines(axisLine)
		across, up := map[float64]float64{}, map[float64]float64{} // where the ticks' values stand
		for _, label := range m.set(l.ticked("")) {
			if label.group == systemClass[US] {
				continue
			}
			from := func(tick func(line []point) bool) point {
				i := slices.IndexFunc(long, func(line []point) bool { return len(line) == 2 && tick(line) })
				require.GreaterOrEqual(t, i, 0, "%q has no tick", label.text)
				return long[i][0]
			}
			if label.how.Anchor == canvas.End {
				at := from(func(line []point) bool {
					return line[0].y == line[1].y && math.Abs(line[0].y+0.36*l.small()-label.at.y) < near
				})
				up[read(t, label.text)] = at.y
				assert.InDelta(t, at.x-9, label.at.x, near)
			} else {
				at := from(func(line []point) bool { return line[0].x == line[1].x && math.Abs(line[0].x-label.at.x) < near })
				across[read(t, label.text)] = at.x
				assert.InDelta(t, at.y+8+l.small(), label.at.y, near)
			}
		}
		x := func(deg float64) float64 { return across[0] + (across[8]-across[0])*deg/8 }
		y := func(newton float64) float64 { return up[0] + (up[100]-up[0])*newton/100 }
		path := m.lines(styleOf(0, 1, false).line())
		require.Len(t, path, 1)
		require.Len(t, path[0], 9, "every point of a bend")
		for i, p := range path[0] {
			assert.InDelta(t, x(float64(i)), p.x, near)
			assert.InDelta(t, y(line.Y[i]), p.y, near)
		}
	}
}

// A line's name stands level with its end, where nothing is in the way.
func TestNamesStandAtTheirLines(t *testing.T) {
	p := curvesOf(along("Low", 9, square8), along("High", 9, func(d float64) float64 { return 200 - d })).Draw(Metric)
	m := drawn(p.Wide)
	for i, name := range m.set(wide.label()) {
		line := m.lines(styleOf(i, 2, false).line())[0]
		end := line[len(line)-1]
		assert.Equal(t, []string{"Low", "High"}[i], name.text)
		assert.InDelta(t, end.y+0.35*wide.small(), name.at.y, 0.01)
		assert.InDelta(t, end.x+endGap-4, name.at.x, 1e-6)
		leader := m.lines(stroke(styleOf(i, 2, false).ink, 1))
		require.Len(t, leader, 1)
		assert.Equal(t, end.x+5, leader[0][0].x)
	}
}

func TestGapsAreGaps(t *testing.T) {
	c := curvesOf(along("", 33, func(d float64) float64 {
		switch {
		case d > 2 && d < 4:
			return math.NaN()
		case d > 6 && d < 6.9:
			return math.Inf(1)
		}
		return square8(d)
	}))
	c.Absent = 11
	p := c.Draw(Metric)
	check(t, p)
	assert.Len(t, drawn(p.Wide).lines(styleOf(0, 1, false).line()), 3, "three runs, none joined to the next")
	assert.Equal(t, []string{"A line breaks off where there is no value to be had."}, p.Notes)
	assert.Contains(t, p.Wide.SVG, "with gaps")
}

func TestAValueBetweenGapsIsADot(t *testing.T) {
	c := curvesOf(along("", 20, func(d float64) float64 {
		if d > 1 && d < 1.4 {
			return 7
		}
		return math.NaN()
	}))
	p := c.Draw(Metric)
	check(t, p)
	assert.Empty(t, drawn(p.Wide).lines(styleOf(0, 1, false).line()))
	assert.Len(t, drawn(p.Wide).areas(canvas.Separate(0)), 1)
}

func TestNothingToShowIsSaid(t *testing.T) {
	for _, c := range []*Curves{curvesOf(), {X: degrees8, Y: effort}, curvesOf(along("", 5, func(float64) float64 { return math.NaN() }))} {
		p := c.Draw(Metric)
		check(t, p)
		assert.Equal(t, []string{"No combination has a value."}, texts(p.Wide, "label"))
	}
}

func TestBandsCloseOnThemselves(t *testing.T) {
	l := along("", 33, square8)
	for i, y := range l.Y {
		l.Low, l.High = append(l.Low, y-2), append(l.High, y+3)
		if i == 10 {
			l.Low[i] = math.NaN()
		}
	}
	p := curvesOf(l).Draw(Metric)
	check(t, p)
	bands := drawn(p.Wide).areas(canvas.Separate(0).Faint(0.17))
	require.Len(t, bands, 2)
	// Along the lower bounds and back along the upper ones.
	for _, band := range bands {
		assert.Less(t, band[0].x, band[len(band)/2-1].x)
		assert.Greater(t, band[0].y, band[len(band)-1].y)
	}
	assert.Equal(t, []string{"Shaded: the 95 % coverage interval."}, p.Notes)
	// The axis has room for the bounds, not only for the line.
	assert.Greater(t, ready(curvesOf(l)).y.hi, l.High[32])
}

// No two lines of a figure look the same, in any two of colour, dashes and marker.
func TestStylesDiffer(t *testing.T) {
	const lines = 12
	for i := range lines {
		for j := range i {
			a, b := styleOf(i, lines, false), styleOf(j, lines, false)
			assert.True(t, !slices.Equal(a.dash, b.dash) || a.marker != b.marker, "%d and %d are alike without colour", i, j)
			assert.NotEqual(t, a, b)
		}
	}
	assert.Equal(t, "q1", styleOf(0, 4, true).ink.Name())
	assert.Equal(t, "q6", styleOf(3, 4, true).ink.Name())
}

func TestLegendWhereLabelsHaveNoRoom(t *testing.T) {
	var many []Line
	for i := range 9 {
		many = append(many, along("line "+strconv.Itoa(i), 5, func(d float64) float64 { return d + float64(i) }))
	}
	p := curvesOf(many...).Draw(Metric)
	assert.Empty(t, texts(p.Wide, "label"))
	assert.True(t, p.Keys[0].Wide && p.Keys[0].Narrow)
	p = curvesOf(along("a label of middling length, really", 5, square8), along("b", 5, square8)).Draw(Metric)
	assert.False(t, p.Keys[0].Wide)
	assert.True(t, p.Keys[0].Narrow, "less room on a telephone")
}

func TestPanelsShareScalesAndStyles(t *testing.T) {
	c := curvesOf()
	c.Panels = []Panel{
		{Title: Plain("One"), Lines: []Line{along("a", 9, square8), along("b", 9, square8)}},
		{Title: Plain("Two"), Lines: []Line{along("b", 9, func(d float64) float64 { return 3 * square8(d) })}},
	}
	p := c.Draw(Metric)
	check(t, p)
	r := ready(c)
	assert.Equal(t, 222.0, 3*square8(8))
	assert.Greater(t, r.y.hi, 222.0)
	assert.Len(t, drawn(p.Wide).lines(styleOf(1, 2, false).line()), 2, "b is the second line in both")
	assert.Equal(t, []string{"One", "Two"}, texts(p.Wide, "panel"))
}

// A step between lines or plots is named in the reader's own units, wherever the name stands.
func TestNamesInTheReadersUnits(t *testing.T) {
	a, b := along("Lift 0 mm", 33, square8), along("Lift 50 mm", 33, square8)
	a.Label.US, b.Label.US = "Lift 0 in", "Lift 1.97 in"
	c := curvesOf(a, b)
	c.Panels[0].Title = Words{"Rim 20 mm", "Rim 0.79 in"}
	p := c.Draw(US)
	check(t, p)
	assert.Equal(t, []string{"Rim 20 mm"}, texts(p.Wide, "panel in-metric"))
	assert.Equal(t, []string{"Rim 0.79 in"}, texts(p.Wide, "panel in-us"))
	assert.Equal(t, []string{"Lift 0 mm", "Lift 50 mm"}, texts(p.Wide, "label in-metric"))
	assert.Equal(t, []string{"Lift 0 in", "Lift 1.97 in"}, texts(p.Wide, "label in-us"))
	assert.Equal(t, "Lift 1.97 in", p.Keys[1].Label.US)
	assert.Contains(t, string(p.Values), `["Lift 50 mm","Lift 1.97 in"]`)
	assert.Contains(t, string(p.Values), `["Rim 20 mm","Rim 0.79 in"]`)
	assert.Contains(t, string(CSV(c, US)), "Lift 1.97 in")
	assert.NotContains(t, string(CSV(c, US)), "50 mm")
	assert.Contains(t, string(CSV(c, Metric)), "50 mm")
	numbers, _ := c.Table(10)
	assert.Contains(t, numbers.Columns[2].Head.In(Metric), "50 mm")
	assert.Contains(t, numbers.Columns[2].Head.In(US), "1.97 in")
	r := ready(c)
	assert.Contains(t, r.alternative(US), "Rim 0.79 in, Lift 1.97 in: ")
	assert.NotContains(t, r.alternative(US), "mm,")
}

func TestReadingsLieOverTheCurves(t *testing.T) {
	c := curvesOf(along("", 33, square8))
	c.Panels[0].Points = []Points{{Label: "Measured", X: []float64{0.02, math.NaN(), 0.3}, Y: []float64{12, 13, 40}, Names: []string{"first", "lost"}}}
	p := c.Draw(Metric)
	check(t, p)
	assert.Equal(t, []string{"first"}, texts(p.Wide, "label"))
	key := p.Keys[len(p.Keys)-1]
	assert.Equal(t, pointsSwatch(0, false).SVG, key.Swatch.SVG)
	assert.Equal(t, "Measured", key.Label.Metric)
	assert.GreaterOrEqual(t, ready(c).x.hi, 0.3, "the axis reaches every reading")
}

// An error bar reaches as far either way as the reading may be out. Where that is nought or unknown there is none.
func TestReadingsHaveErrorBars(t *testing.T) {
	c := curvesOf(along("", 33, square8))
	set := Points{Label: "Read", X: []float64{0.02, 0.04, 0.06, 0.08}, Y: []float64{12, 20, 30, 90}, Error: []float64{2, 0, math.NaN(), 15}}
	c.Panels[0].Points = []Points{set}
	p := c.Draw(Metric)
	check(t, p)
	r := ready(c)
	assert.GreaterOrEqual(t, r.y.hi, 105.0, "the axis reaches the ends of bars")
	for _, plate := range []struct {
		Plate
		layout
	}{{p.Wide, wide}, {p.Narrow, narrow}} {
		f := frame{r.plan(plate.layout).areas[0], r.x, r.y}
		bars := drawn(plate.Plate).lines(whiskerLine)
		require.Len(t, bars, 6, "two bars, each with two caps")
		for k, i := range []int{0, 3} {
			bar, x := bars[3*k], f.at(set.X[i], 0).x
			low, high := f.at(0, set.Y[i]-set.Error[i]).y, f.at(0, set.Y[i]+set.Error[i]).y
			assert.InDelta(t, x, bar[0].x, 1e-6)
			assert.InDelta(t, x, bar[1].x, 1e-6)
			assert.InDelta(t, low, max(bar[0].y, bar[1].y), 1e-6)
			assert.InDelta(t, high, min(bar[0].y, bar[1].y), 1e-6)
			assert.InDelta(t, bars[3*k+1][0].y, bars[3*k+1][1].y, 1e-9, "a cap is level")
		}
	}
	assert.Equal(t, pointsSwatch(0, true).SVG, p.Keys[len(p.Keys)-1].Swatch.SVG)
	assert.Contains(t, p.Notes, "Bars through readings: how far either way they may be out.")
	assert.Contains(t, r.alternative(Metric), "Read: 4 readings, up to ± 15.0\u00a0N.")
	assert.Contains(t, string(p.Values), `"error":[2,0,null,15]`)
	set.Error = []float64{2, 2, 2, 2}
	c.Panels[0].Points[0] = set
	assert.Contains(t, ready(c).alternative(Metric), "Read: 4 readings, each ± 2.0\u00a0N.")
	set.Error = nil
	c.Panels[0].Points[0] = set
	p = c.Draw(Metric)
	assert.Empty(t, drawn(p.Wide).lines(whiskerLine))
	assert.NotContains(t, string(p.Values), "error")
	assert.NotContains(t, strings.Join(p.Notes, " "), "Bars")
	assert.Equal(t, pointsSwatch(0, false).SVG, p.Keys[len(p.Keys)-1].Swatch.SVG)
}

func TestHostileWordsStayWords(t *testing.T) {
	evil := `</text><script>alert(1)</script> " onload="x` + "\x00\u202e"
	c := curvesOf(along(evil, 9, square8), along("b", 9, square8))
	c.X.Label, c.Y.Label, c.Panels[0].Title = evil, evil, Plain(evil)
	c.Title, c.Alt = typed(evil), typed(evil)
	c.Panels[0].Points = []Points{{Label: evil, X: []float64{0.1}, Y: []float64{20}, Names: []string{}}}
	p := c.Draw(Metric)
	check(t, p)
	for _, drawing := range []string{p.Wide.SVG, p.Narrow.SVG, string(p.Values)} {
		assert.NotContains(t, drawing, "<script")
		assert.NotContains(t, drawing, "\u202e")
	}
	scene := parallel(4, 12)
	scene.Label = Plain(evil)
	check(t, drawing("front", scene).Draw(Metric))
}

func TestSameFigureSameBytes(t *testing.T) {
	once := func() [3]string {
		c := curvesOf(along("a", 33, square8), along("b", 33, square8))
		c.Panels = append(c.Panels, Panel{Title: Plain("more"), Lines: c.Panels[0].Lines})
		p := c.Draw(Metric)
		return [3]string{p.Wide.SVG, p.Narrow.SVG, string(p.Values)}
	}
	first := once()
	for range 5 {
		assert.Equal(t, first, once())
	}
}

func TestValuesAreThoseCalculated(t *testing.T) {
	l := along("a", 33, square8)
	l.Y[5] = math.NaN()
	p := curvesOf(l, along("b", 33, square8)).Draw(Metric)
	var v struct {
		Wide [][4]float64
		X, Y struct {
			Range [2]float64
			In    []struct {
				Size   float64
				Places int
				Symbol string
			}
		}
		Plots []struct{ Lines []struct{ X, Y []*float64 } }
	}
	require.NoError(t, json.Unmarshal(p.Values, &v))
	lines := v.Plots[0].Lines
	require.Len(t, lines[0].Y, 33)
	assert.Nil(t, lines[0].Y[5])
	assert.InDelta(t, square8(8), *lines[0].Y[32], 1e-9)
	assert.Nil(t, lines[1].X, "the same as the line before")
	assert.Equal(t, 2, v.X.In[0].Places, "0.25° is not shown as 0.2°")
	assert.Len(t, v.Y.In, 2)
	assert.Equal(t, "\u00a0lbf", v.Y.In[1].Symbol)
	assert.Len(t, v.Wide, 1)

	l.Y[6] = 1e-14
	require.NoError(t, json.Unmarshal(curvesOf(l).Draw(Metric).Values, &v))
	assert.Zero(t, *v.Plots[0].Lines[0].Y[6], "a rounding error beside larger numbers")
}

func TestLongLinesStaySmall(t *testing.T) {
	l := Line{}
	for i := range 10_000 {
		x := float64(i) / 10_000
		l.X, l.Y = append(l.X, x), append(l.Y, math.Sin(2000*x))
	}
	p := curvesOf(l).Draw(Metric)
	const most = 40_000 // bytes: four points a pixel column
	assert.Less(t, len(p.Wide.SVG), most)
	assert.Less(t, len(p.Values), 12_000)
}

func FuzzCurves(f *testing.F) {
	f.Add("Effort <&>", "a\"'", 0.0, 1.0, 3.0, 1e300, 5)
	f.Add("", "\x00\ufffe\U0010ffff", -1e99, 1e99, math.NaN(), math.Inf(-1), 50)
	f.Add("中文标签", strings.Repeat("w", 300), 1e-310, 1e-300, 7.0, 7.0, 1)
	f.Fuzz(func(t *testing.T, title, label string, a, b, c, d float64, n int) {
		if n < 0 || n > 200 {
			return
		}
		l := Line{Label: Plain(label)}
		for i := range n {
			s := float64(i) / float64(n)
			l.X = append(l.X, a+(b-a)*s)
			l.Y = append(l.Y, c+(d-c)*s*s)
			l.Low, l.High = append(l.Low, c), append(l.High, d)
		}
		curves := &Curves{Head: Head{ID: "f", Title: typed(title), Alt: typed(label)}, X: Scale{Label: title, Metric: degrees8.Metric, US: degrees8.US},
			Y: Scale{Label: label}, Ordered: n%2 == 0, Absent: n,
			Panels: []Panel{{Title: Plain(title), Lines: []Line{l, {Label: Plain(title), X: []float64{a, b}, Y: []float64{d}}},
				Points: []Points{{Label: label, X: []float64{a, c}, Y: []float64{b, d}, Names: []string{}}}}}}
		for range n % 3 {
			curves.Panels = append(curves.Panels, curves.Panels[0])
		}
		check(t, curves.Draw(US))
		require.True(t, json.Valid(curves.Draw(Metric).Values))
		CSV(curves, US)
		curves.Table(25)
		field := Field{Title: Plain(title), X: []float64{0, 1, 2}, Y: []float64{a, b}, Z: [][]float64{{a, c, d}, {b, math.NaN(), d * float64(n)}}}
		fields := &Contours{Head: Head{ID: "m"}, X: curves.X, Y: curves.Y, Z: Scale{Label: title}, Panels: []Field{field, {}}}
		check(t, fields.Draw(Metric))
		fields.Levels = []float64{c, d}
		check(t, fields.Draw(US))
		require.True(t, json.Valid(fields.Draw(Metric).Values))
		CSV(fields, Metric)
		bars := &Bars{Head: Head{ID: "b"}, XLabel: label, Y: effort, Names: []Words{},
			Sets: []BarSet{{Label: Plain(label), Y: []float64{a, b, c}, Low: []float64{c, d}, High: []float64{d, c}}, {Y: []float64{d}}}}
		check(t, bars.Draw(US))
		CSV(bars, US)
		for _, s := range []float64{a, b} {
			scene := parallel(4, 12)
			scene.Label, scene.WheelCentre.X, scene.Radius, scene.Spin.X, scene.Trail = Plain(label), s, c, d, s
			for _, v := range []string{"front", "side", "top"} {
				check(t, drawing(v, scene).Draw(US))
			}
		}
	})
}

func BenchmarkDrawCurves(b *testing.B) {
	var lines []Line
	for i := range 5 {
		lines = append(lines, along("line "+strconv.Itoa(i), 33, func(d float64) float64 { return square8(d) + 10*float64(i) }))
	}
	c := curvesOf(lines...)
	for b.Loop() {
		c.Draw(Metric)
	}
}

func BenchmarkDrawTenThousandPoints(b *testing.B) {
	c := curvesOf(along("", 10_000, func(d float64) float64 { return math.Sin(50 * d) }))
	for b.Loop() {
		c.Draw(Metric)
	}
}

// A line that closes has no end to be labelled at: its name stands beside it where there is room.
func TestClosedLinesAreNamedBesideThem(t *testing.T) {
	round := func(label string, shift float64) Line {
		l := Line{Label: Plain(label)}
		for i := range 25 {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / 24)
			l.X, l.Y = append(l.X, 0.05+0.02*cos), append(l.Y, 20+shift+10*sin)
		}
		return l
	}
	p := curvesOf(round("a", 0), round("b", 3)).Draw(Metric)
	check(t, p)
	assert.ElementsMatch(t, []string{"a", "b"}, texts(p.Wide, "label"))
	require.Len(t, p.Keys, 2)
	assert.False(t, p.Keys[0].Wide || p.Keys[0].Narrow)
	crowd := curvesOf()
	for i := range 30 {
		crowd.Panels[0].Lines = append(crowd.Panels[0].Lines, round("A name too long to stand among so many lines, number "+strconv.Itoa(i), 0.1*float64(i)))
	}
	p = crowd.Draw(Metric)
	assert.Empty(t, texts(p.Wide, "label"))
	assert.True(t, p.Keys[0].Wide && p.Keys[0].Narrow, "without room all are in a legend")
}

func TestLimitsAreNeutralAndNamed(t *testing.T) {
	c := curvesOf(along("Gap", 9, func(x float64) float64 { return 10 + 100*x }))
	c.Limits = []Limit{{Line: Line{Label: Plain("A finger's breadth"), X: []float64{0, 0.14}, Y: []float64{30, 30}}, Better: "more", Beyond: "too close"}}
	p := c.Draw(Metric)
	check(t, p)
	d := drawn(p.Wide)
	require.Len(t, d.lines(limitLine), 1, "the axes reach it")
	assert.Contains(t, texts(p.Wide, "label"), "A finger's breadth")
	assert.Contains(t, p.Wide.SVG, ">too close</text>")
	assert.Contains(t, p.Wide.SVG, "Limit, A finger&#39;s breadth: stays near 6.7\u00a0lbf; more is better.")
	assert.Contains(t, string(p.Values), `"look":"ink"`, "it can be read off")
	rows := c.records(Metric)
	assert.Equal(t, "A finger's breadth (N)", rows[0][2])
	assert.Equal(t, "30", rows[1][2])
	styles := ready(c).styles
	assert.Len(t, styles, 1, "it takes no line's looks")
	assert.NotEqual(t, canvas.Black.Name(), styles[Plain("Gap")].ink.Name())
}

// Either each reading bears its name or none does.
func TestReadingsAreNamedTogether(t *testing.T) {
	line := along("", 5, square8)
	for _, apart := range []float64{0.02, 1e-5} {
		c := curvesOf(line)
		c.Panels[0].Points = []Points{{Label: "Read", X: []float64{0.02, 0.02 + apart, 0.02 + 2*apart, 0.02 + 3*apart, 0.02 + 4*apart, 0.02 + 5*apart},
			Y: []float64{60, 60, 60, 60, 60, 60}, Names: []string{"one", "two", "three", "four", "five", "six"}}}
		p := c.Draw(Metric)
		check(t, p)
		want := 6
		if apart < 0.01 {
			want = 0
		}
		assert.Len(t, texts(p.Wide, "label"), want, "%g apart", apart)
	}
}
