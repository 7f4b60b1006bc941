package preview

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// held is what the process holds on to.
type held struct{ goroutines, handles, bytes int }

func holds() held {
	runtime.GC()
	runtime.GC() // what the first one found to be closed
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	handles, _ := os.ReadDir("/proc/self/fd") // none where the system keeps no such folder
	return held{runtime.NumGoroutine(), len(handles), int(m.HeapAlloc)}
}

// TestManySaves saves 500 times in a row in every way there is. Nothing may be left of that but the last state.
func TestManySaves(t *testing.T) {
	dice := rand.New(rand.NewPCG(1, 2))
	text := func(i int) string {
		return fmt.Sprintf("# Many\n\n```go params\nlength := use(\"part\").length*%d\nreach := span(0*mm, 400*mm, 33)\nCurves{X: reach, Y: reach*length/mm}\n```\n\nSave %d is {length/mm} long.\n", i, i)
	}
	part := func(i int) string { return fmt.Sprintf("# Part\n\n```go params\nlength := %d*mm\n```\n", i) }
	p := begin(t, "many.md", text(0), "part.md", part(1), "empty/index.md", "# Here")
	f := p.follow("many.html")
	f.shows("Save 0 is")
	last := 0
	save := func(n int) {
		for range n {
			last++
			switch kind := dice.IntN(10); {
			case kind < 3:
				write(t, p.folder, "many.md", text(last))
			case kind < 6:
				replace(t, p.folder, "many.md", text(last))
			case kind == 6: // a mistake
				write(t, p.folder, "many.md", strings.Replace(text(last), "use", "sue", 1))
			case kind == 7: // gone for a moment
				require.NoError(t, os.Remove(filepath.Join(p.folder, "many.md")))
				write(t, p.folder, "many.md", text(last))
			case kind == 8:
				replace(t, p.folder, "part.md", part(last))
			default: // a folder comes and goes
				write(t, p.folder, fmt.Sprintf("folder%d/new.md", last), "# New")
				require.NoError(t, os.RemoveAll(filepath.Join(p.folder, fmt.Sprintf("folder%d", last-1))))
			}
			time.Sleep(time.Duration(dice.IntN(25)) * time.Millisecond)
		}
		last++
		write(t, p.folder, "part.md", part(1))
		write(t, p.folder, "many.md", text(last))
		f.shows(fmt.Sprintf("Save %d is <", last))
	}
	settle := func() held {
		p.report(func(r Report) bool { return len(r.Faults) == 0 })
		for len(p.reports) > 0 {
			<-p.reports
		}
		time.Sleep(longEnough)
		return holds()
	}
	save(50)
	before := settle()
	save(500)
	after := holds()
	for start := time.Now(); after.goroutines > before.goroutines && time.Since(start) < soonEnough; after = holds() {
		time.Sleep(100 * time.Millisecond)
	}
	t.Logf("before %+v, after %+v", before, after)
	assert.LessOrEqual(t, after.goroutines, before.goroutines)
	assert.LessOrEqual(t, after.handles, before.handles)
	const slack = 4 << 20 // of garbage not yet collected, buffers grown once, and folders watched in turn
	assert.Less(t, after.bytes, before.bytes+slack)

	_, page := p.get("/many.html")
	assert.Contains(t, page, fmt.Sprintf("Save %d is", last))
	assert.Contains(t, page, fmt.Sprintf(">%d</span> long", last), "calculated from the last state of both files")
	_, page = p.get("/part.html")
	assert.Contains(t, page, "Part")
}

// many writes a collection of 200 notebooks with something to calculate in each.
func many(t testing.TB) string {
	t.Helper()
	folder := t.TempDir()
	write(t, folder, "index.md", "# Home")
	for i := range 199 {
		write(t, folder, fmt.Sprintf("part%d/n%d.md", i%10, i), fmt.Sprintf("# Notebook %d\n\n%s\n\n```go params\nreach := span(0*mm, %d*mm, 33)\nCurves{X: reach, Y: reach*2}\n```\n\nIt is {reach.Max() in mm}.\n",
			i, strings.Repeat("Words, as there are in any notebook. ", 100), i+1))
	}
	return folder
}

// Each of 200 notebooks is watched, and pages are there before all of them are calculated.
func TestManyNotebooks(t *testing.T) {
	p := run(t, Options{Folder: many(t), Listen: "127.0.0.1:0"})
	status, page := p.get("/part9/n189.html")
	assert.Equal(t, 200, status)
	assert.Contains(t, page, ">190")
	p.settled()
	for _, i := range []int{0, 77, 198} {
		name := fmt.Sprintf("part%d/n%d", i%10, i)
		f := p.follow(name + ".html")
		f.shows("Words, as there are")
		replace(t, p.folder, name+".md", "# Notebook\n\nOther words.\n")
		f.shows("Other words.")
	}
}
