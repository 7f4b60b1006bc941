package notebook

import (
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"

	"turnplate/site/diag"
	"turnplate/site/equation"
)

// equationParser makes Equations of what stands between dollar signs, before underscores and braces in it
// are taken for Markdown or for numbers. So that amounts of money stay prose, a single dollar sign opens
// only before a character that is no blank, and closes only on the same line, after a character that is no
// blank, and where no digit follows: "$5 to $10" is text.
type equationParser struct{}

func (equationParser) Trigger() []byte { return []byte{'$'} }

func (equationParser) Parse(parent ast.Node, block text.Reader, pc parser.Context) ast.Node {
	_, start := block.Position()
	ahead := lookAhead(block, pc.Get(notesKey).(*notes).source, maxEquation)
	joined := strings.Join(ahead.lines, "\n")
	signs, end := 1, -1
	if strings.HasPrefix(joined, "$$") {
		signs = 2
		end = closeDouble(joined)
	} else {
		end = closeSingle(ahead.lines[0])
	}
	if end < 0 {
		return nil
	}
	node := &Equation{Display: signs == 2, Snippet: ahead.snippet(joined).Part(signs, end)}
	node.SetPos(start.Start)
	skip(block, joined[:end+signs])
	return node
}

// closeDouble gives where the closing signs of $$…$$ start, or -1.
func closeDouble(text string) int {
	at := strings.Index(text[2:], "$$")
	if at < 0 || strings.TrimSpace(text[2:2+at]) == "" {
		return -1
	}
	return 2 + at
}

// closeSingle gives where the closing sign of $…$ stands, or -1.
func closeSingle(line string) int {
	blank := func(c byte) bool { return c == ' ' || c == '\t' }
	if len(line) < 3 || blank(line[1]) {
		return -1
	}
	for i := 2; i < len(line); i++ {
		opensAmount := i+1 < len(line) && line[i+1] >= '0' && line[i+1] <= '9'
		if line[i] == '$' && line[i-1] != '\\' && !blank(line[i-1]) && !opensAmount {
			return i
		}
	}
	return -1
}

// readEquation turns a fence marked `equation` into a paragraph that holds nothing else.
func (nb *Notebook) readEquation(src *source, fence *ast.FencedCodeBlock, words []word) {
	if len(words) > 1 {
		src.fault(words[1].at, len(words[1].text), "", "nothing may follow \"equation\" on a fence's first line")
	}
	node := &Equation{Display: true, Snippet: body(src, fence)}
	node.SetPos(fence.Pos())
	alone := ast.NewParagraph()
	alone.SetPos(fence.Pos())
	alone.SetBlankPreviousLines(fence.HasBlankPreviousLines())
	alone.AppendChild(alone, node)
	fence.Parent().ReplaceChild(fence.Parent(), fence, alone)
	node.set(src)
}

// set typesets an equation.
func (n *Equation) set(src *source) {
	var faults diag.List
	n.MathML, faults = equation.Set(n.Snippet, n.Display)
	src.faults = append(src.faults, faults...)
}
