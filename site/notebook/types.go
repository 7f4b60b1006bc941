// Package notebook reads one Markdown file: front matter, parameter blocks and numbers in prose, each with
// its true place in the file. It knows nothing of what the blocks mean.
package notebook

import (
	"github.com/yuin/goldmark/ast"

	"turnplate/site/diag"
)

// Notebook is one file, read but not evaluated.
type Notebook struct {
	Path   string // slash-separated, from the collection's root, without ".md": "studies/caster"
	File   string // the same with ".md", for messages
	Source []byte
	Front  Front
	Root   ast.Node // goldmark's tree; *Block and *Insert nodes stand where the reader sees their result
	Blocks []*Block // in the order of the file
	// Inserts are the numbers in prose, in the order of the file.
	Inserts []*Insert
	Faults  diag.List
}

// Front is the front matter, with defaults filled in.
type Front struct {
	Title    string // plain text; from the first heading when not given
	Summary  string
	Order    int
	Date     string
	Author   string
	Units    string // "metric" or "us"
	Draft    bool
	Draws    int    // 1000 unless given
	Currency string // shown with money; "" prints the plain amount
	// TitleAt and SummaryAt are where those texts stand in the file, for numbers inside them.
	TitleAt, SummaryAt diag.Snippet
}

// Fold says how a block's own text is shown.
type Fold int

// The three ways, from the third word of the info string.
const (
	Folded Fold = iota // under its figure, closed
	Shown              // open
	Hidden             // not on the page
)
