package page

import (
	"go/scanner"
	"go/token"
	"strings"
)

// explained is the link to the page that explains a name of the block language, or "".
func (r *prose) explained(name string) string {
	if to := r.page.Site.Explained[name]; to != "" && to != r.page.Path {
		return relative(r.page.Path, to)
	}
	return ""
}

// highlight marks comments (em), strings (i) and numbers (b) in a block's text, which is Go's syntax, and
// links the names of what it writes out, such as Tyre{…}, to what explains them. Nothing is lost: what the
// scanner doesn't name is written as it stands. A page has hundreds of these marks, so they are elements with
// short names rather than elements with a class.
func highlight(code string, explained func(name string) string) string {
	src := []byte(code)
	files := token.NewFileSet()
	file := files.AddFile("", files.Base(), len(src))
	var s scanner.Scanner
	s.Init(file, src, func(token.Position, string) {}, scanner.ScanComments)
	var b strings.Builder
	done := 0
	for {
		pos, kind, text := s.Scan()
		if kind == token.EOF {
			break
		}
		name, href := "", ""
		switch kind {
		case token.IDENT:
			if after := file.Offset(pos) + len(text); after < len(code) && code[after] == '{' {
				href = explained(text)
			}
		case token.COMMENT:
			name = "em"
		case token.STRING, token.CHAR:
			name = "i"
		case token.INT, token.FLOAT:
			name = "b"
		}
		start := file.Offset(pos)
		end := start + len(text)
		if name+href == "" || start < done || end > len(src) || code[start:end] != text {
			continue // an inserted semicolon, or text that lost its carriage returns
		}
		b.WriteString(textOnly(code[done:start]))
		if href != "" {
			b.WriteString(`<a href="` + escape(href) + `">` + textOnly(text) + "</a>")
		} else {
			b.WriteString("<" + name + ">" + textOnly(text) + "</" + name + ">")
		}
		done = end
	}
	b.WriteString(textOnly(code[done:]))
	return b.String()
}

// textOnly escapes what stands between tags, where quotation marks may stay as they are.
func textOnly(s string) string { return textEscaper.Replace(s) }

var textEscaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", "\x00", "\ufffd")
