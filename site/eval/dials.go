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
// isn't among its values' range; where dials stand still, as a dial does.
func (s *scope) pose(x *value.Axis) {
	d := &s.dials
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
	if s.still(x) {
		start = standing(x, start, s.ev.options.Still)
	}
	d.posed[x] = start
}

// still tells whether a dial or a posed axis has one position alone. A walk has them all, one for each of its steps.
func (s *scope) still(x *value.Axis) bool { return s.ev.options.Still != nil && x.Kind != value.Choice }

// standing gives the position at which a dial stands still: one that reads as given, or else where it starts. Where it
// starts comes first, for what is given may be another dial's.
func standing(x *value.Axis, start int, still []string) int {
	given := func(c float64) bool {
		return slices.Contains(still, value.Print(c, x.ShowUnit(false).Counterpart(false), 0))
	}
	if other := slices.IndexFunc(x.Coord, given); other >= 0 && !given(x.Coord[start]) {
		return other
	}
	return start
}

// turning are those of some dials that have more positions than one.
func (s *scope) turning(dials []*value.Axis) []*value.Axis {
	return slices.DeleteFunc(slices.Clone(dials), s.still)
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
			from, till := 0, x.Length
			if s.still(x) {
				from, till, d.Start = d.Start, d.Start+1, 0
			} else if _, posed := s.dials.posed[x]; posed {
				d.Along = s.board.alongs.of(x)
			}
			for k := from; k < till; k++ {
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
	for _, p := range s.board.placed {
		start, dials := s.page.Blocks[p.block].Figures[p.index], p.moved
		if p.poses < len(s.dials.posed) {
			dials = s.dials.watch(func() { start = s.rebuild(p) })
		}
		if len(dials) == 0 || start == nil || !s.fits(dials, p) {
			continue
		}
		s.text = p.args.text
		turning := s.turning(dials)
		if !s.take(p.args.lit, p.args.turned(dials, turning, start)) {
			return
		}
		states := &States{Dials: s.dialsOf(dials)}
		if len(turning) == 0 {
			states.Figures = []figure.Figure{start}
		} else {
			s.everyPosition(turning, func() { states.Figures = append(states.Figures, s.rebuild(p)) })
		}
		block := &s.page.Blocks[p.block]
		for len(block.States) < len(block.Figures) {
			block.States = append(block.States, nil)
		}
		block.States[p.index] = states
	}
}

// turned counts what a figure takes at all positions of its dials, of which some may stand still: its marks, and each
// element of its values at the positions where that is read.
func (a *arguments) turned(dials, turning []*value.Axis, start figure.Figure) amounts {
	states, _ := value.Size(turning)
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
func (s *scope) rebuild(p *placed) figure.Figure {
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
func (s *scope) fits(dials []*value.Axis, p *placed) bool {
	all := sliders(value.Union(s.dials.known, dials))
	if len(all) > MaxDials {
		s.page.Faults = append(s.page.Faults, p.args.text.Fault(p.args.lit, "", "this would be dial number %d on the page (%s); the most is %d", len(all), value.Names(all), MaxDials))
		return false
	}
	if n, err := value.Size(s.turning(dials)); err != nil || n > MaxStates {
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
	turning := s.turning(dials)
	n, err := value.Size(turning)
	if all := sliders(value.Union(s.dials.known, dials)); err != nil || n > MaxStates || len(all) > MaxDials {
		s.page.Faults = append(s.page.Faults, snippet.Fault(1, 1, len(snippet.Text), "", "the dials %s have too many positions together, or are more than %d", value.Names(all), MaxDials))
		return start, nil
	}
	states := &TextStates{Dials: s.dialsOf(dials)}
	if len(turning) == 0 {
		states.Texts = []figure.Text{{start}}
		return start, states
	}
	s.everyPosition(turning, func() { states.Texts = append(states.Texts, figure.Text{s.insert(snippet)}) })
	return start, states
}
