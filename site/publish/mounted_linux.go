package publish

import "golang.org/x/sys/unix"

// mounted says whether a folder is a mount point. The kernel knows (statx(2), since Linux 5.8), even of a folder that
// is mounted from the same device.
func mounted(folder string) bool {
	var s unix.Statx_t
	if unix.Statx(unix.AT_FDCWD, folder, unix.AT_SYMLINK_NOFOLLOW, 0, &s) == nil && s.Attributes_mask&unix.STATX_ATTR_MOUNT_ROOT != 0 {
		return s.Attributes&unix.STATX_ATTR_MOUNT_ROOT != 0
	}
	return onAnotherDevice(folder)
}
