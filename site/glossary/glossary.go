// Package glossary explains the words of the trade that pages use.
//
//	Terms      every term: in plain words, by its standard, with its sign and a sketch
//	In         where a text mentions terms, for links to them
//	Body       the glossary's page
//
// The terms are data (terms.go). Axes and signs are those of ISO 8855:2011, as everywhere in Turnplate.
package glossary

import (
	"embed"
	"strings"
	"sync"
)

// Term is one entry.
type Term struct {
	Name  string
	Other string // further names, shown beside it
	Plain string // what it is and why it matters, for somebody who mends their own vehicle
	// Standard is the definition of ISO 8855, or of what else Where names, in our own words.
	Standard string
	Where    string // the standard, its clause where that was read, and otherwise that this is from memory
	Sign     string // what plus means, or ""
	See      []string

	// words are how a text mentions the term, plurals too, parted by commas. After an exclamation mark stands
	// a phrase that holds one of them and means something else ("on the trail").
	words string
	exact bool // words count only as they are written here
}

// ID is the term's place on the glossary's page.
func (t *Term) ID() string {
	return strings.Map(func(c rune) rune {
		switch {
		case c == ' ' || c == '-':
			return '-'
		case c >= 'a' && c <= 'z', c >= '0' && c <= '9':
			return c
		}
		return -1
	}, strings.ToLower(t.Name))
}

// sketches are drawings of 280 by 200 pixels, one for each term. Their looks come from the page's style sheet, by the
// classes that a page's drawings of a corner have. In a browser a file can be looked at by itself, for the sheet is
// named in its first line.
//
//go:embed sketches
var sketches embed.FS

// Sketch is the term's drawing, an SVG element.
func (t *Term) Sketch() string {
	file, err := sketches.ReadFile("sketches/" + t.ID() + ".svg")
	if err != nil {
		panic("glossary: " + err.Error()) // the files are embedded, and a test reads them all
	}
	_, svg, _ := strings.Cut(string(file), "\n")
	return strings.Replace(svg, ` xmlns="http://www.w3.org/2000/svg"`, "", 1) // which a page doesn't need
}

// Brief is the first sentence of the plain words.
func (t *Term) Brief() string {
	first, _, _ := strings.Cut(t.Plain, ". ")
	return strings.TrimSuffix(first, ".") + "."
}

// Terms lists all terms by name.
func Terms() []*Term { return all() }

var all = sync.OnceValue(func() []*Term {
	list := make([]*Term, len(terms))
	for i := range terms {
		list[i] = &terms[i]
	}
	return list
})
