//go:build !linux

package publish

import "errors"

// exchange swaps two folders in one step.
var exchange = func(a, b string) error { return errors.ErrUnsupported }
