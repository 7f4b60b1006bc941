//go:build !(darwin || dragonfly || freebsd || linux || netbsd || openbsd)

package publish

import "os"

// lock only makes the file: these systems keep no lock that a crash is sure to release, and a lock that
// outlives a crash would be worse than none.
func lock(name string) (*os.File, error) { return os.OpenFile(name, os.O_RDWR|os.O_CREATE, 0o666) }
