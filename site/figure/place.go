package figure

// point is a place on the drawing, in pixels, y down.
type point struct{ x, y float64 }

func (p point) plus(dx, dy float64) point { return point{p.x + dx, p.y + dy} }

// box is an upright rectangle on the drawing.
type box struct{ x, y, w, h float64 }

func (b box) right() float64  { return b.x + b.w }
func (b box) bottom() float64 { return b.y + b.h }

func (b box) grow(by float64) box { return box{b.x - by, b.y - by, b.w + 2*by, b.h + 2*by} }

func (b box) meets(c box) bool {
	return b.x < c.right() && c.x < b.right() && b.y < c.bottom() && c.y < b.bottom()
}

func (b box) holds(c box) bool {
	return b.x <= c.x && b.y <= c.y && b.right() >= c.right() && b.bottom() >= c.bottom()
}

// nearest is the place in the box that is nearest to one outside it.
func (b box) nearest(p point) point {
	return point{min(max(p.x, b.x), b.right()), min(max(p.y, b.y), b.bottom())}
}

// outline is the box's edge, from corner to corner.
func (b box) outline() []point {
	return []point{{b.x, b.y}, {b.right(), b.y}, {b.right(), b.bottom()}, {b.x, b.bottom()}}
}
