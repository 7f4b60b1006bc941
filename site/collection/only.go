package collection

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"turnplate/site/diag"
)

// FolderOf gives the folder of the collection that a notebook's file belongs to: the outermost one of an unbroken chain
// of folders that hold an index.md, or else the file's own; and the notebook's path in it.
func FolderOf(file string) (folder, notebook string, err error) {
	if filepath.Ext(file) != ".md" {
		return "", "", fmt.Errorf("%s is not a notebook, whose name would end in .md", file)
	}
	full, err := filepath.Abs(file)
	if err != nil {
		return "", "", err
	}
	introduced := func(folder string) bool {
		info, err := os.Stat(filepath.Join(folder, "index.md"))
		return err == nil && info.Mode().IsRegular()
	}
	folder, outer := filepath.Dir(file), filepath.Dir(full)
	for introduced(outer) && introduced(filepath.Dir(outer)) && filepath.Dir(outer) != outer {
		folder, outer = filepath.Join(folder, ".."), filepath.Dir(outer)
	}
	inside, err := filepath.Rel(outer, full)
	return folder, strings.TrimSuffix(filepath.ToSlash(inside), ".md"), err
}

// Only narrows a collection to one of its notebooks, even if it is a draft: what is published and what is wrong with the
// folder are then this one's. It can still use the others, and link to them.
func (c *Collection) Only(path string) error {
	nb := c.byPath[path]
	c.Faults = slices.DeleteFunc(slices.Clone(c.Faults), func(d diag.Diagnostic) bool { return d.File != path+".md" })
	if nb == nil && len(c.Faults) == 0 {
		_, err := c.Notebook(path)
		return err
	}
	title := c.Title
	c.only, c.sections = path, nil
	c.arrange(c.name)
	c.Title = title
	return nil
}

// published lists the notebooks that a site is made of, in no order yet.
func (c *Collection) published() (paths []string) {
	for _, p := range c.paths {
		if c.only == p || c.only == "" && !c.byPath[p].Front.Draft {
			paths = append(paths, p)
		}
	}
	return paths
}
