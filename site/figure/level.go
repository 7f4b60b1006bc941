package figure

import "slices"

// vertex is a corner of an outline on a map, in the axes' units. A crossing lies between two points of the
// grid that have values; any other vertex stands at the edge of what the map knows.
type vertex struct {
	x, y     float64
	crossing bool
}

// The edges of a cell of the grid.
const (
	lower = iota
	right
	upper
	left
)

// join is a stretch of an outline across a cell, from one of its edges to another.
type join struct{ from, to int }

// joins are the stretches in a cell by which of its corners are inside: the lower left one is the first bit, and the others
// follow anticlockwise.
var joins = [16][]join{
	1: {{lower, left}}, 2: {{right, lower}}, 3: {{right, left}},
	4: {{upper, right}}, 5: {{lower, left}, {upper, right}}, 6: {{upper, lower}}, 7: {{upper, left}},
	8: {{left, upper}}, 9: {{lower, upper}}, 10: {{right, lower}, {left, upper}}, 11: {{right, upper}},
	12: {{left, right}}, 13: {{lower, right}}, 14: {{left, lower}},
}

// saddles are those of corners that lie across from each other, where the cell's middle is inside too.
var saddles = [16][]join{5: {{lower, right}, {upper, left}}, 10: {{left, lower}, {right, upper}}}

// outlines gives the closed outlines of the part of a map where in says so, anticlockwise, holes
// clockwise. Between two points that have values an outline passes where the value is the level, by linear
// interpolation; next to a point without a value, or at the map's edge, it passes through the last point
// inside. (Marching squares: each cell of the grid tells from its four corners which of its edges the
// outline joins, inside to the left. A saddle is decided by the mean of its corners.)
func (f Field) outlines(in func(z float64) bool, level float64) (loops [][]vertex) {
	type edge struct {
		i, j     int
		vertical bool
	}
	nx, ny := len(f.X), len(f.Y)
	at := func(i, j int) (float64, bool) {
		if i < 0 || j < 0 || i >= nx || j >= ny || i >= len(f.Z[j]) || !finite(f.Z[j][i]) {
			return 0, false
		}
		return f.Z[j][i], true
	}
	inside := func(i, j int) bool {
		z, known := at(i, j)
		return known && in(z)
	}
	next := map[edge]edge{}
	var starts []edge // in a fixed order
	for j := -1; j < ny; j++ {
		for i := -1; i < nx; i++ {
			edges := [...]edge{lower: {i, j, false}, right: {i + 1, j, true}, upper: {i, j + 1, false}, left: {i, j, true}}
			corners, sum, all := 0, 0.0, true
			for k, c := range [4][2]int{{i, j}, {i + 1, j}, {i + 1, j + 1}, {i, j + 1}} {
				z, known := at(c[0], c[1])
				sum, all = sum+z/4, all && known
				if known && in(z) {
					corners |= 1 << k
				}
			}
			across := joins[corners]
			if saddle := saddles[corners]; saddle != nil && all && in(sum) {
				across = saddle
			}
			for _, join := range across {
				from := edges[join.from]
				next[from] = edges[join.to]
				starts = append(starts, from)
			}
		}
	}

	place := func(e edge) vertex {
		i, j := e.i+1, e.j
		if e.vertical {
			i, j = e.i, e.j+1
		}
		if !inside(e.i, e.j) { // look from the inner end outward
			e.i, e.j, i, j = i, j, e.i, e.j
		}
		from, _ := at(e.i, e.j)
		to, known := at(i, j)
		v := vertex{f.X[e.i], f.Y[e.j], known && to != from}
		if v.crossing {
			t := (level - from) / (to - from)
			v.x += t * (f.X[i] - v.x)
			v.y += t * (f.Y[j] - v.y)
		}
		return v
	}
	for _, start := range starts {
		var loop []vertex
		for e := start; ; {
			to, open := next[e]
			if !open {
				break
			}
			delete(next, e)
			loop = append(loop, place(e))
			e = to
		}
		if len(loop) > 2 {
			loops = append(loops, loop)
		}
	}
	return loops
}

// lines gives the parts of an outline that are lines of the level: the rest runs along the map's edge.
func lines(loop []vertex) (open [][]vertex) {
	first := slices.IndexFunc(loop, func(v vertex) bool { return !v.crossing })
	if first < 0 {
		return [][]vertex{append(slices.Clone(loop), loop[0])}
	}
	var run []vertex
	for k := 1; k <= len(loop); k++ {
		v := loop[(first+k)%len(loop)]
		if v.crossing {
			run = append(run, v)
			continue
		}
		if len(run) > 1 {
			open = append(open, run)
		}
		run = nil
	}
	return open
}
