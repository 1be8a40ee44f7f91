package look

import (
	"bytes"
	"embed"
	"encoding/json"
	"errors"
	"io/fs"
	"strings"
	"sync"
)

//go:embed data/*.json
var data embed.FS

// Book is all there is to look for.
type Book struct {
	kinds         map[string]*Kind
	kindOrder     []string
	general       []Fact
	denominations map[string]*denomination // by "US/cent"
	cautions      []Caution
	key           Key
}

// denomination is one file of facts.
type denomination struct {
	Country      string `json:"country"`
	Denomination string `json:"denomination"`
	Types        []Fact `json:"types"`
	Dates        []Fact `json:"dates"`
}

// Default is the book of the embedded data, parsed when first asked for. A
// test proves that it loads.
var Default = sync.OnceValue(func() *Book {
	sub, err := fs.Sub(data, "data")
	if err == nil {
		var b *Book
		if b, err = Load(sub); err == nil {
			return b
		}
	}
	panic("look: embedded data: " + err.Error())
})

// Load reads and checks the data in fsys. The error names every file and entry
// that is wrong, for the one who writes the data.
func Load(fsys fs.FS) (*Book, error) {
	b := &Book{kinds: map[string]*Kind{}, denominations: map[string]*denomination{}}
	var kinds struct{ Kinds []*Kind }
	var general struct{ Facts []Fact }
	var cautions struct{ Cautions []Caution }
	err := errors.Join(
		read(fsys, "kinds.json", &kinds),
		read(fsys, "any.json", &general),
		read(fsys, "cautions.json", &cautions),
		read(fsys, "key.json", &b.key),
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
	b.cautions = cautions.Cautions

	names, err := fs.Glob(fsys, "*-*.json")
	if err != nil {
		return nil, err
	}
	for _, name := range names {
		d := &denomination{}
		if err := read(fsys, name, d); err != nil {
			return nil, err
		}
		id := d.Country + "/" + d.Denomination
		if want := strings.ToLower(d.Country) + "-" + d.Denomination + ".json"; want != name {
			return nil, errors.New(name + ": holds " + id + ", so it should be named " + want)
		}
		b.denominations[id] = d
	}
	return b, b.check()
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
