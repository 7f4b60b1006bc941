package figure

import "turnplate/site/canvas"

// placer finds free room for labels on a drawing, greedily: the first label placed has the first choice.
type placer struct {
	within box
	boxes  []box
	lines  [][2]point
	reach  int // how many label heights further off than asked a label may be moved
}

func (p *placer) avoid(b box) { p.boxes = append(p.boxes, b) }

func (p *placer) avoidLine(points []point) {
	for i := 1; i < len(points); i++ {
		p.lines = append(p.lines, [2]point{points[i-1], points[i]})
	}
}

// avoidLines keeps labels off what a plot shows.
func (p *placer) avoidLines(f frame, lines []Line) {
	for _, line := range lines {
		for _, run := range unbroken(line) {
			p.avoidLine(thin(f.on(run)))
		}
	}
}

func (p *placer) avoidPoints(f frame, sets []Points) {
	for _, set := range sets {
		for i := range set.known() {
			p.avoid(set.spot(f, i))
		}
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

// direction is where a label stands from its place: -1, 0 or 1 across and down.
type direction struct{ dx, dy float64 }

// Orders in which to try directions.
var (
	rightFirst = []direction{{1, 0}, {-1, 0}, {0, -1}, {0, 1}, {1, -1}, {1, 1}, {-1, -1}, {-1, 1}}
	leftFirst  = []direction{{-1, 0}, {1, 0}, {0, -1}, {0, 1}, {-1, -1}, {-1, 1}, {1, -1}, {1, 1}}
	belowFirst = []direction{{0, 1}, {1, 1}, {-1, 1}, {1, 0}, {-1, 0}}
	aboveFirst = []direction{{0, -1}, {1, -1}, {-1, -1}, {1, 0}, {-1, 0}}
)

// name sets a label near a place, at the distance given, in the first direction that is free; failing
// that a little further off. It gives up, and tells so, when nothing is free.
func (p *placer) name(to *pen, how canvas.Lettering, text Words, at point, away float64, order []direction) bool {
	b, ok := p.find(how, text, at, away, order)
	if ok {
		text.write(to, how, b.baseline(how))
	}
	return ok
}

// baseline is where a label's text begins in its box.
func (b box) baseline(how canvas.Lettering) point { return point{b.x, b.y + 0.95*how.Size} }

// find takes the room for a label, if there is any: see name.
func (p *placer) find(how canvas.Lettering, text Words, at point, away float64, order []direction) (box, bool) {
	w := text.width(how.Size) * room(how)
	h := 1.2 * how.Size
	for more := range p.reach + 1 {
		away := away + float64(more)*h
		for _, d := range order {
			b := box{at.x + d.dx*(away+w/2) - w/2, at.y + d.dy*(away+h/2) - h/2, w, h}
			if d.dx != 0 && d.dy != 0 { // a corner: nearer
				const near = 0.7
				b.x, b.y = at.x+near*away, at.y+d.dy*(near*away+h/2)-h/2
				if d.dx < 0 {
					b.x = at.x - near*away - w
				}
			}
			if p.free(b) {
				p.avoid(b)
				return b, true
			}
		}
	}
	return box{}, false
}

// crosses says whether a straight stretch has a part inside a box.
func crosses(from, to point, b box) bool {
	_, _, ok := clip(from, to, b)
	return ok
}

// clip gives the part of a straight stretch that lies inside a box (Liang and Barsky, ACM Transactions on
// Graphics 3, 1984).
func clip(from, to point, b box) (start, end point, ok bool) {
	enter, leave := 0.0, 1.0
	dx, dy := to.x-from.x, to.y-from.y
	for _, edge := range [4][2]float64{
		{-dx, from.x - b.x}, {dx, b.right() - from.x}, {-dy, from.y - b.y}, {dy, b.bottom() - from.y},
	} {
		run, room := edge[0], edge[1]
		switch {
		case run == 0 && room < 0:
			return from, to, false
		case run < 0:
			enter = max(enter, room/run)
		case run > 0:
			leave = min(leave, room/run)
		}
	}
	return from.plus(enter*dx, enter*dy), from.plus(leave*dx, leave*dy), enter <= leave
}
