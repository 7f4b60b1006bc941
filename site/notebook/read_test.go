package notebook

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/yuin/goldmark/ast"

	"turnplate/site/diag"
)

// read reads a notebook that has nothing wrong with it.
func read(t *testing.T, text string) *Notebook {
	t.Helper()
	nb := Read("studies/caster", []byte(text))
	require.Empty(t, nb.Faults)
	return nb
}

// faults gives the faults of a text, one a line, without the file's name.
func faults(text string) []string {
	var list []string
	for _, d := range Read("a", []byte(text)).Faults {
		list = append(list, strings.TrimPrefix(d.Error(), "a.md:"))
	}
	return list
}

// placesTrue checks that each character of a snippet stands in the file where the snippet says.
func placesTrue(t *testing.T, s diag.Snippet) {
	t.Helper()
	lines := strings.Split(string(s.Source), "\n")
	for i, line := range strings.Split(strings.TrimSuffix(s.Text, "\n"), "\n") {
		bare := strings.TrimLeft(line, " ")
		for col := len(line) - len(bare) + 1; col <= len(line); col++ {
			at := s.At(i+1, col)
			require.True(t, at.Line >= 1 && at.Line <= len(lines), "line %d of %q", at.Line, s.Text)
			there := lines[at.Line-1]
			require.True(t, at.Col >= 1 && at.Col <= len(there), "column %d of %q", at.Col, there)
			require.Equal(t, string(line[col-1]), string(there[at.Col-1]), "line %d column %d of %q", i+1, col, s.Text)
		}
	}
}

// A walk's block holds the numbered list below it as its steps.
func TestWalk(t *testing.T) {
	nb := read(t, "```go params walk\nx := 1\n```\n\n1. One: {x}.\n2. Two.\n\nAfter.\n")
	block := nb.Blocks[0]
	assert.Equal(t, Walk, block.Fold)
	assert.Equal(t, 2, block.Steps())
	assert.Equal(t, ast.KindParagraph, block.NextSibling().Kind())
	require.Len(t, nb.Inserts, 1)
	for _, below := range []string{"", "Words.\n", "- One.\n- Two.\n", "Words.\n\n1. One.\n"} {
		nb = Read("a/b", []byte("```go params walk\nx := 1\n```\n\n"+below))
		require.Len(t, nb.Faults, 1, below)
		assert.Contains(t, nb.Faults[0].Message, "a numbered list right below it, and there is none")
		assert.Equal(t, 1, nb.Faults[0].Pos.Line)
	}
}

func TestOneLead(t *testing.T) {
	nb := read(t, "```go params\nx := 1\n```\n\n```go params lead\ny := 2\n```\n")
	assert.Same(t, nb.Blocks[1], nb.LeadBlock())
	nb = Read("a/b", []byte("```go params lead\nx := 1\n```\n\n```go params lead\ny := 2\n```\n"))
	require.Len(t, nb.Faults, 1)
	assert.Equal(t, "a page has one lead, and the block of line 1 is it", nb.Faults[0].Message)
	assert.Equal(t, diag.Pos{Line: 5, Col: 14}, nb.Faults[0].Pos)
}

func TestBlocks(t *testing.T) {
	nb := read(t, "Words.\n\n```go params\nx := 1*mm\ny := x\n```\n\n~~~~go   params\tshown\nz := 2\n~~~~\n\n```go params hidden\n```\n\n```go\nfmt.Println()\n```\n\n```equation\na = b\n```\n")
	require.Len(t, nb.Blocks, 3)
	assert.Equal(t, "x := 1*mm\ny := x\n", nb.Blocks[0].Snippet.Text)
	assert.Equal(t, []Fold{Folded, Shown, Hidden}, []Fold{nb.Blocks[0].Fold, nb.Blocks[1].Fold, nb.Blocks[2].Fold})
	assert.Equal(t, diag.Pos{Line: 5, Col: 6}, nb.Blocks[0].Snippet.At(2, 6))
	assert.Equal(t, "", nb.Blocks[2].Snippet.Text)
	assert.Equal(t, diag.Pos{Line: 12, Col: 20}, nb.Blocks[2].Snippet.At(1, 1))
	var kinds []string
	for n := nb.Root.FirstChild(); n != nil; n = n.NextSibling() {
		kinds = append(kinds, n.Kind().String())
	}
	assert.Equal(t, []string{"Paragraph", "ParameterBlock", "ParameterBlock", "ParameterBlock", "FencedCodeBlock", "Paragraph"}, kinds)
}

func TestBlockPlaces(t *testing.T) {
	for name, text := range map[string]string{
		"list item":     "1. Words\n\n   ```go params\n   x := 1\n     y := 2\n\n   z := 3\n   ```\n",
		"quote":         "> Words\n>\n> ```go params\n> x := 1\n>y := 2\n>\n> z := 3\n> ```\n",
		"quoted list":   "> - > ```go params\n>   > x := 1\n>   > y := 2\n>   > ```\n",
		"indented":      "   ```go params\n   x := 1\n  y := 2\n     z := 3\n   ```\n",
		"tab in list":   "-\tWords\n\n\t```go params\n\tx := 1\n\t\ty := 2\n\t```\n",
		"tab after one": "- Words\n\n\t```go params\n\tx := 1\n\t\ty := 2\n\t```\n",
		"accents":       "- é\n\n  ```go params\n  // détail\n  x := \"é\"; y := 2\n  ```\n",
		"footnote":      "Words[^1].\n\n[^1]: See\n\n    ```go params\n    x := 1\n    ```\n",
		"definition":    "Term\n\n:   Words\n\n    ```go params\n    x := 1\n    ```\n",
	} {
		for _, end := range []string{"\n", "\r\n"} {
			t.Run(fmt.Sprintf("%s %q", name, end), func(t *testing.T) {
				nb := read(t, strings.ReplaceAll(text, "\n", end))
				require.Len(t, nb.Blocks, 1)
				s := nb.Blocks[0].Snippet
				require.NotContains(t, s.Text, "\r")
				require.Contains(t, s.Text, "x := ")
				placesTrue(t, s)
			})
		}
	}
}

func TestByteOrderMark(t *testing.T) {
	nb := read(t, "\ufeff---\ntitle: A\n---\n\nWords {x}.\n")
	assert.Equal(t, "A", nb.Front.Title)
	placesTrue(t, nb.Inserts[0].Snippet)
	assert.Equal(t, []string{"1:3: the file is not UTF-8 text: here is the byte 0xFF (save it as UTF-8)"}, faults("\ufeffab\xff"))
}

func TestFenceFaults(t *testing.T) {
	for text, want := range map[string][]string{
		"```go params show\n```\n":              {`1:14: "show" is not a way to show a block; it is shown, hidden, lead, walk, or left out to fold it (did you mean shown?)`},
		"```go params x y\n```\n":               {`1:14: "x" is not a way to show a block; it is shown, hidden, lead, walk, or left out to fold it`, `1:16: nothing may follow "x" on a parameter block's first line`},
		"```go params shown open\n```\n":        {`1:20: nothing may follow "shown" on a parameter block's first line`},
		"```go parms\nx := 1\n```\n":            {"1:4: a parameter block starts with the words go params (did you mean go params?)"},
		"```Go params\nx := 1\n```\n":           {"1:4: a parameter block starts with the words go params (did you mean go params?)"},
		"a\n\n```go params\nx := 1\n":           {"3:1: this fence never closes, so the rest of the file would be part of it (end it with a line of the same marks)"},
		"a\n\n```go params\nx := 1\n``\n":       {"3:1: this fence never closes, so the rest of the file would be part of it (end it with a line of the same marks)"},
		"- a\n\n  ~~~~text\n  x\n\nb\n":         {"3:3: this fence never closes, so the rest of the file would be part of it (end it with a line of the same marks)"},
		"- ```equation big\n  a = \\b\n  ```\n": {`1:15: nothing may follow "equation" on a fence's first line`, `2:7: \b is not a command that formulas can use here`},
		"```equation\n```\n":                    {"1:12: the formula is empty"},
		"words $x$ and\n$\\muu$":                {`2:2: \muu is not a command that formulas can use here (did you mean \mu?)`},
		"~~~equation\n\\frac\n":                 {"1:1: this fence never closes, so the rest of the file would be part of it (end it with a line of the same marks)"},
		"```go params\nx := 1\n```\n```\n":      {"4:1: this fence never closes, so the rest of the file would be part of it (end it with a line of the same marks)"},
		"```go\nx\n```\n\n```go run\nx\n```":    nil,
		"```text params\nx\n```\n":              nil,
		"````go params\n```\n````\n":            nil,
		"> ```go params\n> x := 1\n> ```\na":    nil,
		"```go params hidden   \nx := 1\n```":   nil,
	} {
		t.Run(text, func(t *testing.T) {
			assert.Equal(t, want, faults(text))
			assert.Equal(t, strings.Contains(fmt.Sprint(want), "never closes"), Read("a", []byte(text)).Cut)
		})
	}
}

func TestUnreadable(t *testing.T) {
	for text, want := range map[string]string{
		"ab\ncd\xffe":                   "2:3: the file is not UTF-8 text: here is the byte 0xFF (save it as UTF-8)",
		"\xff\xfea\x00":                 "1:1: the file is not UTF-8 text: here is the byte 0xFF (it looks like UTF-16: save it as UTF-8)",
		"a\x00b":                        "1:2: the file is not plain text: here is the control character U+0000",
		"a\n\x1b[31m":                   "2:1: the file is not plain text: here is the control character U+001B",
		"a\nb\u202ec":                   "2:2: the mark U+202E stands here unseen and turns the direction of the text, so that it reads otherwise than it is (remove it)",
		"a\u2066b":                      "1:2: the mark U+2066 stands here unseen and turns the direction of the text, so that it reads otherwise than it is (remove it)",
		strings.Repeat("a", MaxBytes+1): " the notebook is larger than 1024 KiB (split it; a picture belongs in a file of its own)",
		"a\n" + strings.Repeat("> ", 51) + "deep":   "2:1: quotes and lists stand more than 50 deep inside each other",
		strings.Repeat("\n", MaxLines):              "20001:1: the notebook has more than 20000 lines (split it)",
		strings.Repeat("aaaaaaa\n", 5000):           "4682:1: the text up to here is more than 32 KiB without an empty line (end it with an empty line)",
		strings.Repeat("[^1] \n\n", MaxFootnotes+1): " the notebook has more than 2000 footnote marks",
		strings.Repeat("a*", MaxMarks+1):            "1:1: the text up to here has more than 2000 brackets, stars and underscores without an empty line (end it with an empty line)",
		strings.Repeat(" ", 101) + "- a":            "1:1: quotes and lists stand more than 50 deep inside each other",
		strings.Repeat("- 1. > ", 17) + "deep":      "1:1: quotes and lists stand more than 50 deep inside each other",
	} {
		nb := Read("a", []byte(text))
		require.Len(t, nb.Faults, 1)
		assert.Equal(t, "a.md:"+want, nb.Faults[0].Error())
		assert.NotNil(t, nb.Root)
		assert.True(t, utf8.ValidString(nb.Faults[0].Line))
	}
	assert.Empty(t, faults(strings.Repeat(strings.Repeat("a", 1022)+"\n\n", MaxBytes/1024)))
	assert.Empty(t, faults("a\n\n"+strings.Repeat("-", 500)+"\n\n"+strings.Repeat("> ", 50)+"a"))
}

func inserts(nb *Notebook) []string {
	var list []string
	for _, n := range nb.Inserts {
		list = append(list, n.Snippet.Text)
	}
	return list
}

func TestInserts(t *testing.T) {
	for text, want := range map[string][]string{
		"The gain is {x in deg to 0.5} here.":                    {"x in deg to 0.5"},
		"# About {x in mm}":                                      {"x in mm"},
		"Title {x}\n=====\n":                                     {"x"},
		"- one {a}\n- two\n  {b}\n":                              {"a", "b"},
		"| a | b |\n|---|---|\n| {x in mm} | {y} |\n":            {"x in mm", "y"},
		"[see {x}](b.md) and **{y in N}**":                       {"x", "y in N"},
		"![Effort {x}](p.png)":                                   {"x"},
		"Note[^1]: {a}.\n\n[^1]: about {b}\n\nAnd {c}.\n":        {"a", "b", "c"},
		"Term {a}\n: Meaning {b}\n":                              {"a", "b"},
		"A number {knee(park.RimForce,\ncaster) in\ndeg} wraps.": {"knee(park.RimForce,\ncaster) in\ndeg"},
		"> quoted {a +\n> b in mm}\n":                            {"a +\nb in mm"},
		`{x.At(c, "a } b")}`:                                     {`x.At(c, "a } b")`},
		"{list(1, 2).Max()}{y}":                                  {"list(1, 2).Max()", "y"},
		`left alone: \{x} and \{y in mm}`:                        nil,
		`\\{x}`:                                                  {"x"},
		"`{x}` and ``{y} ` ``":                                   nil,
		"    {x}\n":                                              nil,
		"```\n{x}\n```\n":                                        nil,
		"{} { } {x in} {x y} {a, b} {if} {; } { {x}":             {"x"},
		"set {1, 2} and {\"a\": 1}":                              nil,
		"{x in\n\nmm}":                                           nil,
		"<b>{x}</b>":                                             {"x"},
		"$x^{2}$ and {y}":                                        {"y"},
	} {
		for _, end := range []string{"\n", "\r\n"} {
			t.Run(text, func(t *testing.T) {
				nb := read(t, strings.ReplaceAll(text, "\n", end))
				assert.Equal(t, want, inserts(nb))
				for i, n := range nb.Inserts {
					assert.Equal(t, i, n.Index)
					placesTrue(t, n.Snippet)
				}
			})
		}
	}
}

// The characters around a number stay where they were.
func TestInsertLeavesRest(t *testing.T) {
	nb := read(t, "Before {x in\nmm} after\nend\n")
	p := nb.Root.FirstChild()
	var seen []string
	for n := p.FirstChild(); n != nil; n = n.NextSibling() {
		switch n := n.(type) {
		case *ast.Text:
			seen = append(seen, string(n.Segment.Value(nb.Source)))
		default:
			seen = append(seen, n.Kind().String())
		}
	}
	assert.Equal(t, []string{"Before ", "Insert", " after", "end"}, seen)
}

func TestTooManyBraces(t *testing.T) {
	got := faults(strings.Repeat("{}\n\n", maxMisses-4) + strings.Repeat("{}", 8) + " {x}")
	require.Len(t, got, 1)
	assert.Equal(t, fmt.Sprintf(`%d:9: the notebook has too many braces that begin no number (write \{ for a plain brace)`, 2*maxMisses-7), got[0])
}

func equations(nb *Notebook) []string {
	var list []string
	ast.Walk(nb.Root, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if e, ok := n.(*Equation); ok && entering {
			text := e.Snippet.Text
			if e.Display {
				text = "display " + text
			}
			list = append(list, text)
		}
		return ast.WalkContinue, nil
	})
	return list
}

func TestEquations(t *testing.T) {
	for text, want := range map[string][]string{
		"with $a_{1} * b_{2}$ in it":       {"a_{1} * b_{2}"},
		"$a$, $b$.":                        {"a", "b"},
		"$$\nM = \\mu W\n$$":               {"display \nM = \\mu W\n"},
		"words $$x$$ words":                {"display x"},
		"from $5 to $10 each":              nil,
		"US$5 and US$6":                    nil,
		`\$a\$ and $ a $`:                  nil,
		"`$a$`":                            nil,
		"$$ $$":                            nil,
		`$a \$ b$`:                         {`a \$ b`},
		"- list $x$\n\n> quote $$y\n> z$$": {"x", "display y\nz"},
		"$a\nb$":                           nil,
		"- a\n  ```equation\n  a &= b \\\\\n   &= c\n  ```\n": {"display a &= b \\\\\n &= c\n"},
	} {
		t.Run(text, func(t *testing.T) {
			nb := read(t, text)
			assert.Equal(t, want, equations(nb))
			ast.Walk(nb.Root, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
				if e, ok := n.(*Equation); ok {
					assert.Contains(t, e.MathML, "<math")
					placesTrue(t, e.Snippet)
				}
				return ast.WalkContinue, nil
			})
		})
	}
}

func TestParts(t *testing.T) {
	s := diag.Snippet{File: "a.md", Source: []byte("x = \"ab {n in mm} c {m\n in N}\""), Text: "ab {n in mm} c {m\n in N}",
		Starts: []diag.Pos{{Line: 1, Col: 6}, {Line: 2, Col: 1}}}
	parts := Parts(s)
	require.Len(t, parts, 4)
	assert.Equal(t, []string{"ab ", "", " c ", ""}, []string{parts[0].Text, parts[1].Text, parts[2].Text, parts[3].Text})
	assert.Equal(t, []string{"n in mm", "m\n in N"}, []string{parts[1].Snippet.Text, parts[3].Snippet.Text})
	placesTrue(t, parts[1].Snippet)
	placesTrue(t, parts[3].Snippet)
	for text, want := range map[string]string{`a \{x} {b, c} {`: "a {x} {b, c} {", "": "", "{": "{", `\`: `\`} {
		joined := ""
		for _, p := range Parts(diag.Snippet{Text: text, Starts: []diag.Pos{{Line: 1, Col: 1}}}) {
			require.False(t, p.Insert)
			joined += p.Text
		}
		assert.Equal(t, want, joined)
	}
}

func TestRawHTMLIsText(t *testing.T) {
	nb := read(t, "<script>alert(1)</script>\n\n<div>\n**b** <b>x</b> <!-- c -->\n</div>\n\n<https://example.org>\n")
	ast.Walk(nb.Root, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		require.NotEqual(t, ast.KindHTMLBlock, n.Kind())
		require.NotEqual(t, ast.KindRawHTML, n.Kind())
		return ast.WalkContinue, nil
	})
	require.Len(t, nb.Links, 1)
}

func TestTitleFromHeading(t *testing.T) {
	for text, want := range map[string]string{
		"Words\n\n## The *first* `one` & [more](a.md)\n\n# Second\n": "The first one & more",
		"# Caster of {x in deg to 0.1}, **now**":                     "Caster of {x in deg to 0.1}, now",
		"no heading":                                                 "caster",
		"#\n\n# Second":                                              "caster",
	} {
		nb := read(t, text)
		assert.Equal(t, want, nb.Front.Title)
		if nb.Front.TitleAt.Text != "" {
			assert.Equal(t, want, nb.Front.TitleAt.Text)
		}
	}
	nb := read(t, "Words\n\n# **A** {x}\n")
	assert.Equal(t, diag.Pos{Line: 3, Col: 10}, Parts(nb.Front.TitleAt)[1].Snippet.At(1, 1))
}

func TestLinks(t *testing.T) {
	nb := read(t, "See [a](b.md#c) and [d][e], ![p](<p q.png> \"title\"), [x](b.md).\n\n- <https://example.org>\n\n[e]: f.md\n")
	var got []string
	for _, l := range nb.Links {
		line := strings.Split(string(nb.Source), "\n")[l.At.Line-1]
		got = append(got, fmt.Sprintf("%s %v %q", l.Dest, l.Picture, line[l.At.Col-1:l.At.Col-1+l.Length]))
	}
	assert.Equal(t, []string{`b.md#c false "b.md#c"`, `f.md false "["`, `p q.png true "p q.png"`, `b.md false "b.md"`, `https://example.org false "<"`}, got)
}

func TestPicturesNeedWords(t *testing.T) {
	for text, want := range map[string][]string{
		"a ![](b.png)":                     {"1:3: the picture has no words for readers who can't see it (write them as ![what it shows](file))"},
		"- x\n\n  ![ ](b.png \"title\")":   {"3:3: the picture has no words for readers who can't see it (write them as ![what it shows](file))"},
		"![**bold**](b.png) ![$x$](b.png)": nil,
		"![{x}](b.png) ![`c`](b.png)":      nil,
	} {
		assert.Equal(t, want, faults(text), text)
	}
}

func TestTitleSaysAnEquationInPlainText(t *testing.T) {
	nb := Read("a", []byte("# Why $n = r\\tan\\tau$ in $\\{a\\}$\n"))
	assert.Empty(t, nb.Faults)
	assert.Equal(t, `Why n = r tan τ in \{a}`, nb.Front.Title)
}
