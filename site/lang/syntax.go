// Package lang reads the block language: the small subset of Go syntax that a parameter block may use, and
// the numbers in prose. It parses with go/parser and refuses everything outside an allow-list by name and
// place; it knows nothing of values, units or models.
//
//	Parse        a fence's body          -> *Block, statements that are known to be allowed
//	ParseInsert  the inside of {…}       -> *Insert, an expression with its unit and rounding
//	ScanInsert   prose that starts at {  -> how far the form reaches, if it is one
package lang

import (
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/scanner"
	"go/token"
	"strings"

	"turnplate/site/diag"
)

// Limits on a single piece of source. The parser's own depth guard stands far above what a notebook needs,
// so the bytes are capped before it and the depth after it.
const (
	MaxBlockBytes = 64 << 10
	MaxDepth      = 100
)

// Text is parsed source that can turn a node's position into a place in the notebook.
type Text struct {
	Snippet diag.Snippet
	files   *token.FileSet
	shift   map[*token.File]int // offset in Snippet.Text = offset in the file + shift
}

// Fault reports a mistake at a node.
func (t *Text) Fault(n ast.Node, hint, format string, args ...any) diag.Diagnostic {
	pos, length := t.Place(n)
	return diag.New(t.Snippet.File, t.Snippet.Source, pos, length, hint, fmt.Sprintf(format, args...))
}

// Place gives where a node stands in the notebook, and its length if it ends on the same line.
func (t *Text) Place(n ast.Node) (pos diag.Pos, length int) {
	from, to := t.offset(n.Pos()), t.offset(n.End())
	if to > from && !strings.Contains(t.Snippet.Text[from:to], "\n") {
		length = to - from
	}
	return t.Snippet.At(t.Snippet.Place(from)), length
}

// Line gives the notebook's line of a node.
func (t *Text) Line(n ast.Node) int {
	pos, _ := t.Place(n)
	return pos.Line
}

// Source gives a node's text as written.
func (t *Text) Source(n ast.Node) string { return t.Between(n, n) }

// Between gives the text from the start of one node to the end of a later one, as written.
func (t *Text) Between(from, to ast.Node) string {
	return t.Snippet.Text[t.offset(from.Pos()):t.offset(to.End())]
}

// Sub gives the part of the text inside a string literal, so that numbers in a caption keep their place.
// ok is false for a literal with escapes, whose columns would be off.
func (t *Text) Sub(lit *ast.BasicLit) (diag.Snippet, bool) {
	if strings.Contains(lit.Value, "\\") && lit.Value[0] == '"' {
		return diag.Snippet{}, false
	}
	return t.Snippet.Part(t.offset(lit.Pos())+1, t.offset(lit.End())-1), true
}

func (t *Text) offset(p token.Pos) int {
	f := t.files.File(p)
	if f == nil {
		return len(t.Snippet.Text)
	}
	// File.Offset ignores //line comments, which could otherwise forge a place.
	return min(max(f.Offset(p)+t.shift[f], 0), len(t.Snippet.Text))
}

// Block is a parameter block whose statements are assignments and expressions of the allowed kinds.
type Block struct {
	*Text
	Stmts []ast.Stmt
	Parts []Parts // of each statement
}

// Parts are what a statement is made of, as far as others ask for it.
type Parts struct {
	Names []string   // of values and functions that it reads
	Calls []ast.Expr // its calls and literals, outer ones before what stands in them
}

const wrapBefore, wrapAfter = "package p;func _(){\n", "\n}"

// Parse reads a block. With any fault the statements are not to be evaluated.
func Parse(s diag.Snippet) (*Block, diag.List) {
	t := &Text{Snippet: s, files: token.NewFileSet(), shift: map[*token.File]int{}}
	if len(s.Text) > MaxBlockBytes {
		return nil, diag.List{s.Fault(1, 1, 0, "split it into several blocks", "this block has %d bytes; the most is %d", len(s.Text), MaxBlockBytes)}
	}
	if depth := bracketDepth(s.Text); depth > MaxDepth {
		return nil, diag.List{s.Fault(1, 1, 0, "", "this block nests %d brackets deep; the most is %d", depth, MaxDepth)}
	}
	file, err := parser.ParseFile(t.files, "", wrapBefore+s.Text+wrapAfter, parser.SkipObjectResolution)
	if err != nil {
		return nil, t.syntaxFaults(err, -len(wrapBefore))
	}
	t.shift[t.files.File(file.Package)] = -len(wrapBefore)
	if len(file.Decls) != 1 {
		return nil, diag.List{t.Fault(file.Decls[1], "", "this closing brace has no opening one, or a function is declared; a parameter block has only assignments and expressions")}
	}
	b := &Block{Text: t, Stmts: file.Decls[0].(*ast.FuncDecl).Body.List}
	var faults diag.List
	b.Parts, faults = t.check(b.Stmts)
	return b, faults
}

func (t *Text) syntaxFaults(err error, shift int) diag.List {
	var list scanner.ErrorList
	if !errors.As(err, &list) {
		return diag.List{t.Snippet.Fault(1, 1, 0, "", "%s", err)}
	}
	list.RemoveMultiples()
	if f, found := t.habitFault(list[0].Pos.Offset + shift); found {
		return diag.List{f}
	}
	if f, found := t.keyword(list[0].Pos.Offset + shift); found {
		return diag.List{f}
	}
	const most = 3 // after a syntax error the rest is mostly its echo
	var faults diag.List
	for _, e := range list[:min(len(list), most)] {
		faults = append(faults, t.Snippet.FaultAt(e.Pos.Offset+shift, 0, "", "%s", plain(e.Msg)))
	}
	return faults
}

// keyword finds a word of Go's own on the line where the parser gave up, or on the one before: a declaration,
// or a name that can't be one.
func (t *Text) keyword(offset int) (fault diag.Diagnostic, found bool) {
	stopped, _ := t.Snippet.Place(offset)
	tokens(t.Snippet.Text, func(at int, tok token.Token, lit string) bool {
		line, col := t.Snippet.Place(at)
		if tok.IsKeyword() && (line == stopped || line == stopped-1) {
			fault, found = t.Snippet.Fault(line, col, len(lit), "", "%s is a word of Go's own; a parameter block has only assignments and expressions, and it can't be a name", lit), true
		}
		return !found && line <= stopped
	})
	return fault, found
}

// plain puts the parser's words into a notebook writer's.
func plain(msg string) string {
	switch {
	case strings.Contains(msg, "missing ',' before newline"), strings.Contains(msg, "missing ',' before end"):
		return "a comma is missing at the end of this line (Go wants one after every item of a list that closes on a later line)"
	case strings.HasPrefix(msg, "expected operand, found"):
		return "a value was expected here, found" + strings.TrimPrefix(msg, "expected operand, found")
	case strings.Contains(msg, "string literal not terminated"):
		return "this text has no closing quote on its line"
	}
	return strings.ReplaceAll(msg, "'EOF'", "the end of the block")
}

// bracketDepth finds the deepest nesting of brackets and of prefix operators without recursion: the parser
// and the checker recurse, and a stack that overflows can't be recovered.
func bracketDepth(text string) int {
	depth, deepest, run := 0, 0, 0
	tokens(text, func(_ int, tok token.Token, _ string) bool {
		switch tok {
		case token.LPAREN, token.LBRACK, token.LBRACE:
			depth++
		case token.RPAREN, token.RBRACK, token.RBRACE:
			depth--
		}
		switch tok {
		case token.SUB, token.ADD, token.NOT, token.MUL, token.AND, token.XOR, token.TILDE, token.ARROW, token.IF, token.FOR, token.FUNC, token.CHAN, token.MAP:
			run++
		default:
			run = 0
		}
		deepest = max(deepest, depth+run)
		return true
	})
	return deepest
}

// Chain takes a.b.c apart: the name that it starts at, and the fields after it. root is nil where it starts at none.
func Chain(e ast.Expr) (root *ast.Ident, path []string) {
	for {
		switch x := e.(type) {
		case *ast.SelectorExpr:
			path = append([]string{x.Sel.Name}, path...)
			e = x.X
		case *ast.Ident:
			return x, path
		default:
			return nil, path
		}
	}
}
