package build

import (
	"fmt"
	"net/url"
	"slices"
	"strings"

	"turnplate/site/collection"
	"turnplate/site/diag"
	"turnplate/site/notebook"
)

// linkFaults reports what is wrong with a notebook's links as far as only the evaluated pages know. What the other
// notebooks came to is asked of look, which gives nil for one that isn't known yet.
func linkFaults(c *collection.Collection, n *Notebook, look func(path string) *Notebook) diag.List {
	return append(deadPlaces(c, n, look), takenNames(c, n, look)...)
}

// mostCompared bounds the search for the places that were meant: a notebook has room for thousands of headings and for
// tens of thousands of links that miss them all.
const mostCompared = 20_000

// deadPlaces reports the links of a notebook that name a place in a page, after '#', which that page hasn't. A page
// with mistakes has none of its figures, so nothing is said of places in it: one mistake, one message.
func deadPlaces(c *collection.Collection, n *Notebook, look func(path string) *Notebook) (faults diag.List) {
	compared := 0
	for _, l := range n.Links {
		if len(faults) >= diag.Most {
			break
		}
		dest := notebook.Plain(l.Dest)
		at := strings.IndexByte(dest, '#')
		if at < 0 || l.Picture || strings.HasPrefix(dest, "//") {
			continue
		}
		to := n
		if at > 0 {
			t, err := c.Target(n.Notebook, l.Dest, false)
			if err != nil || !t.Page {
				continue // another site, a file, or a link that leads nowhere, which is reported already
			}
			to = look(t.Path)
		}
		if to == nil || len(to.Eval.Faults) > 0 || to.isPlace(dest[at+1:]) {
			continue
		}
		hint := ""
		if compared += len(to.places); compared <= mostCompared {
			if near := diag.Nearest(dest[at+1:], to.places); near != "" {
				hint = "did you mean #" + near + "?"
			}
		}
		faults = append(faults, diag.New(n.File, n.Source, l.At, l.Length, hint, fmt.Sprintf("%s: %s has no heading or figure of that name", dest, to.File)))
	}
	return faults
}

// takenNames reports the files that a notebook has carried to where a page's own files lie, each with the first link
// that does it.
func takenNames(c *collection.Collection, n *Notebook, look func(path string) *Notebook) (faults diag.List) {
	taken := map[string]*Notebook{}
	for _, file := range n.Carries {
		for at := range len(file) {
			if file[at] != '-' {
				continue
			}
			if maker := look(file[:at]); maker != nil && slices.Contains(maker.beside, file) {
				taken[file] = maker
			}
		}
	}
	for i := 0; i < len(n.Links) && len(taken) > 0; i++ {
		l := n.Links[i]
		t, err := c.Target(n.Notebook, l.Dest, l.Picture)
		if maker := taken[t.Path]; err == nil && !t.Page && maker != nil {
			faults = append(faults, diag.New(n.File, n.Source, l.At, l.Length, "give yours another name",
				fmt.Sprintf("%s: the page of %s has a file of that name, for one of its figures", l.Dest, maker.File)))
			delete(taken, t.Path)
		}
	}
	return faults
}

// isPlace says whether a browser finds a place in the notebook's page. It knows the top of any page itself,
// and looks for words after ":~:".
func (n *Notebook) isPlace(fragment string) bool {
	fragment, _, _ = strings.Cut(fragment, ":~:")
	if plain, err := url.PathUnescape(fragment); err == nil {
		fragment = plain
	}
	_, found := slices.BinarySearch(n.places, fragment)
	return found || fragment == "" || strings.EqualFold(fragment, "top") || strings.HasPrefix(fragment, "fn:")
}
