package build

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"sync"

	"turnplate/site/collection"
	"turnplate/site/diag"
	"turnplate/site/figure"
	"turnplate/site/model"
	"turnplate/site/notebook"
	"turnplate/site/page"
)

// A site whose readers may put their own vehicle in the place of a page's carries a bundle: the notebooks and readings
// that it was made from, and what a page says of the site around it. Unpacked, it is a Live that makes the same pages.

// about is what a bundle says beside its files.
type about struct {
	Name, Version, Note string
	Pages               map[string]told           // by path without ending
	Fronts              map[string]notebook.Front // of those that aren't published too
	Looks               figure.Looks
	Carried             map[string]collection.Picture // files of the pages that the bundle doesn't hold
	Findings            map[string][]byte             // what surveys found, so that they aren't searched again: see model.Findings
	Reference           []page.Link
	Explained           map[string]string
}

// unpacked is what a Live knows of the site that its bundle was made from.
type unpacked struct {
	about
	once   sync.Once
	around *page.Site // see Site.shared
}

// told is what other pages say of one, and the files that it carries.
type told struct {
	Title, Summary string
	Pictured       bool
	Carries        []string
}

// pack writes what is said, or reads it.
func (a *about) pack(p *packed) {
	p.texts(&a.Name, &a.Version, &a.Note)
	packMap(p, &a.Pages, func(t *told) {
		p.texts(&t.Title, &t.Summary)
		p.yes(&t.Pictured)
		packList(p, &t.Carries, p.text)
	})
	packMap(p, &a.Fronts, func(f *notebook.Front) { packFront(p, f) })
	packMap(p, &a.Looks, p.number)
	packMap(p, &a.Carried, func(c *collection.Picture) {
		p.number(&c.Width)
		p.number(&c.Height)
		p.text(&c.Sketch)
	})
	packMap(p, &a.Findings, p.bytes)
	packList(p, &a.Reference, func(l *page.Link) {
		p.texts(&l.Title, &l.Summary, &l.Path)
		p.yes(&l.Picture)
	})
	packMap(p, &a.Explained, p.text)
}

func packFront(p *packed, f *notebook.Front) {
	p.texts(&f.Title, &f.Summary, &f.Date, &f.Author, &f.Units, &f.Currency, &f.Yours)
	p.yes(&f.Draft)
	for _, n := range []*int{&f.Order, &f.Draws, &f.Lines} {
		p.number(n)
	}
	pos := func(at *diag.Pos) {
		p.number(&at.Line)
		p.number(&at.Col)
	}
	for _, s := range []*diag.Snippet{&f.TitleAt, &f.SummaryAt, &f.YoursAt} {
		p.text(&s.Text)
		packList(p, &s.Starts, pos)
		packList(p, &s.Jumps, func(j *diag.Jump) {
			p.number(&j.Line)
			p.number(&j.Col)
			pos(&j.To)
		})
	}
}

// aboutFile is its name in the bundle: no notebook's, as it starts with an underscore.
const aboutFile = "_site"

// Bundle packs what the pages of a Site without Faults are made from.
func (s *Site) Bundle() ([]byte, error) {
	a := about{
		Name: s.collection.Name(), Version: s.options.Version, Note: s.options.Note, Reference: own().links, Explained: own().explained,
		Pages: map[string]told{}, Fronts: map[string]notebook.Front{}, Looks: s.looks, Carried: map[string]collection.Picture{},
		Findings: s.options.findings.All(),
	}
	files := map[string][]byte{}
	add := func(path string) {
		if nb, err := s.collection.Notebook(path); err == nil {
			files[nb.File] = nb.Source
			a.Fronts[path] = nb.Front
		}
	}
	for _, n := range s.Notebooks {
		a.Pages[n.Path] = s.told(&n)
		add(n.Path)
		for _, used := range n.Eval.Uses {
			add(used)
		}
		for _, name := range n.Eval.Files {
			if data, err := s.collection.File(name); err == nil {
				files[name] = data
			}
		}
		for _, name := range n.Carries {
			a.Carried[name] = s.collection.Picture(name)
		}
	}
	var said packed
	a.pack(&said)
	files[aboutFile] = said.data
	var names []string
	for name := range files {
		names = append(names, name)
	}
	slices.Sort(names)
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, name := range names {
		// It has no time, so that the same site gives the same bytes. The whole is compressed where it is carried, by what a
		// browser unpacks by itself.
		w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Store})
		if err != nil {
			return nil, err
		}
		if _, err := w.Write(files[name]); err != nil {
			return nil, err
		}
	}
	err := z.Close()
	return out.Bytes(), err
}

// Unpack makes a Live of a bundle. It reads and evaluates nothing yet.
func Unpack(ctx context.Context, bundle []byte) (*Live, error) {
	z, err := zip.NewReader(bytes.NewReader(bundle), int64(len(bundle)))
	if err != nil {
		return nil, fmt.Errorf("the notebooks of this site can't be read: %w", err)
	}
	f, err := z.Open(aboutFile)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	said, err := io.ReadAll(f) // and no more than there is, whatever length the directory gives
	if err != nil {
		return nil, err
	}
	a := &unpacked{}
	p := packed{data: said, reading: true}
	if a.pack(&p); p.damaged || len(p.data) > 0 {
		return nil, errors.New("what is carried with the notebooks of this site is damaged")
	}
	c := collection.OpenKnown(z, a.Name, a.Fronts)
	c.Carry(a.Carried)
	const numbers, bytes = 4 << 20, 8 << 20 // what a telephone has room for
	live := NewLive(ctx, c, Options{Version: a.Version, Note: a.Note, Cache: model.NewCacheOf(numbers), bundled: a, findings: model.NewFindings(a.Findings)})
	live.rendered = newRenderings(bytes)
	return live, nil
}
