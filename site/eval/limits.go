package eval

import (
	"go/ast"
	"time"

	"turnplate/site/diag"
	"turnplate/site/figure"
	"turnplate/site/value"
)

// Limits keep a stranger's notebooks from taking the machine down. The size of the file and of its parts is
// bounded where it is read (notebook.MaxBytes, notebook.MaxNesting, lang.MaxBlockBytes, lang.MaxDepth), the
// size of one array where it is made (value.MaxElements); these bound the whole.
type Limits struct {
	Points  int // points of one curve, rows of one table, bars of one figure
	Cells   int // points of one map, cells of one table
	Figures int // figures of one page

	Notebook amounts // what one notebook may take
	Share    amounts // what each may take without asking what the others take
	Pool     amounts // what all may take together above their shares
}

// amounts are what notebooks take.
type amounts struct {
	Numbers int           // calculated
	Kept    int           // numbers that are kept for the notebooks which use this one
	Marks   int           // points and cells in figures, at every position of their dials
	Time    time.Duration // of the processor, to run models
}

// UsualLimits are what Options get when they say nothing else.
var UsualLimits = Limits{
	Points:  5_000,
	Cells:   100_000,
	Figures: 500,

	Notebook: amounts{Numbers: 1 << 25 /* 270 MB */, Kept: 1 << 23, Marks: 1_000_000, Time: time.Minute},
	Share:    amounts{Numbers: 1 << 20, Kept: 1 << 13, Marks: 1 << 15, Time: 2 * time.Second},
	Pool:     amounts{Numbers: 1 << 25, Kept: 1 << 23, Marks: 2_000_000, Time: time.Minute},
}

// budget is what one notebook has spent of what it may.
type budget struct {
	limits Limits
	taken  amounts
	asked  amounts // taken from the pool
	turn   bool    // the notebook takes more than its share, and has waited for its turn
	broke  bool    // a limit of the whole notebook has been reported
	said   diag.Diagnostic
}

// bankrupt reports, once, that a limit of the whole notebook is used up.
func (s *scope) bankrupt(n ast.Node, hint, format string, args ...any) bool {
	if !s.budget.broke {
		s.budget.broke = true
		s.budget.said = s.text.Fault(n, hint, format, args...)
		s.page.Faults = append(s.page.Faults, s.budget.said)
	}
	return false
}

// spend counts what an expression has calculated.
func (s *scope) spend(e ast.Expr, v value.Value) value.Value {
	if !s.take(e, amounts{Numbers: value.Numbers(v)}) {
		return value.Broken{}
	}
	return v
}

// take counts what a notebook takes at a place. It says there, once, when that is too much.
func (s *scope) take(n ast.Node, a amounts) bool {
	b := &s.budget
	b.taken = b.taken.plus(a)
	most, share := b.limits.Notebook, b.limits.Share
	switch t := b.taken; {
	case b.broke:
		return false
	case t.Numbers > most.Numbers:
		return s.bankrupt(n, "fewer points or draws", "this notebook has calculated more than %d numbers by here, the most for one notebook", most.Numbers)
	case t.Marks > most.Marks:
		return s.bankrupt(n, "fewer points, or spread the figures over several notebooks", "the figures of this page show more than %d points and cells by here, the most for one page", most.Marks)
	case t.Kept > most.Kept:
		return s.bankrupt(n, "keep less in names", "this notebook keeps more than %d numbers for the notebooks that use it", most.Kept)
	case t.Time > most.Time:
		return s.bankrupt(n, "fewer points, draws or choices", "calculating this notebook took more than %s of the processor's time by here", most.Time)
	}
	over := b.taken.less(share)
	if over == (amounts{}) {
		return true
	}
	s.wait()
	all, pool := s.ev.plan.take(over.less(b.asked)), b.limits.Pool
	b.asked = over
	const hint = "fewer points or draws here, or fewer such notebooks in one collection"
	switch {
	case all.Numbers > pool.Numbers:
		return s.bankrupt(n, hint, "the notebooks of this collection have calculated too much together by here: above %d numbers each, which are free, more than %d", share.Numbers, pool.Numbers)
	case all.Kept > pool.Kept:
		return s.bankrupt(n, hint, "the notebooks of this collection keep too much for each other by here: above %d numbers each, which are free, more than %d", share.Kept, pool.Kept)
	case all.Marks > pool.Marks:
		return s.bankrupt(n, hint, "the pages of this collection show too much together by here: above %d points and cells each, which are free, more than %d", share.Marks, pool.Marks)
	case all.Time > pool.Time:
		return s.bankrupt(n, hint, "the notebooks of this collection took too long together by here: above %s of the processor's time each, which are free, more than %s", share.Time, pool.Time)
	}
	return true
}

func (a amounts) plus(b amounts) amounts {
	return amounts{a.Numbers + b.Numbers, a.Kept + b.Kept, a.Marks + b.Marks, a.Time + b.Time}
}

// less is what is in a above b.
func (a amounts) less(b amounts) amounts {
	return amounts{max(a.Numbers-b.Numbers, 0), max(a.Kept-b.Kept, 0), max(a.Marks-b.Marks, 0), max(a.Time-b.Time, 0)}
}

// wait waits, once, for the turn of a notebook that takes more than its share.
func (s *scope) wait() {
	if !s.budget.turn {
		s.budget.turn = true
		s.ev.plan.wait(s.ctx, s.nb.Path)
	}
}

// few refuses a figure with more points along an axis than a page can show.
func (a *arguments) few(s *scope, field string, n, most int) bool {
	if n <= most {
		return true
	}
	s.fault(a.exprs[field], "", "%d points are more than a page can show; the most is %d", n, most)
	a.failed = true
	return false
}

// empty refuses a figure of a field that has no value anywhere.
func (a *arguments) empty(s *scope, field string, v *value.Array) bool {
	if v.AllAbsent() {
		s.fault(a.exprs[field], "", "there is nothing to draw: %s", v.Reason())
	}
	return v.AllAbsent()
}

// shows counts what a new figure puts on the page, and refuses the one that is too many: each is drawn several times
// over, and written out as a file.
func (s *scope) shows(lit ast.Node, f figure.Figure) bool {
	if s.board.figures > s.budget.limits.Figures {
		return s.bankrupt(lit, "spread them over several notebooks", "this would be figure number %d on the page; the most is %d", s.board.figures, s.budget.limits.Figures)
	}
	return s.take(lit, amounts{Marks: f.Marks()})
}
