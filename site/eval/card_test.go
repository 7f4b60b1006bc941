package eval

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/figure"
)

// cardOf evaluates a notebook whose block ends with one card.
func cardOf(t *testing.T, l library, block string) (*figure.Card, string) {
	t.Helper()
	l["a.md"] = "# A\n" + fence(roughTruck+block)
	p := New(l, Options{}).Page(context.Background(), "a")
	require.Empty(t, p.Faults, "%v", p.Faults)
	assert.True(t, p.Cautions)
	card := p.Blocks[0].Figures[0].(*figure.Card)
	return card, string(figure.CSV(card, figure.Metric))
}

// The card's file, filled in, is what Survey reads; as it is, the first blank is told.
func TestCardIsFilledInAndRead(t *testing.T) {
	card, blank := cardOf(t, library{}, "Card{Vehicle: rough}")
	assert.Len(t, card.Points, 9)
	assert.True(t, card.Right)
	lines := strings.Split(strings.TrimSpace(blank), "\n")
	assert.Equal(t, "Kind,From,To,Reading (mm),Note", lines[0])
	assert.Equal(t, "floor,WheelCentre,Right.WheelCentre,,", lines[1])
	assert.Equal(t, `floor,WheelCentre,Right.WheelCentre,,"again, afresh"`, lines[2])

	use := `found := Survey{Readings: readings("card.csv"), Start: rough}`
	p := New(library{"card.csv": blank, "a.md": "# A\n" + fence(roughTruck+use)}, Options{}).Page(context.Background(), "a")
	require.Len(t, p.Faults, 1)
	assert.Contains(t, p.Faults[0].Error(), "card.csv:2:37: the reading is missing: fill it in, or delete the row")

	// The demo's readings, in the card's order, of the left corner.
	read := strings.Split(strings.TrimSpace(demoReadings(t, "corrie-points.csv")), "\n")[1:]
	filled := lines[:1]
	for i, r := range read {
		assert.True(t, strings.HasPrefix(lines[1+i], r[:strings.LastIndex(r, ",")+1]), "%s %s", lines[1+i], r)
		filled = append(filled, r+",")
	}
	found, file := cardOf(t, library{"card.csv": strings.Join(filled, "\n") + "\n"}, use+"\nCard{Vehicle: rough, Survey: found}")
	assert.True(t, found.Surveyed)
	assert.False(t, found.Right)
	assert.Empty(t, found.Again)
	assert.Equal(t, strings.Join(filled, "\n")+"\n", strings.ReplaceAll(file, "\r", ""))
}

// What is likely wrong is marked where it was read and listed, and readings of one's own are shown too.
func TestCardTellsWhatToReadAgain(t *testing.T) {
	first := demoReadings(t, "corrie-first.csv") + "height,sill,,400\nheight,sill,,401\n"
	card, file := cardOf(t, library{"first.csv": first}, `
found := Survey{Readings: readings("first.csv"), Start: rough}
Card{Survey: found}`)
	require.Len(t, card.Again, 2)
	assert.Equal(t, "upper ball joint, along the truck, second reading", card.Again[0].Name)
	assert.Equal(t, "upper ball joint, along the truck", card.Again[1].Name)
	assert.Equal(t, "−2", card.Again[0].Read.Value.Text.Metric)
	assert.True(t, card.Points[8].Reads[0][0].Read[1].Noticed)
	require.Len(t, card.Others, 2)
	assert.Equal(t, "sill, height, second reading", card.Others[1].Name)
	assert.Contains(t, file, "height,sill,,401,\n")
	assert.Contains(t, file, "along,UpperBall,,-2,read again\n")
}

func TestCardFaults(t *testing.T) {
	for block, want := range map[string]string{
		"Card{}":                   "a card needs Vehicle, Survey or both",
		"Card{Vehicle: 3*mm}":      "Vehicle takes a vehicle; this is a length",
		"Card{Survey: rough}":      "Survey takes the result of Survey; this is a Vehicle",
		"Card{Vehicle: Vehicle{}}": "a card sketches the corner, and Front.WheelCentre isn't given",
		"two := Choices{\"A\": rough, \"B\": rough}\ntwo.Front.UpperBall.X = list(1*mm, 2*mm)\nCard{Vehicle: two}": "a card has room for one vehicle",
	} {
		p := New(library{"a.md": "# A\n" + fence(roughTruck+block)}, Options{}).Page(context.Background(), "a")
		require.Len(t, p.Faults, 1, block)
		assert.Contains(t, p.Faults[0].Error(), want)
	}
}
