package publish

import (
	"bufio"
	"errors"
	"flag"
	"fmt"
	"maps"
	"math/rand"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// kills is how often a process is killed while it publishes; 1000 takes some minutes.
var kills = flag.Int("kills", 60, "how often TestKilledAnywhere kills a process")

// TestMain lets this binary stand for a process that publishes, and is killed at it.
func TestMain(m *testing.M) {
	flag.Parse()
	if os.Getenv("TURNPLATE_TEST_CHECK") != "" {
		fmt.Print(Check(os.Getenv("TURNPLATE_TEST_CHECK")))
		os.Exit(0)
	}
	target := os.Getenv("TURNPLATE_TEST_TARGET")
	if target == "" {
		os.Exit(m.Run())
	}
	var killAt, more int
	fmt.Sscan(os.Getenv("TURNPLATE_TEST_KILL"), &killAt)
	fmt.Sscan(os.Getenv("TURNPLATE_TEST_MORE"), &more)
	if os.Getenv("TURNPLATE_TEST_STEPS") != "" {
		exchange = func(a, b string) error { return errors.ErrUnsupported }
	}
	n := 0
	step = func(what string) error {
		if name := os.Getenv("TURNPLATE_TEST_DROP"); name != "" && what == "swap" {
			os.WriteFile(filepath.Join(target, name), []byte("mine"), 0o644)
		}
		if n++; n == killAt {
			if self, err := os.FindProcess(os.Getpid()); err == nil {
				self.Kill()
			}
			time.Sleep(time.Minute)
		}
		return nil
	}
	fmt.Println("begun")
	if _, err := put(target, larger(more)); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	os.Exit(0)
}

// larger is the second site with so many files more.
func larger(more int) site {
	content := maps.Clone(second)
	for i := range more {
		content[fmt.Sprintf("more/%d/%d.html", i%7, i)] = strings.Repeat("x", 1000+i+more)
	}
	return content
}

func child(target string, env ...string) *exec.Cmd {
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), append(env, "TURNPLATE_TEST_TARGET="+target)...)
	return cmd
}

// The process is killed at each of its steps in turn. The folder then holds the earlier site or the new one;
// only where folders can't be exchanged at once may it be missing, until the next start puts it back.
func TestKilled(t *testing.T) {
	for _, twoSteps := range []string{"", "1"} {
		missing := 0
		for at := 1; ; at++ {
			target := filepath.Join(t.TempDir(), "out")
			_, err := put(target, first)
			require.NoError(t, err)
			err = child(target, fmt.Sprintf("TURNPLATE_TEST_KILL=%d", at), "TURNPLATE_TEST_STEPS="+twoSteps).Run()
			if err == nil {
				assert.Greater(t, at, 8, "the process was killed at too few steps to mean anything")
				break
			}
			if !exists(target) {
				missing++
				w, err := Begin(target)
				require.NoError(t, err)
				w.Abandon()
			}
			got := look(t, target)
			if !maps.Equal(got, first) {
				require.Equal(t, second, got, "step %d", at)
			}
			require.NoError(t, Check(target))
			third := site{"index.html": "three"}
			_, err = put(target, third)
			require.NoError(t, err)
			require.Equal(t, third, look(t, target))
			alone(t, target)
		}
		if twoSteps == "" {
			assert.Zero(t, missing)
		} else {
			assert.Equal(t, 1, missing)
		}
	}
}

// The process is killed at instants of no pattern that fall inside its work, over small sites and large ones.
func TestKilledAnywhere(t *testing.T) {
	target := filepath.Join(t.TempDir(), "out")
	_, err := put(target, first)
	require.NoError(t, err)
	random := rand.New(rand.NewSource(1))
	took := map[int]time.Duration{} // by size, how long the work lasts at most as far as is known
	outcome := map[string]int{}
	sizes := []int{0, 20, 300, 1500}
	for killed, round := 0, 0; killed < *kills; round++ {
		size := sizes[round%len(sizes)]
		before, content := look(t, target), larger(size+round%3)
		cmd := child(target, fmt.Sprintf("TURNPLATE_TEST_MORE=%d", size+round%3))
		out, err := cmd.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, cmd.Start())
		_, err = bufio.NewReader(out).ReadString('\n')
		require.NoError(t, err)
		begun := time.Now()
		if took[size] == 0 { // the first time it is left to end
			require.NoError(t, cmd.Wait())
			took[size] = time.Since(begun)
			require.Equal(t, content, look(t, target))
			continue
		}
		time.Sleep(time.Duration(random.Int63n(int64(took[size]))))
		cmd.Process.Kill()
		if cmd.Wait() == nil { // it was quicker: this instant was outside
			took[size] = took[size]*9/10 + 1
			require.Equal(t, content, look(t, target))
			continue
		}
		took[size] = took[size]*51/50 + 1
		killed++
		switch got := look(t, target); {
		case maps.Equal(got, content):
			outcome["new"]++
		case maps.Equal(got, before):
			outcome["old"]++
		default:
			t.Fatalf("neither site: %d files, %d before and %d to be", len(got), len(before), len(content))
		}
		require.NoError(t, Check(target))
	}
	t.Logf("%d kills: %v", *kills, outcome)
	assert.Positive(t, outcome["old"])
	_, err = put(target, first)
	require.NoError(t, err)
	assert.Equal(t, first, look(t, target))
	alone(t, target)
}

// A file that somebody else puts into the folder at the last moment isn't lost, not even when the process is killed.
func TestKilledWithFile(t *testing.T) {
	for _, twoSteps := range []string{"", "1"} {
		done := false
		for at := 1; !done; at++ {
			target := filepath.Join(t.TempDir(), "out")
			_, err := put(target, first)
			require.NoError(t, err)
			done = child(target, fmt.Sprintf("TURNPLATE_TEST_KILL=%d", at), "TURNPLATE_TEST_STEPS="+twoSteps, "TURNPLATE_TEST_DROP=mine.txt").Run() == nil
			w, err := Begin(target)
			if err == nil {
				w.Abandon()
				assert.NotContains(t, look(t, target), "mine.txt", "it was killed before the file came")
				continue
			}
			assert.ErrorContains(t, err, "files that Turnplate did not write (mine.txt)")
			assert.Equal(t, "mine", look(t, target)["mine.txt"], "step %d", at)
			require.NoError(t, os.Remove(filepath.Join(target, "mine.txt")))
			require.NoError(t, Check(target))
			alone(t, target)
		}
	}
}
