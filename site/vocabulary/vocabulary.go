// Package vocabulary is what a notebook can say beside models and vehicles, in one table: figures and what they are
// made of, functions and the keys of front matter. The language is bound from it (a figure has the fields that stand
// here, a function takes the arguments that stand here), and `turnplate tell` and the site's reference pages are written
// from it, so neither can know more than the other.
//
//	Figures    what a block can put on the page
//	Pieces     literals that only stand inside a figure, such as Column
//	Functions  what can be called by name; Methods, what can be called on a value
//	FrontKeys  the keys of front matter
package vocabulary

import "slices"

// Entry is a figure, or a piece of one.
type Entry struct {
	Name   string
	Words  string // starts with the name, as a Go comment does; paragraphs are parted by a blank line
	Fields []Field
}

// Field is one field of a figure, or one key.
type Field struct {
	Name, Kind, Words string
	Must              bool
}

// heads are the fields that every figure takes after its own.
var heads = []Field{
	{Name: "Title", Kind: "text", Words: "stands above; left out: none"},
	{Name: "Caption", Kind: "text", Words: "stands below; left out: none"},
	{Name: "Alt", Kind: "text", Words: "for readers who can't see it; left out: what it shows is put into words by itself"},
	{Name: "Share", Kind: "yes or no", Words: "this is the page's picture where it is talked about; left out: the lead's plot or drawing is, or the first plot"},
}

// AllFields lists a figure's fields in the order in which they can be given without their names.
func (e Entry) AllFields() []Field { return append(slices.Clone(e.Fields), heads...) }

// Names lists the names of fields.
func Names(fields []Field) []string {
	names := make([]string, len(fields))
	for i, f := range fields {
		names[i] = f.Name
	}
	return names
}

// FieldsOf lists the fields of a piece, in order. A name that isn't in the table is the program's own slip.
func FieldsOf(piece string) []string {
	i := slices.IndexFunc(Pieces, func(e Entry) bool { return e.Name == piece })
	if i < 0 {
		panic("vocabulary: there are no words for " + piece)
	}
	return Names(Pieces[i].Fields)
}

// Function is a function or a method.
type Function struct {
	Name    string
	Call    string // as it is written, with names for its arguments
	Min     int    // arguments
	Max     int    // −1: any number
	Group   string
	Words   string // what it gives, from what
	Example string // a line of a parameter block; prose and tests see its names
}

// Any stands for any number of arguments.
const Any = -1
