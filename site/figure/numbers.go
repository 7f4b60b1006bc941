package figure

import (
	"math"

	"turnplate/sim/unit"
)

// Table is a Curves as a table, for readers who can't or don't want to read it off the drawing. Of more
// than so many calculated rows only some are kept, evenly. Readings all stay.
func (c *Curves) Table(most int) (t *Table, every int) {
	r := ready(c)
	metric, us := c.grid(Metric), c.grid(US)
	calculated := 0
	for _, read := range metric.read {
		if !read {
			calculated++
		}
	}
	every = max((calculated+most-1)/max(most, 1), 1)
	var rows []int
	nth := 0
	for i, read := range metric.read {
		if read || nth%every == 0 {
			rows = append(rows, i)
		}
		if !read {
			nth++
		}
	}
	t = &Table{Head: Head{Title: c.Title}}
	for k := range metric.columns {
		print, heads := [2]func(float64) string{}, [2]unit.Unit{}
		for i, system := range []System{Metric, US} {
			sh := r.shown.in(system)
			a := sh.y
			if metric.across[k] {
				a = sh.x
			}
			marks := a.graduate(6, anyRoom)
			scale, places := math.Pow(10, float64(marks.power)), marks.fine
			if metric.across[k] {
				places = r.xPlaces(a)
			}
			print[i] = func(v float64) string { return number(v/scale, places) }
			heads[i] = unit.Unit{Name: a.unit.Name, Symbol: a.symbol(marks).Symbol, Dim: a.unit.Dim, SI: a.unit.SI * scale}
		}
		out := Column{Head: Either(metric.labels[k], us.labels[k]), Unit: heads[0], US: heads[1]}
		for _, i := range rows {
			cell := Cell{Number: true}
			switch v := metric.columns[k][i]; {
			case finite(v):
				cell.Text = Either(print[0](v), print[1](us.columns[k][i]))
			case math.IsNaN(v):
				cell = Cell{Text: Plain("–"), Absent: true}
			}
			out.Cells = append(out.Cells, cell)
		}
		t.Columns = append(t.Columns, out)
	}
	if metric.names != nil {
		names := Column{Head: Plain("Reading")}
		for _, i := range rows {
			names.Cells = append(names.Cells, Cell{Text: Plain(metric.names[i])})
		}
		t.Columns = append(t.Columns, names)
	}
	return t, every
}

// xPlaces is the fewest decimals that show every x exactly, so that 0.25 isn't read out as 0.2; of a
// sequence that has no short decimals, one more than the axis's own read-out.
func (r *curves) xPlaces(a axis) int {
	marks := a.graduate(6, anyRoom)
	one := a.unit.SI * math.Pow(10, float64(marks.power))
	const same = 1e-7 // of the axis
	for places := range marks.fine + 3 {
		step := math.Pow(10, -float64(places))
		if r.everyX(func(x float64) bool {
			return math.Abs(math.Round(x/one/step)*step-x/one) < same*a.size()/one
		}) {
			return places
		}
	}
	return marks.fine + 1
}

// everyX asks about each x at which a line has a point.
func (r *curves) everyX(ok func(x float64) bool) bool {
	for _, p := range r.Panels {
		for _, l := range p.Lines {
			for _, x := range l.X[:l.count()] {
				if finite(x) && !ok(x) {
					return false
				}
			}
		}
	}
	return true
}
