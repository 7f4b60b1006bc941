// Package collection is a folder of notebooks: it finds them, reads each once, puts them in order, and
// answers what a link or a file name in one of them means. Nothing outside the folder can be reached
// through it, not by "..", nor by a link in the file system.
//
//	OpenFolder, Open   a folder, or any file system such as the embedded demo
//	OpenKnown          one whose notebooks are read when they are asked for
//	Again              the same after a change, with only the changed files read again
//	Sections           the notebooks in reading order
//	Notebook, File     what eval reads
//	Target             where a link leads
package collection

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"sync"

	"turnplate/site/diag"
	"turnplate/site/notebook"
	"turnplate/site/parallel"
)

// Limits on a collection.
const (
	MaxNotebooks = 10000
	MaxDepth     = 16       // of folders
	MaxFile      = 16 << 20 // bytes of a picture, readings or another file
)

// Collection is a folder of notebooks. It may be used by any number of goroutines.
type Collection struct {
	Title  string    // of the whole: the first page's, else the folder's name
	Faults diag.List // what is wrong with the folder itself; each notebook keeps its own

	name     string
	files    fs.FS
	close    func() error
	byPath   map[string]*notebook.Notebook
	paths    []string                // sorted
	unread   map[string]func() error // read a notebook that is known by its front matter, once
	only     string                  // the one notebook that a site is made of, or ""
	sections []Section
	checked  sync.Map // by name: a picture is read once, however often it is shown
}

// ErrNone means that a folder holds no notebook.
var ErrNone = errors.New("no notebook (a file ending in .md) was found")

// OpenFolder opens a folder of the file system and reads its notebooks.
func OpenFolder(name string) (*Collection, error) {
	root, err := os.OpenRoot(name)
	if err != nil {
		return nil, err
	}
	abs, err := filepath.Abs(name)
	if err != nil {
		abs = name
	}
	c, err := Open(root.FS(), filepath.Base(abs))
	if err != nil {
		root.Close()
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	c.close = root.Close
	return c, nil
}

// Open reads the notebooks of a file system. The name stands for the whole where no first page gives a
// title.
func Open(files fs.FS, name string) (*Collection, error) {
	c := &Collection{name: name, files: files, close: func() error { return nil }, byPath: map[string]*notebook.Notebook{}}
	if err := c.load(func(string) *notebook.Notebook { return nil }); err != nil {
		return nil, err
	}
	return c, nil
}

// OpenKnown opens a file system whose notebooks' front matter is known, by path without ".md". Each is read when Notebook is
// first asked for it: their order, and where a link leads, can be told without.
func OpenKnown(files fs.FS, name string, fronts map[string]notebook.Front) *Collection {
	c := &Collection{name: name, files: files, close: func() error { return nil }, byPath: map[string]*notebook.Notebook{}, unread: map[string]func() error{}}
	c.paths = slices.Sorted(maps.Keys(fronts))
	for _, p := range c.paths {
		nb := &notebook.Notebook{Path: p, File: p + ".md", Front: fronts[p]}
		c.byPath[p] = nb
		c.unread[p] = sync.OnceValue(func() error {
			content, err := c.read(nb.File, notebook.MaxBytes+1)
			if err == nil {
				nb.Complete(content)
			}
			return err
		})
	}
	c.arrange(name)
	return c
}

// Again looks at the folder anew after some files have changed, come or gone; files holds it as it is now.
// Only those are read again: the other notebooks are the same *Notebook as before. Both collections stay
// usable, and closing one closes the other.
func (c *Collection) Again(files fs.FS, changed func(file string) bool) (*Collection, error) {
	next := &Collection{name: c.name, files: files, close: c.close, byPath: map[string]*notebook.Notebook{}}
	c.checked.Range(func(name, found any) bool {
		if found.(checked).err == nil && !changed(name.(string)) {
			next.checked.Store(name, found)
		}
		return true
	})
	err := next.load(func(file string) *notebook.Notebook {
		if changed(file) {
			return nil
		}
		return c.byPath[strings.TrimSuffix(file, ".md")]
	})
	if err != nil {
		return nil, err
	}
	return next, nil
}

// load finds and reads every notebook but those that known gives.
func (c *Collection) load(known func(file string) *notebook.Notebook) error {
	found, err := c.find(".", 0)
	if err != nil {
		return err
	}
	if len(found) == 0 {
		return ErrNone
	}
	sort.Strings(found)
	for _, nb := range c.readAll(found, known) {
		c.byPath[nb.Path] = nb
		c.paths = append(c.paths, nb.Path)
	}
	c.findClashes()
	c.arrange(c.name)
	c.Faults.Sort()
	return nil
}

// Name is what the whole is called where no first page gives a title.
func (c *Collection) Name() string { return c.name }

// Close lets go of the folder.
func (c *Collection) Close() error { return c.close() }

// Paths lists every notebook, drafts included, by its path without ".md".
func (c *Collection) Paths() []string { return c.paths }

// Notebooks lists every notebook, drafts included, by path. Those of a collection opened by OpenKnown that weren't asked for
// yet say their Path, File and Front alone.
func (c *Collection) Notebooks() []*notebook.Notebook {
	list := make([]*notebook.Notebook, len(c.paths))
	for i, p := range c.paths {
		list[i] = c.byPath[p]
	}
	return list
}

// Notebook gives a notebook by its path from the root, without ".md". The error suggests a near name.
func (c *Collection) Notebook(name string) (*notebook.Notebook, error) {
	if nb := c.byPath[name]; nb != nil {
		if read := c.unread[name]; read != nil {
			return nb, read()
		}
		return nb, nil
	}
	message := fmt.Sprintf("the collection has no notebook %q", name)
	if bare := strings.TrimSuffix(name, ".md"); bare != name && c.byPath[bare] != nil {
		return nil, fmt.Errorf("%s (write %q, without .md)", message, bare)
	}
	if near := c.near(name); near != "" {
		return nil, fmt.Errorf("%s (did you mean %q?)", message, near)
	}
	return nil, errors.New(message)
}

// near gives the notebook whose path is closest to a wrong one, or the one of that name in another folder.
func (c *Collection) near(name string) string {
	if near := diag.Nearest(name, c.paths); near != "" {
		return near
	}
	for _, p := range c.paths {
		if path.Base(p) == path.Base(name) {
			return p
		}
	}
	return ""
}

// find lists the notebooks of a folder and of those below it. Names that start with a dot or an underscore
// are left alone, and so is a folder that Turnplate wrote a site to.
func (c *Collection) find(folder string, depth int) ([]string, error) {
	if depth > MaxDepth {
		return nil, fmt.Errorf("%s: folders stand more than %d deep", folder, MaxDepth)
	}
	entries, err := fs.ReadDir(c.files, folder)
	if err != nil {
		return nil, err
	}
	for _, e := range entries {
		if e.Name() == Marker {
			return nil, nil
		}
	}
	var found []string
	for _, e := range entries {
		name := path.Join(folder, e.Name())
		if strings.HasPrefix(e.Name(), ".") || strings.HasPrefix(e.Name(), "_") {
			continue
		}
		switch {
		case e.IsDir():
			below, err := c.find(name, depth+1)
			var unread *fs.PathError
			if errors.As(err, &unread) {
				c.Faults = append(c.Faults, diag.Diagnostic{File: name, Message: "the folder can't be read: " + plain(err).Error(),
					Hint: "give yourself the right to read it, or a name that starts with an underscore to leave it out"})
				continue
			} else if err != nil {
				return nil, err
			}
			found = append(found, below...)
		case path.Ext(e.Name()) == ".md":
			found = append(found, name)
		}
		if len(found) > MaxNotebooks {
			return nil, fmt.Errorf("the collection has more than %d notebooks", MaxNotebooks)
		}
	}
	return found, nil
}

// Reserved is the folder of a site that its own pages, style and script are written to.
const Reserved = "turnplate"

func reserved(name string) bool {
	first, _, below := strings.Cut(strings.ToLower(name), "/")
	return below && first == Reserved
}

// Marker is the file that says Turnplate wrote a folder (see package publish).
const Marker = ".turnplate"

// readAll reads notebooks by file name, several at once, and gives them in the same order. One that can't
// be read gives a fault and no notebook.
func (c *Collection) readAll(files []string, known func(string) *notebook.Notebook) []*notebook.Notebook {
	read := make([]*notebook.Notebook, len(files))
	errs := make([]error, len(files))
	parallel.Do(context.Background(), len(files), func(i int) {
		if read[i] = known(files[i]); read[i] != nil {
			return
		}
		name := strings.TrimSuffix(files[i], ".md")
		if bad := badName(name + ".html"); bad != "" {
			errs[i] = errors.New(bad)
			return
		}
		content, err := c.read(files[i], notebook.MaxBytes+1)
		if err != nil {
			errs[i] = err
			return
		}
		read[i] = notebook.Read(name, content)
	})
	var kept []*notebook.Notebook
	for i, nb := range read {
		if errs[i] != nil {
			c.Faults = append(c.Faults, diag.Diagnostic{File: files[i], Message: errs[i].Error()})
			continue
		}
		kept = append(kept, nb)
	}
	return kept
}

// findClashes refuses notebooks and folders whose names are one on some file systems, and names that a site keeps.
func (c *Collection) findClashes() {
	seen, folders, told := map[string]string{}, map[string]string{}, map[string]bool{}
	for _, p := range c.paths {
		fault := func(message, hint string) {
			c.Faults = append(c.Faults, diag.Diagnostic{File: p + ".md", Message: message, Hint: hint})
		}
		if other, clash := seen[Fold(p)]; clash {
			fault(fmt.Sprintf("the name differs from %s.md %s alone", other, Difference(p, other)), "")
		}
		seen[Fold(p)] = p
		for folder := path.Dir(p); folder != "." && !told[folder]; folder = path.Dir(folder) {
			told[folder] = true
			if other, known := folders[Fold(folder)]; known {
				fault(fmt.Sprintf("the name of the folder %s differs from that of %s %s alone", folder, other, Difference(folder, other)), "")
			}
			folders[Fold(folder)] = folder
			if ext := path.Ext(Fold(folder)); ext == ".html" || ext == ".csv" || ext == ".png" {
				fault(fmt.Sprintf("the folder %s ends as files of a site do, and one of them may have its place", folder), "give the folder a name without "+ext)
			}
		}
		if reserved(p) {
			fault(fmt.Sprintf("a site keeps its own pages in the folder %s", Reserved), "give your folder another name")
		}
	}
}
