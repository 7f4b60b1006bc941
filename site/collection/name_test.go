package collection

import (
	"errors"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Names that are another's, or none, on some file system are mistakes of the notebook that has them.
func TestNamesElsewhere(t *testing.T) {
	const composed, parted = "stra\u00dfe/gr\u00f6\u00dfe", "stra\u00dfe/gro\u0308\u00dfe"
	long := strings.Repeat("a", 250)
	c := open(t, "a.md", "", "A.md", "", composed+".md", "", parted+".md", "", "Strasse/x.md", "", "STRASSE/y.md", "",
		"aux.md", "", "con.2026/x.md", "", "Lpt1 .md", "", "console.md", "", "dot./x.md", "", "space /x.md", "", long+"x.md", "", long[:200]+".md", "",
		strings.Repeat(strings.Repeat("b", 99)+"/", 9)+"x.md", "")
	var got []string
	for _, f := range c.Faults {
		got = append(got, f.Error())
	}
	assert.ElementsMatch(t, []string{
		"a.md: the name differs from A.md in capitals alone",
		composed + ".md: the name differs from " + parted + ".md in how its accents are written alone",
		"Strasse/x.md: the name of the folder Strasse differs from that of STRASSE in capitals alone",
		parted + ".md: the name of the folder stra\u00dfe differs from that of Strasse in capitals alone",
		"aux.md: Windows keeps the name aux for a device, with any ending, so no file or folder can have it there",
		"con.2026/x.md: Windows keeps the name con for a device, with any ending, so no file or folder can have it there",
		"Lpt1 .md: Windows keeps the name Lpt1  for a device, with any ending, so no file or folder can have it there",
		`dot./x.md: the name "dot." ends in a space or a full stop, which Windows takes off`,
		`space /x.md: the name "space " ends in a space or a full stop, which Windows takes off`,
		long + "x.md: the site's file aaaaaaaaaaaaaaaaaaaa…aaaaaaaaax.html would have a name of 256 bytes, and file systems take 255",
		strings.Repeat(strings.Repeat("b", 99)+"/", 9) + "x.md: the site's file x.html would have a path of 906 bytes, and a site may have 900",
	}, got)
}

// Names that Windows keeps aren't kept as parts of others.
func TestDevices(t *testing.T) {
	for _, name := range []string{"CON", "prn", "Aux ", "nul  ", "COM0", "com9", "lpt³", "LPT1 "} {
		assert.True(t, isDevice(name), name)
	}
	for _, name := range []string{"", "CO", "com", "LPT", "com10", "com٣", "lpt 1", " con", "conn", "auxil", "complt1"} {
		assert.False(t, isDevice(name), name)
	}
}

// shut is a file system with a folder that can't be read.
type shut struct {
	fstest.MapFS
	folder string
}

func (s shut) ReadDir(name string) ([]fs.DirEntry, error) {
	if name == s.folder {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrPermission}
	}
	return s.MapFS.ReadDir(name)
}

// A folder that can't be read is a mistake beside others, not in their place.
func TestUnreadableFolder(t *testing.T) {
	files := fstest.MapFS{"a.md": {}, "b.md": {Data: []byte("{")}, "shut/c.md": {}, "aux/d.md": {}}
	c, err := Open(shut{files, "shut"}, "notes")
	require.NoError(t, err)
	require.Len(t, c.Faults, 2)
	assert.Equal(t, "shut: the folder can't be read: permission denied (give yourself the right to read it, or a name that starts with an underscore to leave it out)", c.Faults[1].Error())
	assert.Equal(t, []string{"a", "b"}, c.Paths())
	_, err = Open(shut{files, "."}, "notes")
	assert.True(t, errors.Is(err, fs.ErrPermission), "without the folder itself there is nothing to look at")
}
