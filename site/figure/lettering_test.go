package figure

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
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
