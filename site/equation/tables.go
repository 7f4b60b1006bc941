package equation

import (
	"maps"
	"slices"
	"strings"
	"sync"

	"turnplate/site/diag"
	"turnplate/site/pattern"
)

// layout is how an environment sets its rows and columns.
type layout struct {
	left, right string // brackets around it
	pairs       bool   // columns right and left in turn, without a gap in a pair: formulas lined up at their signs
	start       bool   // columns from their left edge
}

// environments are what \begin can name.
var environments = sync.OnceValue(func() map[string]layout {
	return map[string]layout{
		"matrix": {}, "pmatrix": {left: "(", right: ")"}, "bmatrix": {left: "[", right: "]"}, "Bmatrix": {left: "{", right: "}"},
		"vmatrix": {left: "|", right: "|"}, "Vmatrix": {left: "‖", right: "‖"},
		"cases": {left: "{", start: true}, "aligned": {pairs: true}, "align": {pairs: true}, "align*": {pairs: true}, "split": {pairs: true},
		"gathered": {}, "gather": {}, "gather*": {},
	}
})

// skip is the extra space that may follow \\, which a page sets by its own rules.
var skip = pattern.Of(`^\s*\[\s*-?[0-9.]+\s*(pt|ex|em|mm|cm|in)\s*\]`)

// cells reads rows of cells up to what ends them, which is left to the caller.
func (r *reader) cells() (rows [][][]atom) {
	var row [][]atom
	for r.fault == nil {
		row = append(row, r.row(""))
		rest := r.text[r.at:]
		switch {
		case strings.HasPrefix(rest, "&"):
			r.at++
			continue
		case strings.HasPrefix(rest, `\\`):
			r.at += 2
			r.at += len(skip().FindString(r.text[r.at:]))
			rows, row = append(rows, row), nil
			continue
		}
		if len(rows) > 0 && len(row) == 1 && len(row[0]) == 0 { // after a last \\
			return rows
		}
		return append(rows, row)
	}
	return rows
}

// environment reads \begin{…} … \end{…}.
func environment(r *reader, typed string) atom {
	start := r.at - len(typed)
	called := r.raw(typed)
	l, ok := environments()[called]
	if !ok {
		hint := diag.DidYouMean(called, slices.Sorted(maps.Keys(environments())))
		r.fail(start, r.at-start, hint, "%q is not an arrangement that formulas can use here", called)
		return atom{}
	}
	cells := r.cells()
	switch end := r.at; {
	case r.fault != nil:
		return atom{}
	case r.command() != `\end`:
		if r.at < len(r.text) {
			r.stray()
		}
		r.fail(start, len(typed), "", `\begin{%s} has no \end{%s}`, called, called)
		return atom{}
	default:
		r.at += len(`\end`)
		if closed := r.raw(`\end`); closed != called {
			r.fail(end, r.at-end, "", `\begin{%s} is ended by \end{%s}`, called, closed)
		}
	}
	xml := l.markup(cells)
	if l.left+l.right != "" {
		xml = tag("mrow", grown(l.left, "prefix"), xml, grown(l.right, "postfix"))
	}
	return r.inner(xml)
}

// markup writes the table. Where cells stand in their columns is for the page's style sheet: a page allows
// no inline style, and browsers have dropped MathML's own attributes for it.
func (l layout) markup(rows [][][]atom) string {
	start := "mtable"
	switch {
	case l.pairs:
		start = `mtable displaystyle="true" class="pairs"`
	case l.start:
		start = `mtable class="start"`
	}
	inside := ""
	for _, row := range rows {
		cells := ""
		for i, cell := range row {
			before := opening
			if l.pairs && i%2 == 1 { // the row goes on from the cell to its left
				before = ordinary
			}
			cells += tag("mtd", join(cell, before))
		}
		inside += tag("mtr", cells)
	}
	return tag(start, inside)
}
