package eval

import (
	"context"
	"fmt"
	"go/ast"
	"go/token"
	"slices"
	"sort"
	"strconv"
	"strings"
	"sync"

	"turnplate/sim"
	"turnplate/site/diag"
	"turnplate/site/figure"
	"turnplate/site/lang"
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
	Workers int    // models run on this many goroutines; GOMAXPROCS when 0
	Cache   *Cache // of model runs, shared with other Evaluators; nil: none
}

// Evaluator evaluates the notebooks of one collection. Each is evaluated once, however many use it.
type Evaluator struct {
	source  Source
	options Options
	mu      sync.Mutex
	parsed  map[string]*parsed
	done    map[string]*future
	draws   map[int]*value.Axis
}

// parsed is a notebook whose blocks have been read, and the notebooks it names.
type parsed struct {
	once   sync.Once
	nb     *notebook.Notebook
	err    error
	blocks []*lang.Block
	faults diag.List
	uses   []string
}

type future struct {
	once  sync.Once
	page  *Page
	names map[string]value.Value
}

// New makes an Evaluator.
func New(source Source, options Options) *Evaluator {
	return &Evaluator{source: source, options: options, parsed: map[string]*parsed{}, done: map[string]*future{}, draws: map[int]*value.Axis{}}
}

// Page evaluates a notebook. It never gives nil; a notebook that can't be read gives a page with that fault.
func (ev *Evaluator) Page(ctx context.Context, path string) *Page {
	page, _ := ev.evaluate(ctx, path)
	return page
}

func (ev *Evaluator) evaluate(ctx context.Context, path string) (*Page, map[string]value.Value) {
	ev.mu.Lock()
	f := ev.done[path]
	if f == nil {
		f = &future{}
		ev.done[path] = f
	}
	ev.mu.Unlock()
	f.once.Do(func() { f.page, f.names = ev.run(ctx, path) })
	return f.page, f.names
}

func (ev *Evaluator) parse(path string) *parsed {
	ev.mu.Lock()
	p := ev.parsed[path]
	if p == nil {
		p = &parsed{}
		ev.parsed[path] = p
	}
	ev.mu.Unlock()
	p.once.Do(func() {
		if p.nb, p.err = ev.source.Notebook(path); p.err != nil {
			return
		}
		for _, b := range p.nb.Blocks {
			block, faults := lang.Parse(b.Snippet)
			p.blocks = append(p.blocks, block)
			p.faults = append(p.faults, faults...)
			if block == nil {
				continue
			}
			for _, s := range block.Stmts {
				ast.Inspect(s, func(n ast.Node) bool {
					if lit := useCall(n); lit != nil {
						if target, err := strconv.Unquote(lit.Value); err == nil && !slices.Contains(p.uses, target) {
							p.uses = append(p.uses, target)
						}
					}
					return true
				})
			}
		}
	})
	return p
}

// useCall gives the text in use("…").
func useCall(n ast.Node) *ast.BasicLit {
	call, ok := n.(*ast.CallExpr)
	if !ok || len(call.Args) != 1 {
		return nil
	}
	if name, ok := call.Fun.(*ast.Ident); !ok || name.Name != "use" {
		return nil
	}
	if lit, ok := call.Args[0].(*ast.BasicLit); ok && lit.Kind == token.STRING {
		return lit
	}
	return nil
}

// cycle finds a way from a notebook back to itself through use, by the text alone, so that evaluation
// never has to wait for itself.
func (ev *Evaluator) cycle(from string) []string {
	var walk func(path string, trail []string) []string
	seen := map[string]bool{}
	walk = func(path string, trail []string) []string {
		if path == from && len(trail) > 0 {
			return append(trail, path)
		}
		if seen[path] {
			return nil
		}
		seen[path] = true
		p := ev.parse(path)
		for _, next := range p.uses {
			if found := walk(next, append(slices.Clone(trail), path)); found != nil {
				return found
			}
		}
		return nil
	}
	return walk(from, nil)
}

func (ev *Evaluator) run(ctx context.Context, path string) (*Page, map[string]value.Value) {
	p := ev.parse(path)
	if p.err != nil {
		return &Page{Faults: diag.List{{File: path + ".md", Message: p.err.Error()}}}, nil
	}
	s := &scope{ev: ev, ctx: ctx, nb: p.nb, names: map[string]*entry{}, page: &Page{}, ordinals: map[string]int{}, cycle: ev.cycle(path)}
	s.page.Faults = append(s.page.Faults, p.nb.Faults...)
	if !p.nb.Cut {
		s.page.Faults = append(s.page.Faults, p.faults...)
	}
	// With a syntax fault the later names can't be trusted: what follows would only echo it.
	if len(p.faults) == 0 && !p.nb.Cut {
		for i, b := range p.blocks {
			s.block(b, i)
		}
		s.finish()
	}
	s.page.Faults.Sort()
	sort.Strings(s.page.Uses)
	sort.Strings(s.page.Files)
	names := map[string]value.Value{}
	for name, e := range s.names {
		names[name] = e.value
	}
	return s.page, names
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
	ev       *Evaluator
	ctx      context.Context
	nb       *notebook.Notebook
	text     *lang.Text // of the block or number at hand
	names    map[string]*entry
	page     *Page
	naming   string // what the value at hand will be called: "tall.Tyre.Mass"
	ordinals map[string]int
	axes     int
	cycle    []string
	later    []func() // texts wait until every block has run: prose sees a page's final values
	prose    bool     // blocks are over: reading no longer counts as use
	figures  int
	placed   []placed
	dials    []*value.Axis       // of the page, in the order in which they were met
	dialAt   map[*value.Axis]int // the state being built; a dial that isn't here stands at its start
	seen     []*value.Axis       // dials that the value at hand depends on
}

// placed is a figure that stands on the page, and what it was made from.
type placed struct {
	block, index int
	args         *arguments
}

type entry struct {
	value value.Value
	line  int
	used  []usage
}

type usage struct {
	path string // fields below the name, "" for the whole
	line int
}

func (s *scope) fault(n ast.Node, hint, format string, args ...any) value.Value {
	s.page.Faults = append(s.page.Faults, s.text.Fault(n, hint, format, args...))
	return value.Broken{}
}

func (s *scope) block(b *lang.Block, index int) {
	s.page.Blocks = append(s.page.Blocks, Block{})
	s.text = b.Text
	for _, stmt := range b.Stmts {
		if s.ctx.Err() != nil {
			return
		}
		switch stmt := stmt.(type) {
		case *ast.AssignStmt:
			s.assign(stmt)
		case *ast.ExprStmt:
			s.naming = ""
			s.statement(stmt.X, index)
		}
	}
}

// finish evaluates the texts and the numbers in prose.
func (s *scope) finish() {
	s.prose = true
	for _, f := range s.later {
		f()
	}
	s.later = nil
	s.turnFigures()
	for _, in := range s.nb.Inserts {
		text, states := s.turnText(in.Snippet)
		s.page.Inserts = append(s.page.Inserts, figure.Text{text})
		s.page.InsertStates = append(s.page.InsertStates, states)
	}
	s.page.Title = s.words(s.nb.Front.TitleAt)
	if s.nb.Front.TitleAt.Text == "" {
		s.page.Title = figure.Text{{Text: s.nb.Front.Title}}
	}
	s.page.Summary = s.words(s.nb.Front.SummaryAt)
}

func (s *scope) assign(stmt *ast.AssignStmt) {
	lhs := stmt.Lhs[0]
	root, path := chain(lhs)
	s.naming = strings.Join(append([]string{root.Name}, path...), ".")
	// The right side first: it may read what the left side will replace.
	v := s.expr(stmt.Rhs[0])
	if len(path) == 0 {
		s.setName(stmt, root, v)
		return
	}
	e := s.names[root.Name]
	if e == nil {
		s.fault(root, diag.DidYouMean(root.Name, s.known()), "%s isn't known here", root.Name)
		return
	}
	if s.alreadyUsed(lhs, root.Name, strings.Join(path, "."), e) {
		return
	}
	if _, broken := v.(value.Broken); broken {
		return
	}
	if changed := s.setField(lhs.(*ast.SelectorExpr), e.value, path, v); changed != nil {
		e.value = changed
	}
}

func (s *scope) setName(stmt *ast.AssignStmt, name *ast.Ident, v value.Value) {
	e := s.names[name.Name]
	switch {
	case reserved(name.Name):
		s.fault(name, "choose another name", "%s is %s", name.Name, s.reservedAs(name.Name))
		return
	case stmt.Tok == token.DEFINE && e != nil:
		s.fault(name, "use = to change it before it is used, or another name", "%s already has a value, from line %d", name.Name, e.line)
		return
	case stmt.Tok == token.ASSIGN && e == nil:
		s.fault(name, "use := for a new name", "%s has no value yet", name.Name)
		return
	case e != nil && s.alreadyUsed(name, name.Name, "", e):
		return
	}
	if a, ok := v.(*value.Array); ok {
		// The first name sticks; a copy of park.RimForce is still the rim force.
		if a.Label == "" {
			v = a.Named(name.Name, nil)
		} else {
			v = a.Named("", nil)
		}
	}
	s.names[name.Name] = &entry{value: v, line: s.text.Line(name)}
}

// alreadyUsed refuses a change to what something has used: a page has one value for a name.
func (s *scope) alreadyUsed(n ast.Node, name, path string, e *entry) bool {
	for _, u := range e.used {
		if u.path == "" || path == "" || u.path == path || strings.HasPrefix(u.path, path+".") || strings.HasPrefix(path, u.path+".") {
			full := name
			if path != "" {
				full += "." + path
			}
			s.fault(n, "set it before that line, or copy it to a new name and change the copy",
				"%s can't change here: it was used on line %d, and a page has one value for a name", full, u.line)
			return true
		}
	}
	return false
}

// chain takes a.b.c apart.
func chain(e ast.Expr) (*ast.Ident, []string) {
	var path []string
	for {
		switch x := e.(type) {
		case *ast.SelectorExpr:
			path = append([]string{x.Sel.Name}, path...)
			e = x.X
		case *ast.Ident:
			return x, path
		default:
			return nil, path
		}
	}
}

// setField gives a copy of v with one field changed, or nil after a fault.
func (s *scope) setField(at *ast.SelectorExpr, v value.Value, path []string, to value.Value) value.Value {
	r, ok := v.(*value.Record)
	sch := recordSchema(r, ok)
	if sch == nil {
		if _, broken := v.(value.Broken); !broken {
			s.fault(at.Sel, "", "%s has no fields that can be set", value.Describe(v))
		}
		return nil
	}
	f := sch.byName[path[0]]
	if f == nil {
		s.fault(at.Sel, diag.DidYouMean(path[0], sch.names()), "%s has no field %s", sch.name, path[0])
		return nil
	}
	out := &value.Record{Type: r.Type, Choice: r.Choice, Fields: make(map[string]value.Value, len(r.Fields)+1)}
	for name, old := range r.Fields {
		out.Fields[name] = old
	}
	if len(path) == 1 {
		fitted, err := conform(f, to)
		if err != nil {
			s.fault(at, unitHint(f, to), "%s", err)
			return nil
		}
		out.Fields[f.Name] = fitted
		return out
	}
	inner := r.Fields[f.Name]
	if inner == nil {
		inner = fill(r, f.Name)
	}
	if inner == nil && base(f.Type) == pointType {
		s.fault(at.Sel, "set the whole point with at(x, y, z)", "%s isn't given, so one of its coordinates can't be changed", f.Name)
		return nil
	}
	if inner == nil {
		s.fault(at.Sel, "", "%s isn't given", f.Name)
		return nil
	}
	if base(f.Type) == pointType || base(f.Type) == sidesType {
		changed := s.setComponent(at, f, inner.(*value.Record), path[1:], to)
		if changed == nil {
			return nil
		}
		out.Fields[f.Name] = changed
		return out
	}
	changed := s.setField(at, inner, path[1:], to)
	if changed == nil {
		return nil
	}
	out.Fields[f.Name] = changed
	return out
}

// setComponent changes X, Y or Z of a point, or one of a pair of sides, whose dimension is the field's.
func (s *scope) setComponent(at *ast.SelectorExpr, f *sim.Field, r *value.Record, path []string, to value.Value) value.Value {
	old, ok := r.Fields[path[0]].(*value.Array)
	if !ok || len(path) > 1 {
		s.fault(at.Sel, "", "%s has no field %s", r.Type, strings.Join(path, "."))
		return nil
	}
	a, ok := to.(*value.Array)
	if !ok || a.Kind != value.Number || a.Dim != old.Dim {
		s.fault(at, "", "%s.%s takes %s; this is %s", f.Name, path[0], value.Describe(old), value.Describe(to))
		return nil
	}
	out := &value.Record{Type: r.Type, Fields: map[string]value.Value{}}
	for name, c := range r.Fields {
		out.Fields[name] = c
	}
	out.Fields[path[0]] = a
	return out
}

func recordSchema(r *value.Record, ok bool) *schema {
	if !ok {
		return nil
	}
	return literals()[r.Type]
}

func (s *scope) use(call *ast.CallExpr) value.Value {
	lit := useCall(call)
	if lit == nil {
		return s.fault(call, "", `use takes one notebook's path in quotes, such as use("vehicles/corrie")`)
	}
	path, _ := strconv.Unquote(lit.Value)
	if strings.HasSuffix(path, ".md") {
		return s.fault(lit, "", "leave out the .md: use(%q)", strings.TrimSuffix(path, ".md"))
	}
	if strings.HasPrefix(path, "/") || slices.Contains(strings.Split(path, "/"), "..") || strings.Contains(path, "\\") {
		return s.fault(lit, "", "%q is outside the collection; a notebook can use only its own collection's, by the path from its root", path)
	}
	if len(s.cycle) > 1 && s.cycle[1] == path {
		return s.fault(lit, "", "notebooks can't use each other in a circle: %s", strings.Join(s.cycle, " → "))
	}
	p := s.ev.parse(path)
	if p.err != nil {
		return s.fault(lit, diag.DidYouMean(path, s.ev.source.Paths()), "there is no notebook %s.md in this collection", path)
	}
	if c := s.ev.cycle(path); c != nil {
		return s.fault(lit, "", "%s uses itself: %s", path, strings.Join(c, " → "))
	}
	page, names := s.ev.evaluate(s.ctx, path)
	for _, u := range append([]string{path}, page.Uses...) {
		if !slices.Contains(s.page.Uses, u) {
			s.page.Uses = append(s.page.Uses, u)
		}
	}
	for _, f := range page.Files {
		if !slices.Contains(s.page.Files, f) {
			s.page.Files = append(s.page.Files, f)
		}
	}
	if len(page.Faults) > 0 {
		return s.fault(lit, "", "%s.md has mistakes of its own, the first on line %d", path, page.Faults[0].Pos.Line)
	}
	return &value.Record{Type: "notebook " + path, Fields: names}
}

// newAxis makes an axis named after what the value at hand is assigned to.
func (s *scope) newAxis(kind value.AxisKind, length int) *value.Axis {
	s.axes++
	name := s.naming
	if i := strings.LastIndexByte(name, '.'); i >= 0 {
		name = name[i+1:]
	}
	if name == "" {
		name = fmt.Sprintf("axis %d", s.axes)
	}
	return &value.Axis{Kind: kind, Name: name, File: s.nb.Path, Seq: s.axes, Length: length}
}
