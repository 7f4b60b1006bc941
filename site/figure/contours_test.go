package figure

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"turnplate/sim/unit"
	"turnplate/site/canvas"
)

// field samples a function on a square from -1 to 1.
func field(n int, f func(x, y float64) float64) Field {
	out := Field{}
	for i := range n {
		out.X = append(out.X, -1+2*float64(i)/float64(n-1))
		out.Y = append(out.Y, -1+2*float64(i)/float64(n-1))
	}
	for _, y := range out.Y {
		var row []float64
		for _, x := range out.X {
			row = append(row, f(x, y))
		}
		out.Z = append(out.Z, row)
	}
	return out
}

func over(level float64) func(float64) bool { return func(z float64) bool { return z >= level } }

// area is that of the outlines, holes taken off (the shoelace formula).
func area(loops [][]vertex) (sum float64) {
	for _, loop := range loops {
		for i, a := range loop {
			b := loop[(i+1)%len(loop)]
			sum += (a.x*b.y - b.x*a.y) / 2
		}
	}
	return sum
}

// A plane's level is a straight line, and linear interpolation finds it exactly.
func TestPlaneIsFoundExactly(t *testing.T) {
	f := field(9, func(x, y float64) float64 { return 2*x + y })
	loops := f.outlines(over(0.3), 0.3)
	require.Len(t, loops, 1)
	runs := lines(loops[0])
	require.Len(t, runs, 1)
	for _, v := range runs[0] {
		assert.InDelta(t, 0.3, 2*v.x+v.y, 1e-12)
	}
	// Right of the line from (0.65, -1) to (-0.35, 1): 4 minus the trapezium left of it.
	assert.InDelta(t, 4-(1.65+0.65)/2*2, area(loops), 0.02, "but for the corner cells at the map's edge")
}

// A cone's level is a circle: closed, and with the circle's area as the grid gets finer.
func TestCircleIsClosed(t *testing.T) {
	const r = 0.6
	f := field(81, func(x, y float64) float64 { return 1 - math.Hypot(x, y) })
	loops := f.outlines(over(1-r), 1-r)
	require.Len(t, loops, 1)
	runs := lines(loops[0])
	require.Len(t, runs, 1)
	assert.Equal(t, runs[0][0], runs[0][len(runs[0])-1], "the line ends where it begins")
	assert.InDelta(t, math.Pi*r*r, area(loops), 0.002)
}

func TestHolesAreTakenOff(t *testing.T) {
	f := field(81, func(x, y float64) float64 { r := math.Hypot(x, y); return -math.Abs(r - 0.5) })
	loops := f.outlines(over(-0.2), -0.2)
	assert.Len(t, loops, 2)
	assert.InDelta(t, math.Pi*(0.7*0.7-0.3*0.3), area(loops), 0.01)
}

// Lines never run along the edge of what is known, only between points that have values.
func TestUnknownPartsHaveNoLines(t *testing.T) {
	f := field(41, func(x, y float64) float64 {
		if x+y > 0.5 {
			return math.NaN()
		}
		return x - y
	})
	for _, loop := range f.outlines(over(0.1), 0.1) {
		for _, run := range lines(loop) {
			for _, v := range run {
				assert.InDelta(t, 0.1, v.x-v.y, 1e-9)
				assert.LessOrEqual(t, v.x+v.y, 0.5+1e-9)
			}
		}
	}
	assert.Less(t, area(f.outlines(over(math.Inf(-1)), 0)), 4.0)
}

// Whatever the field: outlines close, levels are met wherever a line runs, and higher levels enclose less.
func TestOutlinesProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		nx, ny := rapid.IntRange(2, 9).Draw(t, "nx"), rapid.IntRange(2, 9).Draw(t, "ny")
		f := Field{}
		for i := range nx {
			f.X = append(f.X, float64(i))
		}
		for j := range ny {
			f.Y = append(f.Y, float64(j))
			var row []float64
			for range nx {
				z := rapid.Float64Range(-1, 1).Draw(t, "z")
				if rapid.IntRange(0, 6).Draw(t, "gap") == 0 {
					z = math.NaN()
				}
				row = append(row, z)
			}
			f.Z = append(f.Z, row)
		}
		low, high := f.outlines(over(-0.2), -0.2), f.outlines(over(0.4), 0.4)
		require.LessOrEqual(t, area(high), area(low)+1e-9)
		whole := area(f.outlines(func(float64) bool { return true }, 0))
		require.LessOrEqual(t, area(low), whole+1e-9)
		require.LessOrEqual(t, whole, float64((nx-1)*(ny-1))+1e-9)
		for _, loop := range low {
			require.Greater(t, len(loop), 2)
		}
	})
}

func sampleMap() *Contours {
	f := field(21, func(x, y float64) float64 { return 100 + 40*x + 30*y*y })
	return &Contours{Head: Head{ID: "map", Title: typed("A map")}, X: plainAxis, Y: plainAxis, Z: effort, Panels: []Field{f}}
}

func TestMapSaysItsLevels(t *testing.T) {
	c := sampleMap()
	p := c.Draw(Metric)
	check(t, p)
	assert.Contains(t, texts(p.Wide, "title"), "Lines: Effort (N)")
	assert.Subset(t, texts(p.Wide, "label"), []string{"80", "100", "120", "140"})
	assert.Contains(t, p.Wide.SVG, "Lowest 60.0\u00a0N at −1.00 and 0.00, highest 170.0\u00a0N at 1.00 and −1.00.")
	assert.Empty(t, p.Keys)

	c.Levels = []float64{95, 125}
	p = c.Draw(Metric)
	check(t, p)
	assert.Subset(t, texts(p.Wide, "label in-metric"), []string{"95", "125"})
	assert.Contains(t, texts(p.Wide, "label in-us"), "21.4", "one set of lines, named in both systems")
	assert.NotEmpty(t, drawn(p.Wide).lines(levelLine))
}

// A cone that ends at 1: where its edge is known the map ends on the circle, and not at the last points inside.
func TestMapEndsAtItsEdge(t *testing.T) {
	f := Field{}
	for i := range 41 {
		f.X, f.Y = append(f.X, float64(i-20)*0.06), append(f.Y, float64(i-20)*0.06)
	}
	for _, y := range f.Y {
		var row []float64
		for _, x := range f.X {
			z := math.Hypot(x, y)
			if z > 1 {
				z = math.NaN()
			}
			row = append(row, z)
		}
		f.Z = append(f.Z, row)
	}
	until := 1.0
	furthest := func(until *float64) (off float64) {
		loops := f.reach(until)
		require.Len(t, loops, 1)
		for _, v := range loops[0] {
			off = max(off, math.Abs(math.Hypot(v.x, v.y)-1))
		}
		return off
	}
	assert.Less(t, furthest(&until), 0.005)
	assert.Greater(t, furthest(nil), 0.03)
	c := &Contours{Head: Head{ID: "cone"}, Panels: []Field{f}, Until: &until}
	p := c.Draw(Metric)
	check(t, p)
	assert.Contains(t, p.Wide.SVG, ">"+outOfReach+"</text>")
	assert.Empty(t, p.Keys, "the region bears its name")
	parts := outsideOf([][]point{{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}, {-1, -1}}}, point{-3, 0}, point{3, 0})
	assert.Equal(t, [][]point{{{-3, 0}, {-1, 0}}, {{1, 0}, {3, 0}}}, parts)
}

func TestMapShowsWhatIsOutOfReach(t *testing.T) {
	c := sampleMap()
	for i := range 8 {
		c.Panels[0].Z[i][20] = math.NaN()
	}
	p := c.Draw(Metric)
	check(t, p)
	m := drawn(p.Wide)
	assert.NotEmpty(t, m.lines(hatchLine))
	assert.NotEmpty(t, m.areas(canvas.Paper), "the hatching lies on paper")
	require.Len(t, p.Keys, 1, "a sliver has no room for its name")
	assert.Equal(t, "No value: out of reach", p.Keys[0].Label.Metric)
	assert.Contains(t, p.Wide.SVG, "8 points have no value.")
	var v struct {
		Maps []struct{ Z [][]*float64 }
		Z    struct{ In []struct{ Symbol string } }
	}
	require.NoError(t, json.Unmarshal(p.Values, &v))
	assert.Nil(t, v.Maps[0].Z[0][20])
	assert.InDelta(t, 100+0+30, *v.Maps[0].Z[0][10], 1e-3)
	assert.Len(t, v.Z.In, 2)
}

func TestBadMapsAreEmptyFrames(t *testing.T) {
	for _, f := range []Field{{}, {X: []float64{1, 1}, Y: []float64{0, 1}, Z: [][]float64{{1, 2}, {3, 4}}}, {X: []float64{0, 1}, Y: []float64{0, 1}, Z: [][]float64{{1}, nil}}} {
		c := sampleMap()
		c.Panels = []Field{f}
		check(t, c.Draw(Metric))
	}
}

func TestHatchStaysInsideItsBox(t *testing.T) {
	for _, b := range []box{{10, 20, 100, 30}, {0, 0, 30, 200}, {5, 5, 3, 3}} {
		for _, strokes := range [][][]point{hatch(b), mirrored(b)} {
			for _, stroke := range strokes {
				for _, p := range stroke {
					assert.True(t, b.grow(0.1).holds(box{p.x, p.y, 0, 0}), "%v in %v", p, b)
				}
			}
		}
	}
}

func TestMapFile(t *testing.T) {
	c := sampleMap()
	c.Panels[0].Z[0][1] = math.NaN()
	rows := parse(t, CSV(c, US))
	assert.Equal(t, []string{"Share", "Share", "Effort (lbf)"}, rows[0])
	assert.Len(t, rows, 1+21*21)
	assert.Equal(t, []string{"-0.9", "-1", ""}, rows[2])
	c.Panels = append(c.Panels, c.Panels[0])
	assert.Equal(t, "Map", parse(t, CSV(c, Metric))[0][0])
}

func sampleBars() *Bars {
	return &Bars{Head: Head{ID: "bars"}, XLabel: "Tyre", Y: Scale{Label: "Mass", Metric: unit.MustParse("kg"), US: unit.MustParse("lb")},
		Names: []Words{{Metric: "Stock"}, {Metric: "Tall"}}, Absent: 1,
		Sets: []BarSet{{Label: Plain("bare"), Y: []float64{31, 43}, Low: []float64{30, 41}, High: []float64{32, 46}}, {Label: Plain("with rim"), Y: []float64{45, math.NaN()}}}}
}

func TestBarsStandForTheWholeValue(t *testing.T) {
	b := sampleBars()
	p := b.Draw(Metric)
	check(t, p)
	m := drawn(p.Wide)
	solid, open := m.areas(canvas.Separate(0)), m.areas(canvas.Paper)
	require.Len(t, solid, 2)
	require.Len(t, open, 1)
	length := func(bar []point) float64 { return bar[2].x - bar[0].x }
	assert.InDelta(t, 43.0/31, length(solid[1])/length(solid[0]), 0.002, "bars start at zero")
	assert.InDelta(t, 45.0/31, length(open[0])/length(solid[0]), 0.002)
	assert.Equal(t, []string{"Stock", "Tall"}, texts(p.Wide, "label all"), "names")
	assert.Equal(t, []string{"31.0", "45.0", "43.0"}, texts(p.Wide, "label in-metric"))
	assert.Len(t, p.Keys, 2)
	assert.Contains(t, p.Wide.SVG, "bare, Stock: 31.0\u00a0kg.")
	assert.Contains(t, p.Wide.SVG, "with rim, Tall: no value.")
	assert.Equal(t, []string{"Whiskers: the 95 % coverage interval.", "A dash: there is no value to be had."}, p.Notes)
}

func TestNegativeBarsGoTheOtherWay(t *testing.T) {
	b := &Bars{Head: Head{ID: "b"}, Y: effort, Names: []Words{{Metric: "down"}, {Metric: "up"}}, Sets: []BarSet{{Y: []float64{-20, 40}}}}
	p := b.Draw(Metric)
	check(t, p)
	bars := drawn(p.Wide).areas(canvas.Separate(0))
	down, up := bars[0], bars[1]
	assert.InDelta(t, down[0].x, up[0].x, 1e-6, "both stand on zero")
	assert.InDelta(t, -2, (up[2].x-up[0].x)/(down[2].x-down[0].x), 1e-6)
}

func TestBarsFile(t *testing.T) {
	rows := parse(t, CSV(sampleBars(), Metric))
	assert.Equal(t, [][]string{
		{"Tyre", "bare (kg)", "bare, low (kg)", "bare, high (kg)", "with rim (kg)"},
		{"Stock", "31", "30", "32", "45"}, {"Tall", "43", "41", "46", ""}}, rows)
}

func TestSheetFile(t *testing.T) {
	s := &Sheet{Angles: []SheetAngle{{Name: "Camber, left", Target: "−0.25°", From: "−0.50°", To: "0.00°"}},
		Settings: []SheetSetting{{Name: "Front cam", Left: Span{Text: Words{"4.5 mm", "0.18 in"}}, Right: Span{Text: Plain("–")}, Limit: "left at the limit"}},
		Stands:   []SheetStand{{What: "Front tyres, cold", Value: Span{Text: Words{"230 kPa", "33 psi"}}}, {What: "Hub to arch"}}}
	assert.Equal(t, [][]string{
		{"What", "Target", "From", "To", "Before", "At the rim", "Left", "Right", "Limit"},
		{"Front tyres, cold", "33 psi", "", "", "", "", "", "", ""}, {"Hub to arch", "", "", "", "", "", "", "", ""},
		{"Camber, left", "-0.25°", "-0.50°", "0.00°", "", "", "", "", ""}, {"Front cam", "", "", "", "", "", "0.18 in", "–", "left at the limit"}}, parse(t, CSV(s, US)))
}

func BenchmarkDrawContours(b *testing.B) {
	f := field(61, func(x, y float64) float64 { return math.Sin(3*x) * math.Cos(4*y) })
	c := &Contours{Head: Head{ID: "map"}, X: plainAxis, Y: plainAxis, Z: effort, Panels: []Field{f}}
	for b.Loop() {
		c.Draw(Metric)
	}
}
