package page

import (
	"path"
	"strings"

	"turnplate/site/eval"
	"turnplate/site/figure"
)

// Pictured tells whether a page has a picture to share.
func Pictured(e *eval.Page) bool {
	for _, b := range e.Blocks {
		for _, f := range b.Figures {
			if f.Sharing() > figure.Unshared {
				return true
			}
		}
	}
	return false
}

// shareName is where the picture of a page lies, beside it.
func shareName(page string) string { return strings.TrimSuffix(page, path.Ext(page)) + "-share.png" }

// choose keeps the figure for the page's picture: of those that serve best, the first.
func (f *figures) choose(item figure.Figure) {
	best := figure.Unshared
	if f.chosen != nil {
		best = f.chosen.Sharing()
	}
	if item.Sharing() > best {
		f.chosen = item
	}
}
