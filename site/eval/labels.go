package eval

import (
	"go/ast"
	"path"
	"strconv"

	"turnplate/site/lang"
	"turnplate/site/notebook"
	"turnplate/site/value"
)

// mostLabels is how many things a figure can tell apart. A longer list, such as the rows of a long file, gets no looks of
// its own.
const mostLabels = 36

// Labels lists the labels that a notebook shows together, read off its text alone: those of each Choices, and the rows'
// of each file of readings, in order. Being read off the text, the looks of labels don't wait for any calculation.
func Labels(source Source, nb *notebook.Notebook) (sets [][]string) {
	for _, b := range nb.Blocks {
		block, faults := lang.Parse(b.Snippet)
		if len(faults) > 0 {
			continue
		}
		for _, stmt := range block.Stmts {
			ast.Inspect(stmt, func(n ast.Node) bool {
				if set := labelsOf(source, nb, n); len(set) > 1 && len(set) <= mostLabels {
					sets = append(sets, set)
				}
				return true
			})
		}
	}
	return sets
}

func labelsOf(source Source, nb *notebook.Notebook, n ast.Node) (set []string) {
	text := func(e ast.Expr) string {
		lit, ok := e.(*ast.BasicLit)
		if !ok {
			return ""
		}
		s, _ := strconv.Unquote(lit.Value)
		return s
	}
	switch n := n.(type) {
	case *ast.CompositeLit:
		if name, ok := n.Type.(*ast.Ident); !ok || name.Name != "Choices" {
			return nil
		}
		for _, item := range n.Elts {
			if pair, ok := item.(*ast.KeyValueExpr); ok {
				set = append(set, text(pair.Key))
			}
		}
	case *ast.CallExpr:
		if name, ok := n.Fun.(*ast.Ident); !ok || name.Name != "readings" || len(n.Args) != 1 {
			return nil
		}
		file, data, err := readingsFile(source, nb, path.Clean(text(n.Args[0])))
		if err != nil {
			return nil
		}
		axis := &value.Axis{}
		parseReadings(file, data, axis)
		set = axis.Labels
	}
	return set
}
