package build

import (
	"container/list"
	"reflect"
	"slices"
	"sync"

	"turnplate/site/eval"
	"turnplate/site/figure"
	"turnplate/site/notebook"
	"turnplate/site/page"
)

// renderedBytes bounds the finished pages that a preview keeps.
const renderedBytes = 64 << 20

// renderings keeps finished pages, the most recently shown ones, so that a page is rendered again only when
// something that it is made from has changed.
type renderings struct {
	mu     sync.Mutex
	room   int // bytes
	held   int
	order  *list.List // of *slot, the most recently shown first
	byName map[string]*list.Element
}

// slot keeps the latest rendering of one page.
type slot struct {
	name     string
	size     int        // as counted in held
	mu       sync.Mutex // held while the page is being rendered
	last     *rendering
	drawings page.Drawings
}

// rendering is a finished page. It is never changed.
type rendering struct {
	inputs inputs
	out    page.Output
	digest func() string // of the HTML
}

// inputs are what a page is made from.
type inputs struct {
	notebook *notebook.Notebook
	eval     *eval.Page
	digest   string   // of the notebook and of what it uses
	stamps   []string // of the files it carries
	links    []string // where its links lead
	users    []page.Link
	site     *page.Site
}

func (in inputs) same(as inputs) bool {
	return in.notebook == as.notebook && in.eval == as.eval && in.digest == as.digest &&
		slices.Equal(in.stamps, as.stamps) && slices.Equal(in.links, as.links) && slices.Equal(in.users, as.users) &&
		(in.site == as.site || reflect.DeepEqual(in.site, as.site))
}

// inputs lists what a page is made from.
func (s *Site) inputs(name string) inputs {
	in := inputs{site: s.shared()}
	n := s.byPath[name]
	if n == nil {
		in.users = s.users(name, in.site)
		return in
	}
	in.notebook, in.eval, in.digest = n.Notebook, n.Eval, s.digest(n)
	if s.options.bundled != nil { // where files and links never change
		return in
	}
	for _, file := range n.Carries {
		if s.stamp == nil {
			break
		}
		in.stamps = append(in.stamps, s.stamp(file))
	}
	for _, link := range n.Links {
		t, err := s.collection.Target(n.Notebook, link.Dest, false)
		if err != nil {
			t.Path = ""
		}
		in.links = append(in.links, t.Path)
	}
	return in
}

func newRenderings(room int) *renderings {
	return &renderings{room: room, order: list.New(), byName: map[string]*list.Element{}}
}

// get gives the page of a name made from these inputs; render makes it if need be.
func (rs *renderings) get(name string, in inputs, render func(*page.Drawings) (page.Output, error)) (*rendering, error) {
	s := rs.slot(name)
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.last != nil && s.last.inputs.same(in) {
		return s.last, nil
	}
	out, err := render(&s.drawings)
	if err != nil {
		return nil, err
	}
	s.last = &rendering{in, out, sync.OnceValue(func() string { return digest(string(out.HTML)) })}
	size := len(out.HTML) + s.drawings.Bytes()
	for _, f := range out.Files {
		size += len(f.Data)
	}
	rs.resize(s, size)
	return s.last, nil
}

func (rs *renderings) slot(name string) *slot {
	rs.mu.Lock()
	defer rs.mu.Unlock()
	e := rs.byName[name]
	if e == nil {
		e = rs.order.PushFront(&slot{name: name})
		rs.byName[name] = e
	}
	rs.order.MoveToFront(e)
	return e.Value.(*slot)
}

// resize notes a slot's new size and lets the pages go that were not shown for longest.
func (rs *renderings) resize(s *slot, size int) {
	rs.mu.Lock()
	defer rs.mu.Unlock()
	if e := rs.byName[s.name]; e == nil || e.Value.(*slot) != s {
		return // let go meanwhile
	}
	rs.held += size - s.size
	s.size = size
	for rs.held > rs.room && rs.order.Len() > 1 {
		old := rs.order.Remove(rs.order.Back()).(*slot)
		delete(rs.byName, old.name)
		rs.held -= old.size
	}
}

// unevaluated stands for what a notebook comes to until that is known.
func (l *Live) unevaluated(nb *notebook.Notebook) *eval.Page {
	title, summary := nb.Front.Title, nb.Front.Summary
	if b := l.options.bundled; b != nil {
		title, summary = b.Pages[nb.Path].Title, b.Pages[nb.Path].Summary
	}
	p := &eval.Page{Title: figure.Text{{Text: figure.Plain(title)}}}
	if summary != "" {
		p.Summary = figure.Text{{Text: figure.Plain(summary)}}
	}
	return p
}
