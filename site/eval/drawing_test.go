package eval

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/unit"
	"turnplate/site/figure"
)

// What was typed comes back in a drawing's file, to the digit, on taller tyres and a lift too: the axes are the body's.
func TestTypedPointsComeBack(t *testing.T) {
	p := good(t, "# A\n"+fence(truck+`
car := truck
car.Front.UpperBall = at(-22.25, 672, 620)*mm
car.Front.Camber = 2*deg
car.Tyre.Radius = 445*mm
car.Tyre.LoadedRadius = 425*mm
Drawing{Vehicle: car, View: "side", Points: yes, Both: yes}
up := car
up.Front.Lift = 50*mm
up.RearLift = 20*mm
Drawing{Vehicle: up, View: "oblique", Points: yes}
`))
	file := string(figure.CSV(p.Blocks[0].Figures[0], figure.Metric))
	assert.Contains(t, file, "Upper ball joint,-22.25,672,620,,\n")
	assert.Contains(t, file, "Wheel centre,0,800,385,,\n")
	assert.Contains(t, file, "Right: upper ball joint,-22.25,672,620,,\n", "it mirrors the left")
	file = string(figure.CSV(p.Blocks[0].Figures[1], figure.Metric))
	assert.Contains(t, file, "\"Upper arm, rear pivot\",-130,425,595,,\n", "a pivot is on the body")
	assert.Nil(t, p.Blocks[0].Figures[0].(*figure.Drawing).Scenes[0].Spread, "nothing is uncertain")
}

// The spread of a drawing's points is that of the draws: what is typed with 2 mm has (2 mm)², correlations included, and
// 95 % of it lies within 2.45 standard deviations in any plane (JCGM 102:2011).
func TestDrawnSpread(t *testing.T) {
	p := good(t, "---\ndraws: 4000\n---\n# A\n"+fence(truck+`
off := normal(0*mm, 2*mm)
own := normal(0*mm, 1*mm)
truck.Front.LowerFront.X = 180*mm + off
truck.Front.LowerFront.Y = 340*mm + own
truck.Front.LowerRear.X = -200*mm - off
Drawing{Vehicle: truck, View: "top", Points: yes}
Drawing{Vehicle: truck, View: "top"}
`))
	scene := p.Blocks[0].Figures[0].(*figure.Drawing).Scenes[0]
	require.Len(t, scene.Spread, figure.Measured)
	const front, rear, upper = 3, 4, 0
	mm := unit.MustParse("mm").SI
	variance := 1 / math.Sqrt(4000/2.) // its relative standard deviation (normal draws)
	assert.InEpsilon(t, 4*mm*mm, scene.Spread[front][0][0], 4*variance)
	assert.InEpsilon(t, 1*mm*mm, scene.Spread[front][1][1], 4*variance)
	assert.InDelta(t, 0, scene.Spread[front][0][1], 4*2*mm*mm/math.Sqrt(4000))
	assert.InEpsilon(t, scene.Spread[front][0][0], scene.Spread[rear][0][0], 1e-9)
	assert.InDelta(t, 0, scene.Spread[rear][1][1], 1e-18)
	assert.InDelta(t, 0, scene.Spread[upper][0][0], 1e-18)
	assert.Nil(t, p.Blocks[0].Figures[1].(*figure.Drawing).Scenes[0].Spread, "it wasn't asked for")
}
