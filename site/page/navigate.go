package page

import (
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

// few tells which part of so many links a list shows: what stands around the page's own, of which -1 means none. Where
// that isn't all, a link to all of them follows.
func few(links, own int) (from, to int) {
	if links <= mostLinks {
		return 0, links
	}
	const shown = mostLinks - 1
	from = min(max(own-shown/2, 0), links-shown)
	return from, from + shown
}

func placeOf(page string, list []Link) int {
	return slices.IndexFunc(list, func(p Link) bool { return p.Path == page })
}

func neighbour(link func(title, summary, to string) entry, p Link) *entry {
	e := link(p.Title, "", p.Path)
	return &e
}

// navigate works out the page's surroundings from the site's sections.
func (v *view) navigate() {
	here := v.Path
	link := func(title, summary, to string) entry {
		return entry{Title: title, Summary: summary, Href: relative(here, to), Here: to == here}
	}
	// The pages before and after this one in reading order.
	met := false
	var last *Link
	see := func(p Link) {
		switch {
		case p.Path == here:
			met = true
			if last != nil {
				v.Previous = neighbour(link, *last)
			}
		case met && v.Next == nil:
			v.Next = neighbour(link, p)
		}
		last = &p
	}
	// The section a page belongs to is the one with the longest folder that holds it.
	folder := func(s Section) string { return strings.TrimPrefix(path.Dir(s.Path)+"/", "./") }
	var home *Section
	for i, s := range v.Site.Sections {
		see(Link{Title: s.Title, Path: s.Path})
		for _, p := range s.Pages {
			see(p)
		}
		if strings.HasPrefix(here, folder(s)) && (home == nil || len(folder(s)) > len(folder(*home))) {
			home = &v.Site.Sections[i]
		}
	}
	var top []Link
	own := -1
	for _, s := range v.Site.Sections {
		switch depth := strings.Count(folder(s), "/"); {
		case depth == 1: // what lies deeper is found on their pages
			if strings.HasPrefix(here, folder(s)) && own < 0 {
				own = len(top)
			}
			top = append(top, Link{Title: s.Title, Path: s.Path})
		case depth == 0: // loose pages beside the sections
			if at := placeOf(here, s.Pages); at >= 0 && own < 0 {
				own = len(top) + at
			}
			top = append(top, s.Pages...)
		}
	}
	from, to := few(len(top), own)
	for i, p := range top[from:to] {
		e := link(p.Title, "", p.Path)
		e.Here = from+i == own
		v.Sections = append(v.Sections, e)
	}
	if to-from < len(top) {
		v.Sections = append(v.Sections, link("All pages", "", "index.html"))
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
			from, to := few(len(home.Pages), placeOf(here, home.Pages))
			for _, p := range home.Pages[from:to] {
				v.Siblings = append(v.Siblings, link(p.Title, "", p.Path))
			}
			if to-from < len(home.Pages) {
				v.Siblings = append(v.Siblings, link(fmt.Sprintf("All %d pages", len(home.Pages)), "", home.Path))
			}
		}
	}
	for _, s := range v.List {
		l := list{Title: s.Title, Href: relative(here, s.Path)}
		if s.Path == here {
			l.Title = "" // the page itself is the heading
		}
		for _, p := range s.Pages {
			e := link(p.Title, p.Summary, p.Path)
			if p.Picture && here == "index.html" { // the home page alone: pictures weigh more than all else on a list
				e.Picture = relative(here, shareName(p.Path))
			}
			l.Pages = append(l.Pages, e)
		}
		v.Lists = append(v.Lists, l)
	}
}
