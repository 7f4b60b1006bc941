package page

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestPatchFindsWhatDiffers(t *testing.T) {
	start := `<figure id="f"><p>At <b>4°</b> more</p><svg viewBox="0 0 1 1"><path d="M0 0"/><text x="1">a &amp; b</text></svg><img src="x" alt=""><script type="application/json">{"a":[1]}</script></figure>`
	one := `<figure id="f"><p>At <b>5°</b> more</p><svg viewBox="0 0 1 1"><path d="M1 1"/><text x="1">a &lt; b</text></svg><img src="x" alt=""><script type="application/json">{"a":[2]}</script></figure>`
	other := `<figure id="f"><p>At <b>5°</b> more</p></figure>`
	var m moving
	m.add("f", []int{0}, start, []string{start, one, other})
	assert.Equal(t, []part{{
		ID: "f", Dials: []int{0}, Slots: []string{"2 0", "4 d", "5 0", "7 0"},
		Values: [][]int{{0, 1, 2, 3}, {4, 5, 6, 7}, nil}, Whole: []string{"", "", other}, Start: start,
	}}, m.parts)
	assert.Equal(t, []string{"4°", "M0 0", "a & b", `{"a":[1]}`, "5°", "M1 1", "a < b", `{"a":[2]}`}, m.words.list)
}

func TestPatchCountsChildNodes(t *testing.T) {
	var m moving
	m.add("p", []int{0}, "<p>a<b>x</b>b<br>c</p>", []string{"<p>a<b>x</b>b<br>d</p>"})
	assert.Equal(t, []string{"0 4"}, m.parts[0].Slots)
}
