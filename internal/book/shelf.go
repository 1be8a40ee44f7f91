package book

import (
	"errors"
	"slices"
	"strings"
	"sync"

	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/look"
	"panside/internal/say"
)

// Shelf is what of the book is at hand. It starts empty; Open gives it the
// manifest and Put the files. Whoever asks for a part whose files aren't there
// gets *Lacking with their names, of the manifest at first. Safe for concurrent use.
type Shelf struct {
	mu      sync.Mutex
	edition Edition
	open    bool
	spoken  string      // the language asked for, with its region
	tongue  *say.Tongue // nil until its file was read
	files   map[string][]byte
	lost    map[string]error // by name: why a file can't be had

	coins   *coin.Book // of the countries in coinsOf
	coinsOf []string
	// strangers: these are in coins too.
	strangers bool
	looks     *look.Book // with what was put so far
}

// NewShelf returns an empty one.
func NewShelf() *Shelf {
	return &Shelf{files: map[string][]byte{}, lost: map[string]error{}}
}

// Lacking is no fault: it names the files to be put before the same can be
// asked again.
type Lacking struct{ Names []string }

// Error gives the log's text.
func (l *Lacking) Error() string { return "not at hand: " + strings.Join(l.Names, ", ") }

// Open takes the manifest, and the language if it has that, else English. A region
// ("es-MX") decides how numbers are written.
// A manifest that it can't take is refused, and whoever asks for anything is
// told so once. Errors: fault.BookDamaged, fault.BookVersion.
func (s *Shelf) Open(manifest []byte, language string) error {
	m, err := ReadManifest(manifest)
	if err != nil {
		s.mu.Lock()
		defer s.mu.Unlock()
		s.lost[ManifestName] = err
		return err
	}
	base, _, _ := strings.Cut(language, "-")
	e, ok := m.Languages[base]
	if !ok {
		e, language = m.Languages[DefaultLanguage], DefaultLanguage
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.edition, s.open = e, true
	s.spoken, s.tongue = language, nil
	s.files, s.lost = map[string][]byte{}, map[string]error{}
	s.coins, s.coinsOf, s.strangers, s.looks = nil, nil, false, nil
	return nil
}

// All are the names of the edition's files, in order.
func (s *Shelf) All() []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.edition.files()
}

// Put adds a file. The shelf keeps the bytes. A file whose content isn't the
// one its name was made for is refused, and whoever needs it is told so once;
// then it is asked for anew. Errors: fault.BookDamaged.
func (s *Shelf) Put(name string, content []byte) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !holds(name, content) {
		err := fault.Wrap(fault.BookDamaged, say.New("book-part-damaged"), errors.New(name+" has another hash"))
		s.lost[name] = err
		return err
	}
	delete(s.lost, name)
	if _, twice := s.files[name]; twice {
		return nil
	}
	s.files[name] = content
	if s.looks != nil {
		s.looks = s.looks.With(s.looksOf(name), content)
	}
	return nil
}

// Lost says that a file couldn't be had, and why, for the log; gone, that the
// server was there and has it no more. Whoever needs it is told so once; then it
// is asked for anew.
func (s *Shelf) Lost(name, why string, gone bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if gone {
		s.lost[name] = fault.Wrap(fault.BookVersion, say.New("book-laptop-newer"), errors.New(name+": "+why))
		return
	}
	s.lost[name] = fault.Wrap(fault.BookMissing, say.New("book-part-missing"), errors.New(name+": "+why))
}

// at returns nil if all names are at hand, else why not: *Lacking, or the fault
// of a file that can't be had.
func (s *Shelf) at(names ...string) error {
	if !s.open {
		names = []string{ManifestName}
	}
	var lacking []string
	for _, n := range names {
		if _, ok := s.files[n]; ok || slices.Contains(lacking, n) {
			continue
		}
		if err := s.lost[n]; err != nil {
			delete(s.lost, n)
			return err
		}
		lacking = append(lacking, n)
	}
	if lacking != nil {
		return &Lacking{lacking}
	}
	return nil
}

// Judging is the catalogue with what a judgement in the country takes: its own
// coins and those that stray in. For a country that isn't there, it is the
// whole, which says so. Errors: *Lacking, fault.BookMissing, fault.BookDamaged.
func (s *Shelf) Judging(country string) (*coin.Book, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	c, ok := s.edition.country(country)
	if !ok {
		return s.catalogue(s.edition.Countries, true)
	}
	var of []Country
	for _, k := range s.edition.Countries {
		if slices.Contains(c.Judging, k.Coins) {
			of = append(of, k)
		}
	}
	return s.catalogue(of, slices.Contains(c.Judging, s.edition.Strangers))
}

// Coins is the catalogue of all countries. Errors: as Judging.
func (s *Shelf) Coins() (*coin.Book, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.catalogue(s.edition.Countries, true)
}

// catalogue is a catalogue with these countries at least, and the strangers if
// they are wanted: what was asked for before stays in it.
func (s *Shelf) catalogue(countries []Country, strangers bool) (*coin.Book, error) {
	names := append(s.says(), s.edition.Metals)
	if strangers {
		names = append(names, s.edition.Strangers)
	}
	for _, c := range countries {
		names = append(names, c.Coins)
	}
	if err := s.at(names...); err != nil {
		return nil, err
	}
	more := s.coins == nil || strangers && !s.strangers
	s.strangers = s.strangers || strangers
	for _, c := range countries {
		if !slices.Contains(s.coinsOf, c.ID) {
			s.coinsOf, more = append(s.coinsOf, c.ID), true
		}
	}
	if more {
		var files [][]byte
		for _, c := range s.edition.Countries {
			if slices.Contains(s.coinsOf, c.ID) {
				files = append(files, s.files[c.Coins])
			}
		}
		var abroad []byte
		if s.strangers {
			abroad = s.files[s.edition.Strangers]
		}
		b, err := coin.Open(s.files[s.edition.Metals], abroad, files...)
		if err != nil { // its hash is right, so it was built so: a test holds that
			return nil, fault.Wrap(fault.BookDamaged, say.New("book-unreadable"), err)
		}
		b.Speaks(s.inTongue())
		s.coins = b
	}
	return s.coins, nil
}

// says are the files that writing sentences takes.
func (s *Shelf) says() []string {
	if s.edition.Say == "" {
		return nil
	}
	return []string{s.edition.Say}
}

// Tongue writes sentences in the shelf's language, in English while that isn't at hand.
func (s *Shelf) Tongue() *say.Tongue {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.inTongue()
}

func (s *Shelf) inTongue() *say.Tongue {
	if s.tongue != nil {
		return s.tongue
	}
	raw, ok := s.files[s.edition.Say]
	if !ok {
		return say.English
	}
	t, err := say.Open(s.spoken, raw)
	if err != nil { // its hash is right, so it was built so: the build parses all of it
		return say.English
	}
	s.tongue = t
	return t
}

// Speak adds what sentences take to what is at hand; before, Tongue is English. Errors:
// *Lacking, fault.BookMissing, fault.BookDamaged.
func (s *Shelf) Speak() (*say.Tongue, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.at(s.says()...); err != nil {
		return nil, err
	}
	return s.inTongue(), nil
}

// Looks is what any coin may show. Errors: as Judging.
func (s *Shelf) Looks() (*look.Book, error) {
	return s.looksWith(nil)
}

// LooksOf is that with the look-fors of a denomination, if there are some.
// Errors: as Judging.
func (s *Shelf) LooksOf(country, denomination string) (*look.Book, error) {
	return s.looksWith(func(e Edition) string {
		c, _ := e.country(country)
		return c.Denominations[denomination]
	})
}

// LooksWithKey is that with the identification key. Errors: as Judging.
func (s *Shelf) LooksWithKey() (*look.Book, error) {
	return s.looksWith(func(e Edition) string { return e.Key })
}

func (s *Shelf) looksWith(more func(Edition) string) (*look.Book, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	names := append(s.says(), s.edition.Looks)
	if more != nil {
		if n := more(s.edition); n != "" {
			names = append(names, n)
		}
	}
	if err := s.at(names...); err != nil {
		return nil, err
	}
	if s.looks == nil {
		b, err := look.Open(s.files[s.edition.Looks])
		if err != nil {
			return nil, fault.Wrap(fault.BookDamaged, say.New("book-looks-unreadable"), err)
		}
		b.Speaks(s.inTongue())
		for name, content := range s.files {
			b = b.With(s.looksOf(name), content)
		}
		s.looks = b
	}
	return s.looks, nil
}

// looksOf is the part of the look-fors that a file is.
func (s *Shelf) looksOf(name string) look.Part {
	if name == s.edition.Key {
		return look.Part{Key: true}
	}
	for _, c := range s.edition.Countries {
		for d, of := range c.Denominations {
			if of == name {
				return look.Part{Country: c.ID, Denomination: d}
			}
		}
	}
	return look.Part{}
}

// Check holds the whole book to its rules; all files must be at hand. The error
// names every entry that is wrong, for the one who writes the data.
func (s *Shelf) Check() error {
	coins, err := s.Coins()
	if err != nil {
		return err
	}
	looks, err := s.Looks()
	if err != nil {
		return err
	}
	return errors.Join(coins.Check(), looks.Check())
}
