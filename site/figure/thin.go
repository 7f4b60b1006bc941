package figure

import (
	"math"
)

// thin drops points of a polyline that nobody could see: first all but the first, lowest, highest and
// last in each column of pixels, then those within a twentieth of a pixel of the line through their
// neighbours (Douglas and Peucker, Cartographica 10, 1973). What stays are points of the data.
func thin(points []point) []point {
	if len(points) < 3 {
		return points
	}
	return straighten(columns(points), unseen)
}

// thinned is thin for what a plotter draws.
func (f frame) thinned(line pairs) pairs {
	return f.fewer(line, thin)
}

// fewer drops those points of a line that a rule drops where they lie on the drawing.
func (f frame) fewer(line pairs, rule func([]point) []point) (kept pairs) {
	on := f.on(line)
	next := 0
	for _, p := range rule(on) {
		for on[next] != p {
			next++
		}
		kept = append(kept, line[next])
		next++
	}
	return kept
}

// on is where a line lies on the drawing.
func (f frame) on(line pairs) []point {
	points := make([]point, len(line))
	for i, q := range line {
		points[i] = f.at(q.X, q.Y)
	}
	return points
}

// columns needs x to rise.
func columns(points []point) []point {
	width := points[len(points)-1].x - points[0].x
	if float64(len(points)) <= 4*width {
		return points
	}
	var kept []point
	for start := 0; start < len(points); {
		end, low, high := start, start, start
		for ; end < len(points) && math.Floor(points[end].x) == math.Floor(points[start].x); end++ {
			if points[end].y < points[low].y {
				low = end
			}
			if points[end].y > points[high].y {
				high = end
			}
		}
		last := start - 1
		for _, i := range []int{start, min(low, high), max(low, high), end - 1} {
			if i > last {
				kept, last = append(kept, points[i]), i
			}
		}
		start = end
	}
	return kept
}

const unseen = 0.05 // pixels: half of what coordinates are rounded to

func straighten(points []point, off float64) []point {
	if len(points) < 3 {
		return points
	}
	keep := make([]bool, len(points))
	keep[0], keep[len(points)-1] = true, true
	type stretch struct{ from, to int }
	for open := []stretch{{0, len(points) - 1}}; len(open) > 0; {
		s := open[len(open)-1]
		open = open[:len(open)-1]
		far, at := off, -1
		for i := s.from + 1; i < s.to; i++ {
			if d := offLine(points[i], points[s.from], points[s.to]); d > far {
				far, at = d, i
			}
		}
		if at >= 0 {
			keep[at] = true
			open = append(open, stretch{s.from, at}, stretch{at, s.to})
		}
	}
	var kept []point
	for i, p := range points {
		if keep[i] {
			kept = append(kept, p)
		}
	}
	return kept
}

// offLine is the distance of p from the stretch a to b.
func offLine(p, a, b point) float64 {
	dx, dy := b.x-a.x, b.y-a.y
	length := dx*dx + dy*dy
	t := 0.0
	if length > 0 {
		t = within01(((p.x-a.x)*dx + (p.y-a.y)*dy) / length)
	}
	return math.Hypot(p.x-a.x-t*dx, p.y-a.y-t*dy)
}
