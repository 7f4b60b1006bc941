package preview

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/fsnotify/fsnotify"
)

// The watcher's pace.
const (
	// A save is a burst of events: the file is emptied, written, renamed, its times are set. It is over when
	// nothing was heard for this long. Nothing is shown before it is over.
	quiet = 10 * time.Millisecond
	// Meanwhile the folder is already looked at, and what was saved is built, so soon after an event.
	brief = 2 * time.Millisecond
	// A burst that lasts longer than this is a stream of saves, and is no longer waited for.
	longest = 60 * time.Millisecond
	// The folder is looked at this often even without an event: network drives send none, and a full queue
	// loses some. A large folder is looked at less often, so that looking takes a fiftieth of the time at most.
	rounds   = 3 * time.Second
	idleness = 50
	// Where the system sends no events, the folder is looked at this often.
	blindRounds = 500 * time.Millisecond
)

// change is what the watcher hands on.
type change struct {
	files []string  // that came, went, or hold something else
	now   *snapshot // the folder with these changes
	err   error     // the folder can't be read; or nil
}

// watcher tells of changes in a folder. Events of the system only wake it: what has changed it finds out by
// looking, so that it doesn't matter how an editor goes about saving.
type watcher struct {
	scanner   *scanner
	notify    *fsnotify.Watcher // nil where there are no events
	watched   map[string]fs.FileInfo
	blind     error         // why not every folder is watched
	rounds    time.Duration // between looks without an event
	interests chan interest

	mu      sync.Mutex
	burst   chan struct{} // closed when the burst at hand is over; nil when there is none
	failing time.Time     // when looking first failed, or zero
	broken  bool          // the failure has been told
}

// newWatcher looks at a folder for the first time and watches it from then on.
func newWatcher(folder string) (*watcher, error) {
	root, err := filepath.Abs(folder)
	if err == nil {
		root, err = filepath.EvalSymlinks(root) // some systems name events by the real place
	}
	if err != nil {
		return nil, err
	}
	w := &watcher{scanner: newScanner(root), watched: map[string]fs.FileInfo{}, rounds: rounds, interests: make(chan interest, 1)}
	w.scanner.enter = w.enter
	w.notify, w.blind = fsnotify.NewWatcher()
	f, err := w.scanner.scan(nil, false)
	if err != nil {
		w.close()
		return nil, err
	}
	w.scanner.accept(f)
	return w, nil
}

func (w *watcher) close() {
	if w.notify != nil {
		w.notify.Close()
	}
}

// enter watches a folder, unless it is watched already.
func (w *watcher) enter(folder string, info fs.FileInfo) {
	if before, has := w.watched[folder]; w.notify == nil || has && os.SameFile(before, info) {
		return
	}
	if err := w.notify.Add(folder); err != nil {
		w.blind = err
		return
	}
	w.watched[folder] = info
}

// forget stops watching folders that are gone, moved, or now hold a site. It comes before entering new ones, because a moved
// folder is the same one to the system.
func (w *watcher) forget() {
	for folder, before := range w.watched {
		if now, err := os.Lstat(folder); err != nil || !os.SameFile(before, now) || isOutput(folder) {
			w.notify.Remove(folder) // fails if the system has noticed by itself
			delete(w.watched, folder)
		}
	}
}

// note tells what matters from now on.
func (w *watcher) note(i interest) {
	select {
	case <-w.interests: // an earlier one that hasn't been read
	default:
	}
	w.interests <- i
}

// run delivers changes until the context ends.
func (w *watcher) run(ctx context.Context, deliver func(change)) {
	var events <-chan fsnotify.Event
	var failures <-chan error
	if w.notify != nil {
		events, failures = w.notify.Events, w.notify.Errors // not reading the failures would stop the events
	}
	named := map[string]bool{}
	all := false
	var heard time.Time // the last event
	soon, round := time.NewTimer(time.Hour), time.NewTimer(w.pause(0))
	soon.Stop()
	defer soon.Stop()
	defer round.Stop()
	waiting := false // the timer soon is running
	pace := brief
	hear := func() {
		heard = time.Now()
		w.begin()
		if !waiting {
			waiting = true
			soon.Reset(pace)
		}
	}
	for {
		select {
		case <-ctx.Done():
			return
		case w.scanner.interest = <-w.interests:
			continue
		case e, open := <-events:
			if !open {
				events = nil
			} else if name, ok := w.name(e); ok {
				named[name] = true
				hear()
			}
			continue
		case err, open := <-failures:
			if !open {
				failures = nil
			} else if errors.Is(err, fsnotify.ErrEventOverflow) { // some events are lost, so every file is read again
				all = true
				hear()
			}
			continue
		case <-soon.C:
			waiting = false
		case <-round.C:
		}
		start := time.Now()
		sure := w.look(named, all, deliver)
		if sure {
			clear(named)
			all = false
		}
		took := time.Since(start)
		pace = max(brief, 2*took) // looking at a large folder must leave time for building
		round.Reset(w.pause(took))
		switch rest := quiet - start.Sub(heard); {
		case !sure:
			soon.Reset(patience / 4)
		case rest > 0: // this may not have been the last event of the burst
			soon.Reset(rest)
		default:
			w.end()
		}
	}
}

// begin notes that a burst is at hand, end that it is over.
func (w *watcher) begin() {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.burst == nil {
		w.burst = make(chan struct{})
	}
}

func (w *watcher) end() {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.burst != nil {
		close(w.burst)
		w.burst = nil
	}
}

// calm waits until no burst is at hand, so that what was looked at is what was meant.
func (w *watcher) calm(ctx context.Context) {
	w.mu.Lock()
	burst := w.burst
	w.mu.Unlock()
	if burst == nil {
		return
	}
	select {
	case <-burst:
	case <-ctx.Done():
	case <-time.After(longest):
	}
}

// name gives the path from the root that an event is about. It is false for events about times and rights, and about
// files that a collection leaves alone.
func (w *watcher) name(e fsnotify.Event) (string, bool) {
	if !e.Has(fsnotify.Create) && !e.Has(fsnotify.Write) && !e.Has(fsnotify.Remove) && !e.Has(fsnotify.Rename) {
		return "", false
	}
	name, err := filepath.Rel(w.scanner.root, e.Name)
	if err != nil {
		return "", false
	}
	name = filepath.ToSlash(name)
	for part := range strings.SplitSeq(name, "/") {
		if strings.HasPrefix(part, ".") && part != "." {
			return "", false
		}
	}
	return name, true
}

// pause is the time until the next look, after one that took so long.
func (w *watcher) pause(took time.Duration) time.Duration {
	if w.blind != nil || w.broken {
		return max(min(w.rounds, blindRounds), idleness*took)
	}
	return max(w.rounds, idleness*took)
}

// look looks at the folder and delivers what has changed. It is false if that may be half of a save.
func (w *watcher) look(named map[string]bool, all bool, deliver func(change)) bool {
	if w.notify != nil {
		w.forget()
	}
	f, err := w.scanner.scan(named, all)
	switch {
	case err == nil && f.unsure:
		return false
	case err == nil:
		w.scanner.accept(f)
		if w.broken || slices.ContainsFunc(f.changed, w.scanner.interest.concerns) {
			deliver(change{files: f.changed, now: f.snapshot})
		}
		w.failing, w.broken = time.Time{}, false
	case w.failing.IsZero():
		w.failing = time.Now()
		return false
	case time.Since(w.failing) < patience:
		return false
	case !w.broken:
		w.broken = true
		deliver(change{err: err})
	}
	return true
}
