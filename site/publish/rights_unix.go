//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package publish

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"syscall"

	"golang.org/x/sys/unix"
)

// rights are the bits of a mode that say who may do what, and which group new files get.
const rights = fs.ModePerm | fs.ModeSetuid | fs.ModeSetgid | fs.ModeSticky

// keepRights gives a file or folder the group and the access rights of the one that it will replace, and further rights
// beside them.
func keepRights(name string, was fs.FileInfo, beside fs.FileMode) error {
	is, err := os.Lstat(name)
	if err != nil {
		return err
	}
	if a, b := groupOf(is), groupOf(was); a != b {
		if err := os.Lchown(name, -1, b); err != nil {
			return err
		}
	}
	return os.Chmod(name, was.Mode()&rights|beside)
}

func groupOf(info fs.FileInfo) int { return int(info.Sys().(*syscall.Stat_t).Gid) }

// mayKeepGroup says whether this process may give files the group of a folder.
func mayKeepGroup(info fs.FileInfo) error {
	group := groupOf(info)
	groups, err := os.Getgroups()
	if err != nil || os.Geteuid() == 0 || group == os.Getegid() || slices.Contains(groups, group) {
		return nil
	}
	return fmt.Errorf("its group (number %d) is none of yours, so a new folder can't have it", group)
}

// mayWrite says whether this process may make files in a folder.
func mayWrite(folder string) error { return unix.Access(folder, unix.W_OK|unix.X_OK) }

// onAnotherDevice finds most mount points: they lie on another device than the folder around them.
func onAnotherDevice(folder string) bool {
	in, err1 := os.Lstat(folder)
	out, err2 := os.Lstat(filepath.Dir(folder))
	return errors.Join(err1, err2) == nil && in.Sys().(*syscall.Stat_t).Dev != out.Sys().(*syscall.Stat_t).Dev
}
