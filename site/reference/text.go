package reference

import (
	"cmp"
	"fmt"
	"go/doc/comment"
	"io"
	"reflect"
	"slices"
	"strings"
	"unicode/utf8"
)

// width is that of a plain terminal.
const width = 80

// List writes what there is, in a line or two each; functions and units by name alone.
func List(w io.Writer) {
	for _, g := range groups() {
		fmt.Fprintln(w, g.Title)
		list(w, g.Entries)
		fmt.Fprintln(w)
	}
	wrap(w, "Functions  ", strings.Join(names(of(Function)), " "))
	wrap(w, "Units      ", strings.Join(names(of(Unit)), " "))
	fmt.Fprintln(w, "\nturnplate tell NAME tells all about one of them, turnplate tell functions and\nturnplate tell units all about those.")
}

// Describe writes all about the entries of a name; "models" and "figures" are listed, "functions" and "units" told in full.
func Describe(w io.Writer, name string) bool {
	var entries []Entry
	switch strings.ToLower(name) {
	case "models":
		list(w, of(Model))
		return true
	case "figures":
		list(w, of(Figure))
		return true
	case "functions":
		entries = of(Function)
	case "units":
		entries = of(Unit)
	default:
		entries = Find(name)
	}
	for i, e := range entries {
		if i > 0 && e.Kind != Unit {
			fmt.Fprintln(w)
		}
		e.Text(w)
	}
	return len(entries) > 0
}

// list writes a line or two on each of some entries.
func list(w io.Writer, entries []Entry) {
	longest := 0
	for _, e := range entries {
		longest = max(longest, len(e.Name))
	}
	for _, e := range entries {
		wrap(w, fmt.Sprintf("  %-*s  ", longest, e.Name), e.About())
	}
}

// About is the synopsis without the name that Go's comments start with, up to where it goes into detail.
func (e Entry) About() string {
	text := strings.TrimPrefix(e.Synopsis, e.Name+" ")
	for _, verb := range []string{"gives ", "is ", "holds ", "describes "} {
		text = strings.TrimPrefix(text, verb)
	}
	if end := strings.IndexAny(text, ":;("); end > 0 {
		text = text[:end]
	}
	return strings.TrimRight(text, ". ")
}

// Text writes all about one entry.
func (e Entry) Text(w io.Writer) {
	if e.Kind == Unit {
		wrap(w, "", strings.TrimSuffix(textOf(e.Doc.Content[0].(*comment.Paragraph).Text), "\n"))
		return
	}
	fmt.Fprintf(w, "%s\n\n", cmp.Or(e.Call, e.Name))
	printer := comment.Printer{TextWidth: width}
	w.Write(printer.Text(e.Doc))
	switch {
	case len(e.Gives) > 0:
		fmt.Fprintln(w, "\nTakes")
	case len(e.Takes) > 0:
		fmt.Fprintln(w, "\nFields")
	}
	e.table(w, e.Takes)
	if len(e.Reads) > 0 {
		fmt.Fprintln(w, "\nReads of the vehicle (and all below them)")
		wrap(w, "  ", strings.Join(slices.Concat(e.Reads, e.ReadsOf), ", "))
	}
	if len(e.Gives) > 0 {
		fmt.Fprintln(w, "\nGives")
		e.table(w, e.Gives)
	}
	if e.Block != "" {
		fmt.Fprintln(w, "\nFor example, in a block that starts with ```go params")
		for line := range strings.Lines(e.Block) {
			fmt.Fprint(w, "\t", line)
		}
	}
	if e.Sentence != "" {
		fmt.Fprintf(w, "\nand in the text\n\t%s\n", e.Sentence)
	}
}

// table writes fields, each on a line or more.
func (e Entry) table(w io.Writer, fields []Field) {
	names, kinds := 0, 0
	for _, f := range fields {
		names = max(names, utf8.RuneCountInString(f.Name))
		kinds = max(kinds, utf8.RuneCountInString(f.Kind))
	}
	for _, f := range fields {
		text := f.Words
		if text == "" && slices.ContainsFunc(parts, func(p reflect.Type) bool { return p.Name() == f.Kind }) {
			text = "see turnplate tell " + f.Kind
		}
		switch missing := e.missing(f); missing {
		case "":
		case "default":
			text += "; default " + f.Default
		default:
			text += "; " + missing
		}
		wrap(w, fmt.Sprintf("  %-*s  %-*s  ", names, f.Name, kinds, f.Kind), strings.TrimPrefix(text, "; "))
	}
}

// missing says what becomes of an input that is left out: "default" if its default stands for it, "" if that goes without
// saying.
func (e Entry) missing(f Field) string {
	switch saysSo := strings.Contains(f.Words, "left out") || strings.Contains(f.Words, "not given"); {
	case f.Must && e.Kind == Part:
		return "no default"
	case f.Must:
		return "required"
	case f.Default == "none" && !saysSo:
		return "may be left out"
	case f.Default == "none" || f.Default == "":
		return ""
	}
	return "default"
}

// wrap writes words after a first part, and goes on below them where the line is full.
func wrap(w io.Writer, first, text string) {
	indent := strings.Repeat(" ", utf8.RuneCountInString(first))
	if len(indent) > width/2 {
		indent = strings.Repeat(" ", 8)
	}
	line := first
	for _, word := range strings.Fields(text) {
		if utf8.RuneCountInString(line+word) > width && strings.TrimSpace(line) != "" {
			fmt.Fprintln(w, strings.TrimRight(line, " "))
			line = indent
		}
		line += word + " "
	}
	fmt.Fprintln(w, strings.TrimRight(line, " "))
}
