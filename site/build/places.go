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

// deadPlaces reports the links of a notebook that name a place in a page, after '#', which that page hasn't.
// What the other notebooks came to is asked of look, which gives nil for one that isn't known yet. A page
// with mistakes has none of its figures, so nothing is said of places in it: one mistake, one message.
func deadPlaces(c *collection.Collection, n *Notebook, look func(path string) *Notebook) (faults diag.List) {
	for _, l := range n.Links {
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
		if near := diag.Nearest(dest[at+1:], to.places); near != "" {
			hint = "did you mean #" + near + "?"
		}
		faults = append(faults, diag.New(n.File, n.Source, l.At, l.Length, hint, fmt.Sprintf("%s: %s has no heading or figure of that name", dest, to.File)))
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
	return fragment == "" || strings.EqualFold(fragment, "top") || strings.HasPrefix(fragment, "fn:") || slices.Contains(n.places, fragment)
}
