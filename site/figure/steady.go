package figure

import (
	"slices"
	"sync"
)

// Steady makes the figures of one place, one for each position of its dials, keep the same scales, so that
// the axes stand still while the curves move. It changes the figures it is given;
// doing so again changes nothing.
func Steady(list []Figure) {
	steady(list, func(f *Curves, others []*Curves) { f.beside = others })
	steady(list, func(f *Contours, others []*Contours) { f.beside = others })
	steady(list, func(f *Bars, others []*Bars) { f.beside = others })
	steady(list, func(f *Drawing, others []*Drawing) { f.beside, f.boxes = others, sync.OnceValue(f.measure) })
}

func steady[F Figure](list []Figure, note func(f F, others []F)) {
	var kind []F
	for _, item := range list {
		if f, ok := item.(F); ok {
			kind = append(kind, f)
		}
	}
	for i, f := range kind {
		note(f, slices.Concat(kind[:i], kind[i+1:]))
	}
}
