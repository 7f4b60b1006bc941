package page

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"net/url"
	"path"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/yuin/goldmark/ast"

	"turnplate/site/eval"
	"turnplate/site/figure"
	"turnplate/site/notebook"
)

// element is a start tag as read back from a page.
type element struct {
	name string
	attr map[string]string
}

// elements reads a page back. It fails on tags that don't nest.
func elements(t require.TestingT, page []byte) (all []element) {
	d := xml.NewDecoder(bytes.NewReader(bytes.TrimPrefix(page, []byte("<!doctype html>"))))
	d.Strict, d.AutoClose, d.Entity = true, xml.HTMLAutoClose, xml.HTMLEntity
	d.Strict = false
	var open []string
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			require.Empty(t, open, "left open")
			return all
		}
		require.NoError(t, err)
		switch token := token.(type) {
		case xml.StartElement:
			e := element{token.Name.Local, map[string]string{}}
			for _, a := range token.Attr {
				e.attr[a.Name.Local] = a.Value
			}
			all = append(all, e)
			open = append(open, e.name)
		case xml.EndElement:
			require.NotEmpty(t, open)
			require.Equal(t, open[len(open)-1], token.Name.Local, "tags cross")
			open = open[:len(open)-1]
		}
	}
}

func render(t require.TestingT, p Page) Output {
	out, err := Render(p)
	require.NoError(t, err)
	return out
}

// pageOf renders a notebook whose numbers in prose all come to one text.
func pageOf(t require.TestingT, markdown string, figures ...figure.Figure) string {
	nb := notebook.Read("study", []byte(markdown))
	e := &eval.Page{Title: typed(nb.Front.Title)}
	for range nb.Inserts {
		e.Inserts = append(e.Inserts, figure.Text{{Text: figure.Plain("4.5°"), Value: true}})
	}
	for range nb.Blocks {
		e.Blocks = append(e.Blocks, eval.Block{Figures: figures})
	}
	return string(render(t, Page{Path: "study.html", Notebook: nb, Eval: e}).HTML)
}

// article cuts out what the notebook's text became.
func article(page string) string {
	_, rest, _ := strings.Cut(page, "</h1>")
	inside, _, _ := strings.Cut(rest, "</main>")
	return inside
}

// What holds for every page, whatever stands in it.
func checkPage(t require.TestingT, out Output, pagePath string) {
	ids, h1 := map[string]bool{}, 0
	var wanted []string
	files := map[string]bool{}
	for _, f := range out.Files {
		require.False(t, files[f.Path], "two files called %s", f.Path)
		files[f.Path] = true
	}
	for _, e := range elements(t, out.HTML) {
		if id, ok := e.attr["id"]; ok {
			require.False(t, ids[id], "id %q twice", id)
			require.NotRegexp(t, `\s`, id)
			ids[id] = true
		}
		for name, value := range e.attr {
			require.False(t, strings.HasPrefix(name, "on"), "script in an attribute: %s", name)
			require.NotEqual(t, "style", name, "inline style, which the page forbids")
			switch name {
			case "href", "src":
				u, err := url.Parse(value)
				require.NoError(t, err)
				require.Contains(t, []string{"", "https", "http", "mailto"}, u.Scheme, value)
				require.False(t, strings.HasPrefix(value, "/"), "%q is not relative", value)
				if u.Fragment != "" && u.Path == "" {
					wanted = append(wanted, u.Fragment)
				}
				if strings.HasSuffix(value, ".csv") {
					require.True(t, files[path.Join(path.Dir(pagePath), value)], "no file %s", value)
				}
			case "aria-labelledby", "aria-describedby":
				wanted = append(wanted, value)
			}
		}
		switch e.name {
		case "h1":
			h1++
		case "script":
			require.True(t, e.attr["src"] != "" || e.attr["type"] == "application/json", "inline script")
		case "img":
			require.Contains(t, e.attr, "alt")
		}
	}
	require.Equal(t, 1, h1)
	for _, id := range wanted {
		require.True(t, ids[id], "nothing has the id %q", id)
	}
}

func TestEveryPage(t *testing.T) {
	for _, p := range []Page{samplePage(), sampleIndex(), galleryPage()} {
		out := render(t, p)
		checkPage(t, out, p.Path)
		again := render(t, p)
		assert.Equal(t, string(out.HTML), string(again.HTML), "the same page gives the same bytes")
		assert.Equal(t, out.Files, again.Files)
	}
}

// Pages are rendered side by side, and they share notebooks and figures.
func TestRenderInParallel(t *testing.T) {
	p := samplePage()
	want := render(t, p)
	picture, err := want.Share.Draw()
	require.NoError(t, err)
	var group sync.WaitGroup
	for range 4 {
		group.Go(func() {
			out, err := Render(p)
			assert.NoError(t, err)
			assert.Equal(t, string(want.HTML), string(out.HTML))
			assert.Equal(t, want.Files, out.Files)
			mine, err := out.Share.Draw()
			assert.NoError(t, err)
			assert.Equal(t, picture, mine)
		})
	}
	group.Wait()
}

func TestWeight(t *testing.T) {
	css, err := Assets().Open("page.css")
	require.NoError(t, err)
	js, err := Assets().Open("page.js")
	require.NoError(t, err)
	size := func(r io.Reader) int {
		data, err := io.ReadAll(r)
		require.NoError(t, err)
		return len(data)
	}
	assets := size(css)
	assert.Less(t, assets, 34_000, "style sheet")
	script := size(js)
	assert.Less(t, script, 16_000, "script; with that of dials and of what a page may offer beside it below 25 kB")
	// Seven drawings, in two sizes and two systems of units, with their tables.
	assert.Less(t, len(render(t, samplePage()).HTML)+assets+script, 200_000)
}

func TestEveryNodeIsWritten(t *testing.T) {
	const all = "# Title\n\nSetext\n------\n\n*em* **strong** `code` [link](https://example.org) <https://auto.example> ![pic](a.png \"Named\") hard\\\nbreak {x}\n" +
		"\n![inline](b.png) with words\n\n> quoted\n\n1. one\n2. two\n\n- dash\n\n***\n\n    indented\n\n```text\nfenced\n```\n\n```go params\nblock\n```\n\n" +
		"|h|r|\n|-|-:|\n|cell|{x}|\n\nterm\n: definition\n\nfoot[^1] $x^2$\n\n$$y$$\n\n[^1]: the note\n"
	page := article(pageOf(t, all, &figure.Exercise{Head: figure.Head{ID: "ask"}, Ask: typed("asked")}))
	for _, want := range []string{
		`<h2 id="setext">Setext</h2>`, "<em>em</em>", "<strong>strong</strong>", "<code>code</code>",
		`<a href="https://example.org" rel="noopener">link</a>`, `<a href="https://auto.example" rel="noopener">https://auto.example</a>`,
		`<img src="a.png" alt="pic" loading="lazy">`, "<br", `<span class="calc">4.5°</span>`, "<p><img src=\"b.png\"", "<blockquote>", "<ol>", "<ul>", "<hr",
		"indented", "fenced", "asked", "block", `<th scope="col" class="right">r</th>`, `<td class="right"><span class="calc">4.5°</span></td>`,
		"<dt>term</dt>", "<dd>definition</dd>", `role="doc-noteref"`, "the note", `<math alttext="x^2"><msup><mi>x</mi><mn>2</mn></msup></math>`, `<span class="equation"><math display="block" alttext="y"><mi>y</mi></math></span>`,
	} {
		assert.Contains(t, page, want)
	}
	assert.NotContains(t, page, "Title", "the first heading is the page's title, which stands above")

	// No kind of node is without a renderer: goldmark would skip it silently.
	kinds := map[ast.NodeKind]bool{}
	nb := notebook.Read("x", []byte(all))
	_ = ast.Walk(nb.Root, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		kinds[n.Kind()] = true
		return ast.WalkContinue, nil
	})
	assert.Greater(t, len(kinds), 25)
}

func TestRawHTMLIsText(t *testing.T) {
	page := pageOf(t, "# T\n\n<script>alert(1)</script>\n\na <img src=x onerror=y> b\n\n<!-- c -->\n")
	for _, want := range []string{"&lt;script&gt;alert(1)&lt;/script&gt;", "&lt;img src=x onerror=y&gt;", "&lt;!-- c --&gt;"} {
		assert.Contains(t, page, want)
	}
	assert.NotContains(t, article(page), "<script")
}

func TestDangerousLinksAreWords(t *testing.T) {
	for _, dest := range []string{
		"javascript:alert(1)", "JaVaScRiPt:alert(1)", "java&#x0A;script:alert(1)", "javascript&colon;alert(1)", "%6Aavascript:alert(1)",
		"data:text/html,x", "vbscript:x", "file:///etc/passwd", "//elsewhere.example/x", `\\elsewhere`, "blob:x", "&#1;javascript:x",
	} {
		page := article(pageOf(t, "# T\n\n[words]("+dest+") ![pic]("+dest+")\n"))
		assert.NotContains(t, page, "<a ", dest)
		assert.NotContains(t, page, "<img", dest)
		assert.Contains(t, page, "words", dest)
		assert.Contains(t, page, "[Picture: pic]", dest)
	}
	page := article(pageOf(t, "# T\n\n![pic](https://elsewhere.example/a.png)\n"))
	assert.Contains(t, page, `<a href="https://elsewhere.example/a.png" rel="noopener">[Picture: pic]</a>`, "a page asks nothing of another host by itself")
}

func TestLinksAreResolved(t *testing.T) {
	nb := notebook.Read("study", []byte("# T\n\n[a](b.md#c) [gone](x.md) [here](#t) [to](mailto:a@b.example)\n"))
	out := render(t, Page{Path: "study.html", Notebook: nb, Eval: &eval.Page{Title: typed("T")}, Resolve: func(dest string) (string, bool) {
		return strings.Replace(dest, ".md", ".html", 1), dest != "x.md"
	}})
	page := article(string(out.HTML))
	for _, want := range []string{`<a href="b.html#c">a</a>`, " gone ", `<a href="#t">here</a>`, `<a href="mailto:a@b.example" rel="noopener">to</a>`} {
		assert.Contains(t, page, want)
	}
}

func TestHostileFrontMatter(t *testing.T) {
	const evil = `"><script>alert(1)</script>`
	p := samplePage()
	p.Eval.Title, p.Eval.Summary, p.Eval.Notes = typed(evil), typed(evil), []string{evil}
	p.Site.Title, p.Site.Note, p.Site.Version, p.Digest = evil, evil, evil, evil
	p.Notebook.Front.Author, p.Notebook.Front.Date = evil, evil
	p.Site.Sections[2].Title, p.Site.Sections[2].Pages[1].Title = evil, evil
	for _, b := range p.Eval.Blocks {
		for _, f := range b.Figures {
			switch f := f.(type) {
			case *figure.Claim:
				f.Says, f.Detail, f.Title = typed(evil), evil, typed(evil)
			case *figure.Exercise:
				f.Ask, f.Answer, f.Working, f.Within = typed(evil), typed(evil), typed(evil), typed(evil)
			case *figure.Table:
				f.Rows[0], f.Columns[0].Head, f.Columns[3].Cells[0].Text, f.Title = figure.Plain(evil), figure.Plain(evil), figure.Plain(evil), typed(evil)
			}
		}
	}
	out := render(t, p)
	checkPage(t, out, p.Path)
	for _, e := range elements(t, out.HTML) {
		if e.name == "script" {
			assert.True(t, e.attr["src"] != "" || e.attr["class"] == "values")
		}
	}
}

func TestHeadingIDs(t *testing.T) {
	page := pageOf(t, "# T\n\n## Δ caster\n\n## Effort {x} at the rim\n\n## Effort at the rim\n\n### Driver’s side\n\n## 方向\n\n## !!!\n\n## Cautions\n\n#### Deep\n\n## $k = \\frac{1}{3}\\sqrt W$\n")
	for _, want := range []string{`<h2 id="δ-caster">`, `<h2 id="effort-at-the-rim">`, `<h2 id="effort-at-the-rim-2">`, `<h3 id="drivers-side">`, `<h2 id="方向">`, `<h2 id="section">`, `<h2 id="cautions-2">`, `<h4 id="deep">`} {
		assert.Contains(t, page, want)
	}
	assert.Contains(t, page, `<li class="level2"><a href="#effort-at-the-rim">Effort 4.5° at the rim</a></li>`, "contents show the number; the id is without it")
	assert.Contains(t, page, `<li class="level2"><a href="#k-1-3-w">k = 1/3 √W</a></li>`, "contents hold no markup")
	assert.NotContains(t, page, `href="#deep"`)
}

func TestTitleHeading(t *testing.T) {
	assert.NotContains(t, article(pageOf(t, "# One\n\ntext\n")), "One")
	page := pageOf(t, "---\ntitle: Other\n---\n\n# One\n\ntext\n")
	assert.Contains(t, page, `<h2 id="one">One</h2>`, "a page has one title")
}

func TestFolding(t *testing.T) {
	claim := &figure.Claim{Head: figure.Head{ID: "c"}, Says: typed("said"), Holds: true}
	page := article(pageOf(t, "# T\n\n```go params\nx := 1*mm // why\n```\n", claim))
	assert.Contains(t, page, "<details class=\"working alone\"><summary>How this was calculated</summary>")
	assert.Contains(t, page, `x := <b>1</b>*mm <em>// why</em>`)
	page = article(pageOf(t, "# T\n\n```go params shown\nx := 1\n```\n", claim))
	assert.NotContains(t, page, "<details")
	assert.Less(t, strings.Index(page, "x := "), strings.Index(page, "said"), "shown text stands before what it makes")
	page = article(pageOf(t, "# T\n\n```go params hidden\nx := 1\n```\n", claim))
	assert.NotContains(t, page, "x := ")
	page = article(pageOf(t, "# T\n\n```go params\nx := 1\n```\n", family()))
	assert.Equal(t, 1, strings.Count(page, "How this was calculated"))
	assert.Less(t, strings.Index(page, "How this was calculated"), strings.Index(page, "</figure>"), "under its figure")
}

// What a lead shows opens the page, with the first numbers, wherever its block stands.
func TestLead(t *testing.T) {
	page := pageOf(t, "---\ntitle: T\n---\n\nText.\n\n```go params\nx := 1\n```\n\n```go params lead\ny := 2\n```\n", family())
	title, text := strings.Index(page, "</h1>"), strings.Index(page, "<p>Text.")
	lead, first, second := strings.Index(page, `<div class="lead">`), strings.Index(page, "Figure 1<"), strings.Index(page, "Figure 2<")
	assert.True(t, 0 < title && title < lead && lead < first && first < text && text < second, page)
	code := strings.Index(page, "y := <b>2</b>")
	assert.True(t, first < code && code < text, "the lead's own text is folded under it")
	assert.Equal(t, 2, strings.Count(page, "How this was calculated"))
	assert.NotContains(t, pageOf(t, "# T\n\n```go params\nx := 1\n```\n", family()), `class="lead"`)
}

func TestHighlightLosesNothing(t *testing.T) {
	tags := regexp.MustCompile(`</?(i|b|em)>`)
	for _, code := range []string{"", "a := \"<b>\" // c & d\r\nb := `raw\r\n`", "'", "/* open", "x := 3*mm /* c */ + 0x1p-2\n", "\x00\xff", "f(\"\\", "a\n\n\nb"} {
		assert.Equal(t, textOnly(code), tags.ReplaceAllString(highlight(code, func(string) string { return "" }), ""), "%q", code)
	}
}

func TestClaimsSayInWordsWhetherTheyHold(t *testing.T) {
	page := string(render(t, samplePage()).HTML)
	assert.Regexp(t, `(?s)class="claim holds" id="limit">.*?</svg> <span class="hidden">Checked, and holds:</span></p>`, page)
	assert.Regexp(t, `(?s)class="claim fails" id="even">.*?</svg> Fails</p>.*?First fails with lift 50 mm`, page)
}

// A table is there once, unless something in it differs between the systems of units.
func TestTablesOfBothSystems(t *testing.T) {
	of := func(change func(*figure.Table)) []*tableView {
		made := &figure.Table{Rows: []figure.Words{figure.Plain("a"), figure.Plain("b")}, Columns: []figure.Column{
			{Head: figure.Plain("Rate"), Cells: []figure.Cell{{Text: figure.Plain("1.5"), Number: true}, {Text: figure.Plain("2"), Number: true}}},
		}}
		change(made)
		return newTables(made)
	}
	assert.Len(t, of(func(*figure.Table) {}), 1)
	for _, change := range []func(*figure.Table){
		func(t *figure.Table) { t.Title = figure.Text{{Text: figure.Either("m", "ft")}} },
		func(t *figure.Table) { t.Rows[1] = figure.Either("10 mm", "0.4 in") },
		func(t *figure.Table) { t.Columns[0].Head = figure.Either("Rate (mm)", "Rate (in)") },
		func(t *figure.Table) { t.Columns[0].Cells[1].Text = figure.Either("2", "3") },
	} {
		both := of(change)
		require.Len(t, both, 2)
		assert.Equal(t, []string{"in-metric", "in-us"}, []string{both[0].Class, both[1].Class})
	}
}

func TestDecimalPointsLineUp(t *testing.T) {
	v := newTable(table(), figure.Metric)
	column := func(k int) (widths []int) {
		for _, row := range v.Rows {
			text := row.Cells[k].Text + row.Cells[k].Pad
			_, after, found := strings.Cut(text, ".")
			if !found {
				_, after, _ = strings.Cut(text, "\u2008")
			}
			widths = append(widths, len([]rune(after)))
		}
		return widths
	}
	assert.Equal(t, []int{2, 2, 2}, column(1), "2.4, 4.35 and 5 end in as many characters after the point")
	assert.Equal(t, []int{5, 5, 0}, column(3), "a dash has no decimals")
	assert.Equal(t, "Caster reached (°)", v.Heads[1].Text)
	assert.Equal(t, cellView{Text: "–", Number: true}, v.Rows[2].Cells[3])
}

func TestTableSaysWhatIsMissing(t *testing.T) {
	page := string(render(t, samplePage()).HTML)
	assert.Contains(t, page, "A dash, in 1 place: there is no value to be had.")
}

func TestBothSystemsStandOnThePage(t *testing.T) {
	assert.Equal(t, `<span class="calc"><span class="in-metric">5 mm</span><span class="in-us">0.20 in</span></span> &lt;x&gt;`,
		string(textHTML(figure.Text{{Text: figure.Either("5 mm", "0.20 in"), Value: true}, {Text: figure.Plain(" <x>")}})))
	p := samplePage()
	p.Notebook.Front.Units = "us"
	out := render(t, p)
	assert.Contains(t, string(out.HTML), `data-units="us"`)
	names := map[string]bool{}
	for _, f := range out.Files {
		names[f.Path] = true
	}
	assert.True(t, names["studies/caster-effort.csv"] && names["studies/caster-effort-us.csv"])
	assert.True(t, names["studies/caster-cost.csv"])
	assert.False(t, names["studies/caster-cost-us.csv"], "the same in both systems")
}

func TestNavigation(t *testing.T) {
	page := string(render(t, samplePage()).HTML)
	for _, want := range []string{
		`<a class="home" href="../index.html">`, `<a href="index.html" aria-current="true">Studies</a>`, `<a href="../vehicles/index.html">Vehicles</a>`, `<a href="../terms.html">Terms</a>`,
		`<a class="previous" rel="prev" href="index.html"><span>Previous</span> Studies</a>`, `<a class="next" rel="next" href="tyre.html"><span>Next</span> What the bigger tyre costs</a>`,
		`<a href="caster.html" aria-current="page">`, `<dd>Turnplate 0.1</dd>`, `<code>5f0c2b9e41d7</code>`, "The Corrie, its parts and its club are invented.",
	} {
		assert.Contains(t, page, want)
	}
	index := string(render(t, sampleIndex()).HTML)
	assert.Contains(t, index, `<a href="studies/tyre.html">What the bigger tyre costs</a><p>Mass, gearing and stopping.</p>`)
	assert.NotContains(t, index, `class="previous"`)
	assert.Contains(t, index, `href="terms.html"><span>Next</span> Terms`)
}

// In a large section a page lists what stands around it, and the way to all of it; a site with many
// sections does the same in its header.
func TestNavigationStaysShort(t *testing.T) {
	const many = 500
	p := samplePage()
	var studies []Link
	for i := range many {
		studies = append(studies, Link{Title: fmt.Sprintf("Study %d", i), Path: fmt.Sprintf("studies/%d.html", i)})
		p.Site.Sections = append(p.Site.Sections, Section{Title: "More", Path: fmt.Sprintf("more-%d/index.html", i)}, Section{Title: "Deep", Path: fmt.Sprintf("more-%d/deep/index.html", i)})
	}
	p.Site.Sections[slices.IndexFunc(p.Site.Sections, func(s Section) bool { return s.Path == "studies/index.html" })].Pages = studies
	for _, at := range []int{0, 1, many / 2, many - 1} {
		p.Path = fmt.Sprintf("studies/%d.html", at)
		page := string(render(t, p).HTML)
		assert.Contains(t, page, fmt.Sprintf(`<a href="%d.html" aria-current="page">`, at))
		assert.Contains(t, page, `<a href="index.html">All 500 pages</a>`)
		assert.Contains(t, page, `<a href="../index.html">All pages</a>`)
		assert.Contains(t, page, `<a href="index.html" aria-current="true">Studies</a>`)
		assert.NotContains(t, page, "Deep")
		assert.LessOrEqual(t, strings.Count(page, "Study "), mostLinks+2)
		assert.LessOrEqual(t, strings.Count(page, ">More<"), mostLinks)
		if at > 0 {
			assert.Contains(t, page, fmt.Sprintf(`rel="prev" href="%d.html"`, at-1))
		}
		if at < many-1 {
			assert.Contains(t, page, fmt.Sprintf(`rel="next" href="%d.html"`, at+1))
		}
	}
}

func TestRelative(t *testing.T) {
	for _, c := range [][3]string{
		{"index.html", "studies/a.html", "studies/a.html"}, {"studies/a.html", "index.html", "../index.html"}, {"studies/a.html", "studies/b.html", "b.html"},
		{"a/b/c.html", "a/d/e.html", "../d/e.html"}, {"a/b.html", "a/b/c.html", "b/c.html"}, {"a/x.html", "b/x.html", "../b/x.html"}, {"a/a/x.html", "a/x.html", "../x.html"},
	} {
		assert.Equal(t, c[2], relative(c[0], c[1]))
		assert.Equal(t, c[1], path.Join(path.Dir(c[0]), relative(c[0], c[1])), "and it leads there")
	}
}

func TestUnusablePages(t *testing.T) {
	for _, p := range []Page{{Path: "a.html"}, {Eval: &eval.Page{}}, {Path: "../a.html", Eval: &eval.Page{}}, {Path: "/a.html", Eval: &eval.Page{}}} {
		_, err := Render(p)
		assert.Error(t, err)
	}
}

// A notebook whose evaluation stopped half way has fewer results than blocks.
func TestMissingResultsLeaveNoHole(t *testing.T) {
	p := samplePage()
	p.Eval.Blocks, p.Eval.Inserts = p.Eval.Blocks[:1], nil
	checkPage(t, render(t, p), p.Path)
}

func FuzzPage(f *testing.F) {
	f.Add(studyText)
	f.Add("# T\n\n[a](javascript:b)\n\n|a|\n|-|\n|{x}|\n")
	f.Add("[^1]: a\n\n[^1] ## \n\n# fn:1\n\n$x$")
	f.Add("[](/)")
	f.Fuzz(func(t *testing.T, markdown string) {
		nb := notebook.Read("study", []byte(markdown))
		e := &eval.Page{Title: typed(nb.Front.Title)}
		for range nb.Inserts {
			e.Inserts = append(e.Inserts, figure.Text{{Text: figure.Plain("1")}})
		}
		for _, l := range nb.Links {
			if _, place, has := strings.Cut(notebook.Plain(l.Dest), "#"); has && !slices.Contains(Places(nb, e), place) {
				t.Skip("a link to a place that the page hasn't: package build refuses it")
			}
		}
		checkPage(t, render(t, Page{Path: "study.html", Notebook: nb, Eval: e}), "study.html")
	})
}

func BenchmarkRender(b *testing.B) {
	p := samplePage()
	for b.Loop() {
		if _, err := Render(p); err != nil {
			b.Fatal(err)
		}
	}
}

// A picture states its size, where that is known, so that the page doesn't jump as it loads.
func TestPicturesHaveSizes(t *testing.T) {
	nb := notebook.Read("one", []byte("![wide](a.png)\n\n![small](<b \"c.png>) in words, ![lost](c.png)\n"))
	size := func(dest string) (int, int) {
		return map[string]int{"a.png": 4000, `b "c.png`: 20}[dest], map[string]int{"a.png": 3000, `b "c.png`: 10}[dest]
	}
	out := string(render(t, Page{Path: "one.html", Notebook: nb, Eval: &eval.Page{Title: typed("One")}, Size: size}).HTML)
	assert.Contains(t, out, `<figure class="picture"><img src="a.png" alt="wide" width="4000" height="3000" loading="lazy">`)
	assert.Contains(t, out, `alt="small" width="20" height="10" loading="lazy"`)
	assert.Contains(t, out, `alt="lost" loading="lazy"`)
	svg := func(dest string) string {
		return map[string]string{"a.png": `<svg viewBox="0 0 4000 3000"><path></path></svg>`}[dest]
	}
	out = string(render(t, Page{Path: "one.html", Notebook: nb, Eval: &eval.Page{Title: typed("One")}, Size: size, Sketch: svg}).HTML)
	assert.Contains(t, out, `<figure class="picture"><svg class="drawing sketch" font-size="13" role="img" aria-label="wide" width="4000" height="3000" viewBox="0 0 4000 3000"><path></path></svg></figure>`)
	assert.NotContains(t, out, `src="a.png"`)
	assert.Contains(t, out, `alt="small" width="20"`)
}

// Letters are what an equation shows: its tags and what stands in them don't count.
func TestLetters(t *testing.T) {
	assert.Equal(t, 3, letters(`<math alttext="a &gt; b"><mi>α</mi><mo>=</mo>`+"\n"+`</math>`))
	assert.Zero(t, letters(`<math></math>`))
}
