package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestReadingWords(t *testing.T) {
	for row, want := range map[string]string{
		"along UpperBall":                        "upper ball joint, along the truck",
		"along UpperBall (2)":                    "upper ball joint, along the truck, second reading",
		"height sill (7)":                        "sill, height, reading 7",
		"tape Right.TieInner to right sill":      "right inner tie-rod joint to right sill, by tape",
		"floor WheelCentre to Right.WheelCentre": "wheel centre to right wheel centre, on the floor",
		"none":                                   "none",
	} {
		assert.Equal(t, want, ReadingWords(row))
	}
	// Every reading that a card asks for has words.
	for _, c := range CardReadings() {
		for side := range 2 {
			for _, r := range c.Side(side) {
				row := r.Kind + " " + r.From
				if r.To != "" {
					row += " to " + r.To
				}
				assert.NotRegexp(t, `[a-z][A-Z]|\.`, ReadingWords(row))
			}
		}
	}
}
