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
	names := func(kind Kind) string {
		var names []string
		for _, e := range All() {
			if e.Kind == kind {
				names = append(names, e.Name)
			}
		}
		return strings.Join(names, " ")
	}
	for _, part := range []struct {
		title string
		kinds []Kind
	}{
		{"Models", []Kind{Model}}, {"A vehicle, its parts, and what models take", []Kind{Part}}, {"Figures, and what they are made of", []Kind{Figure, Piece}}, {"How a notebook is written", []Kind{Topic}},
	} {
		fmt.Fprintln(w, part.title)
		var entries []Entry
		for _, e := range All() {
			if slices.Contains(part.kinds, e.Kind) {
				entries = append(entries, e)
			}
		}
		list(w, entries)
		fmt.Fprintln(w)
	}
	wrap(w, "Functions  ", names(Function))
	wrap(w, "Units      ", names(Unit))
	fmt.Fprintln(w, "\nturnplate tell NAME tells all about one of them, turnplate tell functions and\nturnplate tell units all about those.")
}

// Describe writes all about the entries of a name, or of a kind: "functions", "units", "figures", "models".
func Describe(w io.Writer, name string) bool {
	entries := Find(name)
	for plural, kind := range map[string]Kind{"models": Model, "figures": Figure, "functions": Function, "units": Unit} {
		if strings.EqualFold(name, plural) {
			entries = slices.DeleteFunc(All(), func(e Entry) bool { return e.Kind != kind })
			if kind == Model || kind == Figure {
				list(w, entries)
				return true
			}
		}
	}
	for i, e := range entries {
		if i > 0 && e.Kind != Unit {
			fmt.Fprintln(w)
		}
		e.Text(w)
	}
	return len(entries) > 0
}

func list(w io.Writer, entries []Entry) {
	names := 0
	for _, e := range entries {
		names = max(names, len(e.Name))
	}
	for _, e := range entries {
		wrap(w, "  "+pad(e.Name, names)+"  ", about(e))
	}
}

// about is the synopsis without the name that Go's comments start with, up to where it goes into detail.
func about(e Entry) string {
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
	if e.Kind == Model {
		fmt.Fprintln(w, "\nTakes")
	} else if len(e.Takes) > 0 {
		fmt.Fprintln(w, "\nFields")
	}
	e.table(w, e.Takes)
	if e.Kind == Model && len(e.Reads) > 0 {
		fmt.Fprintln(w, "\nReads of the vehicle (and all below them)")
		wrap(w, "  ", strings.Join(append(slices.Clone(e.Reads), e.ReadsOf...), ", "))
	}
	if e.Kind == Model {
		fmt.Fprintln(w, "\nGives")
		e.table(w, e.Gives)
	}
	if block, sentence := e.example(); block != "" {
		fmt.Fprintln(w, "\nFor example, in a block that starts with ```go params")
		for line := range strings.Lines(block) {
			fmt.Fprint(w, "\t", line)
		}
		if sentence != "" {
			fmt.Fprintf(w, "\nand in the text\n\t%s\n", sentence)
		}
	}
}

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
		switch {
		case f.Must && e.Kind == Part:
			text += "; no default"
		case f.Must:
			text += "; required"
		case f.Default == "none" && !f.saysSo():
			text += "; may be left out"
		case f.Default != "" && f.Default != "none":
			text += "; default " + f.Default
		}
		text = strings.TrimPrefix(text, "; ")
		line := "  " + pad(f.Name, names) + "  " + pad(f.Kind, kinds) + "  "
		wrap(w, line, text)
	}
}

func pad(s string, to int) string {
	return s + strings.Repeat(" ", max(to-utf8.RuneCountInString(s), 0))
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
