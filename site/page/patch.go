package page

import (
	"html"
	"strconv"
	"strings"
)

// A part of the page that a dial moves is written once, as it stands at the start, and for every position
// of the dials only what differs is kept: an attribute here, a text there. A browser that walks the part's
// elements in the same order can put them in place.

// slot is one place that differs between positions.
type slot struct {
	Element int    // in document order, the part's own element 0
	Name    string // of an attribute; "" for a text
	Child   int    // for a text: which child node of the element it is
}

// address is how the script finds a slot: "3 d" for an attribute, "3 1" for a child text.
func (s slot) address() string {
	if s.Name != "" {
		return strconv.Itoa(s.Element) + " " + s.Name
	}
	return strconv.Itoa(s.Element) + " " + strconv.Itoa(s.Child)
}

// node is an element, an attribute or a text, in document order.
type node struct {
	slot
	tag   string // of an element; its value is then ""
	value string
}

func alike(a, b []node) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i].slot != b[i].slot || a[i].tag != b[i].tag {
			return false
		}
	}
	return true
}

// void elements have no end tag.
var void = map[string]bool{"br": true, "hr": true, "img": true, "input": true, "link": true, "meta": true, "wbr": true}

// markup takes the page's own well-formed HTML apart. It reads what the templates write: every element but
// the void ones has its end tag or closes itself, and every attribute has its value in double quotes or none.
func markup(text string) []node {
	var nodes []node
	type open struct{ element, children int }
	var stack []open
	elements := 0
	for text != "" {
		if !strings.HasPrefix(text, "<") {
			end := strings.IndexByte(text, '<')
			if end < 0 {
				end = len(text)
			}
			if len(stack) > 0 {
				top := &stack[len(stack)-1]
				nodes = append(nodes, node{slot: slot{Element: top.element, Child: top.children}, value: html.UnescapeString(text[:end])})
				top.children++
			}
			text = text[end:]
			continue
		}
		if strings.HasPrefix(text, "</") {
			if len(stack) == 0 {
				return nodes
			}
			stack = stack[:len(stack)-1]
			_, text, _ = strings.Cut(text, ">")
			continue
		}
		tag, attributes, closed, rest := startTag(text)
		if len(stack) > 0 {
			stack[len(stack)-1].children++
		}
		nodes = append(nodes, node{slot: slot{Element: elements}, tag: tag})
		for _, a := range attributes {
			nodes = append(nodes, node{slot: slot{Element: elements, Name: a[0]}, value: a[1]})
		}
		if !closed && !void[tag] {
			stack = append(stack, open{element: elements})
		}
		elements++
		text = rest
		if tag == "script" { // its text is not markup
			end := strings.Index(text, "</script>")
			if end < 0 {
				return nodes
			}
			if end > 0 {
				nodes = append(nodes, node{slot: slot{Element: elements - 1}, value: text[:end]})
			}
			stack = stack[:len(stack)-1]
			text = text[end+len("</script>"):]
		}
	}
	return nodes
}

// startTag reads "<tag a="b" c>" or "<tag/>".
func startTag(text string) (tag string, attributes [][2]string, closed bool, rest string) {
	at := 1
	name := func() string {
		from := at
		for at < len(text) && !strings.ContainsRune(" \n\t/>=", rune(text[at])) {
			at++
		}
		return text[from:at]
	}
	tag = name()
	for at < len(text) {
		switch c := text[at]; {
		case c == '>':
			return tag, attributes, closed, text[at+1:]
		case c == '/':
			closed = true
			at++
		case c == ' ' || c == '\n' || c == '\t' || c == '=':
			at++
		default:
			a := [2]string{name()}
			if strings.HasPrefix(text[at:], `="`) {
				value, _, _ := strings.Cut(text[at+2:], `"`)
				a[1] = html.UnescapeString(value)
				at += 2 + len(value) + 1
			}
			attributes = append(attributes, a)
		}
	}
	return tag, attributes, closed, ""
}

// words is a table of strings that many positions share.
type words struct {
	list  []string
	index map[string]int
}

func (w *words) of(text string) int {
	i, ok := w.index[text]
	if !ok {
		if w.index == nil {
			w.index = map[string]int{}
		}
		i = len(w.list)
		w.list = append(w.list, text)
		w.index[text] = i
	}
	return i
}
