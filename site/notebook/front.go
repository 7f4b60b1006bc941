//go:build !js

package notebook

import (
	"bytes"
	"go/token"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"
	"go.abhg.dev/goldmark/frontmatter"
	"gopkg.in/yaml.v3"

	"turnplate/site/diag"
	"turnplate/site/pattern"
	"turnplate/site/vocabulary"
)

// maxFrontLine bounds a line of front matter: a title, a summary, a name.
const maxFrontLine = 2000

// frontParser is the front matter package's, kept to the very start of a file: by itself it also takes a
// rule of dashes under a heading, or inside a quote.
type frontParser struct{ *frontmatter.Parser }

func newFrontParser() parser.BlockParser {
	return frontParser{&frontmatter.Parser{Formats: []frontmatter.Format{frontmatter.YAML}}}
}

// readFront parses a file and reads its front matter.
func (nb *Notebook) readFront(src *source, pc parser.Context) ast.Node {
	all := markdown(parser.WithBlockParsers(util.Prioritized(newFrontParser(), 50)))
	root := all.Parse(text.NewReader(src.text), parser.WithContext(pc))
	nb.Front = frontOf(src, pc, nb.Front)
	return root
}

func (p frontParser) Open(parent ast.Node, reader text.Reader, pc parser.Context) (ast.Node, parser.State) {
	if parent.Kind() != ast.KindDocument || parent.HasChildren() {
		return nil, parser.NoChildren
	}
	return p.Parser.Open(parent, reader, pc)
}

// frontReader reads the keys of the front matter one by one, with the place of each in the file.
type frontReader struct {
	*source
	first int // line of the file (from 0) on which the YAML starts
	front Front
}

var frontKeys = vocabulary.Names(vocabulary.FrontKeys)

func frontOf(src *source, pc parser.Context, defaults Front) Front {
	data := frontmatter.Get(pc)
	if data == nil {
		almostFront(src)
		return defaults
	}
	r := &frontReader{source: src, front: defaults}
	opening := 0
	for strings.TrimSpace(src.line(opening)) == "" {
		opening++
	}
	r.first = opening + 1
	closing := r.closes(opening)
	if closing < 0 {
		src.fault(src.lines[opening], len(src.line(opening)), "end it with a line "+src.line(opening),
			"this front matter never closes, so the rest of the file would be part of it")
		return r.front
	}
	r.front.Lines = closing + 1
	for n := r.first; n < closing; n++ {
		if line := r.line(n); endsDocument(line) {
			src.fault(r.lines[n], len(line), "remove it, or write it within a text in quotes",
				"front matter is one document, which this line would end, and what follows would be lost")
			return r.front
		}
	}
	var document yaml.Node
	if err := data.Decode(&document); err != nil {
		r.syntax(err)
		return r.front
	}
	if len(document.Content) == 0 {
		return r.front // only comments
	}
	top := document.Content[0]
	if top.Kind != yaml.MappingNode {
		r.wrong(top, "", "front matter is lines of the form key: value")
		return r.front
	}
	seen := map[string]bool{}
	for i := 0; i+1 < len(top.Content); i += 2 {
		key, value := top.Content[i], top.Content[i+1]
		switch {
		case key.Kind != yaml.ScalarNode || key.Value == "":
			r.wrong(key, "", "front matter is lines of the form key: value")
			continue
		case seen[key.Value]:
			r.wrong(key, "", "%s is given twice", key.Value)
		case !r.scalar(key, value):
		default:
			r.key(key, value)
		}
		seen[key.Value] = true
	}
	return r.front
}

// almostFront reports a first line of dashes that opens no front matter because it ends in blanks.
func almostFront(src *source) {
	line := src.line(0)
	if dashes := strings.TrimRight(line, " \t"); dashes != line && len(dashes) >= 3 && strings.Trim(dashes, "-") == "" {
		src.fault(0, len(line), "remove the blanks at its end", "front matter starts with a line of dashes alone")
	}
}

// closes finds the next line that is the same as the opening one, or gives -1.
func (r *frontReader) closes(opening int) int {
	for n := opening + 1; n < len(r.lines); n++ {
		if r.line(n) == r.line(opening) {
			return n
		}
	}
	return -1
}

// endsDocument tells the marks at which a YAML document ends, whatever it is in the middle of (YAML 1.2, section 9.1).
func endsDocument(line string) bool {
	const mark = 3 // bytes
	return (strings.HasPrefix(line, "...") || strings.HasPrefix(line, "---")) && (len(line) == mark || line[mark] == ' ' || line[mark] == '\t')
}

var yamlPlace = pattern.Of(`^yaml: (?:line (\d+): )?(.*)$`)

// syntax reports what the YAML reader says, at its line where it names one.
func (r *frontReader) syntax(err error) {
	message, line := err.Error(), r.first
	if m := yamlPlace().FindStringSubmatch(message); m != nil {
		message = m[2]
		if n, err := strconv.Atoi(m[1]); err == nil {
			line = min(r.first+n-1, len(r.lines)-1)
		}
	}
	text := r.line(line)
	indent := len(text) - len(strings.TrimLeft(text, " "))
	hint := "a text that holds a colon, a brace or a quote mark needs quotes around it"
	r.fault(r.lines[line]+indent, len(strings.TrimSpace(text)), hint, "front matter can't be read: %s", message)
}

// wrong reports a mistake at a node.
func (r *frontReader) wrong(n *yaml.Node, hint, format string, args ...any) {
	offset, length := r.place(n)
	r.fault(offset, length, hint, format, args...)
}

// place gives a node's offset in the file and the bytes to underline. YAML counts characters, this file
// bytes.
func (r *frontReader) place(n *yaml.Node) (offset, length int) {
	line := min(max(r.first+n.Line-1, 0), len(r.lines)-1)
	text := r.line(line)
	col := 0
	for range n.Column - 1 {
		if col >= len(text) {
			break
		}
		_, size := utf8.DecodeRuneInString(text[col:])
		col += size
	}
	return r.lines[line] + col, len(strings.TrimRight(text[col:], " \t"))
}

// scalar refuses what YAML can say beyond key: value.
func (r *frontReader) scalar(key, value *yaml.Node) bool {
	hint := ""
	if value.Kind == yaml.MappingNode || value.Kind == yaml.SequenceNode {
		hint = "a text that starts with a brace or a bracket needs quotes around it"
	}
	if key.Kind != yaml.ScalarNode || value.Kind != yaml.ScalarNode || value.Anchor != "" || value.Style&yaml.TaggedStyle != 0 {
		r.wrong(value, hint, "%s takes one plain value", key.Value)
		return false
	}
	if len(value.Value) > maxFrontLine {
		r.wrong(value, "", "%s is longer than %d characters", key.Value, maxFrontLine)
		return false
	}
	return true
}

func (r *frontReader) key(key, value *yaml.Node) {
	text := strings.Join(strings.Fields(value.Value), " ")
	if text == "" && slices.Contains(frontKeys, key.Value) {
		r.wrong(key, "", "%s is empty: give it a value or leave it out", key.Value)
		return
	}
	f := &r.front
	switch key.Value {
	case "title":
		f.Title, f.TitleAt = text, r.snippet(value)
	case "summary":
		f.Summary, f.SummaryAt = text, r.snippet(value)
	case "author":
		f.Author = text
	case "currency":
		f.Currency = text
	case "date":
		if _, err := time.Parse(time.DateOnly, text); err != nil {
			r.wrong(value, "write it as year, month and day: 2026-03-31", "%q is not a date", text)
			return
		}
		f.Date = text
	case "units":
		if r.either(key, value, text, "metric", "us") {
			f.Units = text
		}
	case "yours":
		if !token.IsIdentifier(text) {
			r.wrong(value, "as in yours: truck", "yours is the name of a vehicle in this notebook's blocks, not %q", text)
			return
		}
		f.Yours, f.YoursAt = text, r.snippet(value)
	case "draft":
		f.Draft = r.either(key, value, text, "true", "false") && text == "true"
	case "order":
		r.whole(key, value, text, -1e6, 1e6, &f.Order)
	case "draws":
		r.whole(key, value, text, 1, MaxDraws, &f.Draws)
	default:
		offset, _ := r.place(key)
		r.fault(offset, len(key.Value), diag.OneOf(key.Value, frontKeys), "front matter has no key %q", key.Value)
	}
}

func (r *frontReader) either(key, value *yaml.Node, text, one, other string) bool {
	if text == one || text == other {
		return true
	}
	r.wrong(value, diag.DidYouMean(text, []string{one, other}), "%s is %s or %s, not %q", key.Value, one, other, text)
	return false
}

func (r *frontReader) whole(key, value *yaml.Node, text string, least, most int, into *int) {
	n, err := strconv.Atoi(text)
	if err != nil || n < least || n > most {
		r.wrong(value, "", "%s is a whole number from %d to %d, not %q", key.Value, least, most, text)
		return
	}
	*into = n
}

// snippet finds where each piece of a value stands in the file. YAML has folded line ends and, in quotes,
// escapes away; the value and the file are walked side by side, and each line of the file becomes a line
// of the snippet. An escape is longer than what it stands for, and a backslash at a line's end stands for
// nothing, so what follows has moved.
func (r *frontReader) snippet(n *yaml.Node) diag.Snippet {
	at, _ := r.place(n)
	value := strings.TrimSpace(n.Value)
	switch n.Style &^ yaml.TaggedStyle {
	case yaml.SingleQuotedStyle, yaml.DoubleQuotedStyle:
		at++
	case yaml.LiteralStyle, yaml.FoldedStyle:
		if end := bytes.IndexByte(r.text[at:], '\n'); end >= 0 {
			at += end + 1
		}
	}
	s := diag.Snippet{File: r.file, Source: r.text}
	var out strings.Builder
	fresh := true // the next character starts a line of the snippet
	lineStart := 0
	jump := func(length int) {
		if at = min(at+length, len(r.text)); !fresh {
			s.Jumps = append(s.Jumps, diag.Jump{Line: len(s.Starts), Col: out.Len() - lineStart + 1, To: r.pos(at)})
		}
	}
	for i := 0; i < len(value); {
		if joint := continuation(n.Style, r.from(at)); joint > 0 {
			jump(joint)
			continue
		}
		if gap, _ := blanks(value[i:]); gap > 0 && escape(n.Style, r.from(at)) == 0 {
			length, crosses := blanks(r.from(at))
			if crosses {
				out.WriteByte('\n')
				fresh, lineStart = true, out.Len()
			} else {
				out.WriteString(max(r.from(at)[:length], " "))
			}
			i, at = i+gap, at+length
			continue
		}
		if fresh {
			indent, _ := blanks(r.from(at))
			at += indent
			s.Starts = append(s.Starts, r.pos(min(at, len(r.text))))
			fresh = false
		}
		_, size := utf8.DecodeRuneInString(value[i:])
		out.WriteString(strings.ReplaceAll(value[i:i+size], "\n", " "))
		if long := escape(n.Style, r.from(at)); long > 0 {
			jump(long)
		} else {
			at += size
		}
		i += size
	}
	s.Text = out.String()
	return s
}

// escape is the length of what stands for one character at the start of a text in quotes, or 0 (YAML 1.2,
// sections 5.7 and 7.3).
func escape(style yaml.Style, text string) int {
	switch style &^ yaml.TaggedStyle {
	case yaml.SingleQuotedStyle:
		if strings.HasPrefix(text, "''") {
			return 2
		}
	case yaml.DoubleQuotedStyle:
		if len(text) < 2 || text[0] != '\\' {
			return 0
		}
		switch text[1] {
		case 'x':
			return 4
		case 'u':
			return 6
		case 'U':
			return 10
		}
		return 2
	}
	return 0
}

// continuation is the length of a backslash that joins two lines, with the line end and the blanks that go with it, at
// the start of a text in quotes, or 0.
func continuation(style yaml.Style, text string) int {
	rest, ok := strings.CutPrefix(text, `\`)
	rest = strings.TrimPrefix(rest, "\r")
	if !ok || style&^yaml.TaggedStyle != yaml.DoubleQuotedStyle || !strings.HasPrefix(rest, "\n") {
		return 0
	}
	return len(text) - len(strings.TrimLeft(rest[1:], " \t"))
}

func (r *frontReader) from(at int) string {
	return string(r.text[min(at, len(r.text)):min(at+maxFrontLine, len(r.text))])
}

// blanks measures the white space that text starts with, and whether it crosses a line.
func blanks(text string) (length int, crosses bool) {
	length = len(text) - len(strings.TrimLeft(text, " \t\r\n"))
	return length, strings.Contains(text[:length], "\n")
}
