package sim

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"

	"turnplate/sim/unit"
)

// Limits is what an input must keep to, read from its field's tag `must` (explained at Vehicle).
type Limits struct {
	Least, Most  float64  // SI; −Inf and +Inf where there is none
	Above, Below bool     // Least or Most itself is refused too
	Whole        bool     // a whole number
	Words        []string // of a text: those it may be; none: any
	Why          string   // added to the message
}

// rounding is the relative slack given to a limit, so that a setting calculated to lie on it isn't refused.
const rounding = 1e-9

// limitsOf reads the tag of a field of unit u.
func limitsOf(tag string, of reflect.Type, u unit.Unit) (Limits, error) {
	l := Limits{Least: math.Inf(-1), Most: math.Inf(1)}
	conditions, why, _ := strings.Cut(tag, ": ")
	l.Why = why
	if of.Kind() == reflect.String {
		if conditions != "" {
			l.Words = strings.Split(conditions, ", ")
		}
		return l, nil
	}
	for _, c := range strings.Fields(conditions) {
		if c == "whole" {
			l.Whole = true
			continue
		}
		number := strings.TrimLeft(c, "<>=")
		x, err := strconv.ParseFloat(number, 64)
		x *= u.SI
		switch comparison := strings.TrimSuffix(c, number); {
		case err != nil:
			return l, fmt.Errorf("must %q isn't a comparison with a number", c)
		case comparison == ">" || comparison == ">=":
			l.Least, l.Above = x, comparison == ">"
		case comparison == "<" || comparison == "<=":
			l.Most, l.Below = x, comparison == "<"
		default:
			return l, fmt.Errorf("must %q starts with none of >, >=, < and <=", c)
		}
	}
	return l, nil
}

// Holds tells whether a number keeps to the limits. What is no number or infinite never does.
func (l *Limits) Holds(x float64) bool {
	least, most := l.Least-rounding*math.Abs(l.Least), l.Most+rounding*math.Abs(l.Most)
	if l.Above {
		least = l.Least
	}
	if l.Below {
		most = l.Most
	}
	return finite(x) && (x > least || x == least && !l.Above) && (x < most || x == most && !l.Below) && (!l.Whole || x == math.Trunc(x))
}

// Text says what the limits ask of a value shown in a unit: "must lie from 0 to 100 %". Without any it is empty.
func (l *Limits) Text(u unit.Unit) string {
	var text string
	number := func(x float64) string { return strconv.FormatFloat(x/u.SI, 'g', 5, 64) }
	shown := func(x float64) string {
		if x == 0 {
			return "zero"
		}
		return u.Text(number(x))
	}
	switch lower, upper := !math.IsInf(l.Least, -1), !math.IsInf(l.Most, 1); {
	case len(l.Words) > 0:
		text = "must be " + oneOf(l.Words)
	case lower && upper && l.Least == -l.Most && l.Above == l.Below:
		text = "must lie within " + shown(l.Most)
		if l.Below {
			text = "must be less than " + shown(l.Most) + " either way"
		}
	case lower && upper && !l.Above && !l.Below:
		text = "must lie from " + number(l.Least) + " to " + u.Text(number(l.Most))
	case l.Least == 0 && !l.Above && !upper:
		text = "must not be below zero"
	case lower || upper:
		var parts []string
		switch {
		case lower && l.Above:
			parts = append(parts, "above "+shown(l.Least))
		case lower:
			parts = append(parts, "at least "+shown(l.Least))
		}
		switch {
		case upper && l.Below:
			parts = append(parts, "below "+shown(l.Most))
		case upper:
			parts = append(parts, "at most "+shown(l.Most))
		}
		text = "must be " + strings.Join(parts, " and ")
	}
	if l.Whole {
		text = "must be a whole number" + strings.TrimPrefix(strings.TrimPrefix(text, "must lie"), "must be")
	}
	if l.Why != "" {
		text += ": " + l.Why
	}
	return text
}

// oneOf lists words in quotes: `"a", "b" or "c"`.
func oneOf(words []string) string {
	quoted := make([]string, len(words))
	for i, w := range words {
		quoted[i] = strconv.Quote(w)
	}
	last := len(quoted) - 1
	if last == 0 {
		return quoted[0]
	}
	return strings.Join(quoted[:last], ", ") + " or " + quoted[last]
}

// refusal says which input is refused and why. Its path grows from the input upwards.
type refusal struct {
	path     string
	notGiven bool
	says     string // follows the path
}

func (r *refusal) under(name string) *refusal {
	if r != nil && r.path != "" && r.path[0] != '[' {
		name += "."
	}
	if r != nil {
		r.path = name + r.path
	}
	return r
}

// err is the refusal as a notebook's author reads it: the fields of the vehicle go by their path in it.
func (r *refusal) err() error {
	switch path := strings.TrimPrefix(r.path, "Vehicle."); {
	case r.notGiven:
		return NotGiven{path}
	default:
		return errors.New(path + " " + r.says)
	}
}

// checkedField is one input that is checked, or one that holds such inputs.
type checkedField struct {
	Field
	zero  zero
	parts []checkedField // of a struct, or of each item of a list
}

// zero is what a number, or a place, of zero means where its limits don't allow it.
type zero int

const (
	zeroRefused  zero = iota // an input of the model itself: somebody wrote it
	zeroNotGiven             // a field of a vehicle or a tyre that was left out
	zeroOptional             // the same, and the model can do without
)

// checked are the inputs of each model struct that are checked, by its type.
var checked sync.Map // of reflect.Type to []checkedField

// checkInputs refuses, by its path, the first input of a model that breaks a limit of its field's tag, is no number,
// or isn't given: what the model says it uses of its vehicle, and everything else. Every model's Run starts with it.
func checkInputs[M any](m *M) error {
	t := reflect.TypeFor[M]()
	known, ok := checked.Load(t)
	if !ok {
		known, _ = checked.LoadOrStore(t, partsOf(describeModel[M](), t, "", false))
	}
	if r := checkParts(known.([]checkedField), reflect.ValueOf(m).Elem()); r != nil {
		return r.err()
	}
	return nil
}

var (
	pointType = reflect.TypeFor[Point]()
	sidesType = reflect.TypeFor[Sides]()
)

// partsOf lists what is checked of a struct. described tells that it is one that describes the vehicle or a tyre.
func partsOf(m Model, t reflect.Type, path string, described bool) (list []checkedField) {
	described = described || t == reflect.TypeFor[Vehicle]() || t == reflect.TypeFor[Tyre]()
	for _, f := range Fields(t) {
		at := strings.TrimPrefix(path+"."+f.Name, ".")
		if !m.Reads(at) {
			continue
		}
		p := checkedField{Field: f}
		if described {
			p.zero = zeroNotGiven
			if m.doesWithout(at) {
				p.zero = zeroOptional
			}
		}
		inner := f.Type
		for inner.Kind() == reflect.Pointer || inner.Kind() == reflect.Slice {
			inner = inner.Elem()
		}
		switch {
		case inner == pointType || inner == sidesType || inner.Kind() == reflect.Float64:
		case inner.Kind() == reflect.Struct:
			p.parts = partsOf(m, inner, at, described)
		case inner.Kind() == reflect.String && len(f.Must.Words) > 0:
		default:
			continue
		}
		list = append(list, p)
	}
	return list
}

func checkParts(list []checkedField, v reflect.Value) *refusal {
	for i := range list {
		p := &list[i]
		if r := p.check(v.FieldByIndex(p.Index)); r != nil {
			return r.under(p.Name)
		}
	}
	return nil
}

func (p *checkedField) check(v reflect.Value) *refusal {
	switch v.Kind() {
	case reflect.Float64:
		return p.number(v.Float())
	case reflect.String:
		if text := v.String(); text != "" && len(p.Must.Words) > 0 && !slices.Contains(p.Must.Words, text) {
			return &refusal{says: fmt.Sprintf("is %q; it %s", text, p.Must.Text(p.Unit))}
		}
		return nil
	case reflect.Pointer:
		if v.IsNil() {
			return p.without()
		}
		return p.check(v.Elem())
	case reflect.Slice:
		if v.Len() == 0 {
			return p.without()
		}
		for i := range v.Len() {
			if r := p.check(v.Index(i)); r != nil {
				return r.under(fmt.Sprintf("[%d]", i+1))
			}
		}
		return nil
	}
	switch v.Type() {
	case pointType:
		at := Point{X: v.Field(0).Float(), Y: v.Field(1).Float(), Z: v.Field(2).Float()}
		switch {
		case !finite(at.Norm()):
			return &refusal{says: "isn't a place: its coordinates must be numbers"}
		case at == Point{} && p.Required && p.zero == zeroNotGiven:
			return &refusal{notGiven: true}
		}
		return nil
	case sidesType:
		if r := p.number(v.Field(0).Float()); r != nil {
			return r
		}
		return p.number(v.Field(1).Float())
	}
	return checkParts(p.parts, v)
}

// without is what is said of a pointer or a list with nothing in it.
func (p *checkedField) without() *refusal {
	if p.Required && p.zero != zeroOptional {
		return &refusal{notGiven: true}
	}
	return nil
}

func (p *checkedField) number(x float64) *refusal {
	switch {
	case p.Must.Holds(x):
		return nil
	case !finite(x):
		return &refusal{says: "isn't a number"}
	case x == 0 && p.zero == zeroOptional:
		return nil
	case x == 0 && p.zero == zeroNotGiven:
		return &refusal{notGiven: true}
	}
	return &refusal{says: "of " + p.Unit.Text(strconv.FormatFloat(x/p.Unit.SI, 'g', 5, 64)) + " " + p.Must.Text(p.Unit)}
}

// finite tells whether x is a number.
func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
