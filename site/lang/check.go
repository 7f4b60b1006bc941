package lang

import (
	"go/ast"
	"go/token"

	"turnplate/site/diag"
)

// check refuses everything that isn't on the list below. go/parser accepts all of Go, function literals
// included, so that a block parses proves nothing about it.
func (t *Text) check(stmts []ast.Stmt) ([]Parts, diag.List) {
	c := &checker{text: t, parts: make([]Parts, len(stmts))}
	for i, s := range stmts {
		c.at = &c.parts[i]
		c.stmt(s)
	}
	return c.parts, c.faults
}

type checker struct {
	text   *Text
	parts  []Parts
	at     *Parts // of the statement at hand
	faults diag.List
}

func (c *checker) refuse(n ast.Node, hint, format string, args ...any) {
	if len(c.faults) < diag.Most {
		c.faults = append(c.faults, c.text.Fault(n, hint, format, args...))
	}
}

func (c *checker) stmt(s ast.Stmt) {
	switch s := s.(type) {
	case *ast.EmptyStmt:
	case *ast.ExprStmt:
		c.expr(s.X, MaxDepth)
	case *ast.AssignStmt:
		c.assign(s)
	default:
		c.refuse(s, "", "%s isn't part of a parameter block; it has only assignments and expressions", nameStmt(s))
	}
}

func (c *checker) assign(s *ast.AssignStmt) {
	if s.Tok != token.DEFINE && s.Tok != token.ASSIGN {
		c.refuse(s, "write it out with =", "%s isn't part of a parameter block", s.Tok)
		return
	}
	if len(s.Lhs) != 1 || len(s.Rhs) != 1 {
		hint := "use one line for each"
		if decimal := DecimalComma(c.text.Source(s)); decimal != "" {
			hint = decimal
		}
		c.refuse(s, hint, "one name takes one value")
		return
	}
	c.expr(s.Rhs[0], MaxDepth)
	for at := s.Lhs[0]; ; {
		switch e := at.(type) {
		case *ast.Ident:
			if e.Name == "_" {
				c.refuse(e, "", "a value needs a name")
			}
			return
		case *ast.SelectorExpr:
			if s.Tok == token.DEFINE {
				c.refuse(s.Lhs[0], "use = for a field", ":= makes a new name")
				return
			}
			at = e.X
		default:
			c.refuse(s.Lhs[0], "", "only a name or a field of one, such as truck.Tyre.Mass, can be set")
			return
		}
	}
}

var operators = map[token.Token]bool{
	token.ADD: true, token.SUB: true, token.MUL: true, token.QUO: true,
	token.EQL: true, token.NEQ: true, token.LSS: true, token.LEQ: true, token.GTR: true, token.GEQ: true,
	token.LAND: true, token.LOR: true,
}

func (c *checker) expr(e ast.Expr, depth int) {
	if depth == 0 {
		c.refuse(e, "give parts of it names of their own", "this expression is nested too deeply")
		return
	}
	switch e := e.(type) {
	case *ast.Ident:
		c.at.Names = append(c.at.Names, e.Name)
	case *ast.BasicLit:
		if e.Kind == token.CHAR || e.Kind == token.IMAG {
			c.refuse(e, "", "only numbers and text in double quotes or backquotes can be written here")
		}
	case *ast.ParenExpr:
		c.expr(e.X, depth-1)
	case *ast.UnaryExpr:
		if e.Op != token.SUB && e.Op != token.ADD && e.Op != token.NOT {
			c.refuse(e, "", "the operator %s isn't part of a parameter block", e.Op)
		}
		c.expr(e.X, depth-1)
	case *ast.BinaryExpr:
		if !operators[e.Op] {
			hint := ""
			if e.Op == token.XOR {
				hint = "powers are written as products, x*x"
			}
			c.refuse(e, hint, "the operator %s isn't part of a parameter block", e.Op)
		}
		// A long sum leans left; only real nesting counts as depth.
		c.left(e.X, depth)
		c.expr(e.Y, depth-1)
	case *ast.SelectorExpr:
		c.left(e.X, depth)
	case *ast.CallExpr:
		c.at.Calls = append(c.at.Calls, e)
		if e.Ellipsis.IsValid() {
			c.refuse(e, "", "... isn't part of a parameter block")
		}
		switch e.Fun.(type) {
		case *ast.Ident, *ast.SelectorExpr:
			c.left(e.Fun, depth)
		default:
			c.refuse(e.Fun, "", "only listed functions, and .At, .Min, .Max, .Mean and .Called of a value, can be called")
		}
		for _, a := range e.Args {
			c.expr(a, depth-1)
		}
	case *ast.CompositeLit:
		c.at.Calls = append(c.at.Calls, e)
		c.literal(e, depth)
	default:
		hint := ""
		if _, ok := e.(*ast.IndexExpr); ok {
			hint = "use .At(axis, value)"
		}
		c.refuse(e, hint, "%s isn't part of a parameter block", nameExpr(e))
	}
}

// left walks the left spine of a chain (a+b+c, a.b.c) without using up depth for each link: MaxBlockBytes
// bounds its length to some ten thousand links, which Go's growing stack takes easily.
func (c *checker) left(e ast.Expr, depth int) { c.expr(e, depth-1+spine(e)) }

func spine(e ast.Expr) int {
	switch e.(type) {
	case *ast.BinaryExpr, *ast.SelectorExpr:
		return 1
	}
	return 0
}

// decimal refuses a field's value that goes on behind a decimal comma.
func (c *checker) decimal(value, next ast.Expr) {
	if _, keyed := next.(*ast.KeyValueExpr); keyed {
		return
	}
	if hint := DecimalComma(c.text.Between(value, next)); hint != "" {
		c.refuse(value, hint, "this number is cut in two")
	}
}

func (c *checker) literal(e *ast.CompositeLit, depth int) {
	switch t := e.Type.(type) {
	case nil, *ast.Ident:
	case *ast.ArrayType:
		if _, ok := t.Elt.(*ast.Ident); !ok || t.Len != nil {
			c.refuse(t, "write it as []Column{…}", "this kind of list isn't part of a parameter block")
		}
	default:
		c.refuse(t, "", "%s isn't part of a parameter block", nameExpr(e.Type))
	}
	for i, item := range e.Elts {
		kv, keyed := item.(*ast.KeyValueExpr)
		if keyed && i+1 < len(e.Elts) {
			c.decimal(kv.Value, e.Elts[i+1])
		}
		if !keyed {
			c.expr(item, depth-1)
			continue
		}
		switch k := kv.Key.(type) {
		case *ast.Ident:
		case *ast.BasicLit:
			c.expr(k, depth-1)
		default:
			c.refuse(kv.Key, "", "a field's name or a label in quotes was expected before the colon")
		}
		c.expr(kv.Value, depth-1)
	}
}

func nameStmt(s ast.Stmt) string {
	switch s := s.(type) {
	case *ast.ForStmt, *ast.RangeStmt:
		return "a loop"
	case *ast.IfStmt:
		return "an if statement"
	case *ast.SwitchStmt, *ast.TypeSwitchStmt, *ast.SelectStmt:
		return "a switch"
	case *ast.GoStmt:
		return "a goroutine"
	case *ast.DeferStmt:
		return "defer"
	case *ast.ReturnStmt:
		return "return"
	case *ast.IncDecStmt:
		return s.Tok.String()
	case *ast.BlockStmt:
		return "a nested block"
	case *ast.DeclStmt:
		if g, ok := s.Decl.(*ast.GenDecl); ok {
			return "a " + g.Tok.String() + " declaration"
		}
	}
	return "this statement"
}

func nameExpr(e ast.Expr) string {
	switch e.(type) {
	case *ast.FuncLit, *ast.FuncType:
		return "a function literal"
	case *ast.IndexExpr, *ast.IndexListExpr, *ast.SliceExpr:
		return "an index in square brackets"
	case *ast.StarExpr:
		return "a pointer"
	case *ast.TypeAssertExpr:
		return "a type assertion"
	case *ast.MapType:
		return "a map"
	case *ast.ChanType:
		return "a channel"
	case *ast.StructType, *ast.InterfaceType:
		return "a type"
	case *ast.SelectorExpr:
		return "a name from a package"
	case *ast.KeyValueExpr:
		return "a key"
	}
	return "this expression"
}
