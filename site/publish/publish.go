// Package publish writes a site's folder so that a reader of it sees the earlier site or the new one, whole,
// whatever happens in between: an interrupt, a full disk, a crash half way.
//
//	Check    whether a folder may be replaced: it is new, empty, or holds what Turnplate wrote and no more
//	Begin    a work folder beside it, in which the new site is put together file by file
//	Commit   the swap; Abandon forgets the new site
//
// The work folder is ".turnplate-NAME" beside NAME, so that both are on one file system. It holds `lock`,
// kept while a process writes; `new`, the site being made; and, only where the system can't exchange two
// folders in one step, `old` for the moment between two renames. Begin first mends what a crash left.
//
// A file whose bytes stay the same is linked rather than written, so it keeps its time.
package publish

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"turnplate/site/collection"
)

// Marker is the file at a site's root that says Turnplate wrote the folder, and which files.
const Marker = collection.Marker

const markerHead = "Turnplate wrote this folder and replaces it as a whole. These are its files:\n"

// Writing is a site being written.
type Writing struct {
	target  string // the folder's own place, with links resolved
	work    string
	lock    *os.File
	earlier bool // target exists

	mu        sync.Mutex
	files     map[string]string // by name in small letters, so that two names can't be one file elsewhere
	unchanged int
}

// Report says what a Commit did.
type Report struct{ Files, Unchanged, Removed int }

// step is called before each change to the disk; tests stop the process there.
var step = func(what string) error { return nil }

// Check says whether Turnplate may write a site to a folder, without changing anything.
func Check(target string) error {
	real, err := resolve(target)
	if err != nil {
		return err
	}
	_, err = mine(real)
	return err
}

// resolve follows links, so that the folder itself is replaced and a link to it stays.
func resolve(target string) (string, error) {
	abs, err := filepath.Abs(target)
	if err != nil {
		return "", err
	}
	if real, err := filepath.EvalSymlinks(abs); err == nil {
		abs = real
	} else if info, err := os.Lstat(abs); err == nil && info.Mode()&fs.ModeSymlink != 0 {
		return "", fmt.Errorf("%s is a link to a folder that isn't there", target)
	}
	if filepath.Dir(abs) == abs {
		return "", fmt.Errorf("%s is the root of a file system; name a folder in it", target)
	}
	return abs, nil
}

// mine lists the files of the earlier site. It is an error if the folder holds anything else.
func mine(target string) ([]string, error) {
	info, err := os.Lstat(target)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	} else if err != nil {
		return nil, err
	}
	if !info.IsDir() {
		return nil, fmt.Errorf("%s is a file, not a folder", target)
	}
	marker, err := os.ReadFile(filepath.Join(target, Marker))
	written := !errors.Is(err, fs.ErrNotExist)
	if written && err != nil {
		return nil, err
	}
	listed := map[string]bool{Marker: written}
	for _, name := range strings.Split(strings.TrimPrefix(string(marker), markerHead), "\n") {
		listed[name] = true
	}
	var files, foreign []string
	err = filepath.WalkDir(target, func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(target, name)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		switch {
		case d.IsDir() || slices.Contains(droppings, d.Name()):
		case !listed[rel]:
			foreign = append(foreign, rel)
		case rel != Marker:
			files = append(files, rel)
		}
		return nil
	})
	switch {
	case err != nil:
		return nil, err
	case len(foreign) > 0 && !written:
		return nil, fmt.Errorf("%s holds files and Turnplate did not write it, so it stays as it is; name a new or an empty folder", target)
	case len(foreign) > 0:
		return nil, fmt.Errorf("%s holds files that Turnplate did not write (%s), so it stays as it is; move them or name another folder", target, few(foreign))
	}
	return files, nil
}

// droppings are left in a folder by file managers that merely looked at it.
var droppings = []string{".DS_Store", "Thumbs.db", "desktop.ini"}

func few(names []string) string {
	if len(names) > 3 {
		return strings.Join(names[:3], ", ") + fmt.Sprintf(" and %d more", len(names)-3)
	}
	return strings.Join(names, ", ")
}

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
	w := &Writing{target: real, work: filepath.Join(parent, ".turnplate-"+filepath.Base(real)), files: map[string]string{}}
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

// prepare mends what an interrupted Commit left and makes an empty `new`.
func (w *Writing) prepare() error {
	if _, err := os.Lstat(w.target); errors.Is(err, fs.ErrNotExist) {
		// Between the two renames of a swap: the earlier site goes back to its place.
		if err := os.Rename(w.old(), w.target); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	if _, err := mine(w.target); err != nil {
		return err
	}
	for _, left := range []string{w.new(), w.old()} {
		if err := step("clear the work folder"); err != nil {
			return err
		}
		if err := os.RemoveAll(left); err != nil {
			return err
		}
	}
	_, err := os.Lstat(w.target)
	w.earlier = err == nil
	return os.Mkdir(w.new(), 0o777)
}

func (w *Writing) new() string { return filepath.Join(w.work, "new") }
func (w *Writing) old() string { return filepath.Join(w.work, "old") }

// Put adds a file, by its slash-separated path from the site's root. Several may be put at once.
func (w *Writing) Put(name string, data []byte) error {
	if !fs.ValidPath(name) || name == "." || name == Marker {
		return fmt.Errorf("%q is not a file's place in a site", name)
	}
	w.mu.Lock()
	other, taken := w.files[strings.ToLower(name)]
	if !taken {
		w.files[strings.ToLower(name)] = name
	}
	w.mu.Unlock()
	if taken {
		return fmt.Errorf("two files of the site would have one name: %s and %s", other, name)
	}
	if err := step("put " + name); err != nil {
		return err
	}
	to := filepath.Join(w.new(), filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(to), 0o777); err != nil {
		return err
	}
	kept, err := w.keep(name, to, data)
	if err != nil {
		return err
	}
	if !kept {
		return write(to, data)
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
	if err := write(to, data); err != nil {
		return false, err
	}
	return true, os.Chtimes(to, info.ModTime(), info.ModTime())
}

// write makes a new file.
func write(name string, data []byte) error {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err == nil {
		err = syncFile(f)
	}
	return errors.Join(err, f.Close())
}

// Commit puts the new site in the folder's place. If it fails, the earlier site is still there.
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
		if w.files[strings.ToLower(name)] != name {
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
	if err := write(filepath.Join(w.new(), Marker), marker); err != nil {
		return Report{}, err
	}
	if err := syncFolder(w.new()); err != nil {
		return Report{}, err
	}
	return report, w.swap()
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
	if _, err := os.Lstat(w.target); err == nil || !exists(w.old()) { // never the only copy of the earlier site
		step("remove the work folder")
		os.RemoveAll(w.new())
		os.RemoveAll(w.old())
		os.Remove(w.lock.Name())
		os.Remove(w.work)
	}
	w.lock.Close()
	w.lock = nil
}

func exists(name string) bool {
	_, err := os.Lstat(name)
	return err == nil
}
