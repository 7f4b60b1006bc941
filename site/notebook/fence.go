package notebook

import (
	"bytes"
	"maps"
	"slices"
	"strings"
	"unicode"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"

	"turnplate/site/diag"
)

// fenceParser is goldmark's, and notes which fences were closed: CommonMark lets one run on to the end of
// the file, which in a notebook means that the rest of it silently disappears into a block.
type fenceParser struct{ parser.BlockParser }

func (p fenceParser) Continue(node ast.Node, reader text.Reader, pc parser.Context) parser.State {
	state := p.BlockParser.Continue(node, reader, pc)
	if state&parser.Close != 0 {
		pc.Get(notesKey).(*notes).closed[node] = true
	}
	return state
}

// readFence turns a fence marked `go params` into a Block in its place, one marked `equation` into an
// Equation, and leaves others as they are.
func (nb *Notebook) readFence(src *source, fence *ast.FencedCodeBlock, closed bool) {
	if !closed {
		nb.Cut = true
		start := fence.Pos()
		marks := strings.TrimLeft(string(src.text[start:]), string(src.text[start]))
		src.fault(start, len(src.text)-start-len(marks), "end it with a line of the same marks",
			"this fence never closes, so the rest of the file would be part of it")
	}
	if fence.Info == nil {
		return
	}
	words := fields(src, fence.Info.Segment)
	if closed && len(words) > 0 && words[0].text == "equation" {
		nb.readEquation(src, fence, words)
		return
	}
	if !isParams(src, words) {
		return
	}
	fold := Folded
	if len(words) > 2 {
		third, known := words[2], false
		if fold, known = folds[third.text]; !known {
			src.fault(third.at, len(third.text), diag.DidYouMean(third.text, slices.Sorted(maps.Keys(folds))),
				"%q is not a way to show a block; it is shown, hidden, lead, walk, or left out to fold it", third.text)
		}
		if first := nb.LeadBlock(); fold == Lead && first != nil {
			src.fault(third.at, len(third.text), "leave the word out here",
				"a page has one lead, and the block of line %d is it", first.Snippet.Starts[0].Line-1)
		}
	}
	if len(words) > 3 {
		src.fault(words[3].at, len(words[3].text), "", "nothing may follow %q on a parameter block's first line", words[2].text)
	}
	block := &Block{Index: len(nb.Blocks), Fold: fold, Snippet: body(src, fence)}
	block.SetPos(fence.Pos())
	block.SetBlankPreviousLines(fence.HasBlankPreviousLines())
	nb.Blocks = append(nb.Blocks, block)
	fence.Parent().ReplaceChild(fence.Parent(), fence, block)
	if fold == Walk {
		block.takeSteps(src, words[2])
	}
}

// folds are the words that say how a block's own text is shown.
var folds = map[string]Fold{"shown": Shown, "hidden": Hidden, "lead": Lead, "walk": Walk}

// takeSteps makes the numbered list below a walk its own.
func (block *Block) takeSteps(src *source, at word) {
	list, ok := block.NextSibling().(*ast.List)
	if !ok || !list.IsOrdered() {
		src.fault(at.at, len(at.text), "write the steps as 1., 2., 3. below the block",
			"a walk's figure stays beside its steps: a numbered list right below it, and there is none")
		return
	}
	block.Parent().RemoveChild(block.Parent(), list)
	block.AppendChild(block, list)
}

// body is what stands inside a fence.
func body(src *source, fence *ast.FencedCodeBlock) diag.Snippet {
	body := cutting{source: src}
	for i := range fence.Lines().Len() {
		line := fence.Lines().At(i)
		body.add(line.Start, line.Stop, line.Padding)
	}
	if len(body.lines) == 0 {
		body.starts = []diag.Pos{src.pos(fence.Info.Segment.Stop)}
		return body.snippet("")
	}
	return body.snippet(strings.Join(body.lines, "\n") + "\n")
}

type word struct {
	text string
	at   int // byte offset in the file
}

// fields takes an info string apart.
func fields(src *source, seg text.Segment) (words []word) {
	at := seg.Start
	for _, w := range bytes.FieldsFunc(src.text[seg.Start:seg.Stop], unicode.IsSpace) {
		at += bytes.Index(src.text[at:], w)
		words = append(words, word{string(w), at})
		at += len(w)
	}
	return words
}

// isParams says whether an info string starts `go params`. A near miss is a fault, because a block that is
// only printed would look calculated.
func isParams(src *source, words []word) bool {
	if len(words) < 2 || !strings.EqualFold(words[0].text, "go") {
		return false
	}
	if words[0].text == "go" && words[1].text == "params" {
		return true
	}
	if diag.Nearest(words[1].text, []string{"params"}) != "" {
		src.fault(words[0].at, words[1].at+len(words[1].text)-words[0].at, "did you mean go params?",
			"a parameter block starts with the words go params")
	}
	return false
}
