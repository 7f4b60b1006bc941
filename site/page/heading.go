package page

import (
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/util"

	"turnplate/site/eval"
	"turnplate/site/figure"
	"turnplate/site/notebook"
)

// ids hands out the ids of a page, each once. It keeps the last number that was tried for each, so that thousands of
// headings with the same words don't each try all numbers again.
type ids map[string]int

// take gives the wish itself, or the wish with the first number that makes it new.
func (t ids) take(wish string) string {
	id := wish
	for t[id] > 0 {
		t[wish]++
		id = wish + "-" + strconv.Itoa(t[wish])
	}
	t[id] = 1
	return id
}

// Places lists what a link into a notebook's page can lead to: its headings and figures, by their ids, in order.
func Places(nb *notebook.Notebook, e *eval.Page) []string {
	r := &prose{page: Page{Notebook: nb, Eval: e}, source: nb.Source, ids: ids{}, headingIDs: map[*ast.Heading]string{}}
	r.takeIDs()
	list := []string{ownIDs[0]}
	if e.Cautions {
		list = append(list, ownIDs[1])
	}
	for id := range r.ids {
		if !slices.Contains(ownIDs, id) {
			list = append(list, id)
		}
	}
	slices.Sort(list)
	return list
}

// takeIDs gives the template, the figures and the headings their ids.
func (r *prose) takeIDs() {
	for _, id := range ownIDs {
		r.ids.take(id)
	}
	for _, b := range r.page.Eval.Blocks {
		for _, f := range b.Figures {
			r.ids.take(figure.HeadOf(f).ID)
		}
	}
	r.readHeadings(r.page.Notebook.Root)
}

// slug makes an id of a heading's words: letters and digits of any script in lower case, hyphens between.
func slug(words string) string {
	var b strings.Builder
	gap := false
	for _, r := range words {
		switch {
		case unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.Is(unicode.M, r):
			if gap && b.Len() > 0 {
				b.WriteByte('-')
			}
			gap = false
			b.WriteRune(unicode.ToLower(r))
		case r == '\'' || r == '’':
		default:
			gap = true
		}
	}
	if b.Len() == 0 {
		return "section"
	}
	return b.String()
}

// words is the plain text of a node: what a reader sees, without Markdown. An id is made without the
// calculated numbers, so that a link to a heading outlives a change of them.
func (r *prose) words(n ast.Node, numbers bool) string {
	var b strings.Builder
	_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *notebook.Equation:
			b.WriteString(n.Plain())
		case *notebook.Insert:
			if numbers {
				b.WriteString(r.insert(n).String())
			}
		default:
			b.WriteString(r.literal(n))
		}
		return ast.WalkContinue, nil
	})
	return strings.TrimSpace(b.String())
}

// literal is the text that stands in a node itself, without what is in the nodes below it.
func (r *prose) literal(n ast.Node) string {
	switch n := n.(type) {
	case *ast.Text:
		text := string(util.UnescapePunctuations(n.Segment.Value(r.source)))
		if n.SoftLineBreak() || n.HardLineBreak() {
			text += " "
		}
		return text
	case *ast.String:
		return string(n.Value)
	case *ast.AutoLink:
		return string(n.Label(r.source))
	}
	return ""
}

// readHeadings gives every heading its id, and lists those that the contents show. The first heading is
// left out when it is the page's title, which stands above.
func (r *prose) readHeadings(root ast.Node) {
	if h, ok := root.FirstChild().(*ast.Heading); ok && r.words(h, true) == strings.TrimSpace(r.page.Eval.Title.String()) {
		r.title = h
	}
	_ = ast.Walk(root, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		h, ok := n.(*ast.Heading)
		if !ok || !entering || h == r.title {
			return ast.WalkContinue, nil
		}
		id := r.ids.take(slug(r.words(h, false)))
		r.headingIDs[h] = id
		if level := headingLevel(h); level <= 3 {
			r.contents = append(r.contents, Heading{id, level, r.words(h, true)})
		}
		return ast.WalkContinue, nil
	})
}

// headingLevel keeps level 1 for the page's title.
func headingLevel(h *ast.Heading) int { return max(h.Level, 2) }
