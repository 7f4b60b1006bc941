package figure

import (
	"math"

	"turnplate/sim/geom"
	"turnplate/sim/unit"
	"turnplate/site/canvas"
)

// axisTop is the drawn upper end of the steering axis, and its lean from upright on the drawing (radians,
// clockwise). Seen from above the axis ends at the ball joint.
func (c *scene) axisTop() (end point, lean float64) {
	ball, foot := c.at(c.UpperBall), c.at(c.AxisGround)
	if !c.upright() {
		return ball, 0
	}
	lean = math.Atan2(ball.x-foot.x, foot.y-ball.y)
	sin, cos := math.Sincos(lean)
	return ball.plus(axisReach*sin, -axisReach*cos), lean
}

// drawMeasures draws the dimensions that a view shows in their true size, with their values.
func (c *scene) drawMeasures(to *pen, place *placer, sh *sheet) {
	say := func(name string, value Words, at point, away float64, order []direction) {
		place.name(to, sh.measured(), value.Each(func(text string) string { return name + " " + text }), at, away, order)
		if c.Swept != nil { // its gap's label keeps off the arrows too
			place.avoid(box{at.x - 20, at.y - 4, 40, 8})
		}
	}
	if c.name == "oblique" {
		return // nothing is seen in its true size
	}
	outline := func() []point {
		line := c.every(c.outline)
		return append(line, line[0])
	}
	contact, meet := c.at(c.Contact), c.at(c.AxisGround)
	heading := c.planeLine(c.Spin.Unit())
	rim := c.at(c.WheelCentre.Add(heading.Scale(c.Radius + 12/c.scale)))
	if c.name == "top" {
		place.avoidLine(outline())
		// Outside the tyre: beside it and behind it.
		const clear = 26
		ahead := c.of(heading)
		along, across := point{ahead.x, -ahead.y}, point{ahead.y, ahead.x}
		middle := dimension(to, contact, meet, along, -(c.Width/2*c.scale + clear))
		say("Trail", lengths(c.Trail), middle, 10, leftFirst)
		middle = dimension(to, contact, meet, across, c.Radius*c.scale+clear)
		say("Scrub radius", lengths(c.ScrubRadius), middle, 7, belowFirst)
		say("Toe", angle(c.toe(), 2), rim, 4, aboveFirst)
		return
	}
	ball := c.at(c.UpperBall)
	end, lean := c.axisTop()
	to.line(extendLine, ball, ball.plus(0, -axisReach))
	place.avoid(swing(to, ball, swingAt, 0, lean))
	order := rightFirst
	if lean < 0 {
		order = leftFirst
	}
	if c.name == "side" {
		place.avoidLine(outline())
		say("Caster", angle(c.Caster, 1), end, 10, order)
		if sh.ground == nil {
			c.level(to, say, "Trail", c.Trail, contact, meet)
		}
		return
	}
	say("Inclination", angle(c.Inclination, 1), end, 10, order)
	say("Camber", angle(c.Camber, 1), rim, 3, aboveFirst)
	if sh.ground == nil {
		c.level(to, say, "Scrub radius", c.ScrubRadius, contact, meet)
	}
}

// level draws a distance along the ground. A steered wheel's trail and scrub radius run along and across
// its heading, so that neither the front nor the side shows them in their true size: then only the value
// is given.
func (c *scene) level(to *pen, say func(string, Words, point, float64, []direction), name string, value float64, contact, meet point) {
	const below, misfit = 26, 1e-3 // pixels; metres
	at := point{(contact.x + meet.x) / 2, max(contact.y, meet.y) + below/2}
	if math.Abs(math.Abs(contact.x-meet.x)/c.scale-math.Abs(value)) < misfit {
		at = dimension(to, contact, meet, point{1, 0}, below)
	}
	say(name, lengths(value), at, 7, belowFirst)
}

// partName is a part's name and the place that it is about.
type partName struct {
	name string
	at   point
}

// partNames are those of a corner that is drawn where c is.
func (c *scene) partNames(k Sketch) []partName {
	middle := func(points ...geom.Point) point {
		var sum geom.Point
		for _, p := range points {
			sum = sum.Add(p)
		}
		return c.at(sum.Scale(1 / float64(len(points))))
	}
	return []partName{
		{"Upper arm", middle(k.UpperFront, k.UpperRear, k.UpperBall, k.UpperBall)},
		{"Lower arm", middle(k.LowerFront, k.LowerRear, k.LowerBall, k.LowerBall)},
		{"Tie rod", middle(k.TieInner, k.TieOuter)},
		{"Steering axis", middle(k.LowerBall, k.AxisGround)},
		{"Wheel centre", c.at(k.WheelCentre)},
		{"Contact centre", c.at(k.Contact)},
	}
}

// nameParts writes the names of the parts in two columns beside the drawing, with leaders to them.
func (c *scene) nameParts(to *pen, place *placer, sh *sheet) {
	parts := c.partNames(c.Sketch)
	// At every position of the dials a name stands on the same side: the one where its part lies on average.
	across := make([]float64, len(parts))
	for _, k := range append([]*prospect{c.prospect}, c.others...) {
		for i, p := range c.partNames(k.Sketch) {
			across[i] += p.at.x / float64(1+len(c.others))
		}
	}
	switch {
	case c.name == "top":
		parts = parts[:3] // the others lie too close together
	case sh.ground != nil:
		parts = parts[:5] // the inset tells what stands on the ground
	}
	size := sh.small()
	const same = 0.1 // pixels
	centre := c.area.x + c.area.w/2 - same
	for _, right := range []bool{false, true} {
		var want, heights []float64
		var which []int
		for i, p := range parts {
			if (across[i] >= centre) == right {
				which, want, heights = append(which, i), append(want, p.at.y), append(heights, 1.2*size)
			}
		}
		bottom := c.area.bottom() - 10
		if right && sh.ground != nil {
			bottom = sh.ground.y - 4
		}
		middles, ok := spread(want, heights, 8, c.area.y-10, bottom)
		if !ok {
			continue
		}
		for k, i := range which {
			p := parts[i]
			width := textWidth(p.name, size)
			x := max(c.area.x-26-width, 0)
			from := point{x + width + 4, middles[k]}
			if right {
				x = min(c.area.right()+26, sh.width-width)
				from = point{x - 5, middles[k]}
			}
			to.line(leadLine, from, p.at)
			to.dots(canvas.Black, noLine, dotSize, p.at)
			to.text(sh.label(), point{x, middles[k] + 0.35*size}, p.name)
			place.avoid(box{x, middles[k] - 0.6*size, width, 1.2 * size})
		}
	}
}

// scaleBar shows how long a round length is on the drawing.
func scaleBar(to *pen, sh *sheet, system System) {
	u, _ := lengthUnit(system)
	scale := sh.scenes[0].scale * u.SI // pixels a unit
	size := 1.0
	for _, try := range []float64{1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000} {
		if try*scale <= 90 {
			size = try
		}
	}
	y := sh.height - 6
	left, right := point{1, y}, point{1 + size*scale, y}
	to.stroke(whiskerLine, []point{left.plus(0, -5), left, right, right.plus(0, -5)})
	to.text(sh.label(), right.plus(8, 0), u.Text(number(size, 0)))
}

func lengthUnit(system System) (u unit.Unit, places int) {
	if system == US {
		return unit.MustParse("inch"), 2
	}
	return unit.MustParse("mm"), 0
}

func length(v float64, system System) string {
	if !finite(v) {
		return "–"
	}
	u, places := lengthUnit(system)
	return u.Text(number(v/u.SI, places))
}

func lengths(v float64) Words { return Either(length(v, Metric), length(v, US)) }

func angle(v float64, places int) Words {
	return Plain(degrees(v, places))
}

var degree = unit.MustParse("deg")

func degrees(v float64, places int) string {
	if !finite(v) {
		return "–"
	}
	return degree.Text(number(v/degree.SI, places))
}
