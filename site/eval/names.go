package eval

import (
	"fmt"
	"go/ast"
	"strings"

	"turnplate/site/lang"
	"turnplate/site/value"
)

// names are the names that a notebook has given, and the lines on which each was used.
type names struct {
	entries map[string]*entry
	refused map[string]bool // reserved names that the notebook tried to take: one message is enough
	closed  bool            // the blocks are over: reading no longer counts as use
	last    ast.Node        // the name that was given last
	lastIn  *lang.Text      // and the block in which it stands
}

type entry struct {
	value value.Value
	line  int
	used  []usage
}

type usage struct {
	path string // fields below the name, "" for the whole
	line int
}

// use notes that a line reads a name, or the field of it at a dotted path.
func (n *names) use(e *entry, path string, line int) {
	if !n.closed {
		e.used = append(e.used, usage{path, line})
	}
}

// usedOn gives the line on which something that contains, or is part of, the field at a path was used first; 0 if none.
func (e *entry) usedOn(path string) int {
	for _, u := range e.used {
		if u.path == "" || path == "" || u.path == path || strings.HasPrefix(u.path, path+".") || strings.HasPrefix(path, u.path+".") {
			return u.line
		}
	}
	return 0
}

// naming knows what the value at hand will be called, and so what its axes and its draws are called.
type naming struct {
	file     string
	at       string // "tall.Tyre.Mass"; "" when it isn't named
	axes     int    // made so far
	ordinals map[string]int
}

// axis makes an axis named after what the value at hand is assigned to.
func (n *naming) axis(kind value.AxisKind, length int) *value.Axis {
	n.axes++
	name := n.at[strings.LastIndexByte(n.at, '.')+1:]
	if name == "" {
		name = fmt.Sprintf("axis %d", n.axes)
	}
	return &value.Axis{Kind: kind, Name: name, File: n.file, Seq: n.axes, Length: length}
}

// source names a source of uncertainty, so that its draws stay the same when lines are added elsewhere.
func (n *naming) source() string {
	n.ordinals[n.at]++
	if k := n.ordinals[n.at]; k > 1 {
		return fmt.Sprintf("%s#%d", n.at, k)
	}
	return n.at
}
