package model

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestCacheIsBounded(t *testing.T) {
	c := NewCache()
	c.room = 1000
	for i := range 100 {
		c.put(&cached{key: cacheKey{byte(i)}, size: 90})
	}
	assert.LessOrEqual(t, c.Numbers(), 1000)
	assert.Nil(t, c.get(cacheKey{1}))
	assert.NotNil(t, c.get(cacheKey{99}))
}

// A used path includes all below it and what it lies in, the mirrored side too, and nothing that only begins alike.
func TestUsedFields(t *testing.T) {
	b := &Binder{Uses: []string{"Front.Camber", "Tyre", "Body", "Old.Mass"}}
	for path, want := range map[string]bool{
		"Vehicle.Front": true, "Vehicle.Front.Camber": true, "Vehicle.Front.Toe": false, "Vehicle.FrontShare": false,
		"Vehicle.Right": true, "Vehicle.Right.Camber": true, "Vehicle.Right.Toe": false,
		"Vehicle.Tyre.Mass": true, "Vehicle.TyreWear": false, "Vehicle.Body[2].From": true, "Vehicle.Mass": false,
		"Old": true, "Old.Mass": true, "Old.Radius": false, "Speed": true,
	} {
		assert.Equal(t, want, b.isUsed(path), path)
	}
	assert.True(t, (&Binder{}).isUsed("Vehicle.Mass"), "without a list all counts")
}
