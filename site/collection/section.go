package collection

import (
	"cmp"
	"path"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"turnplate/site/notebook"
)

// Section is one folder, without its drafts.
type Section struct {
	Folder    string               // slash-separated from the root; "" for the root itself
	Name      string               // from the folder's name, for a section without an index
	Index     *notebook.Notebook   // its index.md, or nil
	Notebooks []*notebook.Notebook // the others, in order
}

// Page is the path of the section's own page, as a notebook's path would be.
func (s Section) Page() string { return path.Join(s.Folder, "index") }

// Sections lists the folders that hold anything to publish: the root first, each folder before those in
// it, in the order of their index pages' `order`, then by name.
func (c *Collection) Sections() []Section { return c.sections }

// Published lists the notebooks that are no drafts, in reading order.
func (c *Collection) Published() []*notebook.Notebook {
	var list []*notebook.Notebook
	for _, s := range c.sections {
		if s.Index != nil {
			list = append(list, s.Index)
		}
		list = append(list, s.Notebooks...)
	}
	return list
}

// Drafts lists the notebooks that are left out, by path.
func (c *Collection) Drafts() []string {
	var list []string
	for _, p := range c.paths {
		if c.only == "" && c.byPath[p].Front.Draft {
			list = append(list, p)
		}
	}
	return list
}

func (c *Collection) arrange(name string) {
	byFolder := map[string]*Section{}
	section := func(folder string) *Section {
		if s := byFolder[folder]; s != nil {
			return s
		}
		s := &Section{Folder: folder, Name: readable(path.Base(folder))}
		if folder == "" {
			s.Name = readable(name)
		}
		byFolder[folder] = s
		return s
	}
	section("")
	for _, p := range c.published() {
		nb := c.byPath[p]
		folder := folderOf(p)
		for f := folder; f != ""; f = folderOf(f) { // the folders around it need a page too
			section(f)
		}
		if s := section(folder); path.Base(p) == "index" {
			s.Index = nb
		} else {
			s.Notebooks = append(s.Notebooks, nb)
		}
	}
	below := map[string][]*Section{}
	for folder, s := range byFolder {
		slices.SortStableFunc(s.Notebooks, func(a, b *notebook.Notebook) int {
			return cmp.Or(cmp.Compare(a.Front.Order, b.Front.Order), cmp.Compare(a.Path, b.Path))
		})
		if folder != "" {
			below[folderOf(folder)] = append(below[folderOf(folder)], s)
		}
	}
	var visit func(s *Section)
	visit = func(s *Section) {
		c.sections = append(c.sections, *s)
		inside := below[s.Folder]
		slices.SortFunc(inside, func(a, b *Section) int {
			return cmp.Or(cmp.Compare(a.order(), b.order()), cmp.Compare(a.Folder, b.Folder))
		})
		for _, s := range inside {
			visit(s)
		}
	}
	visit(byFolder[""])
	c.Title = byFolder[""].Name
	if index := byFolder[""].Index; index != nil {
		c.Title = index.Front.Title
	}
}

func (s *Section) order() int {
	if s.Index == nil {
		return 0
	}
	return s.Index.Front.Order
}

// folderOf gives the folder around a path, "" for the root.
func folderOf(p string) string {
	if dir := path.Dir(p); dir != "." {
		return dir
	}
	return ""
}

// readable makes a title of a file's name: "spring-rates" becomes "Spring rates".
func readable(name string) string {
	words := strings.Join(strings.FieldsFunc(name, func(r rune) bool { return r == '-' || r == '_' || r == ' ' }), " ")
	first, size := utf8.DecodeRuneInString(words)
	if size == 0 {
		return name
	}
	return string(unicode.ToUpper(first)) + words[size:]
}
