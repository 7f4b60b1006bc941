package preview

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"time"

	"turnplate/site/collection"
)

// scanner knows the state of a folder's files as it last looked, by content where that matters, so that a
// file that was only touched, or written with the same text, counts as unchanged.
type scanner struct {
	root    string // without links
	rootIs  fs.FileInfo
	files   map[string]seen // by slash-separated path from the root
	inputs  map[string]bool // files beside the notebooks whose content matters
	missing map[string]time.Time

	// enter is called for each folder before it is read, so that it is watched by then.
	enter func(folder string, info fs.FileInfo)
}

// seen is one file as it was.
type seen struct {
	info  fs.FileInfo
	sum   [sha256.Size]byte
	known bool // the sum has been taken
	young bool // written so shortly before the sum was taken that a later change may bear the same time
}

// youth is longer than the steps in which any usual file system keeps time.
const youth = 2 * time.Second

// patience is how long a file may be missing, or empty, or hold a mistake before that is taken for meant
// rather than for the middle of a save.
const patience = 100 * time.Millisecond

// found is what a scan came to.
type found struct {
	rootIs   fs.FileInfo
	files    map[string]seen
	changed  []string // files that came, went, or hold something else
	unsure   bool     // the changes may be the middle of a save: look again soon
	replaced bool     // the folder itself is another one now
}

func newScanner(root string) *scanner {
	return &scanner{root: root, inputs: map[string]bool{}, missing: map[string]time.Time{}, enter: func(string, fs.FileInfo) {}}
}

// scan looks at the whole folder, without taking over what it finds. Files that are named are read whatever
// their times say; with all, every file is.
func (s *scanner) scan(named map[string]bool, all bool) (*found, error) {
	root, err := os.OpenRoot(s.root)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	f := &found{files: map[string]seen{}}
	if f.rootIs, err = root.Stat("."); err != nil {
		return nil, err
	}
	f.replaced = s.rootIs != nil && !os.SameFile(s.rootIs, f.rootIs)
	if err := s.walk(root, ".", f.rootIs, f, 0); err != nil {
		return nil, err
	}
	for name := range s.inputs { // those behind a link, or in a folder that is otherwise left alone
		if _, has := f.files[name]; !has {
			if info, err := root.Stat(filepath.FromSlash(name)); err == nil {
				f.files[name] = seen{info: info}
			}
		}
	}
	for name, now := range f.files {
		old, had := s.files[name]
		same := had && os.SameFile(old.info, now.info) && old.info.Size() == now.info.Size() && old.info.ModTime().Equal(now.info.ModTime())
		matters := path.Ext(name) == ".md" || s.inputs[name]
		switch {
		case same && !old.young && !named[name] && !all:
			if now = old; matters && !now.known {
				now.take(root, name)
			}
		case !matters:
			if !same {
				f.changed = append(f.changed, name)
			}
		default:
			now.take(root, name)
			if !had || !old.known || old.sum != now.sum {
				f.changed = append(f.changed, name)
			}
		}
		f.files[name] = now
		if had && now.info.Size() == 0 && old.info.Size() > 0 {
			f.doubt(s, name)
		} else {
			delete(s.missing, name)
		}
	}
	for name := range s.files {
		if _, has := f.files[name]; !has {
			f.changed = append(f.changed, name)
			f.doubt(s, name)
		}
	}
	return f, nil
}

// doubt waits a moment with what may be the middle of a save: editors empty a file and then fill it, or move
// it aside and then write another.
func (f *found) doubt(s *scanner, name string) {
	since, known := s.missing[name]
	if !known {
		since = time.Now()
		s.missing[name] = since
	}
	f.unsure = f.unsure || time.Since(since) < patience
}

// accept takes over what a scan found.
func (s *scanner) accept(f *found) {
	s.rootIs, s.files = f.rootIs, f.files
	clear(s.missing)
}

// walk lists a folder and those below it, leaving alone what a collection leaves alone. Files in folders
// whose names start with an underscore count: a notebook may read them.
func (s *scanner) walk(root *os.Root, folder string, info fs.FileInfo, f *found, depth int) error {
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
			info, err = root.Stat(filepath.FromSlash(name)) // refused if it leads outside
		}
		switch {
		case err != nil: // gone again
		case e.IsDir():
			if err := s.walk(root, name, info, f, depth+1); err != nil {
				return err
			}
		case info.Mode().IsRegular():
			f.files[name] = seen{info: info}
			if len(f.files) > maxFiles {
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

// maxFiles bounds what is watched, in case somebody previews a whole disk.
const maxFiles = 200_000

// take takes the sum of a file's content. A file that can't be read has the sum of the reason.
func (n *seen) take(root *os.Root, name string) {
	n.known, n.young = true, time.Since(n.info.ModTime()) < youth
	h := sha256.New()
	f, err := root.Open(filepath.FromSlash(name))
	if err == nil {
		_, err = io.Copy(h, io.LimitReader(f, collection.MaxFile+1))
		f.Close()
	}
	if err != nil {
		var p *fs.PathError
		if errors.As(err, &p) {
			err = p.Err
		}
		fmt.Fprint(h, "\x00", err)
	}
	h.Sum(n.sum[:0])
}
