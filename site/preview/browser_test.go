package preview

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/page/browsertest"
)

// lesson is a page with everything that a reader can change on it.
const lesson = `# Leaning

First words.

` + "```go params\n" + `length := 300*mm
lean  := dial(4*deg, 0*deg, 8*deg, 5)
reach := span(0*mm, 400*mm, 9)
drop  := reach*tan(lean)
still := 1*kg/mm*reach*tan(6*deg)
` + "```" + `

## Still

Before the figure.

` + "```go params\n" + `Curves{Title: "Standing still", X: reach, Y: still, Caption: "Its own words."}
` + "```" + `

After the figure.

%s

## Turned

` + "```go params\n" + `Curves{Title: "Leaning {lean in deg}", X: reach, Y: drop}
` + "```" + `

It leans {lean in deg}, which is {drop.Max() in mm to 1}; {length in mm} is fixed.

Last words.
`

func lessonText() string {
	return fmt.Sprintf(lesson, strings.Repeat("Words between, enough of them to scroll past, and then some more of the same. ", 60))
}

// reader is a page open in a browser.
type reader struct {
	*browsertest.Tab
	t     *testing.T
	p     *running
	loads int
}

func open(t *testing.T, browser *browsertest.Browser, p *running, page string) *reader {
	t.Helper()
	r := &reader{Tab: browser.Open(t, p.url+page, browsertest.View{Width: 1280}), t: t, p: p}
	r.until("document.readyState === 'complete'")
	r.do(`window.opened = true`)
	return r
}

// until waits in the page until an expression holds; a time limit ends the test.
func (r *reader) until(expression string) {
	r.t.Helper()
	browsertest.Eval[bool](r.Tab, `new Promise((done) => { const look = () => (`+expression+`) ? done(true) : setTimeout(look, 5); look(); })`)
}

func (r *reader) do(statements string) {
	r.t.Helper()
	browsertest.Eval[browsertest.Nothing](r.Tab, `(() => { `+statements+` })()`)
}

func (r *reader) text(selector string) string {
	r.t.Helper()
	return strings.ReplaceAll(browsertest.Eval[string](r.Tab, `[...document.querySelectorAll("`+selector+`")].map((e) => e.innerText).join("|")`), "\u00a0", " ")
}

func (r *reader) holds(expression, why string) {
	r.t.Helper()
	assert.True(r.t, browsertest.Eval[bool](r.Tab, expression), "%s: %s", why, expression)
}

func (r *reader) number(expression string) float64 {
	r.t.Helper()
	return browsertest.Eval[float64](r.Tab, expression)
}

// loadedAgain waits until the page has loaded itself anew and follows the preview again. It asks nothing of
// the page meanwhile: a page that is about to go doesn't answer.
func (r *reader) loadedAgain() {
	r.t.Helper()
	r.loads++
	assert.Eventually(r.t, func() bool {
		follows := 0
		for _, request := range r.Requests() {
			if strings.Contains(request, "/_preview/events") {
				follows++
			}
		}
		return follows > r.loads
	}, soonEnough, 20*time.Millisecond)
}

// quietly checks that the page neither complained nor asked anybody else, and was not loaded anew.
func (r *reader) quietly() {
	r.t.Helper()
	r.holds("window.opened === true", "the page was not loaded again")
	assert.Empty(r.t, r.Complaints())
	for _, request := range r.Requests() {
		assert.True(r.t, strings.HasPrefix(request, r.p.url), request)
	}
}

// save saves the lesson with some of its text replaced, given as old, new, old, new.
func (p *running) save(replacements ...string) {
	p.t.Helper()
	text := strings.NewReplacer(replacements...).Replace(lessonText())
	require.NotEqual(p.t, lessonText(), text)
	replace(p.t, p.folder, "lesson.md", text)
}

const onePixel = 1.01

func TestBrowserFollows(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes its time")
	}
	browser := browsertest.Start(t)

	t.Run("words change in place", func(t *testing.T) {
		p := begin(t, "lesson.md", lessonText(), "other.md", "# Other")
		r := open(t, browser, p, "lesson.html")
		// The reader unfolds a block, scrolls to the words after it, and looks at a number of the figure.
		r.do(`document.querySelectorAll("details.working")[0].open = true;
			document.querySelectorAll("details.numbers")[0].open = true;
			window.kept = [...document.querySelectorAll(".prose > *")];
			window.still = document.querySelector("#figure-1 svg");
			window.after = [...document.querySelectorAll(".prose > p")].find((p) => p.textContent === "After the figure.");
			document.querySelector("#figure-1 .picture").focus();
			window.after.scrollIntoView()`)
		r.Keys(kb.Home)
		r.holds(`document.querySelector("#figure-1 .readout").hidden === false`, "a number is read off")
		top := r.number("after.getBoundingClientRect().top")
		scrolled := r.number("scrollY")
		require.Greater(t, scrolled, 100.0)

		// Above the window: what the reader looks at stays where it is.
		p.save("First words.", "First words.\n\nAnd a second paragraph.\n\n- with a list\n- of two items")
		r.until(`document.querySelector(".prose").innerText.includes("a second paragraph")`)
		assert.InDelta(t, top, r.number("after.getBoundingClientRect().top"), onePixel)
		assert.Greater(t, r.number("scrollY"), scrolled)
		r.holds(`[...document.querySelectorAll("details.working, details.numbers")].filter((d) => d.open).length === 2`, "what is unfolded stays so")
		r.holds(`kept.every((e) => e.isConnected)`, "nothing else moved")
		r.holds(`still === document.querySelector("#figure-1 svg")`, "the figure is the same")
		r.holds(`document.querySelector("#figure-1 .readout").hidden === false`, "the number is still read off")
		assert.Equal(t, "And a second paragraph.|with a list\nof two items", strings.TrimSpace(r.text(".preview-changed")), "what changed is marked, and no more")
		r.until(`document.querySelector(".preview-changed") === null`) // for a moment

		// Below it: nothing moves at all.
		scrolled = r.number("scrollY")
		p.save("First words.", "First words.\n\nAnd a second paragraph.\n\n- with a list\n- of two items", "Last words.", "Last words, changed.")
		r.until(`document.querySelector(".prose").innerText.includes("Last words, changed.")`)
		assert.InDelta(t, scrolled, r.number("scrollY"), onePixel)
		assert.Equal(t, "Last words, changed.", r.text(".preview-changed"))

		// Back to the start, by way of a caption, a heading and the navigation.
		p.save("Its own words.", "Other words.", "## Still", "## Stiller")
		write(t, p.folder, "other.md", "# Another")
		r.until(`document.querySelector("#figure-1 figcaption").textContent.includes("Other words.") && document.querySelector("#stiller") && document.querySelector("nav").textContent.includes("Another")`)
		r.holds(`still === document.querySelector("#figure-1 svg")`, "a caption leaves the drawing alone")
		r.holds(`!document.querySelector(".prose").innerText.includes("a second paragraph")`, "what went is gone")
		r.quietly()
	})

	t.Run("a parameter changes what depends on it", func(t *testing.T) {
		p := begin(t, "lesson.md", lessonText())
		r := open(t, browser, p, "lesson.html")
		r.do(`document.querySelector("#figure-1 details.working").open = true;
			document.querySelector("button.units").click();
			window.turned = document.querySelector("#figure-2"); window.still = document.querySelector("#figure-1 svg");
			window.first = [...document.querySelectorAll(".prose > p")].find((p) => p.textContent === "First words.")`)
		r.until(`document.documentElement.dataset.units === "us"`)
		drawn := `document.querySelector("#figure-1 svg.wide").textContent`
		before := browsertest.Eval[string](r.Tab, drawn)
		p.save("tan(6*deg)", "tan(7*deg)")
		r.until(`document.querySelector("#figure-1 svg") !== still`)
		assert.NotEqual(t, before, browsertest.Eval[string](r.Tab, drawn))
		r.holds(`document.querySelector("#figure-1 details.working").open`, "it stays unfolded")
		r.holds(`first.isConnected && document.querySelector("#figure-2") === turned`, "the rest stays")
		r.holds(`document.documentElement.dataset.units === "us"`, "the reader's units stay")
		r.holds(`document.querySelector("#figure-1 svg").getAttribute("aria-describedby").endsWith("-us")`, "also in the new figure")
		r.holds(`document.querySelector("#figure-1").classList.contains("preview-changed")`, "it is marked")
		r.do(`document.querySelector("#figure-1 .picture").focus()`)
		r.Keys(kb.Home)
		r.holds(`document.querySelector("#figure-1 .readout").hidden === false`, "numbers are read off the new figure")
		p.save("tan(6*deg)", "tan(7*deg)", "300*mm", "305*mm")
		r.until(`[...document.querySelectorAll(".prose .calc")].some((e) => e.textContent.includes("305"))`)
		r.quietly()
	})

	t.Run("dials stay where they are turned to", func(t *testing.T) {
		p := begin(t, "lesson.md", lessonText())
		r := open(t, browser, p, "lesson.html")
		prose := func() string { return r.text(".prose > p:nth-last-of-type(2)") }
		require.Contains(t, prose(), "It leans 4°, which is 28 mm")
		r.do(`document.querySelector(".dial input").focus(); window.slider = document.querySelector(".dial input")`)
		r.Keys(kb.ArrowRight)
		require.Contains(t, prose(), "It leans 6°, which is 42 mm")
		require.Contains(t, r.text("#figure-2-title"), "Leaning 6°")

		p.save("First words.", "Other words.")
		r.until(`document.querySelector(".prose").innerText.includes("Other words.")`)
		assert.Contains(t, prose(), "It leans 6°, which is 42 mm")
		assert.Contains(t, r.text("#figure-2-title"), "Leaning 6°")

		p.save("is fixed", "stays as it is") // in the paragraph that the dial moves
		r.until(`document.querySelector(".prose").innerText.includes("stays as it is")`)
		assert.Contains(t, prose(), "It leans 6°, which is 42 mm; 300 mm stays")

		p.save("400*mm", "800*mm") // everything that it moves
		r.until(`document.querySelector(".prose").innerText.includes("84")`)
		assert.Contains(t, prose(), "It leans 6°, which is 84 mm")
		assert.Contains(t, r.text("#figure-2-title"), "Leaning 6°")
		r.holds(`slider.isConnected && document.activeElement === slider && slider.value === "3"`, "the slider itself stays, with the focus")
		r.Keys(kb.ArrowLeft)
		assert.Contains(t, prose(), "It leans 4°, which is 56 mm")
		assert.Contains(t, r.text("#figure-2-title"), "Leaning 4°")
		r.Keys(kb.ArrowRight)
		p.save("8*deg, 5)", "12*deg, 7)") // the dial itself
		r.until(`document.querySelector(".dial input").max === "6"`)
		assert.Contains(t, prose(), "It leans 6°, which is 42 mm")
		r.quietly()
	})

	t.Run("a figure that a dial has put in another's place is still in its own", func(t *testing.T) {
		const text = "# Gap\n\n```go params\nlean  := dial(4*deg, 0*deg, 8*deg, 5)\ngap   := sqrt(lean/deg - 1)\nreach := span(0*mm, 400*mm, 9)\n" +
			"Curves{Title: \"With a gap\", X: reach, Y: reach*(gap/gap)}\n```\n\nAfter it.\n\nIt leans {lean in deg}.\n"
		p := begin(t, "a.md", text)
		r := open(t, browser, p, "a.html")
		r.do(`document.querySelector(".dial input").focus(); window.figure = document.querySelector("#figure-1")`)
		r.Keys(kb.Home)
		r.holds(`!figure.isConnected`, "there is no value, so no drawing")
		write(t, p.folder, "a.md", strings.Replace(text, "After it.", "Between.\n\nAfter it.", 1))
		r.until(`document.querySelector(".prose").innerText.includes("Between.")`)
		r.holds(`document.querySelector("#figure-1").nextElementSibling.textContent === "Between."`, "what comes after it stands there")
		assert.Contains(t, r.text(".prose"), "It leans 0°")
		write(t, p.folder, "a.md", strings.Replace(text, "With a gap", "With another title", 1))
		r.until(`!document.querySelector(".prose").innerText.includes("Between.")`)
		assert.Contains(t, r.text(".prose"), "It leans 0°")
		r.Keys(kb.ArrowRight)
		assert.Contains(t, r.text("#figure-1-title"), "With another title")
		r.holds(`document.querySelectorAll("figure").length === 1`, "there is one figure")
		r.Keys(kb.Home)
		write(t, p.folder, "a.md", strings.Replace(text, "Curves{Title: \"With a gap\", X: reach, Y: reach*(gap/gap)}\n", "", 1))
		r.until(`!document.querySelector("figure")`)
		r.quietly()
	})

	t.Run("a mistake lies over the last good page until it is mended", func(t *testing.T) {
		p := begin(t, "lesson.md", lessonText())
		r := open(t, browser, p, "lesson.html")
		r.do(`window.kept = [...document.querySelectorAll(".prose > *")]; scrollTo({ top: 300, behavior: "instant" })`)
		p.save("tan(6*deg)", "tan(6*dge)", "First words.", "New words.")
		r.until(`document.querySelector("#preview-notice")`)
		notice := r.text("#preview-notice")
		for _, want := range []string{"This is the page before its last change", "lesson.md:10:30", "dge", "still := 1*kg/mm*reach*tan(6*dge)\n                                 ^^^"} {
			assert.Contains(t, notice, want)
		}
		r.holds(`document.querySelector("#preview-notice").getBoundingClientRect().bottom <= innerHeight && document.querySelector("#preview-notice").getBoundingClientRect().top < innerHeight - 40`, "it is in sight")
		assert.Contains(t, r.text(".prose"), "First words.", "the page below is the last good one")
		p.save("tan(6*deg)", "tan(6*deg)*1.5", "First words.", "New words.")
		r.until(`!document.querySelector("#preview-notice") && document.querySelector(".prose").innerText.includes("New words.")`)
		assert.InDelta(t, 300, r.number("scrollY"), onePixel)
		r.quietly()
		assert.Empty(t, r.Faults())
	})

	t.Run("a page that never was good shows its mistake alone", func(t *testing.T) {
		p := begin(t, "lesson.md", strings.Replace(lessonText(), "6*deg", "6*dge", 1), "b.md", "# B")
		r := open(t, browser, p, "lesson.html")
		r.until(`document.querySelector("#preview-notice")`)
		assert.Contains(t, r.text("body"), "lesson.md:10:30")
		assert.NotContains(t, r.text("body"), "First words.")
		write(t, p.folder, "lesson.md", lessonText())
		r.loadedAgain()
		assert.Contains(t, r.text(".prose"), "First words.")
		assert.Empty(t, r.Complaints())
		r.holds(`document.querySelector("#preview-notice") === null`, "nothing is said any more")
	})

	t.Run("a picture is shown anew", func(t *testing.T) {
		picture := func(width int) string {
			var out bytes.Buffer
			require.NoError(t, png.Encode(&out, image.NewGray(image.Rect(0, 0, width, 20))))
			return out.String()
		}
		p := begin(t, "a.md", "# A\n\nWords. ![grey](grey.png)\n", "grey.png", picture(30))
		r := open(t, browser, p, "a.html")
		r.until(`document.querySelector("img").naturalWidth === 30`)
		replace(t, p.folder, "grey.png", picture(50))
		r.until(`document.querySelector("img").naturalWidth === 50`)
		r.quietly()
	})

	t.Run("a page tells when the preview has stopped, and goes on with the next", func(t *testing.T) {
		p := begin(t, "a.md", "# A\n\nWords.\n")
		r := open(t, browser, p, "a.html")
		r.holds(`document.querySelector("#preview-notice") === null`, "all is well")
		at, err := url.Parse(p.url)
		require.NoError(t, err)
		p.stop()
		r.until(`document.querySelector("#preview-notice") && document.querySelector("#preview-notice").innerText.includes("The preview has stopped")`)
		write(t, p.folder, "a.md", "# A\n\nOther words.\n")
		run(t, Options{Folder: p.folder, Listen: at.Host})
		r.until(`document.querySelector("#preview-notice") === null && document.querySelector(".prose").innerText.includes("Other words.")`)
		r.holds("window.opened === true", "the page was not loaded again")
	})

	t.Run("everything changes at once", func(t *testing.T) {
		p := begin(t, "a.md", "# A\n\nWords.\n")
		r := open(t, browser, p, "a.html")
		fresh := browser.Open(t, p.url+"a.html", browsertest.View{Width: 1280})
		dialled := false
		for i, text := range []string{lessonText(), "# B\n\n| a | b |\n|---|---|\n| 1 | 2 |\n", "1. one\n2. two\n\n> quoted\n", "# A\n\nWords, again and again.\n\nWords, again and again.\n\nThe end.\n", "", lessonText()} {
			marker := fmt.Sprintf("\n\nState %d.\n", i)
			write(t, p.folder, "a.md", text+marker)
			if dials := text == lessonText(); dials != dialled { // dials need a script, so the page is loaded anew
				r.loadedAgain()
				dialled = dials
			}
			r.until(fmt.Sprintf(`document.querySelector(".prose") && document.querySelector(".prose").innerText.includes("State %d.")`, i))
			fresh.Reload()
			const shown = `document.querySelector("body").innerText.replace(/\s+/g, " ")`
			r.until(`document.querySelector(".preview-changed") === null`)
			assert.Equal(t, browsertest.Eval[string](fresh, shown), browsertest.Eval[string](r.Tab, shown))
		}
		assert.Empty(t, r.Complaints())
	})
}
