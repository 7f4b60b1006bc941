package notebook

import (
	"strings"
	"testing"

	"github.com/yuin/goldmark/ast"

	"turnplate/site/diag"
)

// FuzzRead: no text makes Read panic, and whatever it finds stands where it says.
func FuzzRead(f *testing.F) {
	for _, seed := range []string{
		"---\ntitle: \"A {x in mm}\"\n---\n\n# One {a}\n\n```go params\nx := 1*mm\n```\n\n| a | b |\n|---|---|\n| {x} | `{y}` |\n",
		"1. - > ```go params shown\n       > x := 1\n",
		"- a\n\n\t```go params\n\t\tx := 1\n\t```\n",
		"[a]: b.md\n\n[a] ![{x}](<p q.png>) $x_{2}$ $$\ny\n$$ \\{x} {x in\nmm to 0.1}[^1]\n\n[^1]: note {z}\n",
		"T\n: D {x}\n\n  ~~~\n",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, content []byte) {
		nb := Read("a/b", content)
		for i, b := range nb.Blocks {
			if b.Index != i || b.Parent() == nil {
				t.Fatalf("block %d has index %d", i, b.Index)
			}
			placesTrue(t, b.Snippet)
		}
		for i, n := range nb.Inserts {
			if n.Index != i {
				t.Fatalf("insert %d has index %d", i, n.Index)
			}
			placesTrue(t, n.Snippet)
		}
		ast.Walk(nb.Root, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
			if k := n.Kind(); k == ast.KindHTMLBlock || k == ast.KindRawHTML {
				t.Fatal("raw HTML was passed on")
			}
			return ast.WalkContinue, nil
		})
		checkFaults(t, nb)
	})
}

// FuzzFront: no front matter makes Read panic or gives a value out of its range.
func FuzzFront(f *testing.F) {
	for _, seed := range []string{
		"title: A\norder: 3\ndate: 2026-01-02\nunits: us\ndraft: true\ndraws: 10\ncurrency: £\nauthor: B\nsummary: >\n  a\n  b {x}",
		"title: 'it''s {x}'", `title: "\u00e9\n{x}"`, "title: &a b\nauthor: *a", "? a\n: b", "{a: b}", "a: |2-\n   x", "%YAML 1.1\n---\na: b",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, yaml string) {
		nb := Read("a", []byte("---\n"+yaml+"\n---\n\nWords\n"))
		front := nb.Front
		if front.Title == "" || front.Draws < 1 || front.Draws > MaxDraws || front.Units != "metric" && front.Units != "us" {
			t.Fatalf("front matter %q came to %+v", yaml, front)
		}
		Parts(front.TitleAt)
		Parts(front.SummaryAt)
		checkFaults(t, nb)
	})
}

func checkFaults(t *testing.T, nb *Notebook) {
	lines := strings.Count(string(nb.Source), "\n") + 1
	for _, d := range nb.Faults {
		if d.File != nb.File || d.Message == "" || d.Pos != (diag.Pos{}) && (d.Pos.Line < 1 || d.Pos.Line > lines || d.Pos.Col < 1) {
			t.Fatalf("fault %+v", d)
		}
		_ = d.Excerpt()
	}
}

// BenchmarkRead reads a long, ordinary notebook.
func BenchmarkRead(b *testing.B) {
	page := "## Heading {x in deg}\n\nSome words with a number {knee(park.RimForce, caster) in deg to 0.5} and [a link](b.md) in *prose* that goes on for a line or two, as prose does.\n\n```go params\nx := span(0*deg, 8*deg, 33)\ny := Alignment{Vehicle: truck}\n```\n\n| a | b |\n|---|---|\n| {x} | two |\n\n"
	content := []byte("---\ntitle: Long\n---\n\n" + strings.Repeat(page, 50))
	b.SetBytes(int64(len(content)))
	for b.Loop() {
		if nb := Read("a", content); len(nb.Faults) > 0 {
			b.Fatal(nb.Faults)
		}
	}
}

// TestHostile reads what makes Markdown readers take the square of a text's length, up to the limits: each
// must come back. Without the limits several take minutes or gigabytes, and the test runner gives up.
func TestHostile(t *testing.T) {
	ticks := ""
	for i := 1; i < 200; i++ {
		ticks += "e" + strings.Repeat("`", i)
	}
	indented := ""
	for i := range MaxNesting {
		indented += strings.Repeat("  ", i) + "- a\n"
	}
	for _, piece := range []string{
		"[", "]", "[]", "[a](", "[a](<b", "[a](b ", "![", "![a](b)", "[a]", "*", "*a **a ", "*a_ ", "_a", "**a *b ", "<", "<a:",
		"{", "{a}", "{a b}", "{a(", "$a ", "$$ ", "$a", " $a $", "\\", "&#x41;", ticks,
		"|a|b|\n|-|-|\n", "a\\|`|`|\n", "[a]: b\n\n", "[^a]\n", "> a\n", strings.Repeat(">", MaxNesting) + "a\n", "a\n: b\n", "# a\n",
		"```go params\n```\n", "a\n=\n", "a\\\n", "a  \n",
	} {
		checkFaults(t, Read("a", hostile(piece)))
	}
	empty := strings.Repeat("\n", MaxLines-MaxNesting-2)
	for _, text := range []string{
		indented + empty, strings.Repeat("- ", MaxNesting) + "a" + empty,
		"---\n" + strings.Repeat("a: b\n", MaxLines-10) + "---\n", "---\na: " + strings.Repeat("[", MaxParagraph/2) + "\n---\n",
		"---\na: " + strings.Repeat("{a: ", 5000) + "\n---\n", "---\n" + strings.Repeat("- ", 40) + "\n---\n",
	} {
		checkFaults(t, Read("a", []byte(text)))
	}
}

// hostile repeats a piece through a file of a sixteenth of the largest size, with an empty line before each
// limit is reached.
func hostile(piece string) []byte {
	marks := strings.Count(piece, "[") + strings.Count(piece, "*") + strings.Count(piece, "_")
	each := MaxParagraph / len(piece)
	if marks > 0 {
		each = min(each, MaxMarks/marks)
	}
	paragraph := strings.Repeat(piece, each) + "\n\n"
	text := strings.Repeat(paragraph, MaxBytes/16/len(paragraph)+1)
	if lines := strings.Count(paragraph, "\n"); strings.Count(text, "\n") > MaxLines-2 {
		text = strings.Repeat(paragraph, (MaxLines-2)/lines)
	}
	return []byte(text[:min(len(text), MaxBytes)])
}
