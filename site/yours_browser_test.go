package site

import (
	"math"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/page/browsertest"
)

// listen keeps the page that was worked out last, as it came.
const listen = `(() => {
	const parse = DOMParser.prototype.parseFromString;
	DOMParser.prototype.parseFromString = function (text, kind) { return parse.call(this, window.workedOut = text, kind); };
	return true;
})()`

// turns counts the positions of all dials of a page.
const turns = `((page) => {
	const positions = page.getElementById("positions");
	return positions ? JSON.parse(positions.textContent).dials.reduce((n, d) => n + d.metric.length, 0) : 0;
})`

// turnOn turns the switch and waits for the form. The first time the program is loaded.
func turnOn(t *testing.T, tab *browsertest.Tab) {
	t.Helper()
	browsertest.Eval[bool](tab, `(document.querySelector(".bar button[aria-pressed=false]").click(), true)`)
	for !browsertest.Eval[bool](tab, `!!document.querySelector(".yours-body > *")`) {
		says := browsertest.Eval[string](tab, `document.querySelector(".yours-panel [role=status]")?.textContent || ""`)
		require.NotContains(t, says, "can’t be shown")
		time.Sleep(100 * time.Millisecond)
	}
}

// enter types a wheelbase into the form; without anything in it the page is right as it is.
func enter(tab *browsertest.Tab, wheelbase string) {
	browsertest.Eval[bool](tab, `(() => {
		const box = document.querySelector('[data-path="Wheelbase"]');
		box.value = "`+wheelbase+`";
		box.dispatchEvent(new Event("change", { bubbles: true }));
		return true;
	})()`)
}

// inputs is the digest of what a page was made from, of which what a reader enters is a part.
var inputs = regexp.MustCompile(`From inputs</dt><dd><code>[0-9a-f]+</code>`)

var printed = regexp.MustCompile(`-?\d+(?:\.\d+)?(?:e-?\d+)?`)

// sameNumbers wants two texts to differ in nothing but the last place of numbers, by one: the exponential functions of
// two processors differ in their last bits.
func sameNumbers(t *testing.T, want, got string) {
	t.Helper()
	require.Equal(t, printed.ReplaceAllString(want, "#"), printed.ReplaceAllString(got, "#"))
	a, b := printed.FindAllString(want, -1), printed.FindAllString(got, -1)
	require.NotEmpty(t, a)
	for i := range a {
		if a[i] == b[i] {
			continue
		}
		x, err := strconv.ParseFloat(a[i], 64)
		require.NoError(t, err)
		y, err := strconv.ParseFloat(b[i], 64)
		require.NoError(t, err)
		_, fraction, _ := strings.Cut(a[i], ".")
		last := math.Pow10(-len(fraction))
		if strings.Contains(a[i], "e") || len(fraction) > 6 { // of data, which nobody reads as it stands
			last = math.Abs(x) * 1e-5
		}
		assert.InDelta(t, x, y, last*1.001, "number %d of %d", i+1, len(a))
	}
}

// A page worked out in the browser for its own vehicle says what the written page says; and what a reader enters goes
// nowhere.
func TestYoursInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes its time")
	}
	folder, files := demo(t)
	var pages []string
	for _, name := range pagesOf(files) {
		if strings.Contains(files[name], "data-notebook=") {
			pages = append(pages, name)
		}
	}
	require.NotEmpty(t, pages)
	switch {
	case os.Getenv("TURNPLATE_YOURS") == "all": // takes a quarter of an hour
	case browsertest.Sweeping():
		pages = []string{"index.html", "studies/tyre.html"}
	default:
		pages = []string{"studies/tyre.html"}
	}
	const wheelbase = "2850 mm" // the Corrie's
	root := (&url.URL{Scheme: "file", Path: filepath.ToSlash(folder)}).String() + "/"
	inTurns(t, pages, func(t *testing.T, browser *browsertest.Browser, name string) {
		v := visitor{browser: browser, folder: folder, root: root}
		tab := v.open(t, name, browsertest.View{Width: desk})
		defer browsertest.Eval[browsertest.Nothing](tab, `localStorage.clear()`) // the next page opens as published
		dials := browsertest.Eval[int](tab, turns+`(document)`)
		browsertest.Eval[bool](tab, listen)
		turnOn(t, tab)
		enter(tab, wheelbase)
		const whole = `!window.workedOut || /class="(note|claim) later"|<span class="calc">…</.test(workedOut) ? -1 : `
		for browsertest.Eval[int](tab, whole+turns+`(new DOMParser().parseFromString(workedOut, "text/html"))`) != dials {
			time.Sleep(100 * time.Millisecond) // where dials stand comes first, and without what takes long; the rest later
		}
		sameNumbers(t, inputs.ReplaceAllString(files[name], ""), inputs.ReplaceAllString(browsertest.Eval[string](tab, "workedOut"), ""))
		for _, asked := range tab.Requests() {
			assert.True(t, strings.HasPrefix(asked, root) || strings.HasPrefix(asked, "data:") || strings.HasPrefix(asked, "blob:"), asked)
		}
		assert.Empty(t, tab.Complaints())
	})
}

// From a host the program is fetched, and nothing is ever sent there.
func TestYoursFromAHost(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes its time")
	}
	folder, _ := demo(t)
	files := http.FileServer(http.Dir(folder))
	var lock sync.Mutex
	var asked []string
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		assert.Equal(t, http.MethodGet, r.Method)
		assert.Empty(t, r.URL.RawQuery)
		lock.Lock()
		asked = append(asked, r.URL.Path)
		lock.Unlock()
		assert.Zero(t, r.ContentLength)
		files.ServeHTTP(w, r)
	}))
	t.Cleanup(server.Close)
	tab := browsertest.Start(t).Open(t, server.URL+"/workshop/axis.html", browsertest.View{Width: phone})
	turnOn(t, tab)
	lock.Lock()
	assert.Contains(t, asked, "/turnplate/program.bin")
	assert.NotContains(t, asked, "/turnplate/program.js")
	lock.Unlock()
	enter(tab, "3100 mm")
	for !strings.Contains(browsertest.Eval[string](tab, `Object.values(localStorage).join()`), "truck.Wheelbase = 3100*mm") {
		time.Sleep(100 * time.Millisecond)
	}
	for _, asked := range tab.Requests() {
		assert.True(t, strings.HasPrefix(asked, server.URL+"/") || strings.HasPrefix(asked, "blob:") || strings.HasPrefix(asked, "data:"), asked)
		assert.NotContains(t, asked, "3100")
	}
	// On paper it is still said whose truck it is.
	tab.Look(browsertest.View{Width: paper, Media: "print"})
	assert.True(t, browsertest.Eval[bool](tab, `(() => {
		const titles = [...document.querySelectorAll("main .figure-title")];
		return titles.length > 0 && titles.every((e) => getComputedStyle(e, "::after").content.includes("your truck"));
	})()`))
}
