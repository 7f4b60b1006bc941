package sim

import (
	"fmt"
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The rolling models read nothing of the Vehicle that their Uses doesn't name (see TestUsesNamesAllThatIsRead), nor
// need what they call optional.
func TestRollingUsesNameAllThatIsRead(t *testing.T) {
	turn := 2.0
	for _, m := range []struct {
		name string
		run  func(Vehicle) (any, error)
	}{
		{"ReturnTorque", func(v Vehicle) (any, error) {
			return ReturnTorque{Vehicle: v, Speed: 15, LateralAcceleration: &turn, DriveForce: 2000, Held: true}.Run()
		}},
		{"SteerRelease", func(v Vehicle) (any, error) {
			return SteerRelease{Vehicle: v, Speed: 15, LateralAcceleration: turn}.Run()
		}},
		{"Pull", func(v Vehicle) (any, error) { return Pull{Vehicle: v, Speed: 15, RoadCrown: 0.02}.Run() }},
		{"KickBack", func(v Vehicle) (any, error) {
			return KickBack{Vehicle: v, Speed: 15, BumpSpeed: 1, BrakeForceDifference: 500, KerbForce: 800}.Run()
		}},
	} {
		model, ok := Find(m.name)
		require.True(t, ok)
		whole := unlikeTruck()
		want, err := m.run(whole)
		require.NoError(t, err)
		poisoned := unlikeTruck()
		var left, spoilt int
		poison(reflect.ValueOf(&poisoned).Elem(), "", model.Uses, &left, &spoilt)
		assert.Positive(t, left)
		assert.Positive(t, spoilt)
		got, err := m.run(poisoned)
		require.NoError(t, err, m.name)
		assert.Equal(t, fmt.Sprintf("%v", want), fmt.Sprintf("%v", got), m.name)

		whole.Steering.RackLimit = 0
		got, err = m.run(whole)
		require.NoError(t, err, m.name)
		assert.Equal(t, fmt.Sprintf("%v", want), fmt.Sprintf("%v", got), "%s does without a rack limit", m.name)
	}
}
