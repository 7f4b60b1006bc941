package publish

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

type site map[string]string

// put writes a site and commits it.
func put(target string, s site) (Report, error) {
	w, err := Begin(target)
	if err != nil {
		return Report{}, err
	}
	defer w.Abandon()
	for _, name := range sorted(s) {
		if err := w.Put(name, []byte(s[name])); err != nil {
			return Report{}, err
		}
	}
	return w.Commit()
}

// sorted gives an order that is the same each time, so that a test's n-th step is.
func sorted(s site) []string { return slices.Sorted(maps.Keys(s)) }

// look reads a folder back, without the marker.
func look(t *testing.T, target string) site {
	t.Helper()
	s := site{}
	err := filepath.WalkDir(target, func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if rel, _ := filepath.Rel(target, name); !d.IsDir() && rel != Marker {
			data, err := os.ReadFile(name)
			s[filepath.ToSlash(rel)] = string(data)
			return err
		}
		return nil
	})
	require.NoError(t, err)
	return s
}

// alone checks that nothing but the target lies in its folder.
func alone(t *testing.T, target string) {
	t.Helper()
	entries, err := os.ReadDir(filepath.Dir(target))
	require.NoError(t, err)
	require.Len(t, entries, 1)
}

var (
	first  = site{"index.html": "one", "studies/a.html": "A", "studies/b.html": "B", "old/only.html": "gone soon"}
	second = site{"index.html": "two", "studies/a.html": "A", "studies/b.html": "BB", "new.html": "new"}
)

func TestWrite(t *testing.T) {
	target := filepath.Join(t.TempDir(), "deep", "out")
	report, err := put(target, first)
	require.NoError(t, err)
	assert.Equal(t, Report{Files: 4}, report)
	assert.Equal(t, first, look(t, target))
	alone(t, target)

	past := time.Date(2020, 1, 2, 3, 4, 5, 0, time.UTC)
	for name := range first {
		require.NoError(t, os.Chtimes(filepath.Join(target, name), past, past))
	}
	report, err = put(target, second)
	require.NoError(t, err)
	assert.Equal(t, Report{Files: 4, Unchanged: 1, Removed: 1}, report)
	assert.Equal(t, second, look(t, target))
	alone(t, target)
	for name, same := range map[string]bool{"studies/a.html": true, "index.html": false, "studies/b.html": false} {
		info, err := os.Stat(filepath.Join(target, name))
		require.NoError(t, err)
		assert.Equal(t, same, info.ModTime().Equal(past), name)
	}

	// The very same site: not even the folder is touched.
	before, err := os.Stat(target)
	require.NoError(t, err)
	report, err = put(target, second)
	require.NoError(t, err)
	assert.Equal(t, Report{Files: 4, Unchanged: 4}, report)
	after, err := os.Stat(target)
	require.NoError(t, err)
	assert.True(t, os.SameFile(before, after))
	assert.Equal(t, before.ModTime(), after.ModTime())
}

func TestAbandon(t *testing.T) {
	target := filepath.Join(t.TempDir(), "out")
	_, err := put(target, first)
	require.NoError(t, err)
	w, err := Begin(target)
	require.NoError(t, err)
	require.NoError(t, w.Put("index.html", []byte("half")))
	w.Abandon()
	w.Abandon()
	assert.Equal(t, first, look(t, target))
	alone(t, target)
}

func TestForeignFoldersStay(t *testing.T) {
	for name, prepare := range map[string]func(target string){
		"a file":           func(target string) { os.WriteFile(target, []byte("x"), 0o644) },
		"a folder":         func(target string) { os.Mkdir(target, 0o755); os.WriteFile(target+"/mine.txt", []byte("x"), 0o644) },
		"a folder below":   func(target string) { os.MkdirAll(target+"/sub", 0o755); os.WriteFile(target+"/sub/mine", nil, 0o644) },
		"a link in it":     func(target string) { os.Mkdir(target, 0o755); os.Symlink("/", target+"/link") },
		"added to ours":    func(target string) { put(target, first); os.WriteFile(target+"/CNAME", []byte("x"), 0o644) },
		"added below ours": func(target string) { put(target, first); os.WriteFile(target+"/studies/mine.txt", nil, 0o644) },
		"a dangling link":  func(target string) { os.Symlink("nowhere", target) },
	} {
		t.Run(name, func(t *testing.T) {
			target := filepath.Join(t.TempDir(), "out")
			prepare(target)
			before, _ := os.Lstat(target)
			assert.Error(t, Check(target))
			_, err := put(target, second)
			require.Error(t, err)
			assert.Contains(t, err.Error(), "out")
			after, statErr := os.Lstat(target)
			require.NoError(t, statErr)
			assert.True(t, os.SameFile(before, after))
			alone(t, target)
		})
	}
	assert.Error(t, Check("/"))
}

func TestAllowedFolders(t *testing.T) {
	for name, prepare := range map[string]func(target string){
		"none":  func(target string) {},
		"empty": func(target string) { os.Mkdir(target, 0o755) },
		"ours":  func(target string) { put(target, first) },
		"ours, looked at": func(target string) {
			put(target, first)
			os.WriteFile(target+"/studies/.DS_Store", nil, 0o644)
		},
		"ours, partly deleted": func(target string) { put(target, first); os.Remove(target + "/index.html") },
		"ours, edited":         func(target string) { put(target, first); os.WriteFile(target+"/index.html", []byte("edited"), 0o644) },
	} {
		t.Run(name, func(t *testing.T) {
			target := filepath.Join(t.TempDir(), "out")
			prepare(target)
			require.NoError(t, Check(target))
			_, err := put(target, second)
			require.NoError(t, err)
			assert.Equal(t, second, look(t, target))
		})
	}
}

func TestThroughLink(t *testing.T) {
	dir := t.TempDir()
	real := filepath.Join(dir, "real")
	link := filepath.Join(dir, "link")
	require.NoError(t, os.Mkdir(real, 0o755))
	require.NoError(t, os.Symlink("real", link))
	_, err := put(link, first)
	require.NoError(t, err)
	assert.Equal(t, first, look(t, real))
	info, err := os.Lstat(link)
	require.NoError(t, err)
	assert.NotZero(t, info.Mode()&fs.ModeSymlink, "the link itself stays")
}

func TestBadNames(t *testing.T) {
	w, err := Begin(filepath.Join(t.TempDir(), "out"))
	require.NoError(t, err)
	defer w.Abandon()
	for _, name := range []string{"../x", "/x", "", ".", "a/../b", Marker, "a//b"} {
		assert.Error(t, w.Put(name, nil), name)
	}
	require.NoError(t, w.Put("Caster.html", nil))
	assert.EqualError(t, w.Put("caster.html", nil), "two files of the site would have one name: Caster.html and caster.html")
}

func TestOneAtATime(t *testing.T) {
	target := filepath.Join(t.TempDir(), "out")
	w, err := Begin(target)
	require.NoError(t, err)
	_, err = Begin(target)
	assert.ErrorContains(t, err, "another process is writing")
	w.Abandon()
	_, err = put(target, first)
	assert.NoError(t, err)
}

// Whatever step fails (a full disk, a folder that may not be written), the earlier site stays.
func TestFailingSteps(t *testing.T) {
	whole := exchange
	defer func() { exchange = whole; step = func(string) error { return nil } }()
	for _, atOnce := range []bool{true, false} {
		exchange = func(a, b string) error { return errors.ErrUnsupported }
		if atOnce {
			exchange = whole
		}
		full := errors.New("no space left on device")
		failed := 0
		for at := 0; ; at++ {
			target := filepath.Join(t.TempDir(), "out")
			step = func(string) error { return nil }
			_, err := put(target, first)
			require.NoError(t, err)
			n := 0
			step = func(string) error {
				if n++; n == at+1 {
					return full
				}
				return nil
			}
			_, err = put(target, second)
			alone(t, target)
			if err == nil {
				assert.Equal(t, second, look(t, target))
				if n < at+1 {
					break
				}
				continue // the step that failed was the tidying up
			}
			failed++
			assert.ErrorIs(t, err, full)
			if strings.Contains(err.Error(), "the new site is in its place") {
				assert.Equal(t, second, look(t, target))
			} else {
				assert.Equal(t, first, look(t, target))
			}
		}
		assert.GreaterOrEqual(t, failed, 7)
	}
}

// A disk that is really full, or a folder that can't be made.
func TestRealFailures(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o644))
	_, err := put(filepath.Join(file, "out"), first)
	assert.Error(t, err)
	_, err = put("/proc/turnplate/out", first)
	assert.Error(t, err)
}

// BenchmarkUnchanged publishes 500 pages of which none changed; BenchmarkNew writes them all.
func BenchmarkUnchanged(b *testing.B) {
	target := filepath.Join(b.TempDir(), "out")
	s := pages()
	if _, err := put(target, s); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := put(target, s); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkNew(b *testing.B) {
	dir := b.TempDir()
	s := pages()
	n := 0
	for b.Loop() {
		n++
		if _, err := put(filepath.Join(dir, fmt.Sprint(n)), s); err != nil {
			b.Fatal(err)
		}
	}
}

func pages() site {
	s := site{}
	for i := range 500 {
		s[fmt.Sprintf("studies/%d.html", i)] = strings.Repeat(fmt.Sprint(i), 10000)
	}
	return s
}
