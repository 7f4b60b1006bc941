package figure

import (
	"encoding/csv"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"turnplate/site/canvas"
)

func degreesEdge(d float64) Edge {
	r := d * math.Pi / 180
	return Edge{r, r, r}
}

func zoneOf(name string, from, until float64, is Standing) Zone {
	return Zone{Name: typed(name), From: degreesEdge(from), Until: degreesEdge(until), Standing: is}
}

func sampleZones() *Zones {
	return &Zones{
		Head: Head{ID: "zones", Title: typed("How much")}, X: degrees8, Along: typed("Caster"),
		Mark: degreesEdge(4.5).At, Called: typed("ask for"),
		Strips: []ZoneStrip{
			{Name: typed("What it buys"), Zones: []Zone{
				zoneOf("too little", 0, 4, PoorZone), zoneOf("right", 4, 5, GoodZone), zoneOf("ever less", 5, 8, FairZone)}},
			{Name: typed("What can be had"), Zones: []Zone{
				zoneOf("can be set", 0, 2, FairZone), zoneOf("a sliver with a long name that has no room", 2, 2.1, GoodZone), zoneOf("out of reach", 2.1, 8, NoZone)}},
		},
	}
}

// Zones lie where the scale says, side by side, and the mark crosses both strips at its place.
func TestZonesLieWhereTheScaleSays(t *testing.T) {
	z := sampleZones()
	p := z.Draw(Metric)
	check(t, p)
	for _, plate := range []Plate{p.Wide, p.Narrow} {
		m := drawn(plate)
		good := m.areas(canvas.Good.Faint(0.25))
		require.Len(t, good, 2)
		fair := m.areas(canvas.Separate(4).Faint(0.3))
		require.Len(t, fair, 2)
		left, right := fair[1][0].x, fair[0][1].x // 0 and 8 degrees
		at := func(deg float64) float64 { return left + (right-left)*deg/8 }
		assert.InDelta(t, at(4), good[0][0].x, 1e-6)
		assert.InDelta(t, at(5), good[0][1].x, 1e-6)
		assert.InDelta(t, at(5), fair[0][0].x, 1e-6)
		marks := m.lines(markLine)
		require.Len(t, marks, 2)
		for i, mark := range marks {
			assert.InDelta(t, at(4.5), mark[0].x, 1e-6)
			assert.Less(t, mark[0].y, mark[1].y)
			if i > 0 {
				assert.Greater(t, mark[0].y, marks[i-1][1].y, "the strips' names stay clear")
			}
		}
		assert.NotEmpty(t, m.lines(hatchLine), "out of reach is hatched")
		assert.Contains(t, texts(plate, "label"), "1", "the sliver holds its number")
	}
	require.NotEmpty(t, p.Keys)
	last := p.Keys[len(p.Keys)-1]
	assert.Equal(t, "1 a sliver with a long name that has no room", last.Label.Metric)
	assert.True(t, last.Wide && last.Narrow)
	assert.Empty(t, p.Notes)
	assert.Contains(t, p.Wide.SVG, "What it buys: too little, 0.00° to 4.00°")
	assert.Contains(t, p.Wide.SVG, "Marked: ask for, 4.50°.")
}

// No name reaches out of its zone, whatever it says.
func TestZoneNamesStayInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		z := sampleZones()
		for i := range z.Strips {
			for k := range z.Strips[i].Zones {
				z.Strips[i].Zones[k].Name = typed(rapid.String().Draw(t, "name"))
			}
		}
		p := z.Draw(Metric)
		check(t, p)
		for _, c := range []struct {
			layout
			Plate
		}{{wide, p.Wide}, {narrow, p.Narrow}} {
			r := readyZones(z)
			f := frame{box{besideZones, 0, c.width - 2*besideZones, 1}, r.x, extent{0, 1}}
			names, cut := r.fit(c.layout)
			r.each(func(i, _ int, one Zone) {
				if !cut[i] {
					require.LessOrEqual(t, names[i].widest(c.small()), r.place(f, one, box{}).w)
				}
			})
		}
	})
}

// An uncertain end has its interval, and says so; a certain one has none.
func TestZoneEndsMayBeUncertain(t *testing.T) {
	z := sampleZones()
	e := &z.Strips[0].Zones[1].Until
	e.Low, e.High = degreesEdge(4.5).At, degreesEdge(5.5).At
	p := z.Draw(Metric)
	check(t, p)
	m := drawn(p.Wide)
	lines := m.lines(whiskerLine)
	require.Len(t, lines, 3)
	good := m.areas(canvas.Good.Faint(0.25))[0]
	assert.InDelta(t, good[1].x-good[0].x, lines[0][1].x-lines[0][0].x, 1e-6, "a degree wide, as the zone is")
	require.Len(t, p.Notes, 1)
}

// Positions of a dial share the scale.
func TestZonesShareTheirScale(t *testing.T) {
	a, b := sampleZones(), sampleZones()
	b.Strips[0].Zones[2].Until = degreesEdge(10)
	a.steady([]Figure{a, b})
	assert.Equal(t, readyZones(a).x, readyZones(b).x)
	assert.InDelta(t, degreesEdge(10).At, readyZones(a).x.hi, 1e-12)
}

func TestZonesFileReadsBack(t *testing.T) {
	rows := sampleZones().records(Metric)
	var b strings.Builder
	require.NoError(t, csv.NewWriter(&b).WriteAll(rows))
	back, err := csv.NewReader(strings.NewReader(b.String())).ReadAll()
	require.NoError(t, err)
	require.Len(t, back, 8)
	assert.Equal(t, "Caster from (deg)", back[0][3])
	assert.Equal(t, []string{"What it buys", "right", "good", "4", "4", "4", "5", "5", "5"}, back[2])
	assert.Equal(t, []string{"", "ask for", "mark", "4.5", "4.5", "4.5", "4.5", "4.5", "4.5"}, back[7])

	table, _ := sampleZones().Table(100)
	require.Len(t, table.Columns, 2)
	assert.Equal(t, "What it buys, right", table.Rows[1].Metric)
	assert.Equal(t, "4.00", table.Columns[0].Cells[1].Text.Metric)
}

// A strip without a zone is still told of, and what is left out is counted.
func TestZonesLeftOut(t *testing.T) {
	z := sampleZones()
	z.Strips[1].Zones, z.Left = nil, 2
	p := z.Draw(Metric)
	assert.Contains(t, string(p.Wide.SVG), "What can be had: nothing.")
	assert.Equal(t, []string{"Left out, because there is no such place with these values: 2 zones."}, p.Notes)
}
