package collection

import (
	"io/fs"
	"path"
	"slices"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// counting notes which files are opened to be read.
type counting struct {
	fstest.MapFS
	mu     sync.Mutex
	opened []string
}

func (c *counting) Open(name string) (fs.File, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if path.Ext(name) == ".md" || path.Ext(name) == ".png" {
		c.opened = append(c.opened, name)
	}
	return c.MapFS.Open(name)
}

func changedIn(names ...string) func(string) bool {
	return func(name string) bool { return slices.Contains(names, name) }
}

// Only what has changed is read again; what comes and goes is noticed.
func TestAgain(t *testing.T) {
	png := "\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\x00\x01\x00\x00\x00\x01\x08\x06\x00\x00\x00\x1f\x15\xc4\x89"
	files := &counting{MapFS: fstest.MapFS{}}
	for name, text := range map[string]string{"a.md": "# A\n\n![one](one.png)\n", "b.md": "# B\n\n![two](two.png)\n", "c.md": "# C", "one.png": png, "two.png": png} {
		files.MapFS[name] = &fstest.MapFile{Data: []byte(text)}
	}
	first, err := Open(files, "notes")
	require.NoError(t, err)
	check := func(c *Collection, path string) []string {
		nb, err := c.Notebook(path)
		require.NoError(t, err)
		_, faults := c.CheckLinks(nb)
		var out []string
		for _, f := range faults {
			out = append(out, f.Message)
		}
		return out
	}
	require.Empty(t, check(first, "a"))
	require.Empty(t, check(first, "b"))

	files.MapFS["b.md"] = &fstest.MapFile{Data: []byte("# B now\n\n![two](two.png)\n")}
	files.MapFS["d.md"] = &fstest.MapFile{Data: []byte("---\norder: -1\n---\n# D")}
	files.MapFS["one.png"] = &fstest.MapFile{Data: []byte("not a picture")}
	delete(files.MapFS, "c.md")
	files.opened = nil
	second, err := first.Again(files, changedIn("b.md", "c.md", "d.md", "one.png"))
	require.NoError(t, err)
	assert.Equal(t, []string{"a", "b", "d"}, second.Paths())
	assert.Equal(t, "d", second.Published()[0].Path, "the order is made anew")
	assert.Equal(t, []string{"one.png: the file's content is not the picture that its ending says"}, check(second, "a"))
	assert.Empty(t, check(second, "b"))
	slices.Sort(files.opened)
	assert.Equal(t, []string{"b.md", "d.md", "one.png"}, files.opened)
	for path, same := range map[string]bool{"a": true, "b": false} {
		before, err := first.Notebook(path)
		require.NoError(t, err)
		after, err := second.Notebook(path)
		require.NoError(t, err)
		assert.Equal(t, same, before == after, path)
	}
	nb, err := second.Notebook("b")
	require.NoError(t, err)
	assert.Equal(t, "B now", nb.Front.Title)
	assert.Equal(t, []string{"a", "b", "c"}, first.Paths(), "the earlier collection stays as it was")

	for name := range files.MapFS {
		delete(files.MapFS, name)
	}
	_, err = second.Again(files, changedIn())
	assert.ErrorIs(t, err, ErrNone)
}
