package site

import (
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"unicode"
)

// maxShown bounds the mistakes printed in one run; the rest are counted.
const maxShown = 100

// PrintFaults writes each mistake as file:line:col: message, with the line and a caret below it. Files are
// named from where the program was started, so that an editor can open them.
func (o *Outcome) PrintFaults(w io.Writer) {
	for i, d := range o.Faults {
		if i == maxShown {
			fmt.Fprintf(w, "and %d more\n", len(o.Faults)-maxShown)
			return
		}
		d.File = o.place(d.File)
		fmt.Fprintln(w, visible(d.Error()))
		if excerpt := d.Excerpt(); excerpt != "" {
			fmt.Fprintln(w, visible(excerpt))
		}
	}
}

// PrintDoubts writes each doubt as file:line:col: doubt: message, with the line and a caret below it.
func (o *Outcome) PrintDoubts(w io.Writer) {
	for i, d := range o.Doubts {
		if i == maxShown {
			fmt.Fprintf(w, "and %d doubts more\n", len(o.Doubts)-maxShown)
			return
		}
		d.File, d.Message = o.place(d.File), "doubt: "+d.Message
		fmt.Fprintln(w, visible(d.Error()))
		if excerpt := d.Excerpt(); excerpt != "" {
			fmt.Fprintln(w, visible(excerpt))
		}
	}
}

// PrintFailing writes the claims that don't hold, in the form of mistakes.
func (o *Outcome) PrintFailing(w io.Writer) {
	for _, c := range o.Claims {
		if !c.Holds {
			fmt.Fprintln(w, visible(fmt.Sprintf("%s:%d: the claim fails: %s%s", o.place(c.File), c.Line, c.Says, detail(c.Detail))))
		}
	}
}

// PrintClaims writes every claim under its notebook.
func (o *Outcome) PrintClaims(w io.Writer) {
	file := ""
	for _, c := range o.Claims {
		if c.File != file {
			file = c.File
			fmt.Fprintln(w, visible(o.place(file)))
		}
		verdict := "holds"
		if !c.Holds {
			verdict = "FAILS"
		}
		fmt.Fprintln(w, visible(fmt.Sprintf("  %s  %s%s (line %d)", verdict, c.Says, detail(c.Detail), c.Line)))
	}
}

func detail(text string) string {
	if text == "" {
		return ""
	}
	return ": " + text
}

// Summary is one sentence on the whole.
func (o *Outcome) Summary() string {
	text := fmt.Sprintf("%s, %s: %s", count(len(o.Notebooks), "notebook"), count(len(o.Claims), "claim"), count(len(o.Faults), "mistake"))
	if failing := o.Failing(); failing > 0 {
		text += ", " + count(failing, "claim") + " failing"
	}
	if len(o.Doubts) > 0 {
		text += ", " + count(len(o.Doubts), "doubt")
	}
	if len(o.Drafts) > 0 {
		text += "; left out as drafts: " + strings.Join(o.Drafts, ", ")
	}
	return visible(text)
}

func count(n int, what string) string {
	switch n {
	case 0:
		return "no " + what + "s"
	case 1:
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// place names a file of the collection from where the program was started. A name may hold a line end, and would
// seem to be two lines.
func (o *Outcome) place(file string) string {
	file = strings.Map(func(r rune) rune {
		if r == '\n' || r == '\t' {
			return unicode.ReplacementChar
		}
		return r
	}, file)
	return filepath.Join(o.Folder, filepath.FromSlash(file))
}

// visible replaces what would act on a terminal rather than show on it.
func visible(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && r != '\n' && r != '\t' || unicode.Is(unicode.Bidi_Control, r) {
			return unicode.ReplacementChar
		}
		return r
	}, text)
}

// The document that verify --json prints. Its fields are described in README.md; they are only ever added
// to.
type document struct {
	Turnplate  string         `json:"turnplate"`
	Collection string         `json:"collection"`
	Good       bool           `json:"good"`
	Notebooks  []jsonNotebook `json:"notebooks"`
	Drafts     []string       `json:"drafts"`
	Faults     []jsonFault    `json:"faults"`
	Doubts     []jsonFault    `json:"doubts"`
	Claims     []jsonClaim    `json:"claims"`
}

type jsonNotebook struct {
	File  string `json:"file"`
	Title string `json:"title"`
}

type jsonFault struct {
	File    string `json:"file"`
	Line    int    `json:"line"`
	Col     int    `json:"col"`
	Message string `json:"message"`
	Hint    string `json:"hint"`
}

type jsonClaim struct {
	File   string `json:"file"`
	Line   int    `json:"line"`
	Text   string `json:"text"`
	Holds  bool   `json:"holds"`
	Detail string `json:"detail"`
}

// WriteJSON writes the outcome for programs. Files are named from the collection's root.
func (o *Outcome) WriteJSON(w io.Writer) error {
	doc := document{
		Turnplate: Version, Collection: o.Title, Good: o.Good(), Drafts: append([]string{}, o.Drafts...),
		Notebooks: []jsonNotebook{}, Faults: []jsonFault{}, Doubts: []jsonFault{}, Claims: []jsonClaim{},
	}
	for _, n := range o.Notebooks {
		doc.Notebooks = append(doc.Notebooks, jsonNotebook(n))
	}
	for _, d := range o.Faults {
		doc.Faults = append(doc.Faults, jsonFault{d.File, d.Pos.Line, d.Pos.Col, d.Message, d.Hint})
	}
	for _, d := range o.Doubts {
		doc.Doubts = append(doc.Doubts, jsonFault{d.File, d.Pos.Line, d.Pos.Col, d.Message, d.Hint})
	}
	for _, c := range o.Claims {
		doc.Claims = append(doc.Claims, jsonClaim{c.File, c.Line, c.Says, c.Holds, c.Detail})
	}
	out := json.NewEncoder(w)
	out.SetEscapeHTML(false)
	out.SetIndent("", "  ")
	return out.Encode(doc)
}
