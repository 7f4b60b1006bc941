package build

import (
	"encoding/binary"
	"maps"
	"slices"
)

// packed is what a bundle says, as bytes: numbers of as many bytes as they need, and texts behind their lengths. One
// description of what is said, about.pack, both writes and reads it. A browser reads this in a small part of the
// time that encoding/json takes there, because that is large and has to be compiled first.
type packed struct {
	data    []byte // written so far, or left to be read
	reading bool
	damaged bool // what is read from there on is empty
}

// fail ends the reading.
func (p *packed) fail() { p.data, p.damaged = nil, true }

func (p *packed) number(n *int) {
	if !p.reading {
		p.data = binary.AppendVarint(p.data, int64(*n))
		return
	}
	x, size := binary.Varint(p.data)
	if *n = int(x); size <= 0 || int64(*n) != x {
		*n = 0
		p.fail()
		return
	}
	p.data = p.data[size:]
}

func (p *packed) yes(b *bool) {
	n := 0
	if *b {
		n = 1
	}
	p.number(&n)
	if p.reading {
		*b = n == 1
	}
}

func (p *packed) bytes(b *[]byte) {
	n := len(*b)
	p.number(&n)
	switch {
	case !p.reading:
		p.data = append(p.data, *b...)
	case n < 0 || n > len(p.data):
		*b = nil
		p.fail()
	default:
		*b, p.data = p.data[:n:n], p.data[n:]
	}
}

func (p *packed) text(s *string) {
	b := []byte(*s)
	p.bytes(&b)
	if p.reading {
		*s = string(b)
	}
}

func (p *packed) texts(texts ...*string) {
	for _, s := range texts {
		p.text(s)
	}
}

// packList packs a list, whose items pack does one by one. None is nil again.
func packList[T any](p *packed, list *[]T, pack func(*T)) {
	n := len(*list)
	p.number(&n)
	if !p.reading {
		for i := range *list {
			pack(&(*list)[i])
		}
		return
	}
	if *list = nil; n < 0 {
		p.fail()
	}
	for i := 0; i < n && !p.damaged; i++ {
		var item T
		pack(&item)
		*list = append(*list, item)
	}
}

// packMap packs a map in the order of its keys.
func packMap[M ~map[string]V, V any](p *packed, m *M, pack func(*V)) {
	var keys []string
	if p.reading {
		*m = M{}
	} else {
		keys = slices.Sorted(maps.Keys(*m))
	}
	packList(p, &keys, func(key *string) {
		p.text(key)
		value := (*m)[*key]
		if pack(&value); p.reading {
			(*m)[*key] = value
		}
	})
}
