package equation

import (
	"encoding/xml"
	"html"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/diag"
)

func TestPlain(t *testing.T) {
	for tex, want := range map[string]string{
		`n = r\tan\tau - e`:                 "n = r tan τ − e",
		`k = \frac{1}{3}\sqrt{\frac{W}{p}}`: "k = 1/3 √(W/p)",
		`M = \mu W\sqrt{k^2 + E^2}`:         "M = μW√(k² + E²)",
		`\tau \approx \frac{\gamma_\mathrm{out} - \gamma_\mathrm{in}}{2 \sin \delta}`: "τ ≈ (γ_out − γ_in)/(2 sin δ)",
		`-x_1^{2n} + e^{-\lambda t}`:         "−x₁²ⁿ + e^(−λt)",
		`I = \frac{m g d^2 T^2}{16 \pi^2 L}`: "I = (mgd²T²)/(16π²L)",
		`\sqrt[3]{x}`:                        "³√x",
		`\sum_{i=1}^n x_i`:                   "∑_(i=1)ⁿx_i",
		`f(x, y) \le |z|`:                    "f(x, y) ≤ |z|",
		`\left(a + b\right)^2`:               "(a + b)²",
		`a < b`:                              "a < b",
		`5\,\text{mm wide}`:                  "5 mm wide",
	} {
		set, faults := Set(diag.Snippet{Text: tex}, false)
		require.Empty(t, faults, tex)
		assert.Equal(t, want, Plain(set), tex)
	}
	assert.Empty(t, Plain(""))
}

// Scripts of scripts, as deep as they may stand, are each written once.
func TestPlainIsLinear(t *testing.T) {
	const deep = maxNesting - 1
	set, faults := Set(diag.Snippet{Text: strings.Repeat("a^{", deep) + "b" + strings.Repeat("}", deep)}, false)
	require.Empty(t, faults)
	assert.Equal(t, strings.Repeat("a^(", deep-1)+"a^b"+strings.Repeat(")", deep-1), Plain(set))
}

// Every sign that stands on the line stays there.
func TestPlainLosesNothing(t *testing.T) {
	tags := regexp.MustCompile(`<[^>]*>|\s`)
	bare := func(s string) string { return html.UnescapeString(tags.ReplaceAllString(s, "")) }
	names := slices.Collect(maps.Keys(letters()))
	for typed := range signs() {
		if strings.HasPrefix(typed, `\`) && brackets()[typed].text == "" {
			names = append(names, typed)
		}
	}
	for _, name := range names {
		set, faults := Set(diag.Snippet{Text: `a ` + name + ` b`}, false)
		require.Empty(t, faults, name)
		assert.Equal(t, bare(set), bare(Plain(set)), name)
	}
}

// readXML is an element as encoding/xml reads it.
type readXML struct {
	XMLName  xml.Name
	Attrs    []xml.Attr `xml:",any,attr"`
	Text     string     `xml:",chardata"`
	Children []readXML  `xml:",any"`
}

func (r readXML) element() element {
	e := element{name: r.XMLName.Local, text: r.Text}
	for _, a := range r.Attrs {
		e.attrs += " " + a.Name.Local + `="` + html.EscapeString(a.Value) + `"`
	}
	for _, c := range r.Children {
		e.children = append(e.children, c.element())
	}
	return e
}

// What Set writes is read as a reader of any XML reads it.
func TestElementsAreThoseOfXML(t *testing.T) {
	for _, tex := range []string{
		`x`, `a < b > c`, `a \& b`, `\text{"a" & 'b' <i>}`, `x \,y\quad z`, `\left(\frac{a}{b}\right)^2`, `\sqrt[3]{x}`, `\overbrace{a+b}^n`,
		`\hat x_1^{2n}`, `\begin{cases} 1 & x \ge 0 \\ 0 & x < 0 \end{cases}`, `\sum_{i=1}^n x_i`, `-x = +y`,
	} {
		for _, display := range []bool{false, true} {
			set, faults := Set(diag.Snippet{Text: tex}, display)
			require.Empty(t, faults, tex)
			var want readXML
			require.NoError(t, xml.Unmarshal([]byte(set), &want), set)
			got := elementsOf(set)
			require.Len(t, got.children, 1, set)
			assert.Equal(t, want.element(), got.children[0], set)
		}
	}
	for _, broken := range []string{"<", "</a>", "<a", "<a><b>x", "a>b", "</a></a><b/>", "<a/></a>"} {
		assert.NotPanics(t, func() { Plain(broken) }, broken)
	}
}
