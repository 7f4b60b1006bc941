package figure

import "turnplate/sim/unit"

// Table is rows of calculated values.
type Table struct {
	Head
	RowHead string  // heading of the first column; "" without row labels
	Rows    []Words // label of each row, or nil
	Steps   *Steps  // what the labels print, where those are values
	Columns []Column
	Absent  int // cells without a value
}

// Steps are the values at which rows or bars stand.
type Steps struct {
	Values     []float64
	Metric, US unit.Unit // in which readers of each system see them
}

// Column is one column of a table, with a cell for each row.
type Column struct {
	Head  Words
	Unit  unit.Unit // shown in the heading to metric readers; zero for text and plain numbers
	US    unit.Unit // shown to US readers
	Cells []Cell
}

// Cell is one printed value.
type Cell struct {
	Text   Words // "–" when absent
	Number bool  // align as a number
	Absent bool
}

func (*Table) Axes() []string             { return []string{"Rows", "By"} }
func (t *Table) Table(int) (*Table, int)  { return t, 1 }
func (*Table) steady([]Figure)            {}
func (*Table) Sharing() Sharing           { return Unshared }
func (*Table) Template() (string, string) { return "table", "Table" }

// Draw has nothing to draw, but says what dashes stand for.
func (t *Table) Draw(System) (p Picture) {
	if t.Absent > 0 {
		p.Notes = []string{"A dash, in " + count(t.Absent, "place", "places") + ": there is no value to be had."}
	}
	return p
}

func (t *Table) Marks() (n int) {
	for _, c := range t.Columns {
		for _, cell := range c.Cells {
			n += 1 + LongText(cell.Text.Metric)
		}
	}
	return n
}

// UnitIn is the unit in a column's heading for readers of a system.
func (c Column) UnitIn(system System) unit.Unit {
	if system == US && c.US.SI != 0 {
		return c.US
	}
	return c.Unit
}

// labels are the first column of a file whose rows have labels: as text, or as numbers with their unit in the head.
func (st *Steps) labels(head string, texts []Words, system System) []string {
	if st == nil {
		column := []string{inert(head)}
		for _, text := range texts {
			column = append(column, inert(text.In(system)))
		}
		return column
	}
	u := st.Metric
	if system == US {
		u = st.US
	}
	column, size := []string{inert(title(head, u.Name))}, largest(st.Values)/u.SI
	for _, v := range st.Values {
		column = append(column, figures(v/u.SI, size))
	}
	return column
}

// records of a Table are its cells as shown.
func (t *Table) records(system System) [][]string {
	var head, labels []string
	if t.Rows != nil {
		labels = t.Steps.labels(clean(t.RowHead), t.Rows, system)
		head = append(head, labels[0])
	}
	height := len(t.Rows)
	for _, c := range t.Columns {
		head = append(head, inert(title(clean(c.Head.In(system)), c.UnitIn(system).Name)))
		height = max(height, len(c.Cells))
	}
	rows := [][]string{head}
	for i := range height {
		var row []string
		if t.Rows != nil {
			row = append(row, at(labels, i+1))
		}
		for _, c := range t.Columns {
			cell := Cell{Absent: true}
			if i < len(c.Cells) {
				cell = c.Cells[i]
			}
			switch text := inert(cell.Text.In(system)); {
			case cell.Absent:
				row = append(row, "")
			case cell.Number:
				row = append(row, plainNumber(text))
			default:
				row = append(row, text)
			}
		}
		rows = append(rows, row)
	}
	return rows
}
