package preview

import (
	"context"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"turnplate/notebooks"
	"turnplate/site/build"
	"turnplate/site/collection"
	"turnplate/site/model"
	"turnplate/site/page/browsertest"
)

// demo copies the demo collection to a folder.
func demo(b *testing.B) string {
	b.Helper()
	folder := b.TempDir()
	require.NoError(b, os.CopyFS(folder, notebooks.FS))
	return folder
}

// costOf is how long a page takes, with what the cache holds.
func costOf(b *testing.B, folder, page string, cache *model.Cache) (cost time.Duration, good bool) {
	b.Helper()
	c, err := collection.OpenFolder(folder)
	require.NoError(b, err)
	defer c.Close()
	start := time.Now()
	shown, err := build.NewLive(context.Background(), c, build.Options{Cache: cache}).Page(page + ".html")
	require.NoError(b, err)
	return time.Since(start), len(shown.Faults) == 0
}

// heaviest gives the demo's study that takes longest to calculate.
func heaviest(b *testing.B, folder string) (page string) {
	b.Helper()
	c, err := collection.OpenFolder(folder)
	require.NoError(b, err)
	defer c.Close()
	var most time.Duration
	for _, p := range c.Paths() {
		if !strings.HasPrefix(p, "studies/") {
			continue
		}
		cost := time.Hour
		for range 3 { // the best of three, for a busy machine
			once, _ := costOf(b, folder, p, model.NewCache())
			cost = min(cost, once)
		}
		if cost > most {
			most, page = cost, p
		}
	}
	b.Logf("the heaviest of the demo's studies is %s: %d ms from nothing", page, most.Milliseconds())
	return page
}

var firstWords = regexp.MustCompile(`\n\n[A-Z][a-z]`)

var parameter = regexp.MustCompile(`(?m)^(\w+\s*:?=\s*)(\d+(?:\.\d+)?)(\*\w+.*)$`)

// costliest gives a notebook as it is and with a percent more of the parameter whose change takes longest to
// follow, of those that a percent doesn't break; "*1.012" marks the place.
func costliest(b *testing.B, folder, page string) (one, other string) {
	b.Helper()
	data, err := os.ReadFile(folder + "/" + page + ".md")
	require.NoError(b, err)
	one = string(data)
	cache := model.NewCache()
	costOf(b, folder, page, cache)
	var most time.Duration
	var name string
	for _, m := range parameter.FindAllStringSubmatchIndex(one, -1) {
		cost, changed, allGood := time.Hour, "", true
		for i := range 3 { // the best of three, each another value
			changed = one[:m[4]] + one[m[4]:m[5]] + fmt.Sprintf("*1.01%d", i) + one[m[5]:]
			write(b, folder, page+".md", changed)
			once, good := costOf(b, folder, page, cache)
			cost, allGood = min(cost, once), allGood && good
		}
		if allGood && cost > most {
			most, name, other = cost, strings.TrimSpace(one[m[0]:m[1]]), changed
		}
	}
	write(b, folder, page+".md", one)
	require.NotEmpty(b, other, "no parameter of %s can be changed", page)
	b.Logf("its costliest parameter is %q: %d ms to follow, without the browser", name, most.Milliseconds())
	return one, other
}

// shown makes a promise of the time at which the next change of the page is on the screen: the frame after
// the change has been drawn.
const shown = `window.shown = new Promise((done) => {
	const watch = new MutationObserver(() => {
		watch.disconnect();
		requestAnimationFrame(() => { const c = new MessageChannel(); c.port1.onmessage = () => done(Date.now()); c.port2.postMessage(0); });
	});
	watch.observe(document.querySelector(".prose"), { subtree: true, childList: true, characterData: true });
}); undefined`

// BenchmarkSaveToScreen measures from the end of a save to the changed page on the screen of a browser.
func BenchmarkSaveToScreen(b *testing.B) {
	folder := demo(b)
	page := heaviest(b, folder)
	one, other := costliest(b, folder, page)
	words := strings.Index(one, firstWords.FindString(one)) + len("\n\n")
	browser := browsertest.Start(b)
	p := run(b, Options{Folder: folder, Listen: "127.0.0.1:0"})
	p.settled()
	tab := browser.Open(b, p.url+page+".html", browsertest.View{Width: 1280})
	for _, kind := range []struct {
		name string
		text func(i int) string
	}{
		{"sentence", func(i int) string { return one[:words] + fmt.Sprintf("Sentence %d. ", i) + one[words:] }},
		{"parameter", func(i int) string { return strings.Replace(other, "*1.012", fmt.Sprintf("*1.01%03d", i), 1) }}, // never one that is known
	} {
		i := 0
		b.Run(kind.name, func(b *testing.B) {
			var took []float64
			for b.Loop() {
				i++
				text := kind.text(i)
				require.NotEqual(b, kind.text(i-1), text)
				browsertest.Eval[browsertest.Nothing](tab, shown)
				write(b, folder, page+".md", text)
				saved := time.Now()
				at := time.UnixMilli(int64(browsertest.Eval[float64](tab, "window.shown")))
				took = append(took, float64(at.Sub(saved).Microseconds())/1000)
				p.settled()
				time.Sleep(50 * time.Millisecond) // a reader sees it before the next save
			}
			report(b, took)
		})
	}
}

// report gives the median, and what one in ten is slower than.
func report(b *testing.B, took []float64) {
	slices.Sort(took)
	b.ReportMetric(took[len(took)/2], "median-ms")
	b.ReportMetric(took[len(took)*9/10], "p90-ms")
	b.ReportMetric(0, "ns/op") // which counts the pauses as well
}

// BenchmarkStart measures how long 200 notebooks take: to the first page, and to all of them.
func BenchmarkStart(b *testing.B) {
	folder := many(b)
	var first, all []float64
	for b.Loop() {
		start := time.Now()
		p := run(b, Options{Folder: folder, Listen: "127.0.0.1:0"})
		p.get("/index.html")
		first = append(first, float64(time.Since(start).Microseconds())/1000)
		p.settled()
		all = append(all, float64(time.Since(start).Microseconds())/1000)
		p.stop()
	}
	slices.Sort(first)
	slices.Sort(all)
	b.ReportMetric(first[len(first)/2], "first-page-ms")
	b.ReportMetric(all[len(all)/2], "all-pages-ms")
}
