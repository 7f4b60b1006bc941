package publish

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// Check says whether Turnplate may write a site to a folder, and can, without changing anything. It is asked before
// the work, so that what stands in the way is told at once.
func Check(target string) error {
	real, err := resolve(target)
	if err != nil {
		return err
	}
	if err := replaceable(real); err != nil {
		return err
	}
	_, err = mine(real)
	return err
}

// Earlier lists the files of the site that stands in a folder, without the marker; none if there is no folder.
func Earlier(target string) ([]string, error) {
	real, err := resolve(target)
	if err != nil {
		return nil, err
	}
	return mine(real)
}

// resolve follows links, so that the folder itself is replaced and a link to it stays.
func resolve(target string) (string, error) {
	if target == "" {
		return "", errors.New("the name of the folder to write to is empty; --to wants one, such as --to out")
	}
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
	ours, foreign, written, err := sort(target)
	switch {
	case err != nil:
		return nil, err
	case len(foreign) > 0 && !written:
		return nil, fmt.Errorf("%s holds files and Turnplate did not write it, so it stays as it is; name a new or an empty folder", target)
	case len(foreign) > 0:
		return nil, fmt.Errorf("%s holds files that Turnplate did not write (%s), so it stays as it is; move them or name another folder", target, few(foreign))
	}
	return slices.DeleteFunc(ours, func(name string) bool { return name == Marker || dropping(name) }), nil
}

// sort parts the files in a folder into those that Turnplate may remove, which are the ones its marker lists, the
// marker, and what file managers leave; and all others. Names are slash-separated from the folder.
func sort(folder string) (ours, foreign []string, written bool, err error) {
	marker, err := os.ReadFile(filepath.Join(folder, Marker))
	written = !errors.Is(err, fs.ErrNotExist)
	if written && err != nil {
		return nil, nil, false, err
	}
	listed := map[string]bool{Marker: written}
	for _, name := range strings.Split(strings.TrimPrefix(string(marker), markerHead), "\n") {
		listed[name] = true
	}
	err = filepath.WalkDir(folder, func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(folder, name)
		if err != nil || d.IsDir() {
			return err
		}
		if rel = filepath.ToSlash(rel); listed[rel] || dropping(rel) {
			ours = append(ours, rel)
		} else {
			foreign = append(foreign, rel)
		}
		return nil
	})
	return ours, foreign, written, err
}

// droppings are left in a folder by file managers that merely looked at it.
var droppings = []string{".DS_Store", "Thumbs.db", "desktop.ini"}

func dropping(name string) bool { return slices.Contains(droppings, filepath.Base(name)) }

func few(names []string) string {
	if len(names) > 3 {
		return strings.Join(names[:3], ", ") + fmt.Sprintf(" and %d more", len(names)-3)
	}
	return strings.Join(names, ", ")
}

// longestName is how many bytes most file systems allow a name to have.
const longestName = 255

// replaceable says whether a new folder can be put together beside this one, whose links are resolved, and exchanged for it.
func replaceable(target string) error {
	if len(workPrefix)+len(filepath.Base(target)) > longestName {
		return fmt.Errorf("%s: the name is longer than a folder's may be", target)
	}
	info, err := os.Lstat(target)
	if err == nil {
		if mounted(target) {
			return fmt.Errorf("%s is a mount point, which can't be exchanged for a new site as a whole; name a folder in it, such as %s", target, filepath.Join(target, "site"))
		}
		if err := mayKeepGroup(info); err != nil {
			return fmt.Errorf("%s: %w; have it made over to a group of yours, or name another folder", target, err)
		}
	}
	for parent := filepath.Dir(target); ; parent = filepath.Dir(parent) {
		info, err := os.Stat(parent)
		switch {
		case errors.Is(err, fs.ErrNotExist) && filepath.Dir(parent) != parent:
			continue
		case err != nil:
			return err
		case !info.IsDir():
			return fmt.Errorf("%s is a file, not a folder", parent)
		}
		if err := mayWrite(parent); err != nil {
			return fmt.Errorf("a site is put together beside its place, and nothing can be written in %s (%w); get yourself the right to write there, or name a folder elsewhere", parent, err)
		}
		return nil
	}
}
