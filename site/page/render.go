package page

import (
	"bytes"
	"embed"
	"errors"
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
// renderer of prose, by gridHTML or by the writer of SVG.
var templates = template.Must(template.New("").Funcs(template.FuncMap{"text": textHTML, "span": spanHTML, "cell": cellHTML, "grid": gridHTML, "sentence": sentence}).ParseFS(templateFiles, "templates/*.html"))

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
	System         string // "metric" or "us"
	Up             string // from the page to the site's root: "", "../"
	Home           string
	Sections       []entry // the header's navigation
	Crumbs         []entry
	Siblings       []entry // pages of the same section
	Section        string  // its title
	Previous, Next *entry
	Title          figure.Text
	Summary        figure.Text
	Author, Date   string
	Dated          bool          // Date is one that a machine can read
	Lead           template.HTML // figures that open the page, or ""
	Body           template.HTML
	Positions      template.HTML // of the dials, for the script
	Contents       []Heading
	Lists          []list
	UsedBy         []entry // the pages of Users
	Cautions       bool
	Notes          []string
	Suspects       template.HTML // the corners that doubts are about, drawn
	Assets         string
	Share          string // the page's picture, or ""
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
	v := view{
		Page: p, System: "metric", Up: up(p.Path),
		Title: p.Eval.Title, Summary: p.Eval.Summary, Cautions: p.Eval.Cautions, Notes: p.Eval.Notes,
	}
	v.Home, v.Assets = v.Up+"index.html", v.Up+AssetFolder+"/"
	v.navigate()
	var files []File
	var picture *Share
	switch {
	case p.Text != nil:
		v.Body, v.Contents = p.Text.HTML, p.Text.Contents
	case p.Notebook != nil:
		v.System, v.Author, v.Date = p.Notebook.Front.Units, p.Notebook.Front.Author, p.Notebook.Front.Date
		_, err := time.Parse(time.DateOnly, v.Date)
		v.Dated = err == nil
		body, err := renderBody(p)
		if err != nil {
			return Output{}, err
		}
		v.Lead, v.Body, v.Contents, v.Positions, files, picture = body.lead, body.html, body.contents, body.positions, body.files, body.share
	}
	var err error
	if v.Suspects, err = Suspects(p.Eval, v.System, false); err != nil {
		return Output{}, err
	}
	for _, u := range p.Users {
		v.UsedBy = append(v.UsedBy, entry{Title: u.Title, Summary: u.Summary, Href: relative(p.Path, u.Path)})
	}
	if len(p.Users) > 0 {
		v.Contents = append(v.Contents, Heading{ID: usersID, Level: 2, Text: "Where it is used"})
	}
	if picture != nil {
		v.Share = path.Base(picture.Path)
	}
	var out bytes.Buffer
	if err := templates.ExecuteTemplate(&out, "page.html", v); err != nil {
		return Output{}, errors.Join(fmt.Errorf("page: %s", p.Path), err)
	}
	return Output{HTML: out.Bytes(), Files: files, Share: picture}, nil
}
