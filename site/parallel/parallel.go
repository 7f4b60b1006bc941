// Package parallel spreads independent work over the processors.
package parallel

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// Do calls f for each of 0 … n−1, on as many goroutines as there are processors, and returns when all are
// done. Once ctx is cancelled no more are begun, and Do returns its error.
func Do(ctx context.Context, n int, f func(i int)) error {
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n) {
		wg.Go(func() {
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				f(i)
			}
		})
	}
	wg.Wait()
	return ctx.Err()
}
