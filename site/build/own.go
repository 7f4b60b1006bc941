package build

import (
	"slices"
	"strings"

	"turnplate/site/notebook"
	"turnplate/site/page"
)

// Every site has pages that come from the program instead of the collection: the glossary, and what a notebook
// can say. They lie in the site's own folder, where no notebook can be in their way.
const (
	glossaryPage    = page.AssetFolder + "/glossary"
	referenceFolder = page.AssetFolder + "/reference/"
	referencePage   = referenceFolder + "index"
)

// ownPages are those pages by path without ending, all but what the site around them adds.
type ownPages struct {
	paths     []string // in order
	byPath    map[string]page.Page
	links     []page.Link       // for the header
	explained map[string]string // pages by the name they explain
	named     map[string]string // the other way round
}

// mostUsers bounds the list of pages that use what a page explains: it is there for an example, and a large
// collection's vehicle is on all of its pages.
const mostUsers = 12

// users lists the notebooks whose blocks use what one of the site's own pages explains, in reading order.
func (s *Site) users(name string, shared *page.Site) []page.Link {
	named := own().named[name]
	if named == "" {
		return nil
	}
	var list []page.Link
	see := func(p page.Link) {
		n := s.byPath[strings.TrimSuffix(p.Path, ".html")]
		if n == nil || len(list) >= mostUsers {
			return
		}
		nb, err := s.collection.Notebook(n.Path)
		uses := func(b *notebook.Block) bool { return writes(b.Snippet.Text, named) }
		if err == nil && slices.ContainsFunc(nb.Blocks, uses) {
			list = append(list, p)
		}
	}
	for _, section := range shared.Sections {
		see(page.Link{Title: section.Title, Summary: s.summary(section.Path), Path: section.Path})
		for _, p := range section.Pages {
			see(p)
		}
	}
	return list
}

// writes tells whether a parameter block writes out a model, part or figure of this name. It looks by plain search: every
// such page looks through every notebook.
func writes(block, name string) bool {
	for {
		at := strings.Index(block, name+"{")
		if at <= 0 {
			return at == 0
		}
		switch c := block[at-1]; {
		case c == '_', c == '.', c == '"', '0' <= c && c <= '9', 'a' <= c && c <= 'z', 'A' <= c && c <= 'Z':
			block = block[at+len(name):] // the end of another name, or a word in a text
		default:
			return true
		}
	}
}

// summary is that of a section's own page, where it has one.
func (s *Site) summary(path string) string {
	if n := s.byPath[strings.TrimSuffix(path, ".html")]; n != nil {
		return s.told(n).Summary
	}
	return ""
}
