package eval

import (
	"go/ast"
	"go/token"
	"slices"
	"strconv"
	"strings"

	"turnplate/site/diag"
	"turnplate/site/value"
)

// use evaluates use("folder/notebook"): all top-level names of another notebook of the collection.
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
