package bridge

import (
	"maps"

	"panside/internal/book"
	"panside/internal/journal"
	"panside/internal/say"
	"panside/internal/sync"
)

// PhoneProtocol is the version of what a page and its core say to one another
// by a phone's methods. Both come together; one that came from before says so.
const PhoneProtocol = 2

// Phone is the core as one phone has it: all methods, its own notebook and sync,
// and its own hand on the book. Not safe for concurrent use.
type Phone struct {
	methods map[string]func(t *say.Tongue, in []byte) (any, error)
	shelf   *book.Shelf
	sync    *sync.Machine
}

// phoneMethods are a phone's own. What they say beside their errors they ask a
// tongue for themselves.
type phoneMethods map[string]func(in []byte) (any, error)

// NewPhone returns a phone with an empty notebook. random fills a slice with
// random bytes.
func NewPhone(random func([]byte)) *Phone {
	notebook := journal.NewNotebook(random)
	s := book.NewShelf()
	j := &phoneJournal{notebook, sync.New(notebook, random, sync.Limits{}), s.Tongue}
	j.sync.Speak(s.Tongue)
	p := &Phone{maps.Clone(methods), s, j.sync}
	for _, own := range []phoneMethods{j.methods(), shelfMethods(s)} {
		for name, f := range own {
			p.methods[name] = func(_ *say.Tongue, in []byte) (any, error) { return f(in) }
		}
	}
	return p
}

// Call is the package's Call with the methods of a phone, of which some answer
// with bytes beside their line.
func (p *Phone) Call(method string, in []byte) (line, kept []byte) {
	return call(p.methods, func() *book.Shelf { return p.shelf }, p.shelf.Tongue(), method, in)
}

// LimitSync makes many messages of little, for tests.
func (p *Phone) LimitSync(l sync.Limits) { p.sync.Limit(l) }

func (j *phoneJournal) methods() phoneMethods {
	return phoneMethods{
		"journal-open":      j.open,
		"journal-add":       j.add,
		"journal-snapshot":  j.snapshot,
		"journal-write":     j.write,
		"journal-count":     j.count,
		"journal-pause":     j.pause,
		"journal-undo":      j.undo,
		"journal-list":      j.list,
		"journal-record":    j.record,
		"journal-hunts":     j.hunts,
		"journal-conflicts": j.conflicts,

		"sync-wake":   j.wake,
		"sync-next":   j.next,
		"sync-answer": j.answer,
		"sync-part":   j.part,
	}
}
