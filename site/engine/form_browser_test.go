package engine

import (
	"context"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"path"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/build"
	"turnplate/site/collection"
	"turnplate/site/page/browsertest"
)

const formVehicle = "---\ntitle: The van\nyours: truck\n---\n\n```go params\n" + `truck := Vehicle{
	Name: "Van", Wheelbase: 2850*mm,
	Mass: 1900*kg, // weighbridge
	Front: Corner{
		UpperFront: at(90, 420, 610)*mm, UpperRear: at(-130, 425, 595)*mm, UpperBall: at(-22, 665, 620)*mm,
		LowerFront: at(180, 340, 265)*mm, LowerRear: at(-200, 345, 262)*mm, LowerBall: at(12, 735, 245)*mm,
		TieInner: at(135, 360, 300)*mm, TieOuter: at(150, 718, 288)*mm, WheelCentre: at(0, 800, 385)*mm,
	},
	Tyre: Tyre{Radius: 402*mm, LoadedRadius: 385*mm, Width: 285*mm},
	Steering: Steering{RackPerTurn: 46*mm, RackLimit: 74*mm},
}
` + "```\n"

const formIndex = "# Notes\n\n```go params\ntruck := use(\"vehicle\").truck\n```\n\nA page for {truck.Name}.\n"

const formStudy = "---\nsummary: \"It weighs {truck.Mass in kg}.\"\n---\n# A study\n\n```go params\n" + `truck := use("vehicle").truck
set := Alignment{Vehicle: truck}
Drawing{Title: "From the side", Vehicle: truck, View: "side"}
` + "```\n\nIt weighs {truck.Mass in kg}, and its caster is {set.Caster in deg to 0.1}.\n"

// nativeEngine stands in for engine.js: the same answers, from the program that runs the test.
const nativeEngine = `"use strict";
async function turnplateEngine({ exchange, page, notebook, name }) {
  async function ask(request) {
    const body = JSON.stringify({ Page: page, Notebook: notebook, Name: name, ...request });
    return (await fetch("ask", { method: "POST", body })).json();
  }
  async function show(request, heard) {
    for (const Hurry of [true, false]) {
      if (!Hurry && window.meanwhile) window.meanwhile();
      const answer = await ask({ Do: "page", ...request, Hurry });
      if (answer.html) exchange(new DOMParser().parseFromString(answer.html, "text/html").body);
      heard(answer);
      if (answer.stops || !answer.later) return;
    }
  }
  return { ask, show, warm() {}, leave() {} };
}
`

// formSite serves a small site whose engine is this program.
func formSite(t *testing.T) string {
	c, err := collection.Open(fstest.MapFS{"index.md": {Data: []byte(formIndex)}, "vehicle.md": {Data: []byte(formVehicle)}, "study.md": {Data: []byte(formStudy)}}, "notes")
	require.NoError(t, err)
	var e Engine
	open := func(bundle []byte) map[string][]byte {
		require.NoError(t, e.Open(bundle))
		return map[string][]byte{"engine.js": []byte(nativeEngine)}
	}
	s, err := build.Evaluate(context.Background(), c, build.Options{Version: "test", Engine: open})
	require.NoError(t, err)
	require.Empty(t, s.Faults)
	var lock sync.Mutex
	files := map[string][]byte{}
	require.NoError(t, s.Render(context.Background(), func(name string, data []byte) error {
		lock.Lock()
		defer lock.Unlock()
		files[name] = data
		return nil
	}))
	types := map[string]string{".html": "text/html", ".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml", ".woff2": "font/woff2"}
	server := httptest.NewServer(http.StripPrefix("/club/", http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		lock.Lock()
		defer lock.Unlock()
		if r.URL.Path == "ask" {
			ask, _ := io.ReadAll(r.Body)
			_ = json.NewEncoder(w).Encode(e.Answer(ask))
			return
		}
		w.Header().Set("Content-Type", types[path.Ext(r.URL.Path)])
		_, _ = w.Write(files[r.URL.Path])
	})))
	t.Cleanup(server.Close)
	return server.URL + "/club/"
}

// Values that can't be stop every page that uses the vehicle, and are told beside their box, which is folded open.
func TestValuesThatCannotBeStopEveryPage(t *testing.T) {
	site := formSite(t)
	for _, page := range []string{`"study.html"`, `"vehicle.html"`, `"study.html","Hurry":true`, `"vehicle.html","Hurry":true,"Seen":[]`} {
		ask := `{"Do":"page","Page":` + page + `,"Notebook":"vehicle","Name":"truck","Changes":"truck.Mass = 2000*kg\ntruck.Front.TieOuter = at(150, -718, 288)*mm\n"}`
		response, err := http.Post(site+"ask", "application/json", strings.NewReader(ask))
		require.NoError(t, err)
		var a struct{ HTML, Stops, Form, Says string }
		require.NoError(t, json.NewDecoder(response.Body).Decode(&a))
		require.NoError(t, response.Body.Close())
		assert.Empty(t, a.HTML, page)
		assert.Contains(t, a.Stops, "the tie rod crosses the truck")
		assert.Contains(t, a.Says, "can’t be worked out with these values: Front.TieOuter")
		assert.Regexp(t, `<details id="yours-group-7" open>`, a.Form)
		assert.Regexp(t, `id="yours-Front-TieOuter-notes">\s*<li>Front.TieOuter has its y`, a.Form)
	}
}

// In a hurry the page comes without the form, unless what the reader did is to be answered there. Doubts are told even so.
func TestHurry(t *testing.T) {
	site := formSite(t)
	ask := func(request string) (a struct {
		HTML, Form, Says, Changes string
		Later                     bool
	}) {
		response, err := http.Post(site+"ask", "application/json", strings.NewReader(`{"Do":"page","Page":"study.html","Notebook":"vehicle","Name":"truck",`+request+`}`))
		require.NoError(t, err)
		require.NoError(t, json.NewDecoder(response.Body).Decode(&a))
		require.NoError(t, response.Body.Close())
		return a
	}
	const set = `"Command":{"Do":"set","Path":"Mass","Text":"990"}`
	a := ask(set + `,"Hurry":true,"Seen":[]`)
	assert.Equal(t, "truck.Mass = 990*kg\n", a.Changes)
	assert.True(t, a.Later)
	assert.Empty(t, a.Form)
	assert.Contains(t, a.Says, "1 value is yours")
	assert.Contains(t, a.HTML, "990\u00a0kg")
	assert.Contains(t, a.HTML, "This is being worked out.")
	whole := ask(set)
	assert.False(t, whole.Later)
	assert.Contains(t, whole.Form, `value="990"`)
	assert.NotContains(t, whole.HTML, "This is being worked out.")
	assert.Equal(t, whole.Says, a.Says)
	refused := ask(`"Command":{"Do":"set","Path":"Mass","Text":"heavy"},"Hurry":true`)
	assert.Contains(t, refused.Form, "heavy")
}

// A reader puts a truck in the place of the page's, from the keyboard: the page says so and follows, mistakes stand beside
// their box, and the values stay in this browser alone until a link takes them along.
func TestForm(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes its time")
	}
	site := formSite(t)
	browser := browsertest.Start(t)
	tab := browser.Open(t, site+"study.html", browsertest.View{Width: 1280})
	read := func(expression string) string {
		t.Helper()
		return strings.ReplaceAll(browsertest.Eval[string](tab, expression), "\u00a0", " ")
	}
	until := func(condition string) {
		t.Helper()
		browsertest.Eval[bool](tab, `new Promise((done) => { const look = () => `+condition+` ? done(true) : setTimeout(look, 20); look(); })`)
	}
	settled := func() { // the whole page and the form follow what is shown first
		t.Helper()
		until(`document.querySelector(".yours-head progress").hidden`)
	}
	prose := func() string { return read(`[...document.querySelectorAll(".prose > p")].pop().innerText`) }
	says := `(document.querySelector(".yours-head [role=status]")?.textContent || "")`
	enter := func(box, text string) {
		t.Helper()
		browsertest.Eval[browsertest.Nothing](tab, `document.getElementById("`+box+`").select(); document.getElementById("`+box+`").focus()`)
		tab.Keys(text + kb.Tab)
	}
	const before = "It weighs 1900 kg, and its caster is 5.2°."

	require.Equal(t, before, prose())
	browsertest.Eval[browsertest.Nothing](tab, `document.querySelector(".units[aria-pressed]").focus()`)
	tab.Keys(kb.Enter)
	until(says + `.includes("Nothing is yours yet")`)
	assert.Equal(t, before, prose(), "nothing is entered yet")
	assert.Equal(t, "none", read(`getComputedStyle(document.querySelector("#figure-1 .figure-title"), "::after").content`))
	assert.Contains(t, read(`document.getElementById("yours-Mass-says").textContent`), "On the Van: 1900 kg (weighbridge)")

	enter("yours-Mass", "4500 lb")
	until(says + `.includes("1 value is yours")`)
	assert.Equal(t, "It weighs 2041 kg, and its caster is 5.2°.", prose())
	until(`document.getElementById("yours-Mass").value === "2041.2"`) // in the unit beside the box
	assert.Equal(t, "yours-FrontShare", read(`document.activeElement.id`), "the form is new, and the focus stays")
	assert.Contains(t, read(`getComputedStyle(document.querySelector("#figure-1 .figure-title"), "::after").content`), "your truck")
	assert.Contains(t, read(`document.title`), "Your truck")

	// What is typed into the same box while the form is on its way stays there.
	browsertest.Eval[browsertest.Nothing](tab, `window.meanwhile = () => { document.getElementById("yours-Mass").value = "4444"; window.meanwhile = null; }`)
	enter("yours-Mass", "4600 lb")
	until(`!window.meanwhile`)
	settled()
	assert.Equal(t, "4444", read(`document.getElementById("yours-Mass").value`))
	assert.Equal(t, "It weighs 2087 kg, and its caster is 5.2°.", prose())
	enter("yours-Mass", "4500 lb")
	until(`document.getElementById("yours-Mass").value === "2041.2"`)

	enter("yours-Mass", "heavy")
	until(`document.getElementById("yours-Mass-notes")`)
	settled()
	assert.Contains(t, read(`document.getElementById("yours-Mass-notes").textContent`), "heavy isn't a unit")
	assert.Equal(t, "heavy true", read(`document.getElementById("yours-Mass").value + " " + document.getElementById("yours-Mass").ariaInvalid`))
	assert.Contains(t, prose(), "2041 kg", "what was right stays")
	browsertest.Eval[browsertest.Nothing](tab, `document.querySelectorAll(".yours-form details").forEach((d) => { d.open = true; })`)
	tab.Look(browsertest.View{Width: 360})
	browsertest.Eval[browsertest.Nothing](tab, `(() => {
		const box = document.getElementById("yours-Wheelbase"), next = document.querySelector("#yours-group-6 > summary");
		box.value = "5000";
		box.dispatchEvent(new Event("change", { bubbles: true }));
		next.focus();
		window.was = next.getBoundingClientRect().top;
	})()`)
	until(says + `.includes("doubted")`)
	settled()
	assert.Equal(t, "yours-group-6", read(`document.activeElement.parentElement.id`))
	assert.InDelta(t, 0, browsertest.Eval[float64](tab, `document.activeElement.getBoundingClientRect().top - window.was`), 2, "what the reader is at stays where it is on the screen")
	tab.Look(browsertest.View{Width: 1280})
	assert.Contains(t, read(`document.getElementById("yours-Wheelbase-notes").textContent`), "Doubt.")
	browsertest.Eval[browsertest.Nothing](tab, `(() => { const box = document.querySelector('[data-printout="Caster.Left"]'); box.value = "4"; document.querySelector('[data-do="printout"]').click(); })()`)
	until(says + `.includes("have moved")`)
	settled()
	assert.Contains(t, prose(), "its caster is 4.0°")

	browsertest.Eval[browsertest.Nothing](tab, `document.querySelectorAll(".yours-form details").forEach((d) => { d.open = true; })`)
	assert.Empty(t, tab.Faults())
	tab.Look(browsertest.View{Width: 360, Dark: true})
	assert.Empty(t, tab.Faults())

	// A file that can't be read changes nothing, and whoever chose it from the keyboard is where they were.
	browsertest.Eval[browsertest.Nothing](tab, `(() => {
		const box = document.querySelector(".yours-tools [type=file]"), chosen = new DataTransfer();
		chosen.items.add(new File(["Kind,From,To,Reading (mm)\nheight,WheelCentre,,12x\n"], "tape.csv"));
		box.focus();
		box.files = chosen.files;
		box.dispatchEvent(new Event("change", { bubbles: true }));
	})()`)
	until(`document.querySelector(".yours-tools ~ .yours-notes")`)
	assert.Contains(t, read(`document.querySelector(".yours-tools ~ .yours-notes").textContent`), `tape.csv:2:21: "12x" isn't a number`)
	assert.Equal(t, "file", read(`document.activeElement.type`))
	assert.Contains(t, prose(), "2041 kg")

	// It is there again when the reader comes back, and gone with the switch.
	kept := read(`JSON.stringify(Object.entries(localStorage))`)
	assert.Contains(t, kept, "truck.Mass = 4500*lb")
	tab.Reload()
	until(says + `.includes("yours")`)
	assert.Contains(t, prose(), "2041 kg")

	// What a list says of other pages isn't worked out, and says so.
	listing := browser.Open(t, site+"index.html", browsertest.View{Width: 360})
	study := tab
	tab = listing
	until(`document.documentElement.hasAttribute("data-yours")`)
	assert.Equal(t, "It weighs 1900 kg. (as published)", read(`(() => { const e = document.querySelector(".list p"); return e.textContent + JSON.parse(getComputedStyle(e, "::after").content); })()`))
	assert.Empty(t, tab.Complaints())
	tab = study
	browsertest.Eval[browsertest.Nothing](tab, `document.querySelector(".units[aria-pressed]").click()`)
	until(`!document.documentElement.hasAttribute("data-yours")`)
	assert.Equal(t, before, prose())
	browsertest.Eval[browsertest.Nothing](tab, `document.querySelector(".units[aria-pressed]").click()`)
	until(`document.documentElement.hasAttribute("data-yours")`)
	settled()

	assert.Contains(t, read(`new Promise((done) => {
		HTMLAnchorElement.prototype.click = () => {}; // nothing is to be downloaded
		URL.createObjectURL = (file) => { file.text().then(done); return "blob:"; };
		document.querySelector('[data-do="save"]').click();
	})`), "truck.Mass = 4500*lb", "the file that is saved")

	// A link takes them along; its visitor's own browser keeps nothing of it.
	browsertest.Eval[browsertest.Nothing](tab, `document.querySelector(".yours-form .view").click()`)
	until(`location.hash.includes("yours=")`)
	link := read(`location.href`)
	browsertest.Eval[browsertest.Nothing](tab, `localStorage.clear()`)
	visitor := browser.Open(t, link, browsertest.View{Width: 360})
	tab, seen := visitor, tab
	until(says + `.includes("came with a link")`)
	assert.Contains(t, prose(), "2041 kg")
	assert.Contains(t, prose(), "4.0°")
	assert.Equal(t, "0", read(`String(localStorage.length)`))
	browsertest.Eval[browsertest.Nothing](tab, `location.hash = "#view&yours=aBROKEN"`)
	until(`document.querySelector(".yours-form .yours-notes")?.textContent.includes("can't be read")`)
	for _, one := range []*browsertest.Tab{tab, seen} {
		assert.Empty(t, one.Complaints())
		for _, asked := range one.Requests() {
			assert.True(t, strings.HasPrefix(asked, site), asked)
		}
	}
}

// The form has nothing in it that keeps a reader out.
func TestFormIsAccessible(t *testing.T) {
	browsertest.OnlySweeping(t)
	axe := browsertest.Engine(t)
	tab := browsertest.Start(t).Open(t, formSite(t)+"study.html", browsertest.View{Width: 1280})
	browsertest.Eval[bool](tab, `new Promise((done) => {
		document.querySelector(".units[aria-pressed]").click();
		const look = () => document.querySelector(".yours-form") ? done(true) : setTimeout(look, 20);
		look();
	})`)
	browsertest.Eval[browsertest.Nothing](tab, `document.querySelectorAll(".yours-form details").forEach((d) => { d.open = true; })`)
	assert.Empty(t, tab.Barriers(axe, ""))
	tab.Look(browsertest.View{Width: 360, Dark: true})
	assert.Empty(t, tab.Barriers(axe, ""))
}
