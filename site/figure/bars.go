package figure

import (
	"image/color"
	"math"
	"strings"

	"gonum.org/v1/plot/vg/draw"

	"turnplate/site/canvas"
)

// bars is a Bars made ready. Bars lie: names of any length stay level, and a telephone has the room.
type bars struct {
	*Bars
	extent
	shown []shown
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

func (*Bars) Axes() []string             { return []string{"By"} }
func (*Bars) Table(int) (*Table, int)    { return nil, 1 }
func (*Bars) Sharing() Sharing           { return SharedFirst }
func (*Bars) Template() (string, string) { return "picture", "Figure" }

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
	alternative := Either(r.alternative(Metric), r.alternative(US))
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
					room = max(room, textWidth(barText(sh.x, v), size)+8)
				}
			}
		}
	}
	area := box{left, 0.6 * l.line(), l.width - left - room - 4, total}
	if r.lo < 0 {
		area.x, area.w = area.x+room, area.w-room
	}
	f := frame{area, r.extent, extent{0, 1}}
	var rules []rule
	below := 0
	for _, sh := range r.shown {
		xg := sh.x.graduate(max(2, int(area.w/l.apart)), func(ticks []tick) bool {
			for i := 1; i < len(ticks); i++ {
				gap := (ticks[i].value - ticks[i-1].value) * sh.x.unit.SI / r.size() * area.w
				if gap < (textWidth(ticks[i].label, size)+textWidth(ticks[i-1].label, size))/2+10 {
					return false
				}
			}
			return true
		})
		rule := rule{shown: sh, xg: xg}
		rule.below, _ = wrap(sh.x.title(xg), l.letter, l.width, 2)
		below = max(below, len(rule.below))
		rules = append(rules, rule)
	}

	p := plan{layout: l, areas: []box{area}, columns: 1, rules: rules}
	tops := make([]float64, n)
	top := area.y + between/2
	for i := range n {
		tops[i] = top
		top += heads[i] + heights[i] + between
	}
	return l.plate(r.Head, area.bottom()+(1.7+float64(below))*l.line(), system, alternative, func(to *pen) {
		eachRule(to, rules, sameX, func(r rule) {
			r.drawX(to, f, true)
			r.labelX(to, f, l)
		})
		to.line(axisLine, point{area.x, area.bottom()}, point{area.right(), area.bottom()})
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
	size := l.small()
	name.each(l.label(), func(how canvas.Lettering, lines []string) {
		for i, t := range lines {
			at := point{8, b.y + float64(i)*1.2*size + 0.95*size}
			if aside {
				at, how.Anchor = point{b.right(), b.y + b.h/2 + (float64(i)-float64(len(lines)-1)/2)*1.2*size + 0.35*size}, canvas.End
			}
			to.text(how, at, t)
		}
	})
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
	text := across(r.shown, func(a axis) string { return barText(a, v) })
	how, at := l.label(), point{end + 5, middle + 0.35*size}
	if v < 0 {
		at.x, how.Anchor = end-5, canvas.End
	}
	text.write(to, how, at)
}

// barText is a bar's value as written at its end; the unit stands at the scale.
func barText(a axis, v float64) string {
	g := a.graduate(6, anyRoom)
	return number(v/a.unit.SI/math.Pow(10, float64(g.power)), g.fine)
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
	if own := clean(r.Alt.In(system)); own != "" {
		return own
	}
	a := r.shown[0].x
	if system == US {
		a = r.shown[len(r.shown)-1].x
	}
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
		for i := range set.Y {
			if v := set.value(i); finite(v) {
				size = max(size, math.Abs(v/u.SI))
			}
		}
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
