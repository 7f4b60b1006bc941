package build

import (
	"bytes"
	"context"
	"image/png"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/collection"
)

// plotted is a notebook with a plot.
const plotted = "# One\n\n```go params\nx := span(0*deg, 8*deg, 9)\nCurves{Title: \"A line\", X: x, Y: x * 2}\n```\n"

// The site's own pages, and pictures to share, are there under preview as in the site that is written.
func TestOwnPagesUnderPreview(t *testing.T) {
	fsys := files("one.md", plotted, "two.md", "# Two\n")
	written := rendered(t, fsys)
	c, err := collection.Open(fsys, "notes")
	require.NoError(t, err)
	l := NewLive(context.Background(), c, Options{Version: "test"})
	for _, name := range own().paths {
		shown, err := l.Page(name + ".html")
		require.NoError(t, err, name)
		assert.Empty(t, shown.Faults, name)
		assert.Equal(t, written[name+".html"], string(shown.HTML), name)
	}
	_, err = l.Page("turnplate/models/nothing.html")
	assert.ErrorIs(t, err, ErrNoPage)

	_, err = l.Page("one.html")
	require.NoError(t, err)
	picture, err := l.File("one-share.png")
	require.NoError(t, err)
	assert.Equal(t, written["one-share.png"], string(picture))
	_, err = png.Decode(bytes.NewReader(picture))
	assert.NoError(t, err)
	_, err = l.File("two-share.png")
	assert.ErrorIs(t, err, ErrNoPage)
	assert.NotContains(t, written, "two-share.png")
}
