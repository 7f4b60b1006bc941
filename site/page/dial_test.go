package page

import (
	"context"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/eval"
	"turnplate/site/figure"
	"turnplate/site/notebook"
	"turnplate/site/page/browsertest"
)

type oneNotebook string

func (n oneNotebook) Notebook(path string) (*notebook.Notebook, error) {
	return notebook.Read(path, []byte(n)), nil
}
func (oneNotebook) Paths() []string             { return []string{"a"} }
func (oneNotebook) File(string) ([]byte, error) { return nil, fs.ErrNotExist }

const dialled = "# Dials\n\n```go params\n" + `
lean  := dial(4*deg, 0*deg, 8*deg, 5)
arm   := dial(2, 1, 3, 3)
reach := span(0*mm, 400*mm, 9)
drop  := reach*tan(lean)
Curves{Title: "Leaning {lean in deg}", X: reach, Y: drop}
Table{Title: "Twice", Columns: []Column{{"Angle", lean*arm, deg}, {"Far", drop.Max(), mm}}}
gap := sqrt(lean/deg - 1)
Curves{Title: "With a gap", X: reach, Y: reach*(gap/gap)*arm}
` + "```\n\nIt leans {lean in deg} and reaches {drop.Max() in mm to 1}.\n"

const posed = "# Poses\n\n```go params lead\n" + `
car := Vehicle{
	Wheelbase: 2850*mm,
	Front: Corner{
		UpperFront: at(90, 420, 610)*mm, UpperRear: at(-130, 425, 595)*mm, UpperBall: at(-22, 665, 620)*mm,
		LowerFront: at(180, 340, 265)*mm, LowerRear: at(-200, 345, 262)*mm, LowerBall: at(12, 735, 245)*mm,
		TieInner: at(135, 360, 300)*mm, TieOuter: at(150, 718, 288)*mm, WheelCentre: at(0, 800, 385)*mm,
	},
	Tyre: Tyre{Radius: 402*mm, LoadedRadius: 385*mm, Width: 285*mm},
}
bump := span(-40*mm, 60*mm, 11)
up := Travel{Vehicle: car, Bump: bump}
Drawing{Vehicle: car, View: "front", Bump: bump, Pose: bump}
Gauges{Rows: []Gauge{{Head: "Camber", Value: up.Camber, In: deg, To: 0.01, From: -3*deg, Until: 3*deg}}}
` + "```\n\nAt {bump in mm}.\n\n```go params\n" + `
Curves{Title: "Camber", X: bump, Y: up.Camber, XIn: mm}
Curves{Title: "Toe", X: bump, Y: up.Toe, XIn: mm}
` + "```\n"

func dialledPage(t *testing.T) (string, *eval.Page) { return pageOfText(t, dialled) }

func pageOfText(t *testing.T, text string) (string, *eval.Page) {
	t.Helper()
	nb, _ := oneNotebook(text).Notebook("a")
	e := eval.New(oneNotebook(text), eval.Options{}).Page(context.Background(), "a")
	require.Empty(t, e.Faults, "%v", e.Faults)
	folder := t.TempDir()
	out, err := Render(Page{Site: Site{Title: "Test"}, Path: "a.html", Notebook: nb, Eval: e, Resolve: func(string) (string, bool) { return "", false }})
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "a.html"), out.HTML, 0o644))
	require.NoError(t, os.CopyFS(filepath.Join(folder, AssetFolder), Assets()))
	return filepath.Join(folder, "a.html"), e
}

// TestDials turns every dial to every position in a browser and compares what stands there with the page
// made with the dial there from the start.
func TestDials(t *testing.T) {
	file, e := dialledPage(t)
	require.Len(t, e.Dials, 2)
	browser := browsertest.Start(t)
	tab := browser.Open(t, file, browsertest.View{Width: 1280})
	read := func(expression string) string {
		return strings.ReplaceAll(browsertest.Eval[string](tab, expression), "\u00a0", " ")
	}
	turn := func(dial, position int) {
		browsertest.Eval[browsertest.Nothing](tab, `(() => { const s = document.querySelector('.dial[data-dial="`+strconv.Itoa(dial)+`"] input');
			s.value = `+strconv.Itoa(position)+`; s.dispatchEvent(new Event("input", { bubbles: true })); })()`)
	}
	title := func() string { return read(`document.querySelector("#figure-1-title").textContent`) }
	prose := func() string { return read(`[...document.querySelectorAll(".prose > p")].pop().innerText`) }
	cell := func(i int) string {
		return read(`document.querySelectorAll("#figure-2 tbody :is(th, td)")[` + strconv.Itoa(i) + `].textContent`)
	}
	axis := func() string {
		return read(`[...document.querySelectorAll("#figure-1 svg.wide text")].map((t) => t.textContent).join(" ")`)
	}
	line := func() string {
		return read(`document.querySelector("#figure-1 svg.wide path.s1, #figure-1 svg.wide .s1").outerHTML`)
	}

	assert.Contains(t, title(), "Leaning 4°")
	assert.Contains(t, prose(), "It leans 4° and reaches 28 mm.")
	startAxis, startLine := axis(), line()
	turn(0, 4)
	assert.Contains(t, title(), "Leaning 8°")
	assert.Contains(t, prose(), "It leans 8° and reaches 56 mm.")
	assert.Equal(t, startAxis, axis(), "the axes stand still")
	assert.NotEqual(t, startLine, line(), "the curve moves")
	assert.Contains(t, cell(0), "16")
	turn(1, 2)
	assert.Contains(t, cell(0), "24")
	turn(0, 0) // here the root has no value: the third figure is empty, and comes back
	assert.Contains(t, cell(0), "0")
	turn(0, 2)
	turn(1, 1)
	assert.Contains(t, title(), "Leaning 4°")
	assert.Equal(t, startLine, line(), "and everything is as it was")
	assert.Contains(t, cell(0), "8")

	// From the keyboard, with the position told to those who can't see it.
	browsertest.Eval[browsertest.Nothing](tab, `document.querySelector('.dial[data-dial="0"] input').focus()`)
	tab.Keys(kb.ArrowRight)
	assert.Contains(t, title(), "Leaning 6°")
	assert.Equal(t, "6°", read(`document.querySelector('.dial[data-dial="0"] input').getAttribute("aria-valuetext")`))
	// The read-out reads the curve that is on show: 400 mm at 6°.
	browsertest.Eval[browsertest.Nothing](tab, `document.querySelector("#figure-1 .picture").focus()`)
	tab.Keys(kb.End)
	assert.Contains(t, read(`document.querySelector("#figure-1 .readout").textContent`), "42.0")

	// What is on show goes into a link and comes back out of it. What no dial knows moves nothing.
	browsertest.Eval[browsertest.Nothing](tab, `document.querySelector(".dial .view").click()`)
	assert.Equal(t, "#view&Lean=6%C2%B0", read(`location.hash`))
	follow := func(fragment string) {
		browsertest.Eval[browsertest.Nothing](tab, `new Promise((done) => { addEventListener("hashchange", () => done(), { once: true }); location.hash = "`+fragment+`"; })`)
	}
	follow("#view&Lean=8%C2%B0&Arm=3")
	assert.Contains(t, title(), "Leaning 8°")
	assert.Contains(t, cell(0), "24")
	follow("#dials")
	assert.Contains(t, title(), "Leaning 8°", "a heading's link moves no dial")
	follow("#view&Lean=7%C2%B0&__proto__=1&Arm=<img+src=x>&=&%")
	assert.Contains(t, title(), "Leaning 4°")
	assert.Contains(t, cell(0), "8")
	follow("#view&Arm=1")
	tab.Reload()
	assert.Contains(t, cell(0), "4", "a page opened by the link")
	assert.Equal(t, 1, browsertest.Eval[int](tab, `document.querySelectorAll(".view").length`))
	assert.Empty(t, tab.Faults())
	assert.Empty(t, tab.Complaints())

	still := browser.Open(t, file, browsertest.View{Width: 360, NoScript: true})
	assert.Contains(t, browsertest.Eval[string](still, `document.querySelector(".dial output").innerText`), "4°", "without script it says where it stands")
	assert.Empty(t, still.Faults())
}

// A pose moves the drawing, its gauges, the numbers in prose and a mark on the curves over its axis; the cursor of such
// a curve moves all of them too.
func TestPoses(t *testing.T) {
	file, _ := pageOfText(t, posed)
	browser := browsertest.Start(t)
	tab := browser.Open(t, file, browsertest.View{Width: 1280})
	read := func(expression string) string {
		return strings.ReplaceAll(browsertest.Eval[string](tab, expression), "\u00a0", " ")
	}
	prose := func() string { return read(`[...document.querySelectorAll(".prose > p")].pop().innerText`) }
	wheel := func() string {
		return read(`document.querySelector("#figure-1 svg.wide .wash.solid").getAttribute("d")`)
	}
	gauge := func() string { return read(`document.querySelector(".gauge-value .calc").innerText`) }
	hairs := func() int { return browsertest.Eval[int](tab, `document.querySelectorAll(".hair").length`) }

	assert.Equal(t, "At 0 mm.", prose())
	start, before := wheel(), gauge()
	assert.Equal(t, 1, browsertest.Eval[int](tab, `document.querySelectorAll(".lead .dial input").length`), "one control for all of the lead")
	browsertest.Eval[browsertest.Nothing](tab, `(() => { const s = document.querySelector(".dial input");
		s.value = 10; s.dispatchEvent(new Event("input", { bubbles: true })); })()`)
	assert.Equal(t, "At 60 mm.", prose())
	assert.NotEqual(t, start, wheel())
	assert.NotEqual(t, before, gauge())
	assert.Equal(t, 2, hairs(), "both curves are marked there")

	browsertest.Eval[browsertest.Nothing](tab, `document.querySelector("#figure-3 .picture").focus()`)
	tab.Keys(kb.Home)
	assert.Equal(t, "At −40 mm.", prose())
	assert.Contains(t, read(`document.querySelector("#figure-3 .readout").textContent`), "−40")
	assert.Equal(t, 2, hairs(), "the other curve is marked too")
	assert.Empty(t, tab.Faults())
	assert.Empty(t, tab.Complaints())
}

func TestTooManyPositionsAreRefused(t *testing.T) {
	m := moving{dials: []eval.Dial{{Label: "a", Positions: []figure.Words{{Metric: "1"}, {Metric: "2"}}}}}
	m.add("x", []int{0}, "<p>a</p>", []string{"<p>a</p>", "<p>" + strings.Repeat("b", MaxPositions) + "</p>"})
	_, err := m.script()
	assert.ErrorContains(t, err, "use fewer positions")
}
