package collection

import (
	"errors"
	"fmt"
	"net/url"
	"path"
	"strings"
	"unicode"

	"turnplate/site/diag"
	"turnplate/site/notebook"
)

// Target is what a relative link leads to: a page, or a file that is copied to the same path.
type Target struct {
	Path     string // from the root: of a page without its ending, "studies/caster"; of a file with it
	Page     bool
	Fragment string // what follows '#', as typed, or ""
}

// Href is the target's link from a page at a path such as "studies/caster", escaped for a URL.
func (t Target) Href(from string) string {
	to := t.Path
	if t.Page {
		to += ".html"
	}
	a, b := strings.Split(from, "/"), strings.Split(to, "/")
	for len(a) > 1 && len(b) > 1 && a[0] == b[0] {
		a, b = a[1:], b[1:]
	}
	for i := range b {
		b[i] = url.PathEscape(b[i])
	}
	href := strings.Repeat("../", len(a)-1) + strings.Join(b, "/")
	if t.Fragment != "" {
		href += "#" + t.Fragment
	}
	return href
}

// Target finds what a relative link or picture in a notebook leads to. The error says why it leads nowhere.
func (c *Collection) Target(from *notebook.Notebook, dest string, picture bool) (Target, error) {
	typed, fragment, _ := strings.Cut(notebook.Plain(dest), "#")
	name, err := url.PathUnescape(typed)
	if err != nil {
		return Target{}, errors.New("the link holds a percent sign that begins no escape")
	}
	switch {
	case strings.HasPrefix(name, "/"):
		return Target{}, errors.New("links are relative to the notebook they stand in, so they don't start with a slash")
	case strings.Contains(name, `\`):
		return Target{}, errors.New(`folders in a link are parted by "/"`)
	case strings.IndexFunc(name, unicode.IsControl) >= 0:
		return Target{}, errors.New("the link holds a control character")
	}
	name = path.Join(path.Dir(from.Path), name)
	if name == ".." || strings.HasPrefix(name, "../") {
		return Target{}, errors.New("the link leads outside the collection")
	}
	t := Target{Path: name, Fragment: fragment}
	if bare := strings.TrimSuffix(name, ".md"); bare != name && !picture {
		nb := c.byPath[bare]
		if nb == nil {
			if near := c.near(bare); near != "" {
				return t, reason{"there is no such notebook", "did you mean " + Target{Path: near + ".md"}.Href(from.Path) + "?"}
			}
			return t, errors.New("there is no such notebook")
		}
		if nb.Front.Draft && !from.Front.Draft {
			return t, fmt.Errorf("%s is a draft, so it will not be on the site", nb.File)
		}
		return Target{bare, true, fragment}, nil
	}
	for _, s := range c.sections {
		if (s.Folder == name || s.Folder == "" && name == ".") && !picture {
			return Target{s.Page(), true, fragment}, nil
		}
	}
	if bare := strings.TrimSuffix(name, ".html"); bare != name && c.byPath[bare] != nil {
		return t, fmt.Errorf("link to the notebook, %s.md; the site's link is made from that", bare)
	}
	if err := c.checkFile(name, picture); err != nil {
		return t, err
	}
	return t, nil
}

// reason is an error with a hint how to mend it.
type reason struct{ message, hint string }

func (r reason) Error() string { return r.message + " (" + r.hint + ")" }

// CheckLinks reports the links and pictures of a notebook that lead nowhere, and gives the files that its
// page carries along.
func (c *Collection) CheckLinks(nb *notebook.Notebook) (files []string, faults diag.List) {
	for _, l := range nb.Links {
		if len(faults) >= diag.Most {
			break
		}
		fault := func(hint, format string, args ...any) {
			faults = append(faults, diag.New(nb.File, nb.Source, l.At, l.Length, hint, fmt.Sprintf(format, args...)))
		}
		dest := notebook.Plain(l.Dest)
		scheme, has := scheme(dest)
		switch {
		case dest == "":
			fault("", "the link leads nowhere")
		case strings.HasPrefix(dest, "#"):
		case strings.HasPrefix(dest, "//"), has && l.Picture:
			fault("put a copy into the collection", "a page asks other hosts for nothing, so it can't show what lies there")
		case has && scheme != "http" && scheme != "https" && scheme != "mailto":
			fault("", "a link may lead to a notebook, a file of the collection, http:, https: or mailto:, not to %s:", scheme)
		case has:
		default:
			t, err := c.Target(nb, l.Dest, l.Picture)
			var r reason
			if errors.As(err, &r) {
				fault(r.hint, "%s: %s", l.Dest, r.message)
			} else if err != nil {
				fault("", "%s: %s", l.Dest, err)
			} else if !t.Page {
				files = append(files, t.Path)
			}
		}
	}
	return files, faults
}

// scheme reads a URL's scheme (RFC 3986, section 3.1). An e-mail address between pointed brackets has none.
func scheme(dest string) (string, bool) {
	head, _, found := strings.Cut(dest, ":")
	if !found || strings.ContainsAny(head, "/?#") {
		if strings.Contains(dest, "@") && !strings.ContainsAny(dest, "/") {
			return "mailto", true
		}
		return "", false
	}
	if plain, err := url.PathUnescape(head); err == nil {
		head = plain
	}
	return strings.ToLower(strings.TrimSpace(head)), true
}
