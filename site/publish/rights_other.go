//go:build !(darwin || dragonfly || freebsd || linux || netbsd || openbsd)

package publish

import "io/fs"

// Where rights are lists that a folder hands down to what is made in it, there is nothing to keep by hand, and what
// can't be written or exchanged is told when it is tried.

func keepRights(string, fs.FileInfo, fs.FileMode) error { return nil }

func mayKeepGroup(fs.FileInfo) error { return nil }

func mayWrite(string) error { return nil }

func mounted(string) bool { return false }
