package figure

import (
	"bytes"
	"encoding/csv"
	"math"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/unit"
)

func parse(t *testing.T, data []byte) [][]string {
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	require.NoError(t, err)
	return rows
}

const eightDigits = 1e-8 // relative: what the file promises

// The file holds every number that is drawn, in the units its heads name.
func TestCurvesFileRoundTrip(t *testing.T) {
	a, b := along("a", 33, square8), along("b", 17, square8)
	a.Y[4] = math.NaN()
	for _, system := range []System{Metric, US} {
		rows := parse(t, CSV(curvesOf(a, b), system))
		newton := curvesOf().Y.Unit(system)
		assert.Equal(t, []string{"Caster (deg)", "a (" + newton.Name + ")", "b (" + newton.Name + ")"}, rows[0])
		require.Len(t, rows, 34)
		for i, x := range a.X {
			got, err := strconv.ParseFloat(rows[i+1][0], 64)
			require.NoError(t, err)
			assert.InDelta(t, x, got*degree.SI, eightDigits)
			if i == 4 {
				assert.Empty(t, rows[i+1][1])
				continue
			}
			got, err = strconv.ParseFloat(rows[i+1][1], 64)
			require.NoError(t, err)
			assert.InEpsilon(t, a.Y[i], got*newton.SI, eightDigits)
			if i%2 == 1 {
				assert.Empty(t, rows[i+1][2], "b has no point there")
			} else {
				assert.NotEmpty(t, rows[i+1][2])
			}
		}
	}
}

func TestFileHasBandsReadingsAndPanels(t *testing.T) {
	l := along("", 3, square8)
	l.Low, l.High = []float64{9, 20, 70}, []float64{11, 30, math.NaN()}
	c := curvesOf()
	c.Panels = []Panel{
		{Title: Plain("Stock"), Lines: []Line{l}},
		{Title: Plain("Long"), Points: []Points{{Label: "Measured", X: []float64{0, 0}, Y: []float64{1, 2}, Names: []string{"first", "second"}}}},
	}
	rows := parse(t, CSV(c, Metric))
	assert.Equal(t, []string{"Caster (deg)", "Stock, Effort (N)", "Stock, Effort, low (N)", "Stock, Effort, high (N)", "Long, Measured (N)", "Reading"}, rows[0])
	assert.Equal(t, [][]string{
		{"0", "10", "9", "11", "1", "first"},
		{"0", "", "", "", "2", "second"},
		{"4", "26", "20", "30", "", ""},
		{"8", "74", "", "", "", ""},
	}, rows[1:])
}

func TestRoundingErrorsAreNoValues(t *testing.T) {
	c := curvesOf(Line{X: []float64{0, 1e-19, 0.1}, Y: []float64{math.Copysign(0, -1), 1e-17, 5}})
	rows := parse(t, CSV(c, Metric))
	assert.Equal(t, []string{"0", "0"}, rows[1])
	assert.Equal(t, "0", rows[2][1])
}

func TestTableFile(t *testing.T) {
	table := &Table{RowHead: "Arm", Rows: []Words{{Metric: "Stock"}, {"50 mm", "1.97 in"}}, Columns: []Column{
		{Head: Plain("Effort"), Unit: unit.MustParse("N"), US: unit.MustParse("lbf"), Cells: []Cell{{Text: Words{"−12\u202f345.5", "−2775"}, Number: true}, {Text: Plain("–"), Absent: true}}},
		{Head: Plain("Why"), Cells: []Cell{{Text: Plain("=1+1")}}},
	}}
	assert.Equal(t, [][]string{{"Arm", "Effort (N)", "Why"}, {"Stock", "-12345.5", "'=1+1"}, {"50 mm", "", ""}}, parse(t, CSV(table, Metric)))
	assert.Equal(t, [][]string{{"Arm", "Effort (lbf)", "Why"}, {"Stock", "-2775", "'=1+1"}, {"1.97 in", "", ""}}, parse(t, CSV(table, US)))
}

// Rows at values are numbers in the file, with their unit in the head, whatever their labels say.
func TestStepsAreNumbers(t *testing.T) {
	steps := &Steps{Values: []float64{0.05, 0.1234567891}, Metric: unit.MustParse("mm"), US: unit.MustParse("inch")}
	table := &Table{RowHead: "Lift", Rows: []Words{{"50 mm", "1.97 in"}, {"123 mm", "4.86 in"}}, Steps: steps, Columns: []Column{{Head: Plain("Why"), Cells: []Cell{{Text: Plain("a")}, {Text: Plain("b")}}}}}
	assert.Equal(t, [][]string{{"Lift (mm)", "Why"}, {"50", "a"}, {"123.456789", "b"}}, parse(t, CSV(table, Metric)))
	assert.Equal(t, [][]string{{"Lift (inch)", "Why"}, {"1.96850394", "a"}, {"4.86050351", "b"}}, parse(t, CSV(table, US)))
	bars := &Bars{XLabel: "Lift", Y: effort, Names: table.Rows, Steps: steps, Sets: []BarSet{{Y: []float64{1, 2}}}}
	assert.Equal(t, [][]string{{"Lift (mm)", "Effort (N)"}, {"50", "1"}, {"123.456789", "2"}}, parse(t, CSV(bars, Metric)))
}

// Lines over one axis are merged the short way, and come to what the long way makes of them.
func TestMerge(t *testing.T) {
	x := []float64{-1, 0, 2, 5}
	one, other := track{x: x, y: []float64{1, 2, 3, 4}}, track{x: slices.Clone(x), y: []float64{5, 6, 7, 8}}
	places, rows := merge([]track{one, other})
	assert.Equal(t, x, places)
	long := track{x: []float64{math.NaN()}, y: []float64{0}} // a point that is nowhere
	places2, rows2 := merge([]track{one, other, long})
	assert.Equal(t, places, places2)
	assert.Equal(t, rows, rows2[:2])
	assert.Equal(t, []int{-1}, rows2[2])

	places, rows = merge([]track{one, {x: []float64{2, 2, 3}, y: make([]float64, 3), read: true}})
	assert.Equal(t, []float64{-1, 0, 2, 2, 3, 5}, places, "two readings at one place have a row each")
	assert.Equal(t, [][]int{{0, 1, 2, 5}, {2, 3, 4}}, rows)
	places, rows = merge(nil)
	assert.Empty(t, places)
	assert.Empty(t, rows)
}

// A spreadsheet runs what begins like a formula.
func TestInert(t *testing.T) {
	for text, want := range map[string]string{
		"plain": "plain", "-10 mm": "-10 mm", "=SUM(A1)": "'=SUM(A1)", "+1": "'+1", "@x": "'@x", "-2+3+cmd|' /C x'!A0": "'-2+3+cmd|' /C x'!A0", "\t=1": "'=1",
	} {
		assert.Equal(t, want, inert(text))
	}
}

func TestDrawingFile(t *testing.T) {
	s := parallel(5, 12)
	rows := parse(t, CSV(drawing("side", s), Metric))
	assert.Equal(t, []string{"Corner", "Of", "x (mm)", "y (mm)", "z (mm)", "Value", "Unit"}, rows[0])
	assert.Contains(t, rows, []string{"Corner", "Lower ball joint", "10", "720", "320", "", ""})
	assert.Contains(t, rows, []string{"Corner", "Caster", "", "", "", "5", "deg"})
}

func TestClaimsHaveNoFile(t *testing.T) {
	assert.Nil(t, CSV(&Claim{}, Metric))
	assert.Nil(t, CSV(&Exercise{}, Metric))
}

func TestNumbersKeepEveryReading(t *testing.T) {
	c := curvesOf(along("a", 101, square8))
	c.Panels[0].Points = []Points{{Label: "Measured", X: []float64{0.0101}, Y: []float64{11}, Names: []string{"only"}}}
	table, every := c.Table(25)
	assert.Equal(t, 5, every)
	assert.Len(t, table.Columns[0].Cells, 21+1)
	assert.Equal(t, "0.00", table.Columns[0].Cells[0].Text.Metric, "0.08° apart: two decimals")
	assert.Equal(t, Cell{Text: Words{"10.0", "2.25"}, Number: true}, table.Columns[1].Cells[0])
	found := false
	for i, cell := range table.Columns[3].Cells {
		if cell.Text == Plain("only") {
			found = true
			assert.Equal(t, "11.0", table.Columns[2].Cells[i].Text.Metric)
			assert.Empty(t, table.Columns[1].Cells[i].Text, "no line has a point there")
		}
	}
	assert.True(t, found)
}

// A line that comes back over the same x is listed from point to point: sorted by x it couldn't be drawn again.
func TestLinesThatTurnBackKeepTheirOrder(t *testing.T) {
	deg := math.Pi / 180
	c := curvesOf(Line{Label: Plain("a"), X: []float64{0, 2 * deg, deg, 0}, Y: []float64{10, 20, math.NaN(), 10}}, Line{Label: Plain("b"), X: []float64{3 * deg, 4 * deg}, Y: []float64{1, 2}})
	assert.Equal(t, [][]string{
		{"a, Caster (deg)", "a, Effort (N)", "b, Caster (deg)", "b, Effort (N)"},
		{"0", "10", "3", "1"}, {"2", "20", "4", "2"}, {"1", "", "", ""}, {"0", "10", "", ""},
	}, parse(t, CSV(c, Metric)))
	table, every := c.Table(25)
	assert.Equal(t, 1, every)
	require.Len(t, table.Columns, 4)
	assert.Equal(t, "°", table.Columns[2].Unit.Symbol)
	assert.Equal(t, "lbf", table.Columns[3].US.Symbol)
	assert.Equal(t, "–", table.Columns[1].Cells[2].Text.Metric)
	assert.Empty(t, table.Columns[3].Cells[3].Text)
}

// Lines that only fall share one x like those that rise.
func TestFallingLinesShareX(t *testing.T) {
	deg := math.Pi / 180
	x := []float64{2 * deg, deg, 0}
	c := curvesOf(Line{Label: Plain("a"), X: x, Y: []float64{1, 2, 3}}, Line{Label: Plain("b"), X: slices.Clone(x), Y: []float64{4, 5, 6}})
	assert.Equal(t, [][]string{{"Caster (deg)", "a (N)", "b (N)"}, {"0", "3", "6"}, {"1", "2", "5"}, {"2", "1", "4"}}, parse(t, CSV(c, Metric)))
}

// How far readings may be out stands beside them, in file and table.
func TestReadingsKeepTheirErrors(t *testing.T) {
	deg := math.Pi / 180
	for _, turning := range []bool{false, true} {
		line := Line{Label: Plain("a"), X: []float64{0, deg, 2 * deg}, Y: []float64{1, 2, 3}}
		if turning {
			line.X = []float64{0, 2 * deg, deg}
		}
		c := curvesOf(line)
		c.Panels[0].Points = []Points{{Label: "Read", X: []float64{0, deg}, Y: []float64{7, 8}, Error: []float64{0.5, math.NaN()}}}
		rows := parse(t, CSV(c, Metric))
		last := len(rows[0]) - 1
		if turning {
			assert.Equal(t, "Read, Effort (N)", rows[0][last-1])
		} else {
			assert.Equal(t, "Read (N)", rows[0][last-1])
		}
		assert.Equal(t, "Read, error (N)", rows[0][last])
		assert.Equal(t, []string{"7", "0.5"}, rows[1][last-1:])
		assert.Equal(t, []string{"8", ""}, rows[2][last-1:])
		table, _ := c.Table(25)
		require.Len(t, table.Columns, last+1)
		assert.Equal(t, "Read, error", table.Columns[last].Head.Metric)
		assert.Equal(t, "0.50", table.Columns[last].Cells[0].Text.Metric)
		assert.Equal(t, "–", table.Columns[last].Cells[1].Text.Metric)
	}
}

// Two kinds of readings in one row keep both names.
func TestReadingsInOneRowKeepTheirNames(t *testing.T) {
	deg := math.Pi / 180
	for _, line := range [][]float64{{0, deg, 2 * deg}, {0, 2 * deg, deg}} { // the second turns back
		c := curvesOf(Line{Label: Plain("a"), X: line, Y: []float64{1, 2, 3}})
		c.Panels[0].Points = []Points{
			{Label: "First", X: []float64{0}, Y: []float64{7}, Names: []string{"before"}},
			{Label: "Then", X: []float64{0}, Y: []float64{8}, Names: []string{"after"}},
		}
		first := parse(t, CSV(c, Metric))[1]
		assert.Equal(t, "before, after", first[len(first)-1])
	}
}
