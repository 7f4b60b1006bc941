package site

import (
	"bytes"
	"context"
	"errors"
	"io/fs"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/build"
	"turnplate/site/diag"
	"turnplate/site/preview"
)

// screen is what a Console writes to, by one goroutine, read by another.
type screen struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (p *screen) Write(data []byte) (int, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.text.Write(data)
}

func (p *screen) String() string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.text.String()
}

// Outside the loopback a preview says so; it ends when it is told to, without an error.
func TestPreviewBeyond(t *testing.T) {
	folder := makeFolder(t, "a.md", "# A\n\n{nothing}\n")
	ctx, stop := context.WithCancel(context.Background())
	var out, errs screen
	ready := make(chan bool, 1)
	done := make(chan error, 1)
	go func() {
		done <- Preview(ctx, folder, "0.0.0.0:0", Console{Out: &out, Errs: &errs, Done: func() { ready <- true }})
	}()
	select {
	case <-ready:
	case err := <-done:
		t.Fatal(err)
	case <-time.After(20 * time.Second):
		t.Fatal("nothing was built")
	}
	stop()
	require.NoError(t, <-done)
	assert.Regexp(t, regexp.MustCompile(`^http://localhost:\d+/ shows `), out.String())
	assert.Contains(t, errs.String(), "Warning: whoever can reach this machine over the network can read these pages.")
	assert.Contains(t, errs.String(), "a.md:3:2: ")

	err := Preview(context.Background(), folder+"/none", "", Console{Out: &out, Errs: &errs})
	var misuse Misuse
	require.ErrorAs(t, err, &misuse)
	assert.NotErrorIs(t, err, fs.ErrNotExist)
}

// The start names the address, and whatever is not as usual.
func TestPreviewPrintsTheStart(t *testing.T) {
	start := func(folder string, s preview.Start) (string, string) {
		var out, errs screen
		p := printer{folder: folder, Console: Console{Out: &out, Errs: &errs}}
		p.started(s)
		return out.String(), errs.String()
	}
	const url = "http://127.0.0.1:4471/"
	out, errs := start("notes", preview.Start{URL: url})
	assert.Equal(t, url+" shows notes. Control-C stops it.\n", out)
	assert.Empty(t, errs)
	out, errs = start("notes", preview.Start{URL: url, Taken: true})
	assert.Equal(t, "The usual port, 4470, is taken, perhaps by another preview. This one has its own.\n"+url+" shows notes. Control-C stops it.\n", out)
	assert.Empty(t, errs)
	out, _ = start("", preview.Start{URL: url})
	assert.Contains(t, out, "can't be changed")
	_, errs = start("notes", preview.Start{URL: url, Unheard: errors.New("too many watches")})
	assert.Equal(t, "The system doesn't tell of every change (too many watches), so changes may show half a second late.\n", errs)
}

// Mistakes are printed when they are others than before, one line each; a save always is.
func TestPreviewPrints(t *testing.T) {
	var out, errs screen
	p := printer{folder: "notes", Console: Console{Out: &out, Errs: &errs}}
	said := func() (string, string) {
		a, b := out.String(), errs.String()
		out.text.Reset()
		errs.text.Reset()
		return a, b
	}
	fault := diag.Diagnostic{File: "a.md", Pos: diag.Pos{Line: 3, Col: 2}, Message: "no \x1b[31mcolour", Hint: "really", Line: "{nothing}"}
	claim := build.Claim{File: "b.md", Line: 7, Says: "it holds", Detail: "at 3"}
	p.report(preview.Report{Took: time.Second})
	a, b := said()
	assert.Empty(t, a+b, "the start is quiet when all is well")

	p.report(preview.Report{Changed: []string{"a.md"}, Took: 34 * time.Millisecond, Faults: diag.List{fault}, Claims: []build.Claim{claim}})
	a, b = said()
	assert.Equal(t, "notes/a.md (34 ms)\n", a)
	assert.Equal(t, "notes/a.md:3:2: no \ufffd[31mcolour (really)\nnotes/b.md:7: the claim fails: it holds: at 3\n", b)

	p.report(preview.Report{Changed: []string{"b.md", "c.md", "d.md", "e.md", "f.md"}, Faults: diag.List{fault}, Claims: []build.Claim{claim}})
	a, b = said()
	assert.Equal(t, "notes/b.md, notes/c.md, notes/d.md and 2 more: mistakes as before (0 ms)\n", a)
	assert.Empty(t, b)

	p.report(preview.Report{Changed: []string{"a.md"}})
	a, b = said()
	assert.Equal(t, "notes/a.md: no mistakes any more (0 ms)\n", a)
	assert.Empty(t, b)

	many := make(diag.List, maxShown+5)
	for i := range many {
		many[i] = fault
	}
	p.report(preview.Report{Faults: many})
	_, b = said()
	assert.Equal(t, maxShown+1, strings.Count(b, "\n"))
	assert.Contains(t, b, "and 5 more")
}
