package figure

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/canvas"
)

// Names and dashes stand level with what they belong to: half a letter too low is seen.
func TestNamesStandLevelWithTheirParts(t *testing.T) {
	named, placed := drawing("front", parallel(5, 13)), drawing("front", parallel(5, 13))
	placed.Points = true
	for _, d := range []*Drawing{named, placed} {
		p := d.Draw(Metric)
		check(t, p)
		m := drawn(p.Wide)
		led := 0
		for _, lead := range m.lines(leadLine) {
			for _, name := range m {
				over, size := name.at.y-lead[0].y, name.how.Size // of the line's end over the letters' feet
				if name.text == "" || math.Abs(name.at.x-lead[0].x) > textWidth(name.text, size)+8 || over < -0.6*size || over > 1.2*size {
					continue // it leads elsewhere
				}
				led++
				assert.Greater(t, over, 0.0, name.text)
				assert.Less(t, over, 0.55*size, "%s: the line ends over its small letters", name.text)
			}
		}
		assert.Greater(t, led, 4)
	}
	b := &Bars{Head: Head{ID: "b"}, Y: effort, Names: []Words{{Metric: "none"}, {Metric: "some"}}, Sets: []BarSet{{Y: []float64{math.NaN(), 40}}}}
	at := map[string]float64{}
	for _, one := range drawn(b.Draw(Metric).Wide) {
		at[one.text] = one.at.y
	}
	assert.InDelta(t, at["none"], at["–"], 2, "a missing bar's dash stands beside its name")
}

// A number on a measuring card that stands beside its point stands level with it.
func TestNumbersOfACardStandLevelWithTheirPoints(t *testing.T) {
	c := &Card{Head: Head{ID: "c"}, Corner: parallel(5, 13).Sketch}
	for i := range c.Corner.numbered() {
		c.Points = append(c.Points, CardPoint{Number: i + 1, Name: "point"})
	}
	for _, plate := range []Plate{c.Draw(Metric).Wide, c.Draw(Metric).Narrow} {
		beside := 0
		var dots [][]point // of the view that the numbers after them are in
		for _, one := range drawn(plate) {
			switch {
			case one.ink == canvas.Black && one.width == 0 && one.text == "":
				dots = one.lines
			case one.how.Bold:
				n, err := strconv.Atoi(one.text)
				require.NoError(t, err)
				require.Len(t, dots, len(c.Points))
				dot := dots[n-1][0]
				over := one.at.y - dot.y // of the point's middle over the number's foot
				if one.at.x < dot.x && one.at.x+textWidth(one.text, one.how.Size) > dot.x || math.Abs(over) > 1.2*one.how.Size {
					continue // it stands above or below, or further away
				}
				beside++
				assert.Greater(t, over, 0.2*one.how.Size, one.text)
				assert.Less(t, over, 0.5*one.how.Size, one.text)
			}
		}
		assert.Greater(t, beside, 9)
	}
}
