package coin

import (
	"bytes"
	"embed"
	"encoding/json"
	"errors"
	"io/fs"
	"slices"
	"strings"
	"sync"
)

//go:embed data/*.json
var embedded embed.FS

// Default is the book of the embedded data, parsed when first asked for. A
// test proves with Load that it is right, so that is not checked at each start.
var Default = sync.OnceValue(func() *Book {
	var l loader
	b, err := l.open(Data())
	if err == nil {
		err = l.err()
	}
	if err != nil {
		panic("coin: embedded data: " + err.Error())
	}
	return b
})

// Data is the folder of the embedded files.
func Data() fs.FS {
	sub, err := fs.Sub(embedded, "data")
	if err != nil {
		panic("coin: embedded data: " + err.Error()) // only for a bad name
	}
	return sub
}

// The files shared by all countries; every other .json file is a country.
const (
	alloysFile  = "alloys.json"
	sourcesFile = "sources.json"
)

// The shapes of the files; data/README.md explains them.
type (
	// figureJSON is [figure as the source writes it, source id, grade].
	figureJSON [3]string

	countryJSON struct {
		ID       string `json:"id"`
		Name     string `json:"name"`
		Order    int    `json:"order"`
		Through  int    `json:"through"`
		Unmarked string `json:"unmarked"`
		// DatesFrom is the source and grade of all issues' years and mints.
		DatesFrom [2]string `json:"dates_from"`
		// EdgesFrom is that of the edges, where a planchet has none of its own.
		EdgesFrom [2]string `json:"edges_from"`
		Neighbour string    `json:"neighbour"`

		Denominations []denominationJSON `json:"denominations"`
		Planchets     []planchetJSON     `json:"planchets"`
		Issues        []issueJSON        `json:"issues"`

		StruckForOthers     []foreignStrikeJSON `json:"struck_for_others"`
		StruckForOthersFrom [2]string           `json:"struck_for_others_from"`
	}
	denominationJSON struct {
		ID      string `json:"id"`
		Name    string `json:"name"`
		Plural  string `json:"plural"`
		Short   string `json:"short"`
		Current bool   `json:"current"`
	}
	alloyJSON struct {
		ID       string              `json:"id"`
		Name     string              `json:"name"`
		Family   string              `json:"family"`
		Parts    map[Element]float64 `json:"parts"`
		Source   string              `json:"source"`
		Grade    Grade               `json:"grade"`
		Colour   Colour              `json:"colour"`
		Magnetic Magnetism           `json:"magnetic"`
		Wear     WearClass           `json:"wear"`
		Band     *[2]float64         `json:"band"`
		Note     string              `json:"note"`
	}
	planchetJSON struct {
		ID        string      `json:"id"`
		Name      string      `json:"name"`
		Alloy     string      `json:"alloy"`
		Mass      figureJSON  `json:"mass"`
		Limit     *figureJSON `json:"limit"`
		Remedy    *remedyJSON `json:"remedy"`
		Diameter  *figureJSON `json:"diameter"`
		Thickness *figureJSON `json:"thickness"`
		Edge      Edge        `json:"edge"`
		EdgeNote  string      `json:"edge_note"`
		EdgeFrom  *[2]string  `json:"edge_from"`
		Layers    []layerJSON `json:"layers"`
		LayersOf  *[2]string  `json:"layers_from"`
		Magnetic  *Magnetism  `json:"magnetic"`
		Note      string      `json:"note"`
	}
	remedyJSON struct {
		Figure figureJSON `json:"figure"`
		Pieces int        `json:"pieces"`
		Rule   string     `json:"rule"`
	}
	layerJSON struct {
		Part  Part    `json:"part"`
		Alloy string  `json:"alloy"`
		Share float64 `json:"share"`
	}
	issueJSON struct {
		ID           string `json:"id"`
		Denomination string `json:"denomination"`
		Name         string `json:"name"`
		Years        string `json:"years"`
		Planchet     string `json:"planchet"`
		Collector    bool   `json:"collector"`
		Sign         string `json:"sign"`
		Note         string `json:"note"`
	}
	foreignStrikeJSON struct {
		Name     string `json:"name"`
		Years    string `json:"years"`
		Planchet string `json:"planchet"`
	}
)

// Load reads and validates the files in fsys. The error names every file and
// entry that is wrong, for the one who writes the data.
func Load(fsys fs.FS) (*Book, error) {
	var l loader
	b, err := l.open(fsys)
	if err != nil {
		return nil, err
	}
	if len(l.problems) == 0 {
		l.check(b)
	}
	if err := l.err(); err != nil {
		return nil, err
	}
	return b, nil
}

// open reads the files; what is wrong in their entries it notes in l.
func (l *loader) open(fsys fs.FS) (*Book, error) {
	b := &Book{
		alloys:    map[string]Alloy{},
		sources:   map[string]Source{},
		planchets: map[string]Planchet{},
	}
	var sources struct {
		Sources []Source `json:"sources"`
	}
	var alloys struct {
		// LooksFrom is the source and grade of all colours and magnetism.
		LooksFrom [2]string   `json:"looks_from"`
		Alloys    []alloyJSON `json:"alloys"`
	}
	if err := errors.Join(read(fsys, sourcesFile, &sources), read(fsys, alloysFile, &alloys)); err != nil {
		return nil, err
	}
	for _, s := range sources.Sources {
		addOnce(l, sourcesFile, s.ID, b.sources, s)
	}
	for _, a := range alloys.Alloys {
		addOnce(l, alloysFile, a.ID, b.alloys, l.alloy(a, alloys.LooksFrom))
	}

	names, err := fs.Glob(fsys, "*.json")
	if err != nil {
		return nil, err
	}
	var countries []countryJSON
	for _, name := range names {
		if name == alloysFile || name == sourcesFile {
			continue
		}
		var c countryJSON
		if err := read(fsys, name, &c); err != nil {
			return nil, err
		}
		if want := strings.ToLower(c.ID) + ".json"; name != want {
			l.bad(name, "holds "+c.ID+", so it should be named "+want)
		}
		countries = append(countries, c)
	}
	slices.SortStableFunc(countries, func(a, b countryJSON) int { return a.Order - b.Order })
	for _, c := range countries {
		l.country(b, c)
	}
	b.index()
	return b, nil
}

// err is what is wrong with the entries, or nil.
func (l *loader) err() error {
	if len(l.problems) == 0 {
		return nil
	}
	return errors.New(strings.Join(l.problems, "\n"))
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
