package publish

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
)

// clear removes a site that has been replaced, and only what Turnplate wrote of it. Whatever else has come into the
// folder meanwhile goes over into the folder that has its place now, and is told in kept.
func clear(left, target string) (kept []string, err error) {
	if !exists(left) {
		return nil, nil
	}
	os.Chmod(left, 0o700) // the folder may have been one that even its owner couldn't write in
	for tries := 0; ; tries++ {
		ours, foreign, _, err := sort(left)
		if err != nil {
			return kept, err
		}
		for _, name := range foreign {
			if err := carryOver(left, target, name); err != nil {
				return kept, err
			}
			kept = append(kept, name)
		}
		// The marker goes last: until then a process that was killed here leaves a folder that tells what is whose.
		slices.SortFunc(ours, func(a, b string) int { return last(a) - last(b) })
		for _, name := range ours {
			if name == Marker {
				if err := removeFolders(left, false); err != nil {
					break // something came in after the look
				}
			}
			if err := remove(filepath.Join(left, filepath.FromSlash(name))); err != nil {
				return kept, err
			}
		}
		if err = removeFolders(left, true); err == nil || tries == 10 {
			return kept, err
		}
	}
}

func last(name string) int {
	if name == Marker {
		return 1
	}
	return 0
}

// carryOver moves a file that Turnplate didn't write into the folder where it would have come a moment later.
func carryOver(left, target, name string) error {
	from, to := filepath.Join(left, filepath.FromSlash(name)), filepath.Join(target, filepath.FromSlash(name))
	if exists(to) {
		return fmt.Errorf("%s came into the folder while the site was written, and the site has a file of that name; it is kept as %s: move it from there", name, from)
	}
	if err := os.MkdirAll(filepath.Dir(to), 0o777); err != nil {
		return err
	}
	return os.Rename(from, to)
}

// remove takes a file away, also out of a folder that its owner couldn't write in.
func remove(name string) error {
	err := os.Remove(name)
	if errors.Is(err, fs.ErrPermission) {
		os.Chmod(filepath.Dir(name), 0o700)
		err = os.Remove(name)
	}
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}

// removeFolders removes the empty folders in a folder, the deepest first, and at last the folder itself.
func removeFolders(folder string, itself bool) error {
	var folders []string
	err := filepath.WalkDir(folder, func(name string, d fs.DirEntry, err error) error {
		if err == nil && d.IsDir() && (itself || name != folder) {
			folders = append(folders, name)
		}
		return err
	})
	slices.Reverse(folders)
	for _, name := range folders {
		err = errors.Join(err, remove(name))
	}
	return err
}

// folder makes a folder of the new site, with the group and rights of the earlier site's.
func (w *Writing) folder(name string) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.makeFolder(name)
}

func (w *Writing) makeFolder(name string) error {
	if name == "." || w.folders[name] {
		return nil
	}
	if err := w.makeFolder(path.Dir(name)); err != nil {
		return err
	}
	to := filepath.Join(w.half(), filepath.FromSlash(name))
	if err := os.Mkdir(to, 0o777); err != nil {
		return err
	}
	w.folders[name] = true
	return w.asBefore(name, 0o700)
}

// asBefore gives a file or folder of the new site the group and rights of the earlier one of that name, if there is
// one, and beside those the rights that are needed to go on writing.
func (w *Writing) asBefore(name string, beside fs.FileMode) error {
	made := filepath.Join(w.half(), filepath.FromSlash(name))
	was, err1 := os.Lstat(filepath.Join(w.target, filepath.FromSlash(name)))
	is, err2 := os.Lstat(made)
	if errors.Join(err1, err2) != nil || was.Mode().Type() != is.Mode().Type() {
		return nil // nothing of its kind was there
	}
	if err := keepRights(made, was, beside); err != nil {
		return fmt.Errorf("%s can't have the group and the rights that it had: %w", name, err)
	}
	return nil
}
