// Package data is the coin book as its authors write it: JSON files laid out by
// country, denomination and language, and what turns them into the files that
// the server sends and both homes of the core load. README.md says where each
// fact stands and how to add one.
//
// The program that imports it carries the sources along; the phone's core
// doesn't import it and is handed the built files.
package data

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"sync"

	"panside/internal/book"
	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/look"
)

//go:embed *.json */*.json
var sources embed.FS

// Sources is the folder of the files as they are written.
func Sources() fs.FS { return sources }

// Files are the embedded sources as built for the phone: the manifest and all
// that it names. A test proves that they can be built, so it panics where they
// can't.
var Files = sync.OnceValue(func() map[string][]byte {
	files, err := Build(sources)
	if err != nil {
		panic("book/data: " + err.Error())
	}
	return files
})

// Shelf is the whole book in English, for the server's commands and tests.
func Shelf() *book.Shelf { return ShelfIn(book.DefaultLanguage) }

var (
	opening sync.Mutex
	opened  = map[string]*book.Shelf{}
)

// ShelfIn is the whole book in a language and region, as book.Shelf.Open takes them. Each
// stays in memory, so the caller asks for few.
func ShelfIn(language string) *book.Shelf {
	opening.Lock()
	defer opening.Unlock()
	if opened[language] == nil {
		s, err := Open(Files(), language)
		if err != nil {
			panic("book/data: " + err.Error())
		}
		opened[language] = s
	}
	return opened[language]
}

// Coins is the whole catalogue in English, for tests and practice.
func Coins() *coin.Book {
	coins, err := Shelf().Coins()
	if err != nil {
		panic("book/data: " + err.Error())
	}
	return coins
}

// Looks is all there is to look for, in English.
func Looks() *look.Book {
	looks, err := Shelf().Looks()
	if err != nil {
		panic("book/data: " + err.Error())
	}
	return looks
}

// Open puts built files on a shelf, all of the language.
func Open(files map[string][]byte, language string) (*book.Shelf, error) {
	s := book.NewShelf()
	if err := s.Open(files[book.ManifestName], language); err != nil {
		return nil, err
	}
	for _, name := range s.All() {
		if err := s.Put(name, files[name]); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
	}
	return s, nil
}

// Check holds built files to all rules, in every language: what the catalogue,
// the look-fors and the key must be, and the sources that they were built from to having
// every name once. The error names every entry that is wrong, with file and line of the
// source.
func Check(from fs.FS, files map[string][]byte) error { return located(from, checked(files)) }

func checked(files map[string][]byte) error {
	m, err := book.ReadManifest(files[book.ManifestName])
	if err != nil {
		return err
	}
	for _, language := range slices.Sorted(maps.Keys(m.Languages)) {
		s, err := Open(files, language)
		if err != nil {
			return err
		}
		if err := s.Check(); err != nil {
			// What a phone would be told is of no use to whoever writes the data.
			if damaged := new(fault.Error); errors.As(err, &damaged) && damaged.Cause != nil {
				err = damaged.Cause
			}
			return fmt.Errorf("in %s: %w", language, err)
		}
		coins, err := s.Coins()
		if err != nil {
			return err
		}
		looks, err := s.Looks()
		if err != nil {
			return err
		}
		if err := ofKnownCoins(looks, coins); err != nil {
			return fmt.Errorf("in %s: %w", language, err)
		}
	}
	return nil
}
