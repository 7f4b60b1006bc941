package build

import (
	"context"
	"regexp"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/notebooks"
	"turnplate/site/collection"
	"turnplate/site/diag"
	"turnplate/site/page"
)

// offering is a collection whose readers may put their own car in the place of its own.
var offering = fstest.MapFS{
	"index.md":       {Data: []byte("# Notes")},
	"cars/car.md":    {Data: []byte("---\nyours: car\ndraft: true\n---\n# Car\n\n```go params\ncar := Vehicle{Mass: 2000*kg}\nheavy := car.Mass + 100*kg\n```\n")},
	"cars/load.csv":  {Data: []byte("What,Mass (kg)\nTent,10\n")},
	"cars/weight.md": {Data: []byte("---\nsummary: It weighs {c.car.Mass in kg}.\n---\n# Weight of {c.heavy in kg}\n\n```go params\nc := use(\"cars/car\")\nload := readings(\"load.csv\").Mass.Max()\n```\n\n{c.heavy + load in kg}, see [the notes](../index.md) and [the list](load.csv).\n")},
	"other.md":       {Data: []byte("# Other\n\nNo car.\n\n![An arm](arm.svg)\n")},
	"arm.svg":        {Data: []byte(`<svg viewBox="0 0 40 20"><!-- by hand --><title>"A"</title><path class="arm" d="M1 2L3 4"/></svg>`)},
	"secret.md":      {Data: []byte("---\ndraft: true\n---\n# Secret\n")},
}

// evaluatedSite is the site of some files, which offers its readers their own vehicle.
func evaluatedSite(t *testing.T, files fstest.MapFS) *Site {
	t.Helper()
	c, err := collection.Open(files, "notes")
	require.NoError(t, err)
	s, err := Evaluate(context.Background(), c, Options{Engine: func([]byte) map[string][]byte { return nil }})
	require.NoError(t, err)
	require.Empty(t, s.Faults)
	return s
}

func written(t *testing.T, options Options) (*Site, map[string]string) {
	t.Helper()
	c, err := collection.Open(offering, "notes")
	require.NoError(t, err)
	s, err := Evaluate(context.Background(), c, options)
	require.NoError(t, err)
	require.Empty(t, s.Faults)
	files := map[string]string{}
	var mu sync.Mutex
	require.NoError(t, s.Render(context.Background(), func(name string, data []byte) error {
		mu.Lock()
		defer mu.Unlock()
		files[name] = string(data)
		return nil
	}))
	return s, files
}

func TestUnpackedPagesAreTheWrittenOnes(t *testing.T) {
	s, files := written(t, Options{Version: "1", Note: "Invented.", Engine: func(notebooks []byte) map[string][]byte {
		return map[string][]byte{"notebooks.js": notebooks}
	}})
	bundle, err := s.Bundle()
	require.NoError(t, err)
	assert.Equal(t, files["turnplate/notebooks.js"], string(bundle), "the same every time")
	live, err := Unpack(context.Background(), bundle)
	require.NoError(t, err)
	for _, name := range []string{"cars/weight.html", "index.html", "other.html"} {
		shown, err := live.Page(name)
		require.NoError(t, err)
		require.Empty(t, shown.Faults)
		assert.Equal(t, files[name], string(shown.HTML))
		path := strings.TrimSuffix(name, ".html")
		assert.Equal(t, s.byPath[path].Carries, live.entries[path].now.Load().Carries, "known without following its links")
		if name == "cars/weight.html" {
			assert.Equal(t, []string{"cars/car", "cars/weight"}, readIn(live.collection), "a page reads itself and what it uses")
		}
	}
	around := live.site().shared()
	text := "car.Mass = 1500*kg"
	live = live.With(context.Background(), Visit{Page: "cars/weight.html", Yours: map[string]diag.Snippet{"cars/car": {File: "yours", Source: []byte(text), Text: text, Starts: []diag.Pos{{Line: 1, Col: 1}}}}})
	shown, err := live.Page("cars/weight.html")
	require.NoError(t, err)
	assert.Contains(t, string(shown.HTML), "1610\u00a0kg</span>")
	assert.NotContains(t, string(shown.HTML), "2110")
	assert.Same(t, around, live.site().shared(), "the site around it is worked out once")
	// What another page says of one is as published, whether it was worked out or not.
	live = live.With(context.Background(), Visit{Page: "index.html", Yours: live.options.Yours})
	_, _, err = live.Told("cars/weight")
	require.NoError(t, err)
	shown, err = live.Page("index.html")
	require.NoError(t, err)
	assert.Contains(t, string(shown.HTML), "Weight of 2100\u00a0kg")
	assert.Contains(t, string(shown.HTML), "It weighs 2000\u00a0kg.")
	_, err = live.collection.File("arm.svg")
	assert.Error(t, err, "a drawing is carried as pages show it, and isn't checked again")
	_, err = live.collection.Notebook("secret")
	assert.Error(t, err, "a draft that nothing uses isn't published this way either")
}

// readIn lists the notebooks of a collection that were read.
func readIn(c *collection.Collection) (paths []string) {
	for _, nb := range c.Notebooks() {
		if nb.Source != nil {
			paths = append(paths, nb.Path)
		}
	}
	return paths
}

func TestOnlyPagesThatUseItOfferYours(t *testing.T) {
	_, files := written(t, Options{Engine: func([]byte) map[string][]byte { return map[string][]byte{"engine.js": nil} }})
	const opened = " 'wasm-unsafe-eval'; worker-src blob:; connect-src 'self';"
	assert.Contains(t, files["cars/weight.html"], opened)
	assert.Contains(t, files["cars/weight.html"], `data-page="cars/weight.html" data-notebook="cars/car" data-name="car" defer></script>`)
	assert.NotContains(t, files["other.html"], "wasm")
	assert.NotContains(t, files["other.html"], page.YoursFile)
	assert.Contains(t, files, "turnplate/engine.js")

	_, files = written(t, Options{})
	for name, text := range files {
		assert.NotContains(t, text, "wasm-unsafe-eval", name)
		assert.False(t, strings.HasSuffix(name, page.YoursFile) || strings.HasSuffix(name, page.ExchangeFile), name)
	}
}

// A reader's browser doesn't search again for what surveys found that the reader's values don't touch.
func TestBundleCarriesWhatSurveysFound(t *testing.T) {
	files := fstest.MapFS{"index.md": {Data: []byte("# Notes")}}
	for _, name := range []string{"corrie.md", "corrie-first.csv", "corrie-points.csv"} {
		data, err := notebooks.FS.ReadFile("vehicles/" + name)
		require.NoError(t, err)
		files["vehicles/"+name] = &fstest.MapFile{Data: regexp.MustCompile(`\]\([^)]*\)`).ReplaceAll(data, []byte("](corrie.md)"))}
	}
	s := evaluatedSite(t, files)
	want, err := s.page("vehicles/corrie", s.shared())
	require.NoError(t, err)
	bundle, err := s.Bundle()
	require.NoError(t, err)
	again, err := evaluatedSite(t, files).Bundle()
	require.NoError(t, err)
	assert.Equal(t, bundle, again)

	live, err := Unpack(context.Background(), bundle)
	require.NoError(t, err)
	known := live.options.findings.All()
	require.Len(t, known, 3, "two files, and what helps the caster")
	shown, err := live.Page("vehicles/corrie.html")
	require.NoError(t, err)
	assert.Equal(t, string(want.HTML), string(shown.HTML))
	live = live.With(context.Background(), Visit{Page: "vehicles/corrie.html", Yours: map[string]diag.Snippet{"vehicles/corrie": theirs("truck.Front.UpperBall.X = -10*mm")}})
	shown, err = live.Page("vehicles/corrie.html")
	require.NoError(t, err)
	require.NotEmpty(t, shown.HTML)
	assert.Equal(t, known, live.options.findings.All(), "none was searched")
}

// A survey that starts from the reader's own vehicle is run.
func TestReadersSurveyIsRun(t *testing.T) {
	bundle, err := evaluatedSite(t, readersCollection(t)).Bundle()
	require.NoError(t, err)
	live, err := Unpack(context.Background(), bundle)
	require.NoError(t, err)
	known := live.options.findings.All()
	require.Len(t, known, 1)
	live = live.With(context.Background(), Visit{Page: "page.html", Yours: map[string]diag.Snippet{"car": theirs("car.Front.UpperBall.X = -10*mm")}})
	shown, err := live.Page("page.html")
	require.NoError(t, err)
	require.NotEmpty(t, shown.HTML)
	assert.Len(t, live.options.findings.All(), 2)
}
