package preview

import (
	"bytes"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
)

// snapshot is a folder at one moment, as a file system. The notebooks of a build all come from one, so that a
// build never meets a file that is being written, or one that is away for the moment. It implements
// fs.StatFS and fs.ReadDirFS; files whose text isn't kept, such as pictures, are read from the disk.
type snapshot struct {
	disk    *os.Root
	info    fs.FileInfo // of the folder itself
	files   map[string]seen
	folders map[string][]fs.DirEntry // by path, "." the root
}

// group sorts the files into their folders.
func (s *snapshot) group() {
	s.folders = map[string][]fs.DirEntry{".": nil}
	for name, f := range s.files {
		s.enter(path.Dir(name))
		s.folders[path.Dir(name)] = append(s.folders[path.Dir(name)], entry{path.Base(name), f.info})
	}
	for _, list := range s.folders {
		slices.SortFunc(list, func(a, b fs.DirEntry) int { return strings.Compare(a.Name(), b.Name()) })
	}
}

// enter makes a folder and those around it.
func (s *snapshot) enter(folder string) {
	if _, has := s.folders[folder]; has {
		return
	}
	s.folders[folder] = nil
	around := path.Dir(folder)
	s.enter(around)
	s.folders[around] = append(s.folders[around], entry{path.Base(folder), s.info})
}

// Open implements fs.FS.
func (s *snapshot) Open(name string) (fs.File, error) {
	if f, has := s.files[name]; has && f.text != nil {
		return &file{bytes.NewReader(f.text), entry{path.Base(name), f.info}}, nil
	}
	return s.disk.FS().Open(name)
}

// Stat implements fs.StatFS.
func (s *snapshot) Stat(name string) (fs.FileInfo, error) {
	if f, has := s.files[name]; has {
		return entry{path.Base(name), f.info}, nil
	}
	return s.disk.Stat(filepath.FromSlash(name))
}

// ReadDir implements fs.ReadDirFS.
func (s *snapshot) ReadDir(name string) ([]fs.DirEntry, error) {
	if list, has := s.folders[name]; has {
		return list, nil
	}
	return nil, &fs.PathError{Op: "readdir", Path: name, Err: fs.ErrNotExist}
}

// entry names a file by the name it was found under, which a link's target doesn't know.
type entry struct {
	name string
	fs.FileInfo
}

func (e entry) Name() string               { return e.name }
func (e entry) Type() fs.FileMode          { return e.Mode().Type() }
func (e entry) Info() (fs.FileInfo, error) { return e, nil }

// file is a text that is kept.
type file struct {
	io.Reader
	entry
}

func (f *file) Stat() (fs.FileInfo, error) { return f.entry, nil }
func (*file) Close() error                 { return nil }
