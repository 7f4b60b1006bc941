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

const (
	raised  = "0⁰1¹2²3³4⁴5⁵6⁶7⁷8⁸9⁹+⁺−⁻nⁿiⁱ"
	lowered = "0₀1₁2₂3₃4₄5₅6₆7₇8₈9₉+₊−₋"
)

// script writes a part above or below the line, with characters made for it as far as there are such.
func (e element) script(mark, small string) string {
	if e.XMLName.Local == "" {
		return ""
	}
	pairs := []rune(small)
	table := make(map[rune]rune, len(pairs)/2)
	for i := 0; i+1 < len(pairs); i += 2 {
		table[pairs[i]] = pairs[i+1]
	}
	text := strings.TrimSpace(e.plain()) // once: each writing of a nested script would double all those in it
	out := ""
	for _, c := range text {
		if table[c] == 0 {
			return mark + e.inBrackets(text)
		}
		out += string(table[c])
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
		return e.child(1).script("^", raised) + "√" + e.child(0).bracketed()
	case "msup", "mover":
		if e.attr("accent") != "" {
			return e.child(0).bracketed() + e.child(1).plain()
		}
		return e.child(0).bracketed() + e.child(1).script("^", raised)
	case "msub", "munder":
		if e.attr("accentunder") != "" {
			return e.child(0).bracketed() + e.child(1).plain()
		}
		return e.child(0).bracketed() + e.child(1).script("_", lowered)
	case "msubsup", "munderover":
		return e.child(0).bracketed() + e.child(1).script("_", lowered) + e.child(2).script("^", raised)
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
	if len(e.Children) == 0 {
		return e.Text
	}
	out := ""
	for _, c := range e.Children {
		out += c.plain()
	}
	return out
}
