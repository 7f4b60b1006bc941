package build

import (
	"testing"

	"github.com/stretchr/testify/assert"
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
