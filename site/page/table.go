package page

import (
	"cmp"
	"html/template"
	"slices"
	"strings"

	"turnplate/site/figure"
)

// tableView is a table as its template reads it, in one system of units.
type tableView struct {
	Class string // "in-metric" or "in-us" where the two differ
	Label string // its accessible name
	Heads []headView
	Rows  []rowView
	// Plain: most cells are numbers, so only the others have a class.
	Plain bool
}

type headView struct {
	Text   string
	Number bool
}

type rowView struct{ Cells []cellView }

type cellView struct {
	Text   string
	Pad    string // blank characters that bring the decimal points of a column in line
	Head   bool   // names its row
	Number bool
	Class  string
}

// newTables lays a table out, once where both systems of units come to the same.
func newTables(t *figure.Table) []*tableView {
	metric, us := newTable(t, figure.Metric), newTable(t, figure.US)
	if metric.same(us) {
		return []*tableView{metric}
	}
	metric.Class, us.Class = "in-metric", "in-us"
	return []*tableView{metric, us}
}

func (v *tableView) same(as *tableView) bool {
	return v.Class == as.Class && v.Label == as.Label && v.Plain == as.Plain && slices.Equal(v.Heads, as.Heads) &&
		slices.EqualFunc(v.Rows, as.Rows, func(a, b rowView) bool { return slices.Equal(a.Cells, b.Cells) })
}

func newTable(t *figure.Table, system figure.System) *tableView {
	v := &tableView{Label: t.Title.In(system)}
	height := len(t.Rows)
	for _, c := range t.Columns {
		height = max(height, len(c.Cells))
	}
	v.Rows = make([]rowView, height)
	if t.Rows != nil {
		v.Heads = append(v.Heads, headView{Text: t.RowHead})
		for i := range v.Rows {
			v.Rows[i].Cells = append(v.Rows[i].Cells, cellView{Head: true, Text: at(t.Rows, i).In(system)})
		}
	}
	for k, c := range t.Columns {
		v.addColumn(c, system, t.Rows == nil && k == 0 && len(t.Columns) > 1)
	}
	v.mark()
	return v
}

// mark gives a class to the numbers of a table or to its words, whichever are fewer.
func (v *tableView) mark() {
	numbers, words := 0, 0
	for _, row := range v.Rows {
		for _, c := range row.Cells {
			if c.Number {
				numbers++
			} else {
				words++
			}
		}
	}
	v.Plain = numbers > words
	for _, row := range v.Rows {
		for k := range row.Cells {
			switch c := &row.Cells[k]; {
			case c.Number && !v.Plain:
				c.Class = "number"
			case !c.Number && v.Plain:
				c.Class = "words"
			}
		}
	}
}

// gridHTML writes tables. A plot's numbers are some hundred cells, for which a template would take longer than
// all else on the page.
func gridHTML(tables []*tableView) template.HTML {
	var b strings.Builder
	write := func(parts ...string) {
		for _, p := range parts {
			b.WriteString(p)
		}
	}
	class := func(name string) {
		if name != "" {
			write(` class="`, name, `"`)
		}
	}
	for _, t := range tables {
		write(`<div`)
		class(strings.TrimSpace("scroll " + t.Class))
		write(` tabindex="0" role="group" aria-label="`, escape(cmp.Or(t.Label, "Table")), `"><table`)
		if t.Plain {
			class("plain")
		}
		write(">\n<thead><tr>")
		for _, h := range t.Heads {
			write(`<th scope="col"`)
			if h.Number {
				class("number")
			}
			write(">", escape(h.Text), "</th>")
		}
		write("</tr></thead>\n<tbody>")
		for _, row := range t.Rows {
			write("\n<tr>")
			for _, c := range row.Cells {
				tag := "td"
				if c.Head {
					tag = "th"
					write(`<th scope="row"`)
				} else {
					write("<td")
				}
				class(c.Class)
				write(">", escape(c.Text))
				if c.Pad != "" {
					write(`<span class="pad" aria-hidden="true">`, c.Pad, "</span>")
				}
				write("</", tag, ">")
			}
			write("</tr>")
		}
		write("\n</tbody>\n</table></div>")
	}
	return template.HTML(b.String())
}

// addColumn adds a column to every row. Without row labels the first column tells the rows apart.
func (v *tableView) addColumn(c figure.Column, system figure.System, labels bool) {
	head := headView{Text: c.Head.In(system)}
	if symbol := c.UnitIn(system).Symbol; symbol != "" {
		head.Text = strings.TrimSpace(head.Text + " (" + symbol + ")")
	}
	behind := 0 // the most characters from the decimal point on
	for _, cell := range c.Cells {
		if cell.Number {
			head.Number = true
			behind = max(behind, len([]rune(fraction(cell.Text.In(system)))))
		}
	}
	v.Heads = append(v.Heads, head)
	for i := range v.Rows {
		cell := figure.Cell{Absent: true}
		if i < len(c.Cells) {
			cell = c.Cells[i]
		}
		out := cellView{Text: cell.Text.In(system), Head: labels, Number: head.Number && (cell.Absent || cell.Number)}
		if cell.Absent {
			// It is made of the same elements as a number, so that a dial which makes it one changes a text alone.
			out.Text = "–"
		} else if out.Number && out.Text != "" {
			out.Pad = pad(fraction(out.Text), behind)
		}
		v.Rows[i].Cells = append(v.Rows[i].Cells, out)
	}
}

// fraction is what stands from the decimal point on.
func fraction(s string) string {
	whole, _, _ := strings.Cut(s, ".")
	return s[len(whole):]
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
