package eval

import (
	"go/ast"
	"regexp"
	"slices"

	"turnplate/site/lang"
)

// A reader who waits for a page sees a window's height of it. In a hurry, what they see comes first.

// outOfWindow says whether a page's nth figure is left for later because its reader doesn't see it now. One that is posed
// never is: the numbers in prose follow its pose.
func (s *scope) outOfWindow(nth int, lit *ast.CompositeLit) bool {
	o := s.ev.options
	if o.Hurry == 0 || o.Seen == nil || o.Shown != s.nb.Path || slices.Contains(o.Seen, figureID(nth)) {
		return false
	}
	return !slices.ContainsFunc(lit.Elts, func(e ast.Expr) bool {
		field, ok := e.(*ast.KeyValueExpr)
		if !ok {
			return false
		}
		name, _ := field.Key.(*ast.Ident)
		return name != nil && name.Name == "Pose"
	})
}

// anyName finds all that may be a name in a text.
var anyName = regexp.MustCompile(`[\pL_][\pL\p{Nd}_]*`)

// inWindow gives the statements that make what a page's reader sees of it now: the figures in their window, and all numbers
// in prose, and the vehicle that it offers. The other figures are among them, to say that they come later.
func (s *scope) inWindow(blocks []*lang.Block) map[ast.Stmt]bool {
	read := map[string]bool{s.nb.Front.Yours: true}
	reads := func(text string) {
		for _, name := range anyName.FindAllString(text, -1) {
			read[name] = true
		}
	}
	reads(s.nb.Front.TitleAt.Text)
	reads(s.nb.Front.SummaryAt.Text)
	for _, in := range s.nb.Inserts {
		reads(in.Snippet.Text)
	}
	in, shown := map[ast.Stmt]bool{}, 0
	for _, b := range blocks {
		for _, stmt := range b.Stmts {
			s.page.Cautions = s.page.Cautions || warns(stmt)
			e, ok := stmt.(*ast.ExprStmt)
			if !ok {
				continue
			}
			in[stmt] = true
			lit, _ := e.X.(*ast.CompositeLit)
			if figures[literalName(lit)].make == nil {
				continue
			}
			if shown++; !s.outOfWindow(shown, lit) {
				reads(b.Text.Source(lit))
			}
		}
	}
	for stmt := range excerpt(blocks, read) {
		in[stmt] = true
	}
	return in
}

// warns says whether a statement makes the page show its cautions, wherever on it that stands.
func warns(stmt ast.Stmt) (found bool) {
	ast.Inspect(stmt, func(n ast.Node) bool {
		lit, _ := n.(*ast.CompositeLit)
		found = found || cautioned[literalName(lit)]
		return !found
	})
	return found
}
