package notebook

import (
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"

	"turnplate/site/diag"
	"turnplate/site/lang"
)

// insertParser makes Inserts of the braces that the language takes for a number in prose. goldmark handles
// code spans and `\{` before it asks.
type insertParser struct{}

func (insertParser) Trigger() []byte { return []byte{'{'} }

func (insertParser) Parse(parent ast.Node, block text.Reader, pc parser.Context) ast.Node {
	notes := pc.Get(notesKey).(*notes)
	if notes.misses > maxMisses {
		return nil
	}
	_, start := block.Position()
	ahead := lookAhead(block, notes.source, lang.MaxInsertBytes)
	joined := strings.Join(ahead.lines, "\n")
	length, ok := 0, false
	if strings.IndexByte(joined[:min(len(joined), lang.MaxInsertBytes)], '}') > 0 {
		length, ok = lang.ScanInsert(joined)
	}
	if !ok {
		if notes.misses++; notes.misses > maxMisses {
			notes.fault(start.Start, 0, `write \{ for a plain brace`, "the notebook has too many braces that begin no number")
		}
		return nil
	}
	skip(block, joined[:length])
	node := &Insert{Snippet: ahead.snippet(joined).Part(1, length-1)}
	node.SetPos(start.Start)
	return node
}

// lookAhead gathers the lines of a paragraph from here on, at least size bytes of them where there are as
// many, and leaves the reader where it was.
func lookAhead(block text.Reader, src *source, size int) cutting {
	line, start := block.Position()
	ahead := cutting{source: src}
	for size > 0 {
		bytes, seg := block.PeekLine()
		if bytes == nil {
			break
		}
		ahead.add(seg.Start, min(seg.Stop, seg.Start+size+1), seg.Padding)
		size -= seg.Len()
		block.AdvanceLine()
	}
	block.SetPosition(line, start)
	return ahead
}

// skip moves past what lookAhead saw.
func skip(block text.Reader, seen string) {
	for range strings.Count(seen, "\n") {
		block.AdvanceLine()
	}
	block.Advance(len(seen) - 1 - strings.LastIndexByte(seen, '\n'))
}

// Part is a piece of a title, a caption or another text outside Markdown: words, or a number.
type Part struct {
	Text    string       // the words; "" for a number
	Insert  bool         // a number
	Snippet diag.Snippet // what stands between a number's braces
}

// Parts cuts a text into words and numbers by the rules of prose: braces that aren't the form are words, and
// `\{` is a brace.
func Parts(s diag.Snippet) []Part {
	var parts []Part
	words := ""
	flush := func() {
		if words != "" {
			parts = append(parts, Part{Text: words})
		}
		words = ""
	}
	for at := 0; at < len(s.Text); {
		next := strings.IndexByte(s.Text[at:], '{')
		if next < 0 {
			words += s.Text[at:]
			break
		}
		words += s.Text[at : at+next]
		at += next
		if strings.HasSuffix(words, `\`) {
			words = words[:len(words)-1] + "{"
			at++
			continue
		}
		length, ok := lang.ScanInsert(s.Text[at:])
		if !ok {
			words += "{"
			at++
			continue
		}
		flush()
		parts = append(parts, Part{Insert: true, Snippet: s.Part(at+1, at+length-1)})
		at += length
	}
	flush()
	return parts
}
