package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"turnplate/sim/unit"
)

func TestWeightBalances(t *testing.T) {
	v := testTruck()
	v.LeftShare = 0.52
	w := newWeight(&v)
	const rounding = 1e-9
	assert.InDelta(t, (1990+4*36)*unit.StandardGravity, w.front+w.rear, rounding, "all the weight")
	assert.InDelta(t, w.front, w.left+w.right, rounding)
	assert.InDelta(t, 0.52, w.left/w.front, rounding)
	assert.InDelta(t, (0.54*1990+72)*unit.StandardGravity, w.front, rounding)
	assert.InDelta(t, w.front*w.frontArm, w.rear*w.rearArm, 1e-6, "moments about the centre of mass")
	assert.InDelta(t, 2.85, w.frontArm+w.rearArm, rounding)
	assert.Greater(t, 0.72, w.height, "heavy wheels pull the centre of mass down")
	assert.Less(t, 0.385, w.height)
}
