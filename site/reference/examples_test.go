package reference

import (
	"context"
	"fmt"
	"io/fs"
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

// Whoever pastes an example gets numbers: each is evaluated on the demo's vehicle as it left the factory, under the name that the
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
	files["vehicles/truck.md"] = &fstest.MapFile{Data: []byte("# The truck\n\n```go params\ntruck := use(\"vehicles/corrie\").factory\n```\n")}
	files["vehicles/points.csv"] = files["vehicles/corrie-points.csv"]
	files["printout.csv"] = &fstest.MapFile{Data: []byte("Wheel,Caster (deg)\nLeft,2.9\nRight,3.0\n")}
	var names []string
	for i, e := range All() {
		block, sentence := e.example()
		if block == "" {
			continue
		}
		name := fmt.Sprintf("examples/%03d-%s", i, strings.TrimPrefix(file(e.Name), "."))
		names = append(names, name)
		files[name+".md"] = &fstest.MapFile{Data: []byte("# " + e.Name + "\n\n```go params\n" + block + "```\n\n" + sentence + "\n")}
		field := slices.ContainsFunc(append(Models(), Parts()...), func(other Entry) bool {
			return slices.ContainsFunc(other.Takes, func(f Field) bool { return f.Kind == e.Name && strings.Contains(block, "."+f.Name+".") })
		})
		as := map[Kind]string{Function: "("}[e.Kind]
		assert.True(t, e.Kind == Topic || field || as == "" && strings.Contains(block, e.Name+"{") || as != "" && strings.Contains(block, e.Name+as), "an example of %s", e.Name)
	}
	c, err := collection.Open(files, "notes")
	require.NoError(t, err)
	ev := eval.New(c, eval.Options{})
	for _, name := range names {
		p := ev.Page(context.Background(), name)
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
	for _, e := range All() {
		if block, _ := e.example(); e.Kind != Unit && e.Name != "front-matter" {
			assert.NotEmpty(t, block, e.Name)
		}
		if e.Kind == Model {
			assert.True(t, strings.HasSuffix(uses[e.Name].question, "?"), e.Name)
			assert.NotEmpty(t, uses[e.Name].sentence, e.Name)
			assert.Equal(t, 1, listed[e.Name], "%s stands under one topic", e.Name)
		}
	}
}
