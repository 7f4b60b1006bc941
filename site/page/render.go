package page

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"path"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"turnplate/site/figure"
)

//go:embed templates
var templateFiles embed.FS

// The templates escape for the place they write to; what is template.HTML in a view was escaped by the
// renderer of prose, by gridHTML or by the writer of SVG. They read fields and call these functions, and no methods: in a
// browser they couldn't (engine/make).
var templates = template.Must(template.New("").Funcs(template.FuncMap{
	"text": textHTML, "span": spanHTML, "cell": cellHTML, "grid": gridHTML, "sentence": sentence,
	"plain": figure.Text.String, "gauge": newGauge, "heads": (*figure.Card).Heads, "measured": (*figure.Sheet).Measured,
}).ParseFS(templateFiles, "templates/*.html"))

// sentence gives a hint as a sentence of its own.
func sentence(hint string) string {
	first, size := utf8.DecodeRuneInString(hint)
	hint = string(unicode.ToUpper(first)) + hint[size:]
	if !strings.ContainsAny(hint[len(hint)-1:], ".?!") {
		hint += "."
	}
	return hint
}

// view is what the page's template reads.
type view struct {
	Page
	body
	System         string  // "metric" or "us"
	Up             string  // from the page to the site's root: "", "../"
	Assets         string  // from the page to the folder of the Assets
	Sections       []entry // the header's navigation
	Crumbs         []entry
	Siblings       []entry // pages of the same section
	Section        string  // its title
	Previous, Next *entry
	Author, Date   string
	Dated          bool // Date is one that a machine can read
	Lists          []list
	UsedBy         []entry       // the pages of Users
	Suspects       template.HTML // the corners that doubts are about, drawn
	ShareName      string        // of the page's picture, or ""
}

// entry is a link of the navigation.
type entry struct {
	Title, Summary, Href string
	Picture              string // to show beside it, or ""
	Here                 bool
}

// list is a section as an index page shows it.
type list struct {
	Title, Href string
	Pages       []entry
}

// Render lays a page out. An error means that the Page itself is unusable, never that a reader's text is.
func Render(p Page) (Output, error) {
	switch {
	case p.Eval == nil:
		return Output{}, fmt.Errorf("page: %q was not evaluated", p.Path)
	case p.Path == "" || path.Clean(p.Path) != p.Path || path.IsAbs(p.Path) || strings.HasPrefix(p.Path, ".."):
		return Output{}, fmt.Errorf("page: %q is not a place in the site", p.Path)
	}
	v := view{Page: p, System: "metric", Up: up(p.Path)}
	v.Assets = v.Up + AssetFolder + "/"
	v.navigate()
	var err error
	switch {
	case p.Text != nil:
		v.HTML, v.Contents = p.Text.HTML, p.Text.Contents
	case p.Notebook != nil:
		v.System, v.Author, v.Date = p.Notebook.Front.Units, p.Notebook.Front.Author, p.Notebook.Front.Date
		_, err = time.Parse(time.DateOnly, v.Date)
		v.Dated = err == nil
		if v.body, err = renderBody(p); err != nil {
			return Output{}, err
		}
	}
	if v.Suspects, err = Suspects(p.Eval, v.System, false); err != nil {
		return Output{}, err
	}
	if v.UsedBy = v.list(Section{Pages: p.Users}).Pages; v.UsedBy != nil {
		v.Contents = append(v.Contents, Heading{ID: usersID, Level: 2, Text: "Where it is used"})
	}
	if v.share != nil {
		v.ShareName = path.Base(v.share.Path)
	}
	var out bytes.Buffer
	if err := templates.ExecuteTemplate(&out, "page.html", v); err != nil {
		return Output{}, fmt.Errorf("page: %s: %w", p.Path, err)
	}
	return Output{HTML: out.Bytes(), Files: v.files, Share: v.share}, nil
}
