package page

import (
	"flag"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/page/browsertest"
)

// To look at the sample pages: go test ./site/page -run Browser -look /tmp/site
var look = flag.String("look", "", "folder to leave the sample pages in")

// views are the ways every page must read well; without a sweep the first two will do.
var views = []browsertest.View{
	{Width: 1280}, {Width: 360, Dark: true}, {Width: 1280, Dark: true}, {Width: 800}, {Width: 360},
	{Width: 1280, NoScript: true}, {Width: 794, Media: "print"}, {Width: 320},
}

func TestBrowser(t *testing.T) {
	folder := t.TempDir()
	if *look != "" {
		folder = *look
	}
	writeSite(t, folder)
	browser := browsertest.Start(t)
	file := func(p Page) string { return filepath.Join(folder, filepath.FromSlash(p.Path)) }

	ways := views
	if !browsertest.Sweeping() {
		ways = views[:2]
	}
	for _, p := range []Page{samplePage(), sampleIndex(), galleryPage()} {
		for _, v := range ways {
			t.Run(p.Path+", "+v.String(), func(t *testing.T) {
				tab := browser.Open(t, file(p), v)
				assert.Empty(t, tab.Faults())
				if !v.NoScript {
					browsertest.Eval[browsertest.Nothing](tab, `document.documentElement.dataset.units = "us"`)
					assert.Empty(t, tab.Faults(), "in US units")
				}
				browsertest.Eval[browsertest.Nothing](tab, `document.querySelectorAll("details").forEach((d) => d.open = true)`)
				assert.Empty(t, tab.Faults(), "everything unfolded")
				assert.Empty(t, tab.Complaints())
			})
		}
	}

	t.Run("style and script are taken from a folder", func(t *testing.T) {
		tab := browser.Open(t, file(samplePage()), browsertest.View{Width: 1280})
		assert.NotEqual(t, "0px", browsertest.Eval[string](tab, `getComputedStyle(document.querySelector(".bar"), "::after").height`), "style sheet refused")
		assert.NotEmpty(t, browsertest.Eval[string](tab, `document.querySelector("button.units").textContent`), "script refused")
		for _, r := range tab.Requests() {
			assert.True(t, strings.HasPrefix(r, "file://"), r)
		}
	})

	t.Run("the same under a sub-path of a host", func(t *testing.T) {
		server := httptest.NewServer(http.StripPrefix("/club/notes/", http.FileServer(http.Dir(folder))))
		defer server.Close()
		tab := browser.Open(t, server.URL+"/club/notes/studies/caster.html", browsertest.View{Width: 1280})
		assert.NotEmpty(t, browsertest.Eval[string](tab, `document.querySelector("button.units").textContent`))
		for _, r := range tab.Requests() {
			assert.True(t, strings.HasPrefix(r, server.URL+"/club/notes/"), r)
		}
		assert.Empty(t, tab.Complaints())
	})

	t.Run("values are read off by keyboard", func(t *testing.T) {
		tab := browser.Open(t, file(samplePage()), browsertest.View{Width: 1280})
		browsertest.Eval[browsertest.Nothing](tab, `document.querySelector("#effort .picture").focus()`)
		box := func() string {
			return browsertest.Eval[string](tab, `[...document.querySelectorAll("#effort .readout:not([hidden]) p")].map((p) => [...p.children].map((c) => c.textContent).join(" ")).join("; ").replaceAll("\u00a0", " ")`)
		}
		assert.Empty(t, box())
		tab.Keys(kb.Home)
		assert.Equal(t, "Caster 0.00°; Stock tyre 96.0 N; 33-inch, narrow 108.0 N; 35-inch 128.0 N; 35-inch, wide wheel 131.0 N", box())
		tab.Keys(kb.ArrowRight)
		assert.Contains(t, box(), "Caster 0.25°")
		for range 8 {
			tab.Keys(kb.ArrowRight)
		}
		assert.Contains(t, box(), "as it came, Spring balance, 9 March 129.0 N ± 4.0 N", "readings are stops too, and say how far they may be out")
		assert.Contains(t, box(), "Caster 2.10°; Stock tyre 98.4 N", "a line is read between its points where only another has one")
		tab.Keys(kb.End)
		assert.Contains(t, box(), "Caster 8.00°; Stock tyre 110.9 N")
		assert.Contains(t, box(), "35-inch, wide wheel –", "a gap is said to be one")
		// The ring marks the curve's own end, on the drawing.
		assert.InDelta(t, browsertest.Eval[float64](tab, `document.querySelector("#effort svg.wide path.s1").getBBox().y`),
			browsertest.Eval[float64](tab, `+document.querySelector("#effort .wide .at.s1").getAttribute("cy")`), tenthOfPixel)
		browsertest.Eval[browsertest.Nothing](tab, `document.querySelector("button.units").click()`)
		assert.Empty(t, box(), "a read-out in the other units is taken away")
		browsertest.Eval[browsertest.Nothing](tab, `document.querySelector("button.units").click()`)
	})

	t.Run("values are read off by pointer", func(t *testing.T) {
		tab := browser.Open(t, file(samplePage()), browsertest.View{Width: 360})
		browsertest.Eval[browsertest.Nothing](tab, `(() => {
			const box = document.querySelector("#return svg.narrow path.s1").getBoundingClientRect();
			document.querySelector("#return .picture").dispatchEvent(new PointerEvent("pointermove", { clientX: box.right, clientY: box.top }));
		})()`)
		assert.Equal(t, "Caster8.00°", browsertest.Eval[string](tab, `document.querySelector("#return .readout p").textContent`))
	})

	t.Run("closed lines are read on both sides, whosever point it is", func(t *testing.T) {
		tab := browser.Open(t, file(galleryPage()), browsertest.View{Width: 1280})
		browsertest.Eval[browsertest.Nothing](tab, `document.querySelector("#closed .picture").focus()`)
		tab.Keys(kb.Home)
		tab.Keys(kb.ArrowRight)
		assert.Equal(t, "1.0° 20.0 N and 0.0 N 12.5 N and 7.5 N", browsertest.Eval[string](tab, `[...document.querySelectorAll("#closed .readout:not([hidden]) b")].map((b) => b.textContent).join(" ").replaceAll("\u00a0", " ")`))
		assert.Len(t, browsertest.Eval[[]string](tab, `[...document.querySelectorAll("#closed .wide .at")].map((m) => m.getAttribute("cy"))`), 4)
	})

	t.Run("a map is read by keyboard", func(t *testing.T) {
		tab := browser.Open(t, file(galleryPage()), browsertest.View{Width: 1280})
		browsertest.Eval[browsertest.Nothing](tab, `document.querySelector("#map .picture").focus()`)
		box := func() string {
			return browsertest.Eval[string](tab, `[...document.querySelectorAll("#map .readout:not([hidden]) b")].map((b) => b.textContent).join(" ").replaceAll("\u00a0", " ")`)
		}
		tab.Keys(kb.ArrowRight)
		assert.Equal(t, "0.00° 0.0 mm 96.0 N", box())
		tab.Keys(kb.ArrowUp)
		assert.Equal(t, "0.00° 5.0 mm 98.0 N", box())
		tab.Keys(kb.End)
		assert.Equal(t, "8.00° 5.0 mm –", box(), "out of reach")
		tab.Keys(kb.Escape)
		assert.Empty(t, box())
	})

	t.Run("the units are switched, and kept for the next page", func(t *testing.T) {
		tab := browser.Open(t, file(samplePage()), browsertest.View{Width: 1280})
		shown := func(selector string) string {
			return browsertest.Eval[string](tab, `[...document.querySelectorAll("`+selector+`")].filter((e) => e.getClientRects().length > 0).map((e) => e.textContent).join("|")`)
		}
		axis := func() string { return shown("#effort svg.wide text") }
		described := func() string {
			return browsertest.Eval[string](tab, `document.getElementById(document.querySelector("#effort svg").getAttribute("aria-describedby")).textContent.replaceAll("\u00a0", " ")`)
		}
		require.Contains(t, axis(), "(N)")
		require.Contains(t, described(), "96.0 N")
		browsertest.Eval[browsertest.Nothing](tab, `document.querySelector("button.units").click()`)
		assert.Contains(t, axis(), "(lbf)")
		assert.NotContains(t, axis(), "(N)")
		assert.Contains(t, described(), "21.6 lbf")
		assert.Equal(t, "CSV of Figure 1", shown("#effort .file"))
		assert.Contains(t, browsertest.Eval[string](tab, `[...document.querySelectorAll("#effort .file")].find((e) => e.getClientRects().length > 0).href`), "-us.csv")
		next := browser.Open(t, file(galleryPage()), browsertest.View{Width: 1280})
		assert.Equal(t, "us", browsertest.Eval[string](next, `document.documentElement.dataset.units`))
		browsertest.Eval[browsertest.Nothing](next, `document.querySelector("button.units").click()`)
		assert.Equal(t, "metric", browsertest.Eval[string](next, `document.documentElement.dataset.units`))
	})

	t.Run("without script every number is there", func(t *testing.T) {
		tab := browser.Open(t, file(samplePage()), browsertest.View{Width: 1280, NoScript: true})
		text := browsertest.Eval[string](tab, `document.querySelector("main").innerText`)
		for _, want := range []string{"4.5°", "31 N", "Checked, and holds", "Fails", "131.0 ± 8"} {
			assert.Contains(t, text, want)
		}
		assert.Equal(t, "none", browsertest.Eval[string](tab, `getComputedStyle(document.querySelector("#effort .in-us")).display`))
	})

	t.Run("dark paper is dark, and prints white", func(t *testing.T) {
		paper := func(v browsertest.View) string {
			return browsertest.Eval[string](browser.Open(t, file(samplePage()), v), `getComputedStyle(document.documentElement).getPropertyValue("--paper").trim()`)
		}
		assert.Equal(t, "#14191c", paper(browsertest.View{Width: 1280, Dark: true}))
		assert.Equal(t, "#fcfcfa", paper(browsertest.View{Width: 1280}))
		assert.Equal(t, "#fcfcfa", paper(browsertest.View{Width: 794, Dark: true, Media: "print"}))
	})
}

// tenthOfPixel is what coordinates are rounded to.
const tenthOfPixel = 0.11
