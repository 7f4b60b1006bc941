package eval

import (
	"math"
	"slices"

	"turnplate/site/diag"
	"turnplate/site/figure"
	"turnplate/site/value"
)

// MaxDials bounds the sliders of one page: with more, a reader loses the thread and the page its size.
const MaxDials = 3

// MaxStates bounds how many positions one figure or number is calculated at.
const MaxStates = 400

// Dial is a slider that the page offers.
type Dial struct {
	Label     string
	Positions []figure.Words
	Start     int // where the page stands without script
	Along     int // of a pose: the number of its axis, which curves over it have too; else 0
}

// States are a figure at every position of the dials that move it, the last dial fastest. The figure at
// the dials' starts is the one in the block.
type States struct {
	Dials   []int // indices of Page.Dials
	Figures []figure.Figure
}

// TextStates are a number in prose at every position of the dials that move it.
type TextStates struct {
	Dials []int
	Texts []figure.Text
}

// dials are the sliders of a page while it is made.
type dials struct {
	known []*value.Axis       // of the page, in the order in which they were met
	at    map[*value.Axis]int // the state being built; a dial that isn't here stands at its start
	seen  []*value.Axis       // dials that the value at hand depends on
	posed map[*value.Axis]int // axes along which a Drawing is posed, and where each starts: to what follows them they are dials
}

// pose makes an axis one along which the page is posed. It starts nearest zero, or at its first value where zero
// isn't among its values' range.
func (d *dials) pose(x *value.Axis) {
	if d.posed == nil {
		d.posed = map[*value.Axis]int{}
	}
	start, least, most := 0, math.Inf(1), math.Inf(-1)
	for i, c := range x.Coord {
		least, most = math.Min(least, c), math.Max(most, c)
		if math.Abs(c) < math.Abs(x.Coord[start]) {
			start = i
		}
	}
	if least > 0 || most < 0 {
		start = 0
	}
	d.posed[x] = start
}

// start is where a dial or a posed axis stands when the page opens.
func (d *dials) start(x *value.Axis) int {
	if at, posed := d.posed[x]; posed {
		return at
	}
	return x.Start
}

// position is where a dial stands in the state being built. Asking notes that the state depends on it.
func (d *dials) position(x *value.Axis) int {
	if !slices.Contains(d.seen, x) {
		d.seen = append(d.seen, x)
	}
	if at, ok := d.at[x]; ok {
		return at
	}
	return d.start(x)
}

// watch runs build and gives the dials that it asked for, in order.
func (d *dials) watch(build func()) []*value.Axis {
	d.seen = nil
	build()
	axes := slices.Clone(d.seen)
	slices.SortStableFunc(axes, (*value.Axis).Compare)
	return axes
}

// everyPosition runs build for every combination of the dials that build itself asked for when it was first
// run, and restores the starting state. Mistakes at other positions are gaps there, not faults.
func (s *scope) everyPosition(dials []*value.Axis, build func()) {
	outer, before, broke := s.dials.seen, len(s.page.Faults), s.budget.broke
	w, _ := value.NewWalk(dials)
	for range w.N {
		if s.budget.broke || s.ctx.Err() != nil {
			break
		}
		s.dials.at = map[*value.Axis]int{}
		for i, x := range dials {
			s.dials.at[x] = w.At[i]
		}
		build()
		w.Next()
	}
	s.dials.at, s.dials.seen = nil, outer
	s.page.Faults = s.page.Faults[:before]
	if s.budget.broke && !broke {
		s.page.Faults = append(s.page.Faults, s.budget.said)
	}
}

// dialsOf gives the page's indices of dials, adding those it doesn't have yet.
func (s *scope) dialsOf(axes []*value.Axis) []int {
	var list []int
	for _, x := range axes {
		i := slices.Index(s.dials.known, x)
		if i < 0 {
			i = len(s.dials.known)
			s.dials.known = append(s.dials.known, x)
			d := Dial{Label: axisWords(x), Start: s.dials.start(x)}
			if _, posed := s.dials.posed[x]; posed {
				d.Along = s.board.alongs.of(x)
			}
			for k := range x.Length {
				if x.Kind == value.Choice {
					d.Positions = append(d.Positions, labelOf(x, k))
					continue
				}
				in := func(us bool) string { return value.Print(x.Coord[k], x.ShowUnit(us).Counterpart(us), 0) }
				d.Positions = append(d.Positions, figure.Either(in(false), in(true)))
			}
			s.page.Dials = append(s.page.Dials, d)
		}
		list = append(list, i)
	}
	return list
}

// turnFigures builds the states of every figure that a dial moves.
func (s *scope) turnFigures() {
	if len(s.dials.seen) == 0 {
		return // no dial has been met in any figure or caption
	}
	for _, p := range s.board.placed {
		var start figure.Figure
		dials := s.dials.watch(func() { start = s.rebuild(p) }) // finds what moves it, texts included
		if len(dials) == 0 || start == nil || !s.fits(dials, p) {
			continue
		}
		s.text = p.args.text
		if !s.take(p.args.lit, p.args.turned(dials, start)) {
			return
		}
		states := &States{Dials: s.dialsOf(dials)}
		if n, _ := value.Size(dials); n == 1 { // the dials stand still
			states.Figures = []figure.Figure{start}
		} else {
			s.everyPosition(dials, func() { states.Figures = append(states.Figures, s.rebuild(p)) })
		}
		block := &s.page.Blocks[p.block]
		for len(block.States) < len(block.Figures) {
			block.States = append(block.States, nil)
		}
		block.States[p.index] = states
	}
}

// turned counts what a figure takes at all positions of its dials: its marks, and each element of its values at the
// positions where that is read.
func (a *arguments) turned(dials []*value.Axis, start figure.Figure) amounts {
	states, _ := value.Size(dials)
	numbers := 0
	for _, v := range a.values {
		each := value.Numbers(v)
		for _, x := range value.AxesOf(v) {
			if slices.Contains(dials, x) {
				each /= x.Length
			}
		}
		numbers += each * states
	}
	return amounts{Numbers: numbers, Marks: start.Marks() * states}
}

// rebuild makes a figure again in the present state, texts and all.
func (s *scope) rebuild(p placed) figure.Figure {
	outer := s.text
	s.text = p.args.text
	defer func() { s.text = outer }()
	p.args.failed = false
	f := figures[p.args.name].make(s, p.args)
	s.board.write()
	return f
}

// sliders are those of a page's dials that count: a walk's is moved by reading on.
func sliders(axes []*value.Axis) []*value.Axis {
	return slices.DeleteFunc(slices.Clone(axes), func(x *value.Axis) bool { return x.Kind == value.Choice })
}

// fits refuses more dials or positions than a page can carry.
func (s *scope) fits(dials []*value.Axis, p placed) bool {
	all := sliders(value.Union(s.dials.known, dials))
	if len(all) > MaxDials {
		s.page.Faults = append(s.page.Faults, p.args.text.Fault(p.args.lit, "", "this would be dial number %d on the page (%s); the most is %d", len(all), value.Names(all), MaxDials))
		return false
	}
	if n, err := value.Size(dials); err != nil || n > MaxStates {
		s.page.Faults = append(s.page.Faults, p.args.text.Fault(p.args.lit, "fewer positions on a dial, or fewer dials on one figure", "the dials %s have too many positions together; the most is %d", value.Names(dials), MaxStates))
		return false
	}
	return true
}

// turnText gives a number in prose at every position, or nil when no dial moves it.
func (s *scope) turnText(snippet diag.Snippet) (figure.Span, *TextStates) {
	var start figure.Span
	dials := s.dials.watch(func() { start = s.insert(snippet) })
	if len(dials) == 0 {
		return start, nil
	}
	n, err := value.Size(dials)
	if all := sliders(value.Union(s.dials.known, dials)); err != nil || n > MaxStates || len(all) > MaxDials {
		s.page.Faults = append(s.page.Faults, snippet.Fault(1, 1, len(snippet.Text), "", "the dials %s have too many positions together, or are more than %d", value.Names(all), MaxDials))
		return start, nil
	}
	states := &TextStates{Dials: s.dialsOf(dials)}
	s.everyPosition(dials, func() { states.Texts = append(states.Texts, figure.Text{s.insert(snippet)}) })
	return start, states
}
