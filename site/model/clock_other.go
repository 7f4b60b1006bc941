//go:build !linux

package model

import "time"

var start = time.Now()

// clock reads the time, where a thread's own can't be had.
func clock() time.Duration { return time.Since(start) }
