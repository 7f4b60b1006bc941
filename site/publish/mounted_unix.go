//go:build darwin || dragonfly || freebsd || netbsd || openbsd

package publish

func mounted(folder string) bool { return onAnotherDevice(folder) }
