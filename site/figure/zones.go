package figure

import (
	"math"
	"strconv"
	"strings"

	"turnplate/site/canvas"
)

// Zones are strips along one scale, each divided into named parts: where a quantity is too little, right, too much or
// out of reach. A mark runs through all of them.
type Zones struct {
	Head
	scales
	X      Scale // its label is Along
	Along  Text  // what the scale is of
	Strips []ZoneStrip
	Mark   float64 // NaN where there is none
	Called Text    // what the mark is called
	Left   int     // how many zones have no place, with a reader's own values
}

// ZoneStrip is one strip, with its parts from left to right.
type ZoneStrip struct {
	Name    Text
	Written string // the same, as the notebook has it
	Zones   []Zone
}

// Zone is one part of a strip. Its ends may be uncertain.
type Zone struct {
	Name        Text
	From, Until Edge
	Standing    Standing
}

// Edge is where a zone begins or ends, with its 95 % coverage interval; all three are the same where it is certain.
type Edge struct{ At, Low, High float64 }

// Standing is how good it is to be in a zone.
type Standing string

// The standings, by the words of the block language.
const (
	GoodZone Standing = "good"
	FairZone Standing = "fair"
	PoorZone Standing = "poor"
	NoZone   Standing = "out of reach"
)

func (*Zones) Axes() []string { return nil }

func (z *Zones) Marks() (n int) {
	for _, s := range z.Strips {
		n += len(s.Zones)
	}
	return n
}

func (z *Zones) reach(r ranges) ranges {
	z.each(func(_, _ int, one Zone) { r.x = r.x.with(one.From.At).with(one.Until.At) })
	r.x = r.x.withAll([]float64{z.Mark})
	return r
}

func (z *Zones) steady(all []Figure) { steadied[*Zones](all) }

// zones is a Zones made ready.
type zones struct {
	*Zones
	x       extent
	shown   systems
	numbers map[int]int // of the zones whose name has no room in one of the layouts
}

func readyZones(z *Zones) *zones {
	labelled := *z
	labelled.X.Label = z.Along.In(Metric)
	r := &zones{Zones: &labelled, numbers: map[int]int{}}
	r.x = z.room(z).x.widened(z.X.Unit(Metric).SI)
	r.shown = shownIn(r.X, Scale{}, r.x, extent{0, 1})
	return r
}

func (t Text) called() Words { return Either(clean(t.In(Metric)), clean(t.In(US))) }

// Draw draws the strips one below the other. The page starts with the given system of units.
func (z *Zones) Draw(system System) Picture {
	r := readyZones(z)
	alternative := r.inWords(r.alternative)
	_, inWide := r.fit(wide)
	_, inNarrow := r.fit(narrow)
	var p Picture
	uncertain := false
	r.each(func(i, _ int, one Zone) {
		uncertain = uncertain || one.From.uncertain() || one.Until.uncertain()
		if !inWide[i] && !inNarrow[i] {
			return
		}
		r.numbers[i] = len(r.numbers) + 1
		name := one.Name.called().Each(func(text string) string { return r.numbered(i) + " " + text })
		p.Keys = append(p.Keys, Key{zoneSwatch(one.Standing), name, inWide[i], inNarrow[i]})
	})
	p.Wide, p.Narrow = r.plate(wide, system, alternative), r.plate(narrow, system, alternative)
	if r.Left > 0 {
		p.Notes = append(p.Notes, "Left out, because there is no such place with these values: "+count(r.Left, "zone", "zones")+".")
	}
	if uncertain {
		p.Notes = append(p.Notes, "Whiskers: the 95 % coverage interval of a zone's end.")
	}
	return p
}

// each visits all zones with their numbers and their strips'.
func (z *Zones) each(visit func(i, strip int, one Zone)) {
	i := 0
	for k, s := range z.Strips {
		for _, one := range s.Zones {
			visit(i, k, one)
			i++
		}
	}
}

func (r *zones) numbered(i int) string { return strconv.Itoa(r.numbers[i]) }

func (e Edge) uncertain() bool { return e.High > e.Low }

// besideZones is the room left and right of the strips.
const besideZones = 16.0

// plate lays the strips out and draws them.
func (r *zones) plate(l layout, system System, alternative Words) Plate {
	const tall, apart = 40.0, 10.0
	size := l.small()
	top := 0.6 * l.line()
	if finite(r.Mark) {
		top = 1.9 * l.line()
	}
	heads := make([]both, len(r.Strips))
	area := box{besideZones, top, l.width - 2*besideZones, 0}
	var rows []box
	for i, s := range r.Strips {
		heads[i], _ = wrapBoth(s.Name.called(), l.letter, area.w/boldness, 2)
		area.h += float64(heads[i].count()) * l.line()
		rows = append(rows, box{area.x, area.bottom(), area.w, tall})
		area.h += tall + apart
	}
	p, f := planAcross(l, r.shown, area)
	names, _ := r.fit(l)
	named := l.label()
	named.Anchor = canvas.Middle
	return l.plate(r.Head, p.height, system, alternative, func(to *pen) {
		p.drawAcross(to, f, false)
		for k, head := range heads {
			head.write(to, l.headed(), point{area.x, rows[k].y - 6}, l.line(), toLast)
		}
		r.each(func(_, k int, one Zone) { drawZone(to, one.Standing, r.place(f, one, rows[k])) })
		r.drawMark(to, f, l, rows)
		r.each(func(i, k int, one Zone) {
			r.drawEdges(to, f, one, rows[k])
			b := r.place(f, one, rows[k])
			names[i].write(to, named, point{b.x + b.w/2, b.y + b.h/2}, 1.15*size, aboutMiddle)
		})
		p.drawAround(to)
	})
}

// fit breaks the zones' names into lines that lie inside them; one too narrow for its name is cut, and gets its number.
func (r *zones) fit(l layout) (names []both, cut map[int]bool) {
	const margin, most = 4, 2
	f := frame{box{besideZones, 0, l.width - 2*besideZones, 0}, r.x, extent{0, 1}}
	cut = map[int]bool{}
	r.each(func(i, _ int, one Zone) {
		name, short := wrapBoth(one.Name.called(), l.small(), r.place(f, one, box{}).w-2*margin, most)
		if short {
			name = both{metric: []string{r.numbered(i)}}
			cut[i] = true
		}
		names = append(names, name)
	})
	return names, cut
}

// place is the part of a strip that a zone takes.
func (r *zones) place(f frame, one Zone, row box) box {
	from, until := f.at(one.From.At, 0).x, f.at(one.Until.At, 0).x
	return box{min(from, until), row.y, math.Abs(until - from), row.h}
}

// drawZone tells standings apart without colour: framed, tinted, plain, hatched.
func drawZone(to *pen, how Standing, b box) {
	switch how {
	case GoodZone:
		to.area(canvas.Good.Faint(0.25), stroke(canvas.Good, 2), b.outline())
	case FairZone:
		to.area(canvas.Separate(4).Faint(0.3), noLine, b.outline())
	case PoorZone:
		to.area(canvas.Wash, stroke(canvas.Rule, 1), b.outline())
	default:
		to.area(canvas.Paper, stroke(canvas.Rule, 1), b.outline())
		to.stroke(hatchLine, hatch(b)...)
	}
}

func zoneSwatch(how Standing) Plate {
	return swatch(func(p *pen, _ point) { drawZone(p, how, box{1, 1, swatchWidth - 2, swatchHeight - 2}) })
}

// drawEdges draws how uncertain a zone's ends are.
func (r *zones) drawEdges(to *pen, f frame, one Zone, row box) {
	for _, e := range []Edge{one.From, one.Until} {
		if !e.uncertain() {
			continue
		}
		low, high := f.at(max(e.Low, r.x.lo), 0).x, f.at(min(e.High, r.x.hi), 0).x
		to.interval(row.bottom(), low, high)
	}
}

// drawMark draws the mark across all strips, and its name over them.
func (r *zones) drawMark(to *pen, f frame, l layout, rows []box) {
	if !finite(r.Mark) {
		return
	}
	x := f.at(r.Mark, 0).x
	var across [][]point
	for _, row := range rows {
		across = append(across, []point{{x, row.y - 3}, {x, row.bottom() + 3}})
	}
	to.stroke(markLine, across...)
	text := r.Called.called()
	how := l.headed()
	how.Anchor = canvas.Middle
	half := boldness*text.width(l.letter)/2 + 2
	text.write(to, how, point{min(max(x, half), l.width-half), f.area.y - 11})
}

var markLine = stroke(canvas.Mark, 2.5)

// alternative names every zone with its ends.
func (r *zones) alternative(system System) string {
	a := r.shown.in(system).x
	var b strings.Builder
	b.WriteString("Zones of " + title(clean(a.label), a.unit.Symbol) + ".")
	for _, s := range r.Strips {
		b.WriteString(" ")
		if len(s.Name) > 0 {
			b.WriteString(s.Name.called().In(system) + ": ")
		}
		if len(s.Zones) == 0 {
			b.WriteString("nothing")
		}
		for i, one := range s.Zones {
			if i > 0 {
				b.WriteString("; ")
			}
			b.WriteString(one.Name.called().In(system) + ", " + a.reading(one.From.At) + " to " + a.reading(one.Until.At))
		}
		b.WriteString(".")
	}
	if finite(r.Mark) {
		b.WriteString(" Marked: " + heading(r.Called.called().In(system), a.reading(r.Mark)) + ".")
	}
	return b.String()
}

// records lists every zone, and the mark last.
func (z *Zones) records(system System) [][]string {
	u, label := z.X.Unit(system), clean(z.Along.In(system))
	rows := [][]string{{"Strip", "Zone", "Standing", inert(title(label+" from", u.Name)), "Low", "High", inert(title(label+" until", u.Name)), "Low", "High"}}
	size := 0.0
	z.each(func(_, _ int, one Zone) {
		size = max(size, math.Abs(one.From.At/u.SI), math.Abs(one.Until.At/u.SI))
	})
	ends := func(row []string, edges ...Edge) []string {
		for _, e := range edges {
			row = append(row, figures(e.At/u.SI, size), figures(e.Low/u.SI, size), figures(e.High/u.SI, size))
		}
		return row
	}
	z.each(func(_, k int, one Zone) {
		row := []string{inert(z.Strips[k].Name.called().In(system)), inert(one.Name.called().In(system)), string(one.Standing)}
		rows = append(rows, ends(row, one.From, one.Until))
	})
	if finite(z.Mark) {
		at := Edge{z.Mark, z.Mark, z.Mark}
		rows = append(rows, ends([]string{"", inert(z.Called.called().In(system)), "mark"}, at, at))
	}
	return rows
}

// Table is every zone with its ends.
func (z *Zones) Table(int) (*Table, int) {
	r := readyZones(z)
	t := &Table{Head: Head{Title: z.Title}, Rows: []Words{}}
	from, until := Column{Head: Plain("From"), Unit: z.X.Unit(Metric), US: z.X.Unit(US)}, Column{Head: Plain("To"), Unit: z.X.Unit(Metric), US: z.X.Unit(US)}
	z.each(func(_, k int, one Zone) {
		named := func(system System) string {
			return heading(z.Strips[k].Name.called().In(system), one.Name.called().In(system))
		}
		t.Rows = append(t.Rows, Either(named(Metric), named(US)))
		for _, c := range []struct {
			to *Column
			e  Edge
		}{{&from, one.From}, {&until, one.Until}} {
			c.to.Cells = append(c.to.Cells, Cell{Text: r.shown.across(func(a axis) string { return a.whole(c.e.At) }), Number: true})
		}
	})
	t.Columns = []Column{from, until}
	return t, 1
}
