package figure

import (
	"cmp"
	"math"
	"slices"

	"turnplate/site/canvas"
)

// plan is where everything of one or more plots goes in one layout. Plots share both scales, so that they
// can be compared by eye; only the outer ones carry labels. Every system of units has the same places.
type plan struct {
	layout
	titles  []both // of the plots, in lines
	areas   []box
	columns int
	rules   []rule
	height  float64
	ends    *endLabels  // beside the only plot; nil when the lines' labels have no room
	rings   []ringLabel // at lines of the only plot, where some close; nil when there is no room
}

// grid is how many plots stand side by side, and how high each is.
func (l layout) grid(panels int) (columns int, height float64) {
	switch {
	case l.name == narrow.name && panels == 1:
		return 1, 230
	case l.name == narrow.name:
		return 1, 150
	case panels == 1:
		return 1, 310
	case panels == 2 || panels == 4:
		return 2, 220
	}
	return 3, 170
}

const endGap = 22 // from a line's end to its label

// planPlots finds room for plots with these titles, so many times as tall as curves are. beside, if any,
// gives the labels to stand at the right of a single plot, of which it is told all but the width.
func planPlots(l layout, shown systems, titles []Words, tall float64, beside func(frame) *endLabels) *plan {
	p := &plan{layout: l}
	columns, height := l.grid(len(titles))
	height *= tall
	p.columns = columns
	rows := (len(titles) + columns - 1) / columns

	// Down the page: the titles above; in each row the plots' own titles and the plots; the x axis.
	titleLines, aboveLines, belowLines := 0, 0, 0
	for _, title := range titles {
		lines, _ := wrapBoth(title, l.letter*boldness, l.width/float64(columns)-60, 2)
		p.titles = append(p.titles, lines)
		titleLines = max(titleLines, lines.count())
	}
	for _, sh := range shown {
		rule := rule{shown: sh, yg: sh.y.graduate(max(3, int(height/32)), anyRoom)}
		over, _ := wrap(sh.over, l.letter, l.width, 2)
		up, _ := wrap(sh.y.title(rule.yg), l.letter, l.width, 2)
		rule.above = append(over, up...)
		aboveLines = max(aboveLines, len(rule.above))
		p.rules = append(p.rules, rule)
	}
	top := (float64(aboveLines) + 0.5) * l.line()
	head := float64(titleLines)*l.line() + 4
	between := 0.8 * l.line()

	// Across: the y axis's labels, the plots, the lines' labels.
	left, right, gap := 12.0, 8.0, 26.0
	for _, rule := range p.rules {
		for _, t := range rule.yg.ticks {
			left = max(left, textWidth(t.label, l.small())+12)
		}
	}
	if beside != nil && len(titles) == 1 {
		if p.ends = beside(frame{box{0, top + head, 1, height}, shown[0].x.extent, shown[0].y.extent}); p.ends != nil {
			right = p.ends.width + endGap
		}
	}
	width := func() float64 { return (l.width - left - right - gap*float64(columns-1)) / float64(columns) }
	for i, rule := range p.rules {
		xg := rule.x.graduate(max(3, int(width()/l.apart)), rule.x.roomy(width(), l.small(), 12))
		if n := len(xg.ticks); n > 0 {
			// The outermost labels reach half their width past the plot.
			first, last := textWidth(xg.ticks[0].label, l.small())/2, textWidth(xg.ticks[n-1].label, l.small())/2
			left, right, gap = max(left, first+1), max(right, last+1), max(gap, first+last+8)
		}
		p.rules[i].xg = xg
		p.rules[i].below, _ = wrap(rule.x.title(xg), l.letter, l.width, 2)
		belowLines = max(belowLines, len(p.rules[i].below))
	}
	for i := range titles {
		p.areas = append(p.areas, box{
			left + float64(i%columns)*(width()+gap),
			top + head + float64(i/columns)*(head+height+between),
			width(), height,
		})
	}
	bottom := top + float64(rows)*(head+height+between) - between
	p.height = bottom + (1.7+float64(belowLines))*l.line()
	return p
}

// planAcross is a plan of one plot with a scale along x alone, whose marks stand in an area of the drawing, and its frame.
func planAcross(l layout, shown systems, area box) (*plan, frame) {
	p := &plan{layout: l, areas: []box{area}, columns: 1}
	below := 0
	for _, sh := range shown {
		one := rule{shown: sh, xg: sh.x.graduate(max(2, int(area.w/l.apart)), sh.x.roomy(area.w, l.small(), 10))}
		one.below, _ = wrap(sh.x.title(one.xg), l.letter, l.width, 2)
		below = max(below, len(one.below))
		p.rules = append(p.rules, one)
	}
	p.height = area.bottom() + (1.7+float64(below))*l.line()
	return p, frame{area, shown[0].x.extent, extent{0, 1}}
}

// drawAcross draws the scale of planAcross.
func (p *plan) drawAcross(to *pen, f frame, grid bool) {
	p.drawRulesX(to, f, 0, grid)
	to.line(axisLine, point{f.area.x, f.area.bottom()}, point{f.area.right(), f.area.bottom()})
}

func (r *curves) plan(l layout) *plan {
	var titles []Words
	for _, p := range r.Panels {
		titles = append(titles, p.Title.clean())
	}
	p := planPlots(l, r.shown, titles, 1, func(f frame) *endLabels { return r.endLabels(l, f, r.Panels[0]) })
	if len(r.Panels) == 1 && slices.ContainsFunc(r.Panels[0].Lines, r.closes) {
		p.rings = ringLabels(frame{p.areas[0], r.x, r.y}, l, r.Panels[0])
	}
	return p
}

// direct says whether lines are named beside them, so that a legend needs no key for them.
func (p *plan) direct() bool { return p.ends != nil || p.rings != nil }

// ringLabel is the name of a line that has no end to stand beside.
type ringLabel struct {
	text Words
	box
}

// ringLabels finds room for the name of each line where it runs furthest from all others.
func ringLabels(f frame, l layout, p Panel) (labels []ringLabel) {
	paths := make([][]point, len(p.Lines))
	place := placer{within: f.area, reach: 1}
	for i, line := range p.Lines {
		for _, run := range unbroken(line) {
			paths[i] = append(paths[i], thin(f.on(run))...)
		}
		place.avoidLine(paths[i])
	}
	for i, path := range paths {
		apart := func(at point) float64 {
			least := math.Inf(1)
			for j, other := range paths {
				for k := 1; j != i && k < len(other); k++ {
					least = min(least, offLine(at, other[k-1], other[k]))
				}
			}
			return least
		}
		at := slices.Clone(path)
		slices.SortStableFunc(at, func(a, b point) int { return cmp.Compare(math.Round(apart(b)), math.Round(apart(a))) })
		text, found := p.Lines[i].Label.clean(), false
		for _, at := range at[:min(len(at), 12)] {
			var b box
			if b, found = place.find(l.label(), text, at, 4, rightFirst); found {
				labels = append(labels, ringLabel{text, b})
				break
			}
		}
		if !found {
			return nil
		}
	}
	return labels
}

func anyRoom([]tick) bool { return true }

// endLabels are the labels of one plot's lines, each beside the end of its line.
type endLabels struct {
	labels []endLabel
	width  float64
}

type endLabel struct {
	look   style
	x, y   float64 // the line's last point, in the axes' units
	name   Words
	lines  both
	middle float64 // of the label, in pixels
}

// endLabels finds room for labels beside a plot, whose height is that of the frame. Without it: nil. A line that
// closes has no end to stand beside: see ringLabels.
func (r *curves) endLabels(l layout, f frame, p Panel) *endLabels {
	if len(p.Lines) > l.most {
		return nil
	}
	e := &endLabels{}
	var want, heights []float64
	for _, line := range p.Lines {
		if r.closes(line) {
			return nil
		}
		last := line.count() - 1
		for last >= 0 && !(finite(line.X[last]) && finite(line.Y[last])) {
			last--
		}
		if last < 0 || line.Label.Metric == "" {
			continue
		}
		lines, cut := wrapBoth(line.Label.clean(), l.small(), l.labels, 2)
		if cut {
			return nil
		}
		e.labels = append(e.labels, endLabel{look: r.styles[line.Label], x: line.X[last], y: line.Y[last], name: line.Label.clean(), lines: lines})
		e.width = max(e.width, lines.widest(l.small()))
		want = append(want, math.Round(100*f.at(line.X[last], line.Y[last]).y)/100) // lines that end together keep their order, whatever the last digit is
		heights = append(heights, float64(lines.count())*1.2*l.small())
	}
	if len(e.labels) == 0 {
		return nil
	}
	middles, ok := spread(want, heights, 3, f.area.y-6, f.area.bottom()+6)
	if !ok {
		return nil
	}
	for i := range e.labels {
		e.labels[i].middle = middles[i]
	}
	return e
}

// closes says whether a line comes back to where it began.
func (r *curves) closes(l Line) bool {
	const near = 1e-6 // of the axes
	last := l.count() - 1
	return last > 2 && l.has(0) && l.has(last) &&
		math.Abs(l.X[last]-l.X[0]) <= near*r.x.size() && math.Abs(l.Y[last]-l.Y[0]) <= near*r.y.size()
}

// drawEnds writes the labels. A line that ends inside the plot has its label there, if there is room: a
// leader all the way to the edge could be taken for more of the line.
func (r *curves) drawEnds(to *pen, f frame, p *plan, panel Panel) {
	const inside = 24 // pixels from the edge
	size := p.small()
	place := placer{within: f.area}
	place.avoidLines(f, panel.Lines)
	place.avoidPoints(f, panel.Points)
	x := f.area.right() + endGap - 4
	for _, label := range p.ends.labels {
		from := f.at(label.x, label.y)
		leader := stroke(label.look.ink, 1)
		if from.x < f.area.right()-inside {
			if place.name(to, p.label(), label.name, from, 7, rightFirst) {
				continue
			}
			leader = stroke(canvas.Soft, 1, 1, 3)
		}
		to.line(leader, from.plus(5, 0), point{x - 4, label.middle})
		label.lines.write(to, p.label(), point{x, label.middle}, 1.2*size, aboutMiddle)
	}
}
