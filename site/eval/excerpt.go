package eval

import (
	"cmp"
	"go/ast"
	"strings"
	"unicode"

	"turnplate/site/lang"
	"turnplate/site/notebook"
)

// A reader with values of their own waits for one page. Of the notebooks that it uses, only what it reads is worked out
// for them: an excerpt. Their mistakes were told when the site was written.

// need is a notebook as it is to be worked out.
type need struct {
	path string
	by   string // the page that needs an excerpt of it; "" is all of it
}

// needs says what a notebook that is worked out needs of one that it uses.
func (ev *Evaluator) needs(of need, path string) need {
	o := ev.options
	if len(o.Yours) == 0 && o.Still == nil && o.Hurry == 0 || ev.whole()[path] {
		return need{path: path}
	}
	return need{path, cmp.Or(of.by, of.path)}
}

// reach lists a notebook and all that it uses.
func (ev *Evaluator) reach(path string, to map[string]bool) {
	if to[path] {
		return
	}
	to[path] = true
	for _, u := range ev.parse(path).uses {
		ev.reach(u, to)
	}
}

// listWhole lists the notebooks that are never worked out in excerpts: those whose vehicles a reader's values are for, because
// all of them is looked at for mistakes and doubts, and what those use, because nothing must be worked out twice: two
// values of one name would vary over different axes. In a hurry there are none.
func (ev *Evaluator) listWhole() map[string]bool {
	list := map[string]bool{}
	if ev.options.Hurry > 0 {
		return list
	}
	for path := range ev.options.Yours {
		ev.reach(path, list)
	}
	return list
}

// picked are the names that a page, and what it uses, may pick from a notebook, and the vehicle that this offers.
func (ev *Evaluator) picked(by string, from *notebook.Notebook) map[string]bool {
	names, reached := map[string]bool{from.Front.Yours: true}, map[string]bool{}
	ev.reach(by, reached)
	for path := range reached {
		p := ev.parse(path)
		if p.err != nil {
			continue
		}
		for _, name := range p.picks() {
			names[name] = true
		}
	}
	return names
}

// picks finds the names that a text picks from something, in blocks and in numbers in prose: all that stand behind a dot.
func picks(text string) (names []string) {
	for {
		_, rest, found := strings.Cut(text, ".")
		if !found {
			return names
		}
		text = rest
		rest = behindRemarks(rest)
		end := strings.IndexFunc(rest, notInName)
		if end < 0 {
			end = len(rest)
		}
		if name := rest[:end]; strings.TrimLeftFunc(name, unicode.IsDigit) == name && name != "" {
			names, text = append(names, name), rest[end:]
		}
	}
}

// behindRemarks skips blanks and comments.
func behindRemarks(text string) string {
	for {
		text = strings.TrimLeft(text, " \t\r\n")
		switch {
		case strings.HasPrefix(text, "//"):
			_, text, _ = strings.Cut(text, "\n")
		case strings.HasPrefix(text, "/*"):
			_, text, _ = strings.Cut(text[2:], "*/")
		default:
			return text
		}
	}
}

func notInName(r rune) bool { return r != '_' && !unicode.IsLetter(r) && !unicode.IsDigit(r) }

// excerpt gives the statements that make what the names stand for at the end: those that write one of them, or what one
// of those reads.
func excerpt(blocks []*lang.Block, names map[string]bool) map[ast.Stmt]bool {
	in, needed := map[ast.Stmt]bool{}, map[string]bool{}
	for name := range names {
		needed[name] = true
	}
	for i := len(blocks) - 1; i >= 0; i-- {
		for j := len(blocks[i].Stmts) - 1; j >= 0; j-- {
			stmt, ok := blocks[i].Stmts[j].(*ast.AssignStmt)
			if !ok {
				continue
			}
			if root, _ := lang.Chain(stmt.Lhs[0]); !needed[root.Name] {
				continue
			}
			in[stmt] = true
			for _, name := range blocks[i].Parts[j].Names {
				needed[name] = true
			}
		}
	}
	return in
}
