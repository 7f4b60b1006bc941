package page

import (
	"net/url"
	"strings"
	"unicode"

	"github.com/yuin/goldmark/util"

	"turnplate/site/notebook"
)

// target is where a link may lead.
type target struct {
	href    string
	outside bool // leaves the site
	ok      bool // false: show the words without a link
}

// target judges a destination as typed. Inside the page and inside the site it is a relative link; another
// site may be linked to; whatever else a browser could be made to do (run a script, open a local file) is
// refused. Unknown schemes are refused by not being listed.
func (r *prose) target(typed string) target {
	// A browser ignores control characters wherever they stand, so "java\nscript:" must not hide from us.
	dest := strings.TrimSpace(strings.Map(func(c rune) rune {
		if unicode.IsControl(c) {
			return -1
		}
		return c
	}, notebook.Plain(typed)))
	written := string(util.URLEscape([]byte(dest), false))
	switch scheme, has := schemeOf(dest); {
	case dest == "":
		return target{}
	case has:
		switch scheme {
		case "http", "https", "mailto":
			return target{written, true, true}
		}
		return target{}
	case strings.HasPrefix(dest, "/") || strings.Contains(dest, `\`):
		return target{} // "//host" and "/\host" lead to another host, "/" to the root of the host that the site lies on
	case strings.HasPrefix(dest, "#"):
		return target{written, false, true}
	case r.page.Resolve == nil:
		return target{written, false, true}
	}
	href, ok := r.page.Resolve(typed)
	return target{href, false, ok}
}

// schemeOf reads a URL's scheme (RFC 3986, section 3.1). Escapes in it are undone first, as a browser may.
func schemeOf(dest string) (scheme string, has bool) {
	head, _, found := strings.Cut(dest, ":")
	if !found || strings.ContainsAny(head, "/?#") {
		return "", false
	}
	if plain, err := url.PathUnescape(head); err == nil {
		head = plain
	}
	return strings.ToLower(strings.TrimSpace(head)), true
}
