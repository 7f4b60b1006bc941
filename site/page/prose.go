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
	figures    *figures
	moving     moving
	terms      map[*ast.Text][]termEnd // links to the glossary
	lead       *notebook.Block         // shown at the top of the page, or nil
}

// body is a notebook's text as HTML, with what the page needs to know of it.
type body struct {
	Lead      template.HTML // what stands above the text, or ""
	HTML      template.HTML
	Contents  []Heading
	Positions template.HTML // of the dials, for the script
	files     []File
	share     *Share
}

func renderBody(p Page) (body, error) {
	r := &prose{
		page: p, source: p.Notebook.Source, lead: p.Notebook.LeadBlock(), ids: ids{}, headingIDs: map[*ast.Heading]string{},
		figures: newFigures(p),
		moving:  moving{dials: p.Eval.Dials},
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
	return body{template.HTML(lead.String()), template.HTML(out.String()), r.contents, positions, r.figures.files, r.share()}, err
}

// ownIDs are the ids that the page's template uses, so that no heading can have them.
var ownIDs = []string{"page-text", "cautions", "positions", usersID}

// usersID is the place of the list of pages that use what a page explains.
const usersID = "where-it-is-used"

// RegisterFuncs implements renderer.NodeRenderer.
func (r *prose) RegisterFuncs(on renderer.NodeRendererFuncRegisterer) {
	for kind, write := range map[ast.NodeKind]func(util.BufWriter, ast.Node){
		ast.KindText:            r.text,
		ast.KindCodeSpan:        r.codeSpan,
		ast.KindAutoLink:        r.autoLink,
		ast.KindImage:           r.image,
		ast.KindHTMLBlock:       r.rawBlock,
		ast.KindRawHTML:         r.raw,
		ast.KindFencedCodeBlock: r.fence,
		ast.KindCodeBlock:       r.fence,
		xast.KindFootnoteLink:   r.footnoteMark,
		notebook.KindInsert:     r.number,
		notebook.KindEquation:   r.equation,
	} {
		on.Register(kind, atOnce(write))
	}
	on.Register(ast.KindHeading, r.heading)
	on.Register(ast.KindParagraph, r.paragraph)
	on.Register(ast.KindLink, r.link)
	on.Register(xast.KindTable, between(`<div class="scroll" tabindex="0" role="group" aria-label="Table"><table>`+"\n", "</tbody></table></div>\n"))
	on.Register(xast.KindTableHeader, between("<thead><tr>", "</tr></thead>\n<tbody>\n"))
	on.Register(xast.KindTableRow, between("<tr>", "</tr>\n"))
	on.Register(xast.KindTableCell, r.tableCell)
	on.Register(notebook.KindBlock, r.block)
}

// atOnce renders nodes that are written whole, with all that is in them.
func atOnce(write func(util.BufWriter, ast.Node)) renderer.NodeRendererFunc {
	return func(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			write(w, n)
		}
		return ast.WalkSkipChildren, nil
	}
}

// between renders nodes whose tags are always the same.
func between(start, end string) renderer.NodeRendererFunc {
	return func(w util.BufWriter, _ []byte, _ ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			put(w, start)
		} else {
			put(w, end)
		}
		return ast.WalkContinue, nil
	}
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
	switch t := r.target(string(l.Destination)); {
	case !t.ok:
	case entering:
		put(w, startOf(t, string(l.Title)))
	default:
		put(w, "</a>")
	}
	return ast.WalkContinue, nil
}

// startOf is the start tag of a link.
func startOf(t target, title string) string {
	tag := `<a href="` + escape(t.href) + `"`
	if title != "" {
		tag += ` title="` + escape(title) + `"`
	}
	if t.outside {
		tag += ` rel="noopener"`
	}
	return tag + ">"
}

// linkTo is a text as a link, where the target is one that may be linked to.
func linkTo(t target, title, text string) string {
	if !t.ok {
		return escape(text)
	}
	return startOf(t, title) + escape(text) + "</a>"
}

func (r *prose) autoLink(w util.BufWriter, n ast.Node) {
	l := n.(*ast.AutoLink)
	url := string(l.URL(r.source))
	if l.AutoLinkType == ast.AutoLinkEmail && !strings.HasPrefix(strings.ToLower(url), "mailto:") {
		url = "mailto:" + url
	}
	put(w, linkTo(r.target(url), "", string(l.Label(r.source))))
}

// image shows a picture of the collection, as a figure where it is the whole of a paragraph. One from elsewhere is only
// linked to: a page sends no request that its reader didn't ask for.
func (r *prose) image(w util.BufWriter, n ast.Node) {
	i := n.(*ast.Image)
	alt, title := r.words(i, true), string(i.Title)
	whole := n.Parent() != nil && n.Parent().Kind() == ast.KindParagraph && alone(n.Parent())
	t := r.target(string(i.Destination))
	element := r.sketch(i, alt)
	switch {
	case element != "":
	case t.ok && !t.outside:
		element = `<img src="` + escape(t.href) + `" alt="` + escape(alt) + `"` + r.size(string(i.Destination)) + ` loading="lazy">`
	default:
		element = linkTo(t, title, "[Picture: "+alt+"]")
		if whole {
			element = "<p>" + element + "</p>\n"
		}
		put(w, element)
		return
	}
	if !whole {
		put(w, element)
		return
	}
	if title != "" {
		element += "<figcaption>" + escape(title) + "</figcaption>"
	}
	put(w, `<figure class="picture">`, element, "</figure>\n")
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

// raw and rawBlock show HTML as the text that was typed. The notebook's parser makes no such nodes; should another one
// ever do so, the page stays safe.
func (r *prose) raw(w util.BufWriter, n ast.Node) {
	put(w, escape(string(n.(*ast.RawHTML).Segments.Value(r.source))))
}

func (r *prose) rawBlock(w util.BufWriter, n ast.Node) {
	text := string(n.Lines().Value(r.source))
	if b := n.(*ast.HTMLBlock); b.HasClosure() {
		text += string(b.ClosureLine.Value(r.source))
	}
	put(w, "<p>", escape(strings.TrimSpace(text)), "</p>\n")
}

func (r *prose) fence(w util.BufWriter, n ast.Node) {
	language := ""
	if f, ok := n.(*ast.FencedCodeBlock); ok {
		language = string(f.Language(r.source))
	}
	put(w, r.codeBlock(string(n.Lines().Value(r.source)), language), "\n")
}

// codeBlock shows code, which can be scrolled by the keyboard too.
func (r *prose) codeBlock(code, language string) string {
	inside := textOnly(code)
	if language == "go" {
		inside = highlight(code, r.explained)
	}
	return `<pre class="code" tabindex="0"><code>` + inside + "</code></pre>"
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

// at gives an item of a list, or its zero value where the list is shorter: not everything of a notebook with mistakes is
// evaluated.
func at[T any](list []T, i int) (item T) {
	if i >= 0 && i < len(list) {
		item = list[i]
	}
	return item
}

// insert is what a number in prose came to.
func (r *prose) insert(n *notebook.Insert) figure.Text { return at(r.page.Eval.Inserts, n.Index) }

func (r *prose) number(w util.BufWriter, n ast.Node) {
	i := n.(*notebook.Insert)
	if states := at(r.page.Eval.InsertStates, i.Index); states != nil {
		put(w, r.follows(r.insert(i), states))
	} else {
		put(w, string(textHTML(r.insert(i))))
	}
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
