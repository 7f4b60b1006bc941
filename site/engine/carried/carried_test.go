package carried

import (
	"compress/gzip"
	"encoding/base64"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is checked in is what the sources give. Compiling takes a minute, and the program is renewed at the end of a piece of
// work, so only .ci/run asks for it.
func TestCarriedIsMadeOfTheSources(t *testing.T) {
	if os.Getenv("TURNPLATE_PROGRAM") == "" {
		t.Skip("set TURNPLATE_PROGRAM=1 to compile the program again")
	}
	folder := t.TempDir()
	out, err := exec.Command("go", "run", "turnplate/site/engine/make", "-to", folder).CombinedOutput()
	require.NoError(t, err, "%s", out)
	for _, name := range []string{"program.bin", "wasm_exec.js"} {
		want, err := os.ReadFile(filepath.Join(folder, name))
		require.NoError(t, err)
		have, err := os.ReadFile(filepath.Join("parts", name))
		require.NoError(t, err)
		assert.True(t, string(want) == string(have), "%s isn't what the sources give: run go generate ./site/engine/carried", name)
	}
}

// The most that a reader waits for, in bytes.
const most = 6 << 20

func TestCarried(t *testing.T) {
	assert.Less(t, len(program), most)
	files := Offer()([]byte("notebooks"))
	assert.Contains(t, string(files["engine.js"]), "The Go Authors", "what starts the program comes with its notice")
	text, found := strings.CutPrefix(string(files["notebooks.js"]), "turnplateCarried.notebooks = `\n")
	require.True(t, found)
	z, err := gzip.NewReader(base64.NewDecoder(base64.StdEncoding, strings.NewReader(strings.TrimSuffix(text, "`;\n"))))
	require.NoError(t, err)
	notebooks, err := io.ReadAll(z)
	require.NoError(t, err)
	assert.Equal(t, "notebooks", string(notebooks))
	assert.Equal(t, program, files["program.bin"])
	for name, text := range files {
		if filepath.Ext(name) != ".js" {
			continue
		}
		for _, line := range strings.Split(string(text), "\n") {
			assert.Less(t, len(line), 160, name)
		}
	}
}
