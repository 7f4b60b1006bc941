package figure

import (
	"math"
	"strings"
	"sync"

	"turnplate/sim/unit"
	"turnplate/site/canvas"
)

// Histogram shows how an uncertain value is spread: in how many of the draws it lies in each of thirty equal bins, and
// its 95 % coverage interval. Alternatives stand side by side, with the same bins.
type Histogram struct {
	Head
	scales
	X       Scale
	Spreads []Spread
	Absent  int // draws that have no value
}

// Spread is one uncertain value.
type Spread struct {
	Label     Words     // none when there is one
	Draws     []float64 // NaN where it has no value
	Mean      float64
	Low, High float64 // ends of the 95 % coverage interval
}

// bins is how many there are.
const bins = 30

// known are the draws that have a value.
func (s Spread) known() (list []float64) {
	for _, v := range s.Draws {
		if finite(v) {
			list = append(list, v)
		}
	}
	return list
}

// shares are the parts of a value's draws that lie in each bin between two limits.
func (s Spread) shares(over extent) (shares [bins]float64) {
	list := s.known()
	for _, v := range list {
		i := int(bins * (v - over.lo) / over.size())
		shares[min(max(i, 0), bins-1)] += 1 / float64(len(list))
	}
	return shares
}

// place is where a bin begins.
func place(i int, over extent) float64 { return over.lo + over.size()*float64(i)/bins }

func (*Histogram) Axes() []string { return []string{"By"} }
func (h *Histogram) Marks() int   { return bins * len(h.Spreads) }

// axes are the limits of several histograms that share them: what all draws lie in, and room above the fullest bin.
func (h *Histogram) axes(kind ...*Histogram) ranges {
	x, y := nothing, extent{0, 1.0 / bins}
	for _, f := range kind {
		for _, s := range f.Spreads {
			x = x.withAll(s.Draws)
		}
	}
	x = x.widened(h.X.Unit(Metric).SI)
	for _, f := range kind {
		for _, s := range f.Spreads {
			shares := s.shares(x)
			y = y.withAll(shares[:])
		}
	}
	const above = 0.75 // the interval stands over the bins
	return ranges{x: x, y: extent{0, y.hi / above}}
}

func (h *Histogram) steady(all []Figure) {
	kind := alike[*Histogram](all)
	axes := sync.OnceValue(func() ranges { return h.axes(kind...) })
	for _, f := range kind {
		f.keep(axes)
	}
}

// histogram is a Histogram made ready.
type histogram struct {
	*Histogram
	ranges
	shown systems
}

var shareScale = Scale{Label: "Share of draws", Metric: unit.MustParse("percent"), US: unit.MustParse("percent")}

func readyHistogram(h *Histogram) *histogram {
	if len(h.Spreads) == 0 {
		empty := *h
		empty.Spreads = []Spread{{}}
		h = &empty
	}
	axes := h.all
	if axes == nil {
		axes = func() ranges { return h.axes(h) }
	}
	r := &histogram{Histogram: h, ranges: axes()}
	r.shown = shownIn(h.X, shareScale, r.x, r.y)
	return r
}

// Draw draws one plot for each alternative. The page starts with the given system of units.
func (h *Histogram) Draw(system System) Picture {
	r := readyHistogram(h)
	var titles []Words
	for _, s := range r.Spreads {
		titles = append(titles, s.Label.clean())
	}
	alternative := r.inWords(r.alternative)
	drawn := func(l layout) Plate {
		p := planPlots(l, r.shown, titles, 1, nil)
		return p.plate(r.Head, p.height, system, alternative, func(to *pen) { r.draw(to, p) })
	}
	p := Picture{Wide: drawn(wide), Narrow: drawn(narrow), Notes: []string{"Shaded: the 95 % coverage interval, with the mean."}}
	if h.Absent > 0 {
		p.Notes = append(p.Notes, count(h.Absent, "draw has no value and is left out.", "draws have no value and are left out."))
	}
	return p
}

func (r *histogram) draw(to *pen, p *plan) {
	ink := canvas.Separate(0)
	for i, s := range r.Spreads {
		f := frame{p.areas[i], r.x, r.y}
		p.drawTitle(to, i)
		q := to.plot(f)
		known := len(s.known()) > 0
		if known {
			q.fill(ink.Faint(0.12), noLine, rectangleOf(extent{s.Low, s.High}, r.y))
		}
		p.drawRules(to, f, i, true)
		if known {
			var list []pairs
			for k, share := range s.shares(r.x) {
				list = append(list, rectangleOf(extent{place(k, r.x), place(k+1, r.x)}, extent{0, share}))
				q.fill(ink, noLine, list[k])
			}
			q.fill(nil, stroke(canvas.Paper, 0.75), list...)
			r.drawInterval(to, f, s, p.layout)
		}
		f.draw(to)
	}
	p.drawAround(to)
}

// drawInterval draws the coverage interval over the bins, with a tick for the mean, and writes its ends above it.
func (r *histogram) drawInterval(to *pen, f frame, s Spread, l layout) {
	size := l.small()
	y := f.area.y + 1.7*size
	low, high := f.at(s.Low, 0).x, f.at(s.High, 0).x
	to.interval(y, low, high, f.at(s.Mean, 0).x)
	text := r.shown.across(func(a axis) string { return a.reading(s.Low) + " to " + a.reading(s.High) })
	wide := text.width(size) / 2
	how := l.label()
	how.Anchor, how.Halo = canvas.Middle, false // it lies over nothing but shade
	middle := min(max((low+high)/2, f.area.x+wide+2), f.area.right()-wide-2)
	text.write(to, how, point{middle, f.area.y + 1.05*size})
}

// alternative says in words where each value lies.
func (r *histogram) alternative(system System) string {
	a := r.shown.in(system).x
	var b strings.Builder
	b.WriteString("How " + title(clean(a.label), a.unit.Symbol) + " is spread over its draws.")
	for _, s := range r.Spreads {
		b.WriteString(" ")
		if label := s.Label.clean().In(system); label != "" {
			b.WriteString(label + ": ")
		}
		if len(s.known()) == 0 {
			b.WriteString("no value.")
			continue
		}
		b.WriteString("mean " + a.reading(s.Mean) + ", in 95 % of them from " + a.reading(s.Low) + " to " + a.reading(s.High) + ".")
	}
	return b.String()
}

// records are the bins, and after them the mean and the interval.
func (h *Histogram) records(system System) [][]string {
	r, u := readyHistogram(h), h.X.Unit(system)
	label, percent := clean(h.X.Label), shareScale.Unit(system)
	rows := [][]string{{"What", inert(title(label+" from", u.Name)), inert(title(label+" to", u.Name)), "Share of draws (percent)"}}
	some := len(h.Spreads) > 1 || len(h.Spreads) == 1 && h.Spreads[0].Label.Metric != ""
	if some {
		rows[0] = append([]string{"Of"}, rows[0]...)
	}
	size := max(math.Abs(r.x.lo), math.Abs(r.x.hi)) / u.SI
	for _, s := range h.Spreads {
		add := func(what string, from, to float64, share string) {
			row := []string{what, figures(from/u.SI, size), figures(to/u.SI, size), share}
			if some {
				row = append([]string{inert(s.Label.clean().In(system))}, row...)
			}
			rows = append(rows, row)
		}
		for k, share := range s.shares(r.x) {
			add("Bin", place(k, r.x), place(k+1, r.x), figures(share/percent.SI, 100))
		}
		add("Mean", s.Mean, s.Mean, "")
		add("95 % coverage interval", s.Low, s.High, "95")
	}
	return rows
}

// Table is the mean and the interval of each alternative.
func (h *Histogram) Table(int) (*Table, int) {
	r := readyHistogram(h)
	t := &Table{Head: Head{Title: h.Title}}
	heads := []string{"Mean", "95 %, from", "95 %, to"}
	for k, head := range heads {
		column := Column{Head: Plain(head), Unit: h.X.Unit(Metric), US: h.X.Unit(US)}
		for _, s := range h.Spreads {
			v := []float64{s.Mean, s.Low, s.High}[k]
			cell := Cell{Text: Plain("–"), Absent: true}
			if finite(v) {
				cell = Cell{Text: r.shown.across(func(a axis) string { return a.whole(v) }), Number: true}
			}
			column.Cells = append(column.Cells, cell)
		}
		t.Columns = append(t.Columns, column)
	}
	if len(h.Spreads) > 1 {
		t.Rows = []Words{}
		for _, s := range h.Spreads {
			t.Rows = append(t.Rows, s.Label.clean())
		}
	}
	return t, 1
}
