package build

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/notebooks"
	"turnplate/site/reference"
)

// What an author says to those who can't see a figure reaches them, whatever its kind: a drawing takes it as its own
// alternative, all else says it beside its words.
func TestEveryFigureSaysItsAlternative(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.CopyFS(folder, notebooks.FS))
	write := func(name, text string) {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o644))
	}
	points, err := notebooks.FS.ReadFile("vehicles/corrie-points.csv")
	require.NoError(t, err)
	write("vehicles/points.csv", string(points))
	write("vehicles/truck.md", "# The truck\n\n```go params\ntruck := use(\"vehicles/corrie\").factory\n```\n")
	write("printout.csv", "Wheel,Caster (deg)\nLeft,2.9\nRight,3.0\n")
	const told = "Told to those who can’t see it."
	var kinds []string
	for _, e := range reference.All() {
		// Claims may be written without field names, which go with no other field.
		block := strings.Replace(e.Block, e.Name+"{\"", e.Name+"{Text: \"", 1)
		block = strings.Replace(block, ", park.RimForce <", ", Holds: park.RimForce <", 1)
		if with := strings.Replace(block, e.Name+"{", e.Name+"{Alt: \""+told+"\", ", 1); e.Kind == reference.Figure && with != block {
			kinds = append(kinds, e.Name)
			write("kind-"+strings.ToLower(e.Name)+".md", "# One\n\n```go params\n"+with+"```\n")
		}
	}
	require.Greater(t, len(kinds), 10)
	live := liveOf(t, os.DirFS(folder))
	for _, kind := range kinds {
		page, err := live.Page("kind-" + strings.ToLower(kind) + ".html")
		require.NoError(t, err)
		assert.Empty(t, page.Faults, kind)
		assert.Contains(t, string(page.HTML), told, kind)
	}
}
