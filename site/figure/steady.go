package figure

// Steady makes the figures of one place, one for each position of its dials, keep the same scales, so that
// the axes stand still while the curves move. It changes the figures it is given.
func Steady(list []Figure) {
	steady(list, func(f, other *Curves) { f.beside = append(f.beside, other) })
	steady(list, func(f, other *Contours) { f.beside = append(f.beside, other) })
	steady(list, func(f, other *Bars) { f.beside = append(f.beside, other) })
	steady(list, func(f, other *Drawing) { f.beside = append(f.beside, other) })
}

func steady[F Figure](list []Figure, note func(f, other F)) {
	for _, a := range list {
		f, ok := a.(F)
		if !ok {
			continue
		}
		for _, b := range list {
			if other, ok := b.(F); ok && b != a {
				note(f, other)
			}
		}
	}
}
