package eval

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim"
)

// A vehicle that is refused or doubted is drawn as typed, with the points that the mistake or the doubt is about.
func TestSuspectsAreDrawn(t *testing.T) {
	for name, c := range map[string]struct {
		code, side string
		refused    bool
		points     []string
	}{
		"a wrong sign":      {"car.Front.TieOuter = at(150, -718, 288)*mm", "left front", true, []string{"TieOuter"}},
		"upside down":       {"car.Front.UpperBall.Z = 20*mm\ncar.Front.LowerBall.Z = 620*mm", "left front", true, []string{"UpperBall", "LowerBall"}},
		"a doubt":           {"car.Front.UpperBall = at(120, 665, 620)*mm", "left front", false, []string{"UpperBall", "LowerBall"}},
		"off its mirror":    {"car.Right = car.Front\ncar.Right.UpperRear = at(-130, 465, 595)*mm", "right front", false, []string{"UpperRear"}},
		"a joint can't be":  {"car.Front.Lift = 240*mm\ncar.RearLift = 240*mm\nnow := Alignment{Vehicle: car}\nTable{Columns: []Column{{\"Camber\", now.Camber}}}", "left front", true, []string{"WheelCentre"}},
		"nothing in points": {"car.Tyre.Mass = 200*kg", "", false, nil},
	} {
		t.Run(name, func(t *testing.T) {
			p := page(t, "# A\n"+fence(truck+"car := truck\n"+c.code))
			if c.points == nil {
				assert.Empty(t, p.Suspects)
				assert.NotEmpty(t, p.Doubts)
				return
			}
			require.NotEmpty(t, p.Suspects, "%v %v", p.Faults, p.Doubts)
			s := p.Suspects[len(p.Suspects)-1]
			assert.Equal(t, c.points, s.Points)
			assert.Equal(t, c.side, s.Side)
			assert.Equal(t, c.refused, s.Refused)
			assert.Equal(t, c.refused, len(p.Faults) > 0)
			if name == "a wrong sign" {
				assert.InDelta(t, 0, s.Corner.TieOuter.Sub(sim.Point{X: 0.150, Y: -0.718, Z: 0.288}).Norm(), 1e-12, "where it was typed")
			}
		})
	}
	assert.Empty(t, good(t, "# A\n"+fence(truck)).Suspects)
}
