//go:build linux

package publish

import (
	"fmt"
	"io/fs"
	"math/rand"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Files that come into the folder while a site is written are there afterwards, wherever in the work they come.
func TestFilesThatAppear(t *testing.T) {
	whole := exchange
	defer func() { exchange = whole; step = func(string) error { return nil } }()
	for _, atOnce := range []bool{true, false} {
		if !atOnce {
			exchange = func(a, b string) error { return fmt.Errorf("not here") }
		}
		target := filepath.Join(t.TempDir(), "out")
		_, err := put(target, first)
		require.NoError(t, err)
		drop := func(when string) func(string) error {
			return func(what string) error {
				if what != when {
					return nil
				}
				os.MkdirAll(filepath.Join(target, "deep/er"), 0o755)
				os.Symlink("/", filepath.Join(target, "link"))
				return os.WriteFile(filepath.Join(target, "deep/er/mine.txt"), []byte("mine"), 0o640)
			}
		}
		step = drop("write the marker")
		report, err := put(target, second)
		require.NoError(t, err)
		assert.Equal(t, []string{"deep/er/mine.txt", "link"}, report.Kept)
		assert.Equal(t, "mine", read(t, target, "deep/er/mine.txt"))
		assert.Equal(t, "two", read(t, target, "index.html"))
		alone(t, target)
		step = func(string) error { return nil }
		_, err = put(target, first)
		assert.ErrorContains(t, err, "files that Turnplate did not write (deep/er/mine.txt, link)")
		os.Remove(filepath.Join(target, "link"))
		os.RemoveAll(filepath.Join(target, "deep"))

		// Before the Commit the site isn't written at all.
		w, err := Begin(target)
		require.NoError(t, err)
		require.NoError(t, w.Put("index.html", []byte("three")))
		require.NoError(t, os.WriteFile(filepath.Join(target, "mine.txt"), nil, 0o644))
		_, err = w.Commit()
		assert.ErrorContains(t, err, "files that Turnplate did not write (mine.txt)")
		assert.Equal(t, "two", read(t, target, "index.html"))
		require.NoError(t, os.Remove(filepath.Join(target, "mine.txt")))

		// One with the name of a new page stays where it can be found.
		step = func(what string) error {
			if what == "swap" {
				return os.WriteFile(filepath.Join(target, "third.html"), []byte("mine"), 0o644)
			}
			return nil
		}
		_, err = put(target, site{"third.html": "three"})
		step = func(string) error { return nil }
		require.ErrorContains(t, err, "it is kept as ")
		kept := strings.TrimSuffix(err.Error()[strings.Index(err.Error(), "kept as ")+8:], ": move it from there")
		data, readErr := os.ReadFile(kept)
		require.NoError(t, readErr)
		assert.Equal(t, "mine", string(data))
		assert.Equal(t, "three", read(t, target, "third.html"))
		_, err = put(target, first)
		require.ErrorContains(t, err, "it is kept as ", "also at the next start")
		require.NoError(t, os.Remove(kept))
		_, err = put(target, first)
		require.NoError(t, err)
		alone(t, target)
	}
}

// The same at moments of no pattern: a file is made by its path while the folders are exchanged.
func TestFilesThatAppearAnywhere(t *testing.T) {
	target := filepath.Join(t.TempDir(), "out")
	_, err := put(target, first)
	require.NoError(t, err)
	random := rand.New(rand.NewSource(2))
	for round := range 100 {
		made := make(chan error)
		pause := time.Duration(random.Intn(8000)) * time.Microsecond
		name := filepath.Join(target, "studies", fmt.Sprintf("mine-%d.txt", round))
		go func() {
			time.Sleep(pause)
			made <- os.WriteFile(name, []byte("mine"), 0o644)
		}()
		_, err := put(target, larger(20+round%2))
		came := <-made
		if came != nil { // the folder's last moment: whoever writes is told
			require.NoError(t, err)
			continue
		}
		if err != nil {
			require.ErrorContains(t, err, "did not write")
		}
		data, readErr := os.ReadFile(name)
		require.NoError(t, readErr, "round %d", round)
		require.Equal(t, "mine", string(data))
		require.NoError(t, os.Remove(name))
	}
}

func read(t *testing.T, target, name string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(target, name))
	require.NoError(t, err)
	return string(data)
}

// The folder that comes in the place of another has its rights and its group, and so has what is in it.
func TestRightsAreKept(t *testing.T) {
	target := filepath.Join(t.TempDir(), "out")
	_, err := put(target, first)
	require.NoError(t, err)
	group := os.Getegid()
	if os.Geteuid() == 0 {
		group = 4711
	}
	for name, mode := range map[string]fs.FileMode{".": 0o770 | fs.ModeSetgid, "studies": 0o550, "index.html": 0o640, "studies/b.html": 0o600, "studies/a.html": 0o444} {
		require.NoError(t, os.Chown(filepath.Join(target, name), -1, group))
		require.NoError(t, os.Chmod(filepath.Join(target, name), mode))
	}
	content := larger(3)
	for range 2 { // by the second time nothing changes but one file
		_, err = put(target, content)
		require.NoError(t, err)
		assert.Equal(t, content, look(t, target))
		for name, mode := range map[string]fs.FileMode{".": 0o770 | fs.ModeSetgid, "studies": 0o550, "index.html": 0o640, "studies/b.html": 0o600, "studies/a.html": 0o444} {
			info, err := os.Stat(filepath.Join(target, name))
			require.NoError(t, err)
			assert.Equal(t, mode, info.Mode()&rights, name)
			assert.Equal(t, group, groupOf(info), name)
		}
		for _, name := range []string{"new.html", "more", "more/0", "more/0/0.html"} {
			info, err := os.Stat(filepath.Join(target, name))
			require.NoError(t, err)
			assert.Equal(t, group, groupOf(info), "%s, in a folder that hands its group down", name)
		}
		content["index.html"] = "again"
	}
	require.NoError(t, os.Chmod(filepath.Join(target, "studies"), 0o755)) // so that the test's folder can be removed
	alone(t, target)
}

// What stands in the way is told before anything is written.
func TestCheckTells(t *testing.T) {
	assert.ErrorContains(t, Check(""), "the name of the folder to write to is empty")
	assert.ErrorContains(t, Check("/proc"), "/proc is a mount point, which can't be exchanged for a new site as a whole; name a folder in it, such as /proc/site")
	dir := t.TempDir()
	assert.ErrorContains(t, Check(filepath.Join(dir, strings.Repeat("x", 250))), "longer than a folder's may be")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "file"), nil, 0o644))
	assert.ErrorContains(t, Check(filepath.Join(dir, "file", "out")), "not a")

	shut := filepath.Join(dir, "shut")
	require.NoError(t, os.Mkdir(shut, 0o555))
	for _, name := range []string{"out", "sub/out"} {
		assert.Contains(t, checkAsNobody(t, dir, filepath.Join(shut, name)), "nothing can be written in "+shut+" (permission denied); get yourself the right to write there, or name a folder elsewhere")
	}
	if os.Geteuid() == 0 {
		open := filepath.Join(dir, "open")
		require.NoError(t, os.MkdirAll(filepath.Join(open, "out"), 0o777))
		require.NoError(t, os.Chmod(open, 0o777))
		assert.Contains(t, checkAsNobody(t, dir, filepath.Join(open, "out")), "its group (number 0) is none of yours")
	}
	entries, err := os.ReadDir(shut)
	require.NoError(t, err)
	assert.Empty(t, entries)
}

// checkAsNobody says what Check tells somebody who isn't the administrator, whom no right is refused.
func checkAsNobody(t *testing.T, dir, target string) string {
	t.Helper()
	self := filepath.Join(dir, "test")
	if !exists(self) {
		data, err := os.ReadFile(os.Args[0])
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(self, data, 0o755))
		require.NoError(t, os.Chmod(dir, 0o755))
		require.NoError(t, os.Chmod(filepath.Dir(dir), 0o755))
	}
	cmd := exec.Command(self)
	cmd.Dir = "/"
	cmd.Env = append(os.Environ(), "TURNPLATE_TEST_CHECK="+target)
	if os.Geteuid() == 0 {
		cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
	}
	out, err := cmd.CombinedOutput()
	require.NoError(t, err)
	return string(out)
}
