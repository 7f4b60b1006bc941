package page

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestPatchFindsWhatDiffers(t *testing.T) {
	start := `<figure id="f"><p>At <b>4°</b> more</p><svg viewBox="0 0 1 1"><path d="M0 0"/><text x="1">a &amp; b</text></svg><img src="x" alt=""><script type="application/json">{"a":[1]}</script></figure>`
	one := `<figure id="f"><p>At <b>5°</b> more</p><svg viewBox="0 0 1 1"><path d="M1 1"/><text x="1">a &lt; b</text></svg><img src="x" alt=""><script type="application/json">{"a":[2]}</script></figure>`
	other := `<figure id="f"><p>At <b>5°</b> more</p></figure>`
	p := patch(start, []string{start, one, other})
	var found []string
	for _, s := range p.Slots {
		found = append(found, s.address())
	}
	assert.Equal(t, []string{"2 0", "4 d", "5 0", "7 0"}, found)
	assert.Equal(t, []string{"4°", "M0 0", "a & b", `{"a":[1]}`}, p.Values[0])
	assert.Equal(t, []string{"5°", "M1 1", "a < b", `{"a":[2]}`}, p.Values[1])
	assert.Nil(t, p.Values[2])
	assert.Equal(t, []string{"", "", other}, p.Whole)
}

func TestPatchCountsChildNodes(t *testing.T) {
	p := patch("<p>a<b>x</b>b<br>c</p>", []string{"<p>a<b>x</b>b<br>d</p>"})
	assert.Equal(t, []slot{{Element: 0, Child: 4}}, p.Slots)
}
