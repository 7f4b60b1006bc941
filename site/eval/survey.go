package eval

import (
	"encoding/binary"
	"errors"
	"go/ast"
	"math"
	"reflect"
	"slices"
	"strings"

	"turnplate/sim"
	"turnplate/sim/unit"
	"turnplate/site/diag"
	"turnplate/site/model"
	"turnplate/site/value"
)

var (
	surveyType  = reflect.TypeFor[sim.Survey]()
	readingType = reflect.TypeFor[sim.SurveyReading]()
)

// surveyInput turns a readings file into the list that a survey takes; anything else stays.
func (s *scope) surveyInput(e ast.Expr, f *sim.Field, v value.Value) value.Value {
	r, ok := v.(*value.Record)
	if !ok || r.Table == nil || f.Type != reflect.SliceOf(readingType) {
		return v
	}
	t := r.Table
	column := map[string]int{}
	for i, h := range t.Headings {
		column[h.Text] = i
		switch a := r.Fields[h.Text].(*value.Array); h.Text {
		case "Kind", "From", "To", "Note":
		case "Reading", "Deviation":
			if a.Kind == value.Number && a.Dim == unit.Length {
				continue
			}
			return s.faultIn(t, h, "", "%s needs its unit, a length: write the heading %s (mm)", h.Text, h.Text)
		default:
			return s.faultIn(t, h, diag.DidYouMean(h.Text, surveyColumns), "a survey has no column %s; its columns are %s", h.Text, strings.Join(surveyColumns, ", "))
		}
	}
	for _, name := range []string{"Kind", "From", "Reading"} {
		if _, ok := column[name]; !ok {
			return s.faultIn(t, t.Headings[0], "", "a survey's readings need the column %s", name)
		}
	}
	out := &value.List{Type: readingType.Name(), Table: t}
	for i, row := range t.Rows {
		item := &value.Record{Type: readingType.Name(), Fields: map[string]value.Value{}}
		for _, name := range []string{"Kind", "From", "To"} {
			text := ""
			if at, ok := column[name]; ok && at < len(row) {
				text = row[at].Text
			}
			item.Fields[name] = value.Text(text)
		}
		for _, name := range []string{"Reading", "Deviation"} {
			if a, ok := r.Fields[name].(*value.Array); ok && (name == "Reading" || !a.Absent(i)) {
				item.Fields[name] = value.Num(a.Num[i], unit.Length)
			}
		}
		out.Items = append(out.Items, item)
	}
	return out
}

// surveyColumns are a readings file's headings.
var surveyColumns = []string{"Kind", "From", "To", "Reading (mm)", "Deviation (mm)", "Note"}

// faultIn reports a mistake at a cell of a readings file.
func (s *scope) faultIn(t *value.Table, at value.Cell, hint, format string, args ...any) value.Value {
	if len(s.page.Faults) < diag.Most {
		s.page.Faults = append(s.page.Faults, faultAt(t.File, t.Source, at.Line, at.Col, hint, format, args...))
	}
	return value.Broken{}
}

// survey runs the model Survey, whose points vary over the draws of its readings' errors.
func (s *scope) survey(e *ast.CompositeLit, in *value.Record) value.Value {
	m, ok := s.surveyOf(e, in)
	if !ok {
		return value.Broken{}
	}
	if start, ok := in.Fields["Start"].(*value.Record); ok {
		s.doubts.excuse(start)
	}
	list := in.Fields["Readings"].(*value.List)
	helps, ok := s.helps(e, in)
	if !ok {
		return value.Broken{}
	}
	file, draws := s.nb.Path+" survey", s.ev.drawsAxis(s.nb.Front.Draws)
	if list.Table != nil {
		file = list.Table.File
	}
	from := []any{"Survey", *m, file, float64(draws.Length)}
	found, err := model.Keep(s.ev.options.Cache, from, func() (*surveyFound, int, error) {
		r, err := s.searched(m)
		if err != nil {
			return nil, 0, err
		}
		at := drawnPoints(&r, readingErrors(file, draws, m.Readings))
		return &surveyFound{&r, at}, 3 * len(at) * draws.Length, nil
	})
	next := ""
	switch {
	case err != nil:
	case helps == nil:
		next = found.Next
	default:
		next, err = model.Keep(s.ev.options.Cache, append(from, helps), func() (string, int, error) {
			next, err := s.ev.options.Findings.Find(append(from, helps), func() ([]byte, error) {
				m.Helps = helped(helps, readingErrors(file, draws, m.Readings))
				r, err := s.searched(m)
				return []byte(r.Next), err
			})
			return string(next), 1, err
		})
	}
	if s.ctx.Err() != nil {
		return value.Broken{}
	}
	if err != nil {
		return s.surveyFault(e, list, err)
	}
	return s.surveyed(in, found, next, draws)
}

// searched runs a survey, without its search where what that finds is known already.
func (s *scope) searched(m *sim.Survey) (r sim.SurveyResult, err error) {
	bare := *m
	bare.Helps = nil // which moves no point
	before := true
	known, err := s.ev.options.Findings.Find([]any{"Survey", bare}, func() ([]byte, error) {
		before = false
		if r, err = m.Run(); err != nil {
			return nil, err
		}
		return bytesOf(r.Known()), nil
	})
	if err != nil || !before {
		return r, err
	}
	return m.RunKnown(numbersIn(known))
}

// bytesOf are the bytes of numbers, 8 each with the last first.
func bytesOf(nums []float64) (data []byte) {
	for _, x := range nums {
		data = binary.LittleEndian.AppendUint64(data, math.Float64bits(x))
	}
	return data
}

// numbersIn are the numbers of bytesOf; bytes that make no whole number are none.
func numbersIn(data []byte) []float64 {
	nums := make([]float64, len(data)/8)
	for i := range nums {
		nums[i] = math.Float64frombits(binary.LittleEndian.Uint64(data[8*i:]))
	}
	return nums
}

// surveyFound is what a survey's readings give: the points that were read, by name, x, y and z of each over the draws.
type surveyFound struct {
	*sim.SurveyResult
	at map[string][3][]float64
}

// surveyOf binds a survey's fixed inputs: Start at its mean, and without Helps.
func (s *scope) surveyOf(e *ast.CompositeLit, in *value.Record) (*sim.Survey, bool) {
	fixed := &value.Record{Type: in.Type, Fields: map[string]value.Value{}}
	for name, v := range in.Fields {
		if name != "Helps" {
			fixed.Fields[name] = v
		}
	}
	if start, ok := fixed.Fields["Start"]; ok {
		fixed.Fields["Start"] = averaged(start)
	}
	found, _ := sim.Find("Survey")
	m := &sim.Survey{}
	b := &model.Binder{Uses: found.Uses, Optional: found.Optional}
	if err := b.Bind(m, fixed); err != nil {
		s.fault(e, "", "Survey %s", err)
		return nil, false
	}
	for _, l := range b.Leaves {
		if len(l.From.Axes) > 0 {
			s.fault(e, "pick one with .At", "a survey's inputs can't vary over %s", value.Names(l.From.Axes))
			return nil, false
		}
		l.Put(l.From, 0) // absent; the model says so
	}
	return m, true
}

// readingErrors draws each reading's error, in its own standard deviations. It is a source of its own, named after the
// file and what is read there, so that surveys of one file share their errors and an added row changes no other's.
func readingErrors(file string, axis *value.Axis, readings []sim.SurveyReading) [][]float64 {
	var names []string
	for _, r := range readings {
		names = append(names, r.Kind+" "+r.From+" "+r.To)
	}
	out := make([][]float64, axis.Length)
	for k := range out {
		out[k] = make([]float64, len(readings))
	}
	for i, name := range distinct(names) {
		for k, x := range value.Sample(axis, file, name, unit.None, value.Normal(0, 1)).Num {
			out[k][i] = x
		}
	}
	return out
}

// helps is the value that a survey is to help, over the draws; nil where there is none.
func (s *scope) helps(e ast.Expr, in *value.Record) (nums []float64, ok bool) {
	a, given := in.Fields["Helps"].(*value.Array)
	if !given || len(a.Axes) == 1 && a.Axes[0] == s.ev.drawsAxis(s.nb.Front.Draws) {
		if given {
			nums = a.Num
		}
		return nums, true
	}
	if others := slices.DeleteFunc(slices.Clone(a.Axes), func(x *value.Axis) bool { return x.Kind == value.Draws }); len(others) > 0 {
		s.fault(e, "pick one with .At", "Helps varies over %s; a survey helps one value", value.Names(others))
	} else {
		s.fault(e, "", "Helps doesn't vary: it is to be calculated from the points of a survey of these readings")
	}
	return nil, false
}

// helped pairs a value with the errors that it was drawn with, where it has one.
func helped(nums []float64, errs [][]float64) *sim.SurveyDraws {
	out := &sim.SurveyDraws{}
	for k, x := range nums {
		if !math.IsNaN(x) {
			out.Value, out.Errors = append(out.Value, x), append(out.Errors, errs[k])
		}
	}
	return out
}

// surveyFault puts a survey's mistake where it was made: in the readings file, or at the survey.
func (s *scope) surveyFault(e ast.Expr, list *value.List, err error) value.Value {
	var reading sim.ReadingError
	t := list.Table
	if !errors.As(err, &reading) || t == nil {
		return s.fault(e, "", "Survey: %s", err)
	}
	hint := diag.DidYouMean(reading.Word, reading.Known)
	row := t.Rows[reading.Row]
	at := value.Cell{Line: row[0].Line, Col: row[0].Col}
	for c, h := range t.Headings {
		if h.Text == reading.Column && c < len(row) {
			at = row[c]
		}
	}
	return s.faultIn(t, at, hint, "%s", reading.Message)
}

// drawnPoints gives the points that were read, for each draw of the readings' errors.
func drawnPoints(r *sim.SurveyResult, errs [][]float64) map[string][3][]float64 {
	at := map[string][3][]float64{}
	read := r.Read()
	for _, name := range read {
		at[name] = [3][]float64{make([]float64, len(errs)), make([]float64, len(errs)), make([]float64, len(errs))}
	}
	for k, e := range errs {
		for i, p := range r.Draw(e) {
			to := at[read[i]]
			to[0][k], to[1][k], to[2][k] = p.X, p.Y, p.Z
		}
	}
	return at
}

// surveyed makes the result: Start's corners with what was read, over draws, and what is said of each reading; next is
// the one that would help most.
func (s *scope) surveyed(in *value.Record, r *surveyFound, next string, draws *value.Axis) value.Value {
	start := in.Fields["Start"].(*value.Record)
	out := &value.Record{Type: "Survey result", Fields: map[string]value.Value{}}
	front := corner(start, "Front")
	right := corner(start, "Right")
	out.Fields["Front"], out.Fields["Right"] = front, right
	read := r.Read()
	schema := model.SchemaOf(reflect.TypeFor[sim.Corner]())
	for _, name := range read {
		c, of := front, name
		if rest, is := strings.CutPrefix(name, "Right."); is {
			c, of = right, rest
		}
		show := model.Show(schema.Field(of))
		point := &value.Record{Type: "Point", Fields: map[string]value.Value{}}
		for i, axis := range []string{"X", "Y", "Z"} {
			a := &value.Array{Dim: unit.Length, Axes: []*value.Axis{draws}, Num: r.at[name][i], Show: show}
			if of == "WheelCentre" && axis == "X" {
				a = &value.Array{Dim: unit.Length, Num: []float64{0}, Show: show} // the origin
			}
			point.Fields[axis] = a
		}
		c.Fields[of] = point
	}
	if !slices.ContainsFunc(read, func(name string) bool { return strings.HasPrefix(name, "Right.") && name != "Right.WheelCentre" }) {
		out.Fields["Right"] = front // its mirror
	}
	s.readingsSaid(out, r.SurveyResult, next)
	return out
}

// corner is a copy of one of a vehicle's corners, the left one's where the right mirrors it, as it stands when it is
// surveyed: without lift.
func corner(v *value.Record, name string) *value.Record {
	of, ok := v.Fields[name].(*value.Record)
	if !ok {
		of, _ = v.Fields["Front"].(*value.Record)
	}
	out := &value.Record{Type: "Corner", Fields: map[string]value.Value{}}
	if of != nil {
		for field, f := range of.Fields {
			out.Fields[field] = f
		}
	}
	delete(out.Fields, "Lift")
	return out
}

// readingsSaid adds what a survey says of its readings, over the axis Row.
func (s *scope) readingsSaid(out *value.Record, r *sim.SurveyResult, next string) {
	row := s.naming.axis(value.Choice, len(r.Row))
	row.Name, row.Labels = "Row", r.Row
	out.Fields["Row"] = &value.Array{Kind: value.Words, Axes: []*value.Axis{row}, Words: r.Row, Label: "Row", Own: row}
	schema := model.SchemaOf(reflect.TypeFor[sim.SurveyResult]())
	number := func(name string, nums ...float64) *value.Array {
		f := schema.Field(name)
		a := &value.Array{Dim: f.Unit.Dim, Num: nums, Show: model.Show(f), Label: name, Why: "nothing checks this reading"}
		out.Fields[name] = a
		return a
	}
	for name, nums := range map[string][]float64{
		"Reading": r.Reading, "Residual": r.Residual, "Standardised": r.Standardised, "Redundancy": r.Redundancy, "Detectable": r.Detectable,
	} {
		number(name, nums...).Axes = []*value.Axis{row}
	}
	number("Misfit", r.Misfit)
	number("Freedom", r.Freedom)
	for name, text := range map[string]string{"Suspect": r.Suspect, "RunnerUp": r.RunnerUp, "Next": next} {
		out.Fields[name] = value.Text(text).Named(name, nil)
	}
}
