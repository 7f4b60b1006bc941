package collection

import (
	"path"
	"strings"
)

// Sketch is a picture drawn by hand as SVG: not a file beside the page but a part of it, so that its texts are texts
// and its colours follow the page's. It is written anew from what the lists in sketched.go name, and a file that holds
// anything else is refused: an SVG file from a stranger may hold script, and fetch what it likes from elsewhere.
// The text is empty for every other file.
func (c *Collection) Sketch(name string) string { return c.check(name).Sketch }

// IsSketch says whether a file is such a picture, by its ending.
func IsSketch(name string) bool { return strings.EqualFold(path.Ext(name), ".svg") }
