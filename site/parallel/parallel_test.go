package parallel

import (
	"context"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestDo(t *testing.T) {
	for _, n := range []int{0, 1, 2, 1000} {
		seen := make([]atomic.Int32, n)
		assert.NoError(t, Do(context.Background(), n, func(i int) { seen[i].Add(1) }))
		for i := range seen {
			assert.EqualValues(t, 1, seen[i].Load(), "item %d of %d", i, n)
		}
	}
}

func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	var done atomic.Int32
	err := Do(ctx, 1000, func(i int) {
		if done.Add(1) == 3 {
			cancel()
		}
	})
	assert.ErrorIs(t, err, context.Canceled)
	assert.Less(t, int(done.Load()), 1000)
}
