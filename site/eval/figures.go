package eval

import (
	"go/ast"
	"go/token"
	"slices"
	"strconv"
	"strings"

	"turnplate/sim/unit"
	"turnplate/site/diag"
	"turnplate/site/figure"
	"turnplate/site/lang"
	"turnplate/site/notebook"
	"turnplate/site/value"
	"turnplate/site/vocabulary"
)

// maker builds one figure from its fields.
type maker struct {
	name   string
	kind   figure.Figure // the zero one
	fields []string
	make   func(s *scope, a *arguments) figure.Figure
}

// figures is everything a block can put on the page. Its fields stand in package vocabulary, with their words; what has
// none there can't be shown.
var figures map[string]maker

func init() {
	figures = map[string]maker{}
	for _, m := range [...]maker{
		{name: "Curves", kind: &figure.Curves{}, make: curves},
		{name: "Contours", kind: &figure.Contours{}, make: contours},
		{name: "Bars", kind: &figure.Bars{}, make: bars},
		{name: "Table", kind: &figure.Table{}, make: table},
		{name: "Card", kind: &figure.Card{}, make: card},
		{name: "Claim", kind: &figure.Claim{}, make: claim},
		{name: "Exercise", kind: &figure.Exercise{}, make: exercise},
		{name: "Drawing", kind: &figure.Drawing{}, make: drawing},
		{name: "Fitting", kind: &figure.Fitting{}, make: fitting},
		{name: "Gauges", kind: &figure.Gauges{}, make: gauges},
		{name: "Histogram", kind: &figure.Histogram{}, make: histogram},
		{name: "Outcome", kind: &figure.Table{}, make: outcome},
		{name: "Sheet", kind: &figure.Sheet{}, make: sheet},
		{name: "Zones", kind: &figure.Zones{}, make: zones},
	} {
		figures[m.name] = m
	}
	for _, f := range vocabulary.Figures {
		m, known := figures[f.Name]
		if !known {
			panic("eval: nothing makes the figure " + f.Name)
		}
		m.fields = vocabulary.Names(f.AllFields())
		figures[f.Name] = m
	}
	for name, m := range figures {
		if m.fields == nil {
			panic("eval: package vocabulary has no words for the figure " + name)
		}
	}
}

// literalName is what a literal says it is: "Curves"; "" where it says nothing, or there is none.
func literalName(lit *ast.CompositeLit) string {
	if lit == nil {
		return ""
	}
	name, _ := lit.Type.(*ast.Ident)
	if name == nil {
		return ""
	}
	return name.Name
}

// statement runs a line that isn't an assignment: something to show.
func (s *scope) statement(e ast.Expr, block int) {
	lit, _ := e.(*ast.CompositeLit)
	name := literalName(lit)
	m, ok := figures[name]
	if !ok {
		before := len(s.page.Faults)
		if v := s.expr(e); !isBroken(v) || len(s.page.Faults) == before {
			s.fault(e, "give it a name with :=, or show it with Table", "this value goes nowhere")
		}
		return
	}
	a := &arguments{lit: lit, text: s.text, block: s.nb.Blocks[block], name: name, exprs: map[string]ast.Expr{}, values: map[ast.Expr]value.Value{}}
	if !s.eachField(lit, name, m.fields, func(field string, _ ast.Node, e ast.Expr) bool {
		a.exprs[field] = e
		return true
	}) {
		return
	}
	if s.budget.broke {
		return // no figure will be shown
	}
	before := len(s.page.Faults)
	s.board.figures++
	a.head.ID = figureID(s.board.figures)
	s.page.Cautions = s.page.Cautions || cautioned[name]
	if s.outOfWindow(s.board.figures, lit) {
		s.page.Later = true
		s.show(block, lit, s.missing(m.kind, a, before))
		return
	}
	waiting := len(s.board.later)
	var f figure.Figure
	moved := s.dials.watch(func() { f = m.make(s, a) })
	if !s.take(lit, amounts{Numbers: a.numbers()}) {
		return
	}
	if f == nil || a.failed || !s.shows(lit, f) {
		if f = s.missing(m.kind, a, before); f != nil {
			s.show(block, lit, f)
		}
		return
	}
	p := &placed{block: block, index: len(s.page.Blocks[block].Figures), args: a, moved: moved, poses: len(s.dials.posed)}
	for i, text := range s.board.later[waiting:] {
		s.board.later[waiting+i] = func() { p.moved = value.Union(p.moved, s.dials.watch(text)) }
	}
	s.board.placed = append(s.board.placed, p)
	s.show(block, lit, f)
}

// figureID is that of a page's nth figure, from 1.
func figureID(n int) string { return "figure-" + strconv.Itoa(n) }

func (s *scope) show(block int, lit *ast.CompositeLit, f figure.Figure) {
	b := &s.page.Blocks[block]
	b.Figures, b.Lines = append(b.Figures, f), append(b.Lines, s.text.Line(lit))
}

// board is what stands on the page so far.
type board struct {
	figures int // asked for
	placed  []*placed
	alongs  alongs
	shared  *ast.CompositeLit // the figure that its author made the page's picture elsewhere
	later   []func()          // texts wait until every block has run: prose sees a page's final values
}

// placed is a figure that stands on the page, and what it was made from.
type placed struct {
	block, index int
	args         *arguments
	moved        []*value.Axis // the dials that it asked for, and its texts
	poses        int           // how many axes the page was posed along by then: one that comes later moves it, too
}

// write evaluates the texts that have waited.
func (b *board) write() {
	later := b.later
	b.later = nil
	for _, text := range later {
		text()
	}
}

// arguments are the fields of one figure.
type arguments struct {
	lit    *ast.CompositeLit
	text   *lang.Text
	name   string
	exprs  map[string]ast.Expr
	block  *notebook.Block
	values map[ast.Expr]value.Value // evaluated once, however many dial positions are drawn
	head   figure.Head
	failed bool
}

// numbers are the elements of all that a figure is made from, which making it looks through once more.
func (a *arguments) numbers() (n int) {
	for _, v := range a.values {
		n += value.Numbers(v)
	}
	return n
}

// headInto fills title, caption and text alternative once every block has run.
func (a *arguments) headInto(s *scope, h *figure.Head) {
	h.ID = a.head.ID
	a.textInto(s, "Title", &h.Title)
	a.textInto(s, "Caption", &h.Caption)
	a.textInto(s, "Alt", &h.Alt)
	if a.exprs["Share"] == nil || !a.yes(s, "Share") {
		return
	}
	switch h.Share = true; {
	case figures[a.name].kind.Sharing() == figure.Unshared:
		s.fault(a.exprs["Share"], "", "%s makes no picture to share", a.name)
	case s.board.shared != nil && s.board.shared != a.lit:
		s.fault(a.exprs["Share"], "", "another figure is this page's picture to share already")
	}
	s.board.shared = a.lit
}

// textInto evaluates a text field later, because a text sees a page's final values.
func (a *arguments) textInto(s *scope, field string, to *figure.Text) {
	e := a.exprs[field]
	if e == nil {
		return
	}
	snippet, ok := s.quoted(e)
	if !ok {
		a.failed = true
		return
	}
	s.board.later = append(s.board.later, func() { *to = s.words(snippet) })
}

// quoted takes a text written in quotes, with its place.
func (s *scope) quoted(e ast.Expr) (diag.Snippet, bool) {
	lit, ok := e.(*ast.BasicLit)
	if !ok || lit.Kind != token.STRING {
		s.fault(e, "", "text in quotes was expected here")
		return diag.Snippet{}, false
	}
	if snippet, ok := s.text.Sub(lit); ok {
		return snippet, true
	}
	text, ok := s.unquote(lit)
	if !ok {
		return diag.Snippet{}, false
	}
	// With escapes the columns can't be told; the text's start is near enough.
	start := s.text.Fault(lit, "", "").Pos
	snippet := diag.Snippet{File: s.text.Snippet.File, Source: s.text.Snippet.Source, Text: text}
	for range text {
		snippet.Starts = append(snippet.Starts, start)
	}
	return snippet, true
}

// need reports a missing field.
func (a *arguments) need(s *scope, fields ...string) bool {
	for _, f := range fields {
		if a.exprs[f] == nil {
			s.fault(a.lit, "", "%s needs %s", a.name, f)
			a.failed = true
		}
	}
	return !a.failed
}

// value evaluates a field; ok is false when it isn't given or is broken.
func (a *arguments) value(s *scope, field string) (value.Value, bool) {
	e := a.exprs[field]
	if e == nil {
		return nil, false
	}
	v, known := a.values[e]
	if !known {
		v = s.expr(e)
		a.values[e] = v
	}
	if isBroken(v) {
		a.failed = true
		return nil, false
	}
	return v, true
}

func (a *arguments) number(s *scope, field string) (*value.Array, bool) {
	v, ok := a.value(s, field)
	if !ok {
		return nil, false
	}
	n, ok := s.number(a.exprs[field], v)
	a.failed = a.failed || !ok
	return n, ok
}

// yes evaluates a field that is yes or no; left out it is no.
func (a *arguments) yes(s *scope, field string) bool {
	v, ok := a.value(s, field)
	if !ok {
		return false
	}
	x, ok := v.(*value.Array)
	if !ok || x.Kind != value.Truth || len(x.Axes) > 0 {
		s.fault(a.exprs[field], "write true or false", "one yes or no was expected here; this is %s", value.Describe(v))
		a.failed = true
		return false
	}
	return x.Num[0] == 1
}

// axis evaluates a field that names an axis.
func (a *arguments) axis(s *scope, field string) *value.Axis {
	v, ok := a.value(s, field)
	if !ok {
		return nil
	}
	axis, err := value.Only(v)
	if err != nil {
		s.fault(a.exprs[field], "", "%s", err)
		a.failed = true
		return nil
	}
	return axis
}

// unit reads a field that fixes a unit, for a quantity of the given dimension.
func (a *arguments) unit(s *scope, field string, dim unit.Dim) *unit.Unit {
	e := a.exprs[field]
	if e == nil {
		return nil
	}
	u, ok := s.unitOf(e)
	if ok && u.Dim != dim {
		s.fault(e, "", "%s is a unit of %s, but the value is %s", s.text.Source(e), u.Dim, value.Describe(value.Num(0, dim)))
		ok = false
	}
	if !ok {
		a.failed = true
		return nil
	}
	return &u
}

// refuseLeft refuses axes that no field names.
func (a *arguments) refuseLeft(s *scope, field string, v *value.Array, named ...*value.Axis) {
	for _, x := range v.Axes {
		if !value.Plotted(x) || slices.Contains(named, x) {
			continue
		}
		a.failed = true
		hint := "pick from it with .At"
		if fields := figures[a.name].kind.Axes(); len(fields) > 0 {
			hint = "name it in " + strings.Join(fields, " or ") + ", or " + hint
		}
		s.fault(a.exprs[field], hint, "%s varies over %s too, which no field of %s names", field, x.Name, a.name)
		return
	}
}

// scale is how a direction of a plot is labelled and in which units.
func (s *scope) scale(a *value.Array, fixed *unit.Unit, source string) figure.Scale {
	label := value.Humanise(a.Label)
	if label == "" {
		label = source
	}
	out := figure.Scale{Label: label, Metric: value.Display(a.Show, a.Dim, false), US: value.Display(a.Show, a.Dim, true)}
	if fixed != nil {
		out.Metric, out.US = fixed.Counterpart(false), fixed.Counterpart(true)
	}
	return out
}
