package figure

import (
	"iter"
	"math"
	"slices"

	"turnplate/site/canvas"
)

// curves is a Curves made ready: its axes found, every line and set of points given its looks.
type curves struct {
	*Curves
	x, y   extent
	shown  systems
	styles map[Words]style // of lines, by label: a label looks the same in every panel
	labels []Words         // of lines, in order of appearance
	sets   map[string]int  // of points, by label
	names  []string        // of sets, in order of appearance
	barred map[string]bool // sets that have an error bar
	banded bool
	empty  bool // nothing has a value
}

func ready(c *Curves) *curves {
	if len(c.Panels) == 0 {
		empty := *c
		empty.Panels = []Panel{{}}
		c = &empty
	}
	r := &curves{Curves: c, styles: map[Words]style{}, sets: map[string]int{}, barred: map[string]bool{}}
	for _, p := range c.Panels {
		for _, l := range p.Lines {
			for i := range l.count() {
				_, _, banded := l.band(i)
				r.banded = r.banded || banded
			}
			if _, known := r.styles[l.Label]; !known {
				r.styles[l.Label] = style{}
				r.labels = append(r.labels, l.Label)
			}
		}
		for _, s := range p.Points {
			if _, known := r.sets[s.Label]; !known {
				r.sets[s.Label] = len(r.names)
				r.names = append(r.names, s.Label)
			}
			for i := range s.count() {
				_, _, barred := s.bar(i)
				r.barred[s.Label] = r.barred[s.Label] || barred
			}
		}
	}
	for i, look := range c.looks.of(r.labels) {
		if c.Ordered {
			look = i // steps of one quantity keep their order
		}
		r.styles[r.labels[i]] = styleOf(look, len(r.labels), c.Ordered)
	}
	all := c.room(c)
	r.empty = all.x.empty()
	r.x, r.y = all.x.widened(c.X.Unit(Metric).SI), all.y.widened(c.Y.Unit(Metric).SI).padded()
	r.shown = shownIn(c.X, c.Y, r.x, r.y)
	return r
}

func (c *Curves) reach(r ranges) ranges {
	for _, limit := range c.Limits {
		for i := range limit.known() {
			r.y = r.y.with(limit.Y[i])
		}
	}
	for _, p := range c.Panels {
		for _, l := range p.Lines {
			for i := range l.known() {
				r.x, r.y = r.x.with(l.X[i]), r.y.with(l.Y[i])
				if lo, hi, ok := l.band(i); ok {
					r.y = r.y.with(lo).with(hi)
				}
			}
		}
		for _, s := range p.Points {
			for i := range s.known() {
				r.x, r.y = r.x.with(s.X[i]), r.y.with(s.Y[i])
				if lo, hi, ok := s.bar(i); ok {
					r.y = r.y.with(lo).with(hi)
				}
			}
		}
	}
	return r
}

func (l Line) count() int { return min(len(l.X), len(l.Y)) }

func (l Line) has(i int) bool { return finite(l.X[i]) && finite(l.Y[i]) }

// known are the indices of the points that are no gaps.
func (l Line) known() iter.Seq[int] { return known(l.count(), l.has) }

func known(n int, has func(i int) bool) iter.Seq[int] {
	return func(yield func(int) bool) {
		for i := range n {
			if has(i) && !yield(i) {
				return
			}
		}
	}
}

// band is the uncertainty at a point, if there is any.
func (l Line) band(i int) (lo, hi float64, ok bool) {
	if i >= len(l.Low) || i >= len(l.High) || !l.has(i) {
		return 0, 0, false
	}
	lo, hi = l.Low[i], l.High[i]
	return lo, hi, finite(lo) && finite(hi)
}

func (s Points) count() int { return min(len(s.X), len(s.Y)) }

func (s Points) has(i int) bool { return finite(s.X[i]) && finite(s.Y[i]) }

func (s Points) known() iter.Seq[int] { return known(s.count(), s.has) }

// bar is what a reading's error bar spans, if it has one.
func (s Points) bar(i int) (lo, hi float64, ok bool) {
	if i >= len(s.Error) || !s.has(i) || !finite(s.Error[i]) || s.Error[i] == 0 {
		return 0, 0, false
	}
	lo, hi = s.Y[i]-s.Error[i], s.Y[i]+s.Error[i]
	return lo, hi, finite(lo) && finite(hi)
}

// spot is what a reading takes up in a frame, with its error bar.
func (s Points) spot(f frame, i int) box {
	top, bottom := f.at(s.X[i], s.Y[i]), f.at(s.X[i], s.Y[i])
	if lo, hi, ok := s.bar(i); ok {
		top, bottom = f.at(s.X[i], hi), f.at(s.X[i], lo)
	}
	return box{top.x, top.y, 0, bottom.y - top.y}.grow(2 * targetSize)
}

// name is what a point is called, or "".
func (s Points) name(i int) string {
	if i < len(s.Names) {
		return clean(s.Names[i])
	}
	return ""
}

func (*Curves) Axes() []string { return []string{"By", "Panels"} }

func (c *Curves) Marks() (n int) {
	for _, limit := range c.Limits {
		n += len(limit.Y)
	}
	for _, p := range c.Panels {
		for _, l := range p.Lines {
			n += len(l.Y)
		}
		for _, s := range p.Points {
			n += len(s.Y) + len(s.Error)
		}
	}
	return n
}

func (c *Curves) steady(all []Figure) { steadied[*Curves](all) }

// Draw draws a plot, with its axes in both systems of units where they differ. The page starts with the given one.
func (c *Curves) Draw(system System) Picture {
	r := ready(c)
	desk, phone := r.plan(wide), r.plan(narrow)
	alternative := r.inWords(r.alternative)
	drawn := func(p *plan) Plate {
		return p.plate(r.Head, p.height, system, alternative, func(to *pen) { r.draw(to, p) })
	}
	p := Picture{Wide: drawn(desk), Narrow: drawn(phone), Values: r.values(desk, phone)}
	if r.labelled() {
		for _, label := range r.labels {
			p.Keys = append(p.Keys, Key{lineSwatch(r.styles[label], r.marked()), label.clean(), !desk.direct(), !phone.direct()})
		}
	}
	for i, name := range r.names {
		p.Keys = append(p.Keys, Key{pointsSwatch(i, r.barred[name]), Plain(orElse(clean(name), "Readings")), true, true})
	}
	if r.banded {
		p.Notes = append(p.Notes, "Shaded: the 95 % coverage interval.")
	}
	if slices.ContainsFunc(r.names, func(name string) bool { return r.barred[name] }) {
		p.Notes = append(p.Notes, "Bars through readings: how far either way they may be out.")
	}
	if c.Absent > 0 {
		p.Notes = append(p.Notes, "A line breaks off where there is no value to be had.")
	}
	return p
}

// labelled says whether the lines have names to show.
func (r *curves) labelled() bool {
	return len(r.labels) > 1 || len(r.labels) == 1 && r.labels[0].Metric != ""
}

// marked says whether lines carry markers: a line alone needs none to be known by.
func (r *curves) marked() bool { return len(r.labels) > 1 }

// few is how many points of a line are all marked, because the line between them is only a guide.
const few = 12

func (r *curves) draw(to *pen, p *plan) {
	for i, panel := range r.Panels {
		f := frame{p.areas[i], r.x, r.y}
		p.drawTitle(to, i)
		r.drawRegions(to, f)
		p.drawRules(to, f, i, true)
		f.draw(to)
		r.drawLines(to, f, panel)
		r.drawLimits(to, f, p.layout, panel)
		r.drawPoints(to, f, p.layout, panel)
		if r.empty {
			how := p.label()
			how.Anchor = canvas.Middle
			to.text(how, point{f.area.x + f.area.w/2, f.area.y + f.area.h/2}, "No combination has a value.")
		}
		if p.ends != nil {
			r.drawEnds(to, f, p, panel)
		}
		for _, label := range p.rings {
			label.text.write(to, p.label(), label.baseline(p.label()))
		}
	}
	p.drawAround(to)
}

// drawLines draws bands first, so that no band hides a neighbour's line.
func (r *curves) drawLines(to *pen, f frame, p Panel) {
	q := to.plot(f)
	for _, l := range p.Lines {
		ink := r.styles[l.Label].ink
		q.fill(ink.Faint(0.17), stroke(ink.Faint(0.45), 0.75), bands(f, l)...)
	}
	for i, l := range p.Lines {
		look := r.styles[l.Label]
		var marks pairs
		runs := unbroken(l)
		for _, run := range runs {
			if len(run) == 1 { // a value between two gaps
				marks = append(marks, run[0])
				continue
			}
			q.line(look.line(), f.thinned(run))
		}
		if r.marked() || l.count() <= few {
			marks = append(marks, markers(f, runs, i, len(p.Lines))...)
		}
		q.marks(markGlyphs(look), marks)
	}
}

// unbroken cuts a line at its gaps.
func unbroken(l Line) (runs []pairs) {
	fresh := true
	for i := range l.count() {
		if !l.has(i) {
			fresh = true
			continue
		}
		if fresh {
			runs, fresh = append(runs, nil), false
		}
		last := len(runs) - 1
		runs[last] = append(runs[last], pair{X: l.X[i], Y: l.Y[i]})
	}
	return runs
}

// bands are the outlines of a line's coverage interval.
func bands(f frame, l Line) (outlines []pairs) {
	var low, high pairs
	flush := func() {
		if len(low) > 1 {
			back := f.thinned(high)
			slices.Reverse(back)
			outlines = append(outlines, append(f.thinned(low), back...))
		}
		low, high = nil, nil
	}
	for i := range l.count() {
		lo, hi, ok := l.band(i)
		if !ok {
			flush()
			continue
		}
		low, high = append(low, pair{X: l.X[i], Y: lo}), append(high, pair{X: l.X[i], Y: hi})
	}
	flush()
	return outlines
}

// markers picks the points of line i of n that carry its marker: all of a few, else some in even steps,
// shifted from line to line so that close lines don't cover each other's.
func markers(f frame, runs []pairs, i, n int) (at pairs) {
	const apart = 96.0
	total := 0
	for _, run := range runs {
		total += len(run)
	}
	next := math.Inf(-1)
	for _, run := range runs {
		for _, p := range run {
			if total <= few {
				at = append(at, p)
				continue
			}
			x := f.at(p.X, p.Y).x
			if math.IsInf(next, -1) {
				next = x + apart*(float64(i)+0.5)/float64(n)
			}
			if x >= next {
				at = append(at, p)
				next += apart * math.Ceil((x-next+1)/apart)
			}
		}
	}
	return at
}

// drawPoints lays readings over the curves, with their names where there is room for all of them: some without would
// look forgotten.
func (r *curves) drawPoints(to *pen, f frame, l layout, p Panel) {
	const mostNamed = 12
	place := placer{within: f.area}
	place.avoidPoints(f, p.Points)
	named := 0
	for _, set := range p.Points {
		for i := range set.known() {
			if set.name(i) != "" {
				named++
			}
		}
	}
	if named > 0 && named <= mostNamed {
		place.avoidLine(f.zero())
		place.avoidLines(f, p.Lines)
	}
	type label struct {
		text Words
		box
	}
	var labels []label
	room := named <= mostNamed
	q := to.plot(f)
	for _, set := range p.Points {
		var all pairs
		for i := range set.known() {
			all = append(all, pair{X: set.X[i], Y: set.Y[i]})
			at := f.at(set.X[i], set.Y[i])
			if text := Plain(set.name(i)); room && text.Metric != "" {
				b, ok := place.find(l.label(), text, at, 2*targetSize+3, rightFirst)
				labels, room = append(labels, label{text, b}), ok
			}
		}
		q.marks(readingGlyphs(r.sets[set.Label], r.barred[set.Label]), all)
		for i := range set.count() {
			if lo, hi, ok := set.bar(i); ok {
				q.upright(set.Y[i], lo, hi, set.X[i])
			}
		}
	}
	if room {
		for _, label := range labels {
			label.text.write(to, l.label(), label.baseline(l.label()))
		}
	}
}
