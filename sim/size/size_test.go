package size

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"turnplate/sim/agree"
)

const (
	exact    = 1e-12  // arithmetic only
	tenthMM  = 0.5e-4 // the last digit of a size printed to 0.1 mm, in m
	printed6 = 5e-7   // the last digit of an inch size printed to six places, in inches
)

func mustParse(t *testing.T, text string) Size {
	t.Helper()
	s, err := Parse(text)
	require.NoError(t, err)
	return s
}

// Diameters in inches of a published worked example for the metric rule (185/70R14 and 195/50R15, seen).
func TestPublishedDiameters(t *testing.T) {
	a, b := mustParse(t, "185/70R14"), mustParse(t, "195/50R15")
	agree.Absolute(t, 24.196850, a.Diameter/inch, printed6, "185/70R14")
	agree.Absolute(t, 22.677165, b.Diameter/inch, printed6, "195/50R15")
	agree.Absolute(t, 1.0670139, a.Diameter/b.Diameter, 5e-8, "their ratio")
}

// Nominal diameters worked out by hand from D = 25.4·d + 2·W·A/100, and turns per mile with the radius as rolled.
func TestNominalDiameters(t *testing.T) {
	for _, c := range []struct {
		text        string
		mm, perMile float64 // turns a mile at the nominal diameter, without RollingShare
	}{
		{"285/70R17", 830.8, 616.60},
		{"265/70R17", 802.8, 638.10},
		{"265/65R17", 776.3, 659.89},
		{"245/75R16", 773.9, 661.93},
		{"205/60R15", 627.0, 0},
		{"35x12.50R17LT", 889.0, 576.23},
	} {
		s := mustParse(t, c.text)
		agree.Absolute(t, c.mm*1e-3, s.Diameter, tenthMM+exact, c.text)
		if c.perMile > 0 {
			const mile = 1609.344
			agree.Absolute(t, c.perMile/RollingShare, s.Revolutions*mile/(2*math.Pi), 0.006, c.text+" turns a mile")
		}
	}
	agree.Absolute(t, 1.10737, mustParse(t, "35x12.50R17").Diameter/mustParse(t, "265/70R17").Diameter, 5e-6, "35 inch over 265/70R17")
}

// ETRTO's rolling circumference of 3.05 diameters (from memory) against the share used here.
func TestRollingShareAgreesWithRollingCircumference(t *testing.T) {
	agree.Absolute(t, 3.05/math.Pi, RollingShare, 0.001, "rolling radius over free radius")
}

func TestEveryPartIsRead(t *testing.T) {
	s := mustParse(t, "LT285/70R17/E 121/118S")
	assert.Equal(t, Metric, s.Form)
	assert.Equal(t, "LT", s.Service)
	assert.Equal(t, "R", s.Construction)
	agree.Absolute(t, 0.285, s.Width, exact, "width")
	agree.Absolute(t, 0.70, s.Aspect, exact, "aspect")
	agree.Absolute(t, 0.4318, s.RimDiameter, exact, "rim")
	assert.Equal(t, "E", s.LoadRange)
	assert.Equal(t, 121, s.LoadIndex)
	assert.Equal(t, 118, s.DualLoadIndex)
	agree.Absolute(t, 1450, s.LoadCapacity, exact, "load")
	agree.Absolute(t, 1320, s.DualLoadCapacity, exact, "load in dual fitment")
	assert.Equal(t, "S", s.SpeedSymbol)
	agree.Absolute(t, 50, s.MaxSpeed, exact, "180 km/h")

	f := mustParse(t, "35x12.50R17LT 121Q")
	assert.Equal(t, Flotation, f.Form)
	assert.Equal(t, "LT", f.Service)
	agree.Absolute(t, 35*inch, f.Diameter, exact, "diameter")
	agree.Absolute(t, 12.5*inch, f.Width, exact, "width")
	agree.Absolute(t, 9/12.5, f.Aspect, exact, "aspect")
}

func TestSpellingsMeanTheSame(t *testing.T) {
	for _, group := range [][]string{
		{"285/70R17", "285/70r17", " 285/70R17 ", "285/70 R17", "285/70R 17", "285/70ZR17"},
		{"35x12.50R17LT", "35X12.50R17LT", "35×12.5R17LT", "LT35x12.50R17", "35.0x12.50 r17lt"},
		{"285/70R17 117T", "285/70R17 (117T)", "285/70R17 117 T"},
		{"285/70R17 117T XL", "285/70r17 (117T) xl"},
		{"LT285/70R17/E 121/118S", "LT285/70R17 E 121/118S", "lt285/70r17 e 121/118s", "285/70R17LT/E 121/118S"},
	} {
		want := mustParse(t, group[0])
		for _, text := range group[1:] {
			got := mustParse(t, text)
			// NaN is not equal to itself: compare what can be absent by its presence.
			for _, p := range [][2]*float64{{&want.LoadCapacity, &got.LoadCapacity}, {&want.DualLoadCapacity, &got.DualLoadCapacity}, {&want.MaxSpeed, &got.MaxSpeed}} {
				assert.Equal(t, math.IsNaN(*p[0]), math.IsNaN(*p[1]), text)
				if math.IsNaN(*p[0]) {
					*p[1] = 0
				}
			}
			zeroed := want
			for _, p := range []*float64{&zeroed.LoadCapacity, &zeroed.DualLoadCapacity, &zeroed.MaxSpeed} {
				if math.IsNaN(*p) {
					*p = 0
				}
			}
			assert.Equal(t, zeroed, got, "%q against %q", text, group[0])
		}
	}
}

func TestMalformedNamesThePart(t *testing.T) {
	for _, c := range []struct {
		text, part string
		column     int
	}{
		{"", "first number", 1},
		{"R17", "first number", 1},
		{"285", "aspect ratio", 4},
		{"285-70R17", "aspect ratio", 4},
		{"7.50R16", "aspect ratio", 5},
		{"2855/70R17", "section width", 1},
		{"285.5/70R17", "section width", 4},
		{"285/R17", "aspect ratio", 5},
		{"285/7OR17", "aspect ratio", 5},
		{"285/700R17", "aspect ratio", 5},
		{"285/70", "construction", 7},
		{"285/70Q17", "construction", 7},
		{"285/70R", "rim diameter", 8},
		{"285/70R432", "rim diameter", 8},
		{"LT285/70R17C", "service mark", 12},
		{"285/70R17E", "load range", 10},
		{"285/70R17/Z", "load range", 11},
		{"285/70R17 EE", "load range", 12},
		{"285/70R17 121/118", "speed symbol", 18},
		{"285/70R17 121/118I", "speed symbol", 18},
		{"285/70R17 59S", "load index", 11},
		{"285/70R17 151S", "load index", 11},
		{"285/70R17 121/122S", "load index in dual fitment", 15},
		{"285/70R17 (121S", "service description", 16},
		{"285/70R17 121S)", "service description", 16},
		{"285/70R17121S", "rim diameter", 8},
		{"285/70R17 121SXL", "end", 15},
		{"285/70R17 121S M+S", "end", 16},
		{"350x12.50R17", "overall diameter", 1},
		{"35x12..50R17", "construction", 7},
		{"35x12.50R34", "rim diameter", 10},
		{"25x8R24", "overall diameter", 1},
		{"−285/70R17", "first number", 1},
		{strings.Repeat("2", 1000), "designation", 1},
	} {
		_, err := Parse(c.text)
		var e *Error
		if assert.True(t, errors.As(err, &e), "%q must be refused", c.text) {
			assert.Equal(t, c.part, e.Part, "%q: %s", c.text, e)
			assert.Equal(t, c.column, e.Column, "%q: %s", c.text, e)
			assert.Equal(t, c.text, e.Text)
		}
	}
}

func TestErrorReadsWell(t *testing.T) {
	_, err := Parse("285/7OR17")
	assert.EqualError(t, err, `tyre size "285/7OR17", character 5, aspect ratio: 7 per cent is outside 20 to 100`)
}

// Load indices seen in published copies of the table.
func TestLoadIndexPublished(t *testing.T) {
	for index, kg := range map[int]float64{84: 500, 91: 615, 100: 800, 105: 925, 108: 1000, 110: 1060, 112: 1120, 113: 1150, 115: 1215, 116: 1250, 119: 1360,
		61: 257, 62: 265, 83: 487, // misprinted in one copy seen; the right values
		120: 1400, 123: 1550, 126: 1700} { // from memory
		got, err := LoadOfIndex(index)
		require.NoError(t, err)
		assert.Equal(t, kg, got, "load index %d", index)
	}
	for _, index := range []int{-1, 0, 59, 151, 300} {
		_, err := LoadOfIndex(index)
		assert.ErrorContains(t, err, "outside the table")
	}
}

// The index is a series of preferred numbers, 80 steps of 2.9 % to a factor of ten from 450 kg at 80. That
// finds a misprint anywhere in the table: the rounded values stay within 1.8 % of the series (the seen 1360 kg
// at 119 is 1.6 % off), no two neighbours are closer or further than rounding makes them, and one that lies
// 80 steps up is ten times as much.
func TestLoadIndexFollowsItsSeries(t *testing.T) {
	require.Equal(t, LastIndex-FirstIndex+1, len(loads))
	for i, kg := range loads {
		index := i + FirstIndex
		series := 450 * math.Pow(10, float64(index-80)/80)
		agree.Absolute(t, 1, float64(kg)/series, 0.018, "load index against its series")
		if i > 0 {
			step := float64(kg) / float64(loads[i-1])
			assert.True(t, step > 1.018 && step < 1.0375, "load index %d: a step of %g", index, step)
		}
		if i >= 80 {
			assert.InDelta(t, 10*loads[i-80], kg, 5, "load index %d against %d", index, index-80)
		}
	}
}

func TestSizeProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := float64(rapid.IntRange(21, 101).Draw(t, "w") * 5)
		a := float64(rapid.IntRange(20, 100).Draw(t, "a"))
		d := float64(rapid.IntRange(8, 30).Draw(t, "d"))
		m := metric(w, a, d)
		f := flotation(m.Diameter/inch, m.Width/inch, d)
		if math.Abs(f.Aspect-m.Aspect) > 1e-12 {
			t.Fatalf("the two forms of one tyre differ: %v %v", f.Aspect, m.Aspect)
		}
		if !(m.RollingRadius < m.Diameter/2 && m.LoadedRadius < m.RollingRadius) {
			t.Fatalf("radii out of order: %+v", m)
		}
		if math.Abs(m.Revolutions*m.RollingRadius-1) > exact {
			t.Fatal("one radian must roll one rolling radius")
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, text := range []string{"285/70R17", "LT285/70R17/E 121/118S", "35x12.50R17LT 121Q", "31×10.50R15LT (109Q) XL", "", "285/70", "x", "9e9/9", "P205/60ZR15\xff"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := Parse(text)
		if err != nil {
			var e *Error
			if !errors.As(err, &e) || e.Column < 1 || e.Column > len(text)+1 || e.Part == "" || e.Reason == "" {
				t.Fatalf("%q: bad error %#v", text, err)
			}
			return
		}
		if !(s.Diameter > s.RimDiameter && s.RimDiameter > 0 && s.Width > 0 && s.Aspect > 0 && s.LoadedRadius > 0 && s.Diameter < 2) {
			t.Fatalf("%q: impossible tyre %+v", text, s)
		}
	})
}

func BenchmarkParse(b *testing.B) {
	for b.Loop() {
		if _, err := Parse("LT285/70R17/E 121/118S"); err != nil {
			b.Fatal(err)
		}
	}
}
