// Package npmtest fetches a test's tool from the npm registry, at a fixed version, and keeps it in the user's
// cache: tools that only tests run don't belong into the repository.
package npmtest

import (
	"archive/tar"
	"compress/gzip"
	"context"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// patience is long enough for a slow line, and short enough that a test says what it waits for.
const patience = 3 * time.Minute

// File gives the place of one file of a package, such as "axe.min.js" of axe-core. The registry's client
// checks what it fetches against the registry's digest. Without the client or the registry the test is
// skipped, unless CI says that it must run.
func File(t testing.TB, name, version, file string) string {
	t.Helper()
	cache, err := os.UserCacheDir()
	if err != nil {
		cache = os.TempDir()
	}
	folder := filepath.Join(cache, "turnplate-tests", name+"-"+version)
	kept := filepath.Join(folder, filepath.FromSlash(file))
	if _, err := os.Stat(kept); err == nil {
		return kept
	}
	if err := fetch(t, name, version, file, kept); err != nil {
		Missing(t, "%s %s can't be had: %v", name, version, err)
	}
	return kept
}

// Missing skips a test that lacks a tool, or fails it where CI says that it must run.
func Missing(t testing.TB, format string, values ...any) {
	t.Helper()
	if os.Getenv("CI") == "true" {
		t.Fatalf(format+"; CI must run this test", values...)
	}
	t.Skipf(format, values...)
}

func fetch(t testing.TB, name, version, file, kept string) error {
	ctx, stop := context.WithTimeout(context.Background(), patience)
	defer stop()
	folder := t.TempDir()
	npm := exec.CommandContext(ctx, "npm", "pack", "--silent", "--ignore-scripts", name+"@"+version)
	npm.Dir = folder
	if out, err := npm.CombinedOutput(); err != nil {
		return errors.Join(err, errors.New(strings.TrimSpace(string(out))))
	}
	packed, err := filepath.Glob(filepath.Join(folder, "*.tgz"))
	if err != nil || len(packed) != 1 {
		return errors.Join(errors.New("npm pack made no package"), err)
	}
	return unpack(packed[0], "package/"+file, kept)
}

// unpack takes one file out of a package. It takes its place in one step, so that another test running
// meanwhile sees all of it or nothing.
func unpack(packed, member, to string) error {
	in, err := os.Open(packed)
	if err != nil {
		return err
	}
	defer in.Close()
	plain, err := gzip.NewReader(in)
	if err != nil {
		return err
	}
	for archive := tar.NewReader(plain); ; {
		head, err := archive.Next()
		if err != nil {
			return errors.Join(errors.New("no "+member+" in "+filepath.Base(packed)), err)
		}
		if head.Name != member {
			continue
		}
		if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
			return err
		}
		out, err := os.CreateTemp(filepath.Dir(to), ".new-*")
		if err != nil {
			return err
		}
		defer os.Remove(out.Name())
		_, err = io.Copy(out, archive)
		if err := errors.Join(err, out.Close()); err != nil {
			return err
		}
		return os.Rename(out.Name(), to)
	}
}
