//go:build !linux

package publish

import "os"

// What is swapped in must be on the disk, or a power cut soon after could leave empty pages.

func syncFile(f *os.File) error { return f.Sync() }

func syncFolder(string) error { return nil }
