//go:build !js

package build

import (
	"strings"
	"sync"

	"turnplate/site/eval"
	"turnplate/site/figure"
	"turnplate/site/glossary"
	"turnplate/site/notebook"
	"turnplate/site/page"
	"turnplate/site/reference"
)

var own = sync.OnceValue(func() *ownPages {
	o := &ownPages{byPath: map[string]page.Page{}, explained: map[string]string{}, named: map[string]string{}}
	add := func(path string, p page.Page) {
		p.Path = path + ".html"
		o.paths = append(o.paths, path)
		o.byPath[path] = p
	}
	words := &page.Text{HTML: glossary.Body()}
	for _, t := range glossary.Terms() {
		words.Contents = append(words.Contents, page.Heading{ID: t.ID(), Level: 2, Text: t.Name})
	}
	add(glossaryPage, page.Page{Eval: titled("Glossary"), Text: words})

	pages := reference.Pages()
	among := &page.Section{}
	for _, r := range pages {
		path := referenceFolder + r.Name
		p := page.Page{Eval: titled(r.Title), Notebook: notebook.Read(path, []byte(r.Text)), Among: among, Resolve: sibling, Sketch: termSketch}
		add(path, p)
		if r.Name == "index" {
			among.Title, among.Path = r.Title, path+".html"
			continue
		}
		among.Pages = append(among.Pages, page.Link{Title: r.Title, Summary: r.Summary, Path: path + ".html"})
		if r.Explain != "" {
			o.explained[r.Explain] = path + ".html"
			o.named[path] = r.Explain
		}
	}
	o.links = []page.Link{{Title: "Reference", Path: referencePage + ".html"}, {Title: "Glossary", Path: glossaryPage + ".html"}}
	return o
})

func titled(title string) *eval.Page {
	return &eval.Page{Title: figure.Text{{Text: figure.Plain(title)}}}
}

// termSketch is the glossary's sketch of a term that a reference page shows, without the attributes that the page gives it.
func termSketch(dest string) string {
	for _, t := range glossary.Terms() {
		if t.ID()+".svg" == dest {
			_, drawn, _ := strings.Cut(t.Sketch(), ">")
			return `<svg viewBox="0 0 280 200">` + drawn
		}
	}
	return ""
}

// sibling resolves a link from one of the reference pages to another.
func sibling(dest string) (string, bool) {
	bare, ok := strings.CutSuffix(dest, ".md")
	return bare + ".html", ok
}
