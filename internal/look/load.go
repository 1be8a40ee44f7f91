package look

import (
	"bytes"
	"embed"
	"encoding/json"
	"errors"
	"io/fs"
	"strconv"
	"strings"
	"sync"
)

//go:embed data/*.json
var data embed.FS

// Book is all there is to look for. The files of the denominations and of the
// key are read when they are first asked for: a phone that has just been opened
// wants one coin, and reading all would take longer than judging it.
type Book struct {
	kinds         map[string]*Kind
	kindOrder     []string
	general       []Fact
	denominations map[string]func() (*denomination, error) // by "US/cent"
	cautions      []Caution
	key           func() (Key, error)
}

// denomination is one file of facts.
type denomination struct {
	Country      string `json:"country"`
	Denomination string `json:"denomination"`
	Types        []Fact `json:"types"`
	Dates        []Fact `json:"dates"`
}

// Default is the book of the embedded data. A test proves with Load that all of
// it can be read and is right, so that is not checked at each start.
var Default = sync.OnceValue(func() *Book {
	sub, err := fs.Sub(data, "data")
	if err == nil {
		var b *Book
		if b, err = openBook(sub); err == nil {
			return b
		}
	}
	panic(unreadable(err))
})

func unreadable(err error) string { return "look: embedded data: " + err.Error() }

// Load reads and checks the data in fsys. The error names every file and entry
// that is wrong, for the one who writes the data.
func Load(fsys fs.FS) (*Book, error) {
	b, err := openBook(fsys)
	if err != nil {
		return nil, err
	}
	for _, d := range b.denominations {
		if _, err := d(); err != nil {
			return nil, err
		}
	}
	if _, err := b.key(); err != nil {
		return nil, err
	}
	return b, b.check()
}

// openBook reads what every sheet needs.
func openBook(fsys fs.FS) (*Book, error) {
	b := &Book{kinds: map[string]*Kind{}, denominations: map[string]func() (*denomination, error){}}
	var kinds struct{ Kinds []*Kind }
	var general struct{ Facts []Fact }
	var cautions struct{ Cautions []Caution }
	err := errors.Join(
		read(fsys, "kinds.json", &kinds),
		read(fsys, "any.json", &general),
		read(fsys, "cautions.json", &cautions),
	)
	if err != nil {
		return nil, err
	}
	for _, k := range kinds.Kinds {
		b.kinds[k.ID] = k
		b.kindOrder = append(b.kindOrder, k.ID)
		if k.Any {
			b.general = append(b.general, Fact{Kind: k.ID})
		}
	}
	b.general = append(b.general, general.Facts...)
	if err := dated(b.general); err != nil {
		return nil, err
	}
	b.cautions = cautions.Cautions
	b.key = sync.OnceValues(func() (k Key, err error) {
		err = read(fsys, "key.json", &k)
		return k, err
	})

	names, err := fs.Glob(fsys, "*-*.json")
	if err != nil {
		return nil, err
	}
	for _, name := range names {
		country, of, _ := strings.Cut(strings.TrimSuffix(name, ".json"), "-")
		id := strings.ToUpper(country) + "/" + of
		b.denominations[id] = sync.OnceValues(func() (*denomination, error) { return readDenomination(fsys, name, id) })
	}
	return b, nil
}

func readDenomination(fsys fs.FS, name, id string) (*denomination, error) {
	d := &denomination{}
	if err := read(fsys, name, d); err != nil {
		return nil, err
	}
	if holds := d.Country + "/" + d.Denomination; holds != id {
		return nil, errors.New(name + ": holds " + holds + ", so it should be named " + strings.ToLower(d.Country) + "-" + d.Denomination + ".json")
	}
	for _, facts := range [][]Fact{d.Types, d.Dates} {
		if err := dated(facts); err != nil {
			return nil, errors.New(name + ": " + err.Error())
		}
	}
	return d, nil
}

// dated works the facts' years out of how they are written.
func dated(facts []Fact) error {
	for i := range facts {
		f := &facts[i]
		spans, err := parseSpans(f.Years)
		if err != nil {
			return errors.New("entry " + strconv.Itoa(i) + " (" + f.Kind + " " + f.Years + "): " + err.Error())
		}
		f.spans = spans
	}
	return nil
}

// denomination is what is known of one, read by now; false if nothing is.
func (b *Book) denomination(id string) (*denomination, bool) {
	of, ok := b.denominations[id]
	if !ok {
		return nil, false
	}
	d, err := of()
	if err != nil {
		panic(unreadable(err)) // Load has returned it, or its test would
	}
	return d, true
}

// read is strict: a misspelt field is an error, not silence.
func read(fsys fs.FS, name string, into any) error {
	raw, err := fs.ReadFile(fsys, name)
	if err != nil {
		return err
	}
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.DisallowUnknownFields()
	if err := dec.Decode(into); err != nil {
		return errors.New(name + ": " + err.Error())
	}
	return nil
}

// Kinds lists the fixed kinds in the order of the data.
func (b *Book) Kinds() []Kind {
	out := make([]Kind, len(b.kindOrder))
	for i, id := range b.kindOrder {
		out[i] = *b.kinds[id]
	}
	return out
}
