package page

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"turnplate/site/page/browsertest"
)

var walked = "# Walks\n\n```go params walk\n" + strings.SplitAfter(strings.SplitAfter(posed, "lead\n")[1], "\n}\n")[0] + `
high := car
high.Both.Lift = 50*mm
stage := Choices{"As it was": car, "Lifted": high, "And back": car, "And away": car}
now := Alignment{Vehicle: stage}
Drawing{Title: "The corner", Vehicle: stage, View: "side", Pose: stage}
Gauges{Rows: []Gauge{{Head: "Caster", Value: now.Caster, In: deg, To: 0.1, From: 0*deg, Until: 8*deg}}}
` + "```\n\n1. As it was.\n2. Lifted.\n3. And back.\n4. And away.\n\n" + strings.Repeat("And so on.\n\n", 60)

// A walk's figure stays on the screen while its steps pass, and shows the one that the reader has reached.
func TestWalk(t *testing.T) {
	file, _ := pageOfText(t, walked)
	browser := browsertest.Start(t)
	for _, width := range []int{360, 1280} {
		tab := browser.Open(t, file, browsertest.View{Width: width})
		shown := func() string {
			return browsertest.Eval[string](tab, `document.querySelector(".stays output .in-metric").innerText + ", " + document.querySelector(".walk li[aria-current]").innerText`)
		}
		assert.Equal(t, 1, browsertest.Eval[int](tab, `document.querySelectorAll(".walk .dial").length`), "one control for drawing and gauges")
		assert.Equal(t, "As it was, As it was.", shown())
		before := browsertest.Eval[string](tab, `document.querySelector(".stays .gauge-value").innerText`)
		browsertest.Eval[browsertest.Nothing](tab, `new Promise((done) => {
			addEventListener("scroll", () => setTimeout(done, 50), { once: true });
			const under = innerWidth < 500 ? 0.6 : 0.35; // of the window's height: there the figure stands above the steps
			scrollBy(0, document.querySelectorAll(".walk > ol > li")[1].getBoundingClientRect().top - under * innerHeight);
		})`)
		assert.Equal(t, "Lifted, Lifted.", shown(), "%d wide", width)
		assert.NotEqual(t, before, browsertest.Eval[string](tab, `document.querySelector(".stays .gauge-value").innerText`))
		assert.Less(t, browsertest.Eval[float64](tab, `Math.abs(document.querySelector(".stays .picture").getBoundingClientRect().top)`), 200.0, "it stays")
		browsertest.Eval[browsertest.Nothing](tab, `(() => { const s = document.querySelector(".stays input"); s.value = 0; s.dispatchEvent(new Event("input", { bubbles: true })); })()`)
		assert.Equal(t, "As it was, As it was.", shown(), "the slider moves it too")
		assert.Empty(t, tab.Faults())
		assert.Empty(t, tab.Complaints())
	}
	still := browser.Open(t, file, browsertest.View{Width: 360, NoScript: true})
	assert.Contains(t, browsertest.Eval[string](still, `document.querySelector(".walk").innerText`), "Lifted.")
	assert.Empty(t, still.Faults())
}
