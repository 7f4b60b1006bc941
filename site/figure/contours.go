package figure

import (
	"math"
	"strings"

	"turnplate/site/canvas"
)

// Contours is a map of a value over two others, as lines of equal value; with several Panels they share
// scales and levels.
type Contours struct {
	Head
	scales
	X, Y, Z Scale
	Panels  []Field
	Levels  []float64 // rising, or nil: even steps are chosen
	Until   *float64  // Z at the edge of what is in reach, between points with and without a value; nil where that isn't known
	Absent  int       // points that have no value; they are drawn as out of reach
}

// Field is one map. X and Y rise.
type Field struct {
	Title Words // none when there is one map
	X, Y  []float64
	Z     [][]float64 // Z[row of Y][column of X]; NaN is out of reach
}

// contours is a Contours made ready.
type contours struct {
	*Contours
	x, y, z extent
	shown   systems
	levels  [][]float64 // for each of shown; one list when the notebook gave the levels
}

const (
	mapTall = 1.25 // as against curves: both directions of a map matter
	smooth  = 0.2  // pixels that a line of a map may be off: it is interpolated anyway
)

func readyMap(c *Contours) *contours {
	r := &contours{Contours: c}
	if len(c.Panels) == 0 {
		empty := *c
		empty.Panels = []Field{{}}
		r.Contours = &empty
	}
	all := c.room(c)
	r.x, r.y, r.z = all.x.widened(c.X.Unit(Metric).SI), all.y.widened(c.Y.Unit(Metric).SI), all.z.widened(c.Z.Unit(Metric).SI)
	r.shown = shownIn(c.X, c.Y, r.x, r.y)
	metric, us := c.Z.Unit(Metric), c.Z.Unit(US)
	if len(r.shown) == 1 && metric != us {
		r.shown = systems{r.shown[0], r.shown[0]}
		r.shown[0].class, r.shown[1].class = systemClass[Metric], systemClass[US]
	}
	for i := range r.shown {
		a := axis{r.z, c.Z.Unit(System(i)), c.Z.Label}
		r.shown[i].z = a
		g := a.graduate(8, anyRoom)
		r.shown[i].over = "Lines: " + a.title(g)
		if c.Levels != nil {
			continue
		}
		var levels []float64
		for _, t := range g.ticks {
			levels = append(levels, t.value*a.unit.SI)
		}
		r.levels = append(r.levels, levels)
	}
	if c.Levels != nil {
		r.levels = [][]float64{c.Levels}
	}
	return r
}

func (c *Contours) reach(r ranges) ranges {
	for _, f := range c.Panels {
		r.x, r.y = r.x.withAll(f.X), r.y.withAll(f.Y)
		f.each(func(_, _, v float64) { r.z = r.z.with(v) })
	}
	return r
}

// each visits every point that has a value.
func (f Field) each(visit func(x, y, z float64)) {
	for j, row := range f.Z {
		for i, z := range row {
			if i < len(f.X) && j < len(f.Y) && finite(z) && finite(f.X[i]) && finite(f.Y[j]) {
				visit(f.X[i], f.Y[j], z)
			}
		}
	}
}

// drawable says whether a map has a grid at all: at least two points each way, rising.
func (f Field) drawable() bool {
	return len(f.X) > 1 && rising(f.X) && len(f.Y) > 1 && rising(f.Y) && len(f.Z) == len(f.Y)
}

func (*Contours) Axes() []string          { return []string{"Panels"} }
func (*Contours) Table(int) (*Table, int) { return nil, 1 }

func (c *Contours) Marks() (n int) {
	for _, p := range c.Panels {
		n += len(p.X) * len(p.Y)
	}
	return n
}

func (c *Contours) steady(all []Figure) { steadied[*Contours](all) }

// Draw draws a map, in both systems of units where they differ. The page starts with the given one.
func (c *Contours) Draw(system System) Picture {
	r := readyMap(c)
	var titles []Words
	masked := false
	for _, f := range r.Panels {
		titles = append(titles, f.Title.clean())
		known := 0
		f.each(func(_, _, _ float64) { known++ })
		masked = masked || known < len(f.X)*len(f.Y)
	}
	desk, phone := planPlots(wide, r.shown, titles, mapTall, nil), planPlots(narrow, r.shown, titles, mapTall, nil)
	alternative := r.inWords(r.alternative)
	drawn := func(p *plan) Plate {
		return p.plate(r.Head, p.height, system, alternative, func(to *pen) { r.draw(to, p, masked) })
	}
	p := Picture{Wide: drawn(desk), Narrow: drawn(phone), Values: r.values(desk, phone)}
	if masked && !(r.namedOutside(desk) && r.namedOutside(phone)) {
		p.Keys = []Key{{swatch(func(p *pen, _ point) {
			all := box{0, 0, swatchWidth, swatchHeight}
			p.stroke(hatchLine, hatch(all)...)
			p.area(nil, stroke(canvas.Soft, 1), all.outline())
		}), Plain("No value: out of reach"), true, true}}
	}
	return p
}

func (r *contours) draw(to *pen, p *plan, masked bool) {
	for i, field := range r.Panels {
		f := frame{p.areas[i], r.x, r.y}
		p.drawTitle(to, i)
		if field.drawable() {
			reach := field.reach(r.Until)
			if r.Until != nil {
				field = field.beyond(*r.Until)
			}
			for k, levels := range r.levels {
				class := ""
				if len(r.levels) > 1 {
					class = r.shown[k].class
				}
				to.group(class, func() { r.drawLevels(to, f, field, levels, k, p.layout) })
			}
			if masked {
				drawOutside(to, f, smoothed(f, reach), p.layout)
			}
		}
		p.drawRules(to, f, i, false)
		to.area(nil, axisLine, f.area.outline())
	}
	p.drawAround(to)
}

// drawLevels shades what lies above each level a little darker than what lies below, draws the lines, and
// writes on each what it stands for.
func (r *contours) drawLevels(to *pen, f frame, field Field, levels []float64, k int, l layout) {
	type isoline struct {
		level  float64
		at     pairs
		points []point
	}
	var all []isoline
	q := to.plot(f)
	for _, level := range levels {
		loops := field.outlines(func(z float64) bool { return z >= level }, level)
		q.fill(canvas.Step(2).Faint(0.15), noLine, smoothed(f, loops)...)
		for _, loop := range loops {
			for _, run := range lines(loop) {
				at := f.fewer(places(run), straightened)
				all = append(all, isoline{level, at, f.on(at)})
			}
		}
	}
	for _, line := range all {
		q.line(levelLine, line.at)
	}

	place := &placer{within: f.area}
	for i, line := range all {
		size := l.small()
		text := r.levelText(line.level, k)
		w, h := text.width(size), 1.2*size
		others := placer{within: f.area, boxes: place.boxes}
		for j, other := range all {
			if j != i {
				others.avoidLine(other.points)
			}
		}
		for _, share := range []float64{0.5, 0.35, 0.65, 0.2, 0.8} {
			at, length := alongLine(line.points, share)
			b := box{at.x - w/2, at.y - h/2, w, h}
			if length > 1.5*w && others.free(b) {
				place.avoid(b)
				text.write(to, l.label(), point{b.x, b.y + 0.95*size})
				break
			}
		}
	}
}

// levelText is what a line stands for: in the one system whose lines these are, or in both.
func (r *contours) levelText(level float64, k int) Words {
	print := func(i int) string {
		a := r.shown[i].z
		g := a.graduate(8, anyRoom)
		return number(level/a.unit.SI/math.Pow(10, float64(g.power)), r.levelPlaces(a, g))
	}
	if len(r.levels) > 1 || len(r.shown) == 1 {
		return Plain(print(k))
	}
	return Either(print(0), print(1))
}

// levelPlaces is the fewest decimals that tell the levels apart and show them exactly, where they have a
// short form.
func (r *contours) levelPlaces(a axis, g graduation) int {
	if r.Levels == nil {
		return g.coarse
	}
	one := a.unit.SI * math.Pow(10, float64(g.power))
	for places := range g.fine + 2 {
		step, exact := math.Pow(10, -float64(places)), true
		for _, level := range r.Levels {
			exact = exact && math.Abs(math.Round(level/one/step)*step-level/one) < 1e-6*math.Max(math.Abs(level/one), step)
		}
		if exact {
			return places
		}
	}
	return g.fine
}

func places(vertices []vertex) (at pairs) {
	for _, v := range vertices {
		at = append(at, pair{X: v.x, Y: v.y})
	}
	return at
}

func straightened(points []point) []point { return straighten(points, smooth) }

// smoothed are outlines with fewer points. Holes are wound the other way, so any fill rule leaves them open.
func smoothed(f frame, loops [][]vertex) (outlines []pairs) {
	for _, loop := range loops {
		outlines = append(outlines, f.fewer(places(append(loop, loop[0])), straightened))
	}
	return outlines
}

// alongLine is the point at a share of a line's length, and the length.
func alongLine(points []point, share float64) (at point, length float64) {
	for i := 1; i < len(points); i++ {
		length += math.Hypot(points[i].x-points[i-1].x, points[i].y-points[i-1].y)
	}
	left := share * length
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		step := math.Hypot(b.x-a.x, b.y-a.y)
		if step >= left && step > 0 {
			return point{a.x + (b.x-a.x)*left/step, a.y + (b.y-a.y)*left/step}, length
		}
		left -= step
	}
	return points[len(points)-1], length
}

// hatch fills a box with slanting strokes.
func hatch(b box) (strokes [][]point) {
	const apart = 8
	for c := apart / 2.0; c < b.w+b.h; c += apart {
		// From the left or bottom edge up to the top or right one.
		from := point{b.x, b.y + c}
		if c > b.h {
			from = point{b.x + c - b.h, b.bottom()}
		}
		to := point{b.x + c, b.y}
		if c > b.w {
			to = point{b.right(), b.y + c - b.w}
		}
		strokes = append(strokes, []point{from, to})
	}
	return strokes
}

// alternative says in words where the map is lowest and highest.
func (r *contours) alternative(system System) string {
	sh := r.shown.in(system)
	x, y, z := sh.x, sh.y, sh.z
	name := func(a axis) string { return title(clean(a.label), a.unit.Symbol) }
	var b strings.Builder
	b.WriteString("A map of " + name(z) + " over " + name(x) + " and " + name(y) + ".")
	for _, f := range r.Panels {
		var low, high [3]float64
		known := 0
		f.each(func(px, py, pz float64) {
			if known == 0 || pz < low[2] {
				low = [3]float64{px, py, pz}
			}
			if known == 0 || pz > high[2] {
				high = [3]float64{px, py, pz}
			}
			known++
		})
		b.WriteString(" ")
		if t := f.Title.clean().In(system); t != "" {
			b.WriteString(t + ": ")
		}
		if known == 0 {
			b.WriteString("No values.")
			continue
		}
		at := func(p [3]float64) string {
			return z.reading(p[2]) + " at " + x.reading(p[0]) + " and " + y.reading(p[1])
		}
		b.WriteString("Lowest " + at(low) + ", highest " + at(high) + ".")
		if missing := len(f.X)*len(f.Y) - known; missing > 0 {
			b.WriteString(" " + count(missing, "point has", "points have") + " no value.")
		}
	}
	return b.String()
}

// values is what the page's script reads a map with: see values of Curves.
func (r *contours) values(desk, phone *plan) []byte {
	type field struct {
		Title name        `json:"title,omitempty"`
		X     []rounded   `json:"x"`
		Y     []rounded   `json:"y"`
		Z     [][]rounded `json:"z"`
	}
	v := struct {
		valuesFrame
		Z    valuesAxis `json:"z"`
		Maps []field    `json:"maps"`
	}{valuesFrame: r.shown.values(desk, phone), Z: r.shown.axis(func(sh shown) axis { return sh.z })}
	for _, f := range r.Panels {
		out := field{Title: f.Title.list(), X: []rounded{}, Y: []rounded{}, Z: [][]rounded{}}
		if f.drawable() {
			const most = 60 // each way: about ten pixels apart
			everyX, everyY := (len(f.X)+most-1)/most, (len(f.Y)+most-1)/most
			for i := 0; i < len(f.X); i += everyX {
				out.X = append(out.X, rounded(f.X[i]))
			}
			for j := 0; j < len(f.Y); j += everyY {
				out.Y = append(out.Y, rounded(f.Y[j]))
				row := []rounded{}
				for i := 0; i < len(f.X); i += everyX {
					z := math.NaN()
					if i < len(f.Z[j]) {
						z = f.Z[j][i]
					}
					row = append(row, rounded(z))
				}
				out.Z = append(out.Z, row)
			}
		}
		v.Maps = append(v.Maps, out)
	}
	return script(v)
}

// records lists every point of the maps.
func (c *Contours) records(system System) [][]string {
	x, y, z := c.X.Unit(system), c.Y.Unit(system), c.Z.Unit(system)
	rows := [][]string{{inert(title(clean(c.X.Label), x.Name)), inert(title(clean(c.Y.Label), y.Name)), inert(title(clean(c.Z.Label), z.Name))}}
	panels := len(c.Panels) > 1
	if panels {
		rows[0] = append([]string{"Map"}, rows[0]...)
	}
	for _, f := range c.Panels {
		size := largest(f.Z...) / z.SI
		for j := range min(len(f.Y), len(f.Z)) {
			for i := range min(len(f.X), len(f.Z[j])) {
				row := []string{figures(f.X[i]/x.SI, 1), figures(f.Y[j]/y.SI, 1), figures(f.Z[j][i]/z.SI, size)}
				if panels {
					row = append([]string{inert(f.Title.clean().In(system))}, row...)
				}
				rows = append(rows, row)
			}
		}
	}
	return rows
}
