// Package preview serves a collection's site while its notebooks are being written: what is saved is on the
// open page a moment later.
//
//	watcher   tells which files have changed, once a save is over
//	Preview   builds what a change touches, first what is on show, and gives up a build when the next change comes
//	handler   serves pages and files, and tells open pages what has changed
//
// The script and style that keep an open page in step are this package's own; `write` never writes them.
package preview

import (
	"cmp"
	"context"
	"errors"
	"io/fs"
	"maps"
	"net"
	"net/http"
	"slices"
	"sync"
	"time"

	"turnplate/site/build"
	"turnplate/site/collection"
	"turnplate/site/diag"
	"turnplate/site/model"
	"turnplate/site/parallel"
)

// Options say what is previewed, and where.
type Options struct {
	Folder  string // of the collection
	Files   fs.FS  // the collection itself, where it has no folder and so can't change
	Name    string // of the site, where no first page gives it a title
	Listen  string // host:port; "" means the loopback, at the first free port from DefaultPort on
	Version string
	Note    string // a sentence for every footer, or ""

	Started  func(Start)           // called once, when pages can be asked for
	Report   func(Report)          // called after each build, one at a time
	Progress func(done, total int) // called while everything is evaluated for the first time
}

// Start tells how the preview can be reached.
type Start struct {
	URL     string
	Taken   bool  // the usual port was not free
	Beyond  bool  // other machines may be able to see it
	Unheard error // why the system doesn't tell of every change, so that the folder is looked at again and again; or nil
}

// Report is what a build came to.
type Report struct {
	Changed []string      // the files that were saved; none at the start
	Took    time.Duration // until the pages on show had changed, or everything if none was on show
	Faults  diag.List
	Doubts  diag.List
	Claims  []build.Claim
}

// Preview is a running preview.
type Preview struct {
	options Options
	watcher *watcher // or nil

	mu      sync.Mutex
	live    *build.Live
	faults  diag.List     // of the whole site, as far as is known
	trouble diag.List     // why the folder can't be read, or nil
	updated chan struct{} // closed when any of the above changes
	onShow  map[string]int
	pending change // not yet in live
	giveUp  func() // ends the build at hand
	wake    chan struct{}

	// What follows is used by the building goroutine alone.
	collection *collection.Collection
	known      map[string]bool // mistakes that have been shown
	unreported []string
}

// Run previews until the context ends, which is no error.
func Run(ctx context.Context, options Options) error {
	p := &Preview{options: options, updated: make(chan struct{}), onShow: map[string]int{}, wake: make(chan struct{}, 1), known: map[string]bool{}}
	start := Start{}
	files := options.Files
	if options.Folder != "" {
		w, err := newWatcher(options.Folder)
		if err != nil {
			return err
		}
		defer w.close()
		p.watcher, start.Unheard, files = w, w.blind, w.scanner.last
	}
	c, err := collection.Open(files, options.Name)
	if err != nil {
		return err
	}
	p.collection = c
	listener, taken, err := listen(options.Listen)
	if err != nil {
		return err
	}
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	work, giveUp := context.WithCancel(ctx)
	p.live = build.NewLive(work, c, build.Options{Version: options.Version, Note: options.Note, Cache: model.NewCache(), Progress: options.Progress})
	p.giveUp = giveUp

	hosts := hostsFor(listener, options.Listen)
	server := &http.Server{
		Handler:           &handler{preview: p, hosts: hosts},
		BaseContext:       func(net.Listener) context.Context { return ctx },
		ReadHeaderTimeout: 10 * time.Second,
	}
	var wait sync.WaitGroup
	failed := make(chan error, 1)
	wait.Go(func() { failed <- server.Serve(listener) })
	wait.Go(func() { p.keepBuilding(ctx, work) })
	if p.watcher != nil {
		wait.Go(func() { p.watcher.run(ctx, p.changed) })
	}
	start.URL, start.Taken, start.Beyond = hosts.url, taken, hosts.beyond
	options.Started(start)
	select {
	case <-ctx.Done():
	case err = <-failed:
	}
	stop()
	// Browsers open connections before they need them, so these are not waited for.
	late, cancel := context.WithTimeout(context.Background(), time.Second/2)
	defer cancel()
	if server.Shutdown(late) != nil {
		server.Close()
	}
	wait.Wait()
	return err
}

// changed gives up the build at hand and has a new one begun.
func (p *Preview) changed(c change) {
	p.mu.Lock()
	p.pending = p.pending.and(c)
	p.giveUp()
	p.mu.Unlock()
	select {
	case p.wake <- struct{}{}:
	default:
	}
}

// and joins a change with a later one.
func (c change) and(later change) change {
	files := slices.Concat(c.files, later.files)
	slices.Sort(files)
	later.files = slices.Compact(files)
	if later.now == nil {
		later.now = c.now
	}
	return later
}

// keepBuilding builds after each change, until the context ends.
func (p *Preview) keepBuilding(ctx, work context.Context) {
	p.finish(work, time.Now(), 0)
	for {
		select {
		case <-ctx.Done():
			return
		case <-p.wake:
		}
		work, giveUp := context.WithCancel(ctx)
		p.mu.Lock()
		c := p.pending
		if c.now == nil && c.err == nil { // the build before has taken this change as well
			p.mu.Unlock()
			giveUp()
			continue
		}
		p.giveUp() // ends the context of the build before, which would otherwise stay in memory
		p.pending, p.giveUp = change{}, giveUp
		p.mu.Unlock()
		if !p.build(work, c) {
			p.mu.Lock()
			p.pending = c.and(p.pending)
			p.mu.Unlock()
		}
	}
}

// build makes what follows from a change. It is false if the change is still to be made: another one came
// first, or the folder can't be read.
func (p *Preview) build(work context.Context, c change) bool {
	start := time.Now()
	now, err := p.look(c)
	if err != nil {
		// The pages stay as they are, under a notice that says why.
		trouble := diag.List{{File: ".", Message: err.Error()}}
		p.options.Report(Report{Faults: trouble})
		p.publish(p.live.Next(work, p.collection, nil), trouble)
		return false
	}
	next := p.live.Next(work, now, c.files)
	// What somebody looks at comes first.
	shown := p.shownPages()
	faults := make([]diag.List, len(shown))
	parallel.Do(work, len(shown), func(i int) {
		page, _ := next.Page(shown[i])
		faults[i] = page.Faults
	})
	p.watcher.calm(work)
	if !p.patient(work, start, slices.Concat(faults...)) {
		return false
	}
	took := time.Since(start)
	p.collection = now
	p.publish(next, nil)
	p.unreported = append(p.unreported, c.files...)
	if len(shown) > 0 {
		wait(work, drawing)
	} else {
		took = 0
	}
	p.finish(work, start, took)
	return true
}

// look gives the collection after a change.
func (p *Preview) look(c change) (*collection.Collection, error) {
	if c.err != nil {
		return nil, c.err
	}
	changed := make(map[string]bool, len(c.files))
	for _, name := range c.files {
		changed[name] = true
	}
	return p.collection.Again(c.now, func(name string) bool { return changed[name] })
}

// finish evaluates what is left, unless it is given up, and reports: to the terminal, then to the pages.
func (p *Preview) finish(work context.Context, start time.Time, took time.Duration) {
	all, err := p.live.All()
	if err != nil || !p.patient(work, start, all.Faults) {
		return
	}
	p.known = map[string]bool{}
	for _, d := range all.Faults {
		p.known[d.Error()] = true
	}
	if p.watcher != nil {
		p.watcher.note(interestIn(all))
	}
	// The terminal comes first: whoever sees on a page that all is well may stop the preview at once.
	slices.Sort(p.unreported)
	p.options.Report(Report{Changed: slices.Compact(p.unreported), Took: cmp.Or(took, time.Since(start)), Faults: all.Faults, Doubts: all.Doubts, Claims: all.Claims})
	p.unreported = nil
	p.mu.Lock()
	p.faults = all.Faults
	p.announce()
	p.mu.Unlock()
}

// patient waits a moment before mistakes are shown that weren't there before: the file may be half written.
// It is false if another change came.
func (p *Preview) patient(work context.Context, start time.Time, faults diag.List) bool {
	news := false
	for _, d := range faults {
		news = news || !p.known[d.Error()]
		p.known[d.Error()] = true
	}
	if news {
		wait(work, time.Until(start.Add(patience)))
	}
	return work.Err() == nil
}

// drawing is how long a browser is left alone to draw a changed page before the rest of the site is
// evaluated, which keeps every processor busy.
const drawing = 100 * time.Millisecond

func wait(ctx context.Context, d time.Duration) {
	select {
	case <-ctx.Done():
	case <-time.After(d):
	}
}

// publish puts a Live in the place of the one before it.
func (p *Preview) publish(live *build.Live, trouble diag.List) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.live, p.trouble = live, trouble
	p.announce()
}

// announce wakes whoever waits for news. The lock must be held.
func (p *Preview) announce() {
	close(p.updated)
	p.updated = make(chan struct{})
}

// show notes that a page is on show, until leave is called.
func (p *Preview) show(name string) (leave func()) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.onShow[name]++
	return func() {
		p.mu.Lock()
		defer p.mu.Unlock()
		if p.onShow[name]--; p.onShow[name] == 0 {
			delete(p.onShow, name)
		}
	}
}

func (p *Preview) shownPages() []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return slices.Sorted(maps.Keys(p.onShow))
}

// state is a page with all that is to be said on it.
type state struct {
	build.Shown
	gone      bool // the site has no such page (any more)
	trouble   diag.List
	elsewhere diag.List       // mistakes in other notebooks
	updated   <-chan struct{} // closed when this may have changed
}

// page gives a page as it is now. If the build it belongs to is given up, it waits for the next one. The
// error is that of the context.
func (p *Preview) page(ctx context.Context, name string) (state, error) {
	for {
		p.mu.Lock()
		live, s := p.live, state{trouble: p.trouble, elsewhere: p.faults, updated: p.updated}
		p.mu.Unlock()
		var err error
		s.Shown, err = live.Page(name)
		if err == nil || errors.Is(err, build.ErrNoPage) {
			s.gone = err != nil
			own := map[string]bool{}
			for _, d := range s.Faults {
				own[d.Error()] = true
			}
			s.elsewhere = slices.DeleteFunc(slices.Clone(s.elsewhere), func(d diag.Diagnostic) bool { return own[d.Error()] })
			return s, nil
		}
		select {
		case <-s.updated:
		case <-ctx.Done():
			return state{}, ctx.Err()
		}
	}
}

// file gives any other file of the site.
func (p *Preview) file(name string) ([]byte, error) {
	p.mu.Lock()
	live := p.live
	p.mu.Unlock()
	return live.File(name)
}
