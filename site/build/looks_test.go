package build

import (
	"regexp"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// lookOf is the ink of a line on a shown page, "" where the page has none of its name.
func lookOf(t *testing.T, page Shown, label string) string {
	t.Helper()
	require.Empty(t, page.Faults)
	m := regexp.MustCompile(`"label":\["` + label + `"\],"look":"(\w+)"`).FindSubmatch(page.HTML)
	require.NotNil(t, m, label)
	return string(m[1])
}

// A label has one ink throughout a preview, whichever page is asked for first; a change that moves it moves it on
// every page.
func TestALabelHasOneInkThroughASite(t *testing.T) {
	plot := func(choices string) string {
		return "# Page\n\n```go params\nx := span(0*mm, 4*mm, 5)\narm := Choices{" + choices + "}\nreach := x*arm\nCurves{X: x, Y: reach, By: arm}\n```\n"
	}
	p := preview(t, fstest.MapFS{
		"a.md": {Data: []byte(plot(`"Stock": 1, "Long": 2`))},
		"b.md": {Data: []byte(plot(`"Cast": 3, "Long": 2, "Stock": 1`))},
	})
	second := p.show("b.html")
	assert.Equal(t, "s1", lookOf(t, second, "Stock"))
	assert.Equal(t, "s3", lookOf(t, second, "Cast"))
	assert.Equal(t, "s2", lookOf(t, p.show("a.html"), "Long"))

	p.save("a.md", plot(`"Long": 2, "Stock": 1`))
	second = p.show("b.html")
	for _, label := range []string{"Stock", "Long"} {
		assert.Equal(t, lookOf(t, p.show("a.html"), label), lookOf(t, second, label), label)
	}
	assert.Equal(t, "s2", lookOf(t, second, "Stock"))

	p.files["rows.csv"] = &fstest.MapFile{Data: []byte("Arm,Reach (mm)\nLong,1\nShort,2\n")}
	p.save("c.md", "# Rows\n\n```go params\nr := readings(\"rows.csv\")\nx := span(0, 1, 3)\nreach := x*r.Reach\nCurves{X: x, Y: reach, By: r.Arm}\n```\n")
	third := p.show("c.html")
	assert.Equal(t, "s1", lookOf(t, third, "Long"))
	assert.Equal(t, "s2", lookOf(t, third, "Short"))
}
