package notebook

import (
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	xast "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"

	"turnplate/site/diag"
)

// footnoteParser is goldmark's, and reports a mark whose note isn't there: goldmark prints it as it was
// typed, and a source that readers could look up is lost.
type footnoteParser struct{ parser.InlineParser }

func newFootnoteParser() parser.InlineParser { return footnoteParser{extension.NewFootnoteParser()} }

func (p footnoteParser) Parse(parent ast.Node, block text.Reader, pc parser.Context) ast.Node {
	line, segment := block.PeekLine()
	start := segment.Start
	if strings.HasPrefix(string(line), "!") {
		line, start = line[1:], start+1
	}
	node := p.InlineParser.Parse(parent, block, pc)
	if label := mark(line); node == nil && label != "" {
		notes := pc.Get(notesKey).(*notes)
		notes.fault(start, len(label), missingNote(label, notes.defined), "no note goes with this mark; it would start with %s:", label)
	}
	return node
}

// mark is the footnote mark that a text begins with, brackets and all, or "". What is followed by a
// destination is a link.
func mark(line []byte) string {
	s := string(line)
	end := strings.IndexByte(s, ']')
	if !strings.HasPrefix(s, "[^") || end < 0 || strings.TrimSpace(s[2:end]) == "" {
		return ""
	}
	if after := s[end+1:]; strings.HasPrefix(after, "(") || strings.HasPrefix(after, "[") {
		return ""
	}
	return s[:end+1]
}

func missingNote(label string, defined []definition) string {
	const most = 100 // with more, the search for a near name takes longer than it is worth
	var known []string
	for _, d := range defined[:min(len(defined), most)] {
		known = append(known, d.label)
	}
	if near := diag.DidYouMean(label, known); near != "" {
		return near
	}
	return `write \` + label + " if it is meant as text"
}

// definition is one note.
type definition struct {
	label string // "[^source]"
	at    int
	node  *xast.Footnote
}

// footnoteBlockParser is goldmark's, and notes where each note stands.
type footnoteBlockParser struct{ parser.BlockParser }

func newFootnoteBlockParser() parser.BlockParser {
	return footnoteBlockParser{extension.NewFootnoteBlockParser()}
}

func (p footnoteBlockParser) Open(parent ast.Node, reader text.Reader, pc parser.Context) (ast.Node, parser.State) {
	line, segment := reader.PeekLine()
	indent := len(line) - len(strings.TrimLeft(string(line), " "))
	node, state := p.BlockParser.Open(parent, reader, pc)
	if note, ok := node.(*xast.Footnote); ok {
		notes := pc.Get(notesKey).(*notes)
		notes.defined = append(notes.defined, definition{"[^" + string(note.Ref) + "]", segment.Start + indent, note})
	}
	return node, state
}

// unusedNotes reports notes that no mark leads to: goldmark leaves them out of the page.
func (n *notes) unusedNotes() {
	seen := map[string]bool{}
	for _, d := range n.defined {
		switch {
		case seen[d.label]:
			n.fault(d.at, len(d.label), "", "there is a note %s already", d.label)
		case d.node.Index < 0:
			n.fault(d.at, len(d.label), "", "no mark %s leads to this note, so nobody would read it", d.label)
		}
		seen[d.label] = true
	}
}
