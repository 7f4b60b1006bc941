// Package value holds what a notebook calculates with.
//
//	Value     one of the five below
//	*Array    numbers, truths or words over named axes; a plain number has none
//	*Record   a struct whose fields are values: a vehicle, a point, a model's results
//	*Notebook what another notebook has named
//	*List     a slice of records or texts, such as a vehicle's obstacles
//	Broken    what an expression with a reported mistake gives, so that one mistake gives one message
//
// Arrays are never changed once made, so copies share them. Arithmetic broadcasts over axes by identity:
// two values that vary over the same axis move together, others are combined in every pairing.
// An absent value is NaN inside an Array and is never shown as a number.
package value

import (
	"cmp"
	"fmt"
	"iter"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"turnplate/sim/unit"
)

// Value is a sealed set of types.
type Value interface{ value() }

// Broken stands for a value that could not be had; the mistake is already reported.
type Broken struct{}

// Kind is what an Array's elements are.
type Kind int

// The three kinds of element.
const (
	Number Kind = iota
	Truth       // 1, 0 or absent
	Words
)

// String names a kind for a message.
func (k Kind) String() string { return [...]string{"number", "yes or no", "text"}[k] }

// Show is how a quantity is printed to metric and to US readers.
type Show struct{ Metric, US unit.Unit }

// Array is numbers, truths or words over axes, row by row with the last axis fastest.
type Array struct {
	Kind  Kind
	Dim   unit.Dim
	Axes  []*Axis // in Axis order
	Num   []float64
	Words []string // for Words; an absent word has NaN in Num when Num is set
	Show  *Show    // nil: by dimension
	Label string   // what it is called, for an axis title; "" when it has no name of its own
	Why   string   // why some elements are absent
	Pure  bool     // a bare unit name or a product of them
	Own   *Axis    // the axis that this value was made with, kept by copies; nil once calculated with
}

// Record is a struct of values.
type Record struct {
	Type    string // "Vehicle", "AlignTo result"
	Fields  map[string]Value
	Choice  *Axis           // the axis that Choices made, kept by copies
	Table   *Table          // of readings: the file they are from
	Written map[string]Mark // where a notebook wrote a field, kept by copies; not of what was calculated
}

// Mark is a place in a notebook.
type Mark struct {
	File              string // the notebook's; "" for no place
	Step              int    // which of its statements, from 1
	Line, Col, Length int    // as in diag.Diagnostic
}

// With gives a copy of a record with one field changed, which no notebook wrote unless at says so.
func (r *Record) With(field string, v Value, at Mark) *Record {
	out := &Record{Type: r.Type, Choice: r.Choice, Fields: map[string]Value{}, Written: map[string]Mark{}}
	maps.Copy(out.Fields, r.Fields)
	maps.Copy(out.Written, r.Written)
	out.Fields[field] = v
	delete(out.Written, field)
	if at.File != "" {
		out.Written[field] = at
	}
	return out
}

// Notebook is all the names of another notebook. They are for picking from, not for calculating with: a notebook that
// uses another twice, and is used twice itself, would otherwise be twice as much work at each step.
type Notebook struct {
	Of string // the notebook's path
	By map[string]Value
}

// List is a slice of values of one type.
type List struct {
	Type  string
	Items []Value
	Table *Table // the file whose rows the items are, if they are from one
}

// Table is a file of rows, kept for mistakes that show only when its values are used.
type Table struct {
	File     string
	Source   []byte
	Headings []Cell // as names: "TotalToe"
	Rows     [][]Cell
}

// Cell is one text of a Table and where it stands, with lines and columns from 1.
type Cell struct {
	Text      string
	Line, Col int
}

func (Broken) value()    {}
func (*Array) value()    {}
func (*Record) value()   {}
func (*Notebook) value() {}
func (*List) value()     {}

// Arrays goes through the arrays in all parts of a value, a record's in the order of its fields' names. A notebook that a
// name stands for has none here: its arrays are parts of its own values.
func Arrays(v Value) iter.Seq[*Array] {
	return func(yield func(*Array) bool) { arrays(v, yield) }
}

func arrays(v Value, yield func(*Array) bool) bool {
	switch v := v.(type) {
	case *Array:
		return yield(v)
	case *Record:
		for _, name := range SortedNames(v.Fields) {
			if !arrays(v.Fields[name], yield) {
				return false
			}
		}
	case *List:
		for _, item := range v.Items {
			if !arrays(item, yield) {
				return false
			}
		}
	}
	return true
}

// Each makes a value anew, with what f gives for each array in it. The result was calculated, so no place in a notebook
// is where it was written.
func Each(v Value, f func(*Array) (Value, error)) (Value, error) {
	var err error
	switch v := v.(type) {
	case *Array:
		return f(v)
	case *Record:
		out := &Record{Type: v.Type, Choice: v.Choice, Fields: make(map[string]Value, len(v.Fields))}
		for _, name := range SortedNames(v.Fields) {
			if out.Fields[name], err = Each(v.Fields[name], f); err != nil {
				return nil, err
			}
		}
		return out, nil
	case *List:
		out := &List{Type: v.Type, Items: make([]Value, len(v.Items))}
		for i, item := range v.Items {
			if out.Items[i], err = Each(item, f); err != nil {
				return nil, err
			}
		}
		return out, nil
	}
	return v, nil
}

// Numbers counts the elements that a value holds in all its parts.
func Numbers(v Value) (n int) {
	switch v := v.(type) {
	case *Array:
		return v.Len()
	case *Record:
		for _, part := range v.Fields {
			n += Numbers(part)
		}
	case *List:
		for _, item := range v.Items {
			n += Numbers(item)
		}
	}
	return n
}

// AxesOf collects every axis a value varies over.
func AxesOf(v Value) (all []*Axis) {
	if a, ok := v.(*Array); ok {
		return a.Axes
	}
	for a := range Arrays(v) {
		all = Union(all, a.Axes)
	}
	return all
}

// AxisKind is how an axis came about.
type AxisKind int

// The kinds of axis.
const (
	Span   AxisKind = iota // numbers from span or list, rows of a readings file, points of a history
	Choice                 // labelled alternatives
	Dial                   // a slider
	Draws                  // uncertainty
)

// Axis is one direction over which values vary. Identity is the pointer.
type Axis struct {
	Kind   AxisKind
	Name   string // the first name or field it was assigned to
	Called string // in figures; "": the name taken apart says it
	File   string // the notebook that made it, and
	Seq    int    // its place there: the two give the order of axes
	Length int
	Labels []string  // for Choice and labelled rows
	Coord  []float64 // for numbers: the value at each point
	Dim    unit.Dim
	Show   *Show
	Start  int // for Dial: where the page starts
}

// Compare orders axes: draws last, so that they run fastest; else by notebook and place.
func (a *Axis) Compare(b *Axis) int {
	switch {
	case (a.Kind == Draws) == (b.Kind == Draws):
		return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Seq, b.Seq))
	case b.Kind == Draws:
		return -1
	}
	return 1
}

// Num makes a number without axes.
func Num(x float64, dim unit.Dim) *Array { return &Array{Dim: dim, Num: []float64{x}} }

// Plain makes a plain number.
func Plain(x float64) *Array { return Num(x, unit.None) }

// Bool makes a truth without axes.
func Bool(b bool) *Array {
	x := 0.0
	if b {
		x = 1
	}
	return &Array{Kind: Truth, Num: []float64{x}}
}

// Text makes a text without axes.
func Text(s string) *Array { return &Array{Kind: Words, Words: []string{s}} }

// OfUnit makes the value of a bare unit.
func OfUnit(u unit.Unit) *Array {
	return &Array{Dim: u.Dim, Num: []float64{u.SI}, Show: &Show{u, u}, Pure: true}
}

// Len is the number of elements.
func (a *Array) Len() int {
	if a.Kind == Words {
		return len(a.Words)
	}
	return len(a.Num)
}

// Has tells whether a varies over an axis.
func (a *Array) Has(x *Axis) bool { return slices.Contains(a.Axes, x) }

// Uncertain tells whether a value has draws.
func Uncertain(a *Array) bool { return slices.ContainsFunc(a.Axes, IsDraws) }

// Absent tells whether element i is absent.
func (a *Array) Absent(i int) bool {
	if a.Kind == Words && a.Num == nil {
		return false
	}
	return math.IsNaN(a.Num[i])
}

// AbsentCount counts absent elements.
func (a *Array) AbsentCount() int {
	n := 0
	for i := range a.Len() {
		if a.Absent(i) {
			n++
		}
	}
	return n
}

// AllAbsent tells whether nothing is there.
func (a *Array) AllAbsent() bool { return a.Len() > 0 && a.AbsentCount() == a.Len() }

// Reason says why what is absent is absent.
func (a *Array) Reason() string {
	return cmp.Or(a.Why, "it is outside the range in which it can be calculated")
}

// Named gives a with another label and display, sharing the elements.
func (a *Array) Named(label string, show *Show) *Array {
	b := *a
	b.Pure = false
	if label != "" {
		b.Label = label
	}
	if show != nil {
		b.Show = show
	}
	return &b
}

// Point describes one combination of axes for a message: "caster 6°, tyre Tall".
func Point(axes []*Axis, index []int) string {
	parts := make([]string, 0, len(axes))
	for i, a := range axes {
		parts = append(parts, a.Name+" "+a.LabelAt(index[i]))
	}
	return strings.Join(parts, ", ")
}

// LabelAt prints the axis's value at a point.
func (a *Axis) LabelAt(i int) string {
	if len(a.Labels) > 0 {
		return a.Labels[i]
	}
	if len(a.Coord) == 0 {
		return strconv.Itoa(i + 1)
	}
	return Print(a.Coord[i], a.ShowUnit(false), 0)
}

// ShowUnit is the unit in which the axis's values are printed.
func (a *Axis) ShowUnit(us bool) unit.Unit { return Display(a.Show, a.Dim, us) }

// Describe says what kind of value v is, for a message.
func Describe(v Value) string {
	switch v := v.(type) {
	case *Array:
		if v.Kind == Number {
			return WithArticle(v.Dim.String())
		}
		return v.Kind.String()
	case *Record:
		return WithArticle(v.Type)
	case *Notebook:
		return "the notebook " + v.Of
	case *List:
		return "a list of " + v.Type
	}
	return "a broken value"
}

// WithArticle puts a or an before a noun.
func WithArticle(noun string) string {
	if strings.ContainsRune("aeiouAEIO", rune(noun[0])) {
		return "an " + noun
	}
	return "a " + noun
}

// Union merges axes in order.
func Union(lists ...[]*Axis) []*Axis {
	var all []*Axis
	for _, list := range lists {
		for _, a := range list {
			if !slices.Contains(all, a) {
				all = append(all, a)
			}
		}
	}
	slices.SortStableFunc(all, (*Axis).Compare)
	return all
}

// Without gives a copy of axes without those for which out is true.
func Without(axes []*Axis, out func(*Axis) bool) []*Axis {
	return slices.DeleteFunc(slices.Clone(axes), out)
}

// MaxElements bounds one array, and one model's combinations.
var MaxElements = 1 << 22

// Size is the number of combinations of axes, or an error that lists them when there are too many, or that
// refuses draws of unlike number. It is asked before anything of that size is made.
func Size(axes []*Axis) (int, error) {
	n := 1
	var draws *Axis
	for _, a := range axes {
		if a.Kind == Draws && draws != nil {
			return 0, fmt.Errorf("uncertain values with %d and with %d draws can't be combined; give both notebooks the same draws: in their front matter", draws.Length, a.Length)
		}
		if a.Kind == Draws {
			draws = a
		}
		if a.Length > 0 && n > MaxElements/a.Length {
			var parts []string
			for _, b := range axes {
				parts = append(parts, fmt.Sprintf("%s %d", b.Name, b.Length))
			}
			return 0, fmt.Errorf("too many combinations: %s; the most is %d together", strings.Join(parts, " × "), MaxElements)
		}
		n *= a.Length
	}
	return n, nil
}

// SortedNames lists a record's fields in order.
func SortedNames(fields map[string]Value) []string {
	return slices.Sorted(maps.Keys(fields))
}
