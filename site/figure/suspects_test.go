package figure

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/canvas"
)

// A point with a wrong sign is marked where it was typed, beyond the middle of the vehicle, and named in every view.
func TestSuspectsAreMarked(t *testing.T) {
	k := parallel(4, 12).Sketch
	k.TieOuter.Y = -k.TieOuter.Y
	s := &Suspects{ID: "s", Vehicle: "A <truck>", Side: "left front", Corner: k, Points: []string{"TieOuter", "UpperBall"}}
	require.True(t, s.Drawable())
	p := s.Draw(Metric)
	check(t, p)
	assert.Equal(t, "A <truck>, the left front corner as typed: TieOuter at −140, −700, 410; UpperBall at −17.3, 637.1, 710 mm", s.Says().Metric)
	for _, plate := range []Plate{p.Wide, p.Narrow} {
		marks := drawn(plate)
		assert.Len(t, marks.areas(canvas.Bad), 6, "two points, three views")
		assert.Len(t, marks.lines(middleLine), 2, "the middle shows from the front and from above")
		assert.Equal(t, 3, countText(marks, "TieOuter"))
	}
	k.Radius = 0
	assert.False(t, (&Suspects{Corner: k}).Drawable(), "a point isn't given")
}

func countText(m marks, text string) (n int) {
	for _, one := range m {
		if one.text == text {
			n++
		}
	}
	return n
}
