package page

import (
	"cmp"
	"fmt"
	"path"
	"slices"
	"strings"
)

// up leads from a page to the site's root.
func up(from string) string { return strings.Repeat("../", strings.Count(from, "/")) }

// relative is the link from one page to another, both given from the site's root.
func relative(from, to string) string {
	a, b := strings.Split(from, "/"), strings.Split(to, "/")
	for len(a) > 1 && len(b) > 1 && a[0] == b[0] {
		a, b = a[1:], b[1:]
	}
	return strings.Repeat("../", len(a)-1) + strings.Join(b, "/")
}

// mostLinks is how many links a list of the navigation has: a reader looks through so many, and a large
// collection's pages would otherwise carry each other's titles, the square of their number.
const mostLinks = 12

// entry is the link from this page to another.
func (v *view) entry(to Link) entry {
	return entry{Title: to.Title, Href: relative(v.Path, to.Path), Here: to.Path == v.Path}
}

// few gives the entries of a list of the navigation, the one at own marked as where the page stands. Of many links it
// shows those around own, of which -1 means none, and then one to all of them.
func (v *view) few(links []Link, own int, all Link) []entry {
	from, to := 0, len(links)
	if len(links) > mostLinks {
		const shown = mostLinks - 1
		from = min(max(own-shown/2, 0), len(links)-shown)
		to = from + shown
	}
	var list []entry
	for i, p := range links[from:to] {
		e := v.entry(p)
		e.Here = from+i == own
		list = append(list, e)
	}
	if to-from < len(links) {
		list = append(list, v.entry(all))
	}
	return list
}

// index is the section's own page.
func (s Section) index() Link { return Link{Title: s.Title, Path: s.Path} }

// folder is the section's, with a slash at its end; "" for the root.
func (s Section) folder() string { return strings.TrimPrefix(path.Dir(s.Path)+"/", "./") }

// place is where a page stands in a section's list, or -1.
func (s Section) place(page string) int {
	return slices.IndexFunc(s.Pages, func(p Link) bool { return p.Path == page })
}

// pages yields all pages in reading order.
func (s Site) pages(yield func(Link) bool) {
	for _, section := range s.Sections {
		if !yield(section.index()) {
			return
		}
		for _, p := range section.Pages {
			if !yield(p) {
				return
			}
		}
	}
}

// navigate works out the page's surroundings from the site's sections.
func (v *view) navigate() {
	v.turn()
	v.bar()
	// The section a page belongs to is the one with the deepest folder around it, unless it stands outside the reading order.
	around := slices.DeleteFunc(slices.Clone(v.Site.Sections), func(s Section) bool { return !strings.HasPrefix(v.Path, s.folder()) })
	if v.Among != nil {
		v.within(around, *v.Among)
	} else if len(around) > 0 {
		home := slices.MaxFunc(around, func(a, b Section) int { return cmp.Compare(len(a.folder()), len(b.folder())) })
		if home.folder() != "" {
			v.within(around, home)
		}
	}
	for _, s := range v.List {
		v.Lists = append(v.Lists, v.list(s))
	}
}

// turn finds the pages before and after this one in reading order.
func (v *view) turn() {
	link := func(to *Link) *entry {
		if to == nil {
			return nil
		}
		e := v.entry(*to)
		return &e
	}
	met := false
	var last *Link
	for p := range v.Site.pages {
		switch {
		case met:
			v.Next = link(&p)
			return
		case p.Path == v.Path:
			met, v.Previous = true, link(last)
		}
		last = &p
	}
}

// bar fills the header: the sections, loose pages beside them, and pages outside the reading order. Sections inside
// others are found on the pages of those.
func (v *view) bar() {
	var top []Link
	own := -1
	for _, s := range v.Site.Sections {
		at := -1
		switch strings.Count(s.folder(), "/") {
		case 0:
			if at = s.place(v.Path); at >= 0 {
				at += len(top)
			}
			top = append(top, s.Pages...)
		case 1:
			if strings.HasPrefix(v.Path, s.folder()) {
				at = len(top)
			}
			top = append(top, s.index())
		}
		if own < 0 {
			own = at
		}
	}
	v.Sections = v.few(top, own, Link{Title: "All pages", Path: "index.html"})
	for _, p := range v.Site.Reference {
		e := v.entry(p)
		e.Here = e.Here || v.Among != nil && v.Among.Path == p.Path
		v.Sections = append(v.Sections, e)
	}
}

// within shows where the page stands in its section, which the sections around it lead to, and the other pages of that.
func (v *view) within(around []Section, home Section) {
	v.Section = home.Title
	v.Crumbs = append(v.Crumbs, v.entry(Link{Title: v.Site.Title, Path: "index.html"}))
	for _, s := range around {
		if s.folder() != "" && s.Path != v.Path {
			v.Crumbs = append(v.Crumbs, v.entry(s.index()))
		}
	}
	if v.Among != nil && home.Path != v.Path {
		v.Crumbs = append(v.Crumbs, v.entry(home.index()))
	}
	if own := home.place(v.Path); len(home.Pages) > 1 || len(home.Pages) == 1 && own < 0 {
		v.Siblings = v.few(home.Pages, own, Link{Title: fmt.Sprintf("All %d pages", len(home.Pages)), Path: home.Path})
	}
}

// list is a section as this index page shows it.
func (v *view) list(s Section) list {
	l := list{Title: s.Title, Href: relative(v.Path, s.Path)}
	if s.Path == v.Path {
		l.Title = "" // the page itself is the heading
	}
	for _, p := range s.Pages {
		e := v.entry(p)
		e.Summary = p.Summary
		if p.Picture && v.Path == "index.html" { // the home page alone: pictures weigh more than all else on a list
			e.Picture = relative(v.Path, shareName(p.Path))
		}
		l.Pages = append(l.Pages, e)
	}
	return l
}
