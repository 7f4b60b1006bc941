// Package publish writes a site's folder so that a reader of it sees the earlier site or the new one, whole,
// whatever happens in between: an interrupt, a full disk, a crash half way.
//
//	Check    whether a folder may be replaced: it is new, empty, or holds what Turnplate wrote and no more
//	Begin    a work folder beside it, in which the new site is put together file by file
//	Commit   the swap; Abandon forgets the new site
//
// The work folder is ".turnplate-NAME" beside NAME, so that both are on one file system. It holds `lock`,
// kept while a process writes; `half`, the site being made; `new`, the site when it is complete, and after the
// exchange the earlier one until it is cleared away; and, only where the system can't exchange two folders in
// one step, `old` for the moment between two renames. Begin first mends what a crash left.
//
// A file whose bytes stay the same is linked rather than written, so it keeps its time. Folders and files that
// were there before keep their group and access rights. Nothing is ever removed that Turnplate didn't write.
package publish

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"turnplate/site/collection"
)

// Marker is the file at a site's root that says Turnplate wrote the folder, and which files.
const Marker = collection.Marker

const markerHead = "Turnplate wrote this folder and replaces it as a whole. These are its files:\n"

// workPrefix begins the name of the work folder.
const workPrefix = ".turnplate-"

// Writing is a site being written.
type Writing struct {
	target  string // the folder's own place, with links resolved
	work    string
	lock    *os.File
	earlier bool // target exists

	mu        sync.Mutex
	files     map[string]string // by folded name: two names must not be one file on a system that takes A for a
	folders   map[string]bool
	unchanged int
}

// Report says what a Commit did.
type Report struct {
	Files, Unchanged, Removed int
	Kept                      []string // files that came into the folder during the Commit; they are in the new site's
}

// step is called before each change to the disk; tests stop the process there.
var step = func(what string) error { return nil }

// Begin starts writing a site to a folder. The folder itself stays as it is until Commit.
func Begin(target string) (*Writing, error) {
	real, err := resolve(target)
	if err != nil {
		return nil, err
	}
	parent := filepath.Dir(real)
	if err := os.MkdirAll(parent, 0o777); err != nil {
		return nil, err
	}
	w := &Writing{target: real, work: filepath.Join(parent, workPrefix+filepath.Base(real)), files: map[string]string{}, folders: map[string]bool{}}
	if err := w.take(); err != nil {
		return nil, err
	}
	if err := w.prepare(); err != nil {
		w.Abandon()
		return nil, err
	}
	return w, nil
}

// take makes the work folder and locks it. Another process may be removing it just now, so it looks again.
func (w *Writing) take() error {
	if err := step("make the work folder"); err != nil {
		return err
	}
	for tries := 0; ; tries++ {
		if err := os.Mkdir(w.work, 0o777); err != nil && !errors.Is(err, fs.ErrExist) {
			return err
		}
		name := filepath.Join(w.work, "lock")
		f, err := lock(name)
		if err == nil {
			mine, err1 := f.Stat()
			there, err2 := os.Stat(name)
			if err1 == nil && err2 == nil && os.SameFile(mine, there) {
				w.lock = f
				return nil
			}
			f.Close()
			err = fs.ErrNotExist
		}
		if !errors.Is(err, fs.ErrNotExist) || tries == 10 {
			return fmt.Errorf("another process is writing to %s", w.target)
		}
	}
}

// prepare mends what an interrupted Commit left and makes an empty `half`.
func (w *Writing) prepare() error {
	if !exists(w.target) {
		// Between the two renames of a swap: the earlier site goes back to its place.
		if err := os.Rename(w.old(), w.target); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	for _, left := range []string{w.new(), w.old()} {
		if err := step("clear the work folder"); err != nil {
			return err
		}
		if _, err := clear(left, w.target); err != nil {
			return err
		}
	}
	if err := os.RemoveAll(w.half()); err != nil {
		return err
	}
	if _, err := mine(w.target); err != nil {
		return err
	}
	w.earlier = exists(w.target)
	if !w.earlier {
		return os.Mkdir(w.half(), 0o777)
	}
	if err := os.Mkdir(w.half(), 0o700); err != nil {
		return err
	}
	return w.asBefore(".", 0o700)
}

func (w *Writing) half() string { return filepath.Join(w.work, "half") }
func (w *Writing) new() string  { return filepath.Join(w.work, "new") }
func (w *Writing) old() string  { return filepath.Join(w.work, "old") }

// Put adds a file, by its slash-separated path from the site's root. Several may be put at once.
func (w *Writing) Put(name string, data []byte) error {
	if !fs.ValidPath(name) || name == "." || name == Marker {
		return fmt.Errorf("%q is not a file's place in a site", name)
	}
	w.mu.Lock()
	folded := collection.Fold(name)
	other, taken := w.files[folded]
	if !taken {
		w.files[folded] = name
	}
	w.mu.Unlock()
	if taken {
		return fmt.Errorf("two files of the site would have one name: %s and %s", other, name)
	}
	if err := step("put " + name); err != nil {
		return err
	}
	if err := w.folder(path.Dir(name)); err != nil {
		return err
	}
	to := filepath.Join(w.half(), filepath.FromSlash(name))
	kept, err := w.keep(name, to, data)
	if err != nil {
		return err
	}
	if !kept {
		return w.write(name, data)
	}
	w.mu.Lock()
	w.unchanged++
	w.mu.Unlock()
	return nil
}

// keep takes the earlier site's file over when its bytes are the same.
func (w *Writing) keep(name, to string, data []byte) (bool, error) {
	from := filepath.Join(w.target, filepath.FromSlash(name))
	info, err := os.Lstat(from)
	if err != nil || !info.Mode().IsRegular() || info.Size() != int64(len(data)) {
		return false, nil
	}
	if was, err := os.ReadFile(from); err != nil || !bytes.Equal(was, data) {
		return false, nil
	}
	if os.Link(from, to) == nil {
		return true, nil
	}
	// A file system without hard links: write it and give it the earlier time.
	if err := w.write(name, data); err != nil {
		return false, err
	}
	return true, os.Chtimes(to, info.ModTime(), info.ModTime())
}

// write makes a new file of the site.
func (w *Writing) write(name string, data []byte) error {
	f, err := os.OpenFile(filepath.Join(w.half(), filepath.FromSlash(name)), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err == nil {
		err = syncFile(f)
	}
	return errors.Join(err, f.Close(), w.asBefore(name, 0))
}

// Commit puts the new site in the folder's place. If it fails before that, the earlier site is still there; what can
// fail afterwards is clearing that one away.
func (w *Writing) Commit() (Report, error) {
	defer w.Abandon()
	names := make([]string, 0, len(w.files))
	for _, name := range w.files {
		names = append(names, name)
	}
	slices.Sort(names)
	earlier, err := mine(w.target) // again: something may have appeared meanwhile
	if err != nil {
		return Report{}, err
	}
	report := Report{Files: len(names), Unchanged: w.unchanged}
	for _, name := range earlier {
		if w.files[collection.Fold(name)] != name {
			report.Removed++
		}
	}
	marker := []byte(markerHead + strings.Join(names, "\n") + "\n")
	if was, err := os.ReadFile(filepath.Join(w.target, Marker)); err == nil && bytes.Equal(was, marker) && w.unchanged == len(names) {
		return report, nil // the folder holds this very site
	}
	if err := step("write the marker"); err != nil {
		return Report{}, err
	}
	if err := w.write(Marker, marker); err != nil {
		return Report{}, err
	}
	if err := w.finishRights(); err != nil {
		return Report{}, err
	}
	if err := syncFolder(w.half()); err != nil {
		return Report{}, err
	}
	if err := os.Rename(w.half(), w.new()); err != nil {
		return Report{}, err
	}
	if err := w.swap(); err != nil {
		return Report{}, err
	}
	report.Kept, err = w.clearAway()
	if err != nil {
		return report, fmt.Errorf("the new site is in its place, but the earlier one couldn't be cleared away: %w", err)
	}
	return report, nil
}

// clearAway removes the earlier site after the swap.
func (w *Writing) clearAway() (kept []string, err error) {
	for _, left := range []string{w.new(), w.old()} {
		if err := step("clear away"); err != nil {
			return kept, err
		}
		more, err := clear(left, w.target)
		if kept = append(kept, more...); err != nil {
			return kept, err
		}
	}
	return kept, nil
}

// finishRights takes those rights off the folders that they had only for the writing.
func (w *Writing) finishRights() error {
	if !w.earlier {
		return nil
	}
	for name := range w.folders {
		if err := w.asBefore(name, 0); err != nil {
			return err
		}
	}
	return w.asBefore(".", 0)
}

func (w *Writing) swap() error {
	if err := step("swap"); err != nil {
		return err
	}
	if !w.earlier {
		return os.Rename(w.new(), w.target)
	}
	if exchange(w.new(), w.target) == nil {
		return nil
	}
	return w.swapInTwoSteps()
}

// swapInTwoSteps serves systems that can't exchange two folders at once.
func (w *Writing) swapInTwoSteps() error {
	if err := os.Rename(w.target, w.old()); err != nil {
		return err
	}
	err := step("swap half way")
	if err == nil {
		err = os.Rename(w.new(), w.target)
	}
	if err != nil {
		return errors.Join(err, os.Rename(w.old(), w.target))
	}
	return nil
}

// Abandon removes the work folder. After a Commit it does nothing.
func (w *Writing) Abandon() {
	if w.lock == nil {
		return
	}
	if exists(w.target) || !exists(w.old()) { // else `old` is the only copy of the earlier site
		step("remove the work folder")
		os.RemoveAll(w.half())
		_, err1 := clear(w.new(), w.target)
		_, err2 := clear(w.old(), w.target)
		if errors.Join(err1, err2) == nil {
			os.Remove(w.lock.Name())
			os.Remove(w.work)
		}
	}
	w.lock.Close()
	w.lock = nil
}

func exists(name string) bool {
	_, err := os.Lstat(name)
	return err == nil
}
