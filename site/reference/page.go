package reference

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"turnplate/site/vocabulary"
)

// Page is an explanation as the text of a notebook, so that it is laid out like every other page.
type Page struct {
	Name    string // of its file, without ending; "index" for the list of all
	Title   string
	Summary string
	Text    string // Markdown, without the title
	Explain string // the name in a block that it explains, "" for none
}

// Pages gives the page that lists all, and then those that it lists.
func Pages() []Page {
	all := All()
	of := func(kinds ...Kind) []Entry {
		return slices.DeleteFunc(slices.Clone(all), func(e Entry) bool { return !slices.Contains(kinds, e.Kind) })
	}
	var index strings.Builder
	index.WriteString("A notebook is a Markdown file with parameter blocks, fences that start with " +
		"` ```go params `:\n\n````go\n" + theTruck + uses["Alignment"].block + "\n````\n\n" +
		"Here is everything that such a file can say. Each page on a model says what it takes and what it gives, in which unit and with which sign, what it " +
		"assumes, where it holds, and where its formulas come from. The pages are written from the program's own text, the same that calculates.\n\n## Which model answers what\n\n")
	for _, topic := range topics {
		fmt.Fprintf(&index, "### %s\n\n", topic.title)
		for _, name := range topic.names {
			fmt.Fprintf(&index, "- [%s](%s.md): %s\n", name, file(name), plain(lower(uses[name].question)))
		}
		index.WriteString("\n")
	}
	links := func(title string, entries []Entry) {
		fmt.Fprintf(&index, "## %s\n\n", title)
		for _, e := range entries {
			fmt.Fprintf(&index, "- [%s](%s.md): %s\n", e.title(), file(e.Name), plain(about(e)))
		}
		index.WriteString("\n")
	}
	links("A vehicle, its parts, and what models take", of(Part))
	links("Figures, and what they are made of", of(Figure, Piece))
	links("How a notebook is written", of(Topic))
	for i, p := range []Page{functionsPage(of(Function)), unitsPage(of(Unit))} {
		var names []string
		for _, e := range of([]Kind{Function, Unit}[i]) {
			names = append(names, "`"+e.Name+"`")
		}
		fmt.Fprintf(&index, "- [%s](%s.md): %s\n", p.Title, p.Name, strings.Join(names, " "))
	}
	list := []Page{{Name: "index", Title: "What a notebook can say", Summary: "What can be calculated, from what and by which sources; what can be shown; and how it is written.", Text: index.String()}}
	for _, e := range of(Model, Part, Figure, Piece, Topic) {
		page := Page{Name: file(e.Name), Title: e.title(), Summary: sentence(about(e)), Text: e.markdown()}
		if e.Kind != Topic {
			page.Explain = e.Name
		}
		list = append(list, page)
	}
	return append(list, functionsPage(of(Function)), unitsPage(of(Unit)))
}

// title heads an entry's page.
func (e Entry) title() string {
	if e.Kind == Topic {
		return topicTitles[e.Name]
	}
	return e.Name
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
	if e.use.block == "" {
		return "", ""
	}
	block = e.use.block + "\n"
	if strings.Contains(block, "truck") && !strings.Contains(block, "truck :=") && !strings.Contains(block, "use(") {
		block = theTruck + block
	}
	return block, e.use.sentence
}

func (e Entry) markdown() string {
	c := e.coder()
	var b strings.Builder
	opening, rest, _ := strings.Cut(e.prose(c), "\n\n")
	b.WriteString(opening + "\n\n" + glance(e.Name) + rest)
	if block, sentence := e.example(); block != "" {
		fmt.Fprintf(&b, "## For example\n\nIn a parameter block:\n\n````go\n%s````\n", block)
		if sentence != "" {
			fmt.Fprintf(&b, "\nand in the text, which then shows the numbers:\n\n````\n%s\n````\n", sentence)
		}
	}
	if e.Kind == Model {
		b.WriteString("\n## Takes\n\n")
	} else if len(e.Takes) > 0 {
		b.WriteString("\n## Fields\n\n")
	}
	for _, f := range e.Takes {
		fmt.Fprintf(&b, "`%s` *%s*\n:   %s\n\n", f.Name, f.unit(), begin(c.plain(f.Words, true)+e.note(f)))
	}
	if e.Kind == Model && len(e.Reads) > 0 {
		b.WriteString("\n## Reads of the vehicle\n\nOnly these fields, and all below them, can change the result: `" + strings.Join(e.Reads, "`, `") + "`.")
		if len(e.ReadsOf) > 0 {
			b.WriteString(" Beside the vehicle: `" + strings.Join(e.ReadsOf, "`, `") + "`.")
		}
		b.WriteString("\n")
	}
	if e.Kind == Model {
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
	case f.Must && e.Kind == Part:
		return ". No default."
	case f.Must:
		return ". **Required.**"
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
	for _, name := range linked() {
		if kind, ok := strings.CutSuffix(f.Kind, name); ok && (kind == "" || kind == "list of " || strings.HasSuffix(kind, " or ")) {
			return fmt.Sprintf("%s[%s](%s.md)", kind, name, file(name))
		}
	}
	if f.US != "" {
		return plain(f.Kind + " (" + f.US + ")")
	}
	return plain(f.Kind)
}

// linked are the names that a field's kind may link to.
var linked = sync.OnceValue(func() []string {
	names := []string{"AlignTo", "Alignment"}
	for _, p := range parts {
		names = append(names, p.Name())
	}
	for _, p := range vocabulary.Pieces {
		names = append(names, p.Name)
	}
	return names
})

// plain makes a text mean itself in Markdown.
func plain(s string) string { return escape(strings.Join(strings.Fields(s), " ")) }

// escape does so with a part of a text, whose blanks count.
func escape(s string) string { return escaper.Replace(s) }

var escaper = strings.NewReplacer(`\`, `\\`, "*", `\*`, "_", `\_`, "`", "\\`", "[", `\[`, "]", `\]`, "<", `\<`, ">", `\>`, "&", `\&`,
	"{", `\{`, "$", `\$`, "|", `\|`, "#", `\#`, "~", `\~`)
