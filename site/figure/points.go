package figure

import (
	"math"
	"strconv"
	"strings"

	"turnplate/sim/geom"
	"turnplate/sim/unit"
	"turnplate/site/canvas"
)

// Covariance is how uncertain a point's coordinates are, and how they go together: m², in the axes that it is typed in.
type Covariance [3][3]float64

// Measured are the points of a corner that somebody measured, in the order of places.
const Measured = 9

// MeasuredPoints are where they stand, as they would be typed, in the order of places.
func (k Sketch) MeasuredPoints() (typed [Measured]geom.Point) {
	for i, p := range k.measured() {
		typed[i] = k.typed(p.at)
	}
	return typed
}

// typed gives a place of the sketch in the axes in which points are typed: from the ground below the front axle's middle
// as measured, fixed to the body. What was typed comes back, whatever lift and tyres have done to the ground since.
func (k Sketch) typed(p geom.Point) geom.Point {
	return k.typedWay(p.Add(geom.Point{Z: k.GroundHeight}))
}

// typedWay gives a direction in those axes.
func (k Sketch) typedWay(p geom.Point) geom.Point {
	if k.Up == (geom.Point{}) { // it was drawn as typed
		return p
	}
	return k.Forward.Scale(p.X).Add(k.Up.Scale(p.Z)).Add(geom.Point{Y: p.Y})
}

// ellipse is the ellipse in a view that a point lies in with a probability of 95 %, if its coordinates are normally
// distributed: semi-axes √(χ²·λ) along the eigenvectors of its covariance there, λ their eigenvalues, χ² = −2 ln 0.05 the
// 95 % quantile of the χ² distribution with two degrees of freedom (JCGM 102:2011, 6.5.2, whose table gives the factor as
// 2.45; and Ghilani and Wolf, Adjustment Computations, ch. 19, both from memory). angle is that of the first axis, from
// the view's right towards its up.
func (k *Scene) ellipse(point int, v view) (a, b, angle float64) {
	c, right, up := &k.Spread[point], k.typedWay(v.right), k.typedWay(v.up)
	quantile := -2 * math.Log(0.05)
	in := func(p, q geom.Point) (sum float64) {
		x, y := [3]float64{p.X, p.Y, p.Z}, [3]float64{q.X, q.Y, q.Z}
		for i := range x {
			for j := range y {
				sum += x[i] * c[i][j] * y[j]
			}
		}
		return sum
	}
	xx, xy, yy := in(right, right), in(right, up), in(up, up)
	middle, reach := (xx+yy)/2, math.Hypot((xx-yy)/2, xy)
	return math.Sqrt(quantile * (middle + reach)), math.Sqrt(quantile * math.Max(middle-reach, 0)), math.Atan2(2*xy, xx-yy) / 2
}

// half is half the 95 % interval of a coordinate, if it is normally distributed (JCGM 100:2008, table G.1).
func (c *Covariance) half(i int) float64 { return 1.96 * math.Sqrt(c[i][i]) }

// mostEllipse is how long the largest ellipse's semi-axis may be on a drawing, in pixels.
const mostEllipse = 24

// magnified is how many times too large a sheet draws its ellipses, so that they can be seen: the same at every
// position of a dial. It is 0 where all points are sure.
func (sh *sheet) magnified() float64 {
	largest := 0.0
	for _, c := range sh.scenes {
		for _, k := range append([]*prospect{c.prospect}, c.others...) {
			for j := range k.Spread {
				a, _, _ := k.ellipse(j, c.view)
				largest = max(largest, a*c.scale)
			}
		}
	}
	if largest == 0 {
		return 0
	}
	times := 1.0
	for _, try := range []float64{2, 5, 10, 20, 50, 100, 200, 500, 1000} {
		if try*largest <= mostEllipse {
			times = try
		}
	}
	return times
}

var (
	ellipseLine = stroke(canvas.Mark, 1.4)
	ellipseFill = canvas.Mark.Faint(0.14)
)

// drawEllipses draws where each point lies with 95 %, so many times too large.
func (c *scene) drawEllipses(to *pen, times float64) {
	const pieces = 36
	places := c.places()
	for i := range c.Spread {
		a, b, angle := c.ellipse(i, c.view)
		sin, cos := math.Sincos(angle)
		middle := c.at(places[i].at)
		var around []point
		for j := range pieces {
			s, k := math.Sincos(2 * math.Pi * float64(j) / pieces)
			x, y := a*k*times*c.scale, b*s*times*c.scale
			around = append(around, middle.plus(x*cos-y*sin, -x*sin-y*cos))
		}
		to.area(ellipseFill, ellipseLine, around)
	}
}

var (
	otherInk  = canvas.Separate(3)
	otherLine = stroke(otherInk, 1.5, 6, 3)
)

// drawOther draws the other side of the vehicle, mirrored, over this one.
func (c *scene) drawOther(to *pen) {
	to.strokePath(otherLine, c.skeleton(to, c.other))
	for _, p := range c.other.measured() {
		to.dots(canvas.Paper, stroke(otherInk, 1.5), placeSize, c.at(p.at))
	}
}

// apart tells in words where both sides of a corner are furthest from each other.
func (c *Scene) apart() Words {
	const unlike = 0.05e-3 // metres: less is no difference that anybody measures
	here, there := c.places(), c.Other.places()
	most, name := 0.0, ""
	for i := range Measured {
		if d := c.typed(here[i].at).Sub(c.Other.typed(there[i].at)).Norm(); d > most {
			most, name = d, here[i].name
		}
	}
	if most < unlike {
		return Plain("Right side, mirrored: it is like the left one")
	}
	say := func(system System) string {
		return "Right side, mirrored: at most " + length(most, system) + " away (" + strings.ToLower(name) + ")"
	}
	return Either(say(Metric), say(US))
}

// pointKeys are the legend's entries for what was asked for beside the corner.
func (d *Drawing) pointKeys(desk *sheet, scenes []*prospect) (keys []Key) {
	if times := desk.times; times > 0 {
		label := "Where a point lies (95 %)"
		if times > 1 {
			label += ", drawn " + strconv.Itoa(int(times)) + " times too large"
		}
		keys = append(keys, Key{Swatch: swatch(func(p *pen, mid point) {
			var around []point
			for j := range 24 {
				s, k := math.Sincos(2 * math.Pi * float64(j) / 24)
				around = append(around, mid.plus(12*k, 5*s))
			}
			p.area(ellipseFill, ellipseLine, around)
		}), Label: Plain(label), Wide: true, Narrow: true})
	}
	if len(scenes) == 0 || scenes[0].Other == nil {
		return keys
	}
	key := Key{Swatch: lineSample(otherLine), Label: Plain("Right side, mirrored"), Wide: true, Narrow: true}
	if len(scenes) == 1 {
		key.Label = scenes[0].apart()
	}
	return append(keys, key)
}

// drawPoints names the points of a corner, with their coordinates.
func (sh *sheet) drawPoints(to *pen, c *scene) {
	if sh.listed || !c.labelPoints(to, sh.layout) {
		c.listPoints(to, sh.layout, c.area.bottom()+sh.line())
		return
	}
	pointsHead().write(to, canvas.Lettering{Ink: canvas.Soft, Size: sh.letter, Anchor: canvas.End}, point{sh.width, sh.letter})
}

// coordinates are a point's, as a reader would type them.
func (c *Scene) coordinates(p geom.Point) [3]Words {
	q := c.typed(p)
	say := func(v float64) Words {
		in := func(system System) string {
			u, places := lengthUnit(system)
			if system == Metric && c.Spread == nil {
				return strings.TrimSuffix(number(v/u.SI, 1), ".0")
			}
			return number(v/u.SI, places)
		}
		return Either(in(Metric), in(US))
	}
	return [3]Words{say(q.X), say(q.Y), say(q.Z)}
}

// pointsHead says what the labels' numbers are.
func pointsHead() Words {
	say := func(u unit.Unit) string { return "x forward, y left, z up, in " + u.Name }
	mm, _ := lengthUnit(Metric)
	inch, _ := lengthUnit(US)
	return Either(say(mm), say(inch))
}

// pointsSaid names the points with their coordinates, in words.
func (c *Scene) pointsSaid(system System) string {
	text := "The points (" + pointsHead().In(system) + "):"
	for i, p := range c.measured() {
		if i > 0 {
			text += ";"
		}
		text += " " + strings.ToLower(p.name) + " " + list(c.coordinates(p.at), system)
	}
	return text + "."
}

// labelPoints writes the points' names and coordinates in two columns beside the drawing, with leaders to them. It is
// false where there is no room.
func (c *scene) labelPoints(to *pen, l layout) bool {
	size := l.small()
	line := 1.2 * size
	places := c.measured()
	middle := 0.0
	for _, p := range places {
		middle += c.at(p.at).x / Measured
	}
	type column struct {
		which         []int
		want, heights []float64
		middles       []float64
	}
	var columns [2]column // left, right
	for i, p := range places {
		side := &columns[0]
		if c.at(p.at).x >= middle {
			side = &columns[1]
		}
		side.which, side.want, side.heights = append(side.which, i), append(side.want, c.at(p.at).y), append(side.heights, 2*line)
	}
	for k := range columns {
		var ok bool
		if columns[k].middles, ok = spread(columns[k].want, columns[k].heights, 6, c.area.y-46, c.area.bottom()+46); !ok {
			return false
		}
	}
	for k, col := range columns {
		for n, i := range col.which {
			p := places[i]
			at := c.at(p.at)
			how := l.label()
			x, from := 0.0, point{}
			wide := textWidth(p.name, size)
			y := col.middles[n]
			if k == 0 {
				from = point{wide + 4, y - 0.25*size}
			} else {
				x, how.Anchor = l.width, canvas.End
				from = point{x - wide - 4, y - 0.25*size}
			}
			to.line(leadLine, from, at)
			to.text(how, point{x, y - 0.05*size}, p.name)
			how.Bold = true
			xyz := c.coordinates(p.at)
			Either(list(xyz, Metric), list(xyz, US)).write(to, how, point{x, y + line - 0.05*size})
		}
	}
	return true
}

func list(xyz [3]Words, system System) string {
	return xyz[0].In(system) + ", " + xyz[1].In(system) + ", " + xyz[2].In(system)
}

// listRows is how many lines a list of the points takes below a corner.
const listRows = Measured + 1

// listPoints numbers the points and lists them below the corner, where their labels have no room beside it.
func (c *scene) listPoints(to *pen, l layout, top float64) {
	place := &placer{within: box{c.middle - c.share/2, 0, c.share, top}, reach: 4}
	places := c.measured()
	for _, p := range places {
		at := c.at(p.at)
		place.avoid(box{at.x, at.y, 0, 0}.grow(ballSize))
	}
	how := canvas.Lettering{Ink: canvas.Black, Size: l.letter, Halo: true, Bold: true}
	size := l.small()
	left, right := c.middle-c.share/2, c.middle+c.share/2
	column := min(0.14*c.share, 3.6*size)
	y := top + size
	head := canvas.Lettering{Ink: canvas.Soft, Size: size}
	pointsHead().write(to, head, point{left, y})
	for i, p := range places {
		at := c.at(p.at)
		text := strconv.Itoa(i + 1)
		if b, ok := place.find(how, Plain(text), at, 5, rightFirst); ok {
			to.text(how, b.baseline(how), text)
		}
		y += 1.25 * size
		bold := canvas.Lettering{Ink: canvas.Black, Size: size, Bold: true}
		to.text(bold, point{left, y}, text)
		to.text(canvas.Lettering{Ink: canvas.Black, Size: size}, point{left + 1.2*size, y}, p.name)
		number := canvas.Lettering{Ink: canvas.Black, Size: size, Anchor: canvas.End}
		for k, v := range c.coordinates(p.at) {
			v.write(to, number, point{right - float64(2-k)*column, y})
		}
	}
}
