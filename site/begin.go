package site

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"turnplate/site/starter"
)

// Begin writes the starter collection to a new or empty folder and gives the names of its files. If it
// fails half way, it removes what it wrote.
func Begin(folder string) (files []string, err error) {
	entries, err := os.ReadDir(folder)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return nil, Misuse{fmt.Errorf("%s is not a folder", folder)}
	case len(entries) > 0:
		return nil, Misuse{fmt.Errorf("%s is not empty; name a new folder", folder)}
	}
	defer func() {
		if err != nil {
			for _, name := range files {
				os.Remove(filepath.Join(folder, name))
			}
		}
	}()
	err = fs.WalkDir(starter.FS, ".", func(name string, d fs.DirEntry, err error) error {
		to := filepath.Join(folder, filepath.FromSlash(name))
		switch {
		case err != nil:
			return err
		case d.IsDir():
			return os.MkdirAll(to, 0o777)
		case filepath.Ext(name) == ".go":
			return nil
		}
		data, err := fs.ReadFile(starter.FS, name)
		if err != nil {
			return err
		}
		f, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		if err != nil {
			return err
		}
		files = append(files, filepath.FromSlash(name))
		_, err = f.Write(data)
		return errors.Join(err, f.Close())
	})
	return files, err
}
