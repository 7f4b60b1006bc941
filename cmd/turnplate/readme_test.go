package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// root is the repository's, as seen from this package.
const root = "../.."

// command is a line of README.md that a reader can type, up to its remark.
var command = regexp.MustCompile(`(?m)^    ((?:go|\./turnplate) [^#\n]*?) *(?:#.*)?$`)

// README's commands, as they are written and in their order, do what it says in a copy of the repository.
func TestReadmeCommands(t *testing.T) {
	if testing.Short() {
		t.Skip("builds a copy of the program")
	}
	readme, err := os.ReadFile(filepath.Join(root, "README.md"))
	require.NoError(t, err)
	copied := t.TempDir()
	for _, name := range []string{"cmd", "sim", "site", "notebooks"} {
		require.NoError(t, os.CopyFS(filepath.Join(copied, name), os.DirFS(filepath.Join(root, name))))
	}
	for _, name := range []string{"go.mod", "go.sum"} {
		data, err := os.ReadFile(filepath.Join(root, name))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(copied, name), data, 0o644))
	}
	var run []string
	for _, found := range command.FindAllStringSubmatch(string(readme), -1) {
		line := found[1]
		run = append(run, line)
		switch {
		case strings.HasPrefix(line, "go test"): // this very run
		case strings.Contains(line, " preview "):
			previews(t, copied, line)
		default:
			cmd := exec.Command(strings.Fields(line)[0], strings.Fields(line)[1:]...)
			cmd.Dir = copied
			out, err := cmd.CombinedOutput()
			require.NoError(t, err, "%s\n%s", line, out)
		}
	}
	assert.GreaterOrEqual(t, len(run), 8, "%q", run)
	assert.FileExists(t, filepath.Join(copied, "out", "index.html"))
	assert.FileExists(t, filepath.Join(copied, "notes", "vehicles", "truck.md"))
	to := slices.IndexFunc(run, func(line string) bool { return strings.Contains(line, "--to ") })
	require.GreaterOrEqual(t, to, 0)
	_, folder, _ := strings.Cut(run[to], "--to ")
	assert.FileExists(t, filepath.Join(copied, folder, "index.html"))
}

// previews runs a preview until it says where it shows the site, and interrupts it.
func previews(t *testing.T, dir, line string) {
	cmd := exec.Command(strings.Fields(line)[0], strings.Fields(line)[1:]...)
	cmd.Dir = dir
	var out watched
	cmd.Stdout, cmd.Stderr = &out, &out
	require.NoError(t, cmd.Start())
	const soonEnough = time.Minute
	for begun := time.Now(); !strings.Contains(out.String(), "http://") && time.Since(begun) < soonEnough; {
		time.Sleep(50 * time.Millisecond)
	}
	require.NoError(t, cmd.Process.Signal(os.Interrupt))
	require.NoError(t, cmd.Wait(), "%s\n%s", line, out.String())
	assert.Regexp(t, `^http://[^ ]+ shows `, out.String())
}

// watched is what a process has written so far.
type watched struct {
	mu  sync.Mutex
	buf bytes.Buffer
}

func (w *watched) Write(p []byte) (int, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.buf.Write(p)
}

func (w *watched) String() string {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.buf.String()
}

// The commands that README lists are the program's, and their arguments too.
func TestReadmeListsCommands(t *testing.T) {
	readme, err := os.ReadFile(filepath.Join(root, "README.md"))
	require.NoError(t, err)
	_, section, _ := strings.Cut(string(readme), "\n## Commands\n")
	var listed []string
	for _, found := range regexp.MustCompile(`(?m)^    turnplate (\w+)`).FindAllStringSubmatch(section, -1) {
		listed = append(listed, found[1])
	}
	help, err := exec.Command("turnplate", "--help").Output() // this test binary, see TestMain
	require.NoError(t, err)
	var has []string
	_, list, _ := strings.Cut(string(help), "Commands:\n")
	for _, found := range regexp.MustCompile(`(?m)^  (\w+) `).FindAllStringSubmatch(list, -1) {
		has = append(has, found[1])
	}
	assert.ElementsMatch(t, has, listed)
}
