package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// At rest without lift the wheel stands exactly as it was measured.
func TestAlignmentAsMeasured(t *testing.T) {
	v := testTruck()
	r, err := Alignment{v}.Run()
	require.NoError(t, err)
	assert.InDelta(t, v.Front.Camber, r.Camber, roundingAngle)
	assert.InDelta(t, v.Front.Toe, r.Toe, roundingAngle)
	assert.InDelta(t, v.Front.WheelCentre.Y, r.WheelY, roundingLength)
	assert.InDelta(t, -v.Front.WheelCentre.Y, r.Right.WheelY, roundingLength)
}
