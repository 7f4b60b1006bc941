package eval

import (
	"slices"
	"sync"
)

// circles are the notebooks that use each other in a circle, found by the text alone, so that evaluation never has
// to wait for itself. They are found by Tarjan's algorithm (SIAM Journal on Computing 1, 1972), which follows each use
// once.
type circles struct {
	mu     sync.Mutex
	number map[string]int // in which a notebook was met
	lowest map[string]int // of those that it leads back to
	group  map[string][]string
	stack  []string
}

// circle gives a way from a notebook back to itself through use, or nil.
func (ev *Evaluator) circle(path string) []string {
	c := &ev.circles
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.number == nil {
		c.number, c.lowest, c.group = map[string]int{}, map[string]int{}, map[string][]string{}
	}
	if _, known := c.number[path]; !known {
		c.visit(ev, path)
	}
	group := c.group[path]
	if group == nil {
		return nil
	}
	// The shortest way, step by step. In a large group finding it would take long, so only its first step is given.
	const large = 100
	if len(group) > large {
		for _, next := range ev.parse(path).uses {
			if slices.Contains(group, next) {
				return []string{path, next, "…", path}
			}
		}
	}
	from := map[string]string{}
	for queue := []string{path}; len(queue) > 0; queue = queue[1:] {
		for _, next := range ev.parse(queue[0]).uses {
			if _, seen := from[next]; seen || !slices.Contains(group, next) {
				continue
			}
			if from[next] = queue[0]; next == path {
				way := []string{path}
				for at := from[path]; at != path; at = from[at] {
					way = append(way, at)
				}
				way = append(way, path)
				slices.Reverse(way)
				return way
			}
			queue = append(queue, next)
		}
	}
	return nil
}

func (c *circles) visit(ev *Evaluator, path string) {
	n := len(c.number)
	c.number[path], c.lowest[path] = n, n
	c.stack = append(c.stack, path)
	itself := false
	for _, next := range ev.parse(path).uses {
		itself = itself || next == path
		if _, known := c.number[next]; !known {
			c.visit(ev, next)
		}
		if low, open := c.lowest[next]; open {
			c.lowest[path] = min(c.lowest[path], low)
		}
	}
	if c.lowest[path] < n {
		return
	}
	at := len(c.stack) - 1
	for c.stack[at] != path {
		at--
	}
	group := slices.Clone(c.stack[at:])
	c.stack = c.stack[:at]
	for _, member := range group {
		delete(c.lowest, member)
		if len(group) > 1 || itself {
			c.group[member] = group
		}
	}
}
