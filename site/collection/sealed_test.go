//go:build unix

package collection

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A folder of the file system: nothing outside it can be reached, and nothing in it can keep us waiting.
func TestFolderIsSealed(t *testing.T) {
	dir := t.TempDir()
	secret := filepath.Join(dir, "secret")
	require.NoError(t, os.MkdirAll(filepath.Join(secret, "deep"), 0o755))
	for _, name := range []string{"a.md", "data.csv", "deep/b.md"} {
		require.NoError(t, os.WriteFile(filepath.Join(secret, name), []byte("secret"), 0o644))
	}
	home := filepath.Join(dir, "home")
	require.NoError(t, os.MkdirAll(filepath.Join(home, "real"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(home, "a.md"), []byte("# A"), 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(home, "real", "b.md"), []byte("# B"), 0o644))
	for link, to := range map[string]string{
		"out.md": "../secret/a.md", "abs.md": filepath.Join(secret, "a.md"), "out.csv": "../secret/data.csv", "outfolder": "../secret",
		"inside.md": "real/b.md", "loop": ".", "self.md": "self.md", "gone.md": "nowhere.md",
	} {
		require.NoError(t, os.Symlink(to, filepath.Join(home, link)))
	}
	require.NoError(t, syscall.Mkfifo(filepath.Join(home, "pipe.md"), 0o644))
	require.NoError(t, syscall.Mkfifo(filepath.Join(home, "pipe.csv"), 0o644))
	require.NoError(t, os.Mkdir(filepath.Join(home, "folder.csv"), 0o755))

	c, err := OpenFolder(home)
	require.NoError(t, err)
	defer c.Close()
	assert.Equal(t, []string{"a", "inside", "real/b"}, c.Paths())
	var got []string
	for _, f := range c.Faults {
		got = append(got, f.Error())
	}
	assert.Equal(t, []string{
		"abs.md: it leads outside the collection", "gone.md: there is no such file", "out.md: it leads outside the collection",
		"pipe.md: it is not a file", "self.md: too many levels of symbolic links",
	}, got)
	for name, want := range map[string]string{
		"out.csv": "it leads outside the collection", "../secret/data.csv": "it is outside the collection", "outfolder/data.csv": "it leads outside the collection",
		"pipe.csv": "it is not a file", "folder.csv": "it is not a file", "/etc/passwd": "it is outside the collection", "real/../../x": "it is outside the collection",
	} {
		_, err := c.File(name)
		assert.EqualError(t, err, want, name)
	}
}
