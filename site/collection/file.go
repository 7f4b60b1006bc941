package collection

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"

	"turnplate/site/diag"
)

// File reads a file by its path from the root.
func (c *Collection) File(name string) ([]byte, error) {
	data, err := c.read(name, MaxFile+1)
	if err == nil && len(data) > MaxFile {
		err = fmt.Errorf("it is larger than %d MiB", MaxFile>>20)
	}
	return data, err
}

// Stamp is a short text that changes when a file does.
func (c *Collection) Stamp(name string) string {
	info, err := fs.Stat(c.files, name)
	if err != nil {
		return ""
	}
	return fmt.Sprintf("%x-%x", info.Size(), info.ModTime().UnixNano())
}

// read gives a regular file's bytes, limit at most. The errors are worded for a reader, who knows the
// file's name already.
func (c *Collection) read(name string, limit int64) ([]byte, error) {
	if !fs.ValidPath(name) {
		return nil, errors.New("it is outside the collection")
	}
	info, err := fs.Stat(c.files, name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if near := c.nearFile(name); near != "" {
			return nil, reason{"there is no such file", "did you mean " + near + "?"}
		}
		return nil, errors.New("there is no such file")
	case err != nil:
		return nil, plain(err)
	case !info.Mode().IsRegular(): // a pipe or a device would keep us waiting
		return nil, errors.New("it is not a file")
	}
	f, err := c.files.Open(name)
	if err != nil {
		return nil, plain(err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, limit))
	return data, plain(err)
}

// plain takes the operation and the path off an error. What os.Root refuses leads outside the folder.
func plain(err error) error {
	var p *fs.PathError
	if !errors.As(err, &p) {
		return err
	}
	if strings.Contains(p.Err.Error(), "escapes") {
		return errors.New("it leads outside the collection")
	}
	return p.Err
}

// nearFile gives the name nearest to a missing one in the same folder.
func (c *Collection) nearFile(name string) string {
	entries, err := fs.ReadDir(c.files, path.Dir(name))
	if err != nil {
		return ""
	}
	var names []string
	for _, e := range entries {
		full := path.Join(path.Dir(name), e.Name())
		if e.Type().IsRegular() && !strings.HasPrefix(e.Name(), ".") && full != name {
			names = append(names, full)
		}
	}
	return diag.Nearest(name, names)
}

// What a page may carry along. An SVG file isn't carried: opened by itself it is a page of its own, which may
// run script and ask other hosts. It is drawn into the page instead, once it is known to do neither (sketch.go).
// Files of other kinds are refused for the same reason, unless a browser takes them for plain text.
var (
	pictures = map[string]string{".png": "png", ".jpg": "jpeg", ".jpeg": "jpeg", ".gif": "gif", ".webp": "webp"} // kinds by ending
	texts    = []string{".csv", ".txt"}
)

// pictureKind is the kind of picture that a name says a file is, as package image calls it, or "".
func pictureKind(name string) string { return pictures[strings.ToLower(path.Ext(name))] }

// checkFile refuses a file that a page may not carry.
func (c *Collection) checkFile(name string, picture bool) error {
	if bad := badName(name); bad != "" {
		return errors.New(bad)
	}
	if reserved(name) {
		return fmt.Errorf("a site keeps its own files in the folder %s", Reserved)
	}
	ext, isPicture := strings.ToLower(path.Ext(name)), pictureKind(name) != ""
	switch {
	case IsSketch(name) && !picture:
		return reason{"an SVG picture is drawn into its page, and no file of the site", "show it as ![what it shows](file)"}
	case IsSketch(name):
	case picture && !isPicture:
		return errors.New("pictures are PNG, JPEG, GIF, WebP or SVG")
	case !isPicture && !slices.Contains(texts, ext):
		return fmt.Errorf("files that end in %q are not copied, only pictures, .csv and .txt", ext)
	}
	return c.check(name).err
}

// checked is what looking into a file came to.
type checked struct {
	Picture
	err error
}

// check looks into a file, once: it may be shown many times.
func (c *Collection) check(name string) checked {
	if known, ok := c.checked.Load(name); ok {
		return known.(checked)
	}
	var found checked
	var data []byte
	data, found.err = c.File(name)
	kind := pictureKind(name)
	switch {
	case found.err != nil:
	case IsSketch(name):
		found.Sketch, found.Width, found.Height, found.err = sketched(data)
	case kind != "":
		found.Width, found.Height, found.err = size(kind, data)
	}
	c.checked.Store(name, found)
	return found
}
