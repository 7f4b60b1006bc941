package build

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"html/template"
	"io/fs"
	"path"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"turnplate/site/collection"
	"turnplate/site/diag"
	"turnplate/site/eval"
	"turnplate/site/figure"
	"turnplate/site/notebook"
	"turnplate/site/page"
	"turnplate/site/parallel"
)

// Live is a site under preview. A notebook is evaluated when its page is first asked for, or by All. After a
// change, Next makes the Live that follows: it takes over whatever the change doesn't touch, however little
// of the site was evaluated by then. A page whose notebook has mistakes stays as it last was without them.
//
// A Live may be used by any number of goroutines. It works until its context is cancelled; what was
// evaluated by then can still be shown.
type Live struct {
	ctx        context.Context
	collection *collection.Collection
	options    Options
	evaluator  *eval.Evaluator
	texts      *eval.Texts
	entries    map[string]*entry // the published notebooks by path
	meanings   map[string]*notebook.Notebook
	rendered   *renderings // shared with the Lives before and after
	labels     map[string]labelled
	looks      figure.Looks
	done       atomic.Int64
}

// entry is one published notebook.
type entry struct {
	notebook *notebook.Notebook
	once     sync.Once
	now      atomic.Pointer[verdict]  // nil until evaluated
	good     atomic.Pointer[Notebook] // as it last was without mistakes; nil if it never was
}

// verdict is what evaluating a notebook came to.
type verdict struct {
	*Notebook
	concern diag.List     // its own mistakes and, before them, those of notebooks it uses
	drawn   template.HTML // the corners that they are about
}

// NewLive starts with nothing evaluated.
func NewLive(ctx context.Context, c *collection.Collection, options Options) *Live {
	nothing := &Live{meanings: map[string]*notebook.Notebook{}, rendered: newRenderings(renderedBytes), options: options}
	return nothing.Next(ctx, c, nil)
}

// Next is the site after some files have changed, come or gone; c is the collection by now.
func (l *Live) Next(ctx context.Context, c *collection.Collection, changed []string) *Live {
	return l.next(ctx, c, changed, l.options, &eval.Texts{})
}

// Visit is how a reader's own values are shown.
type Visit struct {
	Page  string                  // the one page to be shown: "studies/caster.html"
	Yours map[string]diag.Snippet // the values, by the notebook whose vehicle they are for
	Still []string                // dials stand still: see eval.Options
	Hurry time.Duration           // what takes longer is left out, and all that isn't needed: see eval.Options
	Seen  []string                // in a hurry figures that aren't among these are left out: see eval.Options
}

// With is the same site with a reader's own values, in the place of earlier ones.
func (l *Live) With(ctx context.Context, v Visit) *Live {
	options := l.options
	options.Yours, options.Still, options.Hurry, options.Seen, options.Shown = v.Yours, v.Still, v.Hurry, v.Seen, strings.TrimSuffix(v.Page, ".html")
	return l.next(ctx, l.collection, nil, options, l.texts)
}

func (l *Live) next(ctx context.Context, c *collection.Collection, changed []string, options Options, texts *eval.Texts) *Live {
	limits := eval.UsualLimits
	if options.bundled != nil { // the reader's own processor's time, for notebooks that were built once already
		limits.Notebook.Time, limits.Pool.Time = time.Hour, time.Hour
	}
	next := &Live{
		ctx: ctx, collection: c, options: options, rendered: l.rendered, texts: texts,
		evaluator: eval.New(c, eval.Options{
			Texts: texts, Cache: options.Cache, Findings: options.findings, Yours: options.Yours, Still: options.Still, Hurry: options.Hurry, Seen: options.Seen, Shown: options.Shown, Limits: limits,
		}),
		entries: map[string]*entry{}, meanings: map[string]*notebook.Notebook{},
	}
	if options.bundled != nil {
		next.looks = options.bundled.Looks
	} else {
		known := l.labels
		if readings(changed) {
			known = nil
		}
		next.labels = labels(c, known)
		next.looks = looks(c, next.labels)
	}
	for _, nb := range c.Notebooks() {
		next.meanings[nb.Path] = nb
		if before := l.meanings[nb.Path]; before != nil && sameMeaning(before, nb) {
			next.meanings[nb.Path] = before
		}
	}
	for _, nb := range c.Published() {
		e := &entry{notebook: nb}
		next.entries[nb.Path] = e
		if before := l.entries[nb.Path]; before != nil {
			e.good.Store(before.good.Load())
			if v := before.now.Load(); v != nil && next.holds(l, v.Notebook, changed) {
				e.takeOver(c, v, options.bundled)
				next.done.Add(1)
			}
		}
	}
	return next
}

// holds says whether what a notebook came to in an earlier Live is what it would come to now.
func (l *Live) holds(before *Live, n *Notebook, changed []string) bool {
	if n.Eval.Later || len(n.Eval.Faults) > 0 || len(n.Eval.Doubts) > 0 { // a mistake may be mended by what it doesn't know of yet, and a doubt shows its line
		return false
	}
	if before.options.Hurry > 0 || l.options.Shown != before.options.Shown || (l.options.Still == nil) != (before.options.Still == nil) || !slices.Equal(l.options.Still, before.options.Still) {
		return false
	}
	for _, p := range append([]string{n.Path}, n.Eval.Uses...) {
		if l.meanings[p] == nil || l.meanings[p] != before.meanings[p] || l.options.Yours[p].Text != before.options.Yours[p].Text {
			return false
		}
	}
	for _, file := range n.Eval.Files {
		for _, name := range changed {
			if path.Base(name) == path.Base(file) { // a file of the same name elsewhere may come before it
				return false
			}
		}
	}
	return true
}

// sameMeaning says whether two versions of a notebook differ in words alone, so that they calculate the
// same. A meaning is known by the first notebook that had it.
func sameMeaning(a, b *notebook.Notebook) bool {
	if a == b {
		return true
	}
	f, g := a.Front, b.Front
	if f.Title != g.Title || f.Summary != g.Summary || f.TitleAt.Text != g.TitleAt.Text || f.SummaryAt.Text != g.SummaryAt.Text ||
		f.Units != g.Units || f.Yours != g.Yours || f.Draws != g.Draws || f.Currency != g.Currency || len(a.Faults)+len(b.Faults) > 0 {
		return false
	}
	return slices.EqualFunc(a.Blocks, b.Blocks, func(x, y *notebook.Block) bool { return x.Snippet.Text == y.Snippet.Text }) &&
		slices.EqualFunc(a.Inserts, b.Inserts, func(x, y *notebook.Insert) bool { return x.Snippet.Text == y.Snippet.Text })
}

// takeOver fills an entry with what its notebook came to in an earlier version of the same meaning. Where it
// links to is looked up again.
func (e *entry) takeOver(c *collection.Collection, v *verdict, b *unpacked) {
	e.once.Do(func() {})
	n := &Notebook{Notebook: e.notebook, Eval: v.Eval}
	if n.Notebook != v.Notebook.Notebook {
		n.Eval = moved(v.Eval, v.Notebook.Notebook, n.Notebook)
	}
	n.conclude(c, b)
	e.settle(&verdict{Notebook: n, concern: n.faults})
}

// draw draws the corners that a page's mistakes are about. Where that fails the mistakes stand without.
func (v *verdict) draw(p *eval.Page) {
	if drawn, err := page.Suspects(p, v.Front.Units, true); err == nil {
		v.drawn += drawn
	}
}

// settle keeps the verdict.
func (e *entry) settle(v *verdict) {
	if len(v.faults) == 0 {
		e.good.Store(v.Notebook)
	}
	e.now.Store(v)
}

// moved is a notebook's Eval with its figures on the lines where they now stand.
func moved(p *eval.Page, from, to *notebook.Notebook) *eval.Page {
	out := *p
	out.Blocks = slices.Clone(p.Blocks)
	for i := range out.Blocks {
		shift := to.Blocks[i].Snippet.At(1, 1).Line - from.Blocks[i].Snippet.At(1, 1).Line
		lines := slices.Clone(out.Blocks[i].Lines)
		for j := range lines {
			lines[j] += shift
		}
		out.Blocks[i].Lines = lines
	}
	return &out
}

// finish evaluates an entry, once. The error is that of a cancelled context.
func (l *Live) finish(e *entry) (*verdict, error) {
	e.once.Do(func() {
		n := evaluate(l.ctx, l.collection, l.evaluator, e.notebook, l.options.bundled)
		v := &verdict{Notebook: &n}
		if len(n.Eval.Faults) > 0 {
			for _, used := range n.Eval.Uses {
				p := l.evaluator.Page(l.ctx, used)
				v.concern = append(v.concern, p.Faults...)
				v.draw(p)
			}
			v.draw(n.Eval)
		}
		v.concern.Sort()
		v.concern = append(v.concern, n.faults...)
		if l.ctx.Err() == nil { // otherwise it was given up half way
			e.settle(v)
			l.progress()
		}
	})
	if v := e.now.Load(); v != nil {
		return v, nil
	}
	return nil, cmp.Or(l.ctx.Err(), context.Canceled)
}

// linkFaults reports what is wrong with a notebook's links as far as the other pages are known by now. A bundle's lead
// where they did when the site was written.
func (l *Live) linkFaults(n *Notebook) diag.List {
	if l.options.bundled != nil {
		return nil
	}
	return linkFaults(l.collection, n, func(p string) *Notebook {
		if e := l.entries[p]; e != nil {
			if v := e.now.Load(); v != nil {
				return v.Notebook
			}
		}
		return nil
	})
}

func (l *Live) progress() {
	done := l.done.Add(1)
	if l.options.Progress != nil {
		l.options.Progress(int(done), len(l.entries))
	}
}

// Whole is what a whole site came to.
type Whole struct {
	Faults   diag.List // of the folder and of every notebook, sorted
	Doubts   diag.List // of every notebook, sorted
	Claims   []Claim
	Readings []string // the files that notebooks have read, or tried to read
	Carries  []string // pictures and other files that pages need
}

// All evaluates what hasn't been yet. The error is that of a cancelled context. Call it once.
func (l *Live) All() (Whole, error) {
	published := l.collection.Published()
	err := parallel.Do(l.ctx, len(published), func(i int) { l.finish(l.entries[published[i].Path]) })
	if err != nil {
		return Whole{}, err
	}
	w := Whole{Faults: slices.Clone(l.collection.Faults)}
	var all []*Notebook
	for _, nb := range published {
		v, err := l.finish(l.entries[nb.Path])
		if err != nil {
			return Whole{}, err
		}
		w.Faults = append(w.Faults, v.faults...)
		w.Doubts = append(w.Doubts, v.Eval.Doubts...)
		w.Faults = append(w.Faults, l.linkFaults(v.Notebook)...)
		all = append(all, v.Notebook)
		w.Claims = append(w.Claims, v.Claims...)
		w.Readings = append(w.Readings, v.Eval.Files...)
		w.Carries = append(w.Carries, v.Carries...)
	}
	w.Faults = append(w.Faults, fileFaults(l.collection, all)...)
	w.Faults.Sort()
	w.Doubts.Sort()
	for _, list := range []*[]string{&w.Readings, &w.Carries} {
		slices.Sort(*list)
		*list = slices.Compact(*list)
	}
	l.evaluator = nil // with every value it calculated
	return w, nil
}

// Shown is a page as it can be shown now.
type Shown struct {
	HTML   []byte // of the last version without mistakes; nil if there never was one
	Later  bool   // something was left out in a hurry
	Faults diag.List
	Drawn  template.HTML // the corners that Faults are about

	digest func() string
}

// Digest is that of the HTML, or "".
func (s Shown) Digest() string {
	if s.digest == nil {
		return ""
	}
	return s.digest()
}

// Told is what a notebook, published or not, is told of: its doubts and its mistakes. The error is that of a cancelled
// context.
func (l *Live) Told(path string) (doubts, faults diag.List, err error) {
	p, err := l.evaluated(path)
	if err != nil {
		return nil, nil, err
	}
	return p.Doubts, p.Faults, nil
}

// Offered is the vehicle of a notebook that readers may put their own in the place of; nil where it has none. The error is
// that of a cancelled context.
func (l *Live) Offered(path string) (*eval.Offered, error) {
	p, err := l.evaluated(path)
	if err != nil {
		return nil, err
	}
	return p.Offered, nil
}

func (l *Live) evaluated(path string) (*eval.Page, error) {
	e := l.entries[path]
	if e == nil {
		return l.evaluator.Page(l.ctx, path), l.ctx.Err()
	}
	v, err := l.finish(e)
	if err != nil {
		return nil, err
	}
	return v.Eval, nil
}

// Title is the site's.
func (l *Live) Title() string { return l.site().sectionTitle("index") }

// Source is a notebook's own text, nil where there is none of that path.
func (l *Live) Source(path string) []byte {
	nb, err := l.collection.Notebook(path)
	if err != nil {
		return nil
	}
	return nb.Source
}

// ErrNoPage means that the site has no page or file of a name.
var ErrNoPage = errors.New("there is no such page")

// Page gives a page by its path, "studies/caster.html". The error is ErrNoPage, or that of a cancelled
// context: whoever waits for the page then asks the next Live.
func (l *Live) Page(name string) (Shown, error) {
	bare, ok := strings.CutSuffix(name, ".html")
	var out Shown
	if e := l.entries[bare]; ok && e != nil {
		v, err := l.finish(e)
		if err != nil {
			return Shown{}, err
		}
		out.Drawn = v.drawn
		if out.Faults = append(slices.Clip(v.concern), l.linkFaults(v.Notebook)...); e.good.Load() == nil {
			return out, nil
		}
	} else if !ok || !slices.Contains(l.site().pages, bare) {
		return Shown{}, ErrNoPage
	}
	r, err := l.render(bare)
	if err != nil {
		out.Faults = append(slices.Clip(out.Faults), diag.Diagnostic{File: bare + ".md", Message: "Turnplate itself failed here: " + err.Error(), Hint: "please report it with the notebook"})
		return out, nil
	}
	out.HTML, out.digest, out.Later = r.out.HTML, r.digest, r.inputs.eval != nil && r.inputs.eval.Later
	return out, nil
}

// File gives any other file of the site: style and script, a picture, a figure's data.
func (l *Live) File(name string) ([]byte, error) {
	if asset, ok := strings.CutPrefix(name, page.AssetFolder+"/"); ok && fs.ValidPath(asset) {
		if asset == page.ExchangeFile {
			return page.Exchange, nil
		}
		data, err := fs.ReadFile(page.Assets(), asset)
		if err != nil {
			return nil, ErrNoPage
		}
		return data, nil
	}
	for p, e := range l.entries {
		if v := e.now.Load(); v != nil && slices.Contains(v.Carries, name) {
			return l.collection.Carried(name)
		}
		n := e.good.Load()
		if n == nil {
			continue
		}
		if slices.Contains(n.Carries, name) {
			return l.collection.Carried(name)
		}
		if !strings.HasPrefix(name, p+"-") {
			continue
		}
		r, err := l.render(p)
		if err != nil {
			continue
		}
		for _, f := range r.out.Files {
			if f.Path == name {
				return f.Data, nil
			}
		}
		if share := r.out.Share; share != nil && share.Path == name {
			return share.Draw()
		}
	}
	return nil, ErrNoPage
}

// site is a Site of the pages that can be shown now; the others are there by title alone.
func (l *Live) site() *Site {
	s := newSite(l.collection, l.options)
	s.looks = l.looks
	if l.options.bundled == nil { // else what the page on show carries is beside it already
		s.stamp = l.collection.Stamp
	}
	for p, e := range l.entries {
		n := e.good.Load()
		if n == nil {
			n = &Notebook{Notebook: e.notebook, Eval: l.unevaluated(e.notebook)}
		}
		s.byPath[p] = n
	}
	return s
}

// render gives a page as it is or, if anything in it has changed since, renders it.
func (l *Live) render(name string) (r *rendering, err error) {
	defer func() {
		if bug := recover(); bug != nil {
			err = fmt.Errorf("%v", bug)
		}
	}()
	s := l.site()
	return l.rendered.get(name, s.inputs(name), func(known *page.Drawings) (page.Output, error) {
		s.drawings = known
		return s.page(name, s.shared())
	})
}
