package eval

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim"
	"turnplate/site/figure"
	"turnplate/site/model"
	"turnplate/site/value"
)

func TestReasonsAreTheirOwn(t *testing.T) {
	code := "x := span(1.0, 4.0, 4)\ny := sqrt(x - 2)"
	for insert, want := range map[string]string{
		"crossing(y, x, 50)": "the curve never reaches that level",
		"y.At(x, 9)":         "outside x, which runs from 1 to 4",
		"y.At(x, 1)":         "the square root of a negative number",
	} {
		p := page(t, "# A\n"+fence(code)+"\n{"+insert+"}\n")
		if assert.Len(t, p.Faults, 1, insert) {
			assert.Contains(t, p.Faults[0].Message, want)
		}
	}
}

func TestModelsBroadcast(t *testing.T) {
	code := truck + `
bump := span(-60*mm, 60*mm, 5)
car := truck
car.Tyre.LoadedRadius = Choices{"Small": 385*mm, "Tall": 395*mm}
al := Alignment{Vehicle: car}
`
	small := prints(t, code, `al.ScrubRadius.At(car.Tyre.LoadedRadius, "Small") in mm to 0.01`)
	tall := prints(t, code, `al.ScrubRadius.At(car.Tyre.LoadedRadius, "Tall") in mm to 0.01`)
	assert.NotEqual(t, small, tall)
	assert.Equal(t, small, prints(t, truck+"al := Alignment{Vehicle: truck}", "al.ScrubRadius in mm to 0.01"))
}

// A vehicle that can't be set has no settings: neither those that would have changed nor the present ones.
func TestUnreachedVehicleIsAbsent(t *testing.T) {
	code := truck + `
caster := list(5*deg, 12*deg)
set := AlignTo{Vehicle: truck, Caster: caster, Camber: 0*deg, Toe: 0.05*deg}
al := Alignment{Vehicle: set.Vehicle}
Table{Rows: caster, Columns: []Column{{"Shift", set.Vehicle.Front.Adjust.UpperShift}, {"Cam", set.Vehicle.Front.Adjust.CamFront}, {"Caster", al.Caster, deg, 0.0001}, {"Reached", set.Reached}, {"Near", set.Nearest.Front.Adjust.CamFront}}}
`
	for _, cache := range []*model.Cache{nil, model.NewCache()} {
		for range 2 { // the second time from the cache
			p := New(library{"a.md": "# A\n" + fence(code)}, Options{Cache: cache}).Page(context.Background(), "a")
			require.Empty(t, p.Faults, "%v", p.Faults)
			c := p.Blocks[0].Figures[0].(*figure.Table).Columns
			for _, k := range []int{0, 1, 2} {
				assert.False(t, c[k].Cells[0].Absent, c[k].Head)
				assert.True(t, c[k].Cells[1].Absent, c[k].Head)
			}
			assert.Equal(t, "5.0000", c[2].Cells[0].Text.Metric)
			assert.Equal(t, "no", c[3].Cells[1].Text.Metric)
			assert.False(t, c[4].Cells[1].Absent)
		}
	}
}

// Targets that differ between the sides, and at one point happen not to.
func TestSidesThatMeet(t *testing.T) {
	p := good(t, "# A\n"+fence(truck+`
cross := list(-1*deg, 0*deg, 1*deg)
set := AlignTo{Vehicle: truck, Caster: Sides{Left: 5*deg + cross/2, Right: 5*deg - cross/2}, Camber: 0*deg, Toe: 0.05*deg}
al := Alignment{Vehicle: set.Vehicle}
Table{Rows: cross, Columns: []Column{{"Left", al.Caster, deg, 0.0001}, {"Right", al.Right.Caster, deg, 0.0001}, {"Camber", al.Right.Camber, deg, 0.0001}}}
`))
	c := p.Blocks[0].Figures[0].(*figure.Table).Columns
	for i, want := range [][3]string{{"4.5000", "5.5000", "0.0000"}, {"5.0000", "5.0000", "0.0000"}, {"5.5000", "4.5000", "0.0000"}} {
		for k := range want {
			assert.Equal(t, want[k], c[k].Cells[i].Text.Metric, "row %d, %s", i+1, c[k].Head.Metric)
		}
	}
}

// TestItemsOfAListAreRead holds that a model reads what stands inside a list, under each item's own name.
func TestItemsOfAListAreRead(t *testing.T) {
	code := truck + `
truck.Spring.BumpTravel = 60*mm
truck.Spring.DroopTravel = 60*mm
truck.Body = []Obstacle{
	{Name: "Near", From: at(-500, 800, 200)*mm, To: at(-500, 800, 500)*mm},
	{Name: "Far", From: at(-900, 800, 200)*mm, To: at(-900, 800, 500)*mm},
}
gap := Clearance{Vehicle: truck, RackFrom: 0*mm, RackTo: 0*mm}.Gap
`
	assert.Equal(t, "400.00\u00a0mm", prints(t, code, `gap.At(gap, "Far") - gap.At(gap, "Near") in mm to 0.01`))
}

// However many cores share them, many quick runs and a few slow ones come to the same: numbers, lists and vehicles.
func TestSameOnOneCoreAndMany(t *testing.T) {
	code := truck + `
car := truck
car.Front.UpperBall.X = normal(-22*mm, 3*mm)
al := Alignment{Vehicle: car}
few := list(2*deg, 2.5*deg, 3*deg, 3.5*deg, 4*deg)
set := AlignTo{Vehicle: truck, Caster: few, UseUpper: yes, LegTravel: 20*mm, ShiftTravel: 20*mm}
around := Reach{Vehicle: set.Vehicle}
`
	var got [][]figure.Text
	for _, workers := range []int{1, 2, 7} {
		p := New(library{"a.md": "# A\n" + fence(code) + "\n{quantile(al.Caster, 0.7) in deg to 0.0000000001}, {set.CamFront.Mean() in deg to 0.0000000001}, {around.EdgeCaster.Max() in deg to 0.0000000001}\n"}, Options{Workers: workers}).Page(context.Background(), "a")
		require.Empty(t, p.Faults, "%v", p.Faults)
		got = append(got, p.Inserts)
	}
	assert.NotContains(t, got[0][2].String(), "–")
	assert.Equal(t, got[0], got[1])
	assert.Equal(t, got[0], got[2])
}

// vehicleOf is a vehicle without axes as Go has it. What the notebook doesn't give is zero.
func vehicleOf(t *testing.T, v value.Value) (car sim.Vehicle) {
	b := &model.Binder{}
	_ = b.Bind(&car, v.(*value.Record)) // says what isn't given
	require.Empty(t, b.Leaves)
	return car
}

// TestModelsAgreeWithSim runs a model through the language over two choices and a span, and each
// combination again straight in Go.
func TestModelsAgreeWithSim(t *testing.T) {
	code := truck + `
car := truck
car.Front.Lift = Choices{"Stock": 0*mm, "Lifted": 40*mm}
bump := span(-60*mm, 60*mm, 4)
trip := Travel{Vehicle: car, Bump: bump}
`
	l := library{"a.md": "# A\n" + fence(code)}
	ev := New(l, Options{})
	_, names := ev.evaluate(context.Background(), need{path: "a"})
	stock := vehicleOf(t, names["truck"])
	camber := names["trip"].(*value.Record).Fields["Camber"].(*value.Array)
	right := names["trip"].(*value.Record).Fields["Right"].(*value.Record).Fields["Trail"].(*value.Array)
	require.Len(t, camber.Num, 8)
	for i, lift := range []float64{0, 0.04} {
		for j, bump := range []float64{-0.06, -0.02, 0.02, 0.06} {
			v := stock
			v.Front.Lift = lift
			want, err := sim.Travel{Vehicle: v, Bump: bump}.Run()
			require.NoError(t, err)
			at := map[*value.Axis]int{camber.Axes[0]: i, camber.Axes[1]: j}
			assert.InDelta(t, want.Camber, value.Pick(camber, at).Num[0], 1e-12)
			assert.InDelta(t, want.Right.Trail, value.Pick(right, at).Num[0], 1e-12)
		}
	}
}

func TestCacheGivesTheSame(t *testing.T) {
	code := truck + `
car := truck
car.Front.Lift = normal(10*mm, 2*mm)
bump := span(-20*mm, 20*mm, 5)
trip := Travel{Vehicle: car, Bump: bump}
`
	text := "# A\n" + fence(code) + "\n{quantile(trip.Camber.At(bump, 10*mm), 0.9) in deg to 0.0000001}\n"
	cache := model.NewCache()
	first := New(library{"a.md": text}, Options{Cache: cache}).Page(context.Background(), "a")
	require.Empty(t, first.Faults)
	held := cache.Numbers()
	assert.Positive(t, held)
	second := New(library{"a.md": text + "More words.\n"}, Options{Cache: cache}).Page(context.Background(), "a")
	assert.Equal(t, first.Inserts, second.Inserts)
	assert.Equal(t, held, cache.Numbers(), "words change nothing")
	other := New(library{"a.md": strings.Replace(text, "10*mm, 2*mm", "11*mm, 2*mm", 1)}, Options{Cache: cache}).Page(context.Background(), "a")
	assert.NotEqual(t, first.Inserts, other.Inserts)
	assert.Greater(t, cache.Numbers(), held)
	fresh := New(library{"a.md": strings.Replace(text, "10*mm, 2*mm", "11*mm, 2*mm", 1)}, Options{}).Page(context.Background(), "a")
	assert.Equal(t, fresh.Inserts, other.Inserts)
}
