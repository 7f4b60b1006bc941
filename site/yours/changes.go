// Package yours is the reader's own vehicle: the values that stand in the place of a page's.
//
//	Changes   what the reader gave, as assignments to fields of the one vehicle
//	Parse     text -> Changes; it takes nothing but such assignments, from whomever the text comes
//	Text      Changes -> text, the same in a reader's browser, in an exported file and in a notebook's block
//
// The text is a parameter block, so what was typed into a form can be pasted into a notebook.
package yours

import (
	"fmt"
	"strings"

	"turnplate/sim"
	"turnplate/site/diag"
	"turnplate/site/lang"
)

// Bounds of a reader's text. A whole vehicle has some hundred and fifty fields.
const (
	MaxBytes   = 16 << 10
	MaxChanges = 300
	maxText    = 80 // bytes of one text, such as a name
)

// File is the name under which mistakes in a reader's text are reported.
const File = "yours"

// Changes are a reader's values for fields of the vehicle Name, in the order in which they are set.
type Changes struct {
	Name string // the vehicle's, "truck"
	List []Change
}

// Change is one field's value.
type Change struct {
	Path    string     // the field, as it is written after the vehicle's name: "Front.UpperBall.X", "Both.Lift"
	Expr    string     // its value as written: "normal(400*mm, 2*mm)"
	Field   *sim.Field // what the schema says of it; of the point for one of a point's parts
	Numbers []float64  // SI: one number, a point's three, none for a text or a tyre; an uncertain one's mean
	Spread  bool       // a number is uncertain
	Half    float64    // SI: half its 95 % interval, of a normal one; else 0
	Words   string     // a text, or a tyre's designation
	Pos     diag.Pos   // where it was written
}

// line is the assignment as a block has it.
func (c Change) line(name string) string { return name + "." + c.Path + " = " + c.Expr }

// Text is the block: one assignment a line.
func (c Changes) Text() string {
	var b strings.Builder
	for _, one := range c.List {
		b.WriteString(one.line(c.Name))
		b.WriteByte('\n')
	}
	return b.String()
}

// Get gives the change of a field, or nil.
func (c Changes) Get(path string) *Change {
	for i := range c.List {
		if c.List[i].Path == path {
			return &c.List[i]
		}
	}
	return nil
}

// At gives the change written on a line of Text, or nil.
func (c Changes) At(line int) *Change {
	if line < 1 || line > len(c.List) {
		return nil
	}
	return &c.List[line-1]
}

// Snippet is Text as a piece of source, to be carried out.
func (c Changes) Snippet() diag.Snippet { return snippet(c.Text()) }

// Notes are mistakes or doubts found in Text, each with the path of the change on whose line it stands. What stands in
// another file is left out: it is the page's own.
func (c Changes) Notes(list diag.List, doubts bool) []Note {
	var notes []Note
	for _, d := range list {
		if d.File != File {
			continue
		}
		n := Note{Message: d.Message, Hint: d.Hint, Doubt: doubts}
		if one := c.At(d.Pos.Line); one != nil {
			n.Path = one.Path
		}
		notes = append(notes, n)
	}
	return notes
}

// snippet is a reader's text as a piece of source.
func snippet(text string) diag.Snippet {
	s := diag.Snippet{File: File, Source: []byte(text), Text: text}
	for i := range strings.Count(text, "\n") + 1 {
		s.Starts = append(s.Starts, diag.Pos{Line: i + 1, Col: 1})
	}
	return s
}

// Parse reads a reader's text: assignments of numbers with units, points, texts and a tyre's designation to fields of the
// vehicle called name. Whatever else it holds is a mistake with its place. What could be read stands in the result all
// the same, so that one slip doesn't take the other values away.
func Parse(name, text string) (Changes, diag.List) {
	out := Changes{Name: name}
	whole := snippet(text)
	if len(text) > MaxBytes {
		return out, diag.List{whole.Fault(1, 1, 0, "", "these values take %d bytes; the most is %d", len(text), MaxBytes)}
	}
	block, faults := lang.Parse(whole)
	if len(faults) > 0 {
		return out, faults
	}
	r := reader{name: name, text: block.Text}
	for _, stmt := range block.Stmts {
		if len(out.List) == MaxChanges {
			r.fault(stmt, "", "there are more than %d values", MaxChanges)
			break
		}
		c, ok := r.change(stmt)
		if !ok {
			continue
		}
		if hidden := out.hiddenBy(c); hidden != nil {
			r.fault(stmt, fmt.Sprintf("leave one of the two out; the other stands on line %d", hidden.Pos.Line), "%s takes one value", c.Path)
			continue
		}
		out.List = append(out.List, c)
	}
	return out, r.faults
}

// hiddenBy gives the earlier change that c would undo in whole or in part: the same field, or a field of what c sets.
// A tyre by its designation may be given first and its fields after it.
func (c Changes) hiddenBy(next Change) *Change {
	for i := range c.List {
		for _, path := range sides(c.List[i].Path) {
			for _, other := range sides(next.Path) {
				if path == other || strings.HasPrefix(path, other+".") {
					return &c.List[i]
				}
			}
		}
	}
	return nil
}

// sides are the fields that a path writes: Both.Lift writes Front.Lift and Right.Lift.
func sides(path string) []string {
	if rest, both := strings.CutPrefix(path, "Both."); both {
		return []string{"Front." + rest, "Right." + rest}
	}
	return []string{path}
}
