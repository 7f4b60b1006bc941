package build

import (
	"context"
	"crypto/sha256"
	"io/fs"
	"math/rand/v2"
	"runtime"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/notebooks"
	"turnplate/site/collection"
	"turnplate/site/eval"
)

// jumbled is a file system whose folders list their files in any order.
type jumbled struct {
	fs.FS
	dice *rand.Rand
}

func (j jumbled) ReadDir(name string) ([]fs.DirEntry, error) {
	entries, err := fs.ReadDir(j.FS, name)
	j.dice.Shuffle(len(entries), func(a, b int) { entries[a], entries[b] = entries[b], entries[a] })
	return entries, err
}

// digests renders the demo with its files listed, its notebooks evaluated and its pages rendered in an order that
// the dice decide, and gives each file's digest.
func digests(t *testing.T, dice *rand.Rand) map[string][32]byte {
	t.Helper()
	c, err := collection.Open(jumbled{notebooks.FS, dice}, "Turnplate")
	require.NoError(t, err)
	s := newSite(c, Options{Version: "test"})
	s.looks = looks(c, labels(c, nil))
	published := c.Published()
	s.Notebooks = make([]Notebook, len(published))
	ev := eval.New(c, eval.Options{})
	for _, i := range dice.Perm(len(published)) {
		s.Notebooks[i] = evaluate(context.Background(), c, ev, published[i], nil)
		require.Empty(t, s.Notebooks[i].faults)
	}
	for i := range s.Notebooks {
		s.byPath[s.Notebooks[i].Path] = &s.Notebooks[i]
	}
	dice.Shuffle(len(s.pages), func(a, b int) { s.pages[a], s.pages[b] = s.pages[b], s.pages[a] })
	var mu sync.Mutex
	all := map[string][32]byte{}
	require.NoError(t, s.Render(context.Background(), func(name string, data []byte) error {
		mu.Lock()
		defer mu.Unlock()
		all[name] = sha256.Sum256(data)
		return nil
	}))
	return all
}

// In whatever order files are listed, notebooks evaluated and pages rendered, on one processor or on many: the
// same bytes.
func TestAnyOrder(t *testing.T) {
	if testing.Short() {
		t.Skip("it writes the demo several times")
	}
	before := runtime.GOMAXPROCS(0)
	defer runtime.GOMAXPROCS(before)
	var first map[string][32]byte
	for seed, processors := range []int{1, 8} {
		runtime.GOMAXPROCS(processors)
		got := digests(t, rand.New(rand.NewPCG(1, uint64(seed))))
		if first == nil {
			first = got
			require.Greater(t, len(first), 100)
			continue
		}
		require.Len(t, got, len(first))
		for name, digest := range first {
			assert.Equal(t, digest, got[name], "%s with seed %d on %d processors", name, seed, processors)
		}
	}
}
