package figure

import (
	"slices"
	"sync"
)

// Steady makes the figures of one place, one for each position of its dials, keep the same scales, so that
// the axes stand still while the curves move. It changes the figures it is given;
// doing so again changes nothing.
func Steady(list []Figure) {
	list = slices.DeleteFunc(slices.Clone(list), func(f Figure) bool { return f == nil })
	if len(list) > 0 {
		list[0].steady(list) // one place, one kind
	}
}

// alike are the figures of one kind.
func alike[F Figure](list []Figure) (kind []F) {
	for _, item := range list {
		if f, ok := item.(F); ok {
			kind = append(kind, f)
		}
	}
	return kind
}

// withOneAxis are the figures of one kind, and the axis that has room for all of them.
func withOneAxis[F interface {
	Figure
	reach(extent) extent
}](list []Figure) (kind []F, axis func() extent) {
	kind = alike[F](list)
	return kind, sync.OnceValue(func() extent {
		all := nothing
		for _, f := range kind {
			all = f.reach(all)
		}
		return all
	})
}
