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

// ranges are what the axes of a figure must have room for: along x and y, and of the value that a map shows.
type ranges struct{ x, y, z extent }

var noRanges = ranges{nothing, nothing, nothing}

// scales are what plots embed: the kinds of figure with axes.
type scales struct {
	all func() ranges // at all positions of the dials; nil where no dial moves it
}

func (*scales) Sharing() Sharing           { return SharedFirst }
func (*scales) Template() (string, string) { return "picture", "Figure" }

func (s *scales) keep(all func() ranges) { s.all = all }

// room is what the axes of a figure must have room for, by itself or beside others.
func (s *scales) room(f interface{ reach(ranges) ranges }) ranges {
	if s.all != nil {
		return s.all()
	}
	return f.reach(noRanges)
}

// steadied gives all figures of one kind axes that have room for each of them.
func steadied[F interface {
	Figure
	reach(ranges) ranges // widens ranges to everything that is drawn
	keep(func() ranges)
}](list []Figure) {
	kind := alike[F](list)
	all := sync.OnceValue(func() ranges {
		r := noRanges
		for _, f := range kind {
			r = f.reach(r)
		}
		return r
	})
	for _, f := range kind {
		f.keep(all)
	}
}
