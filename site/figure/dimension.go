package figure

import "math"

const (
	arrowLong, arrowWide = 8, 2.6
	// Between arrows closer than this there is no room for their heads: they point inward from outside.
	arrowsApart = 3 * arrowLong
	arrowTail   = 16
	overshoot   = 5 // of an extension line past its dimension line
)

// dimension draws a dimension line for the distance from a to b along a unit vector: extension lines
// square to it from both points, and arrows between them at a distance aside from a (positive to the
// right of the vector, as the drawing is seen). It gives the middle of the line.
func dimension(s *svg, a, b, along point, aside float64) (middle point) {
	nx, ny := -along.y, along.x
	atA := a.plus(nx*aside, ny*aside)
	reach := (b.x-a.x)*along.x + (b.y-a.y)*along.y
	atB := atA.plus(along.x*reach, along.y*reach)
	for _, e := range [][2]point{{a, atA}, {b, atB}} {
		way := math.Copysign(overshoot, (e[1].x-e[0].x)*nx+(e[1].y-e[0].y)*ny)
		s.line("extend", e[0], e[1].plus(nx*way, ny*way))
	}
	dx, dy := along.x, along.y
	if reach < 0 {
		dx, dy = -dx, -dy
	}
	turn, tail := 1.0, 0.0
	if math.Abs(reach) < arrowsApart {
		turn, tail = -1, arrowTail
	}
	s.line("measure", atA.plus(-dx*tail, -dy*tail), atB.plus(dx*tail, dy*tail))
	s.path("arrow", arrow(atA, -turn*dx, -turn*dy)+arrow(atB, turn*dx, turn*dy))
	return point{(atA.x + atB.x) / 2, (atA.y + atB.y) / 2}
}

// arrow is a head with its tip at a point, pointing along (dx, dy).
func arrow(tip point, dx, dy float64) string {
	back := tip.plus(-arrowLong*dx, -arrowLong*dy)
	return polygon([]point{tip, back.plus(-arrowWide*dy, arrowWide*dx), back.plus(arrowWide*dy, -arrowWide*dx)})
}

// swing draws an angle: an arc around a corner, from one direction to another (radians from upright,
// clockwise), with arrowheads, from outside where there is no room for them inside. It gives the box that
// it takes.
func swing(s *svg, corner point, radius, from, to float64) box {
	if to < from {
		from, to = to, from
	}
	on := func(angle float64) point {
		sin, cos := math.Sincos(angle)
		return corner.plus(radius*sin, -radius*cos)
	}
	turn, tail := 1.0, 0.0
	if (to-from)*radius < arrowsApart {
		turn, tail = -1, arrowTail/radius
	}
	const pieces = 12
	var arc []point
	taken := box{on(from).x, on(from).y, 0, 0}
	for i := 0; i <= pieces; i++ {
		p := on(from - tail + (to-from+2*tail)*float64(i)/pieces)
		arc = append(arc, p)
		right, bottom := max(taken.right(), p.x), max(taken.bottom(), p.y)
		taken.x, taken.y = min(taken.x, p.x), min(taken.y, p.y)
		taken.w, taken.h = right-taken.x, bottom-taken.y
	}
	s.path("measure", polyline(arc))
	head := func(angle, way float64) string {
		sin, cos := math.Sincos(angle)
		return arrow(on(angle), way*cos, way*sin)
	}
	s.path("arrow", head(from, -turn)+head(to, turn))
	return taken.grow(arrowWide)
}
