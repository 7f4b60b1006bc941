package preview

import (
	"context"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/fsnotify/fsnotify"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/build"
	"turnplate/site/collection"
)

const (
	soonEnough = 20 * time.Second       // for what must happen, on a busy machine
	longEnough = 400 * time.Millisecond // for what must not: several times quiet and patience
)

// write saves a file in place.
func write(t testing.TB, folder, name, text string) {
	t.Helper()
	full := filepath.Join(folder, filepath.FromSlash(name))
	require.NoError(t, os.MkdirAll(filepath.Dir(full), 0o755))
	require.NoError(t, os.WriteFile(full, []byte(text), 0o644))
}

// replace saves a file as careful editors do: beside it, then by a rename.
func replace(t testing.TB, folder, name, text string) {
	t.Helper()
	part := path.Join(path.Dir(name), "."+path.Base(name)+".part") // hidden, so that a look in between sees no file come and go
	write(t, folder, part, text)
	require.NoError(t, os.Rename(filepath.Join(folder, filepath.FromSlash(part)), filepath.Join(folder, filepath.FromSlash(name))))
}

// bePatient makes pauses in a save last as long as a busy machine may need.
func bePatient(t *testing.T) {
	usual := patience
	patience = 2 * time.Second
	t.Cleanup(func() { patience = usual })
}

// watching is a watcher at work and what it has delivered.
type watching struct {
	t      *testing.T
	folder string
	*watcher
	mu    sync.Mutex
	heard []change
}

// watch watches a folder with two notebooks, by events alone unless adjusted.
func watch(t *testing.T, adjust func(*watcher)) *watching {
	t.Helper()
	folder := t.TempDir()
	write(t, folder, "a.md", "# A")
	write(t, folder, "parts/b.md", "# B")
	return watchFolder(t, folder, adjust)
}

func watchFolder(t *testing.T, folder string, adjust func(*watcher)) *watching {
	t.Helper()
	w, err := newWatcher(folder)
	require.NoError(t, err)
	require.NoError(t, w.blind)
	w.rounds = time.Hour
	if adjust != nil {
		adjust(w)
	}
	out := &watching{t: t, folder: folder, watcher: w}
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan struct{})
	go func() {
		defer close(done)
		w.run(ctx, func(c change) {
			out.mu.Lock()
			defer out.mu.Unlock()
			out.heard = append(out.heard, c)
		})
	}()
	t.Cleanup(func() {
		stop()
		<-done
		w.close()
	})
	return out
}

// files lists what was heard of since the last call, and how many deliveries that took.
func (w *watching) files() (files []string, deliveries int) {
	w.mu.Lock()
	defer w.mu.Unlock()
	for _, c := range w.heard {
		files = append(files, c.files...)
	}
	deliveries, w.heard = len(w.heard), nil
	slices.Sort(files)
	return slices.Compact(files), deliveries
}

// hears waits until all of some files were heard of, and nothing else.
func (w *watching) hears(names ...string) {
	w.t.Helper()
	var heard []string
	assert.Eventually(w.t, func() bool {
		more, _ := w.files()
		heard = append(heard, more...)
		for _, name := range names {
			if !slices.Contains(heard, name) {
				return false
			}
		}
		return true
	}, soonEnough, 5*time.Millisecond, "%v", names)
	// A look may have come in the middle of a save, and then there is another.
	assert.Eventually(w.t, func() bool {
		w.watcher.mu.Lock()
		defer w.watcher.mu.Unlock()
		return w.burst == nil
	}, soonEnough, 5*time.Millisecond)
	more, _ := w.files()
	for _, name := range append(heard, more...) {
		assert.Contains(w.t, names, name)
	}
}

// hearsNothing waits long enough for anything to be heard.
func (w *watching) hearsNothing(why string) {
	w.t.Helper()
	time.Sleep(longEnough)
	files, n := w.files()
	assert.Empty(w.t, files, why)
	assert.Zero(w.t, n, why)
}

func TestWatchSaves(t *testing.T) {
	w := watch(t, nil)
	path := filepath.Join(w.folder, "a.md")

	write(t, w.folder, "a.md", "# A, in place")
	w.hears("a.md")

	replace(t, w.folder, "a.md", "# A, by rename")
	w.hears("a.md")
	replace(t, w.folder, "a.md", "# A, by rename again: the watch must not die with the file")
	w.hears("a.md")

	// An editor that keeps a backup: the notebook is moved aside, written anew, and the backup removed.
	require.NoError(t, os.Rename(path, path+"~"))
	write(t, w.folder, "a.md", "# A, with a backup")
	require.NoError(t, os.Remove(path+"~"))
	w.hears("a.md")

	// One that writes in pieces.
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_TRUNC, 0o644)
	require.NoError(t, err)
	for range 20 {
		_, err := f.WriteString("A piece.\n")
		require.NoError(t, err)
	}
	require.NoError(t, f.Close())
	w.hears("a.md")

	write(t, w.folder, "parts/b.md", "# B, below")
	w.hears("parts/b.md")
}

func TestWatchSameContent(t *testing.T) {
	w := watch(t, nil)
	file := filepath.Join(w.folder, "a.md")
	now := time.Now().Add(time.Minute)
	require.NoError(t, os.Chtimes(file, now, now))
	require.NoError(t, os.Chmod(file, 0o600))
	w.hearsNothing("a touch")
	write(t, w.folder, "a.md", "# A")
	w.hearsNothing("the same text")
	replace(t, w.folder, "a.md", "# A")
	w.hearsNothing("the same text in another file")
	write(t, w.folder, ".a.md.swp", "x")
	write(t, w.folder, ".git/HEAD", "x")
	w.hearsNothing("hidden files")
}

// A burst is over before it is told, and its last state is what was told.
func TestWatchBurst(t *testing.T) {
	w := watch(t, nil)
	for i := range 100 {
		write(t, w.folder, "a.md", fmt.Sprintf("# A %d", i))
		write(t, w.folder, "parts/b.md", fmt.Sprintf("# B %d", i))
	}
	var heard []string
	count := 0
	assert.Eventually(t, func() bool {
		files, n := w.files()
		heard, count = append(heard, files...), count+n
		return slices.Contains(heard, "a.md") && slices.Contains(heard, "parts/b.md")
	}, soonEnough, 5*time.Millisecond)
	time.Sleep(longEnough)
	_, n := w.files()
	assert.Less(t, count+n, 50, "200 writes are few changes")
	write(t, w.folder, "a.md", "# A 99")
	w.hearsNothing("the last state is known")
}

// A file that is empty for a moment, or away, is in the middle of a save.
func TestWatchHalfWritten(t *testing.T) {
	bePatient(t)
	w := watch(t, nil)
	path := filepath.Join(w.folder, "a.md")
	wait := patience / 10
	require.NoError(t, os.Truncate(path, 0))
	time.Sleep(wait)
	files, _ := w.files()
	assert.Empty(t, files)
	write(t, w.folder, "a.md", "# A")
	time.Sleep(patience)
	w.hearsNothing("it is as it was")

	require.NoError(t, os.Remove(path))
	time.Sleep(wait)
	files, _ = w.files()
	assert.Empty(t, files)
	write(t, w.folder, "a.md", "# A anew")
	w.hears("a.md")

	require.NoError(t, os.Truncate(path, 0))
	w.hears("a.md") // after all
}

func TestWatchFolders(t *testing.T) {
	w := watch(t, nil)
	write(t, w.folder, "new/deeper/still/c.md", "# C") // there before the folders can be watched
	w.hears("new/deeper/still/c.md")
	write(t, w.folder, "new/deeper/still/c.md", "# C now")
	w.hears("new/deeper/still/c.md")

	require.NoError(t, os.Rename(filepath.Join(w.folder, "new"), filepath.Join(w.folder, "old")))
	w.hears("new/deeper/still/c.md", "old/deeper/still/c.md")
	write(t, w.folder, "old/deeper/still/c.md", "# C in a moved folder")
	w.hears("old/deeper/still/c.md")
	write(t, w.folder, "new/deeper/still/c.md", "# C in its place")
	w.hears("new/deeper/still/c.md")
	write(t, w.folder, "old/deeper/still/c.md", "# C, both are watched")
	w.hears("old/deeper/still/c.md")

	outside := t.TempDir()
	write(t, outside, "moved/d.md", "# D")
	require.NoError(t, os.Rename(filepath.Join(outside, "moved"), filepath.Join(w.folder, "moved")))
	w.hears("moved/d.md")

	require.NoError(t, os.RemoveAll(filepath.Join(w.folder, "new")))
	require.NoError(t, os.Remove(filepath.Join(w.folder, "a.md")))
	w.hears("new/deeper/still/c.md", "a.md")
	watched := w.notify.WatchList()
	assert.Len(t, watched, 6, "%v", watched) // the root, parts, old with two below, moved
}

// A site that is written into the folder is no reason to build.
func TestWatchOutput(t *testing.T) {
	w := watch(t, nil)
	out := filepath.Join(w.folder, ".turnplate-out", "new")
	write(t, out, collection.Marker, "")
	write(t, out, "page.md", "x")
	require.NoError(t, os.Rename(out, filepath.Join(w.folder, "out")))
	w.hearsNothing("a site appeared")
	write(t, w.folder, "out/page.md", "y")
	w.hearsNothing("it changed")
	assert.NotContains(t, w.notify.WatchList(), filepath.Join(w.folder, "out"))

	write(t, w.folder, "later/page.md", "x")
	w.hears("later/page.md")
	write(t, w.folder, "later/"+collection.Marker, "")
	write(t, w.folder, "a.md", "# A now")
	w.hears("a.md", "later/page.md")
	assert.NotContains(t, w.notify.WatchList(), filepath.Join(w.folder, "later"))
}

func TestWatchLinks(t *testing.T) {
	folder := t.TempDir()
	write(t, folder, "real/a.md", "# A")
	write(t, folder, "outside.md", "# Outside")
	link := filepath.Join(folder, "link")
	require.NoError(t, os.Symlink("real", link))
	require.NoError(t, os.Symlink("a.md", filepath.Join(folder, "real", "same.md")))
	require.NoError(t, os.Symlink("../outside.md", filepath.Join(folder, "real", "escaped.md")))
	require.NoError(t, os.Symlink(".", filepath.Join(folder, "real", "circle")))
	w := watchFolder(t, link, nil)
	assert.NotContains(t, w.scanner.last.files, "escaped.md")
	write(t, folder, "real/a.md", "# A now")
	w.hears("a.md", "same.md")
}

// Files beside the notebooks count by content once they are known to matter.
func TestWatchInputs(t *testing.T) {
	w := watch(t, nil)
	write(t, w.folder, "data.csv", "a")
	w.hears("data.csv")
	w.note(interestIn(build.Whole{Readings: []string{"data.csv", ".hidden/more.csv"}, Carries: []string{"pics/a.png"}}))
	write(t, w.folder, "a.md", "# A, so that it looks")
	w.hears("a.md")
	write(t, w.folder, "data.csv", "a")
	w.hearsNothing("the same content")
	write(t, w.folder, "data.csv", "b")
	w.hears("data.csv")
	write(t, w.folder, ".hidden/more.csv", "a")
	write(t, w.folder, "a.md", "# A, so that it looks again")
	w.hears("a.md", ".hidden/more.csv")
	write(t, w.folder, "pics/a.png", "a")
	w.hears("pics/a.png")
	for _, name := range []string{"a.md~", "log.txt", "pics/b.png", "other.csv"} {
		write(t, w.folder, name, "a")
	}
	w.hearsNothing("no page needs them")
	w.note(interest{any: true})
	write(t, w.folder, "log.txt", "b")
	w.hears("log.txt") // something is amiss, so it may matter
}

// deafen takes a watcher's events away; the test sends its own.
func deafen(w *watcher) (events chan fsnotify.Event, failures chan error) {
	events, failures = make(chan fsnotify.Event), make(chan error)
	w.notify.Events, w.notify.Errors = events, failures
	return events, failures
}

// rewrite changes a file's content but neither its size nor its time.
func rewrite(t *testing.T, folder, name, text string) {
	t.Helper()
	full := filepath.Join(folder, name)
	info, err := os.Stat(full)
	require.NoError(t, err)
	require.Equal(t, int(info.Size()), len(text))
	require.NoError(t, os.WriteFile(full, []byte(text), 0o644))
	require.NoError(t, os.Chtimes(full, info.ModTime(), info.ModTime()))
}

// When events were lost, nothing is believed but what the files hold.
func TestWatchOverflow(t *testing.T) {
	folder := t.TempDir()
	write(t, folder, "a.md", "# A")
	long := time.Now().Add(-time.Hour)
	require.NoError(t, os.Chtimes(filepath.Join(folder, "a.md"), long, long))
	var failures chan error
	w := watchFolder(t, folder, func(w *watcher) { _, failures = deafen(w) })
	rewrite(t, folder, "a.md", "# B")
	failures <- fmt.Errorf("something else")
	w.hearsNothing("other failures mean nothing")
	failures <- fsnotify.ErrEventOverflow
	w.hears("a.md")
}

// Without events the folder is still looked at; a file written within the grain of its time is read again.
func TestWatchWithoutEvents(t *testing.T) {
	w := watch(t, func(w *watcher) {
		deafen(w)
		w.rounds = 20 * time.Millisecond
	})
	write(t, w.folder, "a.md", "# A, longer")
	w.hears("a.md")
	write(t, w.folder, "new/c.md", "# C")
	w.hears("new/c.md")
	rewrite(t, w.folder, "new/c.md", "# D")
	w.hears("new/c.md")
	require.NoError(t, os.RemoveAll(filepath.Join(w.folder, "new")))
	w.hears("new/c.md")
}

// Where the system has no events at all, looking is all there is.
func TestWatchBlind(t *testing.T) {
	w := watch(t, func(w *watcher) {
		w.close()
		w.notify, w.blind = nil, fmt.Errorf("no events")
	})
	write(t, w.folder, "new/c.md", "# C")
	w.hears("new/c.md")
}

// An event is believed more than a time.
func TestWatchNamedFiles(t *testing.T) {
	folder := t.TempDir()
	write(t, folder, "a.md", "# A")
	long := time.Now().Add(-time.Hour)
	require.NoError(t, os.Chtimes(filepath.Join(folder, "a.md"), long, long))
	w := watchFolder(t, folder, nil)
	rewrite(t, folder, "a.md", "# B")
	w.hears("a.md")
}

// The folder itself may go and come back.
func TestWatchFolderReplaced(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "notes")
	write(t, folder, "a.md", "# A")
	w := watchFolder(t, folder, nil)
	next := func() (c change) {
		t.Helper()
		require.Eventually(t, func() bool {
			w.mu.Lock()
			defer w.mu.Unlock()
			if len(w.heard) > 0 {
				c, w.heard = w.heard[0], w.heard[1:]
				return true
			}
			return false
		}, soonEnough, 5*time.Millisecond)
		return c
	}
	require.NoError(t, os.Rename(folder, folder+"-away"))
	assert.Error(t, next().err)
	write(t, folder, "a.md", "# A anew")
	c := next()
	for len(c.files) == 0 { // the new folder may be seen before its file
		c = next()
	}
	assert.Equal(t, []string{"a.md"}, c.files)
	assert.NoError(t, c.err)
	write(t, folder, "a.md", "# A again")
	assert.Equal(t, []string{"a.md"}, next().files, "the new folder is watched")
}

// What a save costs before anything is built.
func BenchmarkScan200(b *testing.B) {
	folder := b.TempDir()
	for i := range 200 {
		write(b, folder, fmt.Sprintf("part%d/%d.md", i%10, i), "# A")
	}
	s := newScanner(folder)
	f, err := s.scan(nil, false)
	require.NoError(b, err)
	s.accept(f)
	for n, old := range s.last.files { // as they are once they are older
		old.young = false
		s.last.files[n] = old
	}
	b.ResetTimer()
	for b.Loop() {
		f, err := s.scan(map[string]bool{"part1/1.md": true}, false)
		require.NoError(b, err)
		require.Empty(b, f.changed)
	}
}
