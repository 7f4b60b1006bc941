package reference

import (
	"fmt"
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
	index.WriteString("A model is a calculation that a parameter block can ask for by name. A parameter block is a fence in a notebook that starts with " +
		"` ```go params `:\n\n````go\n" + theTruck + uses["Alignment"].block + "\n````\n\n" +
		"Each page here says what one model takes and what it gives, in which unit and with which sign, what it assumes, where it holds, and where " +
		"its formulas come from. The pages are written from the program's own text, the same that calculates.\n\n## Which model answers what\n\n")
	for _, topic := range topics {
		fmt.Fprintf(&index, "### %s\n\n", topic.title)
		for _, name := range topic.names {
			fmt.Fprintf(&index, "- [%s](%s.md): %s\n", name, file(name), plain(lower(uses[name].question)))
		}
		index.WriteString("\n")
	}
	index.WriteString("## A vehicle, its parts, and what models take\n\n")
	for _, e := range parts {
		fmt.Fprintf(&index, "- [%s](%s.md): %s\n", e.Name, file(e.Name), plain(about(e)))
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

// lower is a sentence that goes on after a colon.
func lower(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToLower(s[:1]) + s[1:]
}

// example is a parameter block to paste, and a sentence for the text around it.
func (e Entry) example() (block, sentence string) {
	u, ok := uses[e.Name]
	if !ok {
		return "", ""
	}
	block = u.block + "\n"
	if strings.Contains(block, "truck") && !strings.Contains(block, "truck :=") {
		block = theTruck + block
	}
	return block, u.sentence
}

func (e Entry) markdown() string {
	c := e.coder()
	var b strings.Builder
	b.WriteString(e.prose(c))
	if block, sentence := e.example(); block != "" {
		fmt.Fprintf(&b, "## For example\n\nIn a parameter block:\n\n````go\n%s````\n", block)
		if sentence != "" {
			fmt.Fprintf(&b, "\nand in the text, which then shows the numbers:\n\n````\n%s\n````\n", sentence)
		}
	}
	b.WriteString("\n## " + map[bool]string{true: "Takes", false: "Fields"}[e.Model] + "\n\n")
	for _, f := range e.Takes {
		fmt.Fprintf(&b, "`%s` *%s*\n:   %s\n\n", f.Name, f.unit(), begin(c.plain(f.Words, true)+e.note(f)))
	}
	if e.Model && len(e.Reads) > 0 {
		b.WriteString("\n## Reads of the vehicle\n\nOnly these fields, and all below them, can change the result: `" + strings.Join(e.Reads, "`, `") + "`.")
		if len(e.ReadsOf) > 0 {
			b.WriteString(" Beside the vehicle: `" + strings.Join(e.ReadsOf, "`, `") + "`.")
		}
		b.WriteString("\n")
	}
	if e.Model {
		b.WriteString("\n## Gives\n\n")
		for _, f := range e.Gives {
			fmt.Fprintf(&b, "`%s` *%s*\n:   %s\n\n", f.Name, f.unit(), begin(c.plain(f.Words, true)))
		}
	}
	return b.String()
}

// begin keeps a text that starts with a sign from starting a list.
func begin(s string) string {
	if strings.HasPrefix(s, "+") || strings.HasPrefix(s, "-") {
		return `\` + s
	}
	return strings.TrimPrefix(strings.TrimSpace(s), ". ")
}

// note says what stands for an input when it is left out.
func (e Entry) note(f Field) string {
	switch {
	case f.Must && e.Model:
		return ". **Required.**"
	case f.Must:
		return ". No default."
	case f.Default == "none" && !f.saysSo():
		return ". May be left out."
	case f.Default == "" || f.Default == "none":
		return ""
	}
	value := plain(f.Default)
	if number, unit, two := strings.Cut(value, " "); two && !strings.Contains(unit, " ") {
		value = number + "\u00a0" + unit // no line ends between them
	}
	return ". Left out: " + value + "."
}

// saysSo tells whether an input's words say what happens without it.
func (f Field) saysSo() bool {
	return strings.Contains(f.Words, "left out") || strings.Contains(f.Words, "not given")
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

// plain makes a text mean itself in Markdown.
func plain(s string) string { return escape(strings.Join(strings.Fields(s), " ")) }

// escape does so with a part of a text, whose blanks count.
func escape(s string) string { return escaper.Replace(s) }

var escaper = strings.NewReplacer(`\`, `\\`, "*", `\*`, "_", `\_`, "`", "\\`", "[", `\[`, "]", `\]`, "<", `\<`, ">", `\>`, "&", `\&`,
	"{", `\{`, "$", `\$`, "|", `\|`, "#", `\#`, "~", `\~`)
