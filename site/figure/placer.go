package figure

import "math"

// placer finds free room for labels on a drawing, greedily: the first label placed has the first choice.
type placer struct {
	within box
	boxes  []box
	lines  [][2]point
}

func (p *placer) avoid(b box) { p.boxes = append(p.boxes, b) }

func (p *placer) avoidLine(points []point) {
	for i := 1; i < len(points); i++ {
		p.lines = append(p.lines, [2]point{points[i-1], points[i]})
	}
}

func (p *placer) free(b box) bool {
	if !p.within.holds(b) {
		return false
	}
	for _, other := range p.boxes {
		if b.meets(other) {
			return false
		}
	}
	for _, l := range p.lines {
		if crosses(l[0], l[1], b) {
			return false
		}
	}
	return true
}

// name sets a label near a place: right of it, left, above, below or between, at the distance given. It
// gives up, and tells so, when none of them is free.
func (p *placer) name(s *svg, className, text string, at point, away, size float64) bool {
	w, h := textWidth(text, size), 1.2*size
	const slant = 0.75
	for _, try := range []struct{ dx, dy float64 }{
		{1, 0}, {-1, 0}, {0, -1}, {0, 1}, {slant, -slant}, {slant, slant}, {-slant, -slant}, {-slant, slant},
	} {
		b := box{at.x + try.dx*away - w/2 + try.dx*w/2, at.y + try.dy*away - h/2 + try.dy*h/2, w, h}
		if try.dx != 0 && math.Abs(try.dx) < 1 {
			b.x = at.x + try.dx*away
			if try.dx < 0 {
				b.x -= w
			}
		}
		if p.free(b) {
			p.avoid(b)
			s.text(className, atStart, point{b.x, b.y + 0.95*size}, text)
			return true
		}
	}
	return false
}

// crosses says whether a straight stretch has a part inside a box (Liang and Barsky, ACM Transactions on
// Graphics 3, 1984).
func crosses(from, to point, b box) bool {
	enter, leave := 0.0, 1.0
	dx, dy := to.x-from.x, to.y-from.y
	for _, edge := range [4][2]float64{
		{-dx, from.x - b.x}, {dx, b.right() - from.x}, {-dy, from.y - b.y}, {dy, b.bottom() - from.y},
	} {
		run, room := edge[0], edge[1]
		switch {
		case run == 0 && room < 0:
			return false
		case run < 0:
			enter = max(enter, room/run)
		case run > 0:
			leave = min(leave, room/run)
		}
	}
	return enter <= leave
}
