// Package page lays one notebook out as one HTML page: prose, figures, navigation, footer.
//
//	Page     everything one page is made from
//	Output   what came of it: the HTML and the files that belong beside it
//	Assets   style sheet and script, written once for the whole site
//
// A page holds relative links only, no inline style and no inline script, and the same Page always gives
// the same bytes. Without the script every page still shows its numbers and figures.
package page

import (
	"html/template"

	"turnplate/site/eval"
	"turnplate/site/figure"
	"turnplate/site/notebook"
)

// AssetFolder is the folder, below the site's root, that Assets are written to.
const AssetFolder = "turnplate"

// Site is what every page of a site shares.
type Site struct {
	Title    string
	Sections []Section // in reading order; previous, next and breadcrumbs follow from it
	Version  string    // of the program
	Note     string    // a sentence every footer carries ("The Corrie is invented."), or ""

	Looks figure.Looks // of the labels in figures

	Reference []Link            // pages outside the reading order, such as the glossary
	Glossary  string            // the page that the first use of each trade term links to, from the site's root; or ""
	Explained map[string]string // pages, from the site's root, by the name in a parameter block that they explain
}

// Section is one folder of the collection.
type Section struct {
	Title string
	Path  string // its index page, from the site's root: "studies/index.html"; the root folder's is "index.html"
	Pages []Link // without the index page itself, in order
}

// Link is one page as others refer to it.
type Link struct {
	Title   string
	Summary string // "" when it has none
	Path    string // slash-separated from the site's root: "studies/caster.html"
	Picture bool   // a picture to share lies beside the page
}

// Page is everything one page is made from.
type Page struct {
	Site     Site
	Path     string             // its own place, from the site's root: "studies/caster.html"
	Notebook *notebook.Notebook // nil for the index page of a folder without an index.md, and for a page with a Text
	Text     *Text              // of a page that isn't made from a notebook, such as the glossary; or nil
	Eval     *eval.Page         // never nil; gives the title even without a notebook
	List     []Section          // what an index page lists below its own text
	Among    *Section           // the pages beside it, for one outside the reading order; or nil
	Users    []Link             // the pages that use what this one explains, listed below its text
	Yours    *Yours             // the vehicle that readers may put their own in the place of; or nil
	Digest   string             // of every input that the page depends on
	Drawings *Drawings          // of the last time that the page was rendered, where it is rendered again and again; or nil

	// Resolve turns the destination of a relative link or picture, as typed, into one that holds from this
	// page ("../vehicles/corrie.md#tyre" becomes "../vehicles/corrie.html#tyre"). When ok is false the
	// words are shown without a link. It is not asked about "#heading", "https:" and the like.
	Resolve func(dest string) (href string, ok bool)

	// Size gives the width and height, in its own pixels, of the picture that a destination leads to, or 0.
	// It may be nil.
	Size func(dest string) (width, height int)

	// Sketch gives the SVG picture that a destination leads to, as an element that is safe to write into the page, or
	// "" for any other picture. It may be nil.
	Sketch func(dest string) string
}

// Yours names a vehicle: the notebook that describes it, and what it is called there.
type Yours struct{ Notebook, Name string }

// Text is a page's text as HTML, with what its contents list.
type Text struct {
	HTML     template.HTML
	Contents []Heading
}

// Heading is one line of a page's contents.
type Heading struct {
	ID    string
	Level int // 2 or 3
	Text  string
}

// Output is a finished page.
type Output struct {
	HTML  []byte
	Files []File // the CSV of each figure; named after the page and the figure's id
	Share *Share // a picture that stands for the page elsewhere; nil for a page without a figure
}

// File is one file to write.
type File struct {
	Path string // slash-separated from the site's root
	Data []byte
}
