package eval

import (
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/figure"
	"turnplate/site/model"
)

// theDemo is the demo's notebooks and readings by their paths.
func theDemo(t *testing.T) library {
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
	return demo
}

// TestDemoHolds evaluates the whole demo: no mistakes, and every claim holds.
func TestDemoHolds(t *testing.T) {
	demo := theDemo(t)
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

// The caster that all pages ask for stands in one place. Change it there, to anything that the arms reach, and every page
// still builds: its claims say what no longer holds, but nothing is a mistake. Few draws do, as no number is looked at.
func TestDemoBuildsForOtherTargets(t *testing.T) {
	const here, few = "vehicles/corrie.md", "draws: 100"
	target, draws, start := regexp.MustCompile(`(?m)^target( *):= 4\.5\*deg$`), regexp.MustCompile(`(?m)^draws: \d+$`), regexp.MustCompile(`^---\n`)
	demo := theDemo(t)
	var pages []string
	for name, text := range demo {
		switch {
		case !strings.HasSuffix(name, ".md") || strings.HasPrefix(name, "workshop/"): // the lessons have their own truck
			continue
		case draws.MatchString(text):
			demo[name] = draws.ReplaceAllString(text, few)
		default:
			demo[name] = start.ReplaceAllString(text, "---\n"+few+"\n")
		}
		if strings.Contains(text, "target") {
			pages = append(pages, strings.TrimSuffix(name, ".md"))
		}
	}
	require.Regexp(t, target, demo[here])
	asFound := demo[here]
	cache := model.NewCache() // what doesn't hang on the target is run once
	for _, other := range []string{"4", "4.25", "4.75", "5"} {
		demo[here] = target.ReplaceAllString(asFound, "target$1:= "+other+"*deg")
		ev := New(demo, Options{Cache: cache})
		for _, page := range pages {
			for _, d := range ev.Page(context.Background(), page).Faults {
				t.Errorf("with a target of %s°: %s\n%s", other, d.Error(), d.Excerpt())
			}
		}
	}
}
