package collection

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSketch(t *testing.T) {
	const svg = `<?xml version="1.0"?><!-- by hand --><svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 340 200"><title>A &amp; B</title>
<g class="arm s2" transform="rotate(-20 3 4)"><path d="M1.5 2L-3e2 4Z"/></g><text class="label" x="3" text-anchor="end">20° &lt; <tspan>x</tspan></text></svg>
`
	c := open(t, "a.md", "![one](one.svg) [x](one.svg)", "one.svg", svg, "p.png", png)
	assert.Equal(t, `<svg viewBox="0 0 340 200"><title>A &amp; B</title>
<g class="arm s2" transform="rotate(-20 3 4)"><path d="M1.5 2L-3e2 4Z"></path></g><text class="label" x="3" text-anchor="end">20° &lt; <tspan>x</tspan></text></svg>`, c.Sketch("one.svg"))
	w, h := c.Size("one.svg")
	assert.Equal(t, []int{340, 200}, []int{w, h})
	assert.Empty(t, c.Sketch("p.png"))
	assert.Empty(t, c.Sketch("none.svg"))
	_, err := c.Carried("one.svg")
	require.Error(t, err, "no file of the site")
	nb, err := c.Notebook("a")
	require.NoError(t, err)
	_, faults := c.CheckLinks(nb)
	require.Len(t, faults, 1)
	assert.Equal(t, "a.md:1:21: one.svg: an SVG picture is drawn into its page, and no file of the site (show it as ![what it shows](file))", faults[0].Error())
}

// Whatever could run, fetch, cover the page or take its place is refused, at its line.
func TestSketchRefuses(t *testing.T) {
	inside := func(s string) string { return `<svg viewBox="0 0 9 9">` + "\n" + s + `</svg>` }
	for svg, want := range map[string]string{
		inside(`<script>alert(1)</script>`):                                  "line 2: script has no place there",
		inside(`<SCRIPT/>`):                                                  "line 2: SCRIPT has no place there",
		inside(`<image href="https://example.org/a.png"/>`):                  "line 2: image has no place there",
		inside(`<use href="#a"/>`):                                           "line 2: use has no place there",
		inside(`<a href="javascript:alert(1)"><path/></a>`):                  "line 2: a has no place there",
		inside(`<foreignObject/>`):                                           "line 2: foreignObject has no place there",
		inside(`<style>*{}</style>`):                                         "line 2: style has no place there",
		inside(`<animate attributeName="href"/>`):                            "line 2: animate has no place there",
		inside(`<svg viewBox="0 0 9 9"/>`):                                   "line 2: svg has no place there",
		inside(`<path onclick="alert(1)"/>`):                                 "line 2: path can't have onclick here",
		inside(`<path style="fill:url(https://example.org)"/>`):              "line 2: path can't have style here",
		inside(`<path fill="red"/>`):                                         "line 2: path can't have fill here",
		inside(`<path id="positions"/>`):                                     "line 2: path can't have id here",
		inside(`<path xmlns:x="http://www.w3.org/1999/xlink" x:href="#a"/>`): "line 2: path can't have x here",
		inside(`<path d="M0 0&quot; onclick=&quot;alert(1)"/>`):              "line 2: path can't have d here",
		inside(`<path class="skip"/>`):                                       "line 2: skip is no look",
		inside(`words`):                                                      "line 2: words stand in a text, a title or a desc",
		inside(`<g>`):                                                        "line 2: it isn't well-formed",
		inside(`&evil;`):                                                     "line 2: it isn't well-formed",
		`<!DOCTYPE svg [<!ENTITY a "b">]><svg viewBox="0 0 9 9"/>`:           "line 1: a picture has no document type",
		`<svg viewBox="0 0 9 9"/><svg viewBox="0 0 9 9"/>`:                   "line 1: svg has no place there",
		`<svg viewBox="0 0 9 9"/>words`:                                      "line 1: words stand in a text, a title or a desc",
		`<svg onload="alert(1)" viewBox="0 0 9 9"/>`:                         "line 1: svg can't have onload here",
		`<svg width="99999" viewBox="0 0 9 9"/>`:                             "line 1: svg can't have width here",
		`<svg/>`:                                                             "line 1: the picture's size is wanted, as viewBox",
		`<svg viewBox="-9 0 9 9"/>`:                                          `line 1: viewBox is "0 0" and then width and height`,
		`<svg viewBox="0 0 9 9999"/>`:                                        `line 1: viewBox is "0 0" and then width and height`,
		`<path/>`:                                                            "line 1: path has no place there",
		``:                                                                   "line 1: it isn't well-formed",
		`<svg viewBox="0 0 9 9">` + strings.Repeat(" ", maxSketch) + `</svg>`:  "larger than 64 KiB",
		`<svg viewBox="0 0 9 9">` + strings.Repeat("<g>", 10) + `</svg>`:       "it isn't well-formed",
		inside(`<text>` + `<![CDATA[<script>alert(1)</script>]]>` + `</text>`): "",
	} {
		got, _, _, err := sketched([]byte(svg))
		if want == "" {
			require.NoError(t, err, svg)
			assert.NotContains(t, got, "<script")
			continue
		}
		assert.ErrorContains(t, err, want, svg)
		assert.Empty(t, got, svg)
	}
}

// Each look is one that the page's style sheet has.
func TestSketchLooks(t *testing.T) {
	css, err := os.ReadFile("../page/assets/page.css")
	require.NoError(t, err)
	for _, look := range sketchLooks {
		rule := `(?m)^\.sketch [^{]*\.` + look + `\b`
		if regexp.MustCompile(`^s[1-6]$`).MatchString(look) {
			rule = `\.` + look + ` \{ --c:`
		}
		assert.Regexp(t, rule, string(css))
	}
}
