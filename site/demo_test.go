package site

import (
	"context"
	"maps"
	"net/url"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/page"
)

// demoSite is the demo as Write leaves it, made once for all tests that look at it.
var demoSite struct {
	once   sync.Once
	above  string
	folder string
	files  map[string]string
}

func TestMain(m *testing.M) {
	code := m.Run()
	if demoSite.above != "" {
		os.RemoveAll(demoSite.above)
	}
	os.Exit(code)
}

// demo writes the demo's site into a folder whose name a link must not trip over. Tests only read it.
func demo(t *testing.T) (folder string, files map[string]string) {
	t.Helper()
	demoSite.once.Do(func() {
		above, err := os.MkdirTemp("", "turnplate-demo-")
		require.NoError(t, err)
		demoSite.above = above
		folder := filepath.Join(above, "a folder, 50 % ü#")
		o, err := Write(context.Background(), "", folder, nil)
		require.NoError(t, err)
		require.True(t, o.Good(), "%v", o.Faults)
		demoSite.folder, demoSite.files = folder, look(t, folder)
	})
	require.NotEmpty(t, demoSite.files, "the demo could not be written")
	return demoSite.folder, demoSite.files
}

// pagesOf lists the pages of a site.
func pagesOf(files map[string]string) (pages []string) {
	for _, name := range slices.Sorted(maps.Keys(files)) {
		if path.Ext(name) == ".html" {
			pages = append(pages, name)
		}
	}
	return pages
}

// Every link of every page of the demo leads to a file of the site, and to an id in it that there is once;
// nothing that a browser would load by itself lies elsewhere.
func TestDemoLinks(t *testing.T) {
	_, files := demo(t)
	attribute := regexp.MustCompile(`\s(href|src|srcset|action|data)="([^"]*)"`)
	id := regexp.MustCompile(`\sid="([^"]*)"`)
	ids := map[string]map[string]bool{}
	for _, name := range pagesOf(files) {
		ids[name] = map[string]bool{}
		for _, m := range id.FindAllStringSubmatch(files[name], -1) {
			assert.False(t, ids[name][m[1]], "id %q twice in %s", m[1], name)
			ids[name][m[1]] = true
		}
	}
	checked := 0
	for _, name := range pagesOf(files) {
		for _, m := range attribute.FindAllStringSubmatch(files[name], -1) {
			to := strings.ReplaceAll(m[2], "&amp;", "&")
			if m[1] == "href" && regexp.MustCompile(`^(https?|mailto):`).MatchString(to) {
				continue
			}
			u, err := url.Parse(to)
			if !assert.NoError(t, err) || !assert.Empty(t, u.Scheme+u.Host, "%s in %s", to, name) {
				continue
			}
			target := name
			if u.Path != "" {
				target = path.Join(path.Dir(name), u.Path)
			}
			if assert.Contains(t, files, target, "%s in %s", to, name) && u.Fragment != "" {
				assert.True(t, ids[target][u.Fragment], "%s in %s", to, name)
			}
			checked++
		}
	}
	assert.Greater(t, checked, 50)
}

// What a page may weigh with everything that a browser loads to show it, in bytes. Files to take away are
// not counted: they are fetched when a reader asks for them.
const (
	stillWeight  = 150_000
	movingWeight = 1_000_000 // with dials or poses
	scriptWeight = 25_000    // all that pages load by themselves, as written to be read
)

func TestDemoWeight(t *testing.T) {
	_, files := demo(t)
	loaded := regexp.MustCompile(`<(?:link rel="(?:icon|stylesheet)"|script|img)[^>]*\s(?:href|src)="([^"]*)"`)
	scripts := map[string]bool{} // that pages load
	for _, name := range pagesOf(files) {
		weight, script := len(files[name]), 0
		if strings.Contains(files[name], "<math") { // the style sheet brings a font for equations
			weight += len(files[page.AssetFolder+"/math.woff2"])
		}
		for _, m := range loaded.FindAllStringSubmatch(files[name], -1) {
			u, err := url.Parse(m[1])
			require.NoError(t, err)
			file := path.Join(path.Dir(name), u.Path)
			require.Contains(t, files, file)
			weight += len(files[file])
			if path.Ext(file) == ".js" {
				scripts[file] = true
				script += len(files[file])
			}
		}
		most := stillWeight
		if strings.Contains(files[name], `id="positions"`) {
			most = movingWeight
		}
		t.Logf("%7d bytes, of them script %5d: %s", weight, script, name)
		assert.Less(t, weight, most, name)
		assert.Positive(t, script, name)
	}
	script := 0
	for name, text := range files {
		if path.Ext(name) != ".js" {
			continue
		}
		if scripts[name] { // the others come when a reader asks for what they do
			script += len(text)
		}
		for _, line := range strings.Split(text, "\n") {
			assert.Less(t, len(line), 160, "a line of %s that nobody reads", name)
		}
	}
	assert.Less(t, script, scriptWeight)
}
