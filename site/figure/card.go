package figure

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"turnplate/sim/geom"
	"turnplate/site/canvas"
)

// Card is a page to measure a vehicle's corners with: where the points are, what to read between them, a blank for
// each reading, or what was read there and how it fits with the rest.
type Card struct {
	Head
	unplotted
	Vehicle  string
	Corner   Sketch
	Points   []CardPoint // in the order of the work
	Tapes    []CardTape
	Others   []CardOther // what was read beside what the card asks for
	Surveyed bool        // there are readings
	Right    bool        // the right corner has a column
	Unit     Cell        // of the lengths
	Again    []CardAgain // what to read again, the likeliest wrong first
	Next     string      // what would help most, or ""
	File     [][]string  // the readings as rows of a file, filled in as far as they were taken
}

// CardPoint is a point with what is read of it by itself.
type CardPoint struct {
	Number int
	Name   string          // "Upper ball joint"
	Field  string          // as a readings file calls it
	Where  string          // where exactly
	Reads  [3][2]CardReads // ahead, to the left, above the floor; of the left and of the right corner
}

// CardTape is a distance to read between two points.
type CardTape struct {
	Kind     string // "tape" or "floor"
	From, To int    // points' numbers; 0 where the name says it
	Name     string // "From the lower ball joint to …"
	Reads    [2]CardReads
}

// CardOther is a reading that the card doesn't ask for.
type CardOther struct {
	Name string
	Read CardRead
}

// CardAgain is a reading to take again.
type CardAgain struct {
	Name       string // "upper ball joint, along the truck, second reading"
	Read       CardRead
	Deviations string // how many of its own standard deviations it is off
}

// CardReads are the readings of one place on the card.
type CardReads struct {
	Blanks int // to fill in; 0 where nothing is asked for
	Read   []CardRead
}

// CardRead is a reading that was taken.
type CardRead struct {
	Value, Off Cell // as read, and how much more or less the points found give
	Noticed    bool // too far off for chance
}

// Heads are what is read of a point by itself.
func (*Card) Heads() []string { return []string{"Ahead", "To the left", "Height"} }

func (c *Card) Marks() int               { return 100 + len(c.File) }
func (*Card) Template() (string, string) { return "card", "" }

// records are the file to fill in.
func (c *Card) records(System) [][]string {
	rows := [][]string{{"Kind", "From", "To", "Reading (mm)", "Note"}}
	for _, r := range c.File {
		row := slices.Clone(r)
		for _, i := range []int{1, 2, 4} {
			row[i] = inert(row[i])
		}
		rows = append(rows, row)
	}
	return rows
}

// Draw sketches the corner from three sides with its points numbered.
func (c *Card) Draw(system System) Picture {
	alternative := c.inWords(func(System) string {
		var points []string
		for _, p := range c.Points {
			points = append(points, strconv.Itoa(p.Number)+" "+clean(p.Name))
		}
		return "The left front corner from the front, from the left and from above, with its points numbered: " + strings.Join(points, ", ")
	})
	return Picture{Wide: c.sketch(wide, system, alternative), Narrow: c.sketch(narrow, system, alternative)}
}

func (c *Card) sketch(l layout, system System, alternative Words) Plate {
	return threeViews(l, c.Head, c.Corner, system, alternative, func(to *pen, k *scene, within box) {
		k.drawPlain(to)
		c.number(to, k, within)
	})
}

// threeViews draws a corner from the front, the left and above, at one scale.
func threeViews(l layout, h Head, corner Sketch, system System, alternative Words, draw func(to *pen, k *scene, within box)) Plate {
	columns, tall := 3, 250.0
	if l.name == narrow.name {
		columns, tall = 1, 290.0
	}
	const gap, edge = 14.0, 14.0
	width := (l.width - gap*float64(columns-1)) / float64(columns)
	var views []*prospect
	scale, most := math.Inf(1), 0.0
	for _, name := range []string{"front", "side", "top"} {
		v := Scene{Sketch: corner}.look(viewOf(name))
		views, scale = append(views, v), min(scale, v.region.scale(width-2*edge, tall-2*edge))
	}
	for _, v := range views {
		most = max(most, v.region.y.size()*scale)
	}
	tall = min(tall, most+2*edge+2*l.line()) // numbers and names may stand above
	head := 2.2 * l.line()
	return l.plate(h, (tall+head)*float64(len(views)/columns), system, alternative, func(to *pen) {
		for i, v := range views {
			x, y := float64(i%columns)*(width+gap), float64(i/columns)*(tall+head)
			w, h := v.region.x.size()*scale, v.region.y.size()*scale
			k := &scene{prospect: v, scale: scale, corner: v.region.low(), area: box{x + (width-w)/2, y + head + tall - edge - h, w, h}}
			title, _ := wrap(v.says, l.small(), width, 2)
			to.lines(canvas.Lettering{Ink: canvas.Soft, Size: l.small()}, point{x, y + l.small()}, 1.25*l.small(), fromFirst, title)
			draw(to, k, box{x, y + head, width, tall})
		}
	})
}

// drawPlain draws the corner without what isn't measured: wheel, arms, rod and knuckle.
func (c *scene) drawPlain(to *pen) {
	if c.upright() {
		y := c.px(flat{0, 0}).y
		to.line(groundLine, point{c.area.x - 12, y}, point{c.area.right() + 12, y})
	}
	to.area(canvas.Wash, tyreLine, c.round(c.outline))
	for _, arm := range c.arms() {
		to.area(armInk.Faint(0.16), armLine, c.all(arm...))
	}
	to.line(rodLine, c.at(c.TieInner), c.at(c.TieOuter))
	to.bar(knuckleInk, c.at(c.LowerBall), c.at(c.UpperBall), knuckleThick)
}

// number sets the points' numbers beside them.
func (c *Card) number(to *pen, k *scene, within box) {
	place := &placer{within: within, reach: 4}
	dots := k.all(c.Corner.numbered()...)
	for _, p := range dots {
		place.avoid(box{p.x, p.y, 0, 0}.grow(4))
	}
	to.dots(canvas.Black, paperEdge, pivotSize, dots...)
	how := canvas.Lettering{Ink: canvas.Black, Size: 15, Halo: true, Bold: true}
	for i, p := range c.Points {
		from := dots[i]
		text := strconv.Itoa(p.Number)
		b, ok := place.find(how, Plain(text), from, 6, rightFirst)
		if !ok {
			continue
		}
		if near := b.nearest(from); math.Hypot(near.x-from.x, near.y-from.y) > 9 {
			to.line(extendLine, from, near)
		}
		to.text(how, b.baseline(how), text)
	}
}

// numbered are a corner's points in the order of a card's numbers.
func (k Sketch) numbered() []geom.Point {
	return []geom.Point{k.WheelCentre, k.LowerFront, k.LowerRear, k.LowerBall, k.TieInner, k.TieOuter, k.UpperFront, k.UpperRear, k.UpperBall}
}
