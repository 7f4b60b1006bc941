package page

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"turnplate/site/eval"
	"turnplate/site/figure"
	"turnplate/site/notebook"
)

// explained renders a notebook of a site with a glossary, and gives its article.
func explained(t *testing.T, markdown string) string {
	nb := notebook.Read("studies/one", []byte(markdown))
	e := &eval.Page{Title: typed(nb.Front.Title)}
	for range nb.Inserts {
		e.Inserts = append(e.Inserts, figure.Text{{Text: figure.Plain("caster"), Value: true}})
	}
	for range nb.Blocks {
		e.Blocks = append(e.Blocks, eval.Block{})
	}
	site := Site{Title: "Site", Glossary: "turnplate/glossary.html", Explained: map[string]string{"Tyre": "turnplate/models/tyre.html"}}
	return article(string(render(t, Page{Site: site, Path: "studies/one.html", Notebook: nb, Eval: e}).HTML))
}

// linked lists the words linked to the glossary, each with its term.
func linked(page string) (list []string) {
	for _, part := range strings.Split(page, `<a class="term" href="../turnplate/glossary.html#`)[1:] {
		id, rest, _ := strings.Cut(part, `"`)
		_, rest, _ = strings.Cut(rest, ">")
		words, _, _ := strings.Cut(rest, "</a>")
		list = append(list, words+"="+id)
	}
	return list
}

var termLink = regexp.MustCompile(`(?s)<a class="term"[^>]*>(.*?)</a>`)

func TestTermsAreLinkedOnce(t *testing.T) {
	for markdown, want := range map[string][]string{
		"Caster, caster and camber.\n\nMore caster.":                           {"Caster=caster", "camber=camber"},
		"# Caster\n\n## Camber\n\nToe.":                                        {"Toe=toe"},
		"[caster](https://example.org) and caster.":                            {"caster=caster"},
		"`caster` $caster$ {caster} ![caster](a.png) <https://caster.example>": nil,
		"```text\ncaster\n```\n\n    caster\n\n```go params\ncaster := 1\n```": nil,
		"The scrub\nradius and *the **steering\naxis***.":                      {"scrub\nradius=scrub-radius", "steering\naxis=steering-axis"},
		"The scrub *radius*, then the scrub radius.":                           {"scrub radius=scrub-radius"},
		"scrub {x} radius, scrub $x$ radius, scrub `x` radius":                 nil,
		"- caster\n- > camber\n\n| toe | x |\n|---|---|\n| y | toe |":          {"caster=caster", "camber=camber", "toe=toe"},
		"A note.[^1]\n\n[^1]: On caster.":                                      nil,
		"caster &amp; \\*camber\\* &lt;toe":                                    {"caster=caster", "camber=camber", "toe=toe"},
		"The **trail** on the trail\\\nis trail.":                              {"trail=trail"},
		"term caster\n: about camber":                                          {"camber=camber"},
	} {
		assert.Equal(t, want, linked(explained(t, markdown)), markdown)
	}
}

// Links to the glossary change nothing else of the page.
func TestTermsLeaveTheTextAlone(t *testing.T) {
	for _, markdown := range []string{
		"Caster \\* camber &amp; toe<br>\\\nhard  \nbreak, *trail*\nand **knuckle** `x`.", studyText,
	} {
		nb := notebook.Read("studies/one", []byte(markdown))
		e := &eval.Page{Title: typed(nb.Front.Title), Blocks: make([]eval.Block, len(nb.Blocks)), Inserts: make([]figure.Text, len(nb.Inserts))}
		p := Page{Path: "studies/one.html", Notebook: nb, Eval: e}
		plain := article(string(render(t, p).HTML))
		p.Site.Glossary = "glossary.html"
		with := article(string(render(t, p).HTML))
		assert.NotEqual(t, plain, with)
		without := termLink.ReplaceAllString(with, "$1")
		assert.Equal(t, plain, without)
	}
}

func TestBlocksLinkWhatExplainsThem(t *testing.T) {
	page := explained(t, "```go params shown\nt := Tyre{Mass: 3*kg} // Tyre{\ns := \"Tyre{\"\nTyre := set.Tyre\nv := Vehicle{}\n```\n")
	assert.Equal(t, 1, strings.Count(page, `<a href="../turnplate/models/tyre.html">Tyre</a>{`), page)
	assert.NotContains(t, page, ">Vehicle</a>")
	assert.Equal(t, 1, strings.Count(page, "<a "))
}

func TestCodeLinksWhatExplainsIt(t *testing.T) {
	const link = `<a href="../turnplate/models/tyre.html"><code>Tyre</code></a>`
	for markdown, want := range map[string]string{
		"A `Tyre`.":                              "A " + link + ".",
		"*A `Tyre`*":                             "<em>A " + link + "</em>",
		"[A `Tyre`](https://a.example)":          "<code>Tyre</code></a>",
		"## A `Tyre`":                            "A <code>Tyre</code></h2>",
		"`Tyre.Mass` and `a <b>\n\"c\" &amp; d`": "<code>Tyre.Mass</code> and <code>a &lt;b&gt; \"c\" &amp;amp; d</code>",
	} {
		page := explained(t, "# One\n\n"+markdown)
		assert.Contains(t, page, want, markdown)
		assert.Equal(t, strings.Contains(want, link), strings.Contains(page, link), markdown)
	}
}

// A page beside the reading order is found from the header, and its neighbours from it.
func TestReferencePages(t *testing.T) {
	p := samplePage()
	p.Site.Reference = []Link{{Title: "Glossary", Path: "turnplate/glossary.html"}, {Title: "Models <&>", Path: "turnplate/models/index.html"}}
	assert.Contains(t, string(render(t, p).HTML), `<a href="../turnplate/glossary.html">Glossary</a>`)
	among := &Section{Title: "Models", Path: "turnplate/models/index.html", Pages: []Link{{Title: "Steer", Path: "turnplate/models/steer.html"}, {Title: "Travel", Path: "turnplate/models/travel.html"}}}
	out := string(render(t, Page{Site: p.Site, Path: "turnplate/models/steer.html", Among: among, Eval: &eval.Page{Title: typed("Steer")},
		Text: &Text{HTML: "<h2 id=\"a\">A</h2>", Contents: []Heading{{"a", 2, "A"}, {"b", 2, "B"}, {"c", 3, "<C>"}}}}).HTML)
	for _, want := range []string{
		`<a href="index.html" aria-current="true">Models &lt;&amp;&gt;</a>`, `<li><a href="index.html">Models</a></li>`, `<a href="travel.html">Travel</a>`,
		`<a href="steer.html" aria-current="page">Steer</a>`, `<h2 id="a">A</h2>`, `<a href="#c">&lt;C&gt;</a>`,
	} {
		assert.Contains(t, out, want)
	}
	assert.NotContains(t, out, `rel="next"`)
}
