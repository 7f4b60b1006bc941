package eval

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/figure"
)

func TestZones(t *testing.T) {
	p := good(t, "# A\n"+fence(`
least := 4*deg
most := normal(5*deg, 0.1*deg)
Zones{Title: "How much", Along: "Caster", In: deg, Mark: 4.5*deg, MarkHead: "ask for {least in deg}", Rows: []Zone{
	{"It buys", "less than {least in deg}", 1*deg, least, "poor"},
	{"It buys", "enough", least, most, "good"},
	{Strip: "To be had", Head: "no", From: 1*deg, Until: 8*deg, Is: "out of reach"},
}}
`))
	z := p.Blocks[0].Figures[0].(*figure.Zones)
	require.Len(t, z.Strips, 2, "zones with the same words share a strip")
	assert.Equal(t, "It buys", z.Strips[0].Name.String())
	require.Len(t, z.Strips[0].Zones, 2)
	assert.Equal(t, "less than 4°", z.Strips[0].Zones[0].Name.String())
	assert.Equal(t, "ask for 4°", z.Called.String())
	assert.Equal(t, "Caster", z.Along.String())
	assert.Equal(t, figure.NoZone, z.Strips[1].Zones[0].Standing)
	rad := math.Pi / 180
	assert.InDelta(t, 4.5*rad, z.Mark, 1e-12)
	end := z.Strips[0].Zones[1].Until
	assert.InDelta(t, 5*rad, end.At, 0.02*rad)
	assert.InDelta(t, 0.4*rad, end.High-end.Low, 0.03*rad, "95 %")
}

func TestZonesFaults(t *testing.T) {
	for code, want := range map[string]string{
		`Zones{Along: "A"}`:                                                                          "Zones needs Rows",
		`Zones{Rows: []Zone{{"A", "a", 1, 2, "good"}}}`:                                              "Zones needs Along",
		`Zones{Along: "A", Rows: []Zone{}}`:                                                          "from 1 to 24 zones",
		`Zones{Along: "A", Rows: []Zone{{"A", "a", 1, 2}}}`:                                          "a zone needs Is",
		`Zones{Along: "A", Rows: []Zone{{"A", "a", 2, 1, "good"}}}`:                                  "this zone ends before it begins",
		`Zones{Along: "A", Rows: []Zone{{"A", "a", 1, 2, "god"}}}`:                                   `Is is "good", "fair"`,
		`Zones{Along: "A", Rows: []Zone{{"A", "a", 1*mm, 2*kg, "good"}}}`:                            "but the ends before it are",
		`Zones{Along: "A", Mark: 1*kg, Rows: []Zone{{"A", "a", 1*mm, 2*mm, "good"}}}`:                "but the ends before it are",
		"b := list(1, 2)\n" + `Zones{Along: "A", Rows: []Zone{{"A", "a", b, 2, "good"}}}`:            "a zone ends at one place",
		"b := sqrt(normal(-9, 0.1))\n" + `Zones{Along: "A", Rows: []Zone{{"A", "a", b, 2, "good"}}}`: "this has no value",
	} {
		p := New(library{"a.md": "# A\n" + fence(code)}, Options{}).Page(context.Background(), "a")
		require.NotEmpty(t, p.Faults, code)
		assert.Contains(t, p.Faults[0].Message, want, code)
	}
}

// With a reader's own values a zone may have no place. It is left out, and the others are drawn.
func TestZonesOfYours(t *testing.T) {
	study := "# Study\n\n```go params\nc := use(\"car\").truck\nheld := 1000*kg + sqrt((2000*kg - c.Mass)/(1*kg))*kg\nfirst := 500*kg\n" +
		"Zones{Title: \"Loads\", Along: \"Load\", In: kg, Rows: []Zone{\n{\"All\", \"less\", first, c.Mass, \"poor\"},\n{\"All\", \"more\", c.Mass, 3000*kg, \"good\"},\n{\"Held\", \"less\", first, held, \"fair\"},\n}}\n```\n"
	lib := library{"car.md": offering, "study.md": study}
	require.Empty(t, New(lib, Options{}).Page(context.Background(), "study").Faults)
	for mass, want := range map[string][]int{"1500*kg": {2, 1, 0}, "2500*kg": {2, 0, 1}, "400*kg": {1, 1, 1}} {
		p := yours(lib, "study", "truck.Mass = "+mass)
		require.Empty(t, p.Faults, mass)
		require.IsType(t, &figure.Zones{}, p.Blocks[0].Figures[0], mass)
		z := p.Blocks[0].Figures[0].(*figure.Zones)
		require.Len(t, z.Strips, 2, mass)
		assert.Equal(t, want, []int{len(z.Strips[0].Zones), len(z.Strips[1].Zones), z.Left}, mass)
	}
}
