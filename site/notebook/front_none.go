//go:build js

package notebook

import (
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
)

// readFront isn't for a browser: there each notebook's front matter is known before the rest of it is read (Complete).
func (*Notebook) readFront(*source, parser.Context) ast.Node {
	panic("notebook: front matter can't be read in a browser")
}
