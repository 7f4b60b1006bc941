package diag

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
)

func TestNearest(t *testing.T) {
	known := []string{"Camber", "Caster", "Toe", "mm", "N", "span"}
	for _, c := range []struct{ name, want string }{
		{"Cambre", "Camber"}, {"caster", "Caster"}, {"mn", "mm"}, {"spam", "span"}, {"snap", ""}, {"Wheelbase", ""}, {"Teo", "Toe"}, {"x", ""}, {"n", "N"},
	} {
		assert.Equal(t, c.want, Nearest(c.name, known), c.name)
	}
}

func TestExcerptKeepsTabsAndRunes(t *testing.T) {
	d := New("a.md", []byte("one\n\tµ := trük + 1\n"), Pos{2, 8}, 5, "", "trük isn't known here")
	assert.Equal(t, "    \tµ := trük + 1\n    \t     ^^^^", d.Excerpt())
	assert.Equal(t, "a.md:2:8: trük isn't known here", d.Error())
}

func TestSnippetPlacesLines(t *testing.T) {
	s := Snippet{File: "a.md", Text: "x\ny z", Starts: []Pos{{3, 5}, {4, 9}}}
	assert.Equal(t, Pos{3, 5}, s.At(1, 1))
	assert.Equal(t, Pos{4, 11}, s.At(2, 3))
	assert.Equal(t, Pos{4, 12}, s.At(9, 9), "past the end: the end of the last line")
}

func TestListSortsAndDropsRepeats(t *testing.T) {
	l := List{{File: "b.md", Pos: Pos{1, 1}}, {File: "a.md", Pos: Pos{2, 1}}, {File: "a.md", Pos: Pos{1, 3}}, {File: "a.md", Pos: Pos{2, 1}}}
	l.Sort()
	assert.Len(t, l, 3)
	assert.Equal(t, Pos{1, 3}, l[0].Pos)
}

func TestNearestIsBounded(t *testing.T) {
	known := []string{"caster", "camber", "", "toe"}
	assert.Equal(t, "caster", Nearest("castre", known))
	assert.Equal(t, "camber", Nearest("CAMBRE", known))
	assert.Empty(t, Nearest("", known))
	assert.Empty(t, Nearest("zz", known))
	// Two names as long as a block would be compared in a table of 32 GB.
	long := strings.Repeat("x", 64<<10)
	assert.Empty(t, Nearest(long, []string{long + "y"}))
	assert.Empty(t, Nearest("x", []string{long}))
}

func TestLongLinesAreCut(t *testing.T) {
	d := New("a.md", []byte("one\n"+strings.Repeat("é", 10_000)+"WRONG"+strings.Repeat("é", 10_000)), Pos{2, 20_001}, 5, "", strings.Repeat("w", 10_000))
	assert.Less(t, len(d.Line), 2*maxLine)
	assert.Less(t, len(d.Message), 2*maxMessage)
	assert.True(t, utf8.ValidString(d.Line))
	line, caret, _ := strings.Cut(d.Excerpt(), "\n")
	assert.Equal(t, "WRONG", string([]rune(line)[strings.Index(caret, "^"):strings.LastIndex(caret, "^")+1]), "the caret still points at it")
	assert.Contains(t, d.Error(), "a.md:2:20001: www")
}

func TestSnippetJumps(t *testing.T) {
	s := Snippet{Text: "abcdef\ngh", Starts: []Pos{{4, 10}, {9, 2}}, Jumps: []Jump{{1, 3, Pos{4, 13}}, {1, 5, Pos{6, 3}}}}
	for col, want := range []Pos{{4, 10}, {4, 11}, {4, 13}, {4, 14}, {6, 3}, {6, 4}, {6, 5}} {
		assert.Equal(t, want, s.At(1, col+1))
	}
	assert.Equal(t, Pos{9, 3}, s.At(2, 2), "on its own line alone")
}
