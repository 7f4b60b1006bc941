package figure

import (
	"cmp"
	"slices"
)

// spread moves labels, stacked in one column, just far enough apart: want and heights are their wished
// middles and their heights, and the result is their middles between lo and hi, in the same order, each
// at least gap from the next, with the least sum of squared moves. ok is false when they don't all fit.
//
// Labels that would touch are pooled into a block that moves as one (the pool-adjacent-violators method
// of isotonic regression: Barlow, Bartholomew, Bremner and Brunk, 1972), after the heights are taken out.
func spread(want, heights []float64, gap, lo, hi float64) (middles []float64, ok bool) {
	n := len(want)
	order := inOrder(n)
	need := 0.0
	for _, height := range heights {
		need += height + gap
	}
	if n == 0 {
		return nil, true
	}
	if need-gap > hi-lo {
		return nil, false
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(want[a], want[b]) })

	// Taking out the room that the labels above need turns "far enough apart" into "not falling".
	type block struct {
		sum   float64
		count int
	}
	taken := make([]float64, n)
	var blocks []block
	for k, i := range order {
		if k > 0 {
			taken[k] = taken[k-1] + (heights[order[k-1]]+heights[i])/2 + gap
		}
		blocks = append(blocks, block{want[i] - taken[k], 1})
		for len(blocks) > 1 {
			a, b := blocks[len(blocks)-2], blocks[len(blocks)-1]
			if a.sum/float64(a.count) <= b.sum/float64(b.count) {
				break
			}
			blocks = append(blocks[:len(blocks)-2], block{a.sum + b.sum, a.count + b.count})
		}
	}
	first, last := order[0], order[n-1]
	least := lo + heights[first]/2
	most := hi - heights[last]/2 - taken[n-1]
	middles = make([]float64, n)
	k := 0
	for _, b := range blocks {
		at := min(max(b.sum/float64(b.count), least), most)
		for range b.count {
			middles[order[k]] = at + taken[k]
			k++
		}
	}
	return middles, true
}
