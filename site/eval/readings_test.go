package eval

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/unit"
	"turnplate/site/figure"
	"turnplate/site/value"
)

func TestReadings(t *testing.T) {
	l := library{
		"a.md": "# A\n" + fence(`
r := readings("print.csv")
x := span(-1*deg, 3*deg, 5)
Curves{X: x, Y: x*2, Readings: []Points{{r.TotalToe, r.Camber}}}
`) + "\n{r.TotalToe.At(r.Step, \"After\") in deg} {r.Count.Max()}\n",
		"print.csv": "Step,Total toe (deg),Camber (deg),Count\nBefore,-0.5,1,2\nAfter,0.1,,3\n",
		"bad.md":    "# B\n" + fence(`r := readings("bad.csv")`),
		"bad.csv":   "Step,Toe (degg)\nA,1\n",
		"bad2.md":   "# B\n" + fence(`r := readings("bad2.csv")`),
		"bad2.csv":  "Step,Toe (deg)\nA,one\n",
	}
	ev := New(l, Options{})
	p := ev.Page(context.Background(), "a")
	require.Empty(t, p.Faults, "%v", p.Faults)
	assert.Equal(t, "0.1°", p.Inserts[0].String())
	assert.Equal(t, "3", p.Inserts[1].String())
	c := p.Blocks[0].Figures[0].(*figure.Curves)
	assert.Equal(t, []string{"Before"}, c.Panels[0].Points[0].Names)
	assert.Contains(t, ev.Page(context.Background(), "bad").Faults[0].Error(), "bad.csv:1:6: the heading's brackets hold no known unit")
	assert.Contains(t, ev.Page(context.Background(), "bad2").Faults[0].Error(), `bad2.csv:2:3: "one" isn't a number`)
}

// How far readings may be out is one number or a column, of the dimension of what is read.
func TestReadingsMayBeOut(t *testing.T) {
	run := func(points, rows string) *Page {
		l := library{
			"a.md":  "# A\n" + fence("r := readings(\"r.csv\")\no := readings(\"o.csv\")\nx := span(0*mm, 3*mm, 4)\nCurves{X: x, Y: x*1*deg/mm, Readings: []Points{"+points+"}}"),
			"r.csv": "At,Rise (mm),Toe (deg),Out (deg),Wrong (deg),Far (mm)\n" + rows,
			"o.csv": "At,Out (deg)\nlow,1\nhigh,2\n",
		}
		return New(l, Options{}).Page(context.Background(), "a")
	}
	const rows = "low,0,0.2,0.1,0.1,1\nmiddle,1,,0.1,0.1,1\nhigh,2,2.1,,-0.1,1\n"
	points := func(text string) figure.Points {
		p := run(text, rows)
		require.Empty(t, p.Faults, "%v", p.Faults)
		return p.Blocks[0].Figures[0].(*figure.Curves).Panels[0].Points[0]
	}
	deg := unit.MustParse("deg").SI
	column := points("{X: r.Rise, Y: r.Toe, Error: r.Out}")
	require.Len(t, column.Error, 2, "one for each reading that there is")
	assert.InDelta(t, 0.1*deg, column.Error[0], 1e-12)
	assert.True(t, math.IsNaN(column.Error[1]), "the file doesn't say")
	alike := points(`{r.Rise, r.Toe, "Read", 0.3*deg}`)
	require.Len(t, alike.Error, 2)
	for _, far := range alike.Error {
		assert.InDelta(t, 0.3*deg, far, 1e-12)
	}
	assert.Nil(t, points("{r.Rise, r.Toe}").Error)
	for text, want := range map[string]string{
		"{X: r.Rise, Y: r.Toe, Error: r.Wrong}":              "a.md:7:77: an error is never below zero, and this is at high (give how far either way the reading may be out)",
		"{X: r.Rise, Y: r.Toe, Error: -1*deg}":               "an error is never below zero, and this is (give",
		"{X: r.Rise, Y: r.Toe, Error: r.Far}":                "these readings are a length, but Y is an angle",
		"{X: r.Rise, Y: r.Toe, Error: 1}":                    "these readings are a plain number, but Y is an angle",
		"{X: r.Rise, Y: r.Toe, Error: o.Out}":                "Error is one number, or a column of the file that X and Y come from",
		"{X: r.Rise, Y: r.Toe, Error: normal(1*deg, 1*deg)}": "Error is one number, or a column of the file that X and Y come from",
		`{X: r.Rise, Y: r.Toe, Error: "much"}`:               "a number was expected here",
	} {
		p := run(text, rows)
		if assert.Len(t, p.Faults, 1, text) {
			assert.Contains(t, p.Faults[0].Error(), want, text)
		}
	}
}

// What is wrong with a readings file is said with its place in it.
func TestReadingsFaults(t *testing.T) {
	for text, want := range map[string]string{
		"":                              "r.csv:1:1: readings need a header line and at least one row below it",
		"Toe (deg)\n":                   "r.csv:1:1: readings need a header line and at least one row below it",
		"Toe (deg)\n1\n\xff\n":          "r.csv:3:1: the file is not UTF-8 text: here is the byte 0xFF (save it as UTF-8)",
		"\xff\xfeT\x00":                 "r.csv:1:1: the file is not UTF-8 text: here is the byte 0xFF (it looks like UTF-16: save it as UTF-8)",
		"Toe (deg)\n1\x00\n":            "r.csv:2:2: the file is not plain text: here is the control character U+0000",
		"\ufeffStep,T\nA\u202eB,1\n":    "r.csv:2:2: the mark U+202E stands here unseen and turns the direction of the text, so that it reads otherwise than it is (remove it)",
		"Toe (deg)\n1,2\n":              "r.csv:2:3: this row has 2 values under 1 headings (a decimal comma needs quotes or a point, or semicolons between the columns)",
		"Toe,Toe\n1,2\n":                "r.csv:1:5: two columns would both be called Toe",
		"Toe (deg\n1\n":                 `r.csv:1:1: the heading's bracket isn't closed: "(deg"`,
		"Toe (deg)\n\"1,234\"\n":        `r.csv:2:1: "1,234" isn't a number, but the heading gives a unit (it can be read in two ways: write it without a sign between thousands)`,
		"A;Toe (deg)\nx;1.234,5\n":      `r.csv:2:3: "1.234,5" isn't a number, but the heading gives a unit (it can be read in two ways: write it without a sign between thousands)`,
		"A (mm);B (mm)\n1,5;2.5\n":      `r.csv:2:5: "2.5" isn't a number, but the heading gives a unit (other numbers of this file have a decimal comma: write this one with a comma too)`,
		"A (\")\n3\n":                   `r.csv:1:4: bare " in non-quoted-field (write in for inches and ″ for seconds of arc)`,
		"A (mm)\n3 mm\n":                `r.csv:2:1: "3 mm" isn't a number, but the heading gives a unit (write 3, and the unit in the heading alone)`,
		"A (arcmin)\n3\n":               `r.csv:1:1: the heading's brackets hold no known unit: "arcmin" (it would be deg/60; give the values in a unit of the list, which turnplate tell units shows)`,
		"A (furlong)\n3\n":              `r.csv:1:1: the heading's brackets hold no known unit: "furlong" (there are Hz, N, `,
		"9\n1\n":                        "r.csv:1:1: a heading needs a name that starts with a letter",
		"Toe (deg)\n1e999\n":            `r.csv:2:1: "1e999" isn't a number, but the heading gives a unit`,
		"A,Torque (N*m/deg)\nx,1e308\n": `r.csv:2:3: "1e308" is too large to calculate with`,
		"Toe (deg)\nNaN\n":              `r.csv:2:1: "NaN" isn't a number, but the heading gives a unit`,
		"A,B\n1,\"2\n3\n":               `r.csv:3:3: extraneous or missing " in quoted-field`,
		"Toe (deg)\n\"1\n":              `r.csv:2:4: extraneous or missing " in quoted-field`,
		"A\n" + strings.Repeat("1\n", MaxReadings+1): "r.csv:100002:1: more than 100000 rows",
	} {
		_, faults := parseReadings("r.csv", []byte(text), &value.Axis{})
		if assert.NotEmpty(t, faults, text) {
			assert.Contains(t, faults[0].Error(), want)
		}
	}
}

// Files are read as spreadsheets write them, and angles as printouts do.
func TestReadingsAsWritten(t *testing.T) {
	const want = "Step: [Before After], Toe: [-0.1000 0.1042] °, Wide: [17.5000 NaN] in, Pull: [1234.5000 2.0000] N·m, Count: [1.5000 2.0000] "
	for _, text := range []string{
		"Step,Toe (deg),Wide (inch),Pull (N*m),Count\nBefore,-0.1,17.5,1234.5,1.5\nAfter,0.1042,,2,2\n",
		"Step,Toe (°),Wide (in),Pull (Nm),Count\nBefore,\"-0,1\",\"17,5\",\"1234,5\",\"1,5\"\nAfter,\"0,1042\",,2,2\n",
		"Step;Toe [°];Wide [″];Pull (N·m);Count\r\nBefore;-0°06';17,5;1234,5;1,5\r\nAfter;0°06'15″;;2;2\r\n",
		"\ufeffStep\tToe (degrees)\tWide (inches)\tPull (Nm)\tCount\nBefore\t−0°6′\t17,5\t1234,5\t1,5\nAfter\t0,1042\t\t2,0\t2\n",
		"Step\tToe (deg)\tWide (in)\tPull (N*m)\tCount\nBefore\t−0.1°\t17.5\t1234.5\t1.5\nAfter\t0.1042\t\t2.0\t2\n",
	} {
		r, faults := parseReadings("r.csv", []byte(text), &value.Axis{})
		require.Empty(t, faults, text)
		var got []string
		for _, name := range []string{"Step", "Toe", "Wide", "Pull", "Count"} {
			a := r.Fields[name].(*value.Array)
			if a.Kind == value.Words {
				got = append(got, name+": "+fmt.Sprint(a.Words))
				continue
			}
			line, u := name+": [", unit.Unit{SI: 1}
			if a.Show != nil {
				u = a.Show.Metric
			}
			for i, x := range a.Num {
				line += strings.Repeat(" ", min(i, 1)) + fmt.Sprintf("%.4f", x/u.SI)
			}
			got = append(got, line+"] "+u.Symbol)
		}
		assert.Equal(t, want, strings.Join(got, ", "), text)
	}
}

// FuzzReadings: no file makes the reader panic; whatever is wrong stands in the file, and what is read is
// columns of one length whose numbers are finite or absent.
func FuzzReadings(f *testing.F) {
	f.Add([]byte("Step,Total toe (deg),Camber (deg),Count\nBefore,-0.5,1,2\nAfter,0.1,,3\n"))
	f.Add([]byte("\ufeffA;B (mm)\r\n\"a\n\"\"b\",−1\r\n"))
	f.Add([]byte("A;Toe (°)\nx;-1°30'\ny;17,5\n"))
	f.Add([]byte("A\tPull [N·m]\nx\t1.234,5\ny\t\n"))
	f.Add([]byte("A (N*m/deg)\n1e308\n-1e-320\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		axis := &value.Axis{}
		r, faults := parseReadings("r.csv", data, axis)
		lines := bytes.Count(data, []byte("\n")) + 1
		for _, d := range faults {
			if d.Pos.Line < 1 || d.Pos.Line > lines || d.Pos.Col < 1 || d.Message == "" {
				t.Fatalf("fault %+v in %q", d, data)
			}
			_ = d.Excerpt()
		}
		if len(faults) > 0 {
			return
		}
		require.NotNil(t, r)
		for name, field := range r.Fields {
			a := field.(*value.Array)
			require.Equal(t, []*value.Axis{axis}, a.Axes, name)
			if a.Kind == value.Words {
				require.Len(t, a.Words, axis.Length, name)
				continue
			}
			require.Len(t, a.Num, axis.Length, name)
			for _, x := range a.Num {
				require.False(t, math.IsInf(x, 0), "%s of %q", name, data)
			}
		}
	})
}
