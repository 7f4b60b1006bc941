package preview

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"time"

	"turnplate/site/build"
	"turnplate/site/collection"
)

// scanner knows a folder as it last looked. A notebook or a readings file that was only touched, or written
// with the same text, counts as unchanged.
type scanner struct {
	root string // without links
	last *snapshot
	interest
	doubts map[string]time.Time // since when a file has been missing or empty

	// enter is called for each folder before it is read, so that it is watched by then.
	enter func(folder string, info fs.FileInfo)
}

// interest says which files matter beside the notebooks.
type interest struct {
	texts map[string]bool // readings files: their text matters as a notebook's does
	names map[string]bool // of files that a page needs, without their folders: a new file of that name may be found before them
	any   bool            // there are mistakes, and any file may mend them
}

// interestIn is what a site needs.
func interestIn(all build.Whole) interest {
	i := interest{texts: map[string]bool{}, names: map[string]bool{}, any: len(all.Faults) > 0}
	for _, name := range all.Readings {
		i.texts[name], i.names[path.Base(name)] = true, true
	}
	for _, name := range all.Carries {
		i.names[path.Base(name)] = true
	}
	return i
}

// concerns says whether a change of a file changes any page. Backups, logs and the like don't.
func (i interest) concerns(name string) bool {
	return i.any || path.Ext(name) == ".md" || i.names[path.Base(name)]
}

// seen is one file as it was.
type seen struct {
	info  fs.FileInfo
	text  []byte // of a file whose text matters, unless it is very large; else nil
	young bool   // written so shortly before it was read that a later change may have the same time
	apart bool   // in no folder that is listed: only known because a notebook reads it
}

// youth is longer than the steps in which usual file systems count time.
const youth = 2 * time.Second

// patience is how long a file may be missing or empty, or have a new mistake, before that counts as meant: until then it
// may be the middle of a save. Tests set it higher, for busy machines.
var patience = 100 * time.Millisecond

// maxText is how many bytes of a file are kept. Larger ones count as changed when their time does.
const maxText = 4 << 20

// maxFiles bounds what is watched, in case somebody previews a whole disk.
const maxFiles = 200_000

// found is what a scan came to.
type found struct {
	*snapshot
	changed []string // files that came, went, or hold something else
	unsure  bool     // the changes may be the middle of a save: look again soon
}

func newScanner(root string) *scanner {
	return &scanner{root: root, interest: interest{any: true}, doubts: map[string]time.Time{}, enter: func(string, fs.FileInfo) {}}
}

// scan looks at the whole folder, without taking over what it finds. Files that are named are read whatever
// their times say; with all, every file is.
func (s *scanner) scan(named map[string]bool, all bool) (*found, error) {
	shot, err := s.list()
	if err != nil {
		return nil, err
	}
	f := &found{snapshot: shot}
	for name, now := range shot.files {
		var old seen
		had := s.last != nil
		if had {
			old, had = s.last.files[name]
		}
		doubtful := had && now.info.Size() == 0 && old.info.Size() > 0
		same := had && unchanged(old.info, now.info)
		matters := (path.Ext(name) == ".md" || s.texts[name]) && now.info.Size() <= maxText
		switch {
		case same && !old.young && !named[name] && !all:
			if now = old; matters && now.text == nil { // it matters since the last build
				if fresh, whole := shot.read(name, now.info); whole && unchanged(now.info, fresh.info) {
					now = fresh
				}
			}
		case !matters:
			if !same || all {
				f.changed = append(f.changed, name)
			}
		default:
			var whole bool
			now, whole = shot.read(name, now.info)
			doubtful = doubtful || !whole
			if !had || old.text == nil || !bytes.Equal(old.text, now.text) {
				f.changed = append(f.changed, name)
			}
		}
		shot.files[name] = now
		if doubtful {
			f.doubt(s, name)
		} else {
			delete(s.doubts, name)
		}
	}
	if s.last != nil {
		for name, old := range s.last.files {
			if _, has := shot.files[name]; !has && (!old.apart || s.texts[name]) {
				f.changed = append(f.changed, name)
				f.doubt(s, name)
			}
		}
	}
	shot.group()
	return f, nil
}

// doubt waits a moment with what may be the middle of a save: editors empty a file and then fill it, or move
// it aside and then write another.
func (f *found) doubt(s *scanner, name string) {
	since, known := s.doubts[name]
	if !known {
		since = time.Now()
		s.doubts[name] = since
	}
	f.unsure = f.unsure || time.Since(since) < patience
}

// accept takes over what a scan found.
func (s *scanner) accept(f *found) {
	s.last = f.snapshot
	clear(s.doubts)
}

// list lists the folder's files.
func (s *scanner) list() (*snapshot, error) {
	shot := &snapshot{files: map[string]seen{}}
	if info, err := os.Stat(s.root); err == nil && s.last != nil && os.SameFile(info, s.last.info) {
		shot.disk, shot.info = s.last.disk, s.last.info
	} else {
		root, err := os.OpenRoot(s.root)
		if err != nil {
			return nil, err
		}
		shot.disk = root // closed when nothing looks at the folder any more
		if shot.info, err = root.Stat("."); err != nil {
			return nil, err
		}
	}
	if err := s.walk(shot, ".", shot.info, 0); err != nil {
		return nil, err
	}
	for name := range s.texts { // those behind a link, or in a folder that is otherwise left alone
		if _, has := shot.files[name]; !has {
			if info, err := shot.disk.Stat(filepath.FromSlash(name)); err == nil && info.Mode().IsRegular() {
				shot.files[name] = seen{info: info, apart: true}
			}
		}
	}
	return shot, nil
}

// walk lists a folder and those below it, leaving alone what a collection leaves alone. Files in folders
// whose names start with an underscore count: a notebook may read them.
func (s *scanner) walk(shot *snapshot, folder string, info fs.FileInfo, depth int) error {
	full := filepath.Join(s.root, filepath.FromSlash(folder))
	if isOutput(full) || depth > collection.MaxDepth {
		return nil
	}
	s.enter(full, info)
	entries, err := os.ReadDir(full)
	if err != nil && folder == "." {
		return err
	}
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), ".") {
			continue
		}
		name := path.Join(folder, e.Name())
		info, err := e.Info()
		if err == nil && info.Mode()&fs.ModeSymlink != 0 {
			info, err = shot.disk.Stat(filepath.FromSlash(name)) // refused if it leads outside
		}
		switch {
		case err != nil: // it is gone again
		case e.IsDir():
			if err := s.walk(shot, name, info, depth+1); err != nil {
				return err
			}
		case info.Mode().IsRegular():
			shot.files[name] = seen{info: info}
			if len(shot.files) > maxFiles {
				return fmt.Errorf("%s holds more than %d files; name the folder of the notebooks alone", s.root, maxFiles)
			}
		}
	}
	return nil
}

// isOutput says whether Turnplate wrote a folder. Watching it would build for ever.
func isOutput(folder string) bool {
	_, err := os.Lstat(filepath.Join(folder, collection.Marker))
	return err == nil
}

// read reads a file's text. It is not whole if the file was being written meanwhile.
func (s *snapshot) read(name string, info fs.FileInfo) (now seen, whole bool) {
	now = seen{info: info, young: time.Since(info.ModTime()) < youth, apart: s.files[name].apart}
	f, err := s.disk.Open(filepath.FromSlash(name))
	if err != nil {
		return now, !errors.Is(err, fs.ErrNotExist)
	}
	defer f.Close()
	before, err := f.Stat()
	if err != nil || !before.Mode().IsRegular() {
		return now, true
	}
	text, err := io.ReadAll(io.LimitReader(f, maxText+1))
	if err != nil || len(text) > maxText {
		return now, true
	}
	after, err := f.Stat()
	if err != nil {
		return now, true
	}
	now.info, now.text = after, append(text, 0)[:len(text)] // never nil
	return now, unchanged(before, after) && int(after.Size()) == len(text)
}

// unchanged judges by what the file system says of a file.
func unchanged(a, b fs.FileInfo) bool {
	return os.SameFile(a, b) && a.Size() == b.Size() && a.ModTime().Equal(b.ModTime())
}
