package page

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"turnplate/site/eval"
	"turnplate/site/figure"
	"turnplate/site/page/browsertest"
)

// On a wide screen what proves or explains a sentence stands beside it, each note by itself; elsewhere in the text.
func TestMargins(t *testing.T) {
	file, _ := pageOfText(t, "# Margins\n\nFirst.[^a] Second.[^b]\n\n**In the workshop:** look.\n\n```go params\nClaim{\"One is less than two\", 1 < 2}\n```\n\n"+
		strings.Repeat("And so on.\n\n", 9)+"[^a]: A note.\n\n[^b]: Another note.\n")
	browser := browsertest.Start(t)
	notes := `[...document.querySelectorAll(".tip, .claim.holds, .sidenote")].filter((e) => e.getClientRects().length).map((e) => e.getBoundingClientRect())`
	for width, beside := range map[int]int{1920: 4, 1280: 0, 360: 0} {
		tab := browser.Open(t, file, browsertest.View{Width: width})
		assert.Equal(t, beside, browsertest.Eval[int](tab, notes+`.filter((r) => r.left > document.querySelector(".prose").getBoundingClientRect().right).length`), "%d wide", width)
		assert.Equal(t, 0, browsertest.Eval[int](tab, notes+`.filter((r, i, all) => all.some((o) => o !== r && o.left < r.right && r.left < o.right && o.top < r.bottom && r.top < o.bottom)).length`), "none over another")
		assert.Empty(t, tab.Faults())
		assert.Empty(t, tab.Complaints())
	}
}

// Of three pictures in a row the first is large, and the others support it.
func TestMultiples(t *testing.T) {
	curves := &figure.Curves{}
	block := func(figures ...figure.Figure) eval.Block { return eval.Block{Figures: figures} }
	for _, c := range []struct {
		block       eval.Block
		first, last int
	}{
		{block(curves, curves, curves, &figure.Claim{}), 1, 2},
		{block(curves, curves), -1, -1},
		{block(curves, &figure.Claim{}, curves, curves), -1, -1},
		{eval.Block{Figures: []figure.Figure{curves, curves, curves}, States: []*eval.States{nil, {}}}, -1, -1},
	} {
		first, last := supporting(c.block)
		assert.Equal(t, []int{c.first, c.last}, []int{first, last})
	}
}
