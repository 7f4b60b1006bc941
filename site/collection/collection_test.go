package collection

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/notebook"
)

// open makes a collection of files given as name, content, name, content.
func open(t *testing.T, pairs ...string) *Collection {
	t.Helper()
	files := fstest.MapFS{}
	for i := 0; i < len(pairs); i += 2 {
		files[pairs[i]] = &fstest.MapFile{Data: []byte(pairs[i+1])}
	}
	c, err := Open(files, "my-notes")
	require.NoError(t, err)
	return c
}

func outline(c *Collection) []string {
	var list []string
	for _, s := range c.Sections() {
		line := fmt.Sprintf("%q %s:", s.Folder, s.Name)
		if s.Index != nil {
			line += " [" + s.Index.Front.Title + "]"
		}
		for _, nb := range s.Notebooks {
			line += " " + nb.Path
		}
		list = append(list, line)
	}
	return list
}

func TestOrder(t *testing.T) {
	c := open(t,
		"vehicles/corrie.md", "a",
		"studies/index.md", "---\norder: -1\ntitle: All studies\n---\n",
		"studies/caster.md", "---\norder: 2\n---\n",
		"studies/effort.md", "---\norder: 1\n---\n",
		"studies/draft.md", "---\ndraft: true\n---\n",
		"studies/zero.md", "a",
		"lessons/first/one.md", "a",
		"b.md", "a", "a.md", "a",
		".hidden/a.md", "a", "_notes/a.md", "a", "studies/_x.md", "a",
		"out/.turnplate", "", "out/page.md", "a",
		"readings.csv", "a",
		"empty/only-a-draft.md", "---\ndraft: true\n---\n",
	)
	assert.Equal(t, []string{
		`"" My notes: a b`,
		`"studies" Studies: [All studies] studies/zero studies/effort studies/caster`,
		`"lessons" Lessons:`,
		`"lessons/first" First: lessons/first/one`,
		`"vehicles" Vehicles: vehicles/corrie`,
	}, outline(c))
	assert.Equal(t, []string{"empty/only-a-draft", "studies/draft"}, c.Drafts())
	assert.Len(t, c.Published(), 8)
	assert.Len(t, c.Paths(), 10)
	assert.Equal(t, "My notes", c.Title)
	assert.Equal(t, "Mine", open(t, "index.md", "# Mine").Title)
	assert.Empty(t, c.Faults)
}

func TestNothingThere(t *testing.T) {
	_, err := Open(fstest.MapFS{"a.txt": {}}, "x")
	assert.ErrorIs(t, err, ErrNone)
	_, err = OpenFolder(filepath.Join(t.TempDir(), "missing"))
	assert.ErrorIs(t, err, os.ErrNotExist)
	_, err = OpenFolder(t.TempDir())
	assert.ErrorIs(t, err, ErrNone)
	deep := strings.Repeat("a/", MaxDepth+1)
	_, err = Open(fstest.MapFS{deep + "a.md": {}}, "x")
	assert.ErrorContains(t, err, "deep")
	many := fstest.MapFS{}
	for i := range MaxNotebooks + 1 {
		many[fmt.Sprintf("n%d.md", i)] = &fstest.MapFile{}
	}
	_, err = Open(many, "x")
	assert.EqualError(t, err, "the collection has more than 10000 notebooks")
}

func TestMissingNotebook(t *testing.T) {
	c := open(t, "vehicles/corrie.md", "a", "studies/caster.md", "b")
	for name, want := range map[string]string{
		"vehicles/corie":     `the collection has no notebook "vehicles/corie" (did you mean "vehicles/corrie"?)`,
		"vehicles/corrie.md": `the collection has no notebook "vehicles/corrie.md" (write "vehicles/corrie", without .md)`,
		"caster":             `the collection has no notebook "caster" (did you mean "studies/caster"?)`,
		"../caster2":         `the collection has no notebook "../caster2"`,
		"":                   `the collection has no notebook ""`,
	} {
		_, err := c.Notebook(name)
		assert.EqualError(t, err, want)
	}
	nb, err := c.Notebook("vehicles/corrie")
	require.NoError(t, err)
	assert.Equal(t, "vehicles/corrie.md", nb.File)
}

func TestNames(t *testing.T) {
	c := open(t, "a#b.md", "a", "c?.md", "a", "Café and tea_1.md", "a", "Same.md", "a", "same.md", "b", "f%20/x.md", "a", "Turnplate/own.md", "a")
	var got []string
	for _, f := range c.Faults {
		got = append(got, f.Error()[:min(len(f.Error()), 28)])
	}
	assert.Equal(t, []string{"Turnplate/own.md: a site kee", "a#b.md: the name holds '#': ", "c?.md: the name holds '?': t", "f%20/x.md: the name holds '%", "same.md: the name differs fr"}, got)
	assert.Equal(t, []string{"Café and tea_1", "Same", "Turnplate/own", "same"}, c.Paths())
}

const png = "\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\x00\x01\x00\x00\x00\x01\x08\x06\x00\x00\x00\x1f\x15\xc4\x89"

func TestLinks(t *testing.T) {
	c := open(t,
		"index.md", "a", "vehicles/corrie.md", "a", "studies/caster.md", "a", "studies/later.md", "---\ndraft: true\n---\n",
		"studies/effort.png", png, "fake.png", "<html>", "w.webp", webpHead, "g.gif", "GIF89a\x02\x00\x01\x00\x00\x00\x00", "b.webp", "RIFFxxxxWAVE", "photo.JPG", photo(40, 30, 0), "a b.png", png, "x.svg", "<svg>", "data.csv", "a,b", "damaged.png", png[:20], "page.html", "a", "noext", "a", "turnplate/math.txt", "a")
	from, err := c.Notebook("studies/caster")
	require.NoError(t, err)
	for dest, want := range map[string]string{
		"../vehicles/corrie.md":       "../vehicles/corrie.html",
		"../vehicles/corrie.md#tyre":  "../vehicles/corrie.html#tyre",
		"caster.md#here":              "caster.html#here",
		"./caster.md":                 "caster.html",
		"../index.md":                 "../index.html",
		"../":                         "../index.html",
		"../vehicles":                 "../vehicles/index.html",
		"../vehicles/":                "../vehicles/index.html",
		".":                           "index.html",
		"effort.png":                  "effort.png",
		"../photo.JPG":                "../photo.JPG",
		"../w.webp":                   "../w.webp",
		"../g.gif":                    "../g.gif",
		"../a%20b.png":                "../a%20b.png",
		"../a b.png":                  "../a%20b.png",
		"../data.csv":                 "../data.csv",
		"../vehicles/../data.csv#x=1": "../data.csv#x=1",

		"../vehicles/corie.md":  "! there is no such notebook (did you mean ../vehicles/corrie.md?)",
		"corrie.md":             "! there is no such notebook (did you mean ../vehicles/corrie.md?)",
		"zzz.md":                "! there is no such notebook",
		"later.md":              "! studies/later.md is a draft, so it will not be on the site",
		"caster.html":           "! link to the notebook, studies/caster.md; the site's link is made from that",
		"efort.png":             "! there is no such file (did you mean studies/effort.png?)",
		"../../outside.png":     "! the link leads outside the collection",
		"../..":                 "! the link leads outside the collection",
		"/etc/passwd":           "! links are relative to the notebook they stand in, so they don't start with a slash",
		"%2Fetc/x.png":          "! links are relative to the notebook they stand in, so they don't start with a slash",
		"%2e%2e/%2e%2e/x.png":   "! the link leads outside the collection",
		`..\data.csv`:           `! folders in a link are parted by "/"`,
		"%zz.png":               "! the link holds a percent sign that begins no escape",
		"../x.svg":              "! an SVG picture is drawn into its page, and no file of the site (show it as ![what it shows](file))",
		"../page.html":          `! files that end in ".html" are not copied, only pictures, .csv and .txt`,
		"../noext":              `! files that end in "" are not copied, only pictures, .csv and .txt`,
		"../turnplate/math.txt": "! a site keeps its own files in the folder turnplate",
		"../damaged.png":        "! the picture is damaged: its size can't be read",
		"../b.webp":             "! the file's content is not the picture that its ending says",
		"../fake.png":           "! the file's content is not the picture that its ending says",
	} {
		target, err := c.Target(from, dest, false)
		if bad, isBad := strings.CutPrefix(want, "! "); isBad {
			assert.EqualError(t, err, bad, dest)
		} else if assert.NoError(t, err, dest) {
			assert.Equal(t, want, target.Href(from.Path), dest)
		}
	}
	_, err = c.Target(from, "../data.csv", true)
	assert.EqualError(t, err, "pictures are PNG, JPEG, GIF, WebP or SVG")
	_, err = c.Target(from, "../vehicles/corrie.md", true)
	assert.Error(t, err)
}

func TestCheckLinks(t *testing.T) {
	c := open(t, "a.md", "[x](b.md) ![p](p.png) [q](p.png) [w](https://example.org) <a@example.org> <mailto:a@b.c> [h](#x) [e]()\n\n"+
		"[j](javascript:alert(1)) [d](data:text/html,x) [j](java&#115;cript:x) ![o](https://example.org/p.png) [s](//example.org/) [n](no.md)\n",
		"b.md", "", "p.png", png)
	nb, err := c.Notebook("a")
	require.NoError(t, err)
	files, faults := c.CheckLinks(nb)
	assert.Equal(t, []string{"p.png", "p.png"}, files)
	faults.Sort()
	var got []string
	for _, f := range faults {
		got = append(got, f.Error())
	}
	assert.Equal(t, []string{
		"a.md:1:98: the link leads nowhere",
		"a.md:3:5: a link may lead to a notebook, a file of the collection, http:, https: or mailto:, not to javascript:",
		"a.md:3:30: a link may lead to a notebook, a file of the collection, http:, https: or mailto:, not to data:",
		"a.md:3:52: a link may lead to a notebook, a file of the collection, http:, https: or mailto:, not to javascript:",
		"a.md:3:76: a page asks other hosts for nothing, so it can't show what lies there (put a copy into the collection)",
		"a.md:3:107: a page asks other hosts for nothing, so it can't show what lies there (put a copy into the collection)",
		"a.md:3:127: no.md: there is no such notebook",
	}, got)
}

func TestTooLarge(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "a.md"), nil, 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "big.md"), nil, 0o644))
	require.NoError(t, os.Truncate(filepath.Join(dir, "big.md"), 1<<40)) // a sparse file: reading it whole would end us
	require.NoError(t, os.WriteFile(filepath.Join(dir, "big.csv"), nil, 0o644))
	require.NoError(t, os.Truncate(filepath.Join(dir, "big.csv"), 1<<40))
	c, err := OpenFolder(dir)
	require.NoError(t, err)
	defer c.Close()
	nb, err := c.Notebook("big")
	require.NoError(t, err)
	require.Len(t, nb.Faults, 1)
	assert.Contains(t, nb.Faults[0].Message, "larger than 1024 KiB")
	_, err = c.File("big.csv")
	assert.EqualError(t, err, "it is larger than 16 MiB")
}

func TestReadOnce(t *testing.T) {
	c := open(t, "a.md", "x")
	a, _ := c.Notebook("a")
	b, _ := c.Notebook("a")
	assert.Same(t, a, b)
	var _ *notebook.Notebook = a
}
