package site

import (
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"unicode"

	"turnplate/site/build"
	"turnplate/site/diag"
)

// maxShown bounds the mistakes printed in one run, and the doubts; the rest are counted.
const maxShown = 100

// PrintFaults writes each mistake as file:line:col: message, with the line and a caret below it.
func (o *Outcome) PrintFaults(w io.Writer) { o.print(w, o.Faults, "", true) }

// PrintDoubts writes each doubt in the same way, as file:line:col: doubt: message.
func (o *Outcome) PrintDoubts(w io.Writer) { o.print(w, o.Doubts, "doubt: ", true) }

// print writes mistakes or doubts. Files are named from where the program was started, so that an editor can open them.
func (o *Outcome) print(w io.Writer, list diag.List, kind string, excerpts bool) {
	for i, d := range list {
		if i == maxShown {
			fmt.Fprintf(w, "%sand %d more\n", kind, len(list)-maxShown)
			return
		}
		d.File, d.Message = o.place(d.File), kind+d.Message
		fmt.Fprintln(w, visible(d.Error()))
		if excerpt := d.Excerpt(); excerpts && excerpt != "" {
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

// document is what verify --json prints. Its fields are described in README.md; they are only ever added to.
type document struct {
	Turnplate  string      `json:"turnplate"`
	Collection string      `json:"collection"`
	Good       bool        `json:"good"`
	Notebooks  []Notebook  `json:"notebooks"`
	Drafts     []string    `json:"drafts"`
	Faults     []jsonFault `json:"faults"`
	Doubts     []jsonFault `json:"doubts"`
	Claims     []jsonClaim `json:"claims"`
}

// jsonFault is a mistake or a doubt.
type jsonFault struct {
	File    string `json:"file"`
	Line    int    `json:"line"`
	Col     int    `json:"col"`
	Message string `json:"message"`
	Hint    string `json:"hint"`
}

// jsonClaim is a build.Claim.
type jsonClaim struct {
	File   string `json:"file"`
	Line   int    `json:"line"`
	Says   string `json:"text"`
	Holds  bool   `json:"holds"`
	Detail string `json:"detail"`
}

// listed makes of every item of a list what stands for it in the document, where an empty list is [].
func listed[A, B any](list []A, as func(A) B) []B {
	out := make([]B, 0, len(list))
	for _, item := range list {
		out = append(out, as(item))
	}
	return out
}

// WriteJSON writes the outcome for programs. Files are named from the collection's root.
func (o *Outcome) WriteJSON(w io.Writer) error {
	fault := func(d diag.Diagnostic) jsonFault {
		return jsonFault{d.File, d.Pos.Line, d.Pos.Col, d.Message, d.Hint}
	}
	out := json.NewEncoder(w)
	out.SetEscapeHTML(false)
	out.SetIndent("", "  ")
	return out.Encode(document{
		Turnplate: Version, Collection: o.Title, Good: o.Good(),
		Notebooks: append([]Notebook{}, o.Notebooks...),
		Drafts:    append([]string{}, o.Drafts...),
		Faults:    listed(o.Faults, fault),
		Doubts:    listed(o.Doubts, fault),
		Claims:    listed(o.Claims, func(c build.Claim) jsonClaim { return jsonClaim(c) }),
	})
}
