// Package build turns a collection into the pages of a site.
//
//	Evaluate   every published notebook -> what it came to, with all mistakes and claims
//	Render     what was evaluated       -> files, handed over one by one
//
// Between the two stands the decision whether to publish at all, which is the caller's.
package build

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"
	"sync/atomic"
	"time"

	"turnplate/site/collection"
	"turnplate/site/diag"
	"turnplate/site/eval"
	"turnplate/site/figure"
	"turnplate/site/model"
	"turnplate/site/notebook"
	"turnplate/site/page"
	"turnplate/site/parallel"
	"turnplate/site/yours"
)

// Options say how.
type Options struct {
	Version  string                // of the program, for the footers
	Note     string                // a sentence for every footer, or ""
	Cache    *model.Cache          // of model runs, or nil
	Progress func(done, total int) // called as the work goes on, from several goroutines; or nil

	// Engine makes the files, by name in the site's own folder, with which readers put their own vehicle in the place of
	// a page's; notebooks is the site's bundle. Without it no page offers that.
	Engine func(notebooks []byte) map[string][]byte

	Yours map[string]diag.Snippet // a reader's own values, by the notebook whose vehicle they are for: see eval.Options

	Still []string      // dials stand still: see eval.Options
	Shown string        // the one notebook whose page is shown: see eval.Options
	Hurry time.Duration // what a model may take, or zero: see eval.Options
	Seen  []string      // the figures of that page in its reader's window, in a hurry: see eval.Options

	bundled  *unpacked       // of the bundle that the collection was unpacked from; or nil
	findings *model.Findings // of the site's notebooks, and for its readers; or nil
}

// Site is a collection whose notebooks have been evaluated.
type Site struct {
	Notebooks []Notebook // the published ones, in reading order
	Faults    diag.List  // of the folder and of every notebook, sorted
	Doubts    diag.List  // of every notebook, sorted

	collection *collection.Collection
	options    Options
	byPath     map[string]*Notebook
	stamp      func(file string) string // what links to a carried file add, so that a browser asks for it anew; or nil
	drawings   *page.Drawings           // of the page before, where one page is rendered again and again; or nil
	looks      figure.Looks             // of the labels in figures
	pages      []string                 // of the pages to be, by path without ending
	done       atomic.Int64             // notebooks evaluated and pages rendered
}

// Notebook is one published notebook and what it came to.
type Notebook struct {
	*notebook.Notebook
	Eval    *eval.Page
	Claims  []Claim
	Carries []string // pictures and other files that its page needs, by path from the root
	faults  diag.List
	places  []string // in its page that a link can lead to, in order
	beside  []string // files of the site that its page may need for its figures
}

// Claim is a statement that was checked.
type Claim struct {
	File   string
	Line   int
	Says   string
	Holds  bool
	Detail string // where it fails first, or the probability found
}

// Evaluate evaluates every published notebook. The error is that of a cancelled context alone: what is
// wrong with the notebooks is in Faults.
func Evaluate(ctx context.Context, c *collection.Collection, options Options) (*Site, error) {
	published := c.Published()
	options.findings = model.NewFindings(nil)
	s := newSite(c, options)
	s.looks = looks(c, labels(c, nil))
	s.Notebooks = make([]Notebook, len(published))
	index, paths := map[string]int{}, make([]string, len(published))
	for i, nb := range published {
		index[nb.Path], paths[i] = i, nb.Path
	}
	ev := eval.New(c, eval.Options{Cache: options.Cache, Yours: options.Yours, Findings: options.findings})
	order := ev.Plan(paths)
	err := parallel.Do(ctx, len(order), func(k int) {
		if i, ok := index[order[k]]; ok {
			s.Notebooks[i] = evaluate(ctx, c, ev, published[i], nil)
			s.progress()
		} else if draft, err := c.Notebook(order[k]); err == nil {
			evaluate(ctx, c, ev, draft, nil)
		}
	})
	if err != nil {
		return nil, err
	}
	s.Faults = append(s.Faults, c.Faults...)
	for i := range s.Notebooks {
		s.byPath[s.Notebooks[i].Path] = &s.Notebooks[i]
	}
	for i := range s.Notebooks {
		s.Faults = append(s.Faults, s.Notebooks[i].faults...)
		s.Doubts = append(s.Doubts, s.Notebooks[i].Eval.Doubts...)
		s.Faults = append(s.Faults, linkFaults(c, &s.Notebooks[i], func(p string) *Notebook { return s.byPath[p] })...)
	}
	all := make([]*Notebook, len(s.Notebooks))
	for i := range s.Notebooks {
		all[i] = &s.Notebooks[i]
	}
	s.Faults = append(s.Faults, fileFaults(c, all)...)
	s.Faults.Sort()
	s.Doubts.Sort()
	return s, nil
}

func newSite(c *collection.Collection, options Options) *Site {
	s := &Site{collection: c, options: options, byPath: map[string]*Notebook{}}
	for _, section := range c.Sections() {
		s.pages = append(s.pages, section.Page())
		for _, nb := range section.Notebooks {
			s.pages = append(s.pages, nb.Path)
		}
	}
	s.pages = append(s.pages, own().paths...)
	return s
}

func evaluate(ctx context.Context, c *collection.Collection, ev *eval.Evaluator, nb *notebook.Notebook, b *unpacked) (n Notebook) {
	n = Notebook{Notebook: nb, Eval: &eval.Page{}}
	// A slip of the program in one notebook must not cost the others; it is reported like a mistake there.
	defer func() {
		if r := recover(); r != nil {
			n.faults = append(n.faults, diag.Diagnostic{File: nb.File, Message: fmt.Sprintf("Turnplate itself failed here: %v", r),
				Hint: "please report it with the notebook"})
		}
	}()
	n.Eval = ev.Page(ctx, nb.Path)
	n.conclude(c, b)
	return n
}

// conclude draws from a notebook's text and its Eval what else is known of it. Of a bundle's it is known what its page
// carries, and its links were followed when the site was written.
func (n *Notebook) conclude(c *collection.Collection, b *unpacked) {
	nb := n.Notebook
	n.faults = slices.Clone(n.Eval.Faults)
	if b != nil {
		n.Carries = b.Pages[n.Path].Carries
		return
	}
	n.places, n.beside = page.Places(nb, n.Eval), page.Beside(nb, n.Eval)
	var faults diag.List
	n.Carries, faults = c.CheckLinks(nb)
	n.faults = append(n.faults, faults...)
	for i, b := range n.Eval.Blocks {
		for j, f := range b.Figures {
			if claim, ok := f.(*figure.Claim); ok {
				line := nb.Blocks[i].Snippet.At(1, 1).Line
				if j < len(b.Lines) {
					line = b.Lines[j]
				}
				n.Claims = append(n.Claims, Claim{nb.File, line, claim.Says.String(), claim.Holds, claim.Detail})
			}
		}
	}
}

// Pages lists the files of the site's pages, those that every site has left out.
func (s *Site) Pages() []string {
	var list []string
	for _, p := range s.pages {
		if _, everywhere := own().byPath[p]; !everywhere {
			list = append(list, p+".html")
		}
	}
	return list
}

// progress counts a notebook evaluated or a page rendered.
func (s *Site) progress() {
	done := s.done.Add(1)
	if s.options.Progress != nil {
		s.options.Progress(int(done), len(s.Notebooks)+len(s.pages))
	}
}

// Render makes every file of the site and hands it to put, which may be called from several goroutines.
// Call it only for a Site without Faults.
func (s *Site) Render(ctx context.Context, put func(name string, data []byte) error) error {
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	shared := s.shared()
	var carries []string
	for _, n := range s.Notebooks {
		carries = append(carries, n.Carries...)
	}
	carries = slices.DeleteFunc(carries, collection.IsSketch) // they are part of their pages
	slices.Sort(carries)
	carries = slices.Compact(carries)
	_ = parallel.Do(ctx, len(s.pages)+len(carries), func(i int) {
		var err error
		if i < len(s.pages) {
			err = s.render(s.pages[i], shared, put)
			s.progress()
		} else {
			err = s.carry(carries[i-len(s.pages)], put)
		}
		if err != nil {
			cancel(err)
		}
	})
	if err := context.Cause(ctx); err != nil {
		return err
	}
	return s.putAssets(put)
}

func (s *Site) render(name string, shared *page.Site, put func(string, []byte) error) error {
	out, err := s.page(name, shared)
	if err != nil {
		return err
	}
	if err := put(name+".html", out.HTML); err != nil {
		return err
	}
	for _, f := range out.Files {
		if err := put(f.Path, f.Data); err != nil {
			return err
		}
	}
	if out.Share == nil {
		return nil
	}
	picture, err := out.Share.Draw()
	if err != nil {
		return fmt.Errorf("%s: %w", out.Share.Path, err)
	}
	return put(out.Share.Path, picture)
}

func (s *Site) page(name string, shared *page.Site) (page.Output, error) {
	if p, ok := own().byPath[name]; ok {
		p.Site, p.Users = *shared, s.users(name, shared)
		parts := []string{shared.Version, name}
		for _, u := range p.Users {
			parts = append(parts, u.Path, u.Title, u.Summary)
		}
		p.Digest = digest(parts...)
		return page.Render(p)
	}
	p := page.Page{Site: *shared, Path: name + ".html", List: s.listed(name, shared)}
	n := s.byPath[name]
	if n == nil { // a folder without an index page
		p.Eval = &eval.Page{Title: figure.Text{{Text: figure.Plain(s.sectionTitle(name))}}}
		p.Digest = digest(shared.Version, name)
		return page.Render(p)
	}
	p.Notebook, p.Eval, p.Digest, p.Drawings = n.Notebook, n.Eval, s.digest(n), s.drawings
	p.Yours = s.yours(n)
	p.Resolve = func(dest string) (string, bool) {
		t, err := s.collection.Target(n.Notebook, dest, false)
		href := t.Href(name)
		if s.stamp != nil && err == nil && !t.Page && t.Fragment == "" {
			href += "?" + s.stamp(t.Path)
		}
		return href, err == nil && (!t.Page || slices.Contains(s.pages, t.Path))
	}
	p.Size = func(dest string) (int, int) {
		t, err := s.collection.Target(n.Notebook, dest, true)
		if err != nil {
			return 0, 0
		}
		return s.collection.Size(t.Path)
	}
	p.Sketch = func(dest string) string {
		t, err := s.collection.Target(n.Notebook, dest, true)
		if err != nil {
			return ""
		}
		return s.collection.Sketch(t.Path)
	}
	return page.Render(p)
}

func (s *Site) carry(name string, put func(string, []byte) error) error {
	data, err := s.collection.Carried(name)
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	return put(name, data)
}

func (s *Site) putAssets(put func(string, []byte) error) error {
	assets, offers := page.Assets(), s.offers()
	if offers {
		if err := s.putEngine(put); err != nil {
			return err
		}
	}
	return fs.WalkDir(assets, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || name == page.YoursFile && !offers {
			return err
		}
		data, err := fs.ReadFile(assets, name)
		if err != nil {
			return err
		}
		return put(path.Join(page.AssetFolder, name), data)
	})
}

// offers says whether a page of the site lets readers put their own vehicle in the place of its own.
func (s *Site) offers() bool {
	return slices.ContainsFunc(s.Notebooks, func(n Notebook) bool { return s.yours(&n) != nil })
}

func (s *Site) putEngine(put func(string, []byte) error) error {
	bundle, err := s.Bundle()
	if err != nil {
		return err
	}
	if err := put(path.Join(page.AssetFolder, page.ExchangeFile), page.Exchange); err != nil {
		return err
	}
	files := s.options.Engine(bundle)
	for _, name := range []string{"form.js", "form.css"} {
		if files[name], err = fs.ReadFile(yours.Assets(), name); err != nil {
			return err
		}
	}
	for _, name := range slices.Sorted(maps.Keys(files)) {
		if err := put(path.Join(page.AssetFolder, name), files[name]); err != nil {
			return err
		}
	}
	return nil
}

// yours is the vehicle that readers may put their own in the place of on a notebook's page: one of its own, or of the
// notebooks that it uses. It is nil where there is none.
func (s *Site) yours(n *Notebook) *page.Yours {
	if s.options.Engine == nil && s.options.bundled == nil {
		return nil
	}
	for _, p := range append([]string{n.Path}, n.Eval.Uses...) {
		if nb, err := s.collection.Notebook(p); err == nil && nb.Front.Yours != "" {
			return &page.Yours{Notebook: p, Name: nb.Front.Yours}
		}
	}
	return nil
}

// digest stands for every input of a page: the program, the notebook, those it uses, and their readings.
func (s *Site) digest(n *Notebook) string {
	parts := []string{s.options.Version, n.Path, string(n.Source)}
	for _, used := range n.Eval.Uses {
		if nb, err := s.collection.Notebook(used); err == nil {
			parts = append(parts, used, string(nb.Source))
		}
	}
	for _, name := range n.Eval.Files {
		if data, err := s.collection.File(name); err == nil {
			parts = append(parts, name, string(data))
		}
	}
	for _, path := range append([]string{n.Path}, n.Eval.Uses...) {
		if theirs, ok := s.options.Yours[path]; ok {
			parts = append(parts, theirs.Text)
		}
	}
	for _, name := range n.Carries {
		if svg := s.collection.Sketch(name); svg != "" {
			parts = append(parts, name, svg)
		}
	}
	return digest(parts...)
}

// digest hashes its parts with their lengths, so that no two lists of parts run together.
func digest(parts ...string) string {
	h := sha256.New()
	for _, p := range parts {
		fmt.Fprintf(h, "%d:%s", len(p), p)
	}
	return hex.EncodeToString(h.Sum(nil))[:16]
}

// shared is what every page says of the site around it. Of a bundle it is always the same, whatever a reader's values.
func (s *Site) shared() *page.Site {
	b := s.options.bundled
	if b == nil {
		return s.around()
	}
	b.once.Do(func() { b.around = s.around() })
	return b.around
}

// around works out what every page says of the site around it.
func (s *Site) around() *page.Site {
	out := &page.Site{
		Title: s.sectionTitle("index"), Version: s.options.Version, Note: s.options.Note, Looks: s.looks,
		Reference: own().links, Glossary: glossaryPage + ".html", Explained: own().explained,
	}
	if b := s.options.bundled; b != nil {
		out.Reference, out.Explained = b.Reference, b.Explained
	}
	for _, section := range s.collection.Sections() {
		p := page.Section{Title: s.sectionTitle(section.Page()), Path: section.Page() + ".html"}
		for _, nb := range section.Notebooks {
			n := s.told(s.byPath[nb.Path])
			p.Pages = append(p.Pages, page.Link{Title: n.Title, Summary: n.Summary, Path: nb.Path + ".html", Picture: n.Pictured})
		}
		out.Sections = append(out.Sections, p)
	}
	return out
}

// told is what other pages say of one: on a reader's page what they say as published, whichever of them were worked out.
func (s *Site) told(n *Notebook) told {
	if b := s.options.bundled; b != nil {
		return b.Pages[n.Path]
	}
	return told{n.Eval.Title.String(), n.Eval.Summary.String(), page.Pictured(n.Eval), n.Carries}
}

// sectionTitle gives the title of a section by its page's path: its index's, or else its folder's name.
func (s *Site) sectionTitle(name string) string {
	if n := s.byPath[name]; n != nil {
		return s.told(n).Title
	}
	for _, section := range s.collection.Sections() {
		if section.Page() == name {
			return section.Name
		}
	}
	return name
}

// listed is what an index page lists: its own section and those in it; the first page lists them all.
func (s *Site) listed(name string, shared *page.Site) []page.Section {
	if path.Base(name) != "index" {
		return nil
	}
	folder := strings.TrimSuffix(name, "index")
	var list []page.Section
	for _, section := range shared.Sections {
		if strings.HasPrefix(section.Path, folder) && (len(section.Pages) > 0 || section.Path != name+".html") {
			list = append(list, section)
		}
	}
	return list
}
