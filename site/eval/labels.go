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
		for _, parts := range block.Parts {
			for _, e := range parts.Calls {
				if set := labelsOf(source, nb, e); len(set) > 1 && len(set) <= mostLabels {
					sets = append(sets, set)
				}
			}
		}
	}
	return sets
}

func labelsOf(source Source, nb *notebook.Notebook, e ast.Expr) (set []string) {
	text := func(e ast.Expr) string {
		lit, ok := e.(*ast.BasicLit)
		if !ok {
			return ""
		}
		s, _ := strconv.Unquote(lit.Value)
		return s
	}
	switch e := e.(type) {
	case *ast.CompositeLit:
		if name, ok := e.Type.(*ast.Ident); !ok || name.Name != "Choices" {
			return nil
		}
		for _, item := range e.Elts {
			if pair, ok := item.(*ast.KeyValueExpr); ok {
				set = append(set, text(pair.Key))
			}
		}
	case *ast.CallExpr:
		if name, ok := e.Fun.(*ast.Ident); !ok || name.Name != "readings" || len(e.Args) != 1 {
			return nil
		}
		file, data, err := readingsFile(source, nb, path.Clean(text(e.Args[0])))
		if err != nil {
			return nil
		}
		axis := &value.Axis{}
		parseReadings(file, data, axis)
		set = axis.Labels
	}
	return set
}
