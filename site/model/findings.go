package model

import (
	"encoding/hex"
	"maps"
	"sync"
)

// Findings are short results of long searches, by a digest of all that they were made from, so that a site can carry
// them to where its pages are worked out again. Who comes to the same digest needs no search; who doesn't, because of
// other values or a processor's last bits, searches as if there were none. They are safe for concurrent use.
type Findings struct {
	mu   sync.Mutex
	made map[string][]byte
}

// NewFindings makes them of what All gave, or of nil.
func NewFindings(made map[string][]byte) *Findings {
	f := &Findings{made: map[string][]byte{}}
	maps.Copy(f.made, made)
	return f
}

// All gives them, by their digests in hexadecimal digits.
func (f *Findings) All() map[string][]byte {
	f.mu.Lock()
	defer f.mu.Unlock()
	return maps.Clone(f.made)
}

// Find gives what was made from these things before, or makes it: see Keep. Without Findings it makes it each time.
func (f *Findings) Find(from []any, make func() ([]byte, error)) ([]byte, error) {
	if f == nil {
		return make()
	}
	key := keyOf(from)
	digits := hex.EncodeToString(key[:])
	f.mu.Lock()
	known, ok := f.made[digits]
	f.mu.Unlock()
	if ok {
		return known, nil
	}
	made, err := make()
	if err == nil {
		f.mu.Lock()
		f.made[digits] = made
		f.mu.Unlock()
	}
	return made, err
}
