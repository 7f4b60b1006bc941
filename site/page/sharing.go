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

// standing ranks figures for the page's picture by where they stand on the page.
type standing int

// From least to most.
const (
	shown   standing = iota
	drawn            // a drawing in the lead
	leading          // a plot in the lead
	picked           // by its author
)

// choose keeps the figure for the page's picture: of those that stand and serve best, the first.
func (f *figures) choose(item figure.Figure, lead bool) {
	stands := shown
	switch {
	case item.Sharing() == figure.Unshared:
		return
	case figure.HeadOf(item).Share:
		stands = picked
	case lead && item.Sharing() == figure.SharedFirst:
		stands = leading
	case lead:
		stands = drawn
	}
	if f.chosen == nil || stands > f.stands || stands == f.stands && item.Sharing() > f.chosen.Sharing() {
		f.chosen, f.stands = item, stands
	}
}

// finding parts a page's summary into its first sentence, which says what was found, and the rest.
func finding(summary string) (first, rest string) {
	for i, r := range summary {
		if at := i + 1; strings.ContainsRune(".?!", r) && at < len(summary) && summary[at] == ' ' {
			return summary[:at], strings.TrimSpace(summary[at:])
		}
	}
	return summary, ""
}
