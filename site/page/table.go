package page

import (
	"html/template"
	"strings"

	"turnplate/site/figure"
)

// tableView is a table as its template reads it.
type tableView struct {
	Label string // its accessible name
	Heads []headView
	Rows  []rowView
	// Plain: every cell is a number, which then needs no mark of its own.
	Plain bool
}

type headView struct {
	HTML   template.HTML
	Number bool
}

type rowView struct{ Cells []cellView }

type cellView struct {
	HTML   template.HTML
	Head   bool // names its row
	Number bool
	Absent bool
	Class  string
}

func (c *cellView) setClass(plain bool) {
	var names []string
	if c.Number && !plain {
		names = append(names, "number")
	}
	if c.Absent {
		names = append(names, "absent")
	}
	c.Class = strings.Join(names, " ")
}

func newTable(t *figure.Table) *tableView {
	v := &tableView{Label: t.Title.String()}
	height := len(t.Rows)
	for _, c := range t.Columns {
		height = max(height, len(c.Cells))
	}
	v.Rows = make([]rowView, height)
	if t.Rows != nil {
		v.Heads = append(v.Heads, headView{HTML: template.HTML(escape(t.RowHead))})
		for i := range v.Rows {
			label := bothHTML(at(t.Rows, i), at(t.RowsUS, i))
			v.Rows[i].Cells = append(v.Rows[i].Cells, cellView{HTML: template.HTML(label), Head: true})
		}
	}
	for k, c := range t.Columns {
		v.addColumn(c, t.Rows == nil && k == 0 && len(t.Columns) > 1)
	}
	v.Plain = true
	for _, row := range v.Rows {
		for _, c := range row.Cells {
			v.Plain = v.Plain && c.Number
		}
	}
	for _, row := range v.Rows {
		for k := range row.Cells {
			row.Cells[k].setClass(v.Plain)
		}
	}
	return v
}

func at(texts []string, i int) string {
	if i < len(texts) {
		return texts[i]
	}
	return ""
}

// addColumn adds a column to every row. Without row labels the first column tells the rows apart.
func (v *tableView) addColumn(c figure.Column, labels bool) {
	systems := []figure.System{figure.Metric, figure.US}
	head := headView{HTML: template.HTML(bothHTML(headText(c, figure.Metric), headText(c, figure.US)))}
	behind := [2]int{} // characters from the decimal point on, most in the column, in each system
	for _, cell := range c.Cells {
		if cell.Number {
			head.Number = true
			for i, system := range systems {
				behind[i] = max(behind[i], len([]rune(fraction(cell.In(system)))))
			}
		}
	}
	v.Heads = append(v.Heads, head)
	for i := range v.Rows {
		cell := figure.Cell{Absent: true}
		if i < len(c.Cells) {
			cell = c.Cells[i]
		}
		out := cellView{Head: labels, Absent: cell.Absent, Number: head.Number && (cell.Absent || cell.Number)}
		texts := [2]string{}
		for k, system := range systems {
			text := cell.In(system)
			if cell.Absent {
				text = "–"
			}
			texts[k] = escape(text)
			if blank := pad(fraction(text), behind[k]); out.Number && blank != "" {
				texts[k] += `<span class="pad" aria-hidden="true">` + blank + "</span>"
			}
		}
		if texts[0] == texts[1] {
			out.HTML = template.HTML(texts[0])
		} else {
			out.HTML = template.HTML(`<span class="in-metric">` + texts[0] + `</span><span class="in-us">` + texts[1] + "</span>")
		}
		v.Rows[i].Cells = append(v.Rows[i].Cells, out)
	}
}

func headText(c figure.Column, system figure.System) string {
	if symbol := c.UnitIn(system).Symbol; symbol != "" {
		return strings.TrimSpace(c.Head + " (" + symbol + ")")
	}
	return c.Head
}

// fraction is what stands from the decimal point on.
func fraction(s string) string {
	if at := strings.IndexByte(s, '.'); at >= 0 {
		return s[at:]
	}
	return ""
}

// pad makes a fraction as long as the longest of its column, with blanks as wide as a point (U+2008) and
// as a figure (U+2007).
func pad(fraction string, behind int) string {
	short := behind - len([]rune(fraction))
	if short <= 0 {
		return ""
	}
	if fraction == "" {
		return "\u2008" + strings.Repeat("\u2007", short-1)
	}
	return strings.Repeat("\u2007", short)
}
