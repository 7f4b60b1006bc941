package page

import (
	"strings"

	"github.com/yuin/goldmark/ast"
	xast "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/renderer/html"
	"github.com/yuin/goldmark/util"

	"turnplate/site/glossary"
)

// Trade terms are linked to the glossary where a page first uses them: in its running text, but not in
// headings, links, code and footnotes.

// termEnd is where a link to the glossary begins or ends.
type termEnd struct {
	at   int            // byte of the text node
	term *glossary.Term // nil at the end
}

// reading is the text of one paragraph with the nodes it came from.
type reading struct {
	text  strings.Builder
	parts []readingPart
}

type readingPart struct {
	node  *ast.Text
	start int // in the text
	size  int
}

// other stands in a reading for whatever isn't text, so that no term is found across it.
const other = "\x00"

// findTerms finds the first use of each term.
func (r *prose) findTerms(root ast.Node) map[*ast.Text][]termEnd {
	marks := map[*ast.Text][]termEnd{}
	used := map[*glossary.Term]bool{}
	_ = ast.Walk(root, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		switch {
		case !entering:
		case n.Kind() == ast.KindHeading, n.Kind() == xast.KindFootnoteList, n.Kind() == xast.KindTableHeader, n.Kind() == xast.KindDefinitionTerm:
			return ast.WalkSkipChildren, nil
		case n.Type() == ast.TypeBlock && n.FirstChild() != nil && n.FirstChild().Type() == ast.TypeInline:
			var p reading
			p.gather(n, r.source)
			for _, m := range glossary.In(p.text.String()) {
				if !used[m.Term] && p.mark(m, marks) {
					used[m.Term] = true
				}
			}
			return ast.WalkSkipChildren, nil
		}
		return ast.WalkContinue, nil
	})
	return marks
}

func (p *reading) gather(parent ast.Node, source []byte) {
	for n := parent.FirstChild(); n != nil; n = n.NextSibling() {
		switch n := n.(type) {
		case *ast.Text:
			value := n.Segment.Value(source)
			p.parts = append(p.parts, readingPart{n, p.text.Len(), len(value)})
			p.text.Write(value)
			if n.SoftLineBreak() || n.HardLineBreak() {
				p.text.WriteByte('\n')
			}
		case *ast.Emphasis:
			p.gather(n, source)
		default:
			p.text.WriteString(other)
		}
	}
}

// mark notes a link, unless it would begin in one element and end in another.
func (p *reading) mark(m glossary.Mention, marks map[*ast.Text][]termEnd) bool {
	first, last := p.part(m.Start), p.part(m.End-1)
	if first == nil || last == nil || first.node.Parent() != last.node.Parent() {
		return false
	}
	for n := ast.Node(first.node); n != last.node; n = n.NextSibling() {
		if n == nil || n.Kind() != ast.KindText {
			return false
		}
	}
	marks[first.node] = append(marks[first.node], termEnd{m.Start - first.start, m.Term})
	marks[last.node] = append(marks[last.node], termEnd{m.End - last.start, nil})
	return true
}

// part gives the node that a byte of the text came from.
func (p *reading) part(at int) *readingPart {
	for i := range p.parts {
		if part := &p.parts[i]; at >= part.start && at < part.start+part.size {
			return part
		}
	}
	return nil
}

// text writes running text as goldmark does, with the links to the glossary in it.
func (r *prose) text(w util.BufWriter, n ast.Node) {
	t := n.(*ast.Text)
	value := t.Segment.Value(r.source)
	write := html.DefaultWriter.Write
	if t.IsRaw() {
		write = html.DefaultWriter.RawWrite
	}
	done := 0
	for _, end := range r.terms[t] {
		write(w, value[done:end.at])
		done = end.at
		if end.term == nil {
			put(w, "</a>")
			continue
		}
		put(w, `<a class="term" href="`, escape(relative(r.page.Path, r.page.Site.Glossary)), "#", end.term.ID(), `" title="`, escape(end.term.Brief()), `">`)
	}
	write(w, value[done:])
	switch {
	case t.IsRaw():
	case t.HardLineBreak():
		put(w, "<br>\n")
	case t.SoftLineBreak():
		put(w, "\n")
	}
}

// codeSpan writes code in running text; a model's name by itself links to what the model does.
func (r *prose) codeSpan(w util.BufWriter, n ast.Node) {
	code := ""
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		if t, ok := c.(*ast.Text); ok {
			code += strings.ReplaceAll(string(t.Segment.Value(r.source)), "\n", " ")
		}
	}
	href := r.explained(code)
	for p := n.Parent(); p != nil; p = p.Parent() {
		if p.Kind() == ast.KindLink || p.Kind() == ast.KindHeading || p.Kind() == xast.KindDefinitionTerm {
			href = ""
		}
	}
	if href == "" {
		put(w, "<code>", textOnly(code), "</code>")
	} else {
		put(w, `<a href="`, escape(href), `"><code>`, textOnly(code), "</code></a>")
	}
}
