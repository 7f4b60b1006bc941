// Package notebook reads one Markdown file: front matter, parameter blocks and numbers in prose, each with
// its true place in the file. It knows nothing of what the blocks mean.
//
//	Read      a file's bytes        -> *Notebook; what is wrong with it is in Faults
//	Parts     a title or a caption  -> its words and its numbers
//
// goldmark reads the Markdown. Tables, footnotes, definition lists and dollar equations are on; raw HTML is
// off, so that it reaches the page as the characters it is written with.
package notebook

import (
	"github.com/yuin/goldmark/ast"

	"turnplate/site/diag"
	"turnplate/site/equation"
)

// Notebook is one file, read but not evaluated. It is never changed after Read, so that any number of
// goroutines may share it. One that isn't read yet may be known by its Path, File and Front: see Complete.
type Notebook struct {
	Path   string // slash-separated, from the collection's root, without ".md": "studies/caster"
	File   string // the same with ".md", for messages
	Source []byte // without a byte order mark
	Front  Front
	Root   ast.Node // goldmark's tree; *Block, *Insert and *Equation nodes stand where the reader sees their result
	Blocks []*Block // in the order of the file
	// Inserts are the numbers in prose, in the order of the file.
	Inserts []*Insert
	// Links are what the prose points at, pictures included, in the order of the file.
	Links []Link
	// Cut means that a fence never closes: what comes after it can't be told from what belongs to it, so
	// nothing of the notebook is worth evaluating.
	Cut    bool
	Faults diag.List
}

// Draws of uncertainty: what stands without front matter, and the most a notebook may ask for.
const (
	DefaultDraws = 1000
	MaxDraws     = 100000
)

// Front is the front matter, with defaults filled in.
type Front struct {
	Title    string // plain text; from the first heading, or else the file name, when not given
	Summary  string
	Order    int
	Date     string
	Author   string
	Units    string // "metric" or "us"
	Draft    bool
	Draws    int    // 1000 unless given
	Currency string // shown with money; "" prints the plain amount
	Yours    string // the vehicle whose fields readers may replace with their own truck's, or ""
	// TitleAt and SummaryAt are where those texts stand in the file, for numbers inside them; YoursAt is where Yours does.
	TitleAt, SummaryAt, YoursAt diag.Snippet
	Lines                       int // of the file that front matter takes, from the first to its closing mark
}

// Fold says how a block's own text is shown.
type Fold int

// The ways, from the third word of the info string.
const (
	Folded Fold = iota // under its figure, closed
	Shown              // open
	Hidden             // not on the page
	Lead               // as Folded, with what it shows at the top of the page; one a page
	Walk               // as Folded, with what it shows staying beside the numbered list below, which is the block's child
)

// LeadBlock is the block whose figures open the page, or nil.
func (nb *Notebook) LeadBlock() *Block {
	for _, b := range nb.Blocks {
		if b.Fold == Lead {
			return b
		}
	}
	return nil
}

// Block is a fence whose info string starts `go params`.
type Block struct {
	ast.BaseBlock
	Index   int // in Notebook.Blocks
	Fold    Fold
	Snippet diag.Snippet // the body
}

// Steps is how many steps a walk has.
func (b *Block) Steps() int {
	if b.FirstChild() == nil {
		return 0
	}
	return b.FirstChild().ChildCount()
}

// KindBlock is the kind of *Block.
var KindBlock = ast.NewNodeKind("ParameterBlock")

// Kind implements ast.Node.
func (*Block) Kind() ast.NodeKind { return KindBlock }

// IsRaw implements ast.Node: a block's text is not Markdown.
func (*Block) IsRaw() bool { return true }

// Dump implements ast.Node.
func (b *Block) Dump(source []byte, level int) {
	ast.DumpHelper(b, source, level, map[string]string{"Text": b.Snippet.Text}, nil)
}

// Insert is a number in prose.
type Insert struct {
	ast.BaseInline
	Index   int          // in Notebook.Inserts
	Snippet diag.Snippet // what stands between the braces
}

// KindInsert is the kind of *Insert.
var KindInsert = ast.NewNodeKind("Insert")

// Kind implements ast.Node.
func (*Insert) Kind() ast.NodeKind { return KindInsert }

// Dump implements ast.Node.
func (n *Insert) Dump(source []byte, level int) {
	ast.DumpHelper(n, source, level, map[string]string{"Text": n.Snippet.Text}, nil)
}

// Equation is mathematics between dollar signs; between doubled ones, or in a fence marked `equation`, it
// stands on a line of its own.
type Equation struct {
	ast.BaseInline
	Display bool
	Snippet diag.Snippet // as typed, in TeX's notation
	MathML  string       // as set by package equation; "" where that found a fault
}

// Plain is the equation on one line of text, for a page's title and its contents.
func (n *Equation) Plain() string {
	if n.MathML == "" {
		return n.Snippet.Text
	}
	return equation.Plain(n.MathML)
}

// KindEquation is the kind of *Equation.
var KindEquation = ast.NewNodeKind("Equation")

// Kind implements ast.Node.
func (*Equation) Kind() ast.NodeKind { return KindEquation }

// Dump implements ast.Node.
func (n *Equation) Dump(source []byte, level int) {
	ast.DumpHelper(n, source, level, map[string]string{"Text": n.Snippet.Text}, nil)
}

// Link is one link or picture of the prose.
type Link struct {
	Dest    string // as typed
	Picture bool
	At      diag.Pos // of the destination, or of the link's words where that can't be told
	Length  int      // bytes to underline
}
