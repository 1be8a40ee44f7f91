package bridge

import (
	"encoding/json"
	"sync/atomic"

	"panside/internal/book"
	"panside/internal/fault"
)

// The coin book isn't part of the core: both homes hand its files over. The
// server has all of them and calls Use once. A phone begins without any:
//
//	book-open  {"language":"en"} + the manifest as it was fetched
//	           -> {"files":[names]} what the edition consists of
//	book-put   {"name":NAME} + the file as it was fetched -> {}
//	           Refused when the bytes aren't those that NAME was made for.
//	book-lost  {"name":NAME,"why":text for the log} -> {}
//	           the file can't be had
//
// What follows the line is bytes. Any method may then answer {"need":[names]}
// in place of an answer: fetch and put these, or say that they are lost, and ask
// the same once more. A file that was refused or lost is told once as an error
// (book-damaged, book-missing) to whoever needs it, and after that needed anew.

// at is the shelf that all methods answer from.
var at atomic.Pointer[func() *book.Shelf]

// Use has all methods answer from a shelf, which is asked for at the first
// question. Without one they answer that there is no book.
func Use(s func() *book.Shelf) { at.Store(&s) }

func shelf() *book.Shelf {
	if s := at.Load(); s != nil {
		return (*s)()
	}
	return book.NewShelf()
}

// needs is the answer of a phone's core that lacks files of the book.
func needs(names []string) []byte {
	out, err := json.Marshal(struct {
		Need []string `json:"need"`
	}{names})
	if err != nil {
		return failed(err)
	}
	return out
}

type fileIn struct {
	Language string `json:"language"`
	Name     string `json:"name"`
	Why      string `json:"why"`
}

// shelfMethods fill a phone's own shelf, from which all methods answer then.
func shelfMethods() map[string]func(in []byte) (any, error) {
	s := book.NewShelf()
	return map[string]func(in []byte) (any, error){
		"book-open": func(in []byte) (any, error) {
			q, manifest, err := fileOf(in)
			if err != nil {
				return nil, err
			}
			if err := s.Open(manifest, q.Language); err != nil {
				return nil, err
			}
			Use(func() *book.Shelf { return s })
			return struct {
				Files []string `json:"files"`
			}{s.All()}, nil
		},
		"book-put": func(in []byte) (any, error) {
			q, content, err := fileOf(in)
			if err != nil {
				return nil, err
			}
			return struct{}{}, s.Put(q.Name, content)
		},
		"book-lost": func(in []byte) (any, error) {
			q, _, err := fileOf(in)
			if err != nil {
				return nil, err
			}
			s.Lost(q.Name, q.Why)
			return struct{}{}, nil
		},
	}
}

func fileOf(in []byte) (q fileIn, rest []byte, err error) {
	rest, err = header(in, &q)
	if err != nil {
		return q, nil, fault.Wrap(fault.BadInput, "A file of the coin book couldn’t be taken. Nothing was changed; load the page again.", err)
	}
	return q, rest, nil
}
