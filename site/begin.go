package site

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"turnplate/site/starter"
)

// Begin writes the starter collection to a new or empty folder and gives the names of its files. If it fails half way, it
// removes what it wrote, unless somebody else is filling the folder at the same time.
func Begin(folder string) (files []string, err error) {
	entries, err := os.ReadDir(folder)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return nil, Misuse{fmt.Errorf("%s is not a folder", folder)}
	case len(entries) > 0:
		return nil, Misuse{fmt.Errorf("%s is not empty; name a new folder", folder)}
	}
	err = fs.WalkDir(starter.FS, ".", func(name string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			files = append(files, filepath.FromSlash(name))
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	err = os.CopyFS(folder, starter.FS)
	if err != nil && !errors.Is(err, fs.ErrExist) { // a file that has come into the folder meanwhile is somebody else's
		for _, name := range files {
			os.Remove(filepath.Join(folder, name))
		}
	}
	return files, err
}
