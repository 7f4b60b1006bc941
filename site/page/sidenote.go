package page

import (
	"strconv"
	"strings"

	"github.com/yuin/goldmark/ast"
	xast "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/util"

	"turnplate/site/notebook"
)

// footnoteMark writes the mark of a footnote as goldmark does, and at its first use once more the note itself, for the
// margin of a wide screen. Whoever can't see the margin finds the note at the page's foot, where the mark leads.
func (r *prose) footnoteMark(w util.BufWriter, n ast.Node) {
	mark := n.(*xast.FootnoteLink)
	number := strconv.Itoa(mark.Index)
	id := "fnref:" + number
	if mark.RefIndex > 0 {
		id = "fnref" + strconv.Itoa(mark.RefIndex) + ":" + number
	}
	put(w, `<sup id="`, id, `"><a href="#fn:`, number, `" class="footnote-ref" role="doc-noteref">`, number, "</a></sup>")
	if note := r.footnote(mark.Index); note != nil && mark.RefIndex == 0 {
		put(w, `<span class="sidenote" aria-hidden="true">`, number, ". ", strings.TrimSpace(r.inline(note)), "</span>")
	}
}

// footnote finds a note by its number, in the list of notes that ends the text.
func (r *prose) footnote(index int) ast.Node {
	for list := r.page.Notebook.Root.LastChild(); list != nil; list = list.PreviousSibling() {
		for n := list.FirstChild(); list.Kind() == xast.KindFootnoteList && n != nil; n = n.NextSibling() {
			if f, ok := n.(*xast.Footnote); ok && f.Index == index {
				return f
			}
		}
	}
	return nil
}

// inline is a node's text as one line of HTML. It is on the page a second time, so it has neither links nor ids.
func (r *prose) inline(n ast.Node) string {
	var out strings.Builder
	_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if emphasis, ok := n.(*ast.Emphasis); ok {
			out.WriteString(map[bool]string{true: "<", false: "</"}[entering] + map[int]string{1: "em>", 2: "strong>"}[emphasis.Level])
			return ast.WalkContinue, nil
		}
		if !entering {
			if n.Kind() == ast.KindParagraph {
				out.WriteByte(' ')
			}
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *notebook.Equation:
			out.WriteString(n.MathML)
			if n.MathML == "" {
				out.WriteString(escape(n.Plain()))
			}
		case *notebook.Insert:
			out.WriteString(string(textHTML(r.insert(n))))
		case *notebook.Block, *ast.FencedCodeBlock, *ast.CodeBlock, *ast.HTMLBlock:
			return ast.WalkSkipChildren, nil
		default:
			out.WriteString(escape(r.literal(n)))
		}
		return ast.WalkContinue, nil
	})
	return out.String()
}
