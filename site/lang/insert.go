package lang

import (
	"go/ast"
	"go/parser"
	"go/scanner"
	"go/token"
	"strconv"
	"strings"

	"turnplate/site/diag"
)

// MaxInsertBytes bounds a number in prose.
const MaxInsertBytes = 1000

// Insert is a number in prose: {Value}, {Value in In} or {Value in In to To}, and {Value to To} for a plain
// number.
type Insert struct {
	*Text
	Value ast.Expr
	In    ast.Expr // nil when bare
	To    ast.Expr // nil for the usual rounding
}

// ScanInsert says whether text, which starts at a brace, starts with a number in prose, and how many bytes
// it takes, both braces included. What doesn't parse as the form is ordinary text.
func ScanInsert(text string) (length int, ok bool) {
	length = closing(text)
	if length == 0 {
		return 0, false
	}
	inner := text[1 : length-1]
	value, in, to := split(inner)
	wrong, _, _ := slip(in, to)
	if to.given && !in.given && !wrong.given && !isNumber(to.text) {
		return 0, false // "{from a to b}" is somebody's prose
	}
	for _, part := range []piece{value, in, to} {
		if !part.given || part == wrong {
			continue
		}
		if bracketDepth(part.text) > MaxDepth {
			return 0, false
		}
		if _, err := parser.ParseExprFrom(token.NewFileSet(), "", oneLine(part.text), parser.SkipObjectResolution); err != nil {
			return 0, false
		}
	}
	return length, true
}

// ParseInsert reads the text between the braces.
func ParseInsert(s diag.Snippet) (*Insert, diag.List) {
	t := &Text{Snippet: s, files: token.NewFileSet(), shift: map[*token.File]int{}}
	value, in, to := split(s.Text)
	ins := &Insert{Text: t}
	if part, message, hint := slip(in, to); part.given {
		at := part.from + len(part.text) - len(strings.TrimLeft(part.text, " \n"))
		return nil, diag.List{s.FaultAt(at, len(strings.TrimSpace(part.text)), hint, "%s", message)}
	}
	var faults diag.List
	for _, part := range []struct {
		piece
		into *ast.Expr
	}{{value, &ins.Value}, {in, &ins.In}, {to, &ins.To}} {
		if !part.given {
			continue
		}
		e, err := parser.ParseExprFrom(t.files, "", oneLine(part.text), parser.SkipObjectResolution)
		if err != nil {
			return nil, append(faults, t.syntaxFaults(err, part.from)...)
		}
		t.shift[t.files.File(e.Pos())] = part.from
		*part.into = e
		_, wrong := t.check([]ast.Stmt{&ast.ExprStmt{X: e}})
		faults = append(faults, wrong...)
	}
	if len(faults) > 0 {
		return nil, faults
	}
	return ins, nil
}

// A paragraph may wrap inside the braces; Go would end the expression there.
func oneLine(text string) string { return strings.NewReplacer("\n", " ", "\r", " ").Replace(text) }

// closing finds the brace that matches the first one, and gives the bytes up to and with it, or 0.
func closing(text string) int {
	text = text[:min(len(text), MaxInsertBytes)]
	depth, found := 0, 0
	tokens(text, func(offset int, tok token.Token, _ string) bool {
		switch tok {
		case token.LBRACE:
			depth++
		case token.RBRACE:
			if depth--; depth == 0 {
				found = offset + 1
			}
		}
		return found == 0
	})
	return found
}

type piece struct {
	text  string
	from  int
	given bool
}

// split cuts at the words `in` and `to` that stand outside all brackets. Neither is a Go operator, so no
// expression has them there.
func split(text string) (value, in, to piece) {
	inAt, toAt := -1, -1
	depth := 0
	tokens(text, func(offset int, tok token.Token, lit string) bool {
		switch tok {
		case token.LPAREN, token.LBRACE, token.LBRACK:
			depth++
		case token.RPAREN, token.RBRACE, token.RBRACK:
			depth--
		case token.IDENT:
			if depth == 0 && offset > 0 && lit == "in" && inAt < 0 && toAt < 0 { // after `to` it belongs to the step
				inAt = offset
			}
			if depth == 0 && offset > 0 && lit == "to" && toAt < 0 {
				toAt = offset
			}
		}
		return true
	})
	end := len(text)
	if toAt >= 0 {
		to = piece{text[toAt+2:], toAt + 2, true}
		end = toAt
	}
	if inAt >= 0 {
		in = piece{text[inAt+2 : end], inAt + 2, true}
		end = inAt
	}
	return piece{text[:end], 0, true}, in, to
}

// tokens scans a text as Go's scanner takes it, until visit has seen enough.
func tokens(text string, visit func(offset int, tok token.Token, lit string) bool) {
	var s scanner.Scanner
	set := token.NewFileSet()
	file := set.AddFile("", set.Base(), len(text))
	s.Init(file, []byte(text), func(token.Position, string) {}, 0)
	for {
		pos, tok, lit := s.Scan()
		if tok == token.EOF || !visit(file.Offset(pos), tok, lit) {
			return
		}
	}
}

func isNumber(text string) bool {
	_, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	return err == nil
}
