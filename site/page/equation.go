package page

import (
	"strings"
	"unicode/utf8"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/util"

	"turnplate/site/notebook"
)

// equation shows an equation as it was typeset. One on a line of its own scrolls where the page is narrower.
func (r *prose) equation(w util.BufWriter, n ast.Node) {
	e := n.(*notebook.Equation)
	switch {
	case e.MathML == "": // the notebook has a mistake, so only a preview may show its page
		put(w, `<code>`, escape(e.Snippet.Text), "</code>")
	case !e.Display:
		put(w, e.MathML)
	case letters(e.MathML) > narrowest:
		put(w, `<span class="equation" tabindex="0">`, e.MathML, "</span>")
	default:
		put(w, `<span class="equation">`, e.MathML, "</span>")
	}
}

// narrowest is how many letters of an equation have room on any page: half of what a page 320 pixels wide
// shows of prose, for equations have wide spaces. A longer one may have to be scrolled, so a keyboard must
// be able to reach it.
const narrowest = 20

// letters counts what stands between the tags.
func letters(markup string) (n int) {
	for text := range strings.SplitSeq(markup, "<") {
		_, behind, _ := strings.Cut(text, ">")
		n += utf8.RuneCountInString(behind)
	}
	return n
}
