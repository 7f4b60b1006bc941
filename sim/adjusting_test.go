package sim

import (
	"fmt"
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The models of setting an alignment read nothing of the Vehicle that their Uses doesn't name: with NaN in every
// other number the result is the same, but for those numbers themselves in a vehicle handed on.
func TestAdjustingUsesNamesAllThatIsRead(t *testing.T) {
	truck := archTruck()
	right := truck.Front
	right.Camber, right.Adjust.TieRod = -0.3*deg, 0.001
	truck.Right = &right
	for name, run := range map[string]func(Vehicle) (any, error){
		"AlignTo": func(v Vehicle) (any, error) {
			r, err := AlignTo{Vehicle: v, Caster: both(4 * deg), UseUpper: true}.Run()
			return []any{r.WheelSetting, r.Right, r.Reached}, err
		},
		"Coupling":    func(v Vehicle) (any, error) { return Coupling{v}.Run() },
		"Reach":       func(v Vehicle) (any, error) { return Reach{Vehicle: v, LegTravel: 2e-3}.Run() },
		"Sensitivity": func(v Vehicle) (any, error) { return Sensitivity{Vehicle: v, PointSpread: 3e-3}.Run() },
		"Clearance":   func(v Vehicle) (any, error) { return Clearance{Vehicle: v}.Run() },
		"Reconcile": func(v Vehicle) (any, error) {
			m := reconcileWith(v)
			m.Caster, m.SweepLeft = both(4*deg), both(1*deg)
			r, err := m.Run()
			return []any{r.WheelReconciled, r.Right, r.ChiSquare}, err
		},
	} {
		model, ok := Find(name)
		require.True(t, ok, name)
		want, err := run(truck)
		require.NoError(t, err, name)
		poisoned := truck
		copied := *truck.Right
		poisoned.Right = &copied
		var left, spoilt int
		poison(reflect.ValueOf(&poisoned).Elem(), "", model.Uses, &left, &spoilt)
		assert.Positive(t, left)
		assert.Positive(t, spoilt)
		got, err := run(poisoned)
		require.NoError(t, err, name)
		assert.Equal(t, fmt.Sprintf("%#v", want), fmt.Sprintf("%#v", got), name)
	}
}
