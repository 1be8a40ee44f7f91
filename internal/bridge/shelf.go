package bridge

import (
	"sync/atomic"

	"panside/internal/book"
	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/say"
)

// The coin book isn't part of the core: both homes hand its files over. The
// server has all of them and calls Use once. A phone begins without any:
//
//	book-open  {"language":"en"} + the manifest as it was fetched
//	           -> {"files":[names]} what the edition consists of
//	book-put   {"name":NAME} + the file as it was fetched -> {}
//	           Refused when the bytes aren't those that NAME was made for.
//	book-lost  {"name":NAME,"why":text for the log,"gone":true|false} -> {}
//	           the file can't be had; gone: the server answered that it has none
//
// What follows the line is bytes. Any method may then answer {"need":[names]}
// in place of an answer: fetch and put these, or say that they are lost, and ask
// the same once more; manifest.json is needed first, and opened. A file that was refused or lost is told once as an error
// (book-damaged, book-missing, book-version) to whoever needs it, and after that needed anew.

// theBook is the shelf that Call answers from; a Phone has its own.
var theBook atomic.Pointer[func(language string) *book.Shelf]

// Use has Call answer from a shelf of the language asked for, which is fetched at the
// first question that needs it. Until then it answers fault.BookMissing.
func Use(s func(language string) *book.Shelf) { theBook.Store(&s) }

// needs is the answer of a phone's core that lacks files of the book.
func needs(t *say.Tongue, names []string) []byte {
	out, err := json.Marshal(struct {
		Need []string `json:"need"`
	}{names})
	if err != nil {
		return failed(t, err)
	}
	return out
}

type fileIn struct {
	Language string `json:"language"`
	Name     string `json:"name"`
	Why      string `json:"why"`
	Gone     bool   `json:"gone"`
}

// shelfMethods fill a phone's own shelf.
func shelfMethods(s *book.Shelf) phoneMethods {
	return phoneMethods{
		"book-open": func(in []byte) (any, error) {
			q, manifest, err := fileOf(in)
			if err != nil {
				return nil, err
			}
			if err := s.Open(manifest, q.Language); err != nil {
				return nil, err
			}
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
			s.Lost(q.Name, q.Why, q.Gone)
			return struct{}{}, nil
		},
	}
}

func fileOf(in []byte) (q fileIn, rest []byte, err error) {
	rest, err = header(in, &q)
	if err != nil {
		return q, nil, fault.Wrap(fault.BadInput, say.New("book-file-refused"), err)
	}
	return q, rest, nil
}
