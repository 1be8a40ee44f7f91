package journal

import (
	"encoding/base64"
	"errors"
)

// ErrFork says that a writer's history has two different entries under one id:
// a device was restored from an old state and went on under its old name. The
// newcomer is not taken; its device must write it again under a new Writer.
var ErrFork = errors.New("journal: two histories under one writer")

// chain is one writer's history as far as it was seen: whole up to head, and
// perhaps some entries beyond a gap.
type chain struct {
	// prints are the first 48 bits of each entry's hash, eight letters an entry,
	// to tell the same entry from another one under its id. They come from a
	// snapshot (old) and from what was added since (fresh), and stay text
	// because a phone that starts must not spend time on decoding them.
	old    string
	fresh  []byte
	head   [32]byte // hash of the last entry of the whole part
	beyond map[uint64]link
	newest Stamp
}

// link is an entry beyond a gap.
type link struct {
	sum  [32]byte
	prev Hash
}

const printLen = 8

func printOf(sum [32]byte) (p [printLen]byte) {
	base64.RawURLEncoding.Encode(p[:], sum[:printLen*6/8])
	return p
}

// whole is the sequence number up to which nothing is missing.
func (c *chain) whole() uint64 { return uint64(len(c.old)+len(c.fresh)) / printLen }

func (c *chain) printAt(seq uint64) string {
	at := int(seq-1) * printLen
	if at < len(c.old) {
		return c.old[at : at+printLen]
	}
	at -= len(c.old)
	return string(c.fresh[at : at+printLen])
}

// has reports whether the chain holds an entry under a sequence number.
func (c *chain) has(seq uint64) bool {
	if seq <= c.whole() {
		return true
	}
	_, ok := c.beyond[seq]
	return ok
}

// add links an entry in; false if it was there already. Error: ErrFork.
func (c *chain) add(seq uint64, sum [32]byte, prev Hash) (bool, error) {
	whole := c.whole()
	if seq <= whole {
		if p := printOf(sum); c.printAt(seq) != string(p[:]) {
			return false, ErrFork
		}
		return false, nil
	}
	if known, ok := c.beyond[seq]; ok {
		if known.sum != sum {
			return false, ErrFork
		}
		return false, nil
	}
	before, after := c.beyond[seq-1].sum, c.beyond[seq+1]
	if seq == whole+1 {
		before = c.head
	}
	if before != ([32]byte{}) && hashOf(before) != prev || after.prev != "" && after.prev != hashOf(sum) {
		return false, ErrFork
	}
	if seq > whole+1 {
		if c.beyond == nil {
			c.beyond = map[uint64]link{}
		}
		c.beyond[seq] = link{sum, prev}
		return true, nil
	}
	c.append(sum)
	for next, ok := c.beyond[c.whole()+1]; ok; next, ok = c.beyond[c.whole()+1] {
		delete(c.beyond, c.whole()+1)
		c.append(next.sum)
	}
	return true, nil
}

func (c *chain) append(sum [32]byte) {
	p := printOf(sum)
	c.fresh, c.head = append(c.fresh, p[:]...), sum
}
