package site

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/page/browsertest"
)

// Pages of the demo in a browser: from the disk and from below a host's root, at a telephone's and a desk's width, light
// and dark, in both systems of units, folded and unfolded, on paper, without script, from the keyboard, with each dial
// turned, and by what an accessibility engine finds. A few pages will do to see that pages work; a sweep takes all, and
// asks the engine. To look at them by eye:
//
//	TURNPLATE_SWEEP=1 TURNPLATE_SHOTS=/tmp/shots go test ./site -run TestDemoInBrowser
func TestDemoInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes its time")
	}
	folder, files := demo(t)
	v := visitor{folder: folder, root: (&url.URL{Scheme: "file", Path: filepath.ToSlash(folder)}).String() + "/"}
	server := httptest.NewServer(http.StripPrefix("/club/notes/", http.FileServer(http.Dir(folder))))
	t.Cleanup(server.Close) // later than a defer: pages are visited when this function has returned
	v.host = server.URL + "/club/notes/"
	pages := []string{"index.html", "workshop/axis.html", "builds/corrie.html"}
	if browsertest.Sweeping() {
		pages = pagesOf(files)
	}
	t.Run("accessibility engine", func(t *testing.T) {
		browsertest.OnlySweeping(t)
		v.engine = browsertest.Engine(t)
	})
	inTurns(t, pages, func(t *testing.T, browser *browsertest.Browser, name string) {
		v := v
		v.browser = browser
		if path.Dir(name) == referencePages && name != oneReferencePage {
			tab := v.open(t, name, browsertest.View{Width: phone, Dark: true})
			do(tab, unfold)
			assert.Empty(t, tab.Faults())
			do(tab, showUS)
			v.barriers(t, tab, "unfolded, in US units")
			v.quiet(t, tab, v.root)
			return
		}
		tab := v.open(t, name, browsertest.View{Width: desk})
		t.Run("layout", func(t *testing.T) { v.layout(t, tab.In(t), name) })
		t.Run("reading values off", func(t *testing.T) { v.reading(t, tab.In(t)) })
		t.Run("folding", func(t *testing.T) { v.folding(t, tab.In(t)) })
		t.Run("dials", func(t *testing.T) { v.dials(t, tab.In(t)) })
		t.Run("units", func(t *testing.T) { v.units(t, tab.In(t)) })
		t.Run("keyboard", func(t *testing.T) { v.keyboard(t, tab.In(t)) }) // on the page as units loads it anew
		v.quiet(t, tab, v.root)
		t.Run("elsewhere", func(t *testing.T) { v.elsewhere(t, name) })
	})
}

// The pages of models are made from one template, so what the template alone decides is looked at on one of them.
const referencePages, oneReferencePage = "turnplate/reference", "turnplate/reference/alignment.html"

// inTurns visits every page, with two browsers at a time: more take longer, because each uses more than one core.
func inTurns(t *testing.T, pages []string, visit func(*testing.T, *browsertest.Browser, string)) {
	free := make(chan *browsertest.Browser, 2)
	for range cap(free) {
		free <- browsertest.Start(t)
	}
	for _, name := range pages {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			browser := <-free
			defer func() { free <- browser }()
			visit(t, browser, name)
		})
	}
}

const phone, desk, paper = 360, 1280, 688 // pixels; paper is A4 less the margins of the style sheet

// visitor looks at the pages of one site.
type visitor struct {
	browser            *browsertest.Browser
	folder, root, host string
	engine             string // finds barriers; empty where none are looked for
}

func (v visitor) open(t *testing.T, name string, view browsertest.View) *browsertest.Tab {
	t.Helper()
	return v.browser.Open(t, filepath.Join(v.folder, filepath.FromSlash(name)), view)
}

// quiet wants a page that has complained of nothing and asked for nothing outside its site.
func (v visitor) quiet(t *testing.T, tab *browsertest.Tab, root string) {
	t.Helper()
	assert.Empty(t, tab.Complaints())
	assert.NotEmpty(t, tab.Requests())
	for _, asked := range tab.Requests() {
		assert.True(t, strings.HasPrefix(asked, root) || strings.HasPrefix(asked, "data:"), asked)
	}
}

// What is done to a page from outside.
const (
	unfold     = `document.querySelectorAll("details").forEach((d) => { d.open = true; })`
	foldAgain  = `document.querySelectorAll("details").forEach((d) => { d.open = false; })`
	showMetric = `document.documentElement.dataset.units = "metric"`
	showUS     = `document.documentElement.dataset.units = "us"`
)

func do(tab *browsertest.Tab, steps ...string) {
	for _, s := range steps {
		browsertest.Eval[browsertest.Nothing](tab, s)
	}
}

// barriers wants the page, as it stands, to hold nothing in a reader's way that an accessibility engine can find.
func (v visitor) barriers(t *testing.T, tab *browsertest.Tab, how string) {
	if v.engine != "" {
		assert.Empty(t, tab.Barriers(v.engine, ""), how)
	}
}

// layout wants a page without faults in every way that it can be looked at.
func (v visitor) layout(t *testing.T, tab *browsertest.Tab, name string) {
	start := browsertest.Eval[string](tab, `document.documentElement.dataset.units`)
	v.barriers(t, tab, "as it opens")
	// A theme moves nothing, so the two are shared out; the accessibility engine looks at what contrast they have.
	for _, view := range []browsertest.View{{Width: desk}, {Width: phone, Dark: true}, {Width: paper, Media: "print"}} {
		tab.Look(view)
		assert.Empty(t, tab.Faults(), "%s", view)
		v.shoot(t, tab, name, view, "")
		do(tab, unfold)
		for _, units := range []string{showUS, showMetric} {
			do(tab, units)
			assert.Empty(t, tab.Faults(), "%s, unfolded, %s", view, units)
			if view.Dark && units == showUS {
				v.barriers(t, tab, "on a dark telephone, unfolded, in US units")
			}
		}
		v.shoot(t, tab, name, view, "unfolded")
		if view.Media == "print" {
			v.printed(t, tab)
		}
		do(tab, foldAgain, `document.documentElement.dataset.units = "`+start+`"`)
	}
	tab.Look(browsertest.View{Width: desk})
}

// printed wants paper to carry what paper is for.
func (v visitor) printed(t *testing.T, tab *browsertest.Tab) {
	t.Helper()
	const sheetOfPaper = 1001 // pixels: A4's height less the margins
	height := func(of string) []float64 {
		return browsertest.Eval[[]float64](tab, `[...document.querySelectorAll("`+of+`")].map((s) => s.getBoundingClientRect().height)`)
	}
	for _, h := range height(".shop:not(.card)") {
		assert.Less(t, h, float64(sheetOfPaper), "the sheet for the shop takes more than a page")
	}
	for _, h := range height(".card") {
		assert.Less(t, h, 2.0*sheetOfPaper, "the card to measure with takes more than two pages")
	}
	assert.Empty(t, browsertest.Eval[[]string](tab, `[...document.querySelectorAll("button, input, nav, .skip")]
		.filter((e) => e.checkVisibility()).map((e) => e.tagName + "." + e.className)`), "nobody can press paper")
	assert.Equal(t, "rgb(252, 252, 250)", browsertest.Eval[string](tab, `(() => { const p = document.createElement("p");
		p.style.color = "var(--paper)"; document.body.append(p); const c = getComputedStyle(p).color; p.remove(); return c; })()`))
}

// shoot keeps a picture of the page, where one is wanted.
func (v visitor) shoot(t *testing.T, tab *browsertest.Tab, name string, view browsertest.View, how string) {
	t.Helper()
	shots := os.Getenv("TURNPLATE_SHOTS")
	if shots == "" {
		return
	}
	shot, err := tab.Screenshot()
	require.NoError(t, err)
	place := filepath.Join(shots, strings.NewReplacer("/", "-", " ", "", ",", "-").Replace(name+"-"+view.String()+how)+".png")
	require.NoError(t, os.WriteFile(place, shot, 0o644))
}

// units wants the switch to change what is shown, to be remembered by the next page, and to change back.
func (v visitor) units(t *testing.T, tab *browsertest.Tab) {
	type state struct{ Units, Button, Other, Drawings string }
	see := func() state {
		return browsertest.Eval[state](tab, `(() => {
			const units = document.documentElement.dataset.units, other = units === "us" ? "metric" : "us";
			return {
				Units: units, Button: document.querySelector("button.units[aria-label]").textContent,
				Other: [...document.querySelectorAll(".in-" + other)].filter((e) => e.checkVisibility() && e.getClientRects().length > 0).map((e) => e.textContent).join(" "),
				Drawings: [...document.querySelectorAll("svg[aria-describedby]")].map((s) => s.getAttribute("aria-describedby"))
					.filter((id) => !document.getElementById(id) || document.getElementById(units === "us" ? id.replace(/-us$/, "") + "-us" : id) !== document.getElementById(id)
						&& document.getElementById(id.replace(/-us$/, "") + "-us")).join(" "),
			};
		})()`)
	}
	before := see()
	require.Contains(t, []string{"metric", "us"}, before.Units)
	press := `document.querySelector("button.units[aria-label]").click()`
	do(tab, press)
	after := see()
	assert.NotEqual(t, before.Units, after.Units)
	assert.NotEqual(t, before.Button, after.Button)
	for _, s := range []state{before, after} {
		assert.Empty(t, s.Other, "shown to readers of %s", s.Units)
		assert.Empty(t, s.Drawings, "described in other units than %s", s.Units)
	}
	tab.Reload()
	assert.Equal(t, after, see(), "not remembered")
	do(tab, press)
	tab.Reload()
	assert.Equal(t, before, see(), "not changed back")
}

// folding wants everything folded to begin with, and to open from the keyboard.
func (v visitor) folding(t *testing.T, tab *browsertest.Tab) {
	assert.Zero(t, browsertest.Eval[int](tab, `document.querySelectorAll("details[open]").length`))
	count := browsertest.Eval[int](tab, `[...document.querySelectorAll("details")].filter((d) => d.checkVisibility()).length`)
	if count == 0 {
		return
	}
	const first = `[...document.querySelectorAll("details")].find((d) => d.checkVisibility())`
	const inside = `[...` + first + `.children].slice(1).some((e) => e.checkVisibility())`
	for _, key := range []string{kb.Enter, " "} {
		do(tab, first+`.querySelector("summary").focus()`)
		tab.Keys(key)
		assert.True(t, browsertest.Eval[bool](tab, inside), "stays folded")
		tab.Keys(key)
		assert.False(t, browsertest.Eval[bool](tab, inside), "stays unfolded")
	}
}

// reading wants every plot to tell its values to the keyboard and the pointer, inside the page.
func (v visitor) reading(t *testing.T, tab *browsertest.Tab) {
	if browsertest.Eval[bool](tab, `document.querySelector(".picture[tabindex]") !== null`) {
		do(tab, `document.querySelector(".picture[tabindex]").focus()`)
		tab.Keys(kb.Home)
		assert.NotEmpty(t, browsertest.Eval[string](tab, `document.querySelector(".readout:not([hidden])")?.textContent || ""`), "by real keys")
		tab.Keys(kb.Escape)
	}
	for _, width := range []int{desk, phone} {
		tab.Look(browsertest.View{Width: width})
		for _, units := range []string{showUS, showMetric} {
			do(tab, units)
			assert.Empty(t, browsertest.Eval[[]string](tab, readOff), "%d px, %s", width, units)
		}
	}
	tab.Look(browsertest.View{Width: desk})
}

// readOff reads values off every plot and gives what is wrong with what comes.
const readOff = `(() => {
  const found = [];
  for (const picture of document.querySelectorAll(".picture")) {
    const figure = picture.closest("figure, .shop"), data = figure.querySelector("script.values");
    if (!data) continue;
    const box = picture.querySelector(".readout");
    const bad = (what) => found.push(figure.id + ": " + what);
    const look = (how) => {
      const text = box.textContent, at = box.getBoundingClientRect();
      if (box.hidden || text.trim() === "") return bad("nothing is read off by " + how);
      if (/NaN|undefined|null|Infinity|\[object/.test(text)) bad(how + " reads " + text);
      if (at.left < 0 || at.right > document.documentElement.clientWidth) bad("the values read off by " + how + " stand outside the page");
      if (picture.querySelectorAll(".hair, .at").length === 0) bad("no mark by " + how);
    };
    for (const key of ["Home", "ArrowRight", "End", "ArrowDown", "PageDown"]) {
      picture.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true }));
      look(key);
    }
    picture.dispatchEvent(new KeyboardEvent("keydown", { key: "Escape", bubbles: true }));
    if (!box.hidden) bad("Escape leaves the values standing");
    const svg = [...picture.querySelectorAll("svg.drawing")].find((s) => s.getClientRects().length > 0);
    const areas = JSON.parse(data.textContent)[svg.classList.contains("narrow") ? "narrow" : "wide"];
    const onScreen = svg.getScreenCTM();
    for (const [left, top, width, height] of areas) for (const share of [0.02, 0.5, 0.98]) {
      const at = new DOMPoint(left + share * width, top + height / 2).matrixTransform(onScreen);
      picture.dispatchEvent(new PointerEvent("pointermove", { clientX: at.x, clientY: at.y }));
      look("the pointer");
    }
    picture.dispatchEvent(new PointerEvent("pointerleave"));
    if (!box.hidden) bad("the values stand when the pointer has left");
  }
  return found;
})()`

// dials wants every dial to move something at its ends and between, without a fault anywhere, to follow the
// keyboard, and to lead back to where it started.
func (v visitor) dials(t *testing.T, tab *browsertest.Tab) {
	type dial struct {
		Label       string
		Start, Last int
	}
	list := browsertest.Eval[[]dial](tab, `JSON.parse(document.getElementById("positions")?.textContent || '{"dials":[]}').dials
		.map((d) => ({ Label: d.label, Start: d.start, Last: d.metric.length - 1 }))`)
	// What a walk shows follows the window, not the dials.
	const content = `[...document.querySelectorAll("main *")].filter((e) => !e.closest(".dial, .readout, .walk figure")).map((e) => [...e.attributes].filter((a) => a.name !== "aria-current").map((a) => a.value) +
		[...e.childNodes].filter((n) => n.nodeType === Node.TEXT_NODE).map((n) => n.data)).join("|")`
	start := browsertest.Eval[string](tab, content)
	for i, d := range list {
		slider := `document.querySelector(".dial[data-dial='` + string(rune('0'+i)) + `'] input")`
		walks := browsertest.Eval[bool](tab, slider+`.closest(".walk") !== null`)
		turn := func(position int) {
			do(tab, `(() => { const s = `+slider+`; s.value = `+number(position)+`; s.dispatchEvent(new Event("input", { bubbles: true })); })()`)
		}
		middle := d.Last / 2
		if middle == d.Start {
			middle++
		}
		for k, position := range []int{0, min(middle, d.Last), d.Last} {
			turn(position)
			tab.Look(browsertest.View{Width: []int{desk, phone}[(i+k)%2]})
			if position != d.Start && !walks { // a walk may come back to where it began
				assert.NotEqual(t, start, browsertest.Eval[string](tab, content), "%s at position %d moves nothing", d.Label, position)
			}
			assert.Empty(t, tab.Faults(), "%s at position %d", d.Label, position)
			assert.Empty(t, browsertest.Eval[[]string](tab, readOff), "%s at position %d", d.Label, position)
			assert.Empty(t, browsertest.Eval[[]string](tab, twice), "%s at position %d", d.Label, position)
		}
		tab.Look(browsertest.View{Width: desk})
		turn(0)
		do(tab, slider+`.focus()`)
		tab.Keys(kb.ArrowRight)
		assert.Equal(t, 1, browsertest.Eval[int](tab, `Number(`+slider+`.value)`))
		assert.Equal(t, browsertest.Eval[string](tab, `JSON.parse(document.getElementById("positions").textContent).dials[`+number(i)+`].metric[1]`),
			browsertest.Eval[string](tab, slider+`.parentElement.querySelector(".in-metric").textContent`))
		turn(d.Start)
		assert.Equal(t, start, browsertest.Eval[string](tab, content), "%s doesn't lead back", d.Label)
	}
}

// twice finds ids that stand twice, and references to none.
const twice = `(() => {
  const seen = new Set(), found = [];
  for (const { id } of document.querySelectorAll("[id]")) { if (seen.has(id)) found.push("id " + id + " twice"); seen.add(id); }
  for (const name of ["aria-labelledby", "aria-describedby", "aria-controls", "for"])
    for (const e of document.querySelectorAll("[" + name + "]"))
      for (const id of e.getAttribute(name).split(" ")) if (!seen.has(id)) found.push(name + " names " + id + ", which isn't there");
  for (const e of document.querySelectorAll("a[href^='#']"))
    if (!seen.has(decodeURIComponent(e.getAttribute("href").slice(1)))) found.push("a link leads to " + e.getAttribute("href"));
  return found;
})()`

// keyboard walks a page with the tabulator: to the text in one step, then to every control in order, each
// shown to have the focus.
func (v visitor) keyboard(t *testing.T, tab *browsertest.Tab) {
	assert.Empty(t, browsertest.Eval[[]string](tab, twice))
	tab.Keys(kb.Tab)
	assert.Equal(t, "#page-text", browsertest.Eval[string](tab, `document.activeElement.getAttribute("href")`), "the first step")
	assert.True(t, browsertest.Eval[bool](tab, `document.activeElement.getBoundingClientRect().top >= 0`), "the way to the text isn't seen")
	do(tab, `window.stops = [...document.querySelectorAll("a[href], button, input, summary, [tabindex='0']")].filter((e) => e.checkVisibility());
		window.missed = []; window.want = 1;
		document.addEventListener("focusin", (e) => {
			if (e.target !== stops[want]) missed.push("step " + want + ": " + e.target.outerHTML.slice(0, 80) + " and not " + stops[want]?.outerHTML.slice(0, 80));
			if (getComputedStyle(e.target).outlineStyle === "none") missed.push("not seen to have the focus: " + e.target.outerHTML.slice(0, 80));
			want++;
		});`)
	count := browsertest.Eval[int](tab, `stops.length`)
	tab.Keys(strings.Repeat(kb.Tab, count-1))
	assert.Empty(t, browsertest.Eval[[]string](tab, `missed.slice(0, 5)`))
	assert.Equal(t, count, browsertest.Eval[int](tab, `want`), "a step was lost")
}

// elsewhere looks at the same page below a host's root, and without script.
func (v visitor) elsewhere(t *testing.T, name string) {
	tab := v.browser.Open(t, v.host+(&url.URL{Path: name}).String(), browsertest.View{Width: phone, Dark: true})
	assert.NotEmpty(t, browsertest.Eval[string](tab, `document.querySelector("button.units[aria-label]").textContent`), "no script")
	assert.NotEqual(t, "0px", browsertest.Eval[string](tab, `getComputedStyle(document.querySelector(".bar"), "::after").height`), "no style")
	v.quiet(t, tab, v.host)
	words := func(tab *browsertest.Tab) string {
		// Buttons do what only a script can.
		return browsertest.Eval[string](tab, `(() => {
			document.querySelectorAll("main button").forEach((b) => b.remove());
			return document.querySelector("main").innerText;
		})()`)
	}
	still := v.open(t, name, browsertest.View{Width: phone, Dark: true, NoScript: true})
	assert.Empty(t, still.Faults(), "without script")
	assert.Equal(t, words(tab), words(still), "what a reader without script is told")
	v.quiet(t, still, v.root)
}

func number(i int) string { return strconv.Itoa(i) }
