package figure

import (
	"math"
	"slices"
	"strings"
	"sync"

	"turnplate/sim/geom"
	"turnplate/sim/unit"
)

// scene is one corner on the drawing.
type scene struct {
	Scene
	view
	area   box     // the geometry stands in it; labels around it
	middle float64 // of the scene's share of the width
	share  float64 // that share
	scale  float64
	corner flat // what stands at the area's lower left, in metres
	ghosts []Sketch
}

func (c *scene) px(f flat) point {
	return point{c.area.x + (f.x-c.corner.x)*c.scale, c.area.bottom() - (f.y-c.corner.y)*c.scale}
}

func (c *scene) at(p geom.Point) point { return c.px(c.of(p)) }

const (
	axisReach = 74 // how far the steering axis is drawn past the upper ball joint, in pixels
	swingAt   = 60 // where on it the angle is drawn
)

// sheet is how scenes are laid out.
type sheet struct {
	layout
	scenes []*scene
	named  bool // parts carry their names; else a legend tells them apart
	height float64
	labels []both  // of the scenes, in lines
	head   float64 // room above a corner for its label and more
}

// polygon is a closed outline on the drawing.
func (c *scene) polygon(outline []geom.Point) string {
	list := make([]point, len(outline))
	for i, p := range outline {
		list[i] = c.at(p)
	}
	return polygon(list)
}

// drawGhost draws a corner faint: where a pose ends, or the vehicle that this one is held against.
func (c *scene) drawGhost(s *svg, g Sketch) {
	if !g.drawable() {
		return
	}
	var outline []point
	for _, f := range g.tyre(c.view) {
		outline = append(outline, c.px(f))
	}
	d := polygon(straighten(outline, unseen)) + c.polygon([]geom.Point{g.LowerFront, g.LowerBall, g.LowerRear}) +
		c.polygon([]geom.Point{g.UpperFront, g.UpperBall, g.UpperRear})
	for _, l := range [][2]geom.Point{{g.TieInner, g.TieOuter}, {g.LowerBall, g.UpperBall}} {
		d += polyline([]point{c.at(l[0]), c.at(l[1])})
	}
	s.path("ghost", d)
	if c.upright() {
		s.line("ghost-axis", c.at(g.UpperBall), c.at(g.AxisGround))
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
		f.beside, f.boxes = slices.Concat(kind[:i], kind[i+1:]), sync.OnceValue(f.measure)
	}
}

// Draw draws the corners to one scale, with their lengths in both systems of units. The page starts with
// the given one.
func (d *Drawing) Draw(system System) Picture {
	v := viewOf(d.View)
	var scenes []Scene
	missing := 0
	for _, c := range d.Scenes {
		if c.drawable() {
			scenes = append(scenes, c)
		} else {
			missing++
		}
	}
	desk, phone := layOut(wide, v, scenes, d.others(scenes)), layOut(narrow, v, scenes, d.others(scenes))
	alternative := words{d.alternative(v, scenes, Metric), d.alternative(v, scenes, US)}
	p := Picture{Wide: desk.draw(d, system, alternative), Narrow: phone.draw(d, system, alternative)}
	if len(scenes) > 0 {
		p.Keys = partKeys(!desk.named || v.name == "top")
	}
	if slices.ContainsFunc(scenes, func(c Scene) bool { return c.Swept != nil }) {
		p.Keys = append(p.Keys, sweepKeys()...)
	}
	if missing > 0 {
		p.Notes = append(p.Notes, count(missing, "combination can't be reached and is left out.", "combinations can't be reached and are left out."))
	}
	return p
}

// others lists, for each corner drawn, the same corner where dials stand otherwise.
func (d *Drawing) others(scenes []Scene) [][]boxed {
	list := make([][]boxed, len(scenes))
	for _, b := range d.beside {
		if len(b.Scenes) != len(scenes) {
			continue
		}
		for i, c := range b.boxes() {
			if c.drawable() {
				list[i] = append(list[i], c)
			}
		}
	}
	return list
}

// boxed is a corner and its box in the drawing's view.
type boxed struct {
	Scene
	lo, hi flat
}

// measure boxes the drawing's corners.
func (d *Drawing) measure() []boxed {
	list := make([]boxed, len(d.Scenes))
	for i, c := range d.Scenes {
		list[i].Scene = c
		if c.drawable() {
			list[i].lo, list[i].hi = c.bounds(viewOf(d.View))
		}
	}
	return list
}

func layOut(l layout, v view, scenes []Scene, others [][]boxed) *sheet {
	sh := &sheet{layout: l, named: l.name == wide.name && len(scenes) == 1}
	columns, height := 1, 300.0
	if l.name == wide.name {
		columns = min(max(len(scenes), 1), 3)
		if v.name == "top" { // a value stands beside each
			columns = min(columns, 2)
		}
		height = []float64{390, 340, 290}[columns-1]
	}
	const gap = 20
	width := (l.width - gap*float64(columns-1)) / float64(columns)
	left, right := 18.0, 18.0
	switch {
	case sh.named:
		left, right = 150, 150
	case v.name == "top": // the trail's value stands outside the tyre
		left = 26 + arrowTail + textWidth("Trail 100 mm", l.small())*boldness
	}

	// One scale for all: the one that the largest corner needs.
	bounds := make([]struct{ lo, hi flat }, len(scenes))
	scale := math.Inf(1)
	titles := 0
	for i, c := range scenes {
		lo, hi := c.bounds(v)
		for _, other := range others[i] {
			lo, hi = flat{min(lo.x, other.lo.x), min(lo.y, other.lo.y)}, flat{max(hi.x, other.hi.x), max(hi.y, other.hi.y)}
		}
		bounds[i].lo, bounds[i].hi = lo, hi
		scale = min(scale, (width-left-right)/max(hi.x-lo.x, 1e-3), height/max(hi.y-lo.y, 1e-3))
		lines, _ := wrapBoth(c.called(), l.letter*boldness, width-8, 2)
		sh.labels = append(sh.labels, lines)
		titles = max(titles, lines.count())
	}
	// Above a corner stand its name, the steering axis's end where that is higher, and a value.
	rise := 0.0
	if v.upright() {
		for i, c := range scenes {
			for _, k := range append([]boxed{{Scene: c}}, others[i]...) {
				rise = max(rise, axisReach-(bounds[i].hi.y-v.of(k.UpperBall).y)*scale)
			}
		}
	}
	const wheelEnd = 15 // of the wheel's centre line above the tyre
	head := float64(titles)*l.line() + max(rise+1.6*l.letter, wheelEnd+1.5*l.small()) + 8
	foot := 26 + arrowLong + 2.2*l.letter // a dimension line and its value
	top := 1.6 * l.line()                 // where one looks from
	tall := 0.0
	for i, c := range scenes {
		b := bounds[i]
		w, h := (b.hi.x-b.lo.x)*scale, (b.hi.y-b.lo.y)*scale
		if i%columns == 0 {
			if i > 0 {
				top += tall + head + foot
			}
			tall = 0
			for k := i; k < min(i+columns, len(scenes)); k++ {
				tall = max(tall, (bounds[k].hi.y-bounds[k].lo.y)*scale)
			}
		}
		x := float64(i%columns)*(width+gap) + left + (width-left-right-w)/2
		sh.scenes = append(sh.scenes, &scene{Scene: c, ghosts: slices.Clone(c.Ends), view: v, scale: scale, corner: b.lo, middle: float64(i%columns)*(width+gap) + width/2, share: width, area: box{x, top + head + tall - h, w, h}})
	}
	sh.height = top + 1.6*l.line() // and the scale bar
	if len(scenes) > 0 {
		sh.height += head + tall + foot
	}
	sh.head = head
	return sh
}

// bounds is the box of a corner in a view.
func (k Sketch) bounds(v view) (lo, hi flat) {
	lo, hi = flat{math.Inf(1), math.Inf(1)}, flat{math.Inf(-1), math.Inf(-1)}
	see := func(f flat) {
		lo = flat{min(lo.x, f.x), min(lo.y, f.y)}
		hi = flat{max(hi.x, f.x), max(hi.y, f.y)}
	}
	for _, p := range k.places() {
		see(v.of(p.at))
	}
	for _, f := range k.tyre(v) {
		see(f)
	}
	return lo, hi
}

func (sh *sheet) draw(d *Drawing, system System, alternative words) string {
	var s svg
	sh.begin(&s, d.Head, sh.height, system, alternative)
	v := viewOf(d.View)
	s.text("view", atStart, point{0, sh.letter}, v.says)
	for i, c := range sh.scenes {
		if d.Ghost != nil {
			c.ghosts = append(c.ghosts, *d.Ghost)
		}
		s.begin("g", class("corner"))
		sh.labels[i].each(func(class string, lines []string) {
			for k, t := range lines {
				s.text("panel"+class, atMiddle, point{c.middle, sh.rowTop(c) - sh.head + float64(k)*sh.line() + sh.letter}, t)
			}
		})
		place := &placer{within: box{0, 0, sh.width, sh.height}, reach: 2}
		place.avoid(box{0, 0, sh.width, 1.3 * sh.line()})
		c.drawParts(&s)
		if sh.named {
			c.nameParts(&s, place, sh.layout)
		}
		if c.Swept != nil {
			c.keepOffSweep(place, sh.layout)
		}
		c.drawMeasures(&s, place, sh.layout)
		if c.Swept != nil {
			c.drawGap(&s, place, sh.layout)
			c.nameObstacles(&s, place, sh.layout)
		}
		s.end()
	}
	if len(sh.scenes) > 0 {
		for _, system := range []System{Metric, US} {
			s.group(systemClass[system], func() { scaleBar(&s, sh, system) })
		}
	}
	s.end()
	return s.String()
}

// rowTop is the height at which the tallest corner of a row begins.
func (sh *sheet) rowTop(c *scene) float64 {
	top := c.area.y
	for _, other := range sh.scenes {
		if other.area.bottom() == c.area.bottom() {
			top = min(top, other.area.y)
		}
	}
	return top
}

// drawParts draws what is there: ground, tyre, arms, rod, knuckle, steering axis, joints.
func (c *scene) drawParts(s *svg) {
	line := func(className string, from, to geom.Point) { s.line(className, c.at(from), c.at(to)) }
	if c.upright() {
		y := c.px(flat{0, 0}).y
		left, right := c.area.x-14, c.area.right()+14
		s.path("ground", polyline([]point{{left, y}, {right, y}}))
		hatch := ""
		for x := left + 6; x <= right; x += 9 {
			hatch += polyline([]point{{x, y}, {x - 5, y + 5}})
		}
		s.path("hatch", hatch)
	}
	var outline []point
	for _, f := range c.tyre(c.view) {
		outline = append(outline, c.px(f))
	}
	s.path("tyre", polygon(straighten(outline, unseen)))
	if c.name == "oblique" {
		for _, edge := range c.sides() {
			s.path("swept", c.polygon(edge))
		}
	}
	for _, g := range c.ghosts {
		c.drawGhost(s, g)
	}
	if c.Swept != nil {
		c.drawSwept(s)
	}
	// Centre lines: the wheel's middle plane edge-on, or the cross of its centre.
	n := c.Spin.Unit()
	if c.name == "side" || c.name == "oblique" {
		at, r := c.at(c.WheelCentre), 9.0
		s.path("centre", polyline([]point{at.plus(-r, 0), at.plus(r, 0)})+polyline([]point{at.plus(0, -r), at.plus(0, r)}))
	} else {
		along := c.planeLine(n).Scale(c.Radius + 12/c.scale)
		line("centre", c.WheelCentre.Sub(along), c.WheelCentre.Add(along))
	}

	arm := func(front, rear, ball geom.Point) {
		s.path("arm", polygon([]point{c.at(front), c.at(ball), c.at(rear)}))
		line("centre", front, rear)
	}
	arm(c.LowerFront, c.LowerRear, c.LowerBall)
	arm(c.UpperFront, c.UpperRear, c.UpperBall)
	line("rod", c.TieInner, c.TieOuter)
	line("knuckle", c.LowerBall, c.UpperBall)
	line("knuckle", c.foot(c.WheelCentre), c.WheelCentre)
	line("knuckle", c.foot(c.TieOuter), c.TieOuter)

	top, _ := c.axisTop()
	s.line("steer", top, c.at(c.AxisGround))
	pivots, balls := "", ""
	for _, p := range []geom.Point{c.UpperFront, c.UpperRear, c.LowerFront, c.LowerRear} {
		pivots += ring(c.at(p), 3.6)
	}
	for _, p := range []geom.Point{c.UpperBall, c.LowerBall, c.TieInner, c.TieOuter} {
		balls += ring(c.at(p), 4.2)
	}
	s.path("pivot", pivots)
	s.path("ball", balls)
	s.path("hub", ring(c.at(c.WheelCentre), 2.4))
	s.path("contact", ring(c.at(c.Contact), 3.4))
	s.path("meet", ring(c.at(c.AxisGround), 3.4))
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
	sample := func(classes ...string) string {
		return swatch(func(s *svg, mid point) {
			for _, name := range classes {
				s.line(name, mid.plus(-16, 0), mid.plus(16, 0))
			}
		})
	}
	dot := func(name string) string {
		return swatch(func(s *svg, mid point) { s.path(name, ring(mid, 4.2)) })
	}
	keys := []Key{
		{Swatch: sample("steer"), Label: "Steering axis"},
		{Swatch: sample("armline"), Label: "Arms"},
		{Swatch: sample("rod"), Label: "Tie rod"},
		{Swatch: sample("knuckle"), Label: "Knuckle"},
		{Swatch: dot("ball"), Label: "Ball joint"},
		{Swatch: dot("pivot"), Label: "Pivot"},
		{Swatch: dot("contact"), Label: "Contact centre"},
	}
	for i := range keys {
		keys[i].Wide, keys[i].Narrow = wide, true
	}
	return keys
}

// alternative says in words what the drawing shows.
func (d *Drawing) alternative(v view, scenes []Scene, system System) string {
	if own := clean(d.Alt.In(system)); own != "" {
		return own
	}
	var b strings.Builder
	b.WriteString("The left front corner to scale, " + map[string]string{"front": "seen from the front", "side": "seen from its left", "top": "seen from above", "oblique": "seen obliquely from ahead, inboard and above"}[v.name] + ".")
	for _, c := range scenes {
		b.WriteString(" ")
		if label := c.called().in(system); label != "" {
			b.WriteString(label + ": ")
		}
		b.WriteString(strings.Join([]string{
			"caster " + degrees(c.Caster, 1), "inclination " + degrees(c.Inclination, 1), "camber " + degrees(c.Camber, 1),
			"trail " + length(c.Trail, system), "scrub radius " + length(c.ScrubRadius, system),
		}, ", ") + ".")
		if c.Swept != nil {
			b.WriteString(" " + c.Swept.says(system))
		}
	}
	return b.String()
}

// records are the points drawn, and the measures taken from them.
func (d *Drawing) records(system System) [][]string {
	u, _ := lengthUnit(system)
	rows := [][]string{{"Corner", "Of", "x (" + u.Name + ")", "y (" + u.Name + ")", "z (" + u.Name + ")", "Value", "Unit"}}
	for _, c := range d.Scenes {
		if !c.drawable() {
			continue
		}
		label := inert(c.called().in(system))
		for _, p := range c.places() {
			rows = append(rows, []string{label, p.name, figures(p.at.X/u.SI, 1), figures(p.at.Y/u.SI, 1), figures(p.at.Z/u.SI, 1), "", ""})
		}
		for _, m := range []struct {
			name  string
			value float64
			unit  unit.Unit
		}{
			{"Caster", c.Caster, degree}, {"Steering-axis inclination", c.Inclination, degree}, {"Camber", c.Camber, degree},
			{"Trail", c.Trail, u}, {"Scrub radius", c.ScrubRadius, u}, {"Tyre radius", c.Radius, u}, {"Tyre width", c.Width, u},
		} {
			rows = append(rows, []string{label, m.name, "", "", "", figures(m.value/m.unit.SI, 1), m.unit.Name})
		}
		if c.Swept != nil {
			rows = append(rows, c.Swept.records(label, u)...)
		}
	}
	return rows
}
