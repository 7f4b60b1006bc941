package equation

import (
	"encoding/xml"
	"strings"
)

// Plain writes a formula that Set has set as one line of text, for where there can be no markup: a page's
// title, a list of headings. Of what stands above or below the line, digits stay there; the rest follows ^ or _:
// "k = 1/3 √(W/p)", "γ_out".
func Plain(mathML string) string {
	root := element{}
	if xml.Unmarshal([]byte(mathML), &root) != nil {
		return ""
	}
	return strings.Join(strings.Fields(root.plain()), " ")
}

// element is an element of MathML; those without children hold a text.
type element struct {
	XMLName  xml.Name
	Attrs    []xml.Attr `xml:",any,attr"`
	Text     string     `xml:",chardata"`
	Children []element  `xml:",any"`
}

func (e element) attr(name string) string {
	for _, a := range e.Attrs {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func (e element) child(i int) element {
	if i < len(e.Children) {
		return e.Children[i]
	}
	return element{}
}

// leaves counts what is written side by side; a part with more than one wants brackets around it.
func (e element) leaves() int {
	if len(e.Children) == 0 {
		if e.XMLName.Local == "mspace" {
			return 0
		}
		return 1
	}
	n := 0
	for _, c := range e.Children {
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
	switch e.XMLName.Local {
	case "mspace":
		return " "
	case "mo":
		sign := strings.TrimSpace(e.Text)
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
		inside := element{XMLName: xml.Name{Local: "mrow"}, Children: e.Children}
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
		cells := make([]string, len(e.Children))
		for i, c := range e.Children {
			cells[i] = strings.TrimSpace(c.plain())
		}
		return strings.Join(cells, " ")
	case "mtable":
		rows := make([]string, len(e.Children))
		for i, c := range e.Children {
			rows[i] = c.plain()
		}
		return strings.Join(rows, "; ")
	}
	out := e.Text
	for _, c := range e.Children {
		out += c.plain()
	}
	return out
}
