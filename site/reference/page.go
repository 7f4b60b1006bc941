package reference

import (
	"cmp"
	"embed"
	"fmt"
	"strings"
	"sync"
	"text/template"

	"turnplate/sim/unit"
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

//go:embed pages
var pageFiles embed.FS

var pageTemplates = template.Must(template.New("").Funcs(template.FuncMap{
	"plain": plain, "indent": indent, "printed": printed, "size": size, "other": other,
}).ParseFS(pageFiles, "pages/*.md"))

// Pages gives the page that lists all, and then those that it lists.
func Pages() []Page {
	functions := of(Function)
	list := []Page{{
		Name: "index", Title: "What a notebook can say",
		Summary: "What can be calculated, from what and by which sources; what can be shown; and how it is written.",
		Text: text("index.md", map[string]any{
			"Block": Find("Alignment")[0].Block, "Groups": groups()[1:], "Functions": functions, "Units": of(Unit),
		}),
	}}
	for _, e := range of(Model, Part, Figure, Piece, Topic) {
		page := Page{Name: e.File(), Title: e.Title(), Summary: capital(e.About()) + ".", Text: e.markdown()}
		if e.Kind != Topic {
			page.Explain = e.Name
		}
		list = append(list, page)
	}
	return append(list,
		Page{Name: "functions", Title: "Functions", Summary: "What can be called by name, and on a value.",
			Text: text("functions.md", map[string]any{"Groups": vocabulary.Groups, "Functions": functions})},
		Page{Name: "units", Title: "Units", Summary: "Names to multiply by, and how large they are.", Text: text("units.md", units())})
}

// text fills in a template of the pages.
func text(name string, values any) string {
	var b strings.Builder
	if err := pageTemplates.ExecuteTemplate(&b, name, values); err != nil {
		panic("reference: " + err.Error()) // a test fills in all of them
	}
	return b.String()
}

// Title heads an entry's page.
func (e Entry) Title() string { return cmp.Or(e.heading, e.Name) }

// File is the name of an entry's page.
func (e Entry) File() string { return strings.ToLower(e.Name) }

// entryPage is what the template of an entry's page reads.
type entryPage struct {
	Entry
	Opening, Rest string // of the doc comment
	coder         coder
}

func (e Entry) markdown() string {
	p := entryPage{Entry: e, coder: e.coder()}
	p.Opening, p.Rest, _ = strings.Cut(e.prose(p.coder), "\n\n")
	return text("entry.md", p)
}

// Words are those of a field, with what stands for an input when it is left out.
func (p entryPage) Words(f Field) string {
	words := p.coder.plain(f.Words, true)
	switch missing := p.missing(f); missing {
	case "":
	case "required":
		words += ". **Required.**"
	case "default":
		value := plain(f.Default)
		if number, unit, two := strings.Cut(value, " "); two && !strings.Contains(unit, " ") {
			value = number + "\u00a0" + unit // no line ends between them
		}
		words += ". Left out: " + value + "."
	default:
		words += ". " + capital(missing) + "."
	}
	return begin(words)
}

// Unit words a field's kind; one that is a part of a vehicle links to that part's page.
func (f Field) Unit() string {
	for _, name := range linked() {
		if kind, ok := strings.CutSuffix(f.Kind, name); ok && (kind == "" || kind == "list of " || strings.HasSuffix(kind, " or ")) {
			return fmt.Sprintf("%s[%s](%s.md)", kind, name, strings.ToLower(name))
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

// Prose is all that is said of a function.
func (e Entry) Prose() string { return strings.TrimSpace(e.prose(e.coder())) }

// indent moves a block to the right, into the description that it belongs to.
func indent(block string) string {
	var b strings.Builder
	for line := range strings.Lines(block) {
		b.WriteString("    " + line)
	}
	return b.String()
}

// printed is how a unit is printed.
func printed(u unit.Unit) string {
	if u.Name == "money" {
		return "the currency"
	}
	return u.Symbol
}

// other is the unit that readers of the other system of units see instead, or "".
func other(u unit.Unit) string {
	for _, us := range []bool{true, false} {
		if o := u.Counterpart(us); o.Name != u.Name {
			return o.Name
		}
	}
	return ""
}
