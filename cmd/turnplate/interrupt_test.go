//go:build linux

package main

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// heavy is a study of a truck with uncertain points, which takes the processor for some seconds:
// 216 targets in a thousand draws.
const heavy = "# Heavy\n\n```go params\n" + `truck := use("vehicles/truck").truck
lean := span(1*deg, 5*deg, 6)
upright := span(-1*deg, 1*deg, 6)
ahead := span(-1*deg, 1*deg, 6)
set := AlignTo{Vehicle: truck, Caster: lean, Camber: upright, Toe: ahead}
` + "```\n"

// clockTick is how the kernel counts a process's time for its readers (proc(5); 100 a second on every platform of Go's).
const clockTick = 10 * time.Millisecond

// spentBy is what a running process has taken of the processors: the 14th and 15th field of its stat.
func spentBy(t *testing.T, pid int) time.Duration {
	t.Helper()
	stat, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	require.NoError(t, err)
	_, fields, _ := strings.Cut(string(stat), ") ") // the second field is the name, in brackets
	var user, system int64
	list := strings.Fields(fields)
	_, err = fmt.Sscan(list[11]+" "+list[12], &user, &system)
	require.NoError(t, err)
	return time.Duration(user+system) * clockTick
}

// Interrupted, the program ends within about a second, asked once or twice. Other programs may keep the machine busy,
// so what counts is the processor's time, of which two cores give two seconds a second.
func TestInterrupted(t *testing.T) {
	if testing.Short() {
		t.Skip("it keeps the processor busy for some seconds")
	}
	folder := t.TempDir()
	out, err := exec.Command("turnplate", "begin", filepath.Join(folder, "notes")).CombinedOutput()
	require.NoError(t, err, "%s", out)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "notes", "heavy.md"), []byte(heavy), 0o644))
	for _, times := range []int{1, 2} {
		cmd := exec.Command("turnplate", "verify", "notes")
		var said watched
		cmd.Dir, cmd.Stdout, cmd.Stderr = folder, &said, &said
		cmd.Env = append(os.Environ(), "GOMAXPROCS=2")
		require.NoError(t, cmd.Start())
		ended := make(chan error, 1)
		go func() { ended <- cmd.Wait() }()
		const busy, hang = 2 * time.Second, time.Minute // all other notebooks together take less
		begun := time.Now()
		for spentBy(t, cmd.Process.Pid) < busy {
			require.Less(t, time.Since(begun), hang, "it doesn't begin")
			time.Sleep(10 * time.Millisecond)
		}
		before := spentBy(t, cmd.Process.Pid)
		for range times {
			if err := cmd.Process.Signal(os.Interrupt); !errors.Is(err, os.ErrProcessDone) { // once may have been enough
				require.NoError(t, err)
			}
		}
		select {
		case <-ended:
		case <-time.After(hang):
			require.NoError(t, cmd.Process.Kill())
			t.Fatalf("interrupted %d times, it goes on", times)
		}
		usage := cmd.ProcessState.SysUsage().(*syscall.Rusage)
		after := time.Duration(usage.Utime.Nano()+usage.Stime.Nano()) - before
		t.Logf("interrupted %d times, it took %.2f s more", times, after.Seconds())
		assert.Less(t, after, 2*(patience+200*time.Millisecond))
		assert.Equal(t, bad, cmd.ProcessState.ExitCode(), "%s", said.String())
		assert.Contains(t, said.String(), "turnplate: stopped")
	}
}
