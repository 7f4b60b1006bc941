package pattern

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every pattern compiles, also those that no test asks for, and none is compiled when the program starts.
func TestEveryPattern(t *testing.T) {
	seen := 0
	for _, root := range []string{"../../site", "../../sim"} {
		files := os.DirFS(root)
		require.NoError(t, fs.WalkDir(files, ".", func(path string, _ fs.DirEntry, err error) error {
			if err != nil || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			source, err := fs.ReadFile(files, path)
			if err != nil || !strings.Contains(string(source), "pattern.Of(") && !strings.Contains(string(source), "regexp.MustCompile(") {
				return err
			}
			file, err := parser.ParseFile(token.NewFileSet(), path, source, parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			for _, d := range file.Decls {
				if _, tables := d.(*ast.GenDecl); !tables {
					continue
				}
				ast.Inspect(d, func(n ast.Node) bool {
					if _, later := n.(*ast.FuncLit); later {
						return false
					}
					call, ok := n.(*ast.CallExpr)
					if !ok {
						return true
					}
					called, _ := call.Fun.(*ast.SelectorExpr)
					if called == nil {
						return true
					}
					assert.NotEqual(t, "MustCompile", called.Sel.Name, "%s/%s: write pattern.Of", root, path)
					if from, _ := called.X.(*ast.Ident); from != nil && from.Name == "pattern" {
						text, err := strconv.Unquote(call.Args[0].(*ast.BasicLit).Value)
						require.NoError(t, err)
						_, err = regexp.Compile(text)
						assert.NoError(t, err, "%s/%s", root, path)
						seen++
					}
					return true
				})
			}
			return nil
		}))
	}
	assert.Greater(t, seen, 10)
}
