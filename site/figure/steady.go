package figure

import (
	"slices"
	"sync"
)

// Steady makes the figures of one place, one for each position of its dials, keep the same scales, so that
// the axes stand still while the curves move. It changes the figures it is given;
// doing so again changes nothing.
func Steady(list []Figure) {
	steady(list, func(kind []*Curves) {
		all := sync.OnceValues(func() (x, y extent) {
			x, y = nothing, nothing
			for _, f := range kind {
				x, y = f.reach(x, y)
			}
			return x, y
		})
		for _, f := range kind {
			f.all = all
		}
	})
	steady(list, func(kind []*Contours) {
		all := sync.OnceValue(func() [3]extent {
			x, y, z := nothing, nothing, nothing
			for _, f := range kind {
				x, y, z = f.reach(x, y, z)
			}
			return [3]extent{x, y, z}
		})
		for _, f := range kind {
			f.all = all
		}
	})
	steady(list, func(kind []*Bars) {
		all := sync.OnceValue(func() extent {
			y := nothing
			for _, f := range kind {
				y = f.reach(y)
			}
			return y
		})
		for _, f := range kind {
			f.all = all
		}
	})
	steady(list, func(kind []*Drawing) {
		for i, f := range kind {
			f.beside, f.boxes = slices.Concat(kind[:i], kind[i+1:]), sync.OnceValue(f.measure)
		}
	})
}

// steady hands over the figures of one kind.
func steady[F Figure](list []Figure, note func(kind []F)) {
	var kind []F
	for _, item := range list {
		if f, ok := item.(F); ok {
			kind = append(kind, f)
		}
	}
	note(kind)
}
