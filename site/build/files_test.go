package build

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A site whose files couldn't all be there on some file system is a mistake where they are named.
func TestFilesElsewhere(t *testing.T) {
	const png = "\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\x00\x01\x00\x00\x00\x01\x08\x06\x00\x00\x00\x1f\x15\xc4\x89"
	const curve = "# Arms\n\n```go params\nx := span(0*deg, 8*deg, 9)\nCurves{Title: \"A line\", X: x, Y: x}\n```\n"
	long := strings.Repeat("a", 245)
	fsys := files("a.md", "# A\n\nSee ![p](pics/pivot.png) and ![q](Pics/pivot.png), ![p](pics/pivot.png), [c](aux.csv), [d](B-Figure-1.csv).\n",
		"b.md", curve, long+".md", curve, "pics/pivot.png", png, "Pics/pivot.png", png, "aux.csv", "a\n", "B-Figure-1.csv", "a\n")
	var got []string
	for _, f := range evaluated(t, fsys).Faults {
		got = append(got, f.Error())
	}
	assert.Equal(t, []string{
		"a.md:3:35: Pics/pivot.png would lie beside pics/pivot.png in the site, and the names differ in capitals alone (give one of them another name)",
		"a.md:3:78: aux.csv: Windows keeps the name aux for a device, with any ending, so no file or folder can have it there",
		"a.md:3:92: B-Figure-1.csv would lie beside b-figure-1.csv in the site, and the names differ in capitals alone (give one of them another name)",
		long + ".md: the site's file aaaaaaaaaaaaaaaaaaaa…aa-figure-1.csv would have a name of 258 bytes, and file systems take 255 (give the notebook another name)",
	}, got)
}
