package glossary

import (
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"
)

// Mention is one place where a text uses a term.
type Mention struct {
	Term       *Term
	Start, End int // bytes
}

// phrase is one way to mention a term.
type phrase struct {
	text  string
	term  *Term // nil: means something else
	exact bool
}

// phrases are found by their first word in lower case; the longest of them comes first.
var phrases = sync.OnceValue(func() map[string][]phrase {
	index := map[string][]phrase{}
	for _, t := range Terms() {
		for _, w := range strings.Split(t.words, ",") {
			p := phrase{text: strings.TrimSpace(w), term: t, exact: t.exact}
			if strings.HasPrefix(p.text, "!") {
				p.text, p.term = p.text[1:], nil
			}
			first := strings.ToLower(p.text[:wordEnd(p.text)])
			index[first] = append(index[first], p)
		}
	}
	for _, list := range index {
		slices.SortStableFunc(list, func(a, b phrase) int { return len(b.text) - len(a.text) })
	}
	return index
})

// In finds the terms that a text mentions, in order: whole words, the longest phrase that fits, in small or
// capital letters. White space of any kind and length may part the words of a phrase. A word that a hyphen
// joins to another is a different word.
func In(text string) []Mention {
	index := phrases()
	var found []Mention
	for at := 0; at < len(text); {
		c, size := utf8.DecodeRuneInString(text[at:])
		if !unicode.IsLetter(c) {
			at += size
			continue
		}
		end := at + wordEnd(text[at:])
		next := end
		if before, _ := utf8.DecodeLastRuneInString(text[:at]); !joins(before) {
			for _, p := range index[strings.ToLower(text[at:end])] {
				length := p.at(text[at:])
				if length == 0 {
					continue
				}
				if p.term != nil {
					found = append(found, Mention{p.term, at, at + length})
				}
				next = at + length
				break
			}
		}
		at = next
	}
	return found
}

// wordEnd is the length of the letters and digits that a text starts with.
func wordEnd(text string) int {
	for i, c := range text {
		if !unicode.IsLetter(c) && !unicode.IsDigit(c) {
			return i
		}
	}
	return len(text)
}

// joins says whether a character before a word makes it the end of a longer one.
func joins(c rune) bool { return c == '-' || c == '_' || unicode.IsLetter(c) || unicode.IsDigit(c) }

// at gives how many bytes of a text the phrase takes at its start, or 0.
func (p phrase) at(text string) int {
	i := 0
	for _, want := range p.text {
		if i >= len(text) {
			return 0
		}
		c, size := utf8.DecodeRuneInString(text[i:])
		switch {
		case want == ' ' && unicode.IsSpace(c):
			for unicode.IsSpace(c) && size > 0 {
				i += size
				c, size = utf8.DecodeRuneInString(text[i:])
			}
			continue
		case want == '\'' && c == '’':
		case c == want, !p.exact && unicode.ToLower(c) == unicode.ToLower(want):
		default:
			return 0
		}
		i += size
	}
	c, size := utf8.DecodeRuneInString(text[i:])
	if size > 0 && (unicode.IsLetter(c) || unicode.IsDigit(c)) {
		return 0
	}
	if c == '-' || c == '_' {
		if after, _ := utf8.DecodeRuneInString(text[i+1:]); unicode.IsLetter(after) || unicode.IsDigit(after) {
			return 0
		}
	}
	return i
}
