package sim

import "embed"

// Source is this package's own Go text, from whose doc comments the reference pages are written.
//
//go:embed *.go
var Source embed.FS
