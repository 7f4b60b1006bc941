package equation

import (
	"html"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// reader goes through a formula's text once.
type reader struct {
	text    string
	at      int // the byte to be read next
	depth   int
	display bool
	face    face
	script  bool // inside a script, where signs stand tight
	fault   *fault
}

// formula reads the whole text.
func (r *reader) formula() string {
	if !r.display {
		row := r.row("")
		r.over()
		return join(row, opening)
	}
	cells := r.cells()
	r.over()
	if len(cells) == 1 && len(cells[0]) == 1 {
		return join(cells[0][0], opening)
	}
	return environments()["aligned"].markup(cells)
}

// over makes sure that the text is read to its end.
func (r *reader) over() {
	if r.fault == nil && r.at < len(r.text) {
		r.stray()
	}
}

// stray reports what ends a row although nothing has begun one, such as a brace too many.
func (r *reader) stray() {
	switch rest := r.text[r.at:]; {
	case rest[0] == '}':
		r.fail(r.at, 1, `a brace that shows is \}`, "this brace closes nothing")
	case rest[0] == '&':
		r.fail(r.at, 1, `an ampersand that shows is \&`, "& lines up the rows of a formula that stands on a line of its own")
	case strings.HasPrefix(rest, `\\`):
		r.fail(r.at, 2, "", `\\ parts the rows of a formula that stands on a line of its own`)
	default:
		r.fail(r.at, len(r.command()), "", "%s closes nothing", r.command())
	}
}

// blanks are the white space of a formula, which means nothing but in a text.
const blanks = " \t\r\n"

// blank skips white space.
func (r *reader) blank() {
	for r.at < len(r.text) && strings.IndexByte(blanks, r.text[r.at]) >= 0 {
		r.at++
	}
}

// command gives the command that starts here, with its backslash, or "".
func (r *reader) command() string {
	rest := r.text[r.at:]
	if !strings.HasPrefix(rest, `\`) {
		return ""
	}
	end := 1
	for end < len(rest) && isLetter(rest[end]) {
		end++
	}
	if end == 1 && len(rest) > 1 {
		_, size := utf8.DecodeRuneInString(rest[1:])
		end += size
	}
	return rest[:end]
}

func isLetter(c byte) bool { return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' }

// ends says whether what comes next ends a row: a closing brace or bracket, a table's marks.
func (r *reader) ends(bracket string) bool {
	if r.at >= len(r.text) {
		return true
	}
	switch r.text[r.at] {
	case '}', '&':
		return true
	case ']':
		return bracket == "]"
	case '\\':
		switch r.command() {
		case `\\`, `\end`, `\right`, `\middle`:
			return true
		}
	}
	return false
}

// row reads atoms up to what ends it, which is left to the caller. bracket "]" ends it too when given.
func (r *reader) row(bracket string) (row []atom) {
	if r.depth++; r.depth > maxNesting {
		r.fail(r.at, 1, "", "the formula's parts stand more than %d deep inside each other", maxNesting)
	}
	defer func() { r.depth-- }()
	styled := false // from \displaystyle on
	for r.blank(); !r.ends(bracket); r.blank() {
		name := r.command()
		if name != `\displaystyle` && name != `\textstyle` {
			row = append(row, r.scripted())
			continue
		}
		if styled {
			r.fail(r.at, len(name), "", "%s stands in this row already", name)
		}
		r.at = min(r.at+len(name), len(r.text))
		styled = true
		row = append(row, atom{kind: space, xml: `<mstyle displaystyle="` + strconv.FormatBool(name == `\displaystyle`) + `">`})
	}
	if styled {
		row = append(row, atom{kind: space, xml: "</mstyle>"})
	}
	return row
}

// scripted reads an atom and what stands above, below and behind it.
func (r *reader) scripted() atom {
	start := r.at
	base := r.atom()
	sub, sup, primes := "", "", ""
scripts:
	for r.blank(); r.at < len(r.text); r.blank() {
		switch at, mark := r.at, r.text[r.at]; mark {
		case '\'':
			if primes != "" || sup != "" {
				r.fail(at, 1, "", "there is a script above this already")
			}
			for ; r.at < len(r.text) && r.text[r.at] == '\''; r.at++ {
				primes += "′"
			}
		case '^', '_':
			script, side := &sup, "above"
			if mark == '_' {
				script, side = &sub, "below"
			}
			if *script != "" {
				r.fail(at, 1, "put braces around what belongs together", "there is a script %s this already", side)
				break scripts
			}
			r.at++
			*script = r.small(string(mark))
		default:
			break scripts
		}
	}
	if base.kind == space && sub+sup+primes != "" {
		r.fail(start, 1, "", "a script has nothing to stand at")
	}
	if primes == "" {
		return base.with(sub, sup, r.display)
	}
	// Math fonts raise the prime by themselves, so it is no script.
	mark := tag("mo"+tight, primes)
	if sup == "" {
		return atom{kind: base.kind, xml: tag("mrow", base.with(sub, "", r.display).markup(""), mark)}
	}
	base.xml, base.sign = tag("mrow", base.markup(""), mark), ""
	return base.with(sub, sup, r.display)
}

// with adds scripts to an atom.
func (base atom) with(sub, sup string, display bool) atom {
	if sub == "" && sup == "" {
		return base
	}
	inside := base.markup("")
	if base.empty() {
		inside = tag("mrow")
	}
	below, above := "sub", "sup"
	if base.limits && (display || base.always) {
		below, above = "under", "over"
	}
	element := "m"
	if sub != "" {
		element += below
	}
	if sup != "" {
		element += above
	}
	return atom{kind: base.kind, xml: tag(element, inside, sub, sup)}
}

// small reads the script after ^ or _.
func (r *reader) small(mark string) string {
	before := r.script
	r.script = true
	xml := r.argument(mark)
	r.script = before
	return xml
}

// inner makes an atom that a thin space parts from its neighbours, except in a script.
func (r *reader) inner(xml string) atom {
	if r.script {
		return atom{xml: xml}
	}
	return atom{kind: inner, xml: xml}
}

// sign is a sign with the space it has in a line, or without any in a script.
func (r *reader) sign(s symbol) atom {
	if r.script && (s.kind == binary || s.kind == relation || s.kind == punctuation) {
		s.attrs += tight
	}
	return atom{kind: s.kind, sign: s.text, attrs: s.attrs, limits: s.kind == large && !strings.Contains(integrals, s.text)}
}

// argument reads what a command or a script applies to: one atom, or several in braces.
func (r *reader) argument(of string) string {
	r.blank()
	at := r.at
	switch {
	case r.fault != nil:
		return ""
	case r.ends(""):
		r.fail(at, 1, "", "%s needs something to follow it", of)
		return ""
	case r.text[at] == '^' || r.text[at] == '_' || r.text[at] == '\'':
		r.fail(at, 1, "", "%s needs something to follow it", of)
		return ""
	case of == "^" && r.command() == `\circ`: // the trade's way to type a degree
		r.at += len(`\circ`)
		return standing("∘")
	}
	if c := r.text[at]; c >= '0' && c <= '9' { // x^23 raises the 2 alone
		r.at++
		return r.digits(r.text[at:r.at]).xml
	}
	a := r.atom()
	if a.kind == space {
		r.fail(at, 1, "", "%s needs something to follow it", of)
	}
	return a.markup("")
}

// atom reads one atom without scripts.
func (r *reader) atom() atom {
	r.blank()
	rest := r.text[r.at:]
	if rest == "" {
		return atom{}
	}
	c, size := utf8.DecodeRuneInString(rest)
	switch {
	case c == '\\':
		return r.commanded()
	case c == '{':
		return r.braced()
	case c == '^' || c == '_' || c == '\'':
		return atom{} // scripts without a base
	case c == '~':
		r.at++
		return spaceOf(spaces()[`\ `])
	case c == '$':
		r.fail(r.at, 1, `a dollar sign that shows is \$`, "a dollar sign ends a formula")
		return atom{}
	case c == '%' || c == '#':
		r.fail(r.at, 1, `a sign that shows is \`+string(c), "%c has a meaning of its own in TeX", c)
		return atom{}
	case c >= '0' && c <= '9' || c == '.' && len(rest) > 1 && rest[1] >= '0' && rest[1] <= '9':
		return r.number()
	}
	if s, ok := signs()[string(c)]; ok {
		r.at += size
		return r.sign(s)
	}
	if unicode.IsLetter(c) {
		return r.letter()
	}
	r.at += size
	return atom{xml: standing(string(c))} // °, € and their like
}

func (r *reader) braced() atom {
	start := r.at
	r.at++
	row := r.row("")
	if r.fault == nil && !strings.HasPrefix(r.text[r.at:], "}") {
		if r.at < len(r.text) {
			r.stray()
		}
		r.fail(start, 1, "", "this brace is never closed")
	}
	r.at = min(r.at+1, len(r.text))
	if len(row) == 1 && row[0].kind == punctuation { // 3{,}5: a comma between digits
		return atom{sign: ",", attrs: tight}
	}
	return atom{xml: grouped(row)}
}

// number reads digits with at most one point among them.
func (r *reader) number() atom {
	start, point := r.at, false
	for ; r.at < len(r.text); r.at++ {
		c := r.text[r.at]
		if c == '.' && !point && r.at+1 < len(r.text) && r.text[r.at+1] >= '0' && r.text[r.at+1] <= '9' {
			point = true
		} else if c < '0' || c > '9' {
			break
		}
	}
	return r.digits(r.text[start:r.at])
}

func (r *reader) digits(digits string) atom {
	if r.face >= bold {
		digits = embolden(digits, bold)
	}
	return atom{xml: tag("mn", digits)}
}

// letter reads one letter, or a word where the face makes words.
func (r *reader) letter() atom {
	start := r.at
	for r.at < len(r.text) {
		c, size := utf8.DecodeRuneInString(r.text[r.at:])
		if !unicode.IsLetter(c) {
			break
		}
		r.at += size
		if r.face == usual || r.face == boldItalic {
			break
		}
	}
	return r.identifier(r.text[start:r.at])
}

// identifier writes a name in the face in force: a single letter slants unless told otherwise.
func (r *reader) identifier(name string) atom {
	switch {
	case r.face >= bold:
		name = embolden(name, r.face)
	case r.face == upright && utf8.RuneCountInString(name) == 1:
		return atom{xml: standing(name)}
	}
	return atom{xml: tag("mi", html.EscapeString(name))}
}

// mark writes a letter or a mark that stands upright in every face but the bold ones.
func (r *reader) mark(text string) atom {
	if r.face >= bold {
		return r.identifier(text)
	}
	return atom{xml: standing(text)}
}

// standing writes a name upright.
func standing(name string) string { return tag(`mi mathvariant="normal"`, html.EscapeString(name)) }

func spaceOf(em string) atom {
	return atom{kind: space, xml: `<mspace width="` + em + `em"/>`}
}
