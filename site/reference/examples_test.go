package reference

import (
	"context"
	"io/fs"
	"maps"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/notebooks"
	"turnplate/site/collection"
	"turnplate/site/eval"
	"turnplate/site/figure"
)

// Whoever pastes an example gets numbers: each is evaluated on the demo's vehicle, under the name that the
// examples use, and none of its claims fails.
func TestExamplesEvaluate(t *testing.T) {
	files := fstest.MapFS{}
	require.NoError(t, fs.WalkDir(notebooks.FS, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(notebooks.FS, name)
		files[name] = &fstest.MapFile{Data: data}
		return err
	}))
	files["vehicles/truck.md"] = files["vehicles/corrie.md"]
	files["vehicles/points.csv"] = files["vehicles/corrie-points.csv"]
	for name := range uses {
		e, ok := Find(name)
		require.True(t, ok, "an example of %s, which isn't there", name)
		block, sentence := e.example()
		files["examples/"+file(name)+".md"] = &fstest.MapFile{Data: []byte("# " + name + "\n\n```go params\n" + block + "```\n\n" + sentence + "\n")}
		field := slices.ContainsFunc(append(Models(), Parts()...), func(e Entry) bool {
			return slices.ContainsFunc(e.Takes, func(f Field) bool { return f.Kind == name && strings.Contains(block, "."+f.Name+".") })
		})
		assert.True(t, field || strings.Contains(block, name+"{"), "an example of %s", name)
	}
	c, err := collection.Open(files, "notes")
	require.NoError(t, err)
	ev := eval.New(c, eval.Options{})
	for _, name := range slices.Sorted(maps.Keys(uses)) {
		p := ev.Page(context.Background(), "examples/"+file(name))
		assert.Empty(t, p.Faults, name)
		assert.NotEmpty(t, p.Blocks, name)
		for _, b := range p.Blocks {
			for _, f := range b.Figures {
				if claim, ok := f.(*figure.Claim); ok {
					assert.True(t, claim.Holds, "%s: %s %s", name, claim.Says, claim.Detail)
				}
			}
		}
	}
}

// Every model and part has an example, and every model a question that leads to it.
func TestEveryEntryHasAnExample(t *testing.T) {
	listed := map[string]int{}
	for _, topic := range topics {
		for _, name := range topic.names {
			listed[name]++
		}
	}
	for _, e := range append(Models(), Parts()...) {
		assert.NotEmpty(t, uses[e.Name].block, e.Name)
		if e.Model {
			assert.True(t, strings.HasSuffix(uses[e.Name].question, "?"), e.Name)
			assert.NotEmpty(t, uses[e.Name].sentence, e.Name)
			assert.Equal(t, 1, listed[e.Name], "%s stands under one topic", e.Name)
		}
	}
}
