package build

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"turnplate/site/collection"
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
	Carried             map[string]collection.Px // files that pages carry, which the bundle doesn't hold
	Findings            map[string][]byte        // what surveys found, so that they aren't searched again: see model.Findings
	Reference           []page.Link
	Explained           map[string]string
}

// told is what other pages say of one.
type told struct {
	Title, Summary string
	Pictured       bool
}

// aboutFile is its name in the bundle: no notebook's, as it starts with an underscore.
const aboutFile = "_site.json"

// Bundle packs what the pages of a Site without Faults are made from.
func (s *Site) Bundle() ([]byte, error) {
	a := about{
		Name: s.collection.Name(), Version: s.options.Version, Note: s.options.Note, Reference: own().links, Explained: own().explained,
		Pages: map[string]told{}, Fronts: map[string]notebook.Front{}, Looks: s.looks, Carried: map[string]collection.Px{},
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
			if s.collection.Sketch(name) != "" { // it stands in the page itself
				if data, err := s.collection.File(name); err == nil {
					files[name] = data
				}
				continue
			}
			w, h := s.collection.Size(name)
			a.Carried[name] = collection.Px{Width: w, Height: h}
		}
	}
	var err error
	if files[aboutFile], err = json.Marshal(a); err != nil {
		return nil, err
	}
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
	err = z.Close()
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
	var a about
	if err := json.NewDecoder(f).Decode(&a); err != nil {
		return nil, err
	}
	c := collection.OpenKnown(z, a.Name, a.Fronts)
	c.Carry(a.Carried)
	const numbers, bytes = 4 << 20, 8 << 20 // what a telephone has room for
	live := NewLive(ctx, c, Options{Version: a.Version, Note: a.Note, Cache: model.NewCacheOf(numbers), bundled: &a, findings: model.NewFindings(a.Findings)})
	live.rendered = newRenderings(bytes)
	return live, nil
}
