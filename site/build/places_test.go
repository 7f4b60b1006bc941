package build

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"turnplate/site/diag"
)

// A link to a place in a page that isn't there is a mistake with its own place, in the notebook's own page and
// in another one; whatever a browser finds is none.
func TestDeadPlaces(t *testing.T) {
	const other = "# Arms\n\n## What it costs\n\n## What it costs\n\n## Café {1*mm in mm} later\n\n" + "```go params\nx := span(0*deg, 8*deg, 9)\nCurves{Title: \"A line\", X: x, Y: x}\n```\n"
	good := files("index.md", "# Home\n\nSee [a](studies/arms.md#what-it-costs), [b](studies/arms.md#what-it-costs-2), [c](studies/arms.md#caf%C3%A9-later), "+
		"[d](studies/arms.md#figure-1), [e](studies/arms.md#top), [f](studies/arms.md#), [g](#below), [h](studies/arms.md#page-text), "+
		"[i](https://example.org/#nowhere), [j](data.csv#row), [k](studies/arms.md#what-it-costs:~:text=words), [l](studies/).[^n]\n\n## Below\n\n[^n]: A note.\n",
		"studies/arms.md", other, "data.csv", "a,b\n")
	assert.Empty(t, evaluated(t, good).Faults)

	bad := files("index.md", "# Home\n\nSee [a](studies/arms.md#what-it-cost),\n[b](#belo) and [c](studies/arms.md#figure-2).\n\n## Below\n", "studies/arms.md", other)
	var got []string
	for _, f := range evaluated(t, bad).Faults {
		got = append(got, f.Error())
	}
	assert.Equal(t, []string{
		"index.md:3:9: studies/arms.md#what-it-cost: studies/arms.md has no heading or figure of that name (did you mean #what-it-costs?)",
		"index.md:4:5: #belo: index.md has no heading or figure of that name (did you mean #below?)",
		"index.md:4:20: studies/arms.md#figure-2: studies/arms.md has no heading or figure of that name (did you mean #figure-1?)",
	}, got)

	// A page with a mistake has no figures to lead to: that is one mistake, not two.
	broken := files("index.md", "# Home\n\n[c](studies/arms.md#figure-1)\n", "studies/arms.md", "# Arms\n\n```go params\nx := span(0*deg, 8*deg, 9)\nCurves{Title: \"A line\", X: x, Y: y}\n```\n")
	assert.Len(t, evaluated(t, broken).Faults, 1)
}

// A notebook full of links that miss a notebook full of headings is told so within a moment.
func TestDeadPlacesAreBounded(t *testing.T) {
	const headings, links = 3000, 5000
	var b strings.Builder
	b.WriteString("# Many\n\n")
	for i := range headings {
		fmt.Fprintf(&b, "## Heading %d\n\n", i)
	}
	for i := range links {
		fmt.Fprintf(&b, "[a](#hadeing-%d)\n\n", i)
	}
	var hints int
	faults := evaluated(t, files("index.md", b.String())).Faults
	for _, f := range faults {
		if f.Hint != "" {
			hints++
		}
	}
	assert.Len(t, faults, diag.Most)
	const places = headings + 1 // the page's text is one
	assert.Equal(t, mostCompared/places, hints)
}

// A file that is carried to where a page puts its own is a mistake, with the place of the link.
func TestTakenNames(t *testing.T) {
	const page = "# Arms\n\n```go params\nx := span(0*deg, 8*deg, 9)\nCurves{Title: \"A line\", X: x, Y: x}\n```\n"
	fsys := files("index.md", "# Home\n\n[a](b/arms-figure-1.csv) [b](b/arms-figure-2.csv) ![c](b/arms-share.png) [d](b/arms-x.csv)\n", "b/arms.md", page, "b/arms-x.md", "# X\n",
		"b/arms-figure-1.csv", "a\n", "b/arms-figure-2.csv", "a\n", "b/arms-x.csv", "a\n", "b/arms-share.png", pngHead)
	const why = ": the page of b/arms.md has a file of that name, for one of its figures (give yours another name)"
	want := []string{"index.md:3:5: b/arms-figure-1.csv" + why, "index.md:3:56: b/arms-share.png" + why}
	said := func(faults diag.List) (all []string) {
		for _, f := range faults {
			all = append(all, f.Error())
		}
		return all
	}
	assert.Equal(t, want, said(evaluated(t, fsys).Faults))
	whole, err := liveOf(t, fsys).All()
	assert.NoError(t, err)
	assert.Equal(t, want, said(whole.Faults))
}

// A preview says so as soon as it knows the other page, and no longer once the heading is there.
func TestLiveDeadPlaces(t *testing.T) {
	p := preview(t, files("index.md", "# Home\n\n[a](arms.md#costs)\n", "arms.md", "# Arms\n\n## Cost\n"))
	assert.Empty(t, p.show("index.html").Faults, "the other page isn't evaluated yet")
	whole, err := p.All()
	assert.NoError(t, err)
	assert.Len(t, whole.Faults, 1)
	assert.Len(t, p.show("index.html").Faults, 1)
	assert.NotEmpty(t, p.show("index.html").HTML)
	p.save("arms.md", "# Arms\n\n## Costs\n")
	whole, err = p.All()
	assert.NoError(t, err)
	assert.Empty(t, whole.Faults)
	assert.Empty(t, p.show("index.html").Faults)
}
