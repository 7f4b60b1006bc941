package page

import (
	"path"
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

// navigate works out the page's surroundings from the site's sections.
func (v *view) navigate() {
	here := v.Path
	link := func(title, summary, to string) entry {
		return entry{Title: title, Summary: summary, Href: relative(here, to), Here: to == here}
	}
	var order []entry // every page in reading order
	at := -1
	see := func(title, to string) {
		if to == here {
			at = len(order)
		}
		order = append(order, link(title, "", to))
	}
	// The section a page belongs to is the one with the longest folder that holds it.
	folder := func(s Section) string { return strings.TrimPrefix(path.Dir(s.Path)+"/", "./") }
	var home *Section
	for i, s := range v.Site.Sections {
		see(s.Title, s.Path)
		for _, p := range s.Pages {
			see(p.Title, p.Path)
		}
		if strings.HasPrefix(here, folder(s)) && (home == nil || len(folder(s)) > len(folder(*home))) {
			home = &v.Site.Sections[i]
		}
	}
	for _, s := range v.Site.Sections {
		if folder(s) != "" {
			e := link(s.Title, "", s.Path)
			e.Here = home != nil && home.Path == s.Path
			v.Sections = append(v.Sections, e)
			continue
		}
		for _, p := range s.Pages { // loose pages beside the sections, such as a glossary
			v.Sections = append(v.Sections, link(p.Title, "", p.Path))
		}
	}
	if at > 0 {
		v.Previous = &order[at-1]
	}
	if at >= 0 && at+1 < len(order) {
		v.Next = &order[at+1]
	}
	for _, p := range v.Site.Reference {
		e := link(p.Title, "", p.Path)
		e.Here = e.Here || v.Among != nil && v.Among.Path == p.Path
		v.Sections = append(v.Sections, e)
	}
	if v.Among != nil {
		home = v.Among
	}
	if home != nil && (folder(*home) != "" || v.Among != nil) {
		v.Section = home.Title
		v.Crumbs = append(v.Crumbs, link(v.Site.Title, "", "index.html"))
		for _, s := range v.Site.Sections { // folders around this one come before it
			if f := folder(s); f != "" && strings.HasPrefix(here, f) && s.Path != here {
				v.Crumbs = append(v.Crumbs, link(s.Title, "", s.Path))
			}
		}
		if v.Among != nil && v.Among.Path != here {
			v.Crumbs = append(v.Crumbs, link(v.Among.Title, "", v.Among.Path))
		}
		if len(home.Pages) > 1 || len(home.Pages) == 1 && home.Pages[0].Path != here {
			for _, p := range home.Pages {
				v.Siblings = append(v.Siblings, link(p.Title, "", p.Path))
			}
		}
	}
	for _, s := range v.List {
		l := list{Title: s.Title, Href: relative(here, s.Path)}
		if s.Path == here {
			l.Title = "" // the page itself is the heading
		}
		for _, p := range s.Pages {
			l.Pages = append(l.Pages, link(p.Title, p.Summary, p.Path))
		}
		v.Lists = append(v.Lists, l)
	}
}
