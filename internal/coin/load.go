package coin

import (
	"errors"
	"strconv"
	"strings"

	"panside/internal/json"
	"panside/internal/stable"
)

// The shapes of the files; internal/book/data/README.md explains them.
type (
	// figureJSON is [figure as the source writes it, source id, grade], or
	// [figure, index in origins] where the build shortened it.
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
		// StraysFrom are the countries whose coins stray in, the neighbour's too.
		StraysFrom []string `json:"strays_from"`

		Denominations []denominationJSON `json:"denominations"`
		Planchets     []planchetJSON     `json:"planchets"`
		Issues        []issueJSON        `json:"issues"`
		Wants         []Want             `json:"wants"`

		StruckForOthers     []foreignStrikeJSON `json:"struck_for_others"`
		StruckForOthersFrom [2]string           `json:"struck_for_others_from"`

		Questions    []Question    `json:"questions"`
		OffYears     []offYearJSON `json:"off_years"`
		OffYearsFrom [2]string     `json:"off_years_from"`

		// Origins are the sources and grades of the file’s figures; the build makes them.
		Origins [][2]string `json:"origins"`
	}
	denominationJSON struct {
		ID      string `json:"id"`
		Name    string `json:"name"`
		Plural  string `json:"plural"`
		Short   string `json:"short"`
		Current bool   `json:"current"`
	}
	// wearRateJSON is the mean relative loss of mass a year of a wear class.
	wearRateJSON struct {
		ID    WearClass  `json:"id"`
		AYear figureJSON `json:"a_year"`
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
		Elastic  *figureJSON         `json:"elastic"` // "80 GPa 0.37"
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
		Kept         bool   `json:"kept"`
		Sign         string `json:"sign"`
		Note         string `json:"note"`
	}
	foreignStrikeJSON struct {
		ID       string `json:"id"` // what its name is found by, in every language
		Name     string `json:"name"`
		Years    string `json:"years"`
		Planchet string `json:"planchet"`
		Where    string `json:"where"`
	}
	offYearJSON struct {
		Denomination string `json:"denomination"`
		Years        string `json:"years"`
		Planchet     string `json:"planchet"`
	}
)

// Open reads a catalogue from its built files: the metals, with the sources of
// all figures, the strangers or nil, and the countries in any order. It refuses entries that can't be
// read; whether they are right, Check says. The error names every file and entry
// that is wrong, for the one who writes the data.
func Open(metals, strangers []byte, countries ...[]byte) (*Book, error) {
	b := &Book{
		alloys:    map[string]Alloy{},
		wearRates: map[string]Figure{},
		sources:   map[string]Source{},
		planchets: map[string]Planchet{},
		questions: map[string][]Question{},
		wants:     map[string][]Want{},
	}
	var l loader
	var m struct {
		// LooksFrom is the source and grade of all colours and magnetism.
		LooksFrom [2]string      `json:"looks_from"`
		WearRates []wearRateJSON `json:"wear_rates"`
		Alloys    []alloyJSON    `json:"alloys"`
		Sources   []Source       `json:"sources"`
		// Origins are the sources and grades of the alloys, as in a country’s file.
		Origins [][2]string `json:"origins"`
	}
	if err := read("metals", metals, &m); err != nil {
		return nil, err
	}
	for _, s := range m.Sources {
		addOnce(&l, "sources", s.ID, b.sources, s)
	}
	for _, w := range m.WearRates {
		f, rate, _ := l.figure("wear rate "+string(w.ID), &w.AYear)
		f.Value = rate.Float64()
		addOnce(&l, "wear rates", string(w.ID), b.wearRates, f)
	}
	l.origins = m.Origins
	for _, a := range m.Alloys {
		alloy := l.alloy(a, m.LooksFrom)
		alloy.WearRate = b.wearRates[string(a.Wear)].Value
		addOnce(&l, "metals", a.ID, b.alloys, alloy)
	}
	all := make([]countryJSON, len(countries))
	for n, file := range countries {
		if err := read("country "+strconv.Itoa(n+1), file, &all[n]); err != nil {
			return nil, err
		}
	}
	stable.Sort(all, func(a, b countryJSON) int { return a.Order - b.Order })
	for _, c := range all {
		l.country(b, c)
		l.wants(b, &c)
	}
	if strangers != nil {
		if err := l.strangersOf(b, strangers); err != nil {
			return nil, errors.New("strangers: " + err.Error())
		}
	}
	if err := l.err(); err != nil {
		return nil, err
	}
	b.index()
	return b, nil
}

// Check holds a whole catalogue to its rules. The error names every entry that
// is wrong, for the one who writes the data.
func (b *Book) Check() error {
	var l loader
	l.check(b)
	return l.err()
}

// err is what is wrong with the entries, or nil.
func (l *loader) err() error {
	if len(l.problems) == 0 {
		return nil
	}
	return errors.New(strings.Join(l.problems, "\n"))
}

// read is strict: a misspelt field is an error, not silence.
func read(name string, file []byte, into any) error {
	if err := json.Strict(file, into); err != nil {
		return errors.New(name + ": " + err.Error())
	}
	return nil
}
