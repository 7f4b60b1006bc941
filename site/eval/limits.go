package eval

import (
	"context"
	"errors"
	"go/ast"
	"time"

	"turnplate/site/figure"
	"turnplate/site/value"
)

// Limits keep a stranger's notebook from taking the machine down. The size of the file and of its parts is
// bounded where it is read (notebook.MaxBytes, notebook.MaxNesting, lang.MaxBlockBytes, lang.MaxDepth), the
// size of one array where it is made (value.MaxElements); these bound the whole.
type Limits struct {
	Numbers int           // numbers that one notebook may calculate, over all its values
	Points  int           // points of one curve, rows of one table, bars of one figure
	Cells   int           // points of one map, cells of one table
	Figures int           // figures of one page
	Shown   int           // points and cells of all figures of one page, each at its start
	Time    time.Duration // for one notebook
}

// UsualLimits are what Options get when they say nothing else.
var UsualLimits = Limits{
	Numbers: 1 << 27, // 1 GB of them
	Points:  5_000,
	Cells:   100_000,
	Figures: 500,
	Shown:   2_000_000,
	Time:    2 * time.Minute,
}

var errTooLong = errors.New("this notebook took too long")

// limited gives a context that ends when a notebook's time is up.
func (l Limits) limited(ctx context.Context) (context.Context, context.CancelFunc) {
	return context.WithTimeoutCause(ctx, l.Time, errTooLong)
}

// budget is what one notebook may spend, and what it has spent.
type budget struct {
	limits  Limits
	numbers int  // calculated
	broke   bool // a limit of the whole notebook has been reported
}

// bankrupt reports, once, that a limit of the whole notebook is used up.
func (s *scope) bankrupt(n ast.Node, hint, format string, args ...any) {
	if !s.budget.broke {
		s.budget.broke = true
		s.fault(n, hint, format, args...)
	}
}

// spend counts what an expression has calculated and says, once, when a notebook has used up its share.
func (s *scope) spend(e ast.Expr, v value.Value) value.Value {
	b := &s.budget
	if b.numbers += value.Numbers(v); b.numbers <= b.limits.Numbers {
		return v
	}
	s.bankrupt(e, "fewer points or draws", "this notebook has calculated more than %d numbers by here, the most for one notebook", b.limits.Numbers)
	return value.Broken{}
}

// overtime reports, once, that a notebook's time is up.
func (s *scope) overtime(n ast.Node) bool {
	if s.ctx.Err() == nil {
		return false
	}
	if context.Cause(s.ctx) == errTooLong {
		s.bankrupt(n, "fewer points, draws or choices", "calculating this notebook took more than %s by here", s.budget.limits.Time)
	}
	return true
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

// shows counts what a new figure puts on the page, and refuses the one that is too many: each is drawn several times
// over, and written out as a file.
func (s *scope) shows(lit ast.Node, f figure.Figure) bool {
	b, limits := &s.board, s.budget.limits
	b.points += f.Marks()
	if b.figures > limits.Figures {
		s.bankrupt(lit, "spread them over several notebooks", "this would be figure number %d on the page; the most is %d", b.figures, limits.Figures)
	} else if b.points > limits.Shown {
		s.bankrupt(lit, "fewer points, or spread the figures over several notebooks", "the figures of this page show more than %d points and cells by here, the most for one page", limits.Shown)
	}
	return !s.budget.broke
}
