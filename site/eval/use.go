package eval

import (
	"go/ast"
	"go/token"
	"slices"
	"strconv"
	"strings"

	"turnplate/site/diag"
	"turnplate/site/lang"
	"turnplate/site/value"
)

// used lists the notebooks that a statement uses.
func used(parts lang.Parts) (paths []string) {
	for _, e := range parts.Calls {
		if lit := useCall(e); lit != nil {
			if path, err := strconv.Unquote(lit.Value); err == nil {
				paths = append(paths, path)
			}
		}
	}
	return paths
}

// runs tells whether one of some statements uses a notebook.
func (p *parsed) runs(stmts map[ast.Stmt]bool, path string) bool {
	for _, b := range p.blocks {
		for i, stmt := range b.Stmts {
			if stmts[stmt] && slices.Contains(used(b.Parts[i]), path) {
				return true
			}
		}
	}
	return false
}

// use evaluates use("folder/notebook"): all top-level names of another notebook of the collection.
func (s *scope) use(call *ast.CallExpr) value.Value {
	lit := useCall(call)
	if lit == nil {
		return s.fault(call, "", `use takes one notebook's path in quotes, such as use("vehicles/corrie")`)
	}
	if s.names.closed {
		return s.fault(call, "give what it brings a name there", "use stands in a block, not in a number in prose")
	}
	path, _ := strconv.Unquote(lit.Value)
	if strings.HasSuffix(path, ".md") {
		return s.fault(lit, "", "leave out the .md: use(%q)", strings.TrimSuffix(path, ".md"))
	}
	if strings.HasPrefix(path, "/") || slices.Contains(strings.Split(path, "/"), "..") || strings.Contains(path, "\\") {
		return s.fault(lit, "", "%q is outside the collection; a notebook can use only its own collection's, by the path from its root", path)
	}
	if len(s.circle) > 1 && s.circle[1] == path {
		return s.fault(lit, "", "notebooks can't use each other in a circle: %s", strings.Join(s.circle, " → "))
	}
	p := s.ev.parse(path)
	if p.err != nil {
		return s.fault(lit, diag.DidYouMean(path, s.ev.source.Paths()), "there is no notebook %s.md in this collection", path)
	}
	if c := s.ev.circle(path); c != nil {
		return s.fault(lit, "", "%s uses itself: %s", path, strings.Join(c, " → "))
	}
	page, names := s.ev.evaluate(s.ctx, s.ev.needs(s.need, path))
	s.uses[path] = true
	s.page.Later = s.page.Later || page.Later
	if !s.offersOne(lit, append([]string{path}, page.Uses...)) {
		return value.Broken{}
	}
	for _, u := range page.Uses {
		s.uses[u] = true
	}
	for _, f := range page.Files {
		s.files[f] = true
	}
	if len(page.Faults) > 0 {
		first := page.Faults[0]
		if first.File != path+".md" { // in a file of readings
			return s.fault(lit, "", "%s.md has mistakes of its own, the first in %s on line %d", path, first.File, first.Pos.Line)
		}
		return s.fault(lit, "", "%s.md has mistakes of its own, the first on line %d", path, first.Pos.Line)
	}
	return &value.Notebook{Of: path, By: names}
}

// useCall gives the text in use("…").
func useCall(e ast.Expr) *ast.BasicLit {
	call, ok := e.(*ast.CallExpr)
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
