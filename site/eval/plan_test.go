package eval

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/parallel"
)

// Which notebook finds the collection's pool empty is the same however many run side by side.
func TestPoolIsSharedInOrder(t *testing.T) {
	lib := library{"base.md": "# B\n" + fence("x := span(0, 1, 900)")}
	paths := []string{"base"}
	for i := range 8 {
		p := fmt.Sprintf("n%d", i)
		lib[p+".md"] = "# A\n" + fence("x := use(\"base\").x\ny := x + x")
		paths = append(paths, p)
	}
	limits := UsualLimits
	limits.Share.Numbers, limits.Pool.Numbers = 800, 1000 // each calculates 900
	for range 20 {
		ev := New(lib, Options{Limits: limits})
		order := ev.Plan(paths)
		require.Len(t, order, len(paths))
		empty := make([]bool, len(order))
		require.NoError(t, parallel.Do(context.Background(), len(order), func(i int) {
			empty[i] = len(ev.Page(context.Background(), order[i]).Faults) > 0
		}))
		for i := range empty {
			assert.Equal(t, i >= 10, empty[i], "%s takes 100 of 1000", order[i])
		}
	}
	limits.Pool.Numbers = 350
	for range 20 {
		ev := New(lib, Options{Limits: limits})
		order := ev.Plan(paths)
		empty := make([]bool, len(order))
		require.NoError(t, parallel.Do(context.Background(), len(order), func(i int) {
			empty[i] = len(ev.Page(context.Background(), order[i]).Faults) > 0
		}))
		for i := range empty {
			assert.Equal(t, i >= 3, empty[i], "%s takes 100 of 350", order[i])
		}
	}
}

// Circles are found once, by the text; a large one is named by its beginning.
func TestCircles(t *testing.T) {
	lib := library{}
	for i := range 500 {
		lib[fmt.Sprintf("n%d.md", i)] = "# A\n" + fence(fmt.Sprintf("x := use(\"n%d\")", (i+1)%500))
	}
	lib["alone.md"] = "# A\n" + fence("x := use(\"alone\")")
	lib["outside.md"] = "# A\n" + fence("x := use(\"n0\")\ny := use(\"alone\")")
	ev := New(lib, Options{})
	assert.Equal(t, []string{"n7", "n8", "…", "n7"}, ev.circle("n7"))
	assert.Equal(t, []string{"alone", "alone"}, ev.circle("alone"))
	assert.Nil(t, ev.circle("outside"))
	p := ev.Page(context.Background(), "outside")
	require.Len(t, p.Faults, 2)
	assert.Contains(t, p.Faults[1].Message, "alone uses itself")
}
