package eval

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim"
	"turnplate/site/figure"
)

const arch = `
car := truck
car.Spring.BumpTravel = 90*mm
car.Spring.DroopTravel = 100*mm
car.Body = []Obstacle{
	{Name: "arch lip", From: at(-470, 900, 300)*mm, To: at(-440, 640, 560)*mm, Radius: 3*mm},
	{Name: "frame rail", From: at(-700, 470, 420)*mm, To: at(600, 460, 400)*mm},
}
`

// A drawing asked for the sweep shows what Clearance gives; one that isn't shows none of it.
func TestDrawingOfTheSweep(t *testing.T) {
	ev := New(library{"a.md": "# A\n" + fence(truck+arch+`
offset := list(0*mm, -30*mm)
further := car
further.Tyre.OffsetChange = offset
Drawing{Vehicle: car, View: "top", Sweep: true}
Drawing{Vehicle: further, View: "side", By: offset, Sweep: yes}
Drawing{Vehicle: car, View: "top"}
Drawing{Vehicle: car, View: "top", Sweep: false}
`)}, Options{})
	p := ev.Page(context.Background(), "a")
	require.Empty(t, p.Faults, "%v", p.Faults)
	f := p.Blocks[0].Figures
	one := f[0].(*figure.Drawing).Scenes[0]
	require.NotNil(t, one.Swept)
	assert.Equal(t, []string{"arch lip", "frame rail"}, one.Swept.Names)

	_, names := ev.evaluate(context.Background(), need{path: "a"})
	car := vehicleOf(t, names["car"])
	want, err := sim.Clearance{Vehicle: car}.Run()
	require.NoError(t, err)
	assert.Equal(t, want.Gap, one.Swept.Gaps)
	assert.Equal(t, want.Nearest, one.Swept.Names[one.Swept.Nearest])

	two := f[1].(*figure.Drawing).Scenes
	require.Len(t, two, 2)
	assert.Equal(t, want.Gap, two[0].Swept.Gaps)
	assert.NotEqual(t, want.Gap, two[1].Swept.Gaps, "the wheel stands further out")
	for _, plain := range f[2:] {
		scene := plain.(*figure.Drawing).Scenes[0]
		assert.Nil(t, scene.Swept)
		assert.Equal(t, one.Sketch, scene.Sketch)
	}
}

// What a sweep lacks is said at the drawing that asks for it.
func TestSweepThatCantBe(t *testing.T) {
	for code, want := range map[string]string{
		`Drawing{Vehicle: truck, View: "top", Sweep: true}`:                                          "Body",
		arch + "car.Spring.DroopTravel = 0*mm\n" + `Drawing{Vehicle: car, View: "top", Sweep: true}`: "Spring.DroopTravel isn't given",
		arch + "car.Steering.RackLimit = 0*mm\n" + `Drawing{Vehicle: car, View: "top", Sweep: true}`: "Steering.RackLimit isn't given",
		arch + "car.Front.JointLimit = 1*deg\n" + `Drawing{Vehicle: car, View: "top", Sweep: true}`:  "upper ball joint can't be reached",
		`Drawing{Vehicle: truck, View: "top", Sweep: 3}`:                                             "one yes or no was expected here",
		`Drawing{Vehicle: truck, View: "top", Sweep: list(1*mm, 2*mm) > 1*mm}`:                       "one yes or no was expected here",
		`Drawing{Vehicle: truck, View: "top", Swept: true}`:                                          "Swept",
	} {
		p := page(t, "# A\n"+fence(truck+code))
		if assert.Len(t, p.Faults, 1, "%s: %v", code, p.Faults) {
			assert.Contains(t, p.Faults[0].Error(), want, code)
		}
	}
}
