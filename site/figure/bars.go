package figure

import (
	"image/color"
	"math"
	"strings"

	"gonum.org/v1/plot/vg/draw"

	"turnplate/site/canvas"
)

// Bars compares values side by side.
type Bars struct {
	Head
	scales
	XLabel string
	Y      Scale
	Names  []Words  // of the groups along X
	Steps  *Steps   // what the names print, where those are values
	Sets   []BarSet // one, or one for each alternative of By
	Absent int
}

// BarSet is one bar for each of the groups.
type BarSet struct {
	Label     Words // none when there is one set
	Y         []float64
	Low, High []float64 // ends of the 95 % coverage interval, or nil
}

// bars is a Bars made ready. Bars lie: names of any length stay level, and a telephone has the room.
type bars struct {
	*Bars
	extent
	shown systems
	looks []int // of the sets
}

func readyBars(b *Bars) *bars {
	var labels []Words
	for _, set := range b.Sets {
		labels = append(labels, set.Label)
	}
	r := &bars{Bars: b, looks: b.looks.of(labels)}
	all := b.room(b).x.with(0) // a bar's length stands for the whole value
	r.extent = all.widened(b.Y.Unit(Metric).SI)
	if r.lo < 0 && all.lo >= 0 {
		r.lo = 0
	}
	r.shown = shownIn(b.Y, Scale{}, r.extent, extent{0, 1})
	return r
}

func (b *Bars) reach(r ranges) ranges {
	for _, set := range b.Sets {
		r.x = r.x.withAll(set.Y)
		for i := range set.Y {
			if lo, hi, ok := set.bounds(i); ok {
				r.x = r.x.with(lo).with(hi)
			}
		}
	}
	return r
}

// bounds are the ends of a bar's coverage interval, if it has one.
func (s BarSet) bounds(i int) (lo, hi float64, ok bool) {
	if i >= len(s.Low) || i >= len(s.High) || i >= len(s.Y) {
		return 0, 0, false
	}
	lo, hi = s.Low[i], s.High[i]
	return lo, hi, finite(lo) && finite(hi) && finite(s.Y[i])
}

// groups is the number of names, or of values where some have no name.
func (b *Bars) groups() int {
	n := len(b.Names)
	for _, s := range b.Sets {
		n = max(n, len(s.Y))
	}
	return n
}

func (b *Bars) name(i int) Words { return at(b.Names, i).clean() }

// value is a bar's value, or not a number.
func (s BarSet) value(i int) float64 {
	if i < len(s.Y) && finite(s.Y[i]) {
		return s.Y[i]
	}
	return math.NaN()
}

func (*Bars) Axes() []string          { return []string{"By"} }
func (*Bars) Table(int) (*Table, int) { return nil, 1 }

func (b *Bars) Marks() (n int) {
	for _, set := range b.Sets {
		n += len(set.Y)
	}
	return n
}

func (b *Bars) steady(all []Figure) { steadied[*Bars](all) }

// Draw draws bars, in both systems of units where they differ. The page starts with the given one.
func (b *Bars) Draw(system System) Picture {
	r := readyBars(b)
	alternative := r.inWords(r.alternative)
	p := Picture{Wide: r.plate(wide, system, alternative), Narrow: r.plate(narrow, system, alternative)}
	banded := false
	for k, set := range b.Sets {
		if len(b.Sets) > 1 || set.Label.Metric != "" {
			p.Keys = append(p.Keys, Key{barSwatch(r.looks[k]), set.Label.clean(), true, true})
		}
		for i := range set.Y {
			_, _, ok := set.bounds(i)
			banded = banded || ok
		}
	}
	if banded {
		p.Notes = append(p.Notes, "Whiskers: the 95 % coverage interval.")
	}
	if b.Absent > 0 {
		p.Notes = append(p.Notes, "A dash: there is no value to be had.")
	}
	return p
}

// plate lays the bars out and draws them.
func (r *bars) plate(l layout, system System, alternative Words) Plate {
	const thick, apart, between = 17.0, 2.0, 13.0
	size := l.small()
	n, sets := r.groups(), max(len(r.Sets), 1)
	aside := l.name == wide.name // names beside the bars, or above them

	// Names.
	names := make([]both, n)
	column := 0.0
	width := l.width - 16
	if aside {
		width = 210
	}
	for i := range names {
		names[i], _ = wrapBoth(r.name(i), size, width, 2)
		column = max(column, names[i].widest(size))
	}
	left := 14.0 // half of a short number below the axis's start
	if aside {
		left += column + 12
	}
	// Each group: room for its name over the bars, if it stands there, and for the bars.
	bars := float64(sets)*(thick+apart) - apart
	heads, heights := make([]float64, n), make([]float64, n)
	total := between / 2
	for i := range names {
		tall := float64(names[i].count()) * 1.2 * size
		heights[i] = bars
		if aside {
			heights[i] = max(bars, tall)
		} else {
			heads[i] = tall + 3
		}
		total += heads[i] + heights[i] + between
	}

	// The scale, with room at its ends for the values written there.
	room := 0.0
	for _, sh := range r.shown {
		for _, set := range r.Sets {
			for i := range set.Y {
				if v := set.value(i); finite(v) {
					room = max(room, textWidth(sh.x.bare(v), size)+8)
				}
			}
		}
	}
	area := box{left, 0.6 * l.line(), l.width - left - room - 4, total}
	if r.lo < 0 {
		area.x, area.w = area.x+room, area.w-room
	}
	p, f := planAcross(l, r.shown, area)
	tops := make([]float64, n)
	top := area.y + between/2
	for i := range n {
		tops[i] = top
		top += heads[i] + heights[i] + between
	}
	return l.plate(r.Head, p.height, system, alternative, func(to *pen) {
		p.drawAcross(to, f, true)
		for i := range n {
			first := tops[i] + heads[i] + (heights[i]-bars)/2
			for k, set := range r.Sets {
				r.drawBar(to, f, set, i, k, box{area.x, first + float64(k)*(thick+apart), area.w, thick}, l)
			}
		}
		if aside {
			to.line(axisLine, point{f.at(0, 0).x, area.y}, point{f.at(0, 0).x, area.bottom()})
		}
		for i := range n {
			if !aside { // beside each name's bars, not through the names
				first := point{f.at(0, 0).x, tops[i] + heads[i]}
				to.line(axisLine, first, first.plus(0, heights[i]))
			}
			r.writeName(to, names[i], box{0, tops[i], left - 12, heights[i]}, aside, l)
		}
		p.drawAround(to)
	})
}

// writeName sets a group's name beside its bars or over them.
func (r *bars) writeName(to *pen, name both, b box, aside bool, l layout) {
	how, size := l.label(), l.small()
	if !aside {
		name.write(to, how, point{8, b.y + 0.95*size}, 1.2*size, fromFirst)
		return
	}
	how.Anchor = canvas.End
	name.write(to, how, point{b.right(), b.y + b.h/2}, 1.2*size, aboutMiddle)
}

func (r *bars) drawBar(to *pen, f frame, set BarSet, i, k int, row box, l layout) {
	zero, middle, size := f.at(0, 0).x, row.y+row.h/2, l.small()
	v := set.value(i)
	if !finite(v) {
		to.text(l.ticked(canvas.Start), point{zero + 6, middle + 0.35*size}, "–")
		return
	}
	q, about := to.plot(f), f.heightOf(middle)
	texture(r.looks[k], func(fill color.Color, edge draw.LineStyle) { q.bar(fill, edge, v, about, row.h) },
		func(style draw.LineStyle, strokes func(box) [][]point) {
			tip := f.at(v, 0).x
			to.stroke(style, strokes(box{min(zero, tip), row.y, math.Abs(tip - zero), row.h})...)
		})
	end := f.at(v, 0).x
	if lo, hi, ok := set.bounds(i); ok {
		q.whisker(v, lo, hi, about)
		end = f.at(hi, 0).x
		if v < 0 {
			end = f.at(lo, 0).x
		}
	}
	text := r.shown.across(func(a axis) string { return a.bare(v) })
	how, at := l.label(), point{end + 5, middle + 0.35*size}
	if v < 0 {
		at.x, how.Anchor = end-5, canvas.End
	}
	text.write(to, how, at)
}

// textures is how many kinds of fill there are.
const textures = 6

// texture tells sets apart without colour: solid, outlined, hatched one way, the other way, both ways, striped, and again.
func texture(look int, bar func(fill color.Color, edge draw.LineStyle), strokes func(style draw.LineStyle, hatch func(box) [][]point)) {
	ink := canvas.Separate(look)
	if look%textures == 0 {
		bar(ink, noLine)
		return
	}
	bar(canvas.Paper, stroke(ink, 1.75))
	line := stroke(ink, 1.5)
	switch look % textures {
	case 2:
		strokes(line, hatch)
	case 3:
		strokes(line, mirrored)
	case 4:
		strokes(line, hatch)
		strokes(line, mirrored)
	case 5:
		strokes(line, striped)
	}
}

// mirrored is hatch slanting the other way.
func mirrored(b box) [][]point {
	strokes := hatch(b)
	for _, line := range strokes {
		for i := range line {
			line[i].x = b.x + b.right() - line[i].x
		}
	}
	return strokes
}

// striped is hatch lying level.
func striped(b box) (strokes [][]point) {
	const apart = 4
	for y := b.y + apart; y < b.bottom()-1; y += apart {
		strokes = append(strokes, []point{{b.x, y}, {b.right(), y}})
	}
	return strokes
}

func barSwatch(look int) Plate {
	return swatch(func(p *pen, _ point) {
		b := box{1, 1, swatchWidth - 2, swatchHeight - 2}
		texture(look, func(fill color.Color, edge draw.LineStyle) { p.area(fill, edge, b.outline()) },
			func(style draw.LineStyle, strokes func(box) [][]point) { p.stroke(style, strokes(b)...) })
	})
}

// alternative names every bar's value, or the ends of them where there are many.
func (r *bars) alternative(system System) string {
	a := r.shown.in(system).x
	var b strings.Builder
	b.WriteString("Bars of " + title(clean(a.label), a.unit.Symbol) + ".")
	const most = 24
	told := 0
	for _, set := range r.Sets {
		for i := range set.Y {
			if told++; told > most {
				continue
			}
			text := r.name(i).In(system)
			value := "no value"
			if v := set.value(i); finite(v) {
				value = a.reading(v)
			}
			b.WriteString(" " + heading(set.Label.clean().In(system), text) + ": " + value + ".")
		}
	}
	if told > most {
		b.WriteString(" And " + count(told-most, "more bar.", "more bars."))
	}
	return b.String()
}

// records lists every bar.
func (b *Bars) records(system System) [][]string {
	u := b.Y.Unit(system)
	var names []Words
	for i := range b.groups() {
		names = append(names, b.name(i))
	}
	labels := b.Steps.labels(orElse(clean(b.XLabel), "Name"), names, system)
	head := labels[:1:1]
	size := 0.0
	for _, set := range b.Sets {
		label := orElse(set.Label.clean().In(system), clean(b.Y.Label))
		head = append(head, inert(title(label, u.Name)))
		if set.Low != nil && set.High != nil {
			head = append(head, inert(title(label+", low", u.Name)), inert(title(label+", high", u.Name)))
		}
		size = max(size, largest(set.Y)/u.SI)
	}
	rows := [][]string{head}
	for i := range b.groups() {
		row := []string{at(labels, i+1)}
		for _, set := range b.Sets {
			row = append(row, figures(set.value(i)/u.SI, size))
			if set.Low == nil || set.High == nil {
				continue
			}
			lo, hi, ok := set.bounds(i)
			if !ok {
				lo, hi = math.NaN(), math.NaN()
			}
			row = append(row, figures(lo/u.SI, size), figures(hi/u.SI, size))
		}
		rows = append(rows, row)
	}
	return rows
}
