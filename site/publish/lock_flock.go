//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package publish

import (
	"os"
	"syscall"
)

// lock takes a file for this process until it is closed or the process ends, however it ends.
func lock(name string) (*os.File, error) {
	f, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE, 0o666)
	if err != nil {
		return nil, err
	}
	if err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		f.Close()
		return nil, err
	}
	return f, nil
}
