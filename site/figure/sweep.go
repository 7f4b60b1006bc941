package figure

import (
	"math"

	"turnplate/sim/clearance"
	"turnplate/sim/geom"
	"turnplate/sim/unit"
	"turnplate/site/canvas"
)

// Swept is a corner's tyre as it is steered and moves up and down, and the obstacles near it. Places are as in
// Sketch.
type Swept struct {
	Names     []string         // of the obstacles
	Obstacles []clearance.Edge // at rest
	Gaps      []float64        // smallest over the whole sweep; negative: overlap

	Locks []clearance.Placed // tyre at full lock, either way
	Ends  []clearance.Placed // tyre at the ends of the travel

	Nearest        int              // index of the obstacle with the smallest gap
	Rack, Bump     float64          // where the rack (+ left turn) and the wheel (+ up from rest) then are
	Tyre           clearance.Placed // and the tyre
	Edge           clearance.Edge   // and the obstacle
	OnTyre, OnEdge geom.Point       // ends of the gap
}

// around is how far from the swept tyre obstacles are drawn, in metres.
const around = 0.08

// sweep is a Swept in a view.
type sweep struct {
	outlines       [][]flat // at the ends of the sweep
	nearest        []flat   // where the gap is smallest
	edges          []edge   // what lies near
	onTyre, onEdge flat
}

type edge struct {
	name     string
	from, to flat
	radius   float64
}

// sweepIn is what a view shows: from above, both locks; from elsewhere, the ends of the travel too. Of the obstacles
// it keeps what lies near the tyre.
func (c Scene) sweepIn(v view) sweep {
	t := c.Swept
	w := sweep{nearest: c.outline(v, t.Tyre), onTyre: v.of(t.OnTyre), onEdge: v.of(t.OnEdge)}
	ends := t.Locks
	if v.name != "top" {
		ends = append(ends[:len(ends):len(ends)], t.Ends...)
	}
	for _, at := range ends {
		w.outlines = append(w.outlines, c.outline(v, at))
	}
	tyres := w.tyres()
	near := box{tyres.x.lo, tyres.y.lo, tyres.x.size(), tyres.y.size()}.grow(around)
	keep := func(name string, e clearance.Edge) {
		from, to, ok := clip(point(v.of(e.From)), point(v.of(e.To)), near)
		if ok {
			w.edges = append(w.edges, edge{name, flat(from), flat(to), e.Radius})
		}
	}
	for i, e := range t.Obstacles {
		if i != t.Nearest {
			keep(clean(at(t.Names, i)), e)
		}
	}
	keep("", t.Edge) // its name stands with the gap
	return w
}

// tyres is the box of the tyre's outlines.
func (w *sweep) tyres() region {
	all := noRegion.with(w.nearest...)
	for _, outline := range w.outlines {
		all = all.with(outline...)
	}
	return all
}

// region is the box of all that is drawn of a sweep.
func (w *sweep) region() region {
	all := w.tyres().with(w.onEdge)
	for _, e := range w.edges {
		all = all.with(e.from, e.to)
	}
	return all
}

// drawSwept draws the tyre at the ends of its sweep and where it comes nearest, and the obstacles as thick as they are.
func (c *scene) drawSwept(to *pen) {
	for _, outline := range c.sweep.outlines {
		to.area(nil, sweptLine, c.round(outline))
	}
	to.area(nil, nearestLine, c.round(c.sweep.nearest))
	for _, e := range c.sweep.edges {
		to.bar(canvas.Black, c.px(e.from), c.px(e.to), c.thick(e))
	}
}

var (
	sweptLine   = stroke(canvas.Soft, 0.75)
	nearestLine = stroke(canvas.Bad, 1.25, 5, 3)
)

// thick is how wide an obstacle is drawn.
func (c *scene) thick(e edge) float64 {
	const thinnest = 2 // pixels
	return max(2*e.radius*c.scale, thinnest)
}

// gapLine is where the smallest gap is drawn.
type gapLine struct {
	from, to point // on the tyre and on the obstacle
	out      point // unit vector away from the wheel
	full     bool  // seen in its true size
	at       point // the outer end of what is drawn
}

func (c *scene) gapLine() gapLine {
	g := gapLine{from: c.px(c.sweep.onTyre), to: c.px(c.sweep.onEdge)}
	gap := c.Swept.Gaps[c.Swept.Nearest]
	dx, dy := g.to.x-g.from.x, g.to.y-g.from.y
	long := math.Hypot(dx, dy)
	// Outward also where the two overlap or the view looks along the gap.
	centre := c.at(c.Swept.Tyre.Centre)
	g.out = point{g.from.x - centre.x, g.from.y - centre.y}
	if long >= 0.5 {
		g.out = point{dx, dy}
		if gap < 0 {
			g.out = point{-dx, -dy}
		}
	}
	if size := math.Hypot(g.out.x, g.out.y); size > 0 {
		g.out = point{g.out.x / size, g.out.y / size}
	} else {
		g.out = point{1, 0}
	}
	g.at = g.to
	if gap < 0 {
		g.at = g.from
	}
	const misfit = 1e-3 // metres
	if g.full = math.Abs(long/c.scale-math.Abs(gap)) < misfit; g.full {
		g.at = g.at.plus(arrowTail*g.out.x, arrowTail*g.out.y)
	}
	return g
}

// avoidObstacles keeps labels off the obstacles, as thick as they are drawn.
func (c *scene) avoidObstacles(place *placer) {
	const clear = 2 // pixels
	for _, e := range c.sweep.edges {
		from, to := c.px(e.from), c.px(e.to)
		place.avoidLine([]point{from, to})
		for _, end := range []point{from, to} {
			place.avoid(box{end.x, end.y, 0, 0}.grow(c.thick(e)/2 + clear))
		}
	}
}

// keepOffSweep keeps labels off the obstacles, and off the gap and the way to its own label.
func (c *scene) keepOffSweep(place *placer, l layout) {
	c.avoidObstacles(place)
	g, way := c.gapLine(), 2*l.small()
	place.avoidLine([]point{g.from, g.at.plus(way*g.out.x, way*g.out.y)})
}

// drawGap draws the smallest gap with its value and the obstacle's name. Arrows mean a length in its true size; a view
// that foreshortens the gap only points to it.
func (c *scene) drawGap(to *pen, place *placer, l layout) {
	g := c.gapLine()
	at, out := g.at, g.out
	if g.full {
		dimension(to, g.from, g.to, out, 0)
	} else {
		to.dots(canvas.Black, noLine, dotSize, at)
	}

	// The value stands beside it where that is clear of the tyre, else below or above all, with a leader.
	tyres := c.sweep.tyres()
	upper, lower := c.px(flat{tyres.x.lo, tyres.y.hi}), c.px(flat{tyres.x.hi, tyres.y.lo})
	own := *place
	own.within.x, own.within.w = c.middle-c.share/2, c.share
	own.boxes = append(own.boxes[:len(own.boxes):len(own.boxes)], box{upper.x, upper.y, lower.x - upper.x, lower.y - upper.y})
	own.lines = [][2]point{{g.from, at}}
	c.avoidObstacles(&own)
	order := rightFirst
	switch {
	case math.Abs(out.y) > math.Abs(out.x) && out.y > 0:
		order = belowFirst
	case math.Abs(out.y) > math.Abs(out.x):
		order = aboveFirst
	case out.x < 0:
		order = leftFirst
	}
	below, above := point{at.x, c.area.bottom() + 8}, point{at.x, c.area.y - 8}
	places := []struct {
		point
		order []direction
	}{{at, order}, {below, belowFirst}, {above, aboveFirst}}
	if at.y < c.area.y+c.area.h/2 {
		places[1], places[2] = places[2], places[1]
	}
	text, name := gapWords(c.Swept.Gaps[c.Swept.Nearest]), clean(c.Swept.Names[c.Swept.Nearest])
	for _, says := range []Words{text.Each(func(text string) string { return name + ": " + text }), text} {
		for _, p := range places {
			if !own.name(to, l.measured(), says, p.point, 5, p.order) {
				continue
			}
			b := own.boxes[len(own.boxes)-1]
			place.avoid(b)
			end := b.grow(2).nearest(at)
			if math.Hypot(end.x-at.x, end.y-at.y) > arrowTail {
				to.line(leadLine, at, end)
			}
			return
		}
	}
}

// nameObstacles writes each obstacle's name beside it, where there is room.
func (c *scene) nameObstacles(to *pen, place *placer, l layout) {
	own := *place
	own.within.x, own.within.w, own.reach = c.middle-c.share/2, c.share, 0
	own.lines = own.lines[:len(own.lines):len(own.lines)]
	around := func(points []point) { own.avoidLine(append(points, points[0])) }
	for _, outline := range append([][]flat{c.sweep.nearest, c.outline}, c.sweep.outlines...) {
		around(c.every(outline))
	}
	for _, arm := range c.arms() {
		around(c.all(arm...))
	}
	own.avoidLine(c.all(c.TieInner, c.TieOuter))
	own.avoidLine(c.all(c.WheelCentre, c.foot(c.WheelCentre)))
	for _, e := range c.sweep.edges {
		from, upTo := c.px(e.from), c.px(e.to)
		middle := point{(from.x + upTo.x) / 2, (from.y + upTo.y) / 2}
		order := aboveFirst
		if middle.y > c.area.y+c.area.h/2 {
			order = belowFirst
		}
		order = append(order[:len(order):len(order)], rightFirst...)
		for _, at := range []point{middle, from, upTo} {
			if e.name == "" || own.name(to, l.label(), Plain(e.name), at, c.thick(e)/2+4, order) {
				break
			}
		}
	}
}

// gapWords is a gap in words: "gap 18 mm", "overlap 5 mm".
func gapWords(gap float64) Words {
	what := "gap "
	if gap < 0 {
		what = "overlap "
	}
	return lengths(math.Abs(gap)).Each(func(text string) string { return what + text })
}

// sweepKeys are the legend of a sweep.
func sweepKeys() []Key {
	obstacle := swatch(func(p *pen, mid point) { p.bar(canvas.Black, mid.plus(-16, 0), mid.plus(16, 0), 3) })
	return []Key{
		{Swatch: lineSample(sweptLine), Label: Plain("Tyre at the ends of its sweep"), Wide: true, Narrow: true},
		{Swatch: lineSample(nearestLine), Label: Plain("Tyre where it comes nearest"), Wide: true, Narrow: true},
		{Swatch: obstacle, Label: Plain("Obstacle"), Wide: true, Narrow: true},
	}
}

// says tells where the tyre comes nearest to what.
func (t *Swept) says(system System) string {
	s := "Over its sweep the tyre comes nearest to " + clean(t.Names[t.Nearest]) + ", " + gapWords(t.Gaps[t.Nearest]).In(system) + ", with the rack "
	switch {
	case math.Abs(t.Rack) < 0.5e-3:
		s += "in its middle"
	case t.Rack > 0:
		s += length(t.Rack, system) + " towards a left turn"
	default:
		s += length(-t.Rack, system) + " towards a right turn"
	}
	s += " and the wheel "
	switch {
	case math.Abs(t.Bump) < 0.5e-3:
		return s + "at its height of rest."
	case t.Bump > 0:
		return s + length(t.Bump, system) + " above rest."
	}
	return s + length(-t.Bump, system) + " below rest."
}

// records are the obstacles drawn, and the gap to each.
func (t *Swept) records(label string, u unit.Unit) (rows [][]string) {
	at := func(what string, p geom.Point) {
		rows = append(rows, []string{label, what, figures(p.X/u.SI, 1), figures(p.Y/u.SI, 1), figures(p.Z/u.SI, 1), "", ""})
	}
	value := func(what string, v float64) {
		rows = append(rows, []string{label, what, "", "", "", figures(v/u.SI, 1), u.Name})
	}
	for i, e := range t.Obstacles {
		name := inert(t.Names[i])
		at(name+", from", e.From)
		at(name+", to", e.To)
		value(name+", radius", e.Radius)
		value(name+", smallest gap", t.Gaps[i])
	}
	name := inert(t.Names[t.Nearest])
	at("Nearest place on the tyre", t.OnTyre)
	at("Nearest place on "+name, t.OnEdge)
	value("Rack there", t.Rack)
	value("Wheel from rest there", t.Bump)
	return rows
}
