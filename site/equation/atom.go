package equation

import (
	"html"
	"strings"
)

// kind is the part that an atom plays in its row, from which the space around it follows.
type kind int

const (
	ordinary    kind = iota
	function         // sin, max
	large            // a sum, an integral
	binary           // +, ·
	relation         // =, <
	opening          // (
	closing          // )
	punctuation      // ,
	inner            // a fraction, brackets that grow
	space            // typed space: no atom at all
)

// atom is one piece of a row.
type atom struct {
	kind  kind
	xml   string // of all but operators
	sign  string // of an operator
	attrs string // of an operator
	// limits: scripts stand above and below instead of beside, when displayed or, with always, anywhere.
	limits, always bool
}

func (a atom) empty() bool { return a.xml == "" && a.sign == "" }

// markup writes the atom; form overrides how the browser would take an operator by its place in the row.
func (a atom) markup(form string) string {
	if a.sign == "" {
		return a.xml
	}
	if form != "" {
		form = ` form="` + form + `"`
	}
	return tag("mo"+form+a.attrs, html.EscapeString(a.sign))
}

// thin is TeX's thin space, three eighteenths of an em.
const thin = `<mspace width="0.1667em"/>`

// join writes a row; before is what stands to its left. Two rules of TeX are ours to apply, the rest a
// browser does from its dictionary of operators: a sign with nothing to its left that it could join belongs
// to what follows, as in x = −1; and functions' names, fractions and brackets that grow stand off their
// neighbours by a thin space, as in r tan τ.
func join(row []atom, before kind) string {
	var b strings.Builder
	spaced := true // at the start nothing needs space
	for i, a := range row {
		if a.kind == space {
			b.WriteString(a.xml)
			spaced = true
			continue
		}
		form := ""
		if a.kind == binary {
			switch before {
			case binary, relation, opening, punctuation, function, large:
				a.kind, form = ordinary, "prefix"
			default:
				if i == 0 { // the browser would take it for a prefix
					form = "infix"
				}
			}
		}
		if !spaced && apart(before, a.kind) {
			b.WriteString(thin)
		}
		b.WriteString(a.markup(form))
		before, spaced = a.kind, false
	}
	return b.String()
}

// apart says where a thin space goes of which the browser knows nothing (The TeXbook's table in chapter 18).
func apart(left, right kind) bool {
	switch {
	case left == function:
		return right == ordinary || right == function || right == inner
	case right == function:
		return left == ordinary || left == closing || left == inner
	case left == inner:
		return right == ordinary || right == opening || right == inner
	case right == inner:
		return left == ordinary || left == closing
	}
	return false
}

// grouped writes a row as one element.
func grouped(row []atom) string {
	if len(row) == 1 && row[0].kind != space && !row[0].empty() {
		return row[0].markup("")
	}
	return tag("mrow", join(row, opening))
}
