// Package notebooks is the demo collection, so that the program can write its site on a machine that has
// nothing but the program. The Corrie and all that is said of it are invented.
package notebooks

import "embed"

// FS holds the demo's notebooks, readings and pictures.
//
//go:embed *
var FS embed.FS
