package reference

import (
	"go/doc/comment"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"turnplate/site/pattern"
	"turnplate/site/vocabulary"
)

// prose is the doc comment as Markdown: without the name that Go's comments start with, with names of fields
// and models as code, and with a table of formulas as a list, which a narrow page can hold.
func (e Entry) prose(c coder) string {
	var b strings.Builder
	for i, block := range e.Doc.Content {
		switch block := block.(type) {
		case *comment.Code:
			b.WriteString(codeBlock(block.Text, c))
		case *comment.Paragraph:
			text := textOf(block.Text)
			if i == 0 {
				text = opening(e.Name, text)
			}
			b.WriteString(begin(c.plain(text, false)) + "\n\n")
		default:
			panic("reference: the doc comment of " + e.Name + " has a list or a heading, which no page shows") // a test meets it
		}
	}
	return b.String()
}

// textOf is a paragraph's text.
func textOf(text []comment.Text) string {
	var b strings.Builder
	for _, t := range text {
		switch t := t.(type) {
		case comment.Plain:
			b.WriteString(string(t))
		case comment.Italic:
			b.WriteString(string(t))
		case *comment.DocLink:
			b.WriteString(textOf(t.Text))
		case *comment.Link:
			b.WriteString(textOf(t.Text))
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// opening is a doc comment's first paragraph as the first of a page that has the name for its title.
func opening(name, text string) string {
	rest, ok := strings.CutPrefix(text, name+" ")
	if !ok {
		return text
	}
	return capital(strings.TrimPrefix(rest, "is "))
}

var columns = pattern.Of(` {3,}`)

// codeBlock shows a block of formulas: one whose lines are all a name and what it stands for becomes a list.
func codeBlock(text string, c coder) string {
	lines := strings.Split(strings.TrimRight(text, "\n"), "\n")
	list := ""
	for _, line := range lines {
		cells := columns().Split(strings.TrimSpace(line), -1)
		if len(lines) < 2 || len(cells) < 2 {
			return "````\n" + strings.TrimRight(text, "\n") + "\n````\n\n"
		}
		for i := range cells {
			cells[i] = c.plain(cells[i], true)
		}
		list += "- **" + cells[0] + "**: " + strings.Join(cells[1:], "; ") + "\n"
	}
	return list + "\n"
}

// coder finds the names of fields and models in a text.
type coder struct{ own map[string]bool }

// known are the names of all models and parts, and all names of fields that no English word looks like.
var known = sync.OnceValue(func() map[string]bool {
	names := map[string]bool{}
	for _, e := range append(Models(), Parts()...) {
		names[e.Name] = true
		for _, f := range slices.Concat(e.Takes, e.Gives) {
			for part := range strings.SplitSeq(f.Name, ".") {
				if camel().MatchString(part) {
					names[part] = true
				}
			}
		}
	}
	return names
})

var (
	nameLike = pattern.Of(`[A-Za-z][A-Za-z0-9]*(?:\.[A-Z][A-Za-z0-9]*)*`)
	camel    = pattern.Of(`^[A-Z][a-z0-9]+[A-Z]`)
)

// coder knows the names that mean something on the page of e.
func (e Entry) coder() coder {
	own := map[string]bool{}
	for _, f := range slices.Concat(e.Takes, e.Gives) {
		for part := range strings.SplitSeq(f.Name, ".") {
			own[part] = true
		}
	}
	if e.Kind >= Figure {
		for _, v := range slices.Concat(vocabulary.Figures, vocabulary.Pieces) {
			own[v.Name] = true
		}
	}
	return coder{own}
}

// plain is a text as Markdown in which the names are code. A name that is also an English word, such as Toe, counts as a
// name only where a word would have no capital letter. So at the start of a sentence it is a word; a phrase is a text that
// isn't a sentence, and there it is a name.
func (c coder) plain(text string, phrase bool) string {
	text = strings.Join(strings.Fields(text), " ")
	var b strings.Builder
	done := 0
	for _, at := range nameLike().FindAllStringIndex(text, -1) {
		name := text[at[0]:at[1]]
		before, after := text[:at[0]], text[at[1]:]
		if last, _ := utf8.DecodeLastRuneInString(before); unicode.IsLetter(last) || unicode.IsDigit(last) {
			continue // the rest of a longer word
		}
		if !c.isName(name, before, after, phrase) {
			continue
		}
		b.WriteString(escape(text[done:at[0]]) + "`" + name + "`")
		done = at[1]
	}
	return b.String() + escape(text[done:])
}

func (c coder) isName(name, before, after string, phrase bool) bool {
	if strings.Contains(name, ".") {
		return true
	}
	if !unicode.IsUpper(rune(name[0])) {
		return false
	}
	if camel().MatchString(name) {
		return known()[name]
	}
	if !c.own[name] && !known()[name] {
		return false
	}
	if strings.HasSuffix(before, ". ") || before == "" && !phrase {
		return false
	}
	// In a title (Vehicle Dynamics) the words around it have capitals too.
	next := strings.TrimPrefix(after, " ")
	first, _ := utf8.DecodeRuneInString(next)
	words := strings.Fields(before)
	titled := len(words) > 0 && unicode.IsUpper([]rune(words[len(words)-1])[0]) && !strings.HasSuffix(words[len(words)-1], ",") && !c.own[words[len(words)-1]]
	return !(next != after && unicode.IsUpper(first) && !c.own[nameLike().FindString(next)]) && !titled
}

// begin escapes a sign at the start of a text, which Markdown would take for an item of a list.
func begin(s string) string {
	if strings.HasPrefix(s, "+") || strings.HasPrefix(s, "-") {
		return `\` + s
	}
	return strings.TrimPrefix(strings.TrimSpace(s), ". ")
}

// capital is a text with a capital first letter.
func capital(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// plain escapes a text, so that Markdown shows it as it is, and makes its blanks single ones.
func plain(s string) string { return escape(strings.Join(strings.Fields(s), " ")) }

// escape does so with a part of a text, and leaves its blanks alone.
func escape(s string) string { return escaper.Replace(s) }

var escaper = strings.NewReplacer(`\`, `\\`, "*", `\*`, "_", `\_`, "`", "\\`", "[", `\[`, "]", `\]`, "<", `\<`, ">", `\>`, "&", `\&`,
	"{", `\{`, "$", `\$`, "|", `\|`, "#", `\#`, "~", `\~`)
