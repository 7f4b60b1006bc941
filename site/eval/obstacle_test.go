package eval

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim"
	"turnplate/site/figure"
	"turnplate/site/value"
)

// What a list of a vehicle's holds reaches the model: the gaps in a notebook are those that the model gives in Go.
func TestObstaclesReachTheModel(t *testing.T) {
	ev := New(library{"a.md": "# A\n" + fence(truck+`
car := truck
car.Spring.BumpTravel = 90*mm
car.Spring.DroopTravel = 100*mm
car.Body = []Obstacle{
	{Name: "arch lip", From: at(-470, 900, 300)*mm, To: at(-440, 640, 560)*mm, Radius: 3*mm},
	{Name: "frame rail", From: at(-700, 470, 420)*mm, To: at(600, 460, 400)*mm},
}
gap := Clearance{Vehicle: car}
`)}, Options{})
	require.Empty(t, ev.Page(context.Background(), "a").Faults)
	_, names := ev.evaluate(context.Background(), need{path: "a"})
	gaps := names["gap"].(*value.Record).Fields["Gap"].(*value.Array)
	require.Equal(t, []string{"arch lip", "frame rail"}, gaps.Axes[0].Labels)

	car := vehicleOf(t, names["car"])
	require.NotZero(t, car.Body[1].From)
	want, err := sim.Clearance{Vehicle: car}.Run()
	require.NoError(t, err)
	assert.InDeltaSlice(t, want.Gap, gaps.Num, 1e-12)

	// The names are there to read, and label the rows.
	p := New(library{"a.md": "# A\n" + fence(truck+`
car := truck
car.Spring.BumpTravel = 90*mm
car.Spring.DroopTravel = 100*mm
car.Body = []Obstacle{
	{Name: "arch lip", From: at(-470, 900, 300)*mm, To: at(-440, 640, 560)*mm, Radius: 3*mm},
	{Name: "frame rail", From: at(-700, 470, 420)*mm, To: at(600, 460, 400)*mm},
}
gap := Clearance{Vehicle: car}
Table{Rows: gap.Obstacle, Columns: []Column{{"Gap", gap.Gap, mm}, {"What", gap.Obstacle}}}
`)}, Options{}).Page(context.Background(), "a")
	require.Empty(t, p.Faults, "%v", p.Faults)
	table := p.Blocks[0].Figures[0].(*figure.Table)
	assert.Equal(t, []figure.Words{{Metric: "arch lip"}, {Metric: "frame rail"}}, table.Rows)
	assert.Equal(t, "frame rail", table.Columns[1].Cells[1].Text.Metric)
}
