package equation

import (
	"strings"
	"sync"
)

// Plain writes a formula that Set has set as one line of text, for where there can be no markup: a page's
// title, a list of headings. Of what stands above or below the line, digits stay there; the rest follows ^ or _:
// "k = 1/3 √(W/p)", "γ_out".
func Plain(mathML string) string {
	return strings.Join(strings.Fields(elementsOf(mathML).plain()), " ")
}

// element is an element of MathML; those without children hold a text.
type element struct {
	name     string
	attrs    string // as written: ` form="prefix"`
	text     string
	children []element
}

// elementsOf reads what Set has written, as an element without a name round it. It is no reader of XML at large: names and
// attributes hold no bracket, and what is open is closed in order, because tag wrote them.
func elementsOf(mathML string) element {
	open := []element{{}}
	for mathML != "" {
		text, rest, _ := strings.Cut(mathML, "<")
		top := &open[len(open)-1]
		top.text += unescape(text)
		start, after, found := strings.Cut(rest, ">")
		if !found {
			break
		}
		mathML = after
		start, alone := strings.CutSuffix(start, "/")
		if !strings.HasPrefix(start, "/") {
			name, _, _ := strings.Cut(start, " ")
			open = append(open, element{name: name, attrs: start[len(name):]})
		}
		if last := len(open) - 1; last > 0 && (alone || strings.HasPrefix(start, "/")) {
			open[last-1].children = append(open[last-1].children, open[last])
			open = open[:last]
		}
	}
	return open[0]
}

// unescape undoes html.EscapeString.
func unescape(text string) string { return escapes().Replace(text) }

var escapes = sync.OnceValue(func() *strings.Replacer {
	return strings.NewReplacer("&lt;", "<", "&gt;", ">", "&amp;", "&", "&#34;", `"`, "&#39;", "'")
})

func (e element) attr(name string) string {
	_, after, found := strings.Cut(e.attrs, " "+name+`="`)
	if !found {
		return ""
	}
	value, _, _ := strings.Cut(after, `"`)
	return value
}

func (e element) child(i int) element {
	if i < len(e.children) {
		return e.children[i]
	}
	return element{}
}

// leaves counts what is written side by side; a part with more than one wants brackets around it.
func (e element) leaves() int {
	if len(e.children) == 0 {
		if e.name == "mspace" {
			return 0
		}
		return 1
	}
	n := 0
	for _, c := range e.children {
		n += c.leaves()
	}
	return n
}

func (e element) bracketed() string { return e.inBrackets(strings.TrimSpace(e.plain())) }

// inBrackets puts brackets around the element's text where it wants them.
func (e element) inBrackets(text string) string {
	if e.leaves() > 1 && !strings.HasPrefix(text, "(") {
		return "(" + text + ")"
	}
	return text
}

// raised and lowered are the characters that Unicode has for what stands above and below the line.
var (
	raised  = table("0 ⁰  1 ¹  2 ²  3 ³  4 ⁴  5 ⁵  6 ⁶  7 ⁷  8 ⁸  9 ⁹  + ⁺  − ⁻  n ⁿ  i ⁱ")
	lowered = table("0 ₀  1 ₁  2 ₂  3 ₃  4 ₄  5 ₅  6 ₆  7 ₇  8 ₈  9 ₉  + ₊  − ₋")
)

// script writes a part above or below the line, with characters made for it as far as there are such.
func (e element) script(mark string, small map[string]string) string {
	text := strings.TrimSpace(e.plain()) // once, because a second time would double the work at each level of scripts
	out := ""
	for _, c := range text {
		if small[string(c)] == "" {
			return mark + e.inBrackets(text)
		}
		out += small[string(c)]
	}
	return out
}

func (e element) plain() string {
	switch e.name {
	case "mspace":
		return " "
	case "mo":
		sign := strings.TrimSpace(e.text)
		switch {
		case sign == ",":
			return ", "
		case e.attr("form") == "prefix" || e.attr("stretchy") != "" || e.attr("lspace") == "0" || sign == "/" || sign == "!":
			return sign
		}
		return " " + sign + " "
	case "mfrac":
		return e.child(0).bracketed() + "/" + e.child(1).bracketed()
	case "msqrt":
		inside := element{name: "mrow", children: e.children}
		return "√" + inside.bracketed()
	case "mroot":
		return e.child(1).script("^", raised()) + "√" + e.child(0).bracketed()
	case "msup", "mover":
		if e.attr("accent") != "" {
			return e.child(0).bracketed() + e.child(1).plain()
		}
		return e.child(0).bracketed() + e.child(1).script("^", raised())
	case "msub", "munder":
		if e.attr("accentunder") != "" {
			return e.child(0).bracketed() + e.child(1).plain()
		}
		return e.child(0).bracketed() + e.child(1).script("_", lowered())
	case "msubsup", "munderover":
		return e.child(0).bracketed() + e.child(1).script("_", lowered()) + e.child(2).script("^", raised())
	case "mtr":
		cells := make([]string, len(e.children))
		for i, c := range e.children {
			cells[i] = strings.TrimSpace(c.plain())
		}
		return strings.Join(cells, " ")
	case "mtable":
		rows := make([]string, len(e.children))
		for i, c := range e.children {
			rows[i] = c.plain()
		}
		return strings.Join(rows, "; ")
	}
	out := e.text
	for _, c := range e.children {
		out += c.plain()
	}
	return out
}
