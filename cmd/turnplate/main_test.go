package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "write what the scripts' cmp commands found into the scripts; read the difference")

// smallCollection costs a fraction of what the starter does.
var smallCollection = os.DirFS("testdata/small")

func TestMain(m *testing.M) { testscript.Main(m, map[string]func(){"turnplate": main}) }

// TestScripts runs the program as its users do. Beside testscript's own commands there are
//
//	small FOLDER            make a small collection: a truck, a study, a lesson
//	exits STATUS COMMAND…   run a command and want this very exit status
//	record FOLDER           note every file's bytes and time
//	unchanged FOLDER        want them as they were recorded
//	bytes FILE TEXT         write a file with Go's escapes in its text
//	shows ADDRESS REGEXP    ask for a page until it has a text; $ADDRESS is the loopback at a free port
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		UpdateScripts:       *update,
		RequireUniqueNames:  true,
		RequireExplicitExec: true,
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"small": small, "exits": exits, "record": record, "unchanged": unchanged, "bytes": bytesTo, "shows": shows,
		},
		Setup: func(env *testscript.Env) error {
			l, err := net.Listen("tcp", "127.0.0.1:0")
			if err != nil {
				return err
			}
			env.Setenv("ADDRESS", l.Addr().String())
			return l.Close()
		},
	})
}

func small(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: small FOLDER")
	}
	ts.Check(os.CopyFS(ts.MkAbs(args[0]), smallCollection))
}

func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits STATUS COMMAND…")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	err = ts.Exec(args[1], args[2:]...)
	got := 0
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		got = exit.ExitCode()
	} else {
		ts.Check(err)
	}
	if got != want {
		ts.Fatalf("exit status %d, want %d", got, want)
	}
}

// look lists a folder: every file's name, digest and, if asked for, time.
func look(ts *testscript.TestScript, folder string, times bool) string {
	var out bytes.Buffer
	root := ts.MkAbs(folder)
	ts.Check(filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, name)
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		fmt.Fprintf(&out, "%s %x", filepath.ToSlash(rel), sha256.Sum256(data))
		if times {
			info, err := d.Info()
			if err != nil {
				return err
			}
			fmt.Fprintf(&out, " %d", info.ModTime().UnixNano())
		}
		fmt.Fprintln(&out)
		return nil
	}))
	return out.String()
}

func recordOf(ts *testscript.TestScript, folder string) string {
	return ts.MkAbs(".record-" + strings.ReplaceAll(folder, "/", "-"))
}

func record(ts *testscript.TestScript, neg bool, args []string) {
	ts.Check(os.WriteFile(recordOf(ts, args[0]), []byte(look(ts, args[0], true)), 0o644))
}

func unchanged(ts *testscript.TestScript, neg bool, args []string) {
	was, err := os.ReadFile(recordOf(ts, args[0]))
	ts.Check(err)
	compare(ts, string(was), look(ts, args[0], true))
}

func bytesTo(ts *testscript.TestScript, neg bool, args []string) {
	text, err := strconv.Unquote(`"` + args[1] + `"`)
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(text), 0o644))
}

func shows(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: shows ADDRESS REGEXP")
	}
	want, err := regexp.Compile(args[1])
	ts.Check(err)
	const soonEnough = 20 * time.Second
	var got []byte
	for limit := time.Now().Add(soonEnough); time.Now().Before(limit); time.Sleep(20 * time.Millisecond) {
		got, err = ask(args[0], want)
		if want.Match(got) {
			return
		}
	}
	ts.Fatalf("%s doesn't show %s but (%v)\n%s", args[0], args[1], err, got)
}

// ask reads an answer until it has a text or ends, or a moment has passed: a stream doesn't end.
func ask(address string, want *regexp.Regexp) (got []byte, err error) {
	ctx, stop := context.WithTimeout(context.Background(), time.Second)
	defer stop()
	request, err := http.NewRequestWithContext(ctx, "GET", address, nil)
	if err != nil {
		return nil, err
	}
	answer, err := http.DefaultClient.Do(request)
	if err != nil {
		return nil, err
	}
	defer answer.Body.Close()
	for part := make([]byte, 1<<16); err == nil && !want.Match(got); {
		var n int
		n, err = answer.Body.Read(part)
		got = append(got, part[:n]...)
	}
	return got, err
}

func compare(ts *testscript.TestScript, a, b string) {
	if a == "" {
		ts.Fatalf("the folder is empty")
	}
	if a == b {
		return
	}
	first, second := strings.Split(a, "\n"), strings.Split(b, "\n")
	for i := range max(len(first), len(second)) {
		if i >= len(first) || i >= len(second) || first[i] != second[i] {
			ts.Fatalf("the folders differ from here:\n%s\n%s", strings.Join(first[min(i, len(first)):min(i+1, len(first))], ""), strings.Join(second[min(i, len(second)):min(i+1, len(second))], ""))
		}
	}
}
