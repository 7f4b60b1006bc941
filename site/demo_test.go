package site

import (
	"context"
	"net/url"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/page/browsertest"
)

// demo writes the demo's site into a folder whose name a link must not trip over.
func demo(t *testing.T) (folder string, files map[string]string) {
	t.Helper()
	folder = filepath.Join(t.TempDir(), "a folder, 50 % ü#")
	o, err := Write(context.Background(), "", folder, nil)
	require.NoError(t, err)
	require.True(t, o.Good())
	return folder, look(t, folder)
}

// Every link of every page of the demo leads to a file of the site, and to an id in it; nothing that a
// browser would load by itself lies elsewhere.
func TestDemoLinks(t *testing.T) {
	_, files := demo(t)
	attribute := regexp.MustCompile(`\s(href|src|srcset|action|data)="([^"]*)"`)
	checked := 0
	for name, text := range files {
		if path.Ext(name) != ".html" {
			continue
		}
		for _, m := range attribute.FindAllStringSubmatch(text, -1) {
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
				assert.Contains(t, files[target], `id="`+u.Fragment+`"`, "%s in %s", to, name)
			}
			checked++
		}
	}
	assert.Greater(t, checked, 50)
}

// The demo, opened from the disk, at a telephone's and a desk's width: nothing sticks out or lies over
// something else, no page complains, and none asks for anything outside its folder.
func TestDemoInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes its time")
	}
	folder, files := demo(t)
	browser := browsertest.Start(t)
	root := (&url.URL{Scheme: "file", Path: filepath.ToSlash(folder)}).String() + "/"
	for name := range files {
		if path.Ext(name) != ".html" {
			continue
		}
		for _, view := range []browsertest.View{{Width: 360}, {Width: 1280, Dark: true}, {Width: 1280, NoScript: true}} {
			t.Run(name+" at "+view.String(), func(t *testing.T) {
				tab := browser.Open(t, filepath.Join(folder, filepath.FromSlash(name)), view)
				if !view.NoScript {
					assert.Empty(t, tab.Faults())
				}
				assert.Empty(t, tab.Complaints())
				for _, asked := range tab.Requests() {
					assert.True(t, strings.HasPrefix(asked, root) || strings.HasPrefix(asked, "data:"), asked)
				}
				if shots := os.Getenv("TURNPLATE_SHOTS"); shots != "" { // to look at by eye
					shot, err := tab.Screenshot()
					require.NoError(t, err)
					place := filepath.Join(shots, strings.NewReplacer("/", "-", " ", "").Replace(name+"-"+view.String())+".png")
					require.NoError(t, os.WriteFile(place, shot, 0o644))
				}
			})
		}
	}
}
