package eval

import (
	"fmt"
	"go/ast"
	"math"

	"turnplate/sim/unit"
	"turnplate/site/figure"
	"turnplate/site/value"
)

// usualOdds is the probability with which a claim about uncertain values must hold.
const usualOdds = 0.95

// claim makes Claim{Text, Holds, Odds}. It must hold for every dial position, span point and choice; over
// draws it must hold with probability Odds. An absent combination is one where it can't be said to hold.
func claim(s *scope, a *arguments) figure.Figure {
	if !a.need(s, "Text", "Holds") {
		return nil
	}
	v, ok := a.value(s, "Holds")
	if !ok {
		return nil
	}
	holds, ok := v.(*value.Array)
	if !ok || holds.Kind != value.Truth {
		s.fault(a.exprs["Holds"], "compare two values, as in park.RimForce.Max() < 150*N", "a claim needs a yes or no; this is %s", value.Describe(v))
		return nil
	}
	odds := usualOdds
	if n, given := a.number(s, "Odds"); given {
		if len(n.Axes) > 0 || n.Dim != unit.None || !(n.Num[0] > 0 && n.Num[0] <= 1) {
			s.fault(a.exprs["Odds"], "", "a probability above 0 and up to 1 was expected here")
			return nil
		}
		odds = n.Num[0]
	}
	if a.failed {
		return nil
	}
	out := &figure.Claim{Holds: true}
	s.judge(out, holds, odds, a.exprs["Holds"])
	a.textInto(s, "Text", &out.Says)
	a.headInto(s, &out.Head)
	return out
}

func (s *scope) judge(out *figure.Claim, holds *value.Array, odds float64, e ast.Expr) {
	uncertain := value.Uncertain(holds)
	lowest := 1.0
	var axes []*value.Axis
	for _, x := range holds.Axes {
		if x.Kind != value.Draws {
			axes = append(axes, x)
		}
	}
	w, _ := value.NewWalk(axes)
	for range w.N {
		at := map[*value.Axis]int{}
		for i, x := range axes {
			at[x] = w.At[i]
		}
		held := 0
		here := value.Pick(holds, at)
		for _, x := range here.Num {
			if x == 1 {
				held++
			}
		}
		share := float64(held) / float64(len(here.Num))
		lowest = math.Min(lowest, share)
		if share < odds-1e-12 && out.Holds {
			out.Holds = false
			out.Detail = s.failure(here, at, axes, w.At, share, uncertain, odds, e)
		}
		w.Next()
	}
	switch {
	case !out.Holds || !uncertain:
	case lowest == 1:
		out.Detail = "in every draw"
	default:
		out.Detail = "in " + percentOf(lowest) + " of draws"
	}
}

// failure describes the first combination at which a claim fails.
func (s *scope) failure(here *value.Array, at map[*value.Axis]int, axes []*value.Axis, index []int, share float64, uncertain bool, odds float64, e ast.Expr) string {
	text := ""
	if len(axes) > 0 {
		text = "at " + value.Point(axes, index) + ": "
	}
	switch {
	case here.AllAbsent():
		text += "there is no value: " + here.Reason()
	case uncertain:
		text += fmt.Sprintf("it holds in %s of draws, less than the %.6g\u00a0%% asked for", percentOf(share), 100*odds)
	default:
		text += s.sides(e, at)
	}
	return text
}

// percentOf prints a share to a tenth of a percent, rounded down, so that a claim which fails in one draw never shows 100 %.
func percentOf(share float64) string {
	const rounding = 1e-9
	return value.Digits(math.Floor(1000*share+rounding)/10, 0.1) + "\u00a0%"
}

// sides prints the two sides of a failed comparison.
func (s *scope) sides(e ast.Expr, at map[*value.Axis]int) string {
	for {
		p, ok := e.(*ast.ParenExpr)
		if !ok {
			break
		}
		e = p.X
	}
	b, ok := e.(*ast.BinaryExpr)
	if !ok {
		return "it isn't so"
	}
	x, okX := s.expr(b.X).(*value.Array)
	y, okY := s.expr(b.Y).(*value.Array)
	if !okX || !okY || x.Kind != value.Number || y.Kind != value.Number {
		return "it isn't so"
	}
	u := value.Display(firstShow(x, y), x.Dim, false)
	x, y = value.Pick(x, at), value.Pick(y, at)
	return fmt.Sprintf("%s against %s", quantity(x, u, 0), quantity(y, u, 0))
}

func firstShow(x, y *value.Array) *value.Show {
	if y.Show != nil { // the level is written in the unit one thinks of
		return y.Show
	}
	return x.Show
}

// exercise makes Exercise{Ask, Answer, In, Within, Working}.
func exercise(s *scope, a *arguments) figure.Figure {
	if !a.need(s, "Ask", "Answer") {
		return nil
	}
	v, ok := a.value(s, "Answer")
	if !ok {
		return nil
	}
	answer, ok := v.(*value.Array)
	if !ok {
		s.fault(a.exprs["Answer"], "", "an answer is a number, a text or a yes or no; this is %s", value.Describe(v))
		return nil
	}
	answer = s.turned(answer)
	a.refuseLeft(s, "Answer", answer)
	if a.failed {
		return nil
	}
	if answer.AllAbsent() {
		s.fault(a.exprs["Answer"], "", "this has no value: %s", answer.Reason())
		return nil
	}
	out := &figure.Exercise{}
	u := value.Display(answer.Show, answer.Dim, false)
	if fixed := a.unit(s, "In", answer.Dim); fixed != nil {
		u = *fixed
	}
	step := 0.0
	if within, given := a.number(s, "Within"); given {
		if within.Dim != answer.Dim || len(within.Axes) > 0 || !(within.Num[0] > 0) {
			s.fault(a.exprs["Within"], "", "how close an answer must be is %s above zero; this is %s", value.WithArticle(answer.Dim.String()), value.Describe(within))
			return nil
		}
		out.Within = figure.Text{s.span(within, u, 0)}
		step = math.Pow10(int(math.Floor(math.Log10(within.Num[0]/u.SI) + 1e-9)))
	}
	if answer.Kind == value.Number {
		out.Answer = figure.Text{s.span(answer, u, step)}
	} else {
		out.Answer = figure.Text{{Text: figure.Plain(printPlain(answer)), Value: true}}
	}
	a.textInto(s, "Ask", &out.Ask)
	a.textInto(s, "Working", &out.Working)
	a.headInto(s, &out.Head)
	return out
}
