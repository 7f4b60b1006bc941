package build

import (
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/notebooks"
	"turnplate/site/reference"
)

// What an author says to those who can't see a figure reaches them, whatever its kind: a drawing takes it as its own
// alternative, all else says it beside its words.
func TestEveryFigureSaysItsAlternative(t *testing.T) {
	fsys := fstest.MapFS{}
	require.NoError(t, fs.WalkDir(notebooks.FS, "vehicles", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(notebooks.FS, name)
		fsys[name] = &fstest.MapFile{Data: data}
		return err
	}))
	fsys["vehicles/points.csv"] = fsys["vehicles/corrie-points.csv"]
	for name, text := range files("vehicles/truck.md", "# The truck\n\n```go params\ntruck := use(\"vehicles/corrie\").factory\n```\n",
		"printout.csv", "Wheel,Caster (deg)\nLeft,2.9\nRight,3.0\n") {
		fsys[name] = text
	}
	const told = "Told to those who can’t see it."
	var kinds []string
	for _, e := range reference.All() {
		// Claims may be written without field names, which go with no other field.
		block := strings.Replace(e.Block, e.Name+"{\"", e.Name+"{Text: \"", 1)
		block = strings.Replace(block, ", park.RimForce <", ", Holds: park.RimForce <", 1)
		if with := strings.Replace(block, e.Name+"{", e.Name+"{Alt: \""+told+"\", ", 1); e.Kind == reference.Figure && with != block {
			kinds = append(kinds, e.Name)
			fsys["kinds/"+strings.ToLower(e.Name)+".md"] = &fstest.MapFile{Data: []byte("# One\n\n```go params\n" + with + "```\n")}
		}
	}
	require.Greater(t, len(kinds), 10)
	live := liveOf(t, fsys)
	for _, kind := range kinds {
		page, err := live.Page("kinds/" + strings.ToLower(kind) + ".html")
		require.NoError(t, err)
		assert.Empty(t, page.Faults, kind)
		assert.Contains(t, string(page.HTML), told, kind)
	}
}
