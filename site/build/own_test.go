package build

import (
	"bytes"
	"context"
	"image"
	"image/jpeg"
	"image/png"
	"io/fs"
	"strings"
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
	_, err = l.Page("turnplate/reference/nothing.html")
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

func TestWrites(t *testing.T) {
	for block, want := range map[string]bool{
		"Tyre{}": true, "x := Tyre{}": true, "[]Tyre{Tyre{}}": true, "a(OldTyre{}, Tyre{})": true,
		"": false, "Tyre": false, "Tyre {": false, "OldTyre{}": false, "old_Tyre{}": false, "a.Tyre{}": false, "2Tyre{": false, "\"Tyre{\"": false,
	} {
		assert.Equal(t, want, writes(block, "Tyre"), block)
	}
}

// A page on a model leads to the notebooks whose blocks use it, and follows them under preview.
func TestModelPageLeadsToItsUsers(t *testing.T) {
	const uses = "# Tyres\n\n```go params\nsize := Gearing{Old: Tyre{RollingRadius: 400*mm}}\n```\n"
	const speaks = "# Words\n\nIt says `Gearing{}` in words alone.\n\n```go params\nx := \"Gearing{\"\n```\n"
	fsys := files("a.md", uses, "b.md", speaks, "c.md", "# Draft\n")
	l := liveOf(t, fsys)
	gearing := func(l *Live) string {
		shown, err := l.Page("turnplate/reference/gearing.html")
		require.NoError(t, err)
		_, list, _ := strings.Cut(string(shown.HTML), `<h2 id="where-it-is-used">`)
		list, _, _ = strings.Cut(list, "</main>")
		return list
	}
	assert.Contains(t, gearing(l), `<a href="../../a.html">Tyres</a>`)
	assert.NotContains(t, gearing(l), "Words")

	shown, err := l.Page("turnplate/reference/pull.html")
	require.NoError(t, err)
	assert.NotContains(t, string(shown.HTML), "where-it-is-used")

	next := files("a.md", "# Tyres\n", "b.md", speaks, "c.md", uses)
	c, err := collection.Open(next, "notes")
	require.NoError(t, err)
	l = l.Next(context.Background(), c, []string{"a.md", "c.md"})
	assert.NotContains(t, gearing(l), `a.html`)
	assert.Contains(t, gearing(l), `<a href="../../c.html">Tyres</a>`)
}

func liveOf(t *testing.T, fsys fs.FS) *Live {
	t.Helper()
	c, err := collection.Open(fsys, "notes")
	require.NoError(t, err)
	return NewLive(context.Background(), c, Options{Version: "test"})
}

// A picture leaves behind what tells where it was taken, on the site and under preview.
func TestPicturesAreCarriedBare(t *testing.T) {
	var photo bytes.Buffer
	require.NoError(t, jpeg.Encode(&photo, image.NewGray(image.Rect(0, 0, 4, 3)), nil))
	const words = "\xff\xfe\x00\x0dtaken here.."
	told := photo.String()[:2] + words + photo.String()[2:]
	fsys := files("one.md", "# One\n\n![A truck](truck.jpg)\n", "truck.jpg", told)
	assert.Equal(t, photo.String(), rendered(t, fsys)["truck.jpg"])
	l := liveOf(t, fsys)
	_, err := l.Page("one.html")
	require.NoError(t, err)
	shown, err := l.File("truck.jpg")
	require.NoError(t, err)
	assert.Equal(t, photo.String(), string(shown))
}
