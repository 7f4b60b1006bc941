package eval

import (
	"go/ast"
	"go/token"
	"slices"

	"turnplate/site/diag"
	"turnplate/site/figure"
	"turnplate/site/lang"
	"turnplate/site/value"
)

// offer is the vehicle of a notebook whose fields readers may replace, as its front matter's key yours names it.
type offer struct {
	writes     []line     // the statements that write it, by their lines
	last       ast.Stmt   // the last of them; nil where there is none
	block      *lang.Text // in which that stands
	from, till int        // the steps at which a reader's fields were written, if any were
	path       string     // the notebook used here that offers one, if any does
}

// line is a stretch of lines of the notebook.
type line struct{ from, till int }

// offers finds the statement after which readers' fields take their place.
func (s *scope) offers(blocks []*lang.Block) {
	name := s.nb.Front.Yours
	if name == "" {
		return
	}
	for _, b := range blocks {
		for _, stmt := range b.Stmts {
			if a, ok := stmt.(*ast.AssignStmt); ok {
				if root, _ := lang.Chain(a.Lhs[0]); root != nil && root.Name == name {
					s.offer.last, s.offer.block = stmt, b.Text
					s.offer.writes = append(s.offer.writes, line{b.Text.Line(a.Lhs[0]), b.Text.Line(ending{a})})
				}
			}
		}
	}
}

// ending is the place where a statement ends.
type ending struct{ ast.Stmt }

func (e ending) Pos() token.Pos { return e.End() }

// takeYours puts the reader's fields in the place of the vehicle's, which has just been written for the last time. What
// is derived from it comes below, and so follows.
func (s *scope) takeYours() {
	name := s.nb.Front.Yours
	e := s.names.entries[name]
	if e == nil {
		return // its statement is a mistake, which is told there
	}
	// One of its fields may be calculated from others.
	e.used = slices.DeleteFunc(e.used, func(u usage) bool {
		return slices.ContainsFunc(s.offer.writes, func(w line) bool { return w.from <= u.line && u.line <= w.till })
	})
	if len(e.used) > 0 {
		s.frontFault("write it to the end before anything reads it, or read a copy", "line %d reads %s, which is last written on line %d: readers' own values would come too late for it",
			e.used[0].line, name, s.offer.block.Line(s.offer.last))
		return
	}
	if car, ok := e.value.(*value.Record); !ok || car.Type != "Vehicle" {
		if _, broken := e.value.(value.Broken); !broken {
			s.frontFault("", "readers can put their own values in the place of a Vehicle, and %s is %s", name, value.Describe(e.value))
		}
		return
	}
	car := e.value.(*value.Record)
	s.page.Offered = &Offered{Page: car, Now: car}
	theirs, ok := s.ev.options.Yours[s.nb.Path]
	if !ok {
		return
	}
	s.page.Offered.Now = nil
	block, faults := lang.Parse(theirs)
	s.page.Faults = append(s.page.Faults, faults...)
	if block == nil || len(faults) > 0 {
		return
	}
	before := len(s.page.Faults)
	s.text = block.Text
	s.offer.from = s.doubts.step + 1
	for _, stmt := range block.Stmts {
		s.doubts.step++
		if a, ok := stmt.(*ast.AssignStmt); ok {
			s.assign(a)
		}
	}
	s.offer.till = s.doubts.step
	s.text = s.offer.block
	if len(s.page.Faults) == before {
		s.page.Offered.Now = e.value.(*value.Record)
	}
}

// forgive turns the page's mistakes, from the one at an index on, into gaps: a reader's own values caused them, because by
// itself the notebook has none, or there would be no page. Mistakes in the values themselves stay.
func (s *scope) forgive(from int) {
	if !s.page.Visited || s.budget.broke {
		return
	}
	kept := s.page.Faults[:from:from]
	for _, d := range s.page.Faults[from:] {
		if d.File == s.nb.File {
			s.page.Gaps = append(s.page.Gaps, d)
		} else {
			kept = append(kept, d)
		}
	}
	s.page.Faults = kept
}

// without tells whether what has just failed is a value that there is none of with a reader's own: why was told where it
// comes from, so there are as many mistakes as before.
func (s *scope) without(before int) bool {
	return s.page.Visited && !s.page.Later && !s.budget.broke && len(s.page.Faults) == before
}

// missing takes the place of a figure that can't be made of a reader's own values; before is the number of mistakes found
// earlier. It is nil where the mistake is the page's own.
func (s *scope) missing(kind figure.Figure, a *arguments, before int) figure.Figure {
	if !s.page.Visited || s.budget.broke {
		return nil
	}
	why := ""
	if len(s.page.Faults) > before {
		why = s.page.Faults[before].Message
	}
	later := s.page.Later && why == ""
	if _, is := kind.(*figure.Claim); is && a.exprs["Text"] != nil {
		c := &figure.Claim{Detail: why, Later: later}
		a.textInto(s, "Text", &c.Says)
		a.headInto(s, &c.Head)
		return c
	}
	m := &figure.Missing{Of: kind, Why: why, Later: later}
	a.headInto(s, &m.Head)
	return m
}

// offersOne tells of a second vehicle that readers could put their own in the place of: a page has one switch. used are
// notebooks that the page depends on.
func (s *scope) offersOne(lit ast.Expr, used []string) bool {
	for _, path := range used {
		switch nb := s.ev.parse(path).nb; {
		case nb == nil || nb.Front.Yours == "" || path == s.offer.path:
		case s.nb.Front.Yours != "":
			s.frontFault("leave it to one of them", "readers put their truck in one place on a page, and %s.md, which is used here, offers its %s", path, nb.Front.Yours)
			return false
		case s.offer.path != "":
			s.fault(lit, "leave it to one of them", "readers put their truck in one place on a page, and both %s.md and %s.md say yours in their front matter", s.offer.path, path)
			return false
		default:
			s.offer.path = path
		}
	}
	return true
}

// unoffered tells that front matter names a vehicle that isn't there.
func (s *scope) unoffered() {
	if name := s.nb.Front.Yours; name != "" && s.offer.last == nil {
		var cars []string
		for known, e := range s.names.entries {
			if car, ok := e.value.(*value.Record); ok && car.Type == "Vehicle" {
				cars = append(cars, known)
			}
		}
		slices.Sort(cars)
		s.frontFault(diag.OneOf(name, cars), "no block here gives %s a value", name)
	}
}

func (s *scope) frontFault(hint, format string, args ...any) {
	at := s.nb.Front.YoursAt
	s.page.Faults = append(s.page.Faults, at.Fault(1, 1, len(at.Text), hint, format, args...))
}

// where is what was written at a mark: the notebook's own text, or the reader's.
func (s *scope) where(m value.Mark) (file string, source []byte) {
	if theirs, ok := s.ev.options.Yours[s.nb.Path]; ok && m.Step >= s.offer.from && m.Step <= s.offer.till {
		return theirs.File, theirs.Source
	}
	return s.nb.File, s.nb.Source
}
