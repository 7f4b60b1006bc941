package eval

import (
	"context"
	"slices"
	"sync"
)

// plan is the order in which a collection's notebooks are evaluated, each after those that it uses. A notebook that takes
// more than its share waits for its turn in it. So those that take much are evaluated one after another, and which of
// them finds the collection's pool empty is the same on one processor and on many.
type plan struct {
	place map[string]int // of each notebook
	used  map[string]bool

	mu       sync.Mutex
	changed  chan struct{} // closed, and replaced, when a notebook is finished
	finished []bool
	first    int // that isn't finished
	pool     amounts
}

// Plan lists notebooks and all that they use in an order in which they can be evaluated, and gives them turns in
// that order. Each of them must then be asked for, in this order, by Page.
func (ev *Evaluator) Plan(paths []string) []string {
	p := &plan{place: map[string]int{}, used: map[string]bool{}, changed: make(chan struct{})}
	var order []string
	var visit func(path string)
	visit = func(path string) {
		if _, known := p.place[path]; known {
			return
		}
		parsed := ev.parse(path)
		if parsed.err != nil {
			return // there is no such notebook
		}
		p.place[path] = -1 // on the way
		for _, u := range parsed.uses {
			p.used[u] = true
			visit(u)
		}
		p.place[path] = len(order)
		order = append(order, path)
	}
	for _, path := range paths {
		visit(path)
	}
	p.finished = make([]bool, len(order))
	ev.plan = p
	return slices.Clip(order)
}

// wait returns when all notebooks before this one are finished.
func (p *plan) wait(ctx context.Context, path string) {
	for {
		p.mu.Lock()
		turn, changed := p.first >= p.place[path], p.changed
		p.mu.Unlock()
		if turn {
			return
		}
		select {
		case <-changed:
		case <-ctx.Done():
			return
		}
	}
}

// finish notes that a notebook is finished.
func (p *plan) finish(path string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if at, ok := p.place[path]; ok && at >= 0 {
		p.finished[at] = true
	}
	for p.first < len(p.finished) && p.finished[p.first] {
		p.first++
	}
	close(p.changed)
	p.changed = make(chan struct{})
}

// take takes from the pool and gives what has been taken by now.
func (p *plan) take(a amounts) amounts {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.pool = p.pool.plus(a)
	return p.pool
}
