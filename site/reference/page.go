package reference

import (
	"fmt"
	"go/doc/comment"
	"strings"
)

// Page is an explanation as the text of a notebook, so that it is laid out like every other page.
type Page struct {
	Name    string // of its file, without ending; "index" for the list of all
	Title   string
	Summary string
	Text    string // Markdown, without the title
	Explain string // the model or part, or "" for the list
}

// Pages gives one page for each model and each part of a vehicle, after the one that lists them.
func Pages() []Page {
	models, parts := Models(), Parts()
	var index strings.Builder
	index.WriteString("A model is a calculation that a parameter block can ask for by name: `Alignment{Vehicle: truck}`. Each page here says what " +
		"one of them takes, what it gives and in which unit, what it assumes, and where its formulas come from. The pages are written from " +
		"the program's own text, which is what calculates, so they can't say anything else than it does.\n\n")
	for _, part := range []struct {
		title   string
		entries []Entry
	}{{"Models", models}, {"A vehicle, its parts, and what models take", parts}} {
		fmt.Fprintf(&index, "## %s\n\n", part.title)
		for _, e := range part.entries {
			fmt.Fprintf(&index, "- [%s](%s.md): %s\n", e.Name, file(e.Name), plain(about(e)))
		}
		index.WriteString("\n")
	}
	list := []Page{{Name: "index", Title: "What each model does", Summary: "What can be calculated, from what, and by which sources.", Text: index.String()}}
	for _, e := range append(models, parts...) {
		list = append(list, Page{Name: file(e.Name), Title: e.Name, Summary: sentence(about(e)), Text: e.markdown(), Explain: e.Name})
	}
	return list
}

// file is the name of the page that explains a name.
func file(name string) string { return strings.ToLower(name) }

func sentence(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToUpper(s[:1]) + s[1:] + "."
}

func (e Entry) markdown() string {
	var b strings.Builder
	printer := comment.Printer{HeadingLevel: 2, HeadingID: func(*comment.Heading) string { return "" }, DocLinkURL: func(l *comment.DocLink) string {
		if _, ok := Find(l.Name); ok && l.ImportPath == "" && l.Recv == "" {
			return file(l.Name) + ".md"
		}
		return ""
	}}
	for _, line := range strings.Split(string(printer.Markdown(e.Doc)), "\n") {
		if !strings.HasPrefix(line, "\t") { // not in a block of code, where a backslash would show
			line = escaper.Replace(line)
		}
		b.WriteString(line + "\n")
	}
	head := "Input"
	if e.Model {
		b.WriteString("\n## Takes\n")
	} else {
		b.WriteString("\n## Fields\n")
		head = "Field"
	}
	fmt.Fprintf(&b, "\n| %s | Unit | What it is |\n|---|---|---|\n", head)
	for _, f := range e.Takes {
		fmt.Fprintf(&b, "| `%s` | %s | %s |\n", f.Name, f.unit(), f.about())
	}
	if e.Model && len(e.Reads) > 0 {
		b.WriteString("\n## Reads of the vehicle\n\nOnly these fields, and all below them, can change the result: `" + strings.Join(e.Reads, "`, `") + "`.\n")
	}
	if e.Model {
		b.WriteString("\n## Gives\n\n| Output | Unit | What it is |\n|---|---|---|\n")
		for _, f := range e.Gives {
			fmt.Fprintf(&b, "| `%s` | %s | %s |\n", f.Name, f.unit(), plain(f.Words))
		}
	}
	return b.String()
}

// about says what an input is, and what stands for it when it is left out.
func (f Field) about() string {
	words := plain(f.Words)
	switch {
	case f.Must:
		return strings.TrimPrefix(words+". **Required.**", ". ")
	case f.Default == "" || f.Default == "none" && strings.Contains(f.Words, "left out"):
		return words
	}
	return strings.TrimPrefix(words+". Left out: "+plain(f.Default)+".", ". ")
}

// unit words a field's kind; one that is a part of a vehicle links to that part's page.
func (f Field) unit() string {
	for _, p := range parts {
		if kind, ok := strings.CutSuffix(f.Kind, p.Name()); ok && (kind == "" || kind == "list of " || strings.HasSuffix(kind, " or ")) {
			return fmt.Sprintf("%s[%s](%s.md)", kind, p.Name(), file(p.Name()))
		}
	}
	if f.US != "" {
		return plain(f.Kind + " (" + f.US + ")")
	}
	return plain(f.Kind)
}

// escaper keeps braces and dollar signs from being taken for numbers and equations.
var escaper = strings.NewReplacer("{", `\{`, "$", `\$`)

// plain makes a text mean itself in Markdown.
func plain(s string) string {
	return strings.NewReplacer(`\`, `\\`, "*", `\*`, "_", `\_`, "`", "\\`", "[", `\[`, "]", `\]`, "<", `\<`, ">", `\>`, "&", `\&`,
		"{", `\{`, "$", `\$`, "|", `\|`, "#", `\#`, "~", `\~`).Replace(strings.Join(strings.Fields(s), " "))
}
