package equation

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/diag"
)

// snippet is a formula that starts at line 3, column 5 of a file; its other lines start at column 1.
func snippet(tex string) diag.Snippet {
	s := diag.Snippet{File: "note.md", Source: []byte("\n\n    " + tex), Text: tex, Starts: []diag.Pos{{Line: 3, Col: 5}}}
	for i := range strings.Count(tex, "\n") {
		s.Starts = append(s.Starts, diag.Pos{Line: 4 + i, Col: 1})
	}
	return s
}

// inside is the MathML of a formula without the <math> around it.
func inside(t *testing.T, tex string, display bool) string {
	t.Helper()
	out, faults := Set(snippet(tex), display)
	require.Empty(t, faults, tex)
	wellFormed(t, out)
	_, out, ok := strings.Cut(out, ">")
	require.True(t, ok)
	return strings.TrimSuffix(out, "</math>")
}

// children is how many children the elements of MathML that count theirs must have (W3C, MathML Core,
// sections 3.3 and 3.4); the content of every other one is a row.
var children = map[string]int{"mfrac": 2, "mroot": 2, "msub": 2, "msup": 2, "msubsup": 3, "munder": 2, "mover": 2, "munderover": 3}

// parents is where an element of a table may stand.
var parents = map[string]string{"mtr": "mtable", "mtd": "mtr"}

var leaves = map[string]bool{"mi": true, "mn": true, "mo": true, "mtext": true, "mspace": true}

var rows = map[string]bool{"math": true, "mrow": true, "msqrt": true, "mstyle": true, "mtable": true, "mtr": true, "mtd": true}

// wellFormed reads MathML as strict XML and checks what its elements may hold.
func wellFormed(t require.TestingT, out string) {
	type open struct {
		name  string
		holds int
	}
	var stack []open
	d := xml.NewDecoder(strings.NewReader(out))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err, out)
		switch token := token.(type) {
		case xml.StartElement:
			name := token.Name.Local
			_, counted := children[name]
			require.True(t, leaves[name] || rows[name] || counted, "<%s> in %s", name, out)
			if len(stack) == 0 {
				require.Equal(t, "math", name)
			} else {
				top := &stack[len(stack)-1]
				top.holds++
				require.False(t, leaves[top.name], "<%s> holds <%s> in %s", top.name, name, out)
				if want, ok := parents[name]; ok {
					require.Equal(t, want, top.name, out)
				}
			}
			stack = append(stack, open{name: name})
		case xml.EndElement:
			top := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			if want, ok := children[top.name]; ok {
				require.Equal(t, want, top.holds, "<%s> in %s", top.name, out)
			}
		case xml.CharData:
			require.True(t, len(stack) > 0 && leaves[stack[len(stack)-1].name], "text %q in %s", token, out)
		}
	}
	require.Empty(t, stack)
}

// The forms are those of MathML Core and of the examples in its text; the spaces are TeX's.
func TestForms(t *testing.T) {
	const thin = `<mspace width="0.1667em"/>`
	for _, c := range []struct{ tex, want string }{
		{`x`, `<mi>x</mi>`},
		{`\mu W`, `<mi>μ</mi><mi>W</mi>`},
		{`3.14`, `<mn>3.14</mn>`},
		{`3{,}5`, `<mn>3</mn><mo lspace="0" rspace="0">,</mo><mn>5</mn>`},
		{`\frac{1}{3}`, `<mfrac><mn>1</mn><mn>3</mn></mfrac>`},
		{`\frac12`, `<mfrac><mn>1</mn><mn>2</mn></mfrac>`}, // one digit each
		{`x^23`, `<msup><mi>x</mi><mn>2</mn></msup><mn>3</mn>`},
		{`x^2`, `<msup><mi>x</mi><mn>2</mn></msup>`},
		{`x_i^{2}`, `<msubsup><mi>x</mi><mi>i</mi><mn>2</mn></msubsup>`},
		{`x^{2}_i`, `<msubsup><mi>x</mi><mi>i</mi><mn>2</mn></msubsup>`},
		{`{}_2`, `<msub><mrow></mrow><mn>2</mn></msub>`},
		{`\sqrt{x}`, `<msqrt><mi>x</mi></msqrt>`},
		{`\sqrt[3]{x}`, `<mroot><mi>x</mi><mn>3</mn></mroot>`},
		{`r \tan \tau`, `<mi>r</mi>` + thin + `<mi>tan</mi>` + thin + `<mi>τ</mi>`},
		{`\tan(x)`, `<mi>tan</mi><mo stretchy="false">(</mo><mi>x</mi><mo stretchy="false">)</mo>`},
		{`W \frac{1}{2} \frac ab (c)`, `<mi>W</mi>` + thin + `<mfrac><mn>1</mn><mn>2</mn></mfrac>` + thin + `<mfrac><mi>a</mi><mi>b</mi></mfrac>` + thin +
			`<mo stretchy="false">(</mo><mi>c</mi><mo stretchy="false">)</mo>`},
		{`x^{a \frac bc}`, `<msup><mi>x</mi><mrow><mi>a</mi><mfrac><mi>b</mi><mi>c</mi></mfrac></mrow></msup>`},
		{`\sin^2 x`, `<msup><mi>sin</mi><mn>2</mn></msup>` + thin + `<mi>x</mi>`},
		{`x = -1`, `<mi>x</mi><mo>=</mo><mo form="prefix">−</mo><mn>1</mn>`},
		{`a - b`, `<mi>a</mi><mo>−</mo><mi>b</mi>`},
		{`x_{i=1}`, `<msub><mi>x</mi><mrow><mi>i</mi><mo lspace="0" rspace="0">=</mo><mn>1</mn></mrow></msub>`},
		{`a < b`, `<mi>a</mi><mo>&lt;</mo><mi>b</mi>`},
		{`\not= `, `<mo>=` + "\u0338" + `</mo>`},
		{`\Delta`, `<mi mathvariant="normal">Δ</mi>`},
		{`20^\circ`, `<msup><mn>20</mn><mi mathvariant="normal">∘</mi></msup>`},
		{`5\,\mathrm{kN}`, `<mn>5</mn>` + thin + `<mi>kN</mi>`},
		{`\mathrm{d}x`, `<mi mathvariant="normal">d</mi><mi>x</mi>`},
		{`\mathbf{F}`, `<mi>𝐅</mi>`},
		{`\boldsymbol{\omega}`, `<mi>𝝎</mi>`},
		{`\mathbf 2`, `<mn>𝟐</mn>`},
		{`\text{  }`, "<mtext>\u00a0</mtext>"},
		{`\text{ if \{x\} }`, "<mtext>\u00a0if {x}\u00a0</mtext>"},
		{`\operatorname{sgn} x`, `<mi mathvariant="normal">sgn</mi>` + thin + `<mi>x</mi>`},
		{`\dot{x}`, `<mover accent="true"><mi>x</mi><mo stretchy="false">˙</mo></mover>`},
		{`f'`, `<mrow><mi>f</mi><mo lspace="0" rspace="0">′</mo></mrow>`},
		{`f''^2`, `<msup><mrow><mi>f</mi><mo lspace="0" rspace="0">′′</mo></mrow><mn>2</mn></msup>`},
		{`\left( x \right.`, `<mrow><mo form="prefix" stretchy="true">(</mo><mi>x</mi></mrow>`},
		{`\left. x \middle| y \right]`, `<mrow><mi>x</mi><mo form="infix" stretchy="true">|</mo><mi>y</mi><mo form="postfix" stretchy="true">]</mo></mrow>`},
		{`\sum_i x`, `<msub><mo>∑</mo><mi>i</mi></msub><mi>x</mi>`},
		{`\begin{pmatrix} a & b \\ c & d \\ \end{pmatrix}`, `<mrow><mo form="prefix" stretchy="true">(</mo><mtable><mtr><mtd><mi>a</mi></mtd><mtd><mi>b</mi></mtd></mtr><mtr><mtd><mi>c</mi></mtd><mtd><mi>d</mi></mtd></mtr></mtable><mo form="postfix" stretchy="true">)</mo></mrow>`},
		{`{\displaystyle x}`, `<mrow><mstyle displaystyle="true"><mi>x</mi></mstyle></mrow>`},
		{`€`, `<mi mathvariant="normal">€</mi>`},
	} {
		assert.Equal(t, c.want, inside(t, c.tex, false), c.tex)
	}
	assert.Equal(t, `<munderover><mo>∑</mo><mrow><mi>i</mi><mo lspace="0" rspace="0">=</mo><mn>1</mn></mrow><mi>n</mi></munderover><msub><mi>x</mi><mi>i</mi></msub>`,
		inside(t, `\sum_{i=1}^n x_i`, true))
	assert.Equal(t, `<munder><mi>max</mi><mi>i</mi></munder>`, inside(t, `\max_i`, true))
	assert.Equal(t, `<msub><mo>∫</mo><mn>0</mn></msub>`, inside(t, `\int_0`, true))
	assert.Equal(t, `<mtable displaystyle="true" class="pairs"><mtr><mtd><mi>a</mi></mtd><mtd><mo>=</mo><mi>b</mi></mtd></mtr>`+
		`<mtr><mtd></mtd><mtd><mo form="infix">−</mo><mi>c</mi></mtd></mtr></mtable>`, inside(t, "a &= b \\\\[4pt]\n &- c \\\\", true))
}

func TestAlternative(t *testing.T) {
	out, faults := Set(snippet("a <\n  \\text{\"b\" \\& 'c'}"), true)
	require.Empty(t, faults)
	assert.True(t, strings.HasPrefix(out, `<math display="block" alttext="a &lt; \text{&#34;b&#34; \&amp; &#39;c&#39;}">`), out)
}

// Every command that is suggested is one that can be used.
func TestEveryCommand(t *testing.T) {
	for _, name := range known() {
		tex := `\` + name + " {x} {y}"
		switch {
		case name == "right" || name == "end":
			continue
		case name == "left":
			tex = `\left( x \right)`
		case name == "begin":
			tex = `\begin{matrix} x \end{matrix}`
		case name == "not":
			tex = `\not=`
		case strings.HasPrefix(strings.ToLower(name), "big") && signs()[`\`+name].text == "":
			tex = `\` + name + "( x"
		case name == "displaystyle" || name == "textstyle":
			tex = "{" + tex + "}"
		case name == "operatorname" || name == "text" || name == "textrm" || name == "mbox":
			tex = `\` + name + "{x}"
		}
		assert.NotEmpty(t, inside(t, tex, true), tex)
	}
	for typed := range brackets() {
		assert.NotEmpty(t, inside(t, `\left`+typed+` x \right`+typed, false), typed)
		assert.NotEmpty(t, inside(t, typed, false), typed)
	}
	for name := range environments() {
		assert.NotEmpty(t, inside(t, `\begin{`+name+`} a & b \\ c & d \end{`+name+`}`, false), name)
	}
}

// A mistake is named at its place.
func TestFaults(t *testing.T) {
	for _, c := range []struct {
		tex       string
		display   bool
		line, col int
		says      string
	}{
		{`a + \aplha`, false, 3, 9, `\aplha is not a command that formulas can use here (did you mean \alpha?)`},
		{"a \\\\\n + \\zzzzzz", true, 4, 4, `\zzzzzz is not a command`},
		{`\frac{a`, false, 3, 10, "this brace is never closed"},
		{`\frac{a}`, false, 3, 13, `\frac needs something to follow it`},
		{`a}`, false, 3, 6, "this brace closes nothing"},
		{`a & b`, false, 3, 7, "& lines up the rows"},
		{`a \\ b`, false, 3, 7, `\\ parts the rows`},
		{`\left( a`, false, 3, 5, `\left has no \right`},
		{`a \right)`, false, 3, 7, `\right closes nothing`},
		{`\left x \right)`, false, 3, 11, `\left needs a bracket`},
		{`\begin{matrx} a \end{matrx}`, false, 3, 5, `"matrx" is not an arrangement that formulas can use here (did you mean matrix?)`},
		{`\begin{matrix} a`, false, 3, 5, `\begin{matrix} has no \end{matrix}`},
		{`\begin{matrix} a \end{cases}`, false, 3, 22, `\begin{matrix} is ended by \end{cases}`},
		{`\begin{matrix} a } \end{matrix}`, false, 3, 22, "this brace closes nothing"},
		{`\end{matrix}`, false, 3, 5, `\end closes nothing`},
		{`x^a^b`, false, 3, 8, "there is a script above this already"},
		{`x_a_b`, false, 3, 8, "there is a script below this already"},
		{`x^2'`, false, 3, 8, "there is a script above this already"},
		{`x^`, false, 3, 7, "^ needs something to follow it"},
		{`x^_2`, false, 3, 7, "^ needs something to follow it"},
		{`\,^2`, false, 3, 5, "a script has nothing to stand at"},
		{`5 % 2`, false, 3, 7, `% has a meaning of its own in TeX (a sign that shows is \%)`},
		{`\text{a \frac b}`, false, 3, 13, "words in a formula hold neither commands nor formulas"},
		{`\text a`, false, 3, 11, `\text needs braces`},
		{`\operatorname{a+b}`, false, 3, 20, "the name of a function is made of letters"},
		{`\sqrt[3 x`, false, 3, 10, "this bracket is never closed"},
		{`\not x`, false, 3, 10, `\not needs a sign`},
		{`\`, false, 3, 5, "a backslash begins the name of a command"},
		{`x\`, false, 3, 6, "a backslash begins the name of a command"},
		{` `, false, 3, 5, "the formula is empty"},
		{"a + \u202eb", false, 3, 9, `'\u202e' has no place in a formula`},
		{"a + \x00b", false, 3, 9, `'\x00' has no place in a formula`},
		{`a \not\right)`, false, 3, 11, `\right closes nothing`},
		{strings.Repeat("x", MaxBytes+1), false, 3, 5, "the formula is longer than"},
		{strings.Repeat("{", maxNesting+1), false, 3, 5 + maxNesting, "deep inside each other"},
	} {
		out, faults := Set(snippet(c.tex), c.display)
		assert.Empty(t, out, c.tex)
		if assert.Len(t, faults, 1, c.tex) {
			assert.Contains(t, faults[0].Error(), c.says, c.tex)
			assert.Equal(t, diag.Pos{Line: c.line, Col: c.col}, faults[0].Pos, c.tex)
		}
	}
}

// Whatever is typed, there is either one fault, at a place in the formula, or well-formed MathML.
func FuzzSet(f *testing.F) {
	for _, seed := range []string{
		`M = \mu W \sqrt{k^2 + E^2}`, `\begin{cases} a & x < 0 \\ \text{b} & \left( \frac{1}{2} \right)' \end{cases}`, `\sum_{i=1}^n \underbrace{x}_{y}`,
		`\bigl( \mathbf{AB} \not= \overline{x} \middle|`, `a &= b \\[2pt] c`, `</math><script>alert(1)</script>`, `\text{</mtext>&}`, "\x00\u202e\ufffe\xff", `\operatorname{<b>}`,
		`\sqrt[\sqrt[3]{2}]{x}`, `{}'^2_1`, `\left<x\right>`, `\displaystyle\displaystyle`,
	} {
		f.Add(seed, true)
		f.Add(seed, false)
	}
	f.Fuzz(func(t *testing.T, tex string, display bool) {
		s := snippet(tex)
		out, faults := Set(s, display)
		again, _ := Set(s, display)
		require.Equal(t, out, again)
		if len(faults) > 0 {
			require.Len(t, faults, 1)
			require.Empty(t, out)
			require.GreaterOrEqual(t, faults[0].Pos.Line, 3)
			require.LessOrEqual(t, faults[0].Pos.Line, 3+strings.Count(tex, "\n"))
			require.Positive(t, faults[0].Pos.Col)
			return
		}
		wellFormed(t, out)
		// Markup grows with the text, not faster.
		require.Less(t, len(out), 200*len(tex)+200)
	})
}

func BenchmarkSet(b *testing.B) {
	for name, tex := range map[string]string{
		"short": `M = \mu W \sqrt{k^2 + E^2}`,
		"long":  strings.Repeat(`\frac{a}{b} + `, MaxBytes/14-1) + "c",
		"deep":  strings.Repeat(`\sqrt{x + `, maxNesting-1) + "x" + strings.Repeat("}", maxNesting-1),
	} {
		b.Run(name, func(b *testing.B) {
			s := snippet(tex)
			for b.Loop() {
				if _, faults := Set(s, true); len(faults) > 0 {
					b.Fatal(faults)
				}
			}
		})
	}
}
