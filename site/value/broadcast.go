package value

import (
	"cmp"
	"fmt"
	"math"

	"turnplate/sim/unit"
)

// Walk runs over every combination of axes and keeps, for each array, the index of its element there.
type Walk struct {
	Axes  []*Axis
	N     int
	At    []int // index along each axis
	steps [][]int
	Pos   []int // element of each array at the present combination
}

// NewWalk starts at the first combination. Every axis of every array must be among axes.
func NewWalk(axes []*Axis, arrays ...*Array) (*Walk, error) {
	n, err := Size(axes)
	if err != nil {
		return nil, err
	}
	w := &Walk{Axes: axes, N: n, At: make([]int, len(axes)), Pos: make([]int, len(arrays))}
	for _, a := range arrays {
		w.steps = append(w.steps, strides(axes, a))
	}
	return w, nil
}

// strides says how far an array's element moves for a step along each of axes; 0 where it doesn't vary.
func strides(axes []*Axis, a *Array) []int {
	steps := make([]int, len(axes))
	stride := 1
	for i := len(a.Axes) - 1; i >= 0; i-- {
		for j, x := range axes {
			if x == a.Axes[i] {
				steps[j] = stride
			}
		}
		stride *= a.Axes[i].Length
	}
	return steps
}

// Next steps to the next combination.
func (w *Walk) Next() {
	for j := len(w.Axes) - 1; j >= 0; j-- {
		w.At[j]++
		for k, s := range w.steps {
			w.Pos[k] += s[j]
		}
		if w.At[j] < w.Axes[j].Length {
			return
		}
		w.At[j] = 0
		for k, s := range w.steps {
			w.Pos[k] -= s[j] * w.Axes[j].Length
		}
	}
}

// Seek goes to combination i of N.
func (w *Walk) Seek(i int) {
	clear(w.Pos)
	for j := len(w.Axes) - 1; j >= 0; j-- {
		w.At[j] = i % w.Axes[j].Length
		i /= w.Axes[j].Length
		for k, s := range w.steps {
			w.Pos[k] += s[j] * w.At[j]
		}
	}
}

func why(arrays ...*Array) string {
	for _, a := range arrays {
		if a.Why != "" {
			return a.Why
		}
	}
	return ""
}

// Map applies f to every element of a number.
func Map(a *Array, dim unit.Dim, f func(float64) float64) *Array {
	out := &Array{Dim: dim, Axes: a.Axes, Num: make([]float64, len(a.Num)), Why: a.Why}
	for i, x := range a.Num {
		out.Num[i] = finite(f(x))
	}
	return out
}

// finite turns an infinity into an absent value.
func finite(x float64) float64 {
	if math.IsInf(x, 0) {
		return math.NaN()
	}
	return x
}

// Zip applies f to the elements of a and b in every combination of their axes.
func Zip(a, b *Array, kind Kind, dim unit.Dim, f func(x, y float64) float64) (*Array, error) {
	return pair(a, b, kind, dim, func(i, j int) float64 { return finite(f(a.Num[i], b.Num[j])) })
}

// pair makes an array of what f gives for element i of a with element j of b, in every combination of their axes.
func pair(a, b *Array, kind Kind, dim unit.Dim, f func(i, j int) float64) (*Array, error) {
	axes := Union(a.Axes, b.Axes)
	w, err := NewWalk(axes, a, b)
	if err != nil {
		return nil, err
	}
	out := &Array{Kind: kind, Dim: dim, Axes: axes, Num: make([]float64, w.N), Why: why(a, b)}
	if a.Len() == w.N && b.Len() == w.N { // the same axes, and so no need to walk
		for i := range out.Num {
			out.Num[i] = f(i, i)
		}
		return out, nil
	}
	for i := range out.Num {
		out.Num[i] = f(w.Pos[0], w.Pos[1])
		w.Next()
	}
	return out, nil
}

// unlike is the error of a sum, comparison or choice of values that have nothing in common.
func unlike(doing string, a, b Value) error {
	return fmt.Errorf("can't %s %s and %s", doing, Describe(a), Describe(b))
}

func numbers(doing string, a, b Value) (x, y *Array, err error) {
	x, okA := a.(*Array)
	y, okB := b.(*Array)
	if !okA || !okB || x.Kind != Number || y.Kind != Number {
		return nil, nil, unlike(doing, a, b)
	}
	return x, y, nil
}

// Add gives a + b or, with sign −1, a − b. Points add by component.
func Add(a, b Value, sign float64) (Value, error) {
	doing := "add"
	if sign < 0 {
		doing = "subtract"
	}
	if isPoint(a) && isPoint(b) {
		sum := &Record{Type: "Point", Fields: map[string]Value{}}
		for _, c := range []string{"X", "Y", "Z"} {
			v, err := Add(a.(*Record).Fields[c], b.(*Record).Fields[c], sign)
			if err != nil {
				return nil, err
			}
			sum.Fields[c] = v
		}
		return sum, nil
	}
	x, y, err := numbers(doing, a, b)
	if err != nil {
		return nil, err
	}
	if x.Dim != y.Dim {
		return nil, unlike(doing, a, b)
	}
	out, err := Zip(x, y, Number, x.Dim, func(p, q float64) float64 { return p + sign*q })
	if err != nil {
		return nil, err
	}
	out.Show = cmp.Or(x.Show, y.Show)
	return out, nil
}

func isPoint(v Value) bool {
	r, ok := v.(*Record)
	return ok && r.Type == "Point"
}

func isArray(v Value) bool {
	_, ok := v.(*Array)
	return ok
}

// Mul gives a·b. A point may be scaled by a number.
func Mul(a, b Value) (Value, error) {
	switch {
	case isPoint(a) && isArray(b):
		return Each(a, func(c *Array) (Value, error) { return Mul(c, b) })
	case isArray(a) && isPoint(b):
		return Each(b, func(c *Array) (Value, error) { return Mul(a, c) })
	}
	x, y, err := numbers("multiply", a, b)
	if err != nil {
		return nil, err
	}
	out, err := Zip(x, y, Number, x.Dim.Mul(y.Dim), func(p, q float64) float64 { return p * q })
	if err != nil {
		return nil, err
	}
	out.Show = productShow(x, y, true)
	out.Pure = x.Pure && y.Pure
	return out, nil
}

// productShow keeps the unit a number was written with: 5*mm is shown in mm, 18*N/mm in N/mm, and a
// quantity times a plain number as before.
func productShow(x, y *Array, product bool) *Show {
	join := unit.Unit.Div
	if product {
		join = unit.Unit.Mul
	}
	switch {
	case y.Pure && x.Show == nil && x.Dim == unit.None:
		return &Show{join(unit.Unit{SI: 1}, y.Show.Metric), join(unit.Unit{SI: 1}, y.Show.US)}
	case !product && y.Pure && x.Show != nil && x.Show.Metric.Name == y.Show.Metric.Name:
		return nil // mm/mm is a plain number
	case y.Pure && x.Show != nil:
		u := join(x.Show.Metric, y.Show.Metric)
		return &Show{u, u}
	case y.Dim == unit.None && y.Show == nil:
		return x.Show
	case product && x.Dim == unit.None && x.Show == nil:
		return y.Show
	}
	return nil
}

// Div gives a/b; division by zero is absent.
func Div(a, b Value) (Value, error) {
	if isPoint(a) && isArray(b) {
		return Each(a, func(c *Array) (Value, error) { return Div(c, b) })
	}
	x, y, err := numbers("divide", a, b)
	if err != nil {
		return nil, err
	}
	out, err := Zip(x, y, Number, x.Dim.Div(y.Dim), func(p, q float64) float64 { return p / q })
	if err != nil {
		return nil, err
	}
	if out.Why == "" && out.AbsentCount() > 0 {
		out.Why = "division by zero"
	}
	out.Show = productShow(x, y, false)
	out.Pure = x.Pure && y.Pure
	return out, nil
}

// Neg gives −a.
func Neg(a Value) (Value, error) { return Mul(a, Plain(-1)) }

// Compare gives a < b and its kin. Texts can be equal or not. An absent side makes the answer absent.
func Compare(op string, a, b Value) (*Array, error) {
	x, okA := a.(*Array)
	y, okB := b.(*Array)
	if !okA || !okB || x.Kind != y.Kind || x.Dim != y.Dim {
		return nil, unlike("compare", a, b)
	}
	if x.Kind != Number && op != "==" && op != "!=" {
		return nil, fmt.Errorf("%s can't be ordered with %s", Describe(a), op)
	}
	if x.Kind == Words {
		return pair(x, y, Truth, unit.None, func(i, j int) float64 {
			if x.Absent(i) || y.Absent(j) {
				return math.NaN()
			}
			return truth((x.Words[i] == y.Words[j]) == (op == "=="))
		})
	}
	test := map[string]func(p, q float64) bool{
		"<": func(p, q float64) bool { return p < q }, "<=": func(p, q float64) bool { return p <= q },
		">": func(p, q float64) bool { return p > q }, ">=": func(p, q float64) bool { return p >= q },
		"==": func(p, q float64) bool { return p == q }, "!=": func(p, q float64) bool { return p != q },
	}[op]
	return Zip(x, y, Truth, unit.None, func(p, q float64) float64 {
		if math.IsNaN(p) || math.IsNaN(q) {
			return math.NaN()
		}
		return truth(test(p, q))
	})
}

func truth(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// Logic gives a && b or a || b. An absent side leaves the answer absent unless the other settles it.
func Logic(and bool, a, b Value) (*Array, error) {
	x, okA := a.(*Array)
	y, okB := b.(*Array)
	if !okA || !okB || x.Kind != Truth || y.Kind != Truth {
		return nil, unlike("combine as yes or no", a, b)
	}
	settles := 1.0
	if and {
		settles = 0
	}
	return Zip(x, y, Truth, unit.None, func(p, q float64) float64 {
		switch {
		case p == settles || q == settles:
			return settles
		case math.IsNaN(p) || math.IsNaN(q):
			return math.NaN()
		}
		return 1 - settles
	})
}

// Not gives !a.
func Not(a Value) (*Array, error) {
	x, ok := a.(*Array)
	if !ok || x.Kind != Truth {
		return nil, fmt.Errorf("! needs a yes or no; this is %s", Describe(a))
	}
	out := Map(x, unit.None, func(p float64) float64 { return 1 - p })
	out.Kind = Truth
	return out, nil
}
