package npmtest

import (
	"archive/tar"
	"compress/gzip"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestUnpack(t *testing.T) {
	packed := filepath.Join(t.TempDir(), "tool-1.0.0.tgz")
	file, err := os.Create(packed)
	require.NoError(t, err)
	plain := gzip.NewWriter(file)
	archive := tar.NewWriter(plain)
	for _, name := range []string{"package/package.json", "package/build/tool.js", "package/../../evil"} {
		require.NoError(t, archive.WriteHeader(&tar.Header{Name: name, Mode: 0o600, Size: int64(len(name))}))
		_, err := archive.Write([]byte(name))
		require.NoError(t, err)
	}
	require.NoError(t, archive.Close())
	require.NoError(t, plain.Close())
	require.NoError(t, file.Close())

	to := filepath.Join(t.TempDir(), "tool-1.0.0", "build", "tool.js")
	require.NoError(t, unpack(packed, "package/build/tool.js", to))
	text, err := os.ReadFile(to)
	require.NoError(t, err)
	assert.Equal(t, "package/build/tool.js", string(text))
	left, err := os.ReadDir(filepath.Dir(to))
	require.NoError(t, err)
	assert.Len(t, left, 1, "nothing else is left there")

	missing := filepath.Join(t.TempDir(), "other.js")
	assert.ErrorContains(t, unpack(packed, "package/other.js", missing), "no package/other.js in tool-1.0.0.tgz")
	assert.NoFileExists(t, missing)
	require.NoError(t, os.WriteFile(packed, []byte("not a package"), 0o600))
	assert.Error(t, unpack(packed, "package/build/tool.js", missing))
}
