package eval

import (
	"go/ast"
	"math"
	"slices"
	"strings"
	"unicode"

	"turnplate/site/diag"
	"turnplate/site/lang"
	"turnplate/site/notebook"
)

// A reader who waits for a page sees a window's height of it. In a hurry, what they see comes first.

// outOfWindow says whether a page's nth figure is left for later because its reader doesn't see it now.
func (s *scope) outOfWindow(nth int, lit *ast.CompositeLit) bool {
	return s.window != nil && !s.seen(nth) && !poses(lit)
}

// seen tells whether a page's nth figure is in its reader's window.
func (s *scope) seen(nth int) bool { return slices.Contains(s.ev.options.Seen, figureID(nth)) }

// poses tells whether a figure poses the page. It is never left for later: the numbers in prose follow its pose.
func poses(lit *ast.CompositeLit) bool {
	return slices.ContainsFunc(lit.Elts, func(e ast.Expr) bool {
		field, ok := e.(*ast.KeyValueExpr)
		if !ok {
			return false
		}
		name, _ := field.Key.(*ast.Ident)
		return name != nil && name.Name == "Pose"
	})
}

// window is the part of a notebook's text that its reader sees, by its lines. nil is all of it.
type window struct {
	from, till int
	lead       line // which stands elsewhere on the page
}

// has tells whether a text is in it.
func (w *window) has(text diag.Snippet) bool {
	if w == nil {
		return true
	}
	at := text.At(1, 1).Line
	return w.from <= at && at <= w.till || w.lead.from <= at && at <= w.lead.till
}

// place is a figure in a notebook's text.
type place struct {
	line int
	seen bool
}

// around is the text from the figure before those that are seen to the one after them, from its beginning if the lead is
// seen, which stands above it. Where nothing is, it is all of the text.
func around(places []place, lead line) *window {
	w, top := &window{till: math.MaxInt, lead: lead}, lead != (line{})
	first := slices.IndexFunc(places, func(p place) bool { return p.seen })
	if first > 0 && !top {
		w.from = places[first-1].line
	}
	if first < 0 && !top {
		return w
	}
	last := max(first, 0)
	for i, p := range places {
		if p.seen {
			last = i + 1
		}
	}
	if last < len(places) {
		w.till = places[last].line
	}
	return w
}

// inWindow finds the window, and gives the statements that make what stands in it: figures, numbers in prose, and the
// vehicle that the page offers. The other figures are among them, to say that they come later.
func (s *scope) inWindow(blocks []*lang.Block) map[ast.Stmt]bool {
	in, read := map[ast.Stmt]bool{}, map[string]bool{s.nb.Front.Yours: true}
	reads := func(text string) {
		for _, name := range strings.FieldsFunc(text, notInName) {
			read[strings.TrimLeftFunc(name, unicode.IsDigit)] = true
		}
	}
	var places []place
	var lead line
	shown := 0
	for i, b := range blocks {
		for j, stmt := range b.Stmts {
			s.page.Cautions = s.page.Cautions || slices.ContainsFunc(b.Parts[j].Calls, warns)
			e, ok := stmt.(*ast.ExprStmt)
			if !ok {
				continue
			}
			in[stmt] = true
			lit, _ := e.X.(*ast.CompositeLit)
			if figures[literalName(lit)].make == nil {
				continue
			}
			shown++
			seen := s.seen(shown)
			if seen || poses(lit) {
				reads(b.Text.Source(lit))
			}
			if at := b.Text.Line(lit); s.nb.Blocks[i].Fold != notebook.Lead { // that stands at the page's top
				places = append(places, place{at, seen})
			} else if seen {
				lead = line{s.nb.Blocks[i].Snippet.At(1, 1).Line, b.Text.Line(ending{stmt})}
			}
		}
	}
	s.window = around(places, lead)
	for _, text := range append([]diag.Snippet{s.nb.Front.TitleAt, s.nb.Front.SummaryAt}, s.numbers()...) {
		if s.window.has(text) {
			reads(text.Text)
		}
	}
	for stmt := range excerpt(blocks, read) {
		in[stmt] = true
	}
	return in
}

// numbers are those in prose.
func (s *scope) numbers() (list []diag.Snippet) {
	for _, in := range s.nb.Inserts {
		list = append(list, in.Snippet)
	}
	return list
}

// warns says whether a literal makes the page show its cautions, wherever on it that stands.
func warns(e ast.Expr) bool {
	lit, _ := e.(*ast.CompositeLit)
	return cautioned[literalName(lit)]
}
