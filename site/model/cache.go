package model

import (
	lru "container/list"
	"crypto/sha256"
	"encoding/binary"
	"hash"
	"math"
	"reflect"
	"slices"
	"sync"
	"time"

	"turnplate/site/value"
)

// Cache keeps finished model runs by what they were calculated from, so that a preview that builds again
// after a change of words calculates nothing, and after a change of one parameter only what depends on it.
// It outlives the Evaluators that share it and is safe for concurrent use.
type Cache struct {
	mu    sync.Mutex
	room  int // numbers it may hold
	held  int
	order *lru.List // of *cached, the most recently used first
	byKey map[cacheKey]*lru.Element
	took  map[string]time.Duration // by the place where a model stands, when it was last run there
}

type cacheKey [sha256.Size]byte

// cached is the outcome of a finished job, or what Keep was given. Its axes aren't kept, as every evaluation makes them
// anew.
type cached struct {
	key     cacheKey
	outcome any
	size    int
}

// cacheNumbers is how many numbers a Cache holds, 8 bytes each.
const cacheNumbers = 32 << 20

// NewCache makes an empty Cache.
func NewCache() *Cache { return NewCacheOf(cacheNumbers) }

// NewCacheOf makes one that holds so many numbers.
func NewCacheOf(numbers int) *Cache {
	return &Cache{room: numbers, order: lru.New(), byKey: map[cacheKey]*lru.Element{}, took: map[string]time.Duration{}}
}

func (c *Cache) get(key cacheKey) *cached {
	if c == nil {
		return nil
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	e := c.byKey[key]
	if e == nil {
		return nil
	}
	c.order.MoveToFront(e)
	return e.Value.(*cached)
}

func (c *Cache) put(entry *cached) {
	if entry.size > c.room/4 {
		return
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.byKey[entry.key] != nil {
		return
	}
	c.byKey[entry.key] = c.order.PushFront(entry)
	for c.held += entry.size; c.held > c.room; {
		oldest := c.order.Remove(c.order.Back()).(*cached)
		delete(c.byKey, oldest.key)
		c.held -= oldest.size
	}
}

// slow tells whether the model at a place last took longer than that.
func (c *Cache) slow(place string, most time.Duration) bool {
	if c == nil || most == 0 {
		return false
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.took[place] > most
}

// note keeps how long the model at a place took, or how long it was given.
func (c *Cache) note(place string, took time.Duration) {
	if c == nil {
		return
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.took[place] = took
}

// Numbers is how many numbers the cache holds now.
func (c *Cache) Numbers() int {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.held
}

// Keep gives what was made from these things before, or makes it. They are what digest reads: numbers, texts, and structs
// and lists of such, and all that it depends on must be among them. make says how many numbers it takes, too.
func Keep[T any](c *Cache, from []any, make func() (made T, size int, err error)) (T, error) {
	key := keyOf(from)
	if known := c.get(key); known != nil {
		return known.outcome.(T), nil
	}
	made, size, err := make()
	if c != nil && err == nil {
		c.put(&cached{key, made, size})
	}
	return made, err
}

// keyOf digests the things that something is made from.
func keyOf(from []any) cacheKey {
	h := sha256.New()
	for _, x := range from {
		digest(h, reflect.ValueOf(x))
	}
	return cacheKey(h.Sum(nil))
}

// key digests everything a job's results depend on: the model, its fixed inputs as they stand in the bound
// struct, and each varying input with the axes it runs over.
func (j *Job) key(bound reflect.Value, leaves []Leaf) cacheKey {
	h := sha256.New()
	h.Write([]byte(j.m.Name))
	digest(h, bound)
	for _, a := range j.axes {
		number(h, float64(a.Length))
	}
	for _, l := range leaves {
		number(h, float64(len(l.From.Axes)))
		for _, x := range l.From.Axes {
			number(h, float64(slices.Index(j.axes, x)))
		}
		for i := range l.From.Len() {
			if l.From.Kind == value.Words {
				text(h, l.From.Words[i])
			} else {
				number(h, l.From.Num[i])
			}
		}
	}
	return cacheKey(h.Sum(nil))
}

func number(h hash.Hash, x float64) {
	var b [8]byte
	binary.LittleEndian.PutUint64(b[:], math.Float64bits(x))
	h.Write(b[:])
}

func text(h hash.Hash, s string) {
	number(h, float64(len(s)))
	h.Write([]byte(s))
}

// digest writes a bound input struct: numbers, texts, what pointers point to, lists.
func digest(h hash.Hash, v reflect.Value) {
	switch v.Kind() {
	case reflect.Float64:
		number(h, v.Float())
	case reflect.Bool:
		if v.Bool() {
			number(h, 1)
		} else {
			number(h, 0)
		}
	case reflect.String:
		text(h, v.String())
	case reflect.Pointer:
		number(h, math.NaN())
		if !v.IsNil() {
			digest(h, v.Elem())
		}
	case reflect.Slice:
		number(h, float64(v.Len()))
		for i := range v.Len() {
			digest(h, v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			digest(h, v.Field(i))
		}
	}
}

// remember puts a finished job into the cache.
func (j *Job) remember(c *Cache, key cacheKey) {
	if c == nil {
		return
	}
	entry := &cached{key: key, outcome: j.outcome}
	for _, col := range j.columns {
		entry.size += len(col.nums) + len(col.words)
	}
	for _, v := range j.vehicles {
		entry.size += len(v.nums)
	}
	c.put(entry)
}
