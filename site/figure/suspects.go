package figure

import (
	"math"

	"turnplate/sim/geom"
	"turnplate/site/canvas"
)

// Suspects is a corner as it was typed, from three sides, with the points marked that a mistake or a doubt is about. It
// is no figure of the language: a page or a preview shows it where the mistake stands.
type Suspects struct {
	ID      string // unique on the page
	Vehicle string // its name, or ""
	Side    string // "left front" or "right front"
	Refused bool   // the points are impossible, not just unlikely
	Corner  Sketch // the points as typed, the right corner's too; the rest is what a drawing wants
	Points  []string
}

// PointFields are the points that a corner is drawn by, as a notebook writes them.
func PointFields() (fields []string) {
	for _, p := range (Sketch{}).measured() {
		fields = append(fields, p.field)
	}
	return fields
}

// Drawable tells whether all its points are somewhere.
func (s *Suspects) Drawable() bool { return s.Corner.drawable() }

// Says is its title, with where the marked points lie.
func (s *Suspects) Says() Words {
	corner := Scene{Sketch: s.Corner}
	say := func(system System) string {
		text := "The " + s.Side + " corner as typed:"
		if s.Vehicle != "" {
			text = clean(s.Vehicle) + ", the " + s.Side + " corner as typed:"
		}
		for i, name := range s.Points {
			if i > 0 {
				text += ";"
			}
			text += " " + name + " at " + list(corner.coordinates(s.at(name)), system)
		}
		u, _ := lengthUnit(system)
		return text + " " + u.Name
	}
	return Either(say(Metric), say(US))
}

// Draw draws it, wide and narrow.
func (s *Suspects) Draw(system System) Picture {
	alternative := s.Says().Each(func(says string) string { return says + ". From the front, from the left and from above." })
	plate := func(l layout) Plate {
		return threeViews(l, Head{ID: s.ID}, s.Corner, system, alternative, func(to *pen, k *scene, within box) {
			k.drawMiddle(to, l)
			k.drawPlain(to)
			s.mark(to, k, l, within)
		})
	}
	return Picture{Wide: plate(wide), Narrow: plate(narrow)}
}

// at is where a point lies.
func (s *Suspects) at(field string) geom.Point {
	for _, p := range s.Corner.measured() {
		if p.field == field {
			return p.at
		}
	}
	return geom.Point{X: math.NaN()}
}

var (
	suspectRing = stroke(canvas.Bad, 2.4)
	middleLine  = stroke(canvas.Soft, 1, 9, 3, 2, 3)
)

// drawMiddle draws the vehicle's middle where a view shows it: a point on its other side has a wrong sign.
func (c *scene) drawMiddle(to *pen, l layout) {
	if c.name == "side" {
		return
	}
	x := c.px(c.of(geom.Point{})).x
	if x < c.area.x-1 || x > c.area.right()+1 {
		return
	}
	to.line(middleLine, point{x, c.area.y}, point{x, c.area.bottom()})
	how := l.label()
	how.Ink, how.Anchor = canvas.Soft, canvas.Middle
	to.text(how, point{x, c.area.y - 3}, "middle")
}

// mark rings the points and names them.
func (s *Suspects) mark(to *pen, k *scene, l layout, within box) {
	const ring = 7.5
	to.dots(canvas.Black, paperEdge, pivotSize, k.all(s.Corner.numbered()...)...)
	place := &placer{within: within, reach: 6}
	for _, p := range s.Points {
		at := k.at(s.at(p))
		place.avoid(box{at.x, at.y, 0, 0}.grow(ring))
	}
	for _, p := range s.Points {
		at := k.at(s.at(p))
		to.dots(nil, suspectRing, ring, at)
		to.dots(canvas.Bad, paperEdge, ballSize, at)
		how := canvas.Lettering{Ink: canvas.Bad, Size: l.small(), Halo: true, Bold: true}
		place.name(to, how, Plain(p), at, ring+2, rightFirst)
	}
}
