package notebook

import (
	"bytes"
	"cmp"
	"path"
	"slices"
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"

	"turnplate/site/diag"
)

var byteOrderMark = []byte("\ufeff")

// Read takes a notebook apart. It never fails: what is wrong is in Faults, and a file that can't be read as
// text at all gives an empty Root beside them. The path is slash-separated from the collection's root,
// without ".md".
func Read(name string, content []byte) *Notebook {
	nb := &Notebook{Path: name, File: name + ".md", Front: Front{Title: path.Base(name), Units: "metric", Draws: DefaultDraws}}
	nb.read(content, nb.readFront)
	return nb
}

// Complete reads the file of a notebook of which the Front is known already. What was known stays as it is, so that others
// may read that meanwhile.
func (nb *Notebook) Complete(content []byte) {
	nb.read(content, nb.passFront)
	for _, text := range []*diag.Snippet{&nb.Front.TitleAt, &nb.Front.SummaryAt, &nb.Front.YoursAt} {
		text.File, text.Source = nb.File, nb.Source
	}
}

// passFront parses a file behind its front matter.
func (nb *Notebook) passFront(src *source, pc parser.Context) ast.Node {
	reader := text.NewReader(src.text)
	for range nb.Front.Lines {
		reader.AdvanceLine()
	}
	return markdown().Parse(reader, parser.WithContext(pc))
}

// read takes the file apart, which parse makes a tree of: front matter is read with the rest or known before.
func (nb *Notebook) read(content []byte, parse func(*source, parser.Context) ast.Node) {
	nb.Source, nb.Root = bytes.TrimPrefix(content, byteOrderMark), ast.NewDocument()
	src := newSource(nb.File, nb.Source)
	if !src.readable(len(content) - len(nb.Source)) {
		nb.Faults = src.faults
		return
	}

	pc := parser.NewContext()
	notes := &notes{source: src, closed: map[ast.Node]bool{}}
	pc.Set(notesKey, notes)
	nb.Root = parse(src, pc)
	notes.unusedNotes()
	nb.collect(src, notes)
	if nb.Front.TitleAt.Text == "" {
		nb.titleFromHeading(src)
	}
	src.faults.Sort()
	nb.Faults = src.faults[:min(len(src.faults), diag.Most)]
}

// notes is what the parsers leave for Read while goldmark walks the file: goldmark's own interfaces have no
// way to report a mistake.
type notes struct {
	*source
	closed  map[ast.Node]bool // fences that were closed
	misses  int               // braces that began no number
	defined []definition      // footnotes
}

var notesKey = parser.NewContextKey()

// markdown makes the parser. It is CommonMark with tables, footnotes and definition lists, without raw
// HTML, which stays text. Each file gets its own: goldmark documents no parser as safe to share while
// extensions keep state.
func markdown(more ...parser.Option) parser.Parser {
	return parser.NewParser(append(more,
		parser.WithBlockParsers(
			util.Prioritized(parser.NewSetextHeadingParser(), 100),
			util.Prioritized(extension.NewDefinitionListParser(), 101),
			util.Prioritized(extension.NewDefinitionDescriptionParser(), 102),
			util.Prioritized(parser.NewThematicBreakParser(), 200),
			util.Prioritized(parser.NewListParser(), 300),
			util.Prioritized(parser.NewListItemParser(), 400),
			util.Prioritized(parser.NewCodeBlockParser(), 500),
			util.Prioritized(parser.NewATXHeadingParser(), 600),
			util.Prioritized(fenceParser{parser.NewFencedCodeBlockParser()}, 700),
			util.Prioritized(parser.NewBlockquoteParser(), 800),
			util.Prioritized(newFootnoteBlockParser(), 999),
			util.Prioritized(parser.NewParagraphParser(), 1000),
		),
		parser.WithInlineParsers(
			util.Prioritized(parser.NewCodeSpanParser(), 100),
			util.Prioritized(newFootnoteParser(), 101),
			util.Prioritized(insertParser{}, 150),
			util.Prioritized(equationParser{}, 160),
			util.Prioritized(parser.NewLinkParser(), 200),
			util.Prioritized(parser.NewAutoLinkParser(), 300),
			util.Prioritized(parser.NewEmphasisParser(), 500),
		),
		parser.WithParagraphTransformers(
			util.Prioritized(parser.LinkReferenceParagraphTransformer, 100),
			util.Prioritized(extension.NewTableParagraphTransformer(), 200),
		),
		parser.WithASTTransformers(
			util.Prioritized(extension.NewTableASTTransformer(), 0),
			util.Prioritized(extension.NewFootnoteASTTransformer(), 999),
		),
	)...)
}

// collect walks the tree once: fences become blocks, and blocks, inserts and links are listed in the order
// of the file, which differs from the tree's where a footnote was moved to the end.
func (nb *Notebook) collect(src *source, notes *notes) {
	var fences []*ast.FencedCodeBlock
	linked := 0
	// A reference of few bytes stands for a destination that may be long, every time it is used.
	refer := func(n ast.Node, dest, title []byte, picture bool) {
		before := linked
		if linked += len(dest) + len(title); linked <= MaxLinked {
			nb.Links = append(nb.Links, src.link(dest, n.Pos(), picture))
		} else if before <= MaxLinked {
			src.fault(n.Pos(), 1, "shorter ones, or fewer references to them",
				"the destinations and titles of links take more than %d KiB by here", MaxLinked>>10)
		}
	}
	ast.Walk(nb.Root, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.FencedCodeBlock:
			fences = append(fences, n)
		case *Insert:
			nb.Inserts = append(nb.Inserts, n)
		case *Equation:
			n.set(src)
		case *ast.Link:
			refer(n, n.Destination, n.Title, false)
		case *ast.Image:
			refer(n, n.Destination, n.Title, true)
			src.describe(n)
		case *ast.AutoLink:
			refer(n, n.URL(nb.Source), nil, false)
		}
		return ast.WalkContinue, nil
	})
	slices.SortStableFunc(fences, func(a, b *ast.FencedCodeBlock) int { return cmp.Compare(a.Pos(), b.Pos()) })
	for _, f := range fences {
		nb.readFence(src, f, notes.closed[f])
	}
	slices.SortStableFunc(nb.Inserts, func(a, b *Insert) int { return cmp.Compare(a.Pos(), b.Pos()) })
	for i, n := range nb.Inserts {
		n.Index = i
	}
	slices.SortStableFunc(nb.Links, func(a, b Link) int { return a.At.Compare(b.At) })
}

// titleFromHeading takes the first heading's words, without its Markdown, for the title.
func (nb *Notebook) titleFromHeading(src *source) {
	var heading *ast.Heading
	ast.Walk(nb.Root, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if h, ok := n.(*ast.Heading); ok && entering {
			heading = h
			return ast.WalkStop, nil
		}
		return ast.WalkContinue, nil
	})
	if heading == nil || heading.Lines().Len() == 0 {
		return
	}
	words, first, firstAt := "", -1, 0
	ast.Walk(heading, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Text:
			words += string(util.UnescapePunctuations(n.Segment.Value(src.text)))
			if n.SoftLineBreak() || n.HardLineBreak() {
				words += " "
			}
		case *ast.String:
			words += string(n.Value)
		case *Equation:
			words += strings.ReplaceAll(n.Plain(), "{", `\{`) // the brace of a set begins no number
		case *Insert:
			if first < 0 {
				first, firstAt = len(words), n.Pos()
			}
			words += "{" + strings.ReplaceAll(n.Snippet.Text, "\n", " ") + "}"
		}
		return ast.WalkContinue, nil
	})
	if strings.TrimSpace(words) == "" {
		return
	}
	// The words have lost their Markdown, so their columns are right at one point only: the first number.
	at := src.pos(heading.Lines().At(0).Start)
	if first >= 0 {
		at = src.pos(firstAt)
		at.Col -= first
	}
	nb.Front.Title = words
	nb.Front.TitleAt = diag.Snippet{File: src.file, Source: src.text, Text: words, Starts: []diag.Pos{at}}
}
