package look

import (
	"errors"
	"maps"
	"sync"

	"panside/internal/json"
	"panside/internal/say"
)

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
	tongue        *say.Tongue
}

// Speaks has a book whose words are of one language say its sentences in that too; call
// it before the book is shared.
func (b *Book) Speaks(t *say.Tongue) { b.tongue = t }

// write writes a line in the book's language, English unless Speaks was called.
func (b *Book) write(l say.Line) string {
	if b.tongue == nil {
		return say.English.Write(l)
	}
	return b.tongue.Write(l)
}

// denomination is one file of facts.
type denomination struct {
	Country      string `json:"country"`
	Denomination string `json:"denomination"`
	Types        []Fact `json:"types"`
	Dates        []Fact `json:"dates"`
}

// Part says what a file beside the general one holds: the key, or the look-fors
// of a denomination. The zero Part is nothing of this book.
type Part struct {
	Key                   bool
	Country, Denomination string
}

// Open reads what every sheet needs: kinds, general entries and cautions. What
// it doesn't check, Check does.
func Open(general []byte) (*Book, error) {
	var file struct {
		Kinds    []*Kind   `json:"kinds"`
		Facts    []Fact    `json:"facts"`
		Cautions []Caution `json:"cautions"`
	}
	if err := read(general, &file); err != nil {
		return nil, err
	}
	b := &Book{
		kinds: map[string]*Kind{}, denominations: map[string]func() (*denomination, error){}, cautions: file.Cautions,
		key: func() (Key, error) { return Key{}, errors.New("the key isn’t at hand") },
	}
	for _, k := range file.Kinds {
		b.kinds[k.ID] = k
		b.kindOrder = append(b.kindOrder, k.ID)
		if k.Any {
			b.general = append(b.general, Fact{ID: k.ID, Kind: k.ID})
		}
	}
	b.general = append(b.general, file.Facts...)
	if err := dated(b.general); err != nil {
		return nil, err
	}
	return b, nil
}

// With is the book with one more part, which is read when it is first asked for.
// b stays as it is.
func (b *Book) With(p Part, file []byte) *Book {
	more := *b
	switch {
	case p.Key:
		more.key = sync.OnceValues(func() (k Key, err error) {
			err = read(file, &k)
			return k, err
		})
	case p.Denomination != "":
		more.denominations = maps.Clone(b.denominations)
		more.denominations[p.Country+"/"+p.Denomination] = sync.OnceValues(func() (*denomination, error) { return readDenomination(file) })
	}
	return &more
}

func readDenomination(file []byte) (*denomination, error) {
	d := &denomination{}
	if err := read(file, d); err != nil {
		return nil, err
	}
	for _, facts := range [][]Fact{d.Types, d.Dates} {
		if err := dated(facts); err != nil {
			return nil, err
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
			return errors.New(f.ID + " (" + f.Kind + " " + f.Years + "): " + err.Error())
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
		panic(unreadable(err)) // Check has returned it, or its test would
	}
	return d, true
}

func unreadable(err error) string { return "look: built data: " + err.Error() }

// read is strict: a misspelt field is an error, not silence.
func read(file []byte, into any) error { return json.Strict(file, into) }

// Kinds lists the fixed kinds in the order of the data.
func (b *Book) Kinds() []Kind {
	out := make([]Kind, len(b.kindOrder))
	for i, id := range b.kindOrder {
		out[i] = *b.kinds[id]
		out[i].Sure, out[i].Source = b.sureness(out[i].Sure, out[i].Source), ""
	}
	return out
}
