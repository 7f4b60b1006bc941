package site

import (
	"context"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// leaves runs something and wants no goroutine of ours to be left after it. (What a preview holds on to while it runs
// is watched in its own package, over hundreds of saves.)
func leaves(t *testing.T, nothing func()) {
	t.Helper()
	ours := func() (stacks []string) {
		all := make([]byte, 1<<20)
		for _, stack := range strings.Split(string(all[:runtime.Stack(all, true)]), "\n\n") {
			if strings.Contains(stack, "turnplate/") && !strings.Contains(stack, "testing.tRunner") {
				stacks = append(stacks, stack)
			}
		}
		return stacks
	}
	before := len(ours())
	nothing()
	const soonEnough = 10 * time.Second // for one that is on its way out
	for start := time.Now(); ; time.Sleep(10 * time.Millisecond) {
		left := ours()
		if len(left) <= before {
			return
		}
		if time.Since(start) > soonEnough {
			t.Fatalf("%d goroutines before, %d after:\n%s", before, len(left), strings.Join(left, "\n\n"))
		}
	}
}

func TestNothingIsLeftRunning(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "notes")
	_, err := Begin(folder)
	require.NoError(t, err)
	to := filepath.Join(t.TempDir(), "out")
	bad := makeFolder(t, "a.md", "{nothing}", "b.md", "```go params\nx := span(0, 1, 1000000000)\n```\n")
	for name, do := range map[string]func(){
		"verify": func() { _, err := Verify(context.Background(), folder, nil); require.NoError(t, err) },
		"write":  func() { _, err := Write(context.Background(), folder, to, nil); require.NoError(t, err) },
		"again":  func() { _, err := Write(context.Background(), folder, to, nil); require.NoError(t, err) },
		"faults": func() { _, err := Write(context.Background(), bad, to, nil); require.NoError(t, err) },
		"stopped": func() {
			ctx, cancel := context.WithCancel(context.Background())
			_, err := Write(ctx, folder, to, func(done, _ int) {
				if done == 3 {
					cancel()
				}
			})
			require.ErrorIs(t, err, context.Canceled)
		},
		"late": func() {
			ctx, cancel := context.WithTimeout(context.Background(), time.Millisecond)
			defer cancel()
			_, err := Verify(ctx, folder, nil)
			require.ErrorIs(t, err, context.DeadlineExceeded)
		},
		"preview": func() {
			ctx, cancel := context.WithTimeout(context.Background(), time.Second)
			defer cancel()
			var out, errs screen
			require.NoError(t, Preview(ctx, folder, "127.0.0.1:0", Console{Out: &out, Errs: &errs}))
		},
	} {
		t.Run(name, func(t *testing.T) { leaves(t, do) })
	}
}

// The check must be able to fail.
func TestLeavesBites(t *testing.T) {
	stop := make(chan struct{})
	defer close(stop)
	failed := make(chan bool)
	go func() {
		var inner testing.T
		defer func() { failed <- inner.Failed() }()
		leaves(&inner, func() { go waitFor(stop) })
	}()
	require.True(t, <-failed)
}

func waitFor(stop chan struct{}) { <-stop }
