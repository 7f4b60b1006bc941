package sim

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// loadedTruck is the test truck with all that mass, ride and joint models read.
func loadedTruck() Vehicle {
	v := testTruck()
	v.Unsprung, v.FrontRollShare, v.FrontDriveShare = 55, 0.55, 0.4
	v.AxleRatio, v.GearRatio, v.BrakeTorqueLimit = 4.1, 0.85, 9000
	v.Tyre.RollingRadius, v.Tyre.VerticalStiffness = 0.390, 260e3
	v.Tyre.Inertia, v.Tyre.RimInertia = 3.0, 0.45
	v.Spring.Damping = 6500
	return v
}

// tallTyre is an invented heavy tyre of 35 inches.
func tallTyre() Tyre {
	return Tyre{Radius: 0.4445, LoadedRadius: 0.4245, RollingRadius: 0.431, Width: 0.3175, Mass: 34, RimMass: 14,
		Inertia: 5.4, RimInertia: 0.55, VerticalStiffness: 280e3, Friction: 0.8}
}

// close fails unless got lies within a share `rel` of want; a NaN fails.
func close(t *testing.T, want, got, rel float64, what string) {
	t.Helper()
	agree(t, want, got, rel*math.Abs(want), what)
}

// A model reads nothing of the Vehicle that its Uses doesn't name (see TestUsesNamesAllThatIsRead), here for
// the models of mass, ride, joints and upkeep, with an old tyre and every optional input given.
func TestDurabilityUsesNameAllThatIsRead(t *testing.T) {
	truck := loadedTruck()
	var old Tyre
	for _, m := range []struct {
		name string
		run  func(Vehicle) (any, error)
	}{
		{"WheelInertia", func(v Vehicle) (any, error) {
			return WheelInertia{Vehicle: v, RimDiameter: 0.4318, Old: &old}.Run()
		}},
		{"Stopping", func(v Vehicle) (any, error) {
			return Stopping{Vehicle: v, Deceleration: 6, Speed: 25, Old: &old}.Run()
		}},
		{"PullAway", func(v Vehicle) (any, error) {
			return PullAway{Vehicle: v, EngineTorque: ptr(300), EngineInertia: 0.4, Efficiency: 0.9, Slope: 0.1, Old: &old}.Run()
		}},
		{"Gearing", func(v Vehicle) (any, error) { return Gearing{Vehicle: v, Speed: 25, Old: &old}.Run() }},
		{"Ride", func(v Vehicle) (any, error) {
			return Ride{Vehicle: v, Road: "C", Speed: 20, Frequency: ptr(5), Old: &old}.Run()
		}},
		{"JointLoads", func(v Vehicle) (any, error) { return JointLoads{Vehicle: v, Case: "kerb"}.Run() }},
	} {
		model, ok := Find(m.name)
		require.True(t, ok)
		old = tallTyre()
		want, err := m.run(truck)
		require.NoError(t, err, m.name)
		poisoned := truck
		var left, spoilt int
		poison(reflect.ValueOf(&poisoned).Elem(), "", model.Uses, &left, &spoilt)
		assert.Positive(t, left)
		assert.Positive(t, spoilt)
		old = onlyUsed(tallTyre(), model.Uses)
		got, err := m.run(poisoned)
		require.NoError(t, err, m.name)
		assert.Equal(t, fmt.Sprintf("%#v", want), fmt.Sprintf("%#v", got), m.name)
		for _, path := range append(model.Uses, model.Optional...) {
			at := reflect.TypeFor[Vehicle]()
			if of, ok := strings.CutPrefix(path, "Old."); ok {
				at, path = reflect.TypeFor[Tyre](), of
			}
			for name := range strings.SplitSeq(path, ".") {
				f, ok := at.FieldByName(name)
				require.True(t, ok, "%s uses %s, which there isn't", m.name, path)
				at = f.Type
			}
		}
	}
}

// onlyUsed is an old tyre with NaN in all that no "Old." path of uses names.
func onlyUsed(tyre Tyre, uses []string) Tyre {
	v := reflect.ValueOf(&tyre).Elem()
	for i := range v.NumField() {
		if name := v.Type().Field(i).Name; v.Field(i).Kind() == reflect.Float64 && !slices.Contains(uses, "Old."+name) {
			v.Field(i).SetFloat(math.NaN())
		}
	}
	return tyre
}

// Every number that these models take must be refused when it's negative or no number, and none may panic.
func TestDurabilityRefusesBadNumbers(t *testing.T) {
	for _, bad := range []float64{-1, math.NaN(), math.Inf(1), math.Inf(-1)} {
		for _, spoil := range []struct {
			field string
			in    func(v *Vehicle) *float64
			runs  []string // the models that must refuse it
		}{
			{"Mass", func(v *Vehicle) *float64 { return &v.Mass }, []string{"Stopping", "PullAway", "Ride", "JointLoads"}},
			{"FrontShare", func(v *Vehicle) *float64 { return &v.FrontShare }, []string{"Stopping", "PullAway", "Ride", "JointLoads"}},
			{"Tyre.Mass", func(v *Vehicle) *float64 { return &v.Tyre.Mass }, []string{"WheelInertia", "Stopping", "PullAway", "Ride", "JointLoads"}},
			{"Tyre.RimMass", func(v *Vehicle) *float64 { return &v.Tyre.RimMass }, []string{"WheelInertia", "Stopping", "PullAway", "Ride", "JointLoads"}},
			{"Tyre.Inertia", func(v *Vehicle) *float64 { return &v.Tyre.Inertia }, []string{"Stopping", "PullAway", "JointLoads"}},
			{"Tyre.RollingRadius", func(v *Vehicle) *float64 { return &v.Tyre.RollingRadius }, []string{"WheelInertia", "Stopping", "PullAway", "Gearing", "JointLoads"}},
			{"Tyre.Radius", func(v *Vehicle) *float64 { return &v.Tyre.Radius }, []string{"WheelInertia"}},
			{"Tyre.VerticalStiffness", func(v *Vehicle) *float64 { return &v.Tyre.VerticalStiffness }, []string{"Ride"}},
			{"Unsprung", func(v *Vehicle) *float64 { return &v.Unsprung }, []string{"Ride", "JointLoads"}},
			{"Spring.Rate", func(v *Vehicle) *float64 { return &v.Spring.Rate }, []string{"Ride"}},
			{"Spring.Damping", func(v *Vehicle) *float64 { return &v.Spring.Damping }, []string{"Ride"}},
			{"AxleRatio", func(v *Vehicle) *float64 { return &v.AxleRatio }, []string{"PullAway", "Gearing"}},
			{"BrakeTorqueLimit", func(v *Vehicle) *float64 { return &v.BrakeTorqueLimit }, []string{"Stopping"}},
			{"CentreHeight", func(v *Vehicle) *float64 { return &v.CentreHeight }, []string{"JointLoads", "Stopping", "PullAway"}},
		} {
			v := loadedTruck()
			*spoil.in(&v) = bad
			for _, name := range spoil.runs {
				var err error
				switch name {
				case "WheelInertia":
					_, err = WheelInertia{Vehicle: v, RimDiameter: 0.4318}.Run()
				case "Stopping":
					_, err = Stopping{Vehicle: v, Deceleration: 6, Speed: 25}.Run()
				case "PullAway":
					_, err = PullAway{Vehicle: v, Efficiency: 0.9}.Run()
				case "Gearing":
					_, err = Gearing{Vehicle: v, Speed: 25}.Run()
				case "Ride":
					_, err = Ride{Vehicle: v, Speed: 20}.Run()
				case "JointLoads":
					_, err = JointLoads{Vehicle: v}.Run()
				}
				assert.ErrorContains(t, err, spoil.field, "%s with %s of %g", name, spoil.field, bad)
			}
		}
	}
}

// spaces makes the no-break spaces of a message plain ones.
func spaces(text string) string { return strings.ReplaceAll(text, "\u00a0", " ") }
