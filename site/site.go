// Package site is the pipeline from a folder of notebooks to a folder of pages, as the command line calls it.
//
//	Write    evaluate a collection and write its site
//	Verify   evaluate it only
//	Begin    make a starter collection
//	Tell     tell what a notebook can say
//
// Each stage is a package below: collection (the folder), notebook (reading one file), lang and eval (its
// blocks), figure and page (what readers see), build (all pages), publish (the output folder).
package site

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"

	"turnplate/notebooks"
	"turnplate/site/build"
	"turnplate/site/collection"
	"turnplate/site/diag"
	"turnplate/site/engine/carried"
	"turnplate/site/publish"
	"turnplate/site/reference"
)

// Version is the program's. It stands in every footer, so the same version gives the same bytes.
const Version = "0.1"

// The demo collection, which stands where no folder is named.
const (
	demoName = "Turnplate"
	demoNote = "The Corrie, its parts and its club are invented, and so are their measurements."
)

// Misuse is a mistake in how the program was called, and not one in a notebook.
type Misuse struct{ error }

// Unwrap gives the error itself.
func (m Misuse) Unwrap() error { return m.error }

// Outcome is what evaluating a collection came to.
type Outcome struct {
	Folder    string // as named, or that of the notebook that was named; "" for the demo
	Title     string
	Notebooks []Notebook
	Drafts    []string // files left out
	Faults    diag.List
	Doubts    diag.List // what can be but hardly ever is; they don't count for Good
	Claims    []build.Claim
	To        string         // the output folder, for Write
	Written   bool           // whether the site was written
	Files     publish.Report // what that changed

	one bool // notebook instead of a collection
}

// Notebook is one published notebook.
type Notebook struct {
	File  string `json:"file"`
	Title string `json:"title"`
}

// Good says whether everything can be relied on: no mistake, and every claim holds.
func (o *Outcome) Good() bool { return len(o.Faults) == 0 && o.Failing() == 0 }

// Failing counts the claims that don't hold.
func (o *Outcome) Failing() int {
	n := 0
	for _, c := range o.Claims {
		if !c.Holds {
			n++
		}
	}
	return n
}

// Progress is told how much of the work is done.
type Progress func(done, total int)

// Verify evaluates a collection, or one notebook of it, whose file is named then; "" means the demo.
func Verify(ctx context.Context, name string, progress Progress) (*Outcome, error) {
	o := &Outcome{}
	return o, o.evaluate(ctx, name, progress, func(*build.Site) error { return nil })
}

// Write evaluates a collection, or one notebook of it, and, if no notebook has a mistake, writes its site to a folder. A
// claim that fails is no mistake: its page says that it fails. Whatever happens, the folder holds the earlier site or the
// new one, whole; a folder that Turnplate didn't write is never touched. For one notebook a folder that holds a larger
// site stays as it is, too.
func Write(ctx context.Context, name, to string, progress Progress) (*Outcome, error) {
	o := &Outcome{To: to}
	if err := publish.Check(to); err != nil {
		return o, Misuse{err}
	}
	return o, o.evaluate(ctx, name, progress, func(s *build.Site) error {
		if len(o.Faults) > 0 {
			return nil
		}
		if err := o.larger(s); err != nil {
			return Misuse{err}
		}
		writing, err := publish.Begin(to)
		if err != nil {
			return err
		}
		defer writing.Abandon()
		if err := s.Render(ctx, writing.Put); err != nil {
			return err
		}
		o.Files, err = writing.Commit()
		o.Written = err == nil
		return err
	})
}

// larger refuses to put the page of one notebook in the place of a site with others.
func (o *Outcome) larger(s *build.Site) error {
	if !o.one {
		return nil
	}
	earlier, err := publish.Earlier(o.To)
	if err != nil {
		return err
	}
	pages := s.Pages()
	for _, file := range earlier {
		if path.Ext(file) == ".html" && !strings.HasPrefix(file, collection.Reserved+"/") && !slices.Contains(pages, file) {
			return fmt.Errorf("%s holds a larger site, with %s, so it stays as it is; name another folder with --to, or write the whole collection", o.To, file)
		}
	}
	return nil
}

// evaluate opens and evaluates the collection, notes what it came to, and calls then while it is open.
func (o *Outcome) evaluate(ctx context.Context, name string, progress Progress, then func(*build.Site) error) error {
	c, note, err := o.open(name)
	if err != nil {
		return err
	}
	defer c.Close()
	s, err := build.Evaluate(ctx, c, build.Options{Version: Version, Note: note, Progress: progress, Engine: carried.Offer()})
	if err != nil {
		return err
	}
	o.Title, o.Faults, o.Doubts = c.Title, s.Faults, s.Doubts
	for _, n := range s.Notebooks {
		o.Notebooks = append(o.Notebooks, Notebook{n.File, n.Eval.Title.String()})
		o.Claims = append(o.Claims, n.Claims...)
	}
	for _, p := range c.Drafts() {
		o.Drafts = append(o.Drafts, p+".md")
	}
	return then(s)
}

// open opens the collection of that name. For a notebook's file it opens the collection around it, narrowed to that notebook.
func (o *Outcome) open(name string) (*collection.Collection, string, error) {
	if name == "" {
		c, err := collection.Open(notebooks.FS, demoName)
		return c, demoNote, err
	}
	o.Folder = name
	notebook := ""
	if info, err := os.Stat(name); err == nil && info.Mode().IsRegular() {
		if o.Folder, notebook, err = collection.FolderOf(name); err != nil {
			return nil, "", Misuse{err}
		}
		o.one = true
	}
	c, err := collection.OpenFolder(o.Folder)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, "", Misuse{fmt.Errorf("there is no folder or notebook %s", name)}
	case err != nil:
		return nil, "", Misuse{err}
	}
	if o.one {
		if err := c.Only(notebook); err != nil {
			c.Close()
			return nil, "", Misuse{err}
		}
	}
	return c, "", nil
}

// Tell writes what one thing that a notebook can say takes, gives, assumes and cites; "" lists them all.
func Tell(w io.Writer, name string) error {
	if name == "" {
		reference.List(w)
		return nil
	}
	if reference.Describe(w, strings.ReplaceAll(name, " ", "-")) {
		return nil
	}
	message := fmt.Sprintf("a notebook knows no %q", name)
	near := diag.Nearest(name, reference.Names())
	for _, known := range reference.Names() { // "parking" for ParkingEffort
		if near == "" && len(name) > 2 && strings.Contains(strings.ToLower(known), strings.ToLower(name)) {
			near = known
		}
	}
	if near != "" {
		return Misuse{fmt.Errorf("%s (did you mean %s?)", message, near)}
	}
	return Misuse{fmt.Errorf("%s; turnplate tell lists what there is", message)}
}
