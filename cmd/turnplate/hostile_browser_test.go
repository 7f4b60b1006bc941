//go:build unix

package main

import (
	"net/url"
	"path"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/page/browsertest"
)

// harm counts, with the browser's own reading of the page, what none of ours holds.
const harm = `(() => {
	const found = [];
	for (const e of document.querySelectorAll("*")) {
		if (e.matches("style, iframe, object, embed, base, form, template, foreignObject, animate, set, use, image, video, audio, meta[http-equiv=refresh]"))
			found.push(e.outerHTML.slice(0, 100));
		if (e.localName === "script" && !(e.type === "application/json" || /\/turnplate\/(page|dials)\.js$/.test(e.src))) found.push("script " + e.src);
		if (e.localName === "a" && !/^(file|https?|mailto):$/.test(e.protocol)) found.push("link " + e.href);
		for (const a of e.attributes)
			if (/^on|^srcdoc$|^formaction$|^xlink/i.test(a.name) || a.name === "style" && !e.closest("math, .dial, .picture")) found.push(e.localName + " " + a.name);
	}
	return found;
})()`

// TestHostileInBrowser opens the pages of hostile collections: nothing of theirs runs or is asked for, and the browser
// finds the same elements in them as TestHostile does.
func TestHostileInBrowser(t *testing.T) {
	browsertest.OnlySweeping(t)
	names, err := filepath.Glob("../../testdata/hostile/*.txt")
	require.NoError(t, err)
	browser := browsertest.Start(t)
	pages := 0
	for _, name := range names {
		h := readHostile(t, name)
		if len(h.faults) > 0 {
			continue
		}
		above := t.TempDir()
		h.lay(t, above)
		_, stderr, exit, _ := tool(t, above, "write", "notes", "--to", "out")
		require.Equal(t, h.exit, exit, stderr)
		root := (&url.URL{Scheme: "file", Path: above + "/out"}).String() + "/"
		for file := range tree(t, filepath.Join(above, "out")) {
			if path.Ext(file) != ".html" || strings.HasPrefix(file, "turnplate/") {
				continue
			}
			pages++
			t.Run(filepath.Base(name)+" "+file, func(t *testing.T) {
				tab := browser.Open(t, filepath.Join(above, "out", file), browsertest.View{Width: 1200})
				assert.Empty(t, browsertest.Eval[[]string](tab, harm))
				assert.Empty(t, tab.Complaints())
				for _, asked := range tab.Requests() {
					assert.True(t, strings.HasPrefix(asked, root), asked)
				}
				assert.NotEmpty(t, tab.Requests())
			})
		}
	}
	require.Greater(t, pages, 6)
}
