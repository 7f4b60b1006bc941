//go:build !linux

package model

import "time"

var start = time.Now()

// clock reads the time that has passed: on this system a thread's processor time can't be read.
func clock() time.Duration { return time.Since(start) }
