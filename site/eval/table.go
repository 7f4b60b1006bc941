package eval

import (
	"go/ast"
	"math"

	"turnplate/sim/unit"
	"turnplate/site/figure"
	"turnplate/site/value"
)

// table makes Table{Rows, By, Columns: []Column{{Head, Value, In, To}}}.
func table(s *scope, a *arguments) figure.Figure {
	if !a.need(s, "Columns") {
		return nil
	}
	rows, by := a.axis(s, "Rows"), a.axis(s, "By")
	items, ok := s.items(a.exprs["Columns"], "Column")
	if !ok || a.failed {
		return nil
	}
	if len(items) == 0 {
		s.fault(a.exprs["Columns"], "", "a table needs at least one column")
		return nil
	}
	if !a.few(s, "Columns", lengthOf(rows)*lengthOf(by)*len(items), s.budget.limits.Cells) || rows != nil && !a.few(s, "Rows", rows.Length, s.budget.limits.Points) {
		return nil
	}
	t := &figure.Table{}
	if rows != nil {
		t.RowHead = axisWords(rows)
		v, _ := a.value(s, "Rows")
		t.Rows, t.Steps = s.rowLabels(v, rows)
	}
	for _, item := range items {
		c := s.column(item)
		if c == nil {
			a.failed = true
			continue
		}
		a.exprs["a column"] = c.at
		a.refuseLeft(s, "a column", c.value, rows, by)
		if a.failed {
			return nil
		}
		for b := range lengthOf(by) {
			column := c.cells(rows, by, b)
			for _, cell := range column.Cells {
				if cell.Absent {
					t.Absent++
				}
			}
			t.Columns = append(t.Columns, column)
			c.headInto(s, t, len(t.Columns)-1, labelOf(by, b))
		}
	}
	a.headInto(s, &t.Head)
	return t
}

// rowLabels prints the row headings: labels, or the values of what Rows was given, which are then the steps.
func (s *scope) rowLabels(v value.Value, rows *value.Axis) (labels []figure.Words, steps *figure.Steps) {
	a, isArray := v.(*value.Array)
	if !isArray || a.Kind != value.Number || len(rows.Labels) > 0 {
		for i := range rows.Length {
			labels = append(labels, figure.Plain(rows.LabelAt(i)))
		}
		return labels, nil
	}
	steps = &figure.Steps{Metric: value.Display(a.Show, a.Dim, false).Counterpart(false), US: value.Display(a.Show, a.Dim, true).Counterpart(true)}
	for i := range rows.Length {
		here := value.Pick(s.turned(a), map[*value.Axis]int{rows: i})
		x := value.Reduce(here, func(*value.Axis) bool { return true }, value.Average).Num[0]
		labels = append(labels, figure.Either(value.Print(x, steps.Metric, 0), value.Print(x, steps.US, 0)))
		steps.Values = append(steps.Values, x)
	}
	return labels, steps
}

// tableColumn is one column as written.
type tableColumn struct {
	at    ast.Expr
	head  ast.Expr
	value *value.Array
	in    *unit.Unit
	to    float64
}

func (s *scope) column(item *ast.CompositeLit) *tableColumn {
	fields, ok := s.fieldsOf(item, "Column")
	if !ok {
		return nil
	}
	if fields["Head"] == nil || fields["Value"] == nil {
		s.fault(item, "", `a column needs a heading and a value, {"Effort", park.RimForce, N}`)
		return nil
	}
	v := s.expr(fields["Value"])
	if isBroken(v) {
		return nil
	}
	a, ok := v.(*value.Array)
	if !ok {
		s.fault(fields["Value"], "pick one of its fields", "%s can't stand in a table", value.Describe(v))
		return nil
	}
	c := &tableColumn{at: fields["Value"], head: fields["Head"], value: s.turned(a)}
	if e := fields["In"]; e != nil {
		u, ok := s.unitOf(e)
		if !ok {
			return nil
		}
		if a.Kind != value.Number || u.Dim != a.Dim {
			s.fault(e, "", "%s is a unit of %s, but the value is %s", s.text.Source(e), u.Dim, value.Describe(a))
			return nil
		}
		c.in = &u
	}
	if e := fields["To"]; e != nil {
		if c.to, ok = positive(e); !ok {
			s.fault(e, "", "a rounding step was expected here, a plain number in the unit of the column, such as 0.1")
			return nil
		}
	}
	return c
}

// headInto evaluates a column's heading once every block has run.
func (c *tableColumn) headInto(s *scope, t *figure.Table, index int, by figure.Words) {
	snippet, ok := s.quoted(c.head)
	if !ok {
		return
	}
	s.board.later = append(s.board.later, func() {
		head, column := s.words(snippet), &t.Columns[index]
		in := func(system figure.System) string {
			if by.Metric == "" {
				return head.In(system)
			}
			return head.In(system) + ", " + by.In(system)
		}
		column.Head = figure.Either(in(figure.Metric), in(figure.US))
	})
}

func (c *tableColumn) cells(rows, by *value.Axis, b int) figure.Column {
	at := map[*value.Axis]int{}
	if by != nil {
		at[by] = b
	}
	var out figure.Column
	steps := [2]float64{}
	if c.value.Kind == value.Number {
		shown := value.Display(c.value.Show, c.value.Dim, false)
		out.Unit, out.US = shown, value.Display(c.value.Show, c.value.Dim, true)
		if c.in != nil {
			shown = *c.in
			out.Unit, out.US = c.in.Counterpart(false), c.in.Counterpart(true)
		}
		for i, u := range []unit.Unit{out.Unit, out.US} {
			if steps[i] = converted(c.to, shown, u); c.to == 0 {
				steps[i] = columnStep(c.value, u)
			}
		}
	}
	for r := range lengthOf(rows) {
		if rows != nil {
			at[rows] = r
		}
		here := value.Pick(c.value, at)
		cell := c.cell(here, out.Unit, steps[0])
		cell.Text = figure.Either(cell.Text.Metric, c.cell(here, out.US, steps[1]).Text.Metric)
		out.Cells = append(out.Cells, cell)
	}
	return out
}

// columnStep rounds a whole column alike, so that its decimal points stand in line: three significant
// figures of the largest.
func columnStep(a *value.Array, u unit.Unit) float64 {
	if value.Uncertain(a) {
		return 0
	}
	largest := 0.0
	for _, x := range a.Num {
		if !math.IsNaN(x) {
			largest = math.Max(largest, math.Abs(x/u.SI))
		}
	}
	if largest == 0 {
		return 1
	}
	whole := true
	for _, x := range a.Num {
		whole = whole && (math.IsNaN(x) || x/u.SI == math.Round(x/u.SI))
	}
	if whole {
		return 1
	}
	return math.Pow10(-value.SignificantDecimals(largest))
}

func (c *tableColumn) cell(a *value.Array, u unit.Unit, to float64) figure.Cell {
	switch {
	case a.AllAbsent():
		return figure.Cell{Text: figure.Plain("–"), Absent: true, Number: a.Kind == value.Number}
	case a.Kind != value.Number:
		return figure.Cell{Text: figure.Plain(printPlain(a))}
	}
	bare := u
	bare.Symbol = ""
	return figure.Cell{Text: figure.Plain(quantity(a, bare, to)), Number: true}
}
