package equation

import (
	"html"
	"maps"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"turnplate/site/diag"
)

// build makes an atom of a command, as typed, and of what follows it.
type build func(r *reader, typed string) atom

// commands are all that aren't signs, made ready when a formula first has one. They are set up in init, because they call
// back into the reader.
var commands func() map[string]build

func init() { commands = sync.OnceValue(allCommands) }

func allCommands() map[string]build {
	all := map[string]build{}
	for _, c := range []struct {
		list  string
		build build
	}{
		{`\frac \dfrac \tfrac`, fraction}, {`\sqrt`, root}, {`\left`, fenced}, {`\begin`, environment}, {`\not`, negated},
		{`\text \textrm \mbox`, words}, {`\operatorname`, named}, {`\mathrm \mathbf \boldsymbol \mathit`, faced},
		{`\overset \underset \stackrel`, stacked}, {`\displaystyle \textstyle`, misplacedStyle}, {`\right \end`, closesNothing},
		{functions, namedFunction}, {underneath, limit},
	} {
		for typed := range strings.FieldsSeq(c.list) {
			all[typed] = c.build
		}
	}
	for _, t := range []struct {
		table map[string]string
		build build
	}{{letters(), letter}, {marked(), mark}, {spaces(), gap}, {accents(), accent}, {sizes(), sized}} {
		for typed := range t.table {
			all[typed] = t.build
		}
	}
	for typed := range wide {
		all[typed] = across
	}
	return all
}

// known lists the name of every command, for suggestions.
var known = sync.OnceValue(func() []string {
	var names []string
	for _, typed := range slices.AppendSeq(slices.Collect(maps.Keys(commands())), maps.Keys(signs())) {
		if name, command := strings.CutPrefix(typed, `\`); command && isLetter(name[0]) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
})

// commanded reads an atom that starts with a backslash.
func (r *reader) commanded() atom {
	at, typed := r.at, r.command()
	r.at += len(typed)
	if s, ok := signs()[typed]; ok {
		return r.sign(s)
	}
	if build, ok := commands()[typed]; ok {
		return build(r, typed)
	}
	if typed == `\` {
		r.fail(at, 1, "", "a backslash begins the name of a command")
		return atom{}
	}
	hint := ""
	if near := diag.Nearest(typed[1:], known()); near != "" {
		hint = `did you mean \` + near + "?"
	}
	r.fail(at, len(typed), hint, "%s is not a command that formulas can use here", typed)
	return atom{}
}

func misplacedStyle(r *reader, typed string) atom {
	r.fail(r.at-len(typed), len(typed), "put it into braces with what it applies to", "%s can't stand here", typed)
	return atom{}
}

func closesNothing(r *reader, typed string) atom {
	r.fail(r.at-len(typed), len(typed), "", "%s closes nothing", typed)
	return atom{}
}

// fraction reads \frac{a}{b}. \dfrac and \tfrac fix whether it is set large.
func fraction(r *reader, typed string) atom {
	above := r.argument(typed)
	below := r.argument(typed)
	xml := tag("mfrac", above, below)
	switch typed {
	case `\dfrac`:
		xml = tag(`mstyle displaystyle="true"`, xml)
	case `\tfrac`:
		xml = tag(`mstyle displaystyle="false"`, xml)
	}
	return r.inner(xml)
}

// root reads \sqrt{a} or \sqrt[n]{a}.
func root(r *reader, typed string) atom {
	r.blank()
	if !strings.HasPrefix(r.text[r.at:], "[") {
		return atom{xml: tag("msqrt", r.argument(typed))}
	}
	start := r.at
	r.at++
	degree := grouped(r.row("]"))
	if r.fault == nil && !strings.HasPrefix(r.text[r.at:], "]") {
		r.fail(start, 1, "", "this bracket is never closed")
	}
	r.at = min(r.at+1, len(r.text))
	return atom{xml: tag("mroot", r.argument(typed), degree)}
}

// raw reads the text in braces after a command, as typed.
func (r *reader) raw(command string) string {
	r.blank()
	start := r.at
	if !strings.HasPrefix(r.text[start:], "{") {
		r.fail(start, 1, "", `%s needs braces around its text`, command)
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

// keepBlanks writes the blanks at a text's ends so that a browser doesn't drop them.
func keepBlanks(text string) string {
	if inner := strings.TrimLeft(text, " "); inner != text {
		text = "\u00a0" + inner
	}
	if inner := strings.TrimRight(text, " "); inner != text {
		text = inner + "\u00a0"
	}
	return text
}

// words reads \text{…}. Its blanks count, also at the ends.
func words(r *reader, typed string) atom {
	text := r.raw(typed)
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
		case strings.IndexByte(blanks, c) >= 0:
			b.WriteByte(' ')
		default:
			b.WriteByte(c)
		}
	}
	return atom{xml: tag("mtext", html.EscapeString(keepBlanks(b.String())))}
}

// named reads \operatorname{…}: the name of a function that has no command.
func named(r *reader, typed string) atom {
	text := strings.TrimSpace(r.raw(typed))
	at := r.at - 1 - len(text)
	for i, c := range text {
		if !unicode.IsLetter(c) && !unicode.IsDigit(c) {
			r.fail(at+i, utf8.RuneLen(c), "", "the name of a function is made of letters")
		}
	}
	if text == "" {
		r.fail(at, 1, "", "the name of a function is made of letters")
	}
	return atom{kind: function, xml: standing(text)}
}

// faced reads \mathrm{…} and the like.
func faced(r *reader, typed string) atom {
	before := r.face
	switch typed {
	case `\mathrm`:
		r.face = upright
	case `\mathbf`:
		r.face = bold
	case `\boldsymbol`:
		r.face = boldItalic
	default:
		r.face = usual
	}
	xml := r.argument(typed)
	r.face = before
	return atom{xml: xml}
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

func letter(r *reader, typed string) atom { return r.identifier(letters()[typed]) }

func mark(r *reader, typed string) atom { return r.mark(marked()[typed]) }

func gap(_ *reader, typed string) atom { return spaceOf(spaces()[typed]) }

// namedFunction reads \sin and the like, limit \lim and those whose lower script stands below them.
func namedFunction(_ *reader, typed string) atom {
	return atom{kind: function, xml: tag("mi", typed[1:])}
}

func limit(_ *reader, typed string) atom {
	return atom{kind: function, xml: tag("mi", typed[1:]), limits: true}
}

// accent reads \dot{x} and the like.
func accent(r *reader, typed string) atom {
	base := r.argument(typed)
	return atom{xml: tag(`mover accent="true"`, base, tag("mo"+still, accents()[typed]))}
}

// across reads \overline{x} and the like.
func across(r *reader, typed string) atom {
	l, element := wide[typed], `mover accent="true"`
	if l.under {
		element = `munder accentunder="true"`
	}
	base := r.argument(typed)
	return atom{xml: tag(element, base, tag(`mo stretchy="true"`, l.sign)), limits: l.script, always: l.script}
}

// stacked reads \overset{above}{base} and \underset{below}{base}.
func stacked(r *reader, typed string) atom {
	element := "mover"
	if typed == `\underset` {
		element = "munder"
	}
	script := r.argument(typed)
	r.blank()
	base := r.atom()
	if base.empty() || base.kind == space {
		r.fail(r.at, 1, "", `%s needs something to stand at`, typed)
	}
	return atom{kind: base.kind, xml: tag(element, base.markup(""), script)}
}

// bracket reads the bracket after a command such as \left; a full stop stands for none.
func (r *reader) bracket(after string) string {
	r.blank()
	if strings.HasPrefix(r.text[r.at:], ".") {
		r.at++
		return ""
	}
	typed := r.command()
	if typed == "" && r.at < len(r.text) {
		typed = r.text[r.at : r.at+1]
	}
	b, ok := brackets()[typed]
	if !ok {
		r.fail(r.at, max(len(typed), 1), "", "%s needs a bracket to follow it, or a full stop for none", after)
		return ""
	}
	r.at += len(typed)
	return b.text
}

// grown writes a bracket that is as high as what it encloses.
func grown(bracket, form string) string {
	if bracket == "" {
		return ""
	}
	return tag(`mo form="`+form+`" stretchy="true"`, bracket)
}

// fenced reads \left( … \right).
func fenced(r *reader, typed string) atom {
	start := r.at - len(typed)
	inside := grown(r.bracket(typed), "prefix")
	for r.fault == nil {
		inside += join(r.row(""), opening)
		if r.command() != `\middle` {
			break
		}
		r.at += len(`\middle`)
		inside += grown(r.bracket(`\middle`), "infix")
	}
	if r.fault == nil && r.command() != `\right` {
		r.fail(start, len(typed), `end it with \right and a bracket, or \right. for none`, `\left has no \right`)
		return atom{}
	}
	r.at = min(r.at+len(`\right`), len(r.text))
	return r.inner(tag("mrow", inside, grown(r.bracket(`\right`), "postfix")))
}

// sized reads \big( and the like; the last letter of \bigl and \bigr tells whether the bracket opens or closes.
func sized(r *reader, typed string) atom {
	em := sizes()[typed]
	k, attrs := ordinary, ` stretchy="true" symmetric="true" minsize="`+em+`em" maxsize="`+em+`em"`+tight
	switch typed[len(typed)-1] {
	case 'l':
		k, attrs = opening, ` form="prefix"`+attrs
	case 'r':
		k, attrs = closing, ` form="postfix"`+attrs
	case 'm':
		k = relation
	}
	text := r.bracket(typed)
	if text == "" {
		return atom{}
	}
	return atom{kind: k, sign: text, attrs: attrs}
}
