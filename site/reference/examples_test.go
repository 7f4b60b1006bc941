package reference

import (
	"context"
	"fmt"
	"io/fs"
	"regexp"
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
	"turnplate/site/notebook"
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
		if e.Block == "" {
			continue
		}
		name := fmt.Sprintf("examples/%03d-%s", i, strings.TrimPrefix(e.File(), "."))
		names = append(names, name)
		files[name+".md"] = &fstest.MapFile{Data: []byte("# " + e.Name + "\n\n```go params\n" + e.Block + "```\n\n" + e.Sentence + "\n")}
		field := slices.ContainsFunc(append(Models(), Parts()...), func(other Entry) bool {
			return slices.ContainsFunc(other.Takes, func(f Field) bool { return f.Kind == e.Name && strings.Contains(e.Block, "."+f.Name+".") })
		})
		as := map[Kind]string{Function: "("}[e.Kind]
		assert.True(t, e.Kind == Topic || field || as == "" && strings.Contains(e.Block, e.Name+"{") || as != "" && strings.Contains(e.Block, e.Name+as), "an example of %s", e.Name)
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

// Everything but a unit has an example, and every model a question that leads to it and its formula, which sets, with a
// sketch. No file is of anything else.
func TestEveryEntryHasAnExample(t *testing.T) {
	index := Pages()[0].Text
	var wanted []string
	for _, e := range All() {
		switch e.Kind {
		case Topic:
			wanted = append(wanted, "topics/"+e.Name+".md")
			assert.NotEmpty(t, e.heading, e.Name)
		case Model, Part, Figure, Piece:
			wanted = append(wanted, "examples/"+e.Name+".md")
		}
		if e.Kind != Unit && e.Name != "front-matter" {
			assert.NotEmpty(t, e.Block, e.Name)
		}
		if e.Kind == Model {
			assert.NotEmpty(t, e.Sentence, e.Name)
			assert.Len(t, regexp.MustCompile(`\n- \[`+e.Name+`\]\(`+e.File()+`\.md\): .+\?\n`).FindAllString(index, -1), 1, "%s is asked for on the page that lists all", e.Name)
			assert.Regexp(t, "^```equation\n[^`]+\n```\n\n[^\n]+\n\n!\\[[^\n:]+: [^\n]+\\]\\([a-z-]+\\.svg \"[^\n]+\"\\)\n\n$", e.Glance, "%s's formula, what stands for what, and a sketch of the glossary", e.Name)
			assert.Empty(t, notebook.Read("a", []byte(e.Glance)).Faults, e.Name)
		} else {
			assert.Empty(t, e.Glance, e.Name)
		}
	}
	there, err := fs.Glob(files, "*/*")
	require.NoError(t, err)
	assert.ElementsMatch(t, wanted, there)
}
