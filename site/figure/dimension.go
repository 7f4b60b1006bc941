package figure

import (
	"math"

	"turnplate/site/canvas"
)

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
func dimension(to *pen, a, b, along point, aside float64) (middle point) {
	nx, ny := -along.y, along.x
	atA := a.plus(nx*aside, ny*aside)
	reach := (b.x-a.x)*along.x + (b.y-a.y)*along.y
	atB := atA.plus(along.x*reach, along.y*reach)
	for _, e := range [][2]point{{a, atA}, {b, atB}} {
		way := math.Copysign(overshoot, (e[1].x-e[0].x)*nx+(e[1].y-e[0].y)*ny)
		to.line(extendLine, e[0], e[1].plus(nx*way, ny*way))
	}
	dx, dy := along.x, along.y
	if reach < 0 {
		dx, dy = -dx, -dy
	}
	turn, tail := 1.0, 0.0
	if math.Abs(reach) < arrowsApart {
		turn, tail = -1, arrowTail
	}
	to.line(measureLine, atA.plus(-dx*tail, -dy*tail), atB.plus(dx*tail, dy*tail))
	to.area(canvas.Black, noLine, arrow(atA, -turn*dx, -turn*dy), arrow(atB, turn*dx, turn*dy))
	return point{(atA.x + atB.x) / 2, (atA.y + atB.y) / 2}
}

// arrow is a head with its tip at a point, pointing along (dx, dy).
func arrow(tip point, dx, dy float64) []point {
	back := tip.plus(-arrowLong*dx, -arrowLong*dy)
	return []point{tip, back.plus(-arrowWide*dy, arrowWide*dx), back.plus(arrowWide*dy, -arrowWide*dx)}
}

// swing draws an angle: an arc around a corner, from one direction to another (radians from upright,
// clockwise), with arrowheads, from outside where there is no room for them inside. It gives the box that
// it takes.
func swing(to *pen, corner point, radius, from, upTo float64) box {
	if upTo < from {
		from, upTo = upTo, from
	}
	on := func(angle float64) point {
		sin, cos := math.Sincos(angle)
		return corner.plus(radius*sin, -radius*cos)
	}
	turn, tail := 1.0, 0.0
	if (upTo-from)*radius < arrowsApart {
		turn, tail = -1, arrowTail/radius
	}
	const pieces = 12
	var arc []point
	taken := box{on(from).x, on(from).y, 0, 0}
	for i := 0; i <= pieces; i++ {
		p := on(from - tail + (upTo-from+2*tail)*float64(i)/pieces)
		arc = append(arc, p)
		right, bottom := max(taken.right(), p.x), max(taken.bottom(), p.y)
		taken.x, taken.y = min(taken.x, p.x), min(taken.y, p.y)
		taken.w, taken.h = right-taken.x, bottom-taken.y
	}
	to.stroke(measureLine, arc)
	head := func(angle, way float64) []point {
		sin, cos := math.Sincos(angle)
		return arrow(on(angle), way*cos, way*sin)
	}
	to.area(canvas.Black, noLine, head(from, -turn), head(upTo, turn))
	return taken.grow(arrowWide)
}
