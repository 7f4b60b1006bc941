package lang

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/diag"
)

func snippet(text string) diag.Snippet {
	s := diag.Snippet{File: "a.md", Source: []byte(text), Text: text}
	for i := range strings.Split(text, "\n") {
		s.Starts = append(s.Starts, diag.Pos{Line: i + 1, Col: 1})
	}
	return s
}

func TestScanInsert(t *testing.T) {
	for _, c := range []struct {
		text string
		want int
	}{
		{"{x}", 3},
		{"{x in deg} and more}", 10},
		{"{knee(a.B, c) in deg to 0.5}", 28},
		{"{knee(a,\nb) in N*m}", 19},
		{`{q.At(arm, "a } b") in mm}`, 26},
		{"{at(1, 2, 3).X in mm}", 21},
		{"{x to 0.1}", 10},
		{"{a to b}", 0},
		{"{x to 1 in mm}", 0},
		{"{}", 0},
		{"{ }", 0},
		{"{one two}", 0},
		{"{x in}", 0},
		{"{x", 0},
		{"{x, y}", 0},
		{"{a: b}", 0},
		{"{\"unclosed}", 0},
	} {
		got, ok := ScanInsert(c.text)
		assert.Equal(t, c.want, got, c.text)
		assert.Equal(t, c.want > 0, ok, c.text)
	}
}

func TestRefusesByNameAndPlace(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"x := 1\nfor {}", "a.md:2:1: a loop"},
		{"for i := range 3 {}", "a loop"},
		{"f := func() {}", "a.md:1:6: a function literal"},
		{"x := 1\n\ty := a[1]", "a.md:2:7: an index in square brackets isn't part of a parameter block (use .At(axis, value))"},
		{"go f()", "a goroutine"},
		{"if a {}", "an if statement"},
		{"var x = 1", "a var declaration"},
		{"x := 'a'", "only numbers and text"},
		{"x := 2i", "only numbers and text"},
		{"x := a ^ 2", "powers are written as products"},
		{"x := *p", "a pointer"},
		{"x := &p", "the operator & isn't"},
		{"x += 1", "+= isn't part"},
		{"x, y := 1, 2", "one name takes one value"},
		{"a.b := 1", "use = for a field"},
		{"f(x) = 1", "only a name or a field"},
		{"x := map[string]int{}", "a map isn't part"},
		{"x := pkg.Type{}", "a name from a package"},
		{"x := 1 }\nfunc g() { ", "this closing brace"},
		{"x := 1\nimport \"os\"", "a.md:2:1: import is a word of Go's own"},
		{"type := 3", "a.md:1:1: type is a word of Go's own"},
		{"range := 3*mm\ny := 2", "a.md:1:1: range is a word of Go's own"},
		{"func f() {}", "a.md:1:1: func is a word of Go's own"},
		{"x := (1", "a.md:1:8: "},
		{"T{\n A: 1\n}", "a comma is missing"},
		{"x := f(a...)", "... isn't part"},
		{"x := (" + strings.Repeat("(", 200) + "1" + strings.Repeat(")", 200) + ")", "nests 201 brackets deep"},
		{"x := " + strings.Repeat("- ", 5000) + "1", "deep"},
	} {
		_, faults := Parse(snippet(c.text))
		if assert.NotEmpty(t, faults, c.text) {
			assert.Contains(t, faults[0].Error(), c.want, c.text)
		}
	}
}

func TestLineCommentsCannotForgePlaces(t *testing.T) {
	_, faults := Parse(snippet("//line other.go:900\nx := func() {}"))
	require.Len(t, faults, 1)
	assert.Equal(t, diag.Pos{Line: 2, Col: 6}, faults[0].Pos)
}

func TestLongChainsAreNotNesting(t *testing.T) {
	_, faults := Parse(snippet("x := 1" + strings.Repeat(" + 1", 500)))
	assert.Empty(t, faults)
}

func FuzzParse(f *testing.F) {
	f.Add("x := 5*mm + span(1, 2, 3)\nCurves{X: x}")
	f.Add("} func f() {")
	f.Add("x := 2°30′15″*deg + 17,5*kg - 45½ 2850 mm\n")
	f.Fuzz(func(t *testing.T, text string) {
		block, faults := Parse(snippet(text))
		if block == nil && len(faults) == 0 {
			t.Fatal("neither a block nor a fault")
		}
		for _, d := range faults {
			_ = d.Error() + d.Excerpt()
		}
	})
}

func FuzzInsert(f *testing.F) {
	f.Add("{knee(a, b) in deg to 0.5}")
	f.Add("{\n}")
	f.Add("{0to in }")
	f.Add("{1*deg in ° to 0,1}")
	f.Add("{a in deg 0,1}{b to 1,5 mm}")
	f.Fuzz(func(t *testing.T, text string) {
		if !strings.HasPrefix(text, "{") {
			return
		}
		length, ok := ScanInsert(text)
		if !ok {
			return
		}
		if _, faults := ParseInsert(snippet(text[1 : length-1])); len(faults) > 0 {
			for _, d := range faults {
				_ = d.Excerpt()
			}
		}
	})
}

// What a statement is made of is noted wherever it stands; names of fields and of what is picked aren't read here.
func TestParts(t *testing.T) {
	b, faults := Parse(snippet("truck.Tyre.Mass = -(a + b.C*2)\nCurves{X: use(\"d\").E, Y: []Column{f, {G: min(h, 1)}}}\nk := Choices{\"l\": m.At(n, 3)}\n"))
	require.Empty(t, faults)
	require.Len(t, b.Parts, 3)
	for i, want := range []struct{ names, calls []string }{
		{[]string{"a", "b"}, nil},
		{[]string{"use", "f", "min", "h"}, []string{`Curves{X: use("d").E, Y: []Column{f, {G: min(h, 1)}}}`, `use("d")`, "[]Column{f, {G: min(h, 1)}}", "{G: min(h, 1)}", "min(h, 1)"}},
		{[]string{"m", "n"}, []string{`Choices{"l": m.At(n, 3)}`, "m.At(n, 3)"}},
	} {
		assert.Equal(t, want.names, b.Parts[i].Names)
		var calls []string
		for _, e := range b.Parts[i].Calls {
			calls = append(calls, b.Source(e))
		}
		assert.Equal(t, want.calls, calls)
	}
}
