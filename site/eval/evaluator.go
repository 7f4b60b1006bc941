package eval

import (
	"context"
	"go/ast"
	"maps"
	"slices"
	"sync"
	"time"

	"turnplate/site/diag"
	"turnplate/site/figure"
	"turnplate/site/lang"
	"turnplate/site/model"
	"turnplate/site/notebook"
	"turnplate/site/value"
)

// Source is the collection that notebooks and readings come from.
type Source interface {
	// Notebook gives a notebook by its path from the root, without ".md".
	Notebook(path string) (*notebook.Notebook, error)
	// Paths lists every notebook.
	Paths() []string
	// File gives a file by its path from the root.
	File(path string) ([]byte, error)
}

// Options are the limits of an evaluation; the zero value means the usual ones.
type Options struct {
	Workers int          // models run on this many goroutines; GOMAXPROCS when 0
	Cache   *model.Cache // of model runs, shared with other Evaluators; nil: none
	Limits  Limits       // UsualLimits when zero

	// Findings are the searches that needn't be done again: those of surveys; nil: none.
	Findings *model.Findings

	// Texts, unless it is nil, has what was read of the same Source before.
	Texts *Texts

	// Yours are a reader's own values by the notebook whose vehicle they are for: assignments to fields of the one
	// that its front matter names. They are carried out after the last statement that writes it.
	Yours map[string]diag.Snippet

	// Still, unless it is nil, leaves each dial one position: one that reads, to metric readers, as one of these, or else
	// the one that the page starts at. That is what a reader sees, in a fraction of the time.
	Still []string

	// Hurry, unless it is zero, is how long a model may take: what takes longer is left out of the page, which says so in
	// its place (Page.Later). It is for a page that is asked for again at once. Of other notebooks only what the page reads
	// is worked out then, and no vehicle but the reader's is looked over.
	Hurry time.Duration

	// Seen, unless it is nil, are the figures of the page that are in its reader's window, by their IDs. In a hurry the
	// others are left out as well.
	Seen []string

	// Shown, unless it is "", is the one notebook whose page is to be shown. Of the others nothing is made that only a
	// page shows: the figures that dials move, and the numbers in prose.
	Shown string
}

// Evaluator evaluates the notebooks of one collection. Each is evaluated once, however many use it.
type Evaluator struct {
	source  Source
	options Options
	mu      sync.Mutex
	done    map[need]*future
	draws   map[int]*value.Axis
	plan    *plan
	circles circles
	whole   func() map[string]bool
}

// Texts keeps the notebooks of one collection as they were read, which no values change. It is safe for concurrent use. The
// zero value is empty.
type Texts struct {
	mu   sync.Mutex
	read map[string]*parsed
}

// of gives the place of a notebook's text.
func (t *Texts) of(path string) *parsed {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.read == nil {
		t.read = map[string]*parsed{}
	}
	p := t.read[path]
	if p == nil {
		p = &parsed{}
		t.read[path] = p
	}
	return p
}

// parsed is a notebook whose blocks have been read, and the notebooks it names.
type parsed struct {
	once   sync.Once
	nb     *notebook.Notebook
	err    error
	blocks []*lang.Block
	faults diag.List
	uses   []string
	picks  func() []string // names that its text may pick from those notebooks; only a reader's page asks
}

type future struct {
	once  sync.Once
	page  *Page
	names map[string]value.Value
}

// New makes an Evaluator.
func New(source Source, options Options) *Evaluator {
	if options.Limits == (Limits{}) {
		options.Limits = UsualLimits
	}
	if options.Texts == nil {
		options.Texts = &Texts{}
	}
	ev := &Evaluator{source: source, options: options, done: map[need]*future{}, draws: map[int]*value.Axis{},
		plan: &plan{changed: make(chan struct{})}}
	ev.whole = sync.OnceValue(ev.listWhole)
	return ev
}

// Page evaluates a notebook, in a hurry only what the page shown needs of it. It never gives nil; a notebook that can't be
// read gives a page with that fault.
func (ev *Evaluator) Page(ctx context.Context, path string) *Page {
	n := need{path: path}
	if shown := ev.options.Shown; ev.options.Hurry > 0 && path != shown {
		n = ev.needs(need{path: shown}, path)
	}
	page, _ := ev.evaluate(ctx, n)
	return page
}

func (ev *Evaluator) evaluate(ctx context.Context, n need) (*Page, map[string]value.Value) {
	ev.mu.Lock()
	f := ev.done[n]
	if f == nil {
		f = &future{}
		ev.done[n] = f
	}
	ev.mu.Unlock()
	f.once.Do(func() { f.page, f.names = ev.run(ctx, n) })
	return f.page, f.names
}

func (ev *Evaluator) parse(path string) *parsed {
	p := ev.options.Texts.of(path)
	p.once.Do(func() {
		if p.nb, p.err = ev.source.Notebook(path); p.err != nil {
			return
		}
		p.picks = sync.OnceValue(func() []string { return picks(string(p.nb.Source)) })
		for _, b := range p.nb.Blocks {
			block, faults := lang.Parse(b.Snippet)
			p.blocks = append(p.blocks, block)
			p.faults = append(p.faults, faults...)
			if block == nil {
				continue
			}
			for _, parts := range block.Parts {
				for _, target := range used(parts) {
					if !slices.Contains(p.uses, target) {
						p.uses = append(p.uses, target)
					}
				}
			}
		}
	})
	return p
}

func (ev *Evaluator) run(ctx context.Context, n need) (*Page, map[string]value.Value) {
	path := n.path
	defer ev.plan.finish(path)
	p := ev.parse(path)
	if p.err != nil {
		return &Page{Faults: diag.List{{File: path + ".md", Message: p.err.Error()}}}, nil
	}
	o := ev.options
	s := &scope{
		ev: ev, ctx: ctx, nb: p.nb, page: &Page{}, circle: ev.circle(path), need: n, uses: map[string]bool{}, files: map[string]bool{},
		names:  names{entries: map[string]*entry{}, refused: map[string]bool{}},
		naming: naming{file: p.nb.Path, ordinals: map[string]int{}},
		budget: budget{limits: o.Limits},
	}
	var only map[ast.Stmt]bool // the statements that are run; nil is all of them
	switch {
	case len(p.faults) > 0:
	case n.by != "":
		only = excerpt(p.blocks, ev.picked(n.by, p.nb))
	case o.Hurry > 0 && o.Seen != nil && o.Shown == path:
		only = s.inWindow(p.blocks)
	}
	s.page.Visited = o.Yours[path].Text != "" || o.Still != nil || o.Hurry > 0
	// What it uses comes first, so that nothing is waited for later on. A page depends on the rest of it, too.
	for _, u := range p.uses {
		switch {
		case ev.circle(u) != nil:
		case only == nil || p.runs(only, u):
			page, _ := ev.evaluate(ctx, ev.needs(n, u))
			s.page.Visited = s.page.Visited || page.Visited
		default:
			ev.reach(u, s.uses)
		}
	}
	s.page.Faults = append(s.page.Faults, p.nb.Faults...)
	if !p.nb.Cut {
		s.page.Faults = append(s.page.Faults, p.faults...)
	}
	// After a syntax fault later names can't be trusted: their mistakes would only repeat it.
	if len(p.faults) == 0 && !p.nb.Cut {
		s.offers(p.blocks)
		for i, b := range p.blocks {
			s.block(b, i, only)
		}
		if n.by == "" {
			s.finish()
		} else if ev.options.Hurry > 0 {
			s.lookOver()
		}
	}
	values := s.kept()
	s.page.Faults.Sort()
	s.page.Doubts.Sort()
	s.page.Uses = slices.Sorted(maps.Keys(s.uses))
	s.page.Files = slices.Sorted(maps.Keys(s.files))
	return s.page, values
}

// kept are the names that other notebooks may pick from; none where the plan knows that no other does.
func (s *scope) kept() map[string]value.Value {
	values := map[string]value.Value{}
	if s.ev.plan.place != nil && !s.ev.plan.used[s.nb.Path] {
		return values
	}
	held := 0
	for _, name := range slices.Sorted(maps.Keys(s.names.entries)) {
		v := s.names.entries[name].value
		values[name] = v
		held += value.Numbers(v)
	}
	if s.ev.plan.place != nil && held > 0 {
		s.text = s.names.lastIn
		s.take(s.names.last, amounts{Kept: held})
	}
	return values
}

// drawsAxis is the one axis of uncertainty of everything that has as many draws.
func (ev *Evaluator) drawsAxis(n int) *value.Axis {
	ev.mu.Lock()
	defer ev.mu.Unlock()
	a := ev.draws[n]
	if a == nil {
		a = &value.Axis{Kind: value.Draws, Name: "draws", Length: n, Seq: n}
		ev.draws[n] = a
	}
	return a
}

// scope is the state of one notebook's evaluation.
type scope struct {
	ev     *Evaluator
	ctx    context.Context
	nb     *notebook.Notebook
	page   *Page
	text   *lang.Text // of the block or number at hand
	circle []string   // the way back to this notebook through use, if there is one
	need   need
	window *window // what is worked out of the text; nil is all of it
	uses   map[string]bool
	files  map[string]bool
	names  names
	naming naming
	board  board
	dials  dials
	doubts doubts
	offer  offer
	budget budget
}

func (s *scope) fault(n ast.Node, hint, format string, args ...any) value.Value {
	if len(s.page.Faults) < diag.Most {
		s.page.Faults = append(s.page.Faults, s.text.Fault(n, hint, format, args...))
	}
	return value.Broken{}
}

// block runs a block's statements, only those that are listed if there is a list.
func (s *scope) block(b *lang.Block, index int, only map[ast.Stmt]bool) {
	s.page.Blocks = append(s.page.Blocks, Block{})
	s.text = b.Text
	for _, stmt := range b.Stmts {
		s.doubts.step++
		if only != nil && !only[stmt] {
			continue
		}
		before := len(s.page.Faults)
		if s.ctx.Err() != nil || s.budget.broke {
			return // later blocks would only repeat the mistake
		}
		switch stmt := stmt.(type) {
		case *ast.AssignStmt:
			s.assign(stmt)
		case *ast.ExprStmt:
			s.naming.at = ""
			s.statement(stmt.X, index)
		}
		if stmt == s.offer.last {
			s.takeYours()
		}
		s.forgive(before)
	}
}

// finish looks the vehicles over, and evaluates the texts and the numbers in prose.
func (s *scope) finish() {
	s.names.closed = true
	s.unoffered()
	s.lookOver()
	if shown := s.ev.options.Shown; shown != "" && shown != s.nb.Path {
		return
	}
	before := len(s.page.Faults)
	defer func() { s.forgive(before) }()
	s.board.write()
	s.turnFigures()
	for _, in := range s.nb.Inserts {
		if len(s.page.Faults) >= diag.Most {
			break // the page won't be shown
		}
		text, states := later, (*TextStates)(nil)
		if s.window.has(in.Snippet) {
			text, states = s.turnText(in.Snippet)
		} else {
			s.page.Later = true
		}
		s.page.Inserts = append(s.page.Inserts, figure.Text{text})
		s.page.InsertStates = append(s.page.InsertStates, states)
	}
	s.page.Title = s.words(s.nb.Front.TitleAt)
	if s.nb.Front.TitleAt.Text == "" {
		s.page.Title = figure.Text{{Text: figure.Plain(s.nb.Front.Title)}}
	}
	s.page.Summary = s.words(s.nb.Front.SummaryAt)
}
