package figure

import "slices"

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
