package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A used path includes all below it and what it lies in, the mirrored side too, and nothing that only begins alike.
func TestUsedFields(t *testing.T) {
	m := Model{Uses: []string{"Front.Camber", "Tyre", "Body", "Old.Mass"}}
	for path, want := range map[string]bool{
		"Vehicle.Front": true, "Vehicle.Front.Camber": true, "Vehicle.Front.Toe": false, "Vehicle.FrontShare": false,
		"Vehicle.Right": true, "Vehicle.Right.Camber": true, "Vehicle.Right.Toe": false,
		"Vehicle.Tyre.Mass": true, "Vehicle.TyreWear": false, "Vehicle.Body[2].From": true, "Vehicle.Mass": false,
		"Old": true, "Old.Mass": true, "Old.Radius": false, "Speed": true, "Vehicle.Tyre.Name": false, "Vehicle.Body[1].Name": true,
	} {
		assert.Equal(t, want, m.Reads(path), path)
	}
	assert.True(t, Model{}.Reads("Vehicle.Mass"), "without a list all counts")
}
