package figure

import (
	"slices"
	"strings"
	"sync"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"turnplate/sim/geom"
	"turnplate/sim/unit"
	"turnplate/site/canvas"
)

// scene is one corner on the drawing.
type scene struct {
	*prospect
	area   box     // the geometry stands in it; labels around it
	middle float64 // of the scene's share of the width
	share  float64 // that share
	scale  float64
	corner flat        // what stands at the area's lower left, in metres
	others []*prospect // where the dials stand otherwise
}

func (c *scene) px(f flat) point {
	return point{c.area.x + (f.x-c.corner.x)*c.scale, c.area.bottom() - (f.y-c.corner.y)*c.scale}
}

func (c *scene) at(p geom.Point) point { return c.px(c.of(p)) }

const (
	axisReach = 74 // how far the steering axis is drawn past the upper ball joint, in pixels
	swingAt   = 60 // where on it the angle is drawn
)

// all are places on the drawing.
func (c *scene) all(places ...geom.Point) []point {
	list := make([]point, len(places))
	for i, p := range places {
		list[i] = c.at(p)
	}
	return list
}

var (
	ghostLine = stroke(canvas.Soft.Faint(0.6), 1, 3, 3)
	ghostAxis = stroke(canvas.Mark.Faint(0.6), 1.2, 3, 4)
)

// skeleton is a corner's tyre, arms, rod and steering axis, as lines.
func (c *scene) skeleton(to *pen, k *seen) vg.Path {
	arms := k.arms()
	closed := to.path(true, c.round(k.outline), c.all(arms[0]...), c.all(arms[1]...))
	return append(closed, to.path(false, c.all(k.TieInner, k.TieOuter), c.all(k.LowerBall, k.UpperBall))...)
}

// drawGhost draws a corner faint: where a pose ends, or the vehicle that this one is held against.
func (c *scene) drawGhost(to *pen, g *seen) {
	to.strokePath(ghostLine, c.skeleton(to, g))
	if c.upright() {
		to.line(ghostAxis, c.at(g.UpperBall), c.at(g.AxisGround))
	}
}

func (*Drawing) Axes() []string             { return []string{"By", "Pose"} }
func (*Drawing) Table(int) (*Table, int)    { return nil, 1 }
func (*Drawing) Sharing() Sharing           { return SharedLast }
func (*Drawing) Template() (string, string) { return "picture", "Figure" }

func (d *Drawing) Marks() int {
	const scene = 1000 // as many points as a corner and what it sweeps are drawn with, roughly
	return scene * len(d.Scenes)
}

func (d *Drawing) steady(all []Figure) {
	kind := alike[*Drawing](all)
	for i, f := range kind {
		f.beside, f.seen = slices.Concat(kind[:i], kind[i+1:]), sync.OnceValue(f.look)
	}
}

// Draw draws the corners to one scale, with their lengths in both systems of units. The page starts with
// the given one.
func (d *Drawing) Draw(system System) Picture {
	v := viewOf(d.View)
	scenes, others := d.possible()
	desk, phone := d.layOut(wide, v, scenes, others), d.layOut(narrow, v, scenes, others)
	phone.times = desk.times // the legend speaks of both
	alternative := d.inWords(func(system System) string { return d.alternative(v, scenes, system) })
	drawn := func(sh *sheet) Plate {
		return sh.plate(d.Head, sh.height, system, alternative, func(to *pen) { sh.draw(to, v) })
	}
	p := Picture{Wide: drawn(desk), Narrow: drawn(phone)}
	if len(scenes) > 0 {
		p.Keys = append(partKeys(!desk.named || v.name == "top"), d.pointKeys(desk, scenes)...)
	}
	if slices.ContainsFunc(scenes, func(c *prospect) bool { return c.Swept != nil }) {
		p.Keys = append(p.Keys, sweepKeys()...)
	}
	if missing := len(d.Scenes) - len(scenes); missing > 0 {
		p.Notes = append(p.Notes, count(missing, "of them is out of reach and left out.", "of them are out of reach and left out."))
	}
	return p
}

// possible are the corners that can be, and each of them where the dials stand otherwise.
func (d *Drawing) possible() (scenes []*prospect, others [][]*prospect) {
	look := d.look
	if d.seen != nil {
		look = d.seen
	}
	for i, c := range look() {
		if c == nil {
			continue
		}
		var list []*prospect
		for _, b := range d.beside {
			if other := at(b.seen(), i); other != nil {
				list = append(list, other)
			}
		}
		scenes, others = append(scenes, c), append(others, list)
	}
	return scenes, others
}

func (sh *sheet) draw(to *pen, v view) {
	to.text(canvas.Lettering{Ink: canvas.Soft, Size: sh.letter}, point{0, sh.letter}, v.says)
	for i, c := range sh.scenes {
		how := sh.headed()
		how.Anchor = canvas.Middle
		sh.labels[i].write(to, how, point{c.middle, sh.rowTop(c) - sh.head + sh.letter}, sh.line(), fromFirst)
		place := &placer{within: box{0, 0, sh.width, sh.height}, reach: 2}
		place.avoid(box{0, 0, sh.width, 1.3 * sh.line()})
		c.drawParts(to)
		if sh.times > 0 {
			c.drawEllipses(to, sh.times)
		}
		if sh.points {
			sh.drawPoints(to, c)
			continue
		}
		if sh.named {
			c.nameParts(to, place, sh)
		}
		if c.Swept != nil {
			c.keepOffSweep(place, sh.layout)
		}
		if sh.ground != nil {
			sh.ground.draw(to, c, sh.layout)
		}
		c.drawMeasures(to, place, sh)
		if c.Swept != nil {
			c.drawGap(to, place, sh.layout)
			c.nameObstacles(to, place, sh.layout)
		}
	}
	if len(sh.scenes) > 0 {
		for _, system := range []System{Metric, US} {
			to.group(systemClass[system], func() { scaleBar(to, sh, system) })
		}
	}
}

// How the parts of a corner look.
var (
	groundLine  = stroke(canvas.Black, 1.5)
	tyreLine    = stroke(canvas.Soft, 1.5)
	centreLine  = stroke(canvas.Soft, 1, 9, 3, 2, 3)
	armInk      = canvas.Separate(0)
	armLine     = stroke(armInk, 3)
	rodLine     = stroke(canvas.Separate(4), 3)
	knuckleInk  = canvas.Separate(5).Faint(0.5)
	steerLine   = stroke(canvas.Mark, 1.8, 12, 3, 3, 3)
	pivotEdge   = stroke(canvas.Black, 1.5)
	extendLine  = stroke(canvas.Soft, 0.75)
	measureLine = stroke(canvas.Black, 1)
)

const (
	knuckleThick       = 6
	pivotSize          = 3.6
	ballSize           = 4.2
	hubSize, placeSize = 2.4, 3.4
	dotSize            = 1.8
)

// drawParts draws what is there: ground, tyre, arms, rod, knuckle, steering axis, joints.
func (c *scene) drawParts(to *pen) {
	line := func(style draw.LineStyle, from, upTo geom.Point) { to.line(style, c.at(from), c.at(upTo)) }
	if c.upright() {
		y := c.px(flat{0, 0}).y
		left, right := c.area.x-14, c.area.right()+14
		to.line(groundLine, point{left, y}, point{right, y})
		var strokes [][]point
		for x := left + 6; x <= right; x += 9 {
			strokes = append(strokes, []point{{x, y}, {x - 5, y + 5}})
		}
		to.stroke(hatchLine, strokes...)
	}
	to.area(canvas.Wash, tyreLine, c.round(c.outline))
	if c.name == "oblique" {
		for _, edge := range c.sides() {
			to.area(nil, sweptLine, c.all(edge...))
		}
	}
	for _, g := range c.ghosts {
		c.drawGhost(to, g)
	}
	if c.Swept != nil {
		c.drawSwept(to)
	}
	// Centre lines: the wheel's middle plane edge-on, or the cross of its centre.
	n := c.Spin.Unit()
	if c.name == "side" || c.name == "oblique" {
		at, r := c.at(c.WheelCentre), 9.0
		to.stroke(centreLine, []point{at.plus(-r, 0), at.plus(r, 0)}, []point{at.plus(0, -r), at.plus(0, r)})
	} else {
		along := c.planeLine(n).Scale(c.Radius + 12/c.scale)
		line(centreLine, c.WheelCentre.Sub(along), c.WheelCentre.Add(along))
	}

	for _, arm := range c.arms() {
		to.area(armInk.Faint(0.16), armLine, c.all(arm...))
		line(centreLine, arm[0], arm[2])
	}
	line(rodLine, c.TieInner, c.TieOuter)
	knuckle := func(from, upTo geom.Point) { to.bar(knuckleInk, c.at(from), c.at(upTo), knuckleThick) }
	knuckle(c.LowerBall, c.UpperBall)
	knuckle(c.foot(c.WheelCentre), c.WheelCentre)
	knuckle(c.foot(c.TieOuter), c.TieOuter)

	top, _ := c.axisTop()
	to.line(steerLine, top, c.at(c.AxisGround))
	to.dots(canvas.Paper, pivotEdge, pivotSize, c.at(c.UpperFront), c.at(c.UpperRear), c.at(c.LowerFront), c.at(c.LowerRear))
	to.dots(canvas.Black, paperEdge, ballSize, c.at(c.UpperBall), c.at(c.LowerBall), c.at(c.TieInner), c.at(c.TieOuter))
	to.dots(canvas.Black, noLine, hubSize, c.at(c.WheelCentre))
	to.dots(canvas.Good, paperEdge, placeSize, c.at(c.Contact))
	to.dots(canvas.Mark, paperEdge, placeSize, c.at(c.AxisGround))
	if c.Other != nil {
		c.drawOther(to)
	}
}

// round is an outline on the drawing.
func (c *scene) round(outline []flat) []point { return straighten(c.every(outline), unseen) }

func (c *scene) every(places []flat) []point {
	points := make([]point, len(places))
	for i, f := range places {
		points[i] = c.px(f)
	}
	return points
}

// planeLine is the direction in which the wheel's middle plane, seen edge-on, is drawn.
func (c *scene) planeLine(n geom.Point) geom.Point {
	if c.name == "top" {
		return n.Cross(geom.Point{Z: 1}).Unit()
	}
	ahead := n.Cross(geom.Point{Z: 1}).Unit()
	return ahead.Cross(n).Unit()
}

// partKeys is the legend of a drawing; the wide one needs it where the parts don't carry their names.
func partKeys(wide bool) []Key {
	dot := func(fill canvas.Ink, edge draw.LineStyle) Plate {
		return swatch(func(p *pen, mid point) { p.dots(fill, edge, ballSize, mid) })
	}
	knuckle := swatch(func(p *pen, mid point) { p.bar(knuckleInk, mid.plus(-16, 0), mid.plus(16, 0), knuckleThick) })
	keys := []Key{
		{Swatch: lineSample(steerLine), Label: Plain("Steering axis")},
		{Swatch: lineSample(armLine), Label: Plain("Arms")},
		{Swatch: lineSample(rodLine), Label: Plain("Tie rod")},
		{Swatch: knuckle, Label: Plain("Knuckle")},
		{Swatch: dot(canvas.Black, paperEdge), Label: Plain("Ball joint")},
		{Swatch: dot(canvas.Paper, pivotEdge), Label: Plain("Pivot")},
		{Swatch: dot(canvas.Good, paperEdge), Label: Plain("Contact centre")},
	}
	for i := range keys {
		keys[i].Wide, keys[i].Narrow = wide, true
	}
	return keys
}

// alternative says in words what the drawing shows.
func (d *Drawing) alternative(v view, scenes []*prospect, system System) string {
	var b strings.Builder
	b.WriteString("The left front corner to scale, " + map[string]string{"front": "seen from the front", "side": "seen from its left", "top": "seen from above", "oblique": "seen obliquely from ahead, inboard and above"}[v.name] + ".")
	for _, c := range scenes {
		b.WriteString(" ")
		if label := c.Label.clean().In(system); label != "" {
			b.WriteString(label + ": ")
		}
		b.WriteString(strings.Join([]string{
			"caster " + degrees(c.Caster, 1), "inclination " + degrees(c.Inclination, 1), "camber " + degrees(c.Camber, 1),
			"trail " + length(c.Trail, system), "scrub radius " + length(c.ScrubRadius, system),
		}, ", ") + ".")
		if d.Points {
			b.WriteString(" " + c.pointsSaid(system))
		}
		if c.Other != nil {
			b.WriteString(" " + c.apart().In(system) + ".")
		}
		if c.Swept != nil {
			b.WriteString(" " + c.Swept.says(system))
		}
	}
	return b.String()
}

// records are the points drawn, in the axes in which they are typed, and the measures taken from them.
func (d *Drawing) records(system System) [][]string {
	u, _ := lengthUnit(system)
	rows := [][]string{{"Corner", "Of", "x (" + u.Name + ")", "y (" + u.Name + ")", "z (" + u.Name + ")", "Value", "Unit"}}
	unsure := slices.ContainsFunc(d.Scenes, func(c Scene) bool { return c.Spread != nil })
	if unsure {
		for _, axis := range []string{"x", "y", "z"} {
			rows[0] = append(rows[0], "± "+axis+" ("+u.Name+")")
		}
	}
	add := func(cells ...string) {
		for len(cells) < len(rows[0]) {
			cells = append(cells, "")
		}
		rows = append(rows, cells)
	}
	for _, c := range d.Scenes {
		if !c.drawable() {
			continue
		}
		label := inert(c.Label.clean().In(system))
		place := func(k Sketch, name string, at geom.Point) []string {
			p := k.typed(at)
			return []string{label, name, figures(p.X/u.SI, 1), figures(p.Y/u.SI, 1), figures(p.Z/u.SI, 1), "", ""}
		}
		for i, p := range c.places() {
			row := place(c.Sketch, p.name, p.at)
			if i < len(c.Spread) {
				for axis := range 3 {
					row = append(row, figures(c.Spread[i].half(axis)/u.SI, 1))
				}
			}
			add(row...)
		}
		if c.Other != nil {
			for _, p := range c.Other.places() {
				add(place(*c.Other, "Right: "+strings.ToLower(p.name), p.at)...)
			}
		}
		for _, m := range []struct {
			name  string
			value float64
			unit  unit.Unit
		}{
			{"Caster", c.Caster, degree}, {"Steering-axis inclination", c.Inclination, degree}, {"Camber", c.Camber, degree},
			{"Trail", c.Trail, u}, {"Scrub radius", c.ScrubRadius, u}, {"Tyre radius", c.Radius, u}, {"Tyre width", c.Width, u},
		} {
			add(label, m.name, "", "", "", figures(m.value/m.unit.SI, 1), m.unit.Name)
		}
		if c.Swept != nil {
			for _, row := range c.Swept.records(label, u) {
				add(row...)
			}
		}
	}
	return rows
}
