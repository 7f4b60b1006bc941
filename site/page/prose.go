package page

import (
	"bufio"
	"bytes"
	"html/template"
	"strconv"
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	xast "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/renderer/html"
	"github.com/yuin/goldmark/util"

	"turnplate/site/figure"
	"turnplate/site/notebook"
)

// prose renders one notebook's tree. It is made anew for each page and never changes the tree.
type prose struct {
	page       Page
	source     []byte
	ids        ids
	title      *ast.Heading // the heading that is the page's title, or nil
	headingIDs map[*ast.Heading]string
	contents   []Heading
	links      map[ast.Node]target
	figures    *figures
	moving     moving
	terms      map[*ast.Text][]termEnd // links to the glossary
	lead       *notebook.Block         // shown at the top of the page, or nil
}

// body is a notebook's text as HTML, with what the page needs to know of it.
type body struct {
	lead      template.HTML // what stands above the text, or ""
	html      template.HTML
	contents  []Heading
	files     []File
	positions template.HTML // of the dials
	share     *Share
}

func renderBody(p Page) (body, error) {
	r := &prose{
		page: p, source: p.Notebook.Source, lead: p.Notebook.LeadBlock(), ids: ids{}, headingIDs: map[*ast.Heading]string{},
		links: map[ast.Node]target{}, figures: newFigures(p),
		moving: moving{dials: p.Eval.Dials, words: words{index: map[string]int{}}},
	}
	r.takeIDs()
	if p.Site.Glossary != "" {
		r.terms = r.findTerms(p.Notebook.Root)
	}
	// The lowest number wins: r stands before goldmark's own renderers.
	writer := renderer.NewRenderer(renderer.WithNodeRenderers(
		util.Prioritized(r, 100),
		util.Prioritized(extension.NewFootnoteHTMLRenderer(), 500),
		util.Prioritized(extension.NewDefinitionListHTMLRenderer(), 500),
		util.Prioritized(html.NewRenderer(), 1000),
	))
	// The lead comes first on the page, so it has the first numbers.
	var lead, out bytes.Buffer
	if r.lead != nil {
		above := bufio.NewWriter(&lead)
		if err := r.show(above, r.lead); err != nil {
			return body{}, err
		}
		_ = above.Flush() // into memory: it doesn't fail
	}
	if err := writer.Render(&out, r.source, p.Notebook.Root); err != nil {
		return body{}, err
	}
	positions, err := r.moving.script()
	return body{template.HTML(lead.String()), template.HTML(out.String()), r.contents, r.figures.files, positions, r.share()}, err
}

// ownIDs are those of the page's template.
var ownIDs = []string{"page-text", "cautions", "positions", usersID}

// usersID is the place of the list of pages that use what a page explains.
const usersID = "where-it-is-used"

// RegisterFuncs implements renderer.NodeRenderer.
func (r *prose) RegisterFuncs(on renderer.NodeRendererFuncRegisterer) {
	on.Register(ast.KindText, r.text)
	on.Register(ast.KindCodeSpan, r.codeSpan)
	on.Register(ast.KindHeading, r.heading)
	on.Register(ast.KindParagraph, r.paragraph)
	on.Register(ast.KindLink, r.link)
	on.Register(ast.KindAutoLink, r.autoLink)
	on.Register(ast.KindImage, r.image)
	on.Register(ast.KindHTMLBlock, r.rawBlock)
	on.Register(ast.KindRawHTML, r.raw)
	on.Register(ast.KindFencedCodeBlock, r.fence)
	on.Register(ast.KindCodeBlock, r.fence)
	on.Register(xast.KindTable, r.table)
	on.Register(xast.KindTableHeader, r.tableHeader)
	on.Register(xast.KindTableRow, r.tableRow)
	on.Register(xast.KindTableCell, r.tableCell)
	on.Register(xast.KindFootnoteLink, r.footnoteMark)
	on.Register(notebook.KindBlock, r.block)
	on.Register(notebook.KindInsert, r.number)
	on.Register(notebook.KindEquation, r.equation)
}

func put(w util.BufWriter, parts ...string) {
	for _, p := range parts {
		_, _ = w.WriteString(p) // into memory: it doesn't fail
	}
}

func escape(s string) string { return template.HTMLEscapeString(s) }

func (r *prose) heading(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	h := n.(*ast.Heading)
	if h == r.title {
		return ast.WalkSkipChildren, nil
	}
	tag := "h" + strconv.Itoa(headingLevel(h))
	if entering {
		put(w, "<", tag, ` id="`, escape(r.headingIDs[h]), `">`)
	} else {
		put(w, "</", tag, ">\n")
	}
	return ast.WalkContinue, nil
}

// paragraph leaves out its tags around a picture that stands alone: that is a figure.
func (r *prose) paragraph(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if alone(n) {
		return ast.WalkContinue, nil
	}
	switch {
	case !entering:
		put(w, "</p>\n")
	case r.isTip(n):
		put(w, `<p class="tip">`)
	default:
		put(w, "<p>")
	}
	return ast.WalkContinue, nil
}

// isTip tells a paragraph that opens with "In the workshop:", set bold: on a wide screen it stands in the margin.
func (r *prose) isTip(n ast.Node) bool {
	bold, ok := n.FirstChild().(*ast.Emphasis)
	return ok && bold.Level == 2 && r.words(bold, true) == "In the workshop:"
}

// alone says whether a paragraph is nothing but a picture.
func alone(n ast.Node) bool {
	return n.ChildCount() == 1 && n.FirstChild().Kind() == ast.KindImage
}

func (r *prose) link(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	l := n.(*ast.Link)
	if entering {
		r.links[n] = r.target(string(l.Destination))
	}
	t := r.links[n]
	switch {
	case !t.ok:
	case entering:
		r.openLink(w, t, string(l.Title))
	default:
		put(w, "</a>")
	}
	return ast.WalkContinue, nil
}

func (r *prose) openLink(w util.BufWriter, t target, title string) {
	put(w, `<a href="`, escape(t.href), `"`)
	if title != "" {
		put(w, ` title="`, escape(title), `"`)
	}
	if t.outside {
		put(w, ` rel="noopener"`)
	}
	put(w, ">")
}

func (r *prose) autoLink(w util.BufWriter, source []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	l := n.(*ast.AutoLink)
	url := string(l.URL(source))
	if l.AutoLinkType == ast.AutoLinkEmail && !strings.HasPrefix(strings.ToLower(url), "mailto:") {
		url = "mailto:" + url
	}
	t := r.target(url)
	if t.ok {
		r.openLink(w, t, "")
	}
	put(w, escape(string(l.Label(source))))
	if t.ok {
		put(w, "</a>")
	}
	return ast.WalkContinue, nil
}

// image shows a picture of the collection. One from elsewhere is only linked to: a page sends no request
// that its reader didn't ask for.
func (r *prose) image(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	i := n.(*ast.Image)
	alt := r.words(i, true)
	whole := n.Parent() != nil && n.Parent().Kind() == ast.KindParagraph && alone(n.Parent())
	if svg := r.sketch(i, alt); svg != "" {
		r.shown(w, i, svg, whole)
		return ast.WalkSkipChildren, nil
	}
	t := r.target(string(i.Destination))
	if !t.ok || t.outside {
		if whole {
			put(w, "<p>")
		}
		if t.ok {
			r.openLink(w, t, string(i.Title))
		}
		put(w, "[Picture: ", escape(alt), "]")
		if t.ok {
			put(w, "</a>")
		}
		if whole {
			put(w, "</p>\n")
		}
		return ast.WalkSkipChildren, nil
	}
	img := `<img src="` + escape(t.href) + `" alt="` + escape(alt) + `"` + r.size(string(i.Destination)) + ` loading="lazy">`
	r.shown(w, i, img, whole)
	return ast.WalkSkipChildren, nil
}

// shown puts a picture's element, as a figure where it is the whole of a paragraph.
func (r *prose) shown(w util.BufWriter, i *ast.Image, element string, whole bool) {
	if !whole {
		put(w, element)
		return
	}
	put(w, `<figure class="picture">`, element)
	if len(i.Title) > 0 {
		put(w, "<figcaption>", escape(string(i.Title)), "</figcaption>")
	}
	put(w, "</figure>\n")
}

// sketch is a picture drawn by hand, as part of the page; "" for others.
func (r *prose) sketch(i *ast.Image, alt string) string {
	if r.page.Sketch == nil {
		return ""
	}
	rest, ok := strings.CutPrefix(r.page.Sketch(string(i.Destination)), "<svg")
	if !ok {
		return ""
	}
	return `<svg class="drawing sketch" font-size="13" role="img" aria-label="` + escape(alt) + `"` + r.size(string(i.Destination)) + rest
}

// size is what keeps a picture's place while it loads; the style sheet makes one that is wider than its
// column as wide as that.
func (r *prose) size(dest string) string {
	if r.page.Size == nil {
		return ""
	}
	width, height := r.page.Size(dest)
	if width <= 0 || height <= 0 {
		return ""
	}
	return ` width="` + strconv.Itoa(width) + `" height="` + strconv.Itoa(height) + `"`
}

// raw and rawBlock show HTML as the text that was typed. The notebook's parser makes none, but another
// parser's tree must be as safe.
func (r *prose) raw(w util.BufWriter, source []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		put(w, escape(string(n.(*ast.RawHTML).Segments.Value(source))))
	}
	return ast.WalkSkipChildren, nil
}

func (r *prose) rawBlock(w util.BufWriter, source []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		text := string(n.Lines().Value(source))
		if b := n.(*ast.HTMLBlock); b.HasClosure() {
			text += string(b.ClosureLine.Value(source))
		}
		put(w, "<p>", escape(strings.TrimSpace(text)), "</p>\n")
	}
	return ast.WalkSkipChildren, nil
}

func (r *prose) fence(w util.BufWriter, source []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	code, language := string(n.Lines().Value(source)), ""
	if f, ok := n.(*ast.FencedCodeBlock); ok {
		language = string(f.Language(source))
	}
	put(w, r.codeBlock(code, language), "\n")
	return ast.WalkSkipChildren, nil
}

// codeBlock shows code; a keyboard can scroll it.
func (r *prose) codeBlock(code, language string) string {
	inside := textOnly(code)
	if language == "go" {
		inside = highlight(code, r.explained)
	}
	return `<pre class="code" tabindex="0"><code>` + inside + "</code></pre>"
}

func (r *prose) table(w util.BufWriter, _ []byte, _ ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		put(w, `<div class="scroll" tabindex="0" role="group" aria-label="Table"><table>`, "\n")
	} else {
		put(w, "</tbody></table></div>\n")
	}
	return ast.WalkContinue, nil
}

func (r *prose) tableHeader(w util.BufWriter, _ []byte, _ ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		put(w, "<thead><tr>")
	} else {
		put(w, "</tr></thead>\n<tbody>\n")
	}
	return ast.WalkContinue, nil
}

func (r *prose) tableRow(w util.BufWriter, _ []byte, _ ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		put(w, "<tr>")
	} else {
		put(w, "</tr>\n")
	}
	return ast.WalkContinue, nil
}

func (r *prose) tableCell(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	tag := "td"
	if n.Parent().Kind() == xast.KindTableHeader {
		tag = "th"
	}
	if !entering {
		put(w, "</", tag, ">")
		return ast.WalkContinue, nil
	}
	put(w, "<", tag)
	if tag == "th" {
		put(w, ` scope="col"`)
	}
	switch n.(*xast.TableCell).Alignment {
	case xast.AlignRight:
		put(w, ` class="right"`)
	case xast.AlignCenter:
		put(w, ` class="middle"`)
	}
	put(w, ">")
	return ast.WalkContinue, nil
}

// insert is what a number in prose came to.
func (r *prose) insert(n *notebook.Insert) figure.Text {
	if n.Index < 0 || n.Index >= len(r.page.Eval.Inserts) {
		return nil
	}
	return r.page.Eval.Inserts[n.Index]
}

func (r *prose) number(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	i := n.(*notebook.Insert)
	if i.Index >= 0 && i.Index < len(r.page.Eval.InsertStates) && r.page.Eval.InsertStates[i.Index] != nil {
		put(w, r.follows(r.insert(i), r.page.Eval.InsertStates[i.Index]))
	} else {
		put(w, string(textHTML(r.insert(i))))
	}
	return ast.WalkContinue, nil
}

// textHTML marks the calculated pieces of a text, and gives those that differ between the systems of
// units in both.
func textHTML(t figure.Text) template.HTML {
	var b strings.Builder
	for _, p := range t {
		inside := bothHTML(p.Text)
		if p.Value {
			inside = `<span class="calc">` + inside + `</span>`
		}
		b.WriteString(inside)
	}
	return template.HTML(b.String())
}

// spanHTML is one piece of a text.
func spanHTML(p figure.Span) template.HTML { return textHTML(figure.Text{p}) }

// bothHTML is a text for readers of either system of units.
func bothHTML(w figure.Words) string {
	if w.US == "" {
		return escape(w.Metric)
	}
	return `<span class="in-metric">` + escape(w.Metric) + `</span><span class="in-us">` + escape(w.US) + `</span>`
}

// cellHTML is one printed value for readers of either system.
func cellHTML(c figure.Cell) template.HTML { return template.HTML(bothHTML(c.Text)) }
