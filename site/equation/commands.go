package equation

import (
	"maps"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"turnplate/site/diag"
)

// constructs are the commands that build something of what follows them. They are set up in init, because
// they call back into the reader.
var constructs map[string]func(r *reader, name string) atom

func init() {
	constructs = map[string]func(*reader, string) atom{
		"frac": fraction, "dfrac": fraction, "tfrac": fraction, "sqrt": root, "left": fenced, "begin": environment,
		"text": words, "textrm": words, "mbox": words, "operatorname": named, "not": negated,
		"mathrm": faced(upright), "mathbf": faced(bold), "boldsymbol": faced(boldItalic), "mathit": faced(usual),
		"overset": stacked, "underset": stacked, "stackrel": stacked,
	}
	for name := range accents {
		constructs[name] = accent
	}
	for name := range wide {
		constructs[name] = across
	}
	for name := range sizes {
		for _, side := range []string{"", "l", "r", "m"} {
			constructs[name+side] = sized
		}
	}
}

// known lists every command, for suggestions.
var known = sync.OnceValue(func() []string {
	var names []string
	add := func(more ...string) { names = append(names, more...) }
	add(slices.Collect(maps.Keys(letters))...)
	add(slices.Collect(maps.Keys(marked))...)
	add(slices.Collect(maps.Keys(functions))...)
	add(slices.Collect(maps.Keys(sums))...)
	add(slices.Collect(maps.Keys(integrals))...)
	add(slices.Collect(maps.Keys(operators))...)
	add(slices.Collect(maps.Keys(spaces))...)
	add(slices.Collect(maps.Keys(constructs))...)
	add("displaystyle", "textstyle", "right", "end")
	for name := range brackets {
		if strings.HasPrefix(name, `\`) {
			add(name[1:])
		}
	}
	names = slices.DeleteFunc(names, func(n string) bool { return !isLetter(n[0]) })
	slices.Sort(names)
	return names
})

// commanded reads an atom that starts with a backslash.
func (r *reader) commanded() atom {
	at, typed := r.at, r.command()
	name := typed[1:]
	r.at += len(typed)
	if s, ok := letters[name]; ok {
		return r.identifier(s)
	}
	if s, ok := marked[name]; ok {
		if r.face >= bold {
			return r.identifier(s)
		}
		return atom{xml: `<mi mathvariant="normal">` + escape(s) + "</mi>"}
	}
	if functions[name] {
		return atom{kind: function, xml: "<mi>" + name + "</mi>", limits: underneath[name]}
	}
	if s, ok := sums[name]; ok {
		a := op(large, s, "")
		a.limits = true
		return a
	}
	if s, ok := integrals[name]; ok {
		return op(large, s, "")
	}
	if s, ok := operators[name]; ok {
		return r.operator(s)
	}
	if b, ok := brackets[typed]; ok {
		return bare(b)
	}
	if em, ok := spaces[name]; ok {
		return spaceOf(em)
	}
	if build, ok := constructs[name]; ok {
		return build(r, name)
	}
	switch {
	case name == "":
		r.fail(at, 1, "", "a backslash begins the name of a command")
	case name == "displaystyle" || name == "textstyle":
		r.fail(at, len(typed), "put it into braces with what it applies to", "%s can't stand here", typed)
	default:
		hint := ""
		if near := diag.Nearest(name, known()); near != "" {
			hint = `did you mean \` + near + "?"
		}
		r.fail(at, len(typed), hint, "%s is not a command that formulas can use here", typed)
	}
	return atom{}
}

// fraction reads \frac{a}{b}. \dfrac and \tfrac fix whether it is set large.
func fraction(r *reader, name string) atom {
	above := r.argument(`\` + name)
	below := r.argument(`\` + name)
	xml := "<mfrac>" + above + below + "</mfrac>"
	switch name {
	case "dfrac":
		xml = `<mstyle displaystyle="true">` + xml + "</mstyle>"
	case "tfrac":
		xml = `<mstyle displaystyle="false">` + xml + "</mstyle>"
	}
	return r.inner(xml)
}

// root reads \sqrt{a} or \sqrt[n]{a}.
func root(r *reader, name string) atom {
	r.blank()
	if !strings.HasPrefix(r.text[r.at:], "[") {
		return atom{xml: "<msqrt>" + r.argument(`\`+name) + "</msqrt>"}
	}
	start := r.at
	r.at++
	degree := group(r.row("]"))
	if r.fault == nil && !strings.HasPrefix(r.text[r.at:], "]") {
		r.fail(start, 1, "", "this bracket is never closed")
	}
	r.at = min(r.at+1, len(r.text))
	return atom{xml: "<mroot>" + r.argument(`\`+name) + degree + "</mroot>"}
}

// raw reads the text in braces after a command, as typed.
func (r *reader) raw(name string) string {
	r.blank()
	start := r.at
	if !strings.HasPrefix(r.text[start:], "{") {
		r.fail(start, 1, "", `\%s needs braces around its text`, name)
		return ""
	}
	for depth := 0; r.at < len(r.text); r.at++ {
		switch r.text[r.at] {
		case '\\':
			r.at++
		case '{':
			depth++
		case '}':
			if depth--; depth == 0 {
				r.at++
				return r.text[start+1 : r.at-1]
			}
		}
	}
	r.fail(start, 1, "", "this brace is never closed")
	return ""
}

// words reads \text{…}. Its blanks count, also at the ends, where a browser would drop them.
func words(r *reader, name string) atom {
	text := r.raw(name)
	start := r.at - 1 - len(text)
	var b strings.Builder
	for i := 0; i < len(text); i++ {
		c := text[i]
		switch {
		case c == '\\' && i+1 < len(text) && strings.IndexByte(`\{}%$&#_ `, text[i+1]) >= 0:
			i++
			b.WriteByte(text[i])
		case c == '\\' || c == '$':
			r.fail(start+i, 1, "end the text before it", "words in a formula hold neither commands nor formulas")
		case c == '{' || c == '}':
		case c == '~':
			b.WriteRune('\u00a0')
		default:
			b.WriteByte(c)
		}
	}
	plain := escape(b.String())
	bare := strings.Trim(plain, " ")
	const hard = "\u00a0"
	if bare == "" {
		return atom{xml: "<mtext>" + strings.Repeat(hard, min(len(plain), 1)) + "</mtext>"}
	}
	if strings.HasPrefix(plain, " ") {
		bare = hard + bare
	}
	if strings.HasSuffix(plain, " ") {
		bare += hard
	}
	return atom{xml: "<mtext>" + bare + "</mtext>"}
}

// named reads \operatorname{…}: the name of a function that has no command.
func named(r *reader, name string) atom {
	text := strings.TrimSpace(r.raw(name))
	at := r.at - 1 - len(text)
	for i, c := range text {
		if !unicode.IsLetter(c) && !unicode.IsDigit(c) {
			r.fail(at+i, utf8.RuneLen(c), "", "the name of a function is made of letters")
		}
	}
	if text == "" {
		r.fail(at, 1, "", "the name of a function is made of letters")
	}
	return atom{kind: function, xml: `<mi mathvariant="normal">` + escape(text) + "</mi>"}
}

// faced reads \mathrm{…} and the like.
func faced(f face) func(*reader, string) atom {
	return func(r *reader, name string) atom {
		before := r.face
		r.face = f
		xml := r.argument(`\` + name)
		r.face = before
		return atom{xml: xml}
	}
}

// negated reads \not and the sign that it strikes out.
func negated(r *reader, _ string) atom {
	r.blank()
	at := r.at
	a := r.atom()
	if a.kind != relation || a.sign == "" {
		r.fail(at, 1, "", `\not needs a sign such as = to follow it`)
		return atom{}
	}
	a.sign += "\u0338"
	return a
}

// accent reads \dot{x} and the like.
func accent(r *reader, name string) atom {
	base := r.argument(`\` + name)
	return atom{xml: `<mover accent="true">` + base + `<mo stretchy="false">` + escape(accents[name]) + "</mo></mover>"}
}

// across reads \overline{x} and the like.
func across(r *reader, name string) atom {
	w := wide[name]
	base := r.argument(`\` + name)
	sign := `<mo stretchy="true">` + escape(w.sign) + "</mo>"
	if w.under {
		return atom{xml: `<munder accentunder="true">` + base + sign + "</munder>", limits: w.script, always: w.script}
	}
	return atom{xml: `<mover accent="true">` + base + sign + "</mover>", limits: w.script, always: w.script}
}

// stacked reads \overset{above}{base} and \underset{below}{base}.
func stacked(r *reader, name string) atom {
	script := r.argument(`\` + name)
	r.blank()
	base := r.atom()
	if base.empty() || base.kind == space {
		r.fail(r.at, 1, "", `\%s needs something to stand at`, name)
	}
	element := "mover"
	if name == "underset" {
		element = "munder"
	}
	return atom{kind: base.kind, xml: "<" + element + ">" + base.markup("") + script + "</" + element + ">"}
}

// bracket reads the bracket after a command such as \left; a full stop stands for none.
func (r *reader) bracket(after string) (b symbol, ok bool) {
	r.blank()
	if strings.HasPrefix(r.text[r.at:], ".") {
		r.at++
		return symbol{}, true
	}
	typed := r.command()
	if typed == "" && r.at < len(r.text) {
		typed = r.text[r.at : r.at+1]
	}
	switch typed {
	case "<":
		b, ok = brackets[`\langle`]
	case ">":
		b, ok = brackets[`\rangle`]
	case "/":
		b, ok = symbol{ordinary, "/", ""}, true
	default:
		b, ok = brackets[typed]
	}
	if !ok {
		r.fail(r.at, max(len(typed), 1), "", "%s needs a bracket to follow it, or a full stop for none", after)
		return symbol{}, false
	}
	r.at += len(typed)
	return b, true
}

// grown writes a bracket that is as high as what it encloses.
func grown(b symbol, form string) string {
	if b.text == "" {
		return ""
	}
	return `<mo form="` + form + `" stretchy="true">` + escape(b.text) + "</mo>"
}

// fenced reads \left( … \right).
func fenced(r *reader, _ string) atom {
	start := r.at - len(`\left`)
	left, _ := r.bracket(`\left`)
	inside := ""
	for r.fault == nil {
		inside += join(r.row(""), opening)
		if r.command() != `\middle` {
			break
		}
		r.at += len(`\middle`)
		b, _ := r.bracket(`\middle`)
		inside += grown(b, "infix")
	}
	if r.fault == nil && r.command() != `\right` {
		r.fail(start, len(`\left`), `end it with \right and a bracket, or \right. for none`, `\left has no \right`)
		return atom{}
	}
	r.at = min(r.at+len(`\right`), len(r.text))
	right, _ := r.bracket(`\right`)
	return r.inner("<mrow>" + grown(left, "prefix") + inside + grown(right, "postfix") + "</mrow>")
}

// sized reads \big( and the like; the last letter tells whether the bracket opens or closes.
func sized(r *reader, name string) atom {
	b, _ := r.bracket(`\` + name)
	size, k, form := sizes[name], ordinary, ""
	if size == "" {
		size = sizes[name[:len(name)-1]]
		switch name[len(name)-1] {
		case 'l':
			k, form = opening, "prefix"
		case 'r':
			k, form = closing, "postfix"
		case 'm':
			k = relation
		}
	}
	if b.text == "" {
		return atom{}
	}
	attrs := ` stretchy="true" symmetric="true" minsize="` + size + `em" maxsize="` + size + `em"` + tight
	if form != "" {
		attrs = ` form="` + form + `"` + attrs
	}
	return op(k, b.text, attrs)
}
