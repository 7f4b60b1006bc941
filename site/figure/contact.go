package figure

import (
	"math"

	"turnplate/sim/geom"
	"turnplate/site/canvas"
)

// inset is the ground under the wheel, magnified: where the steering axis meets it, where the tyre stands, and how far
// apart the two are. It looks at the wheel squarely, from its side or from ahead, so that it shows trail and scrub
// radius in their true size at any lock.
type inset struct {
	box
	times float64 // how much larger than the drawing
	zero  float64 // where the contact centre stands across
}

const (
	insetAbove, insetBelow = 78, 46 // pixels of it above and below the lowest ground
	insetMost, insetLeast  = 196, 132
	insetAside             = 50 // room on both sides for the names
	insetTimes             = 8
)

var (
	insetLine = stroke(canvas.Soft, 1)
	insetLink = stroke(canvas.Soft, 0.75, 2, 2)
)

// spotted is what an inset shows of a corner, in metres across the drawing from the contact centre: where the axis meets
// the ground, and how far it leans to the right for each metre up.
type spotted struct{ meet, lean float64 }

func (v view) spot(k Sketch) spotted {
	ahead := k.Spin.Unit().Cross(geom.Point{Z: 1}).Unit()
	right := ahead.Scale(-1)
	if v.name == "front" {
		right = geom.Point{Z: 1}.Cross(ahead)
	}
	axis := k.UpperBall.Sub(k.LowerBall)
	return spotted{k.AxisGround.Sub(k.Contact).Dot(right), axis.Dot(right) / axis.Z}
}

// newInset finds room for the ground of a lone corner that is seen upright, or gives nil. All positions of a dial have
// the same one.
func newInset(l layout, c *scene) *inset {
	if !c.upright() || c.Swept != nil {
		return nil
	}
	in := &inset{box: box{1, c.area.bottom() + 16, l.width - 2, insetAbove + insetBelow}}
	if l.name == wide.name {
		from := c.area.right() // beside the tyre from ahead, and where it curves away from the side
		if c.name == "side" {
			tyre := c.Radius * c.scale
			from = c.area.x + c.area.w/2 + math.Sqrt(max(tyre*tyre-(tyre-insetAbove)*(tyre-insetAbove), 0))
		}
		from = max(from+10, l.width-insetMost)
		in.box = box{from, c.area.bottom() - insetAbove, l.width - 1 - from, insetAbove + insetBelow}
	}
	if in.w < insetLeast {
		return nil
	}
	lo, hi := 0.0, 0.0
	see := func(k Sketch) {
		s := c.spot(k)
		lo, hi = min(lo, s.meet), max(hi, s.meet)
	}
	see(c.Sketch)
	for _, k := range c.others {
		see(k.Sketch)
	}
	for _, k := range c.ghosts {
		see(k.Sketch)
	}
	in.times = min(math.Floor((in.w-2*insetAside)/max((hi-lo)*c.scale, 1e-6)), insetTimes)
	if in.times < 2 {
		return nil
	}
	in.zero = in.x + in.w/2 - (lo+hi)/2*c.scale*in.times
	return in
}

// draw draws the inset, and the frame of what it magnifies.
func (in *inset) draw(to *pen, c *scene, l layout) {
	ground := in.y + insetAbove
	px := func(metres float64) float64 { return in.zero + metres*c.scale*in.times }
	axis := func(s spotted) (meet, top point) {
		const rise = insetAbove - 24
		return point{px(s.meet), ground}, point{px(s.meet) + s.lean*rise, ground - rise}
	}
	// What is magnified, and a line from there.
	contact, meet := c.at(c.Contact), c.at(c.AxisGround)
	const around = 9
	left, right := min(contact.x, meet.x)-around, max(contact.x, meet.x)+around
	to.area(nil, insetLine, box{left, contact.y - around, right - left, 2 * around}.outline())
	link := []point{{right, contact.y}, {in.x, ground}}
	if l.name == narrow.name {
		link = []point{{(left + right) / 2, contact.y + around}, {in.x + in.w/2, in.y}}
	}
	to.stroke(insetLink, link)

	to.area(canvas.Paper, insetLine, in.outline())
	to.area(canvas.Rule.Faint(0.3), noLine, box{in.x + 1, in.y + 20, in.w - 2, insetAbove - 20}.outline())
	to.line(groundLine, point{in.x, ground}, point{in.right(), ground})
	for _, g := range c.ghosts {
		meet, top := axis(c.spot(g.Sketch))
		to.line(ghostAxis, top, meet)
	}
	here := c.spot(c.Sketch)
	meet, top := axis(here)
	stands := point{px(0), ground}
	to.line(centreLine, stands.plus(0, -(insetAbove-24)), stands)
	to.line(steerLine, top, meet)
	middle := dimension(to, stands, meet, point{1, 0}, 18)
	to.dots(canvas.Good, paperEdge, placeSize+1, stands)
	to.dots(canvas.Mark, paperEdge, placeSize+1, meet)

	named := func(ink canvas.Ink, at point, left bool, name string) {
		how := canvas.Lettering{Ink: ink, Size: l.small(), Halo: true, Bold: true}
		if left {
			how.Anchor = canvas.End
			at = at.plus(-14, 0)
		}
		to.text(how, at.plus(7, 0), name)
	}
	named(canvas.Mark, meet.plus(0, -9), here.meet <= 0, "Axis")
	named(canvas.Good, stands.plus(0, -9), here.meet > 0, "Tyre")
	says := l.label()
	to.text(says, point{in.x + 6, in.y + 14}, "On the ground, × "+number(in.times, 0))
	name, value := "Trail", c.Trail
	if c.name == "front" {
		name, value = "Scrub radius", c.ScrubRadius
	}
	how := l.measured()
	how.Anchor = canvas.Middle
	long := lengths(value).Each(func(text string) string { return name + " " + text })
	half := long.width(how.Size) * boldness / 2
	long.write(to, how, point{min(max(middle.x, in.x+half+4), in.right()-half-4), ground + 39})
}
