package model

import (
	"context"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim"
	"turnplate/site/value"
)

func numbers(fields map[string]float64) map[string]value.Value {
	all := map[string]value.Value{}
	for name, x := range fields {
		all[name] = &value.Array{Num: []float64{x}}
	}
	return all
}

// gearing is Gearing without an old tyre, at some speeds.
func gearing(t *testing.T) *Job {
	speeds := &value.Axis{Kind: value.Span, Name: "speed", Length: 3, Coord: []float64{10, 20, 30}}
	car := &value.Record{Type: "Vehicle", Fields: numbers(map[string]float64{"AxleRatio": 4.1})}
	car.Fields["Tyre"] = &value.Record{Type: "Tyre", Fields: numbers(map[string]float64{"RollingRadius": 0.39})}
	in := &value.Record{Type: "Gearing", Fields: map[string]value.Value{"Vehicle": car,
		"Speed": &value.Array{Axes: []*value.Axis{speeds}, Num: speeds.Coord}}}
	m, ok := sim.Find("Gearing")
	require.True(t, ok)
	j, err := NewJob(m, in)
	require.NoError(t, err)
	return j
}

// What a model doesn't list never reaches it as a number.
func TestUnlistedNumbersAreNone(t *testing.T) {
	in := gearing(t).first.in.Interface().(*sim.Gearing)
	v := in.Vehicle
	assert.Equal(t, 4.1, v.AxleRatio)
	assert.Equal(t, 1.0, v.GearRatio, "the default of what is listed")
	for name, x := range map[string]float64{"Mass": v.Mass, "Tyre.Radius": v.Tyre.Radius, "Tyre.Friction": v.Tyre.Friction,
		"Steering.HandwheelRadius": v.Steering.HandwheelRadius, "Front.UpperBall.X": v.Front.UpperBall.X, "Spring.Rate": v.Spring.Rate} {
		assert.True(t, math.IsNaN(x), "%s is %g", name, x)
	}
	assert.Nil(t, v.Right)
}

// An output that is no number without saying that it may be absent is a mistake that names model and output.
func TestNumberThatIsNoneIsAMistake(t *testing.T) {
	for _, workers := range []int{1, 4} {
		j := gearing(t)
		require.NoError(t, j.Run(context.Background(), Options{Workers: workers, Time: time.Minute}), "what comes of an old tyre may be absent")
		j = gearing(t)
		for _, c := range j.first.outlet.columns {
			if c.path[0] == "RadiusRise" {
				c.field.Absent = ""
			}
		}
		cache := NewCache()
		assert.ErrorContains(t, j.Run(context.Background(), Options{Workers: 1, Time: time.Minute, Cache: cache}), "Gearing has no number for RadiusRise")
		assert.Zero(t, cache.Numbers())
	}
}
