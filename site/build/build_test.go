package build

import (
	"context"
	"errors"
	"maps"
	"path"
	"runtime"
	"slices"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/collection"
	"turnplate/site/page"
)

// files makes a file system of name, content, name, content.
func files(pairs ...string) fstest.MapFS {
	fsys := fstest.MapFS{}
	for i := 0; i < len(pairs); i += 2 {
		fsys[pairs[i]] = &fstest.MapFile{Data: []byte(pairs[i+1])}
	}
	return fsys
}

func evaluated(t *testing.T, fsys fstest.MapFS) *Site {
	t.Helper()
	c, err := collection.Open(fsys, "notes")
	require.NoError(t, err)
	s, err := Evaluate(context.Background(), c, Options{Version: "test"})
	require.NoError(t, err)
	return s
}

func rendered(t *testing.T, fsys fstest.MapFS) map[string]string {
	t.Helper()
	s := evaluated(t, fsys)
	require.Empty(t, s.Faults)
	var mu sync.Mutex
	out := map[string]string{}
	require.NoError(t, s.Render(context.Background(), func(name string, data []byte) error {
		mu.Lock()
		defer mu.Unlock()
		out[name] = string(data)
		return nil
	}))
	return out
}

func sample() fstest.MapFS {
	return files("index.md", "# Home", "parts/arm.md", "```go params\nlength := 2*mm\n```\n", "parts/other.md", "# Other",
		"studies/one.md", "```go params\nx := use(\"parts/arm\").length\n```\n\nIt is {x in mm}.\n",
		"studies/two.md", "```go params\nr := readings(\"data.csv\")\nTable{Rows: r.Part, Columns: []Column{{\"Mass\", r.Mass}}}\n```\n", "data.csv", "Part,Mass (kg)\na,1\n")
}

// A page changes when something it depends on does, and only then.
func TestPagesDependOnTheirInputs(t *testing.T) {
	before := rendered(t, sample())
	for change, want := range map[string][]string{
		"parts/arm.md":   {"parts/arm.html", "studies/one.html"},
		"parts/other.md": {"parts/other.html"},
		"data.csv":       {"studies/two-figure-1.csv", "studies/two-figure-1-us.csv", "studies/two.html"},
	} {
		fsys := sample()
		fsys[change].Data = append(slices.Clone(fsys[change].Data), map[string]string{"data.csv": "b,3\n"}[change]...)
		if change != "data.csv" {
			fsys[change].Data = append(fsys[change].Data, "\nMore words.\n"...)
		}
		after := rendered(t, fsys)
		var changed []string
		for name := range after {
			if before[name] != after[name] {
				changed = append(changed, name)
			}
		}
		slices.Sort(changed)
		slices.Sort(want)
		assert.Subset(t, want, changed, change)
		assert.Contains(t, changed, want[len(want)-1], change)
	}
}

func TestSameBytes(t *testing.T) {
	first := rendered(t, sample())
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	assert.True(t, maps.Equal(first, rendered(t, sample())))
}

func TestClaimsAndFaults(t *testing.T) {
	s := evaluated(t, files("a.md", "Words.\n\n```go params\nx := 2*mm\n\nClaim{\"small\", x < 1*mm}\nClaim{\"big\", x > 1*mm}\n```\n[gone](b.md)\n", "c.md", "{nothing}\n"))
	require.Len(t, s.Faults, 2)
	assert.Equal(t, "a.md:9:8: b.md: there is no such notebook", s.Faults[0].Error())
	assert.Contains(t, s.Faults[1].Error(), "c.md:1:2: ")
	claims := s.Notebooks[0].Claims
	require.Len(t, claims, 2)
	assert.Equal(t, Claim{"a.md", 6, "small", false, claims[0].Detail}, claims[0])
	assert.Equal(t, 7, claims[1].Line)
	assert.True(t, claims[1].Holds)
}

// An error in handing a file over ends the work, and is the one that is returned.
func TestPutFails(t *testing.T) {
	s := evaluated(t, sample())
	full := errors.New("disk full")
	n := 0
	var mu sync.Mutex
	err := s.Render(context.Background(), func(string, []byte) error {
		mu.Lock()
		defer mu.Unlock()
		if n++; n >= 3 {
			return full
		}
		return nil
	})
	assert.ErrorIs(t, err, full)
	assert.Less(t, n, 8)
}

func TestCancelled(t *testing.T) {
	c, err := collection.Open(sample(), "notes")
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = Evaluate(ctx, c, Options{})
	assert.ErrorIs(t, err, context.Canceled)
	s := evaluated(t, sample())
	assert.ErrorIs(t, s.Render(ctx, func(string, []byte) error { return nil }), context.Canceled)
}

// pngHead is a PNG picture as far as its size.
const pngHead = "\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\x00\x01\x00\x00\x00\x01\x08\x06\x00\x00\x00\x1f\x15\xc4\x89"

func TestPicturesHaveSizes(t *testing.T) {
	out := rendered(t, files("parts/a.md", "# A\n\n![a dot](../pictures/dot%20one.png)\n", "pictures/dot one.png", pngHead))
	assert.Contains(t, out["parts/a.html"], `<img src="../pictures/dot%20one.png" alt="a dot" width="1" height="1" loading="lazy">`)
	assert.Equal(t, pngHead, out["pictures/dot one.png"])
}

// The folder that notebooks keep out of is the one that the site's own pages lie in.
func TestOwnPages(t *testing.T) {
	require.Equal(t, collection.Reserved, page.AssetFolder)
	s := evaluated(t, files("a.md", "# A\n\nMore caster.", "turnplate/b.md", "# B"))
	require.Len(t, s.Faults, 1)
	assert.Contains(t, s.Faults[0].Error(), "turnplate/b.md")
	out := rendered(t, files("a.md", "# A\n\nMore caster and a `Tyre`.\n\n```go params shown\nt := Tyre{Radius: 400*mm}\n```\n"))
	assert.Contains(t, out["a.html"], `<a class="term" href="turnplate/glossary.html#caster"`)
	assert.Contains(t, out["a.html"], `<a href="turnplate/reference/tyre.html">Tyre</a>{`)
	assert.Contains(t, out["turnplate/glossary.html"], `<h2 id="caster">Caster</h2>`)
	assert.Contains(t, out["turnplate/reference/index.html"], `<a href="alignto.html">AlignTo</a>`)
	assert.Contains(t, out["turnplate/reference/alignto.html"], `<a class="term" href="../glossary.html#caster"`)
	for name, text := range out {
		if path.Ext(name) == ".html" {
			assert.Contains(t, text, `>Glossary</a>`, name)
		}
	}
}
