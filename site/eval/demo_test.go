package eval

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/figure"
)

// TestDemoHolds evaluates the whole demo: no mistakes, and every claim holds.
func TestDemoHolds(t *testing.T) {
	root := "../../notebooks"
	demo := library{}
	require.NoError(t, filepath.WalkDir(root, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasSuffix(path, ".go") {
			return err
		}
		data, err := os.ReadFile(path)
		name, _ := filepath.Rel(root, path)
		demo[filepath.ToSlash(name)] = string(data)
		return err
	}))
	ev := New(demo, Options{})
	for _, path := range demo.Paths() {
		p := ev.Page(context.Background(), path)
		for _, d := range p.Faults {
			t.Errorf("%s\n%s", d.Error(), d.Excerpt())
		}
		for _, b := range p.Blocks {
			for _, f := range b.Figures {
				if c, ok := f.(*figure.Claim); ok {
					assert.True(t, c.Holds, "%s: %s: %s", path, c.Says, c.Detail)
				}
			}
		}
	}
}
