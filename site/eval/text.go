package eval

import (
	"cmp"
	"fmt"
	"go/ast"
	"go/token"
	"math"
	"strconv"

	"turnplate/sim/unit"
	"turnplate/site/diag"
	"turnplate/site/figure"
	"turnplate/site/lang"
	"turnplate/site/notebook"
	"turnplate/site/value"
)

// words evaluates a text with numbers in it.
func (s *scope) words(snippet diag.Snippet) figure.Text {
	var out figure.Text
	for _, p := range notebook.Parts(snippet) {
		if p.Insert && !s.window.has(p.Snippet) {
			out = append(out, later)
		} else if p.Insert {
			out = append(out, s.insert(p.Snippet))
		} else {
			out = append(out, figure.Span{Text: figure.Plain(p.Text)})
		}
	}
	return out
}

// later takes the place of a number that is yet to be worked out.
var later = figure.Span{Text: figure.Plain("…"), Value: true}

// insert evaluates a number in prose. With a reader's own values it may have none.
func (s *scope) insert(snippet diag.Snippet) figure.Span {
	span := s.inserted(snippet)
	if s.page.Visited && span.Text == (figure.Words{}) {
		span.Text = figure.Plain("–")
		if s.page.Later {
			span.Text = later.Text
		}
	}
	return span
}

func (s *scope) inserted(snippet diag.Snippet) figure.Span {
	if s.budget.broke {
		return figure.Span{Value: true}
	}
	ins, faults := lang.ParseInsert(snippet)
	if len(faults) > 0 {
		if len(s.page.Faults) < diag.Most {
			s.page.Faults = append(s.page.Faults, faults...)
		}
		return figure.Span{Value: true}
	}
	outer := s.text
	s.text = ins.Text
	defer func() { s.text = outer }()
	v := s.expr(ins.Value)
	if isBroken(v) || !s.take(ins.Value, amounts{Marks: 1}) {
		return figure.Span{Value: true}
	}
	a, ok := v.(*value.Array)
	if !ok {
		s.fault(ins.Value, "pick one of its fields", "%s can't be printed", value.Describe(v))
		return figure.Span{Value: true}
	}
	a = s.followed(a)
	if left := leftover(a); len(left) > 0 {
		s.fault(ins.Value, pickHint(left), "this varies over %s, and prose has room for one value", value.Names(left))
		return figure.Span{Value: true}
	}
	if a.AllAbsent() {
		s.fault(ins.Value, "", "this has no value: %s", a.Reason())
		return figure.Span{Text: figure.Plain("–"), Value: true}
	}
	if a.Kind != value.Number {
		if ins.In != nil {
			s.fault(ins.In, "", "%s has no unit", value.Describe(a))
		}
		text := printPlain(a)
		if !s.take(ins.Value, amounts{Marks: figure.LongText(text)}) {
			text = ""
		}
		return figure.Span{Text: figure.Plain(text), Value: true}
	}
	u, to, ok := s.printing(ins, a)
	if !ok {
		return figure.Span{Value: true}
	}
	return s.span(a, u, to)
}

// span prints a value for both kinds of readers.
func (s *scope) span(a *value.Array, u unit.Unit, to float64) figure.Span {
	metric, us := u.Counterpart(false), u.Counterpart(true)
	in := func(own unit.Unit) string { return quantity(a, own, converted(to, u, own)) }
	return figure.Span{Text: figure.Either(in(metric), in(us)), Value: true}
}

// converted gives a rounding step in another unit: the power of ten next below the same size.
func converted(to float64, from, into unit.Unit) float64 {
	if to == 0 || from == into {
		return to
	}
	return math.Pow10(int(math.Floor(math.Log10(to*from.SI/into.SI) + 1e-9)))
}

// printing reads the `in` and `to` of a number in prose.
func (s *scope) printing(ins *lang.Insert, a *value.Array) (u unit.Unit, to float64, ok bool) {
	u.SI = 1
	if ins.In == nil && a.Dim != unit.None {
		s.fault(ins.Value, "write {… in "+value.Display(a.Show, a.Dim, false).Name+"}", "say in which unit to print this %s", a.Dim)
		return u, 0, false
	}
	if ins.In != nil {
		if u, ok = s.unitOf(ins.In); !ok {
			return u, 0, false
		}
		if u.Dim != a.Dim {
			s.fault(ins.In, "", "%s is a unit of %s, but the value is %s", s.text.Source(ins.In), u.Dim, value.Describe(a))
			return u, 0, false
		}
	}
	if ins.To != nil {
		if to, ok = positive(ins.To); !ok {
			s.fault(ins.To, "", "a rounding step such as 0.1 was expected here")
			return u, 0, false
		}
	}
	return u, to, true
}

// positive reads a written positive number.
func positive(e ast.Expr) (float64, bool) {
	lit, ok := e.(*ast.BasicLit)
	if !ok || lit.Kind != token.INT && lit.Kind != token.FLOAT {
		return 0, false
	}
	x, err := strconv.ParseFloat(lit.Value, 64)
	return x, err == nil && x >= 1e-12 && x < 1e12
}

// turned fixes the dials of a value at the position being shown, and notes which dials those are.
func (s *scope) turned(a *value.Array) *value.Array {
	at := map[*value.Axis]int{}
	for _, x := range a.Axes {
		if x.Kind == value.Dial {
			at[x] = s.dials.position(x)
		}
	}
	return value.Pick(a, at)
}

// followed fixes the axes along which the page is posed as well, for what follows a pose.
func (s *scope) followed(a *value.Array) *value.Array {
	at := map[*value.Axis]int{}
	for _, x := range a.Axes {
		if _, posed := s.dials.posed[x]; posed || x.Kind == value.Dial {
			at[x] = s.dials.position(x)
		}
	}
	return value.Pick(a, at)
}

// leftover lists the axes that a reader would have to choose from.
func leftover(a *value.Array) []*value.Axis {
	var left []*value.Axis
	for _, x := range a.Axes {
		if value.Plotted(x) {
			left = append(left, x)
		}
	}
	return left
}

func pickHint(left []*value.Axis) string {
	example := left[0].LabelAt(0)
	if len(left[0].Labels) > 0 {
		example = strconv.Quote(example)
	} else if len(left[0].Coord) > 0 {
		u := left[0].ShowUnit(false)
		example = value.Digits(left[0].Coord[0]/u.SI, 0)
		if u.Name != "" {
			example += "*" + u.Name
		}
	}
	return fmt.Sprintf("pick from it with .At(%s, %s), .Min(), .Max() or .Mean()", left[0].Name, example)
}

func printPlain(a *value.Array) string {
	if a.Kind == value.Words {
		return a.Words[0]
	}
	switch x := value.Average(a.Num); {
	case x == 1:
		return "yes"
	case x == 0:
		return "no"
	default:
		return "yes in " + value.Digits(100*x, 1) + "\u00a0% of draws"
	}
}

// quantity prints a value whose only axis may be draws: "4.1 ± 0.3°", "a to b" when lopsided.
func quantity(a *value.Array, u unit.Unit, to float64) string {
	if len(a.Axes) == 0 {
		return value.Print(a.Num[0], u, to)
	}
	mean, low, high := value.Spread95(a)
	text := u.Text(interval(mean/u.SI, low/u.SI, high/u.SI, to))
	if absent := a.AbsentCount(); absent > 0 {
		text += fmt.Sprintf(" (in %s\u00a0%% of draws)", value.Digits(100*float64(len(a.Num)-absent)/float64(len(a.Num)), 1))
	}
	return text
}

// interval prints a mean with half its 95 % interval.
func interval(mean, low, high, to float64) string {
	half := (high - low) / 2
	// Draws of a value that doesn't really vary differ by rounding error alone.
	const lastBits = 1e-9
	if half <= lastBits*math.Abs(mean) {
		return value.Digits(mean, to)
	}
	asked := to
	if to == 0 {
		to = resolution(half)
	}
	const lopsided = 1.25
	up, down := high-mean, mean-low
	if up > lopsided*down || down > lopsided*up {
		if asked == 0 { // two figures: an end has no ± beside it to say how rough it is
			to = math.Pow10(int(math.Floor(math.Log10(half))) - 1)
		}
		return value.Digits(low, to) + " to " + value.Digits(high, to)
	}
	if math.Round(half/to) == 0 {
		return value.Digits(mean, to)
	}
	return value.Digits(mean, to) + "\u00a0±\u00a0" + value.Digits(half, to)
}

// resolution is the decimal step that shows an uncertainty with one figure, or two when the first is a 1
// (GUM 7.2.6 allows two at most).
func resolution(half float64) float64 {
	step := math.Pow10(int(math.Floor(math.Log10(half))))
	if half/step < 1.5 {
		step /= 10
	}
	return step
}

// axisWords is what an axis is called in figures.
func axisWords(x *value.Axis) string { return value.Humanise(cmp.Or(x.Called, x.Name)) }
