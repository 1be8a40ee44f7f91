package bridge

import (
	"bytes"
	"slices"

	"panside/internal/book"
	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/say"
	"panside/internal/stable"
)

// coinsIn is what "coins" takes; every field may be left out. Text searches
// names, metals, ids and years; the others narrow down as in a judgement.
type coinsIn struct {
	Text         string `json:"text"`
	Country      string `json:"country"`
	Denomination string `json:"denomination"`
	Year         int    `json:"year"`
	Mint         string `json:"mint"`
}

// coinsOut is its answer: the issues with all their figures, and the sources
// that these name.
type coinsOut struct {
	Coins []coinOut `json:"coins"`
	// StruckForOthers are coins that a mint of the country struck for another one.
	StruckForOthers []foreignStrikeOut `json:"struck_for_others,omitempty"`
	// Strangers are coins of countries that no judgement is made for; they have no
	// denomination.
	Strangers []strangerOut `json:"strangers,omitempty"`
	Sources   []sourceOut   `json:"sources"`
}

type coinOut struct {
	ID           string      `json:"id"`
	Country      string      `json:"country"`
	Denomination string      `json:"denomination"`
	Name         string      `json:"name"`
	Struck       []spanOut   `json:"struck"`
	Circulating  bool        `json:"circulating"`
	Note         string      `json:"note,omitempty"`
	Source       string      `json:"source"` // of the years and marks
	Grade        coin.Grade  `json:"grade"`
	Planchet     planchetOut `json:"planchet"`
}

type strangerOut struct {
	coinOut
	CountryName string `json:"country_name"`
}

type foreignStrikeOut struct {
	Country  string      `json:"country"`
	Name     string      `json:"name"`
	Struck   []spanOut   `json:"struck"`
	By       originOut   `json:"by"` // of the striking and its years
	Planchet planchetOut `json:"planchet"`
}

type planchetOut struct {
	ID        string         `json:"id"`
	Name      string         `json:"name"`
	Mass      figureOut      `json:"mass"`
	Limit     *limitOut      `json:"limit"` // null when none is published
	Diameter  *figureOut     `json:"diameter,omitempty"`
	Thickness *figureOut     `json:"thickness,omitempty"`
	Edge      coin.Edge      `json:"edge,omitempty"`
	EdgeNote  string         `json:"edge_note,omitempty"`
	EdgeBy    *originOut     `json:"edge_by,omitempty"`
	Alloy     alloyOut       `json:"alloy"`
	Layers    []layerOut     `json:"layers,omitempty"` // from the outside in; none for a solid coin
	LayersBy  *originOut     `json:"layers_by,omitempty"`
	Magnetic  coin.Magnetism `json:"magnetic"` // "" when not known
	Colour    coin.Colour    `json:"colour"`
	Stripe    bool           `json:"stripe"`
	LooksBy   originOut      `json:"looks_by"` // of magnetism and colour
	Density   *densityOut    `json:"density,omitempty"`
	Note      string         `json:"note,omitempty"`
}

// originOut says where a figure comes from and how sure it is.
type originOut struct {
	Source string     `json:"source"`
	Grade  coin.Grade `json:"grade"`
	Sure   string     `json:"sure"` // the grade in words
}

// figureOut is a figure as its source writes it and as a number: grams for a
// mass, millimetres for a length.
type figureOut struct {
	Text  string  `json:"text"`
	Value float64 `json:"value"`
	originOut
}

// limitOut is a limit of a piece, or of a batch with its rule; then Text is
// the law's figure for the batch and Value its share for one coin.
type limitOut struct {
	figureOut
	Scope coin.Scope `json:"scope"`
	Batch string     `json:"batch,omitempty"`
}

type alloyOut struct {
	Name      string                   `json:"name"`
	Fractions map[coin.Element]float64 `json:"fractions,omitempty"`
	Note      string                   `json:"note,omitempty"`
	originOut
}

type layerOut struct {
	Part  coin.Part `json:"part"`
	Alloy alloyOut  `json:"alloy"`
	Share float64   `json:"share,omitempty"` // left out when not published
}

// densityOut is in g/cm³, computed from the layers.
type densityOut struct {
	Value float64 `json:"value"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

type sourceOut struct {
	ID    string `json:"id"`
	Title string `json:"title"`
	Note  string `json:"note,omitempty"`
}

// callCoins answers "coins": it searches the catalogue. Nothing found is an
// empty list; a denomination, year or mint that isn't there is an error that
// says what is. Errors: fault.BadInput, fault.NoSuchIssue.
func callCoins(s *book.Shelf, in []byte) (any, error) {
	var q coinsIn
	if len(bytes.TrimSpace(in)) > 0 {
		if err := json.Unmarshal(in, &q); err != nil {
			return nil, fault.Wrap(fault.BadInput, say.New("coins-question-unreadable"), err)
		}
	}
	b, err := s.Coins()
	if err != nil {
		return nil, err
	}
	if q.Country != "" {
		q.Country = coin.CountryID(q.Country)
	}
	found, err := q.find(b)
	if err != nil {
		return nil, err
	}
	out := coinsOut{Coins: []coinOut{}, Sources: []sourceOut{}}
	shape := shaper{b, map[string]bool{}}
	for _, i := range found {
		out.Coins = append(out.Coins, shape.coin(i))
	}
	if q.Denomination == "" && q.Mint == "" {
		for _, g := range b.SearchForeignStrikes(q.Text) {
			if p := b.Planchet(g.Planchet); q.Country == "" || q.Country == g.Country {
				if (coin.Issue{Spans: g.Spans}).Struck(q.Year) {
					out.StruckForOthers = append(out.StruckForOthers, foreignStrikeOut{g.Country, g.Name, spansOut(g.Spans), shape.origin(g.Source, g.Grade), shape.planchet(p)})
				}
			}
		}
		for _, i := range b.SearchStrangers(q.Text) {
			if k, _ := b.Abroad(i.Country); (q.Country == "" || q.Country == i.Country) && i.Struck(q.Year) {
				out.Strangers = append(out.Strangers, strangerOut{shape.coin(i), k.Name})
			}
		}
	}
	out.Sources = shape.listed()
	return out, nil
}

func (q coinsIn) find(b *coin.Book) ([]coin.Issue, error) {
	found := b.Search(q.Text)
	if q.Denomination == "" {
		return q.ofAll(b, found)
	}
	q.Country = coin.CountryID(q.Country)
	of, err := b.Find(q.Country, b.DenominationID(q.Country, q.Denomination), q.Year, q.Mint)
	if err != nil {
		return nil, err
	}
	return slices.DeleteFunc(slices.Clone(of), func(i coin.Issue) bool {
		return !slices.ContainsFunc(found, func(f coin.Issue) bool { return f.ID == i.ID })
	}), nil
}

// ofAll narrows issues of all denominations down. A country that the book hasn't got,
// and a mark that none of its coins has, are errors.
func (q coinsIn) ofAll(b *coin.Book, found []coin.Issue) ([]coin.Issue, error) {
	if q.Country != "" {
		_, judged := b.Country(q.Country)
		if _, ok := b.Abroad(q.Country); !judged && !ok {
			_, err := b.Find(q.Country, "", 0, "") // which lists those that there are
			return nil, err
		}
	}
	marked := q.Mint == ""
	found = slices.DeleteFunc(found, func(i coin.Issue) bool {
		if q.Country != "" && i.Country != q.Country || !i.Struck(q.Year) {
			return true
		}
		return q.Mint != "" && !q.bears(b, i, q.Year)
	})
	for _, i := range b.All() {
		marked = marked || q.bears(b, i, 0)
	}
	if !marked {
		return nil, bad("mint", fault.NoSuchIssue, say.New("coins-mint", say.Text("given", quoteable(q.Mint))))
	}
	return found, nil
}

// bears reports whether coins of the issue are known with the mark. Where the book
// leaves the marks out nothing is known.
func (q coinsIn) bears(b *coin.Book, i coin.Issue, year int) bool {
	if slices.ContainsFunc(i.Spans, func(s coin.Span) bool { return s.Mints == nil }) {
		return false
	}
	of, _ := b.Find(i.Country, i.Denomination, year, q.Mint)
	return slices.ContainsFunc(of, func(o coin.Issue) bool { return o.ID == i.ID })
}

// shaper turns issues into their JSON and notes the sources they name.
type shaper struct {
	b    *coin.Book
	used map[string]bool
}

func (s shaper) sources() []string {
	var ids []string
	for id := range s.used {
		ids = append(ids, id)
	}
	stable.Words(ids)
	return ids
}

// listed are the sources that were named, in order.
func (s shaper) listed() []sourceOut {
	out := []sourceOut{}
	for _, id := range s.sources() {
		out = append(out, sourceOut(s.b.Source(id)))
	}
	return out
}

func (s shaper) origin(source string, grade coin.Grade) originOut {
	s.used[source] = true
	return originOut{Source: source, Grade: grade, Sure: s.b.Tongue().Write(grade.Words())}
}

func (s shaper) coin(i coin.Issue) coinOut {
	s.used[i.Source] = true
	return coinOut{
		ID: i.ID, Country: i.Country, Denomination: i.Denomination, Name: i.Name,
		Struck: spansOut(i.Spans), Circulating: i.Circulating, Note: i.Note,
		Source: i.Source, Grade: i.Grade, Planchet: s.planchet(s.b.Planchet(i.Planchet)),
	}
}

func (s shaper) planchet(p coin.Planchet) planchetOut {
	out := planchetOut{
		ID: p.ID, Name: p.Name, Mass: s.figure(p.Mass), Edge: p.Edge, EdgeNote: p.EdgeNote,
		Alloy: s.alloy(p.Alloy), Magnetic: p.Magnetic, Colour: p.Colour, Stripe: p.Stripe, Note: p.Note,
		Diameter: s.ifKnown(p.Diameter), Thickness: s.ifKnown(p.Thickness),
	}
	if p.Limit.Known() {
		out.Limit = &limitOut{s.figure(p.Limit.Figure), p.Limit.Scope, p.Limit.Batch}
	}
	if p.Edge != coin.EdgeUnknown {
		by := s.origin(p.EdgeSource, p.EdgeGrade)
		out.EdgeBy = &by
	}
	outer := s.b.Alloy(p.Layers[0].Alloy)
	out.LooksBy = s.origin(outer.LooksSource, outer.LooksGrade)
	if len(p.Layers) > 1 {
		by := s.origin(p.LayersSource, p.LayersGrade)
		out.LayersBy = &by
		for _, y := range p.Layers {
			out.Layers = append(out.Layers, layerOut{y.Part, s.alloy(y.Alloy), y.Share})
		}
	}
	if d := s.b.Density(p); d.Known() {
		out.Density = &densityOut{d.Value, d.Low, d.High}
	}
	return out
}

func (s shaper) figure(f coin.Figure) figureOut {
	return figureOut{f.Text, f.Value, s.origin(f.Source, f.Grade)}
}

func (s shaper) ifKnown(f coin.Figure) *figureOut {
	if !f.Known() {
		return nil
	}
	out := s.figure(f)
	return &out
}

func (s shaper) alloy(id string) alloyOut {
	a := s.b.Alloy(id)
	out := alloyOut{Name: a.Name, Note: a.Note, originOut: s.origin(a.Source, a.Grade)}
	for _, f := range a.Fractions {
		if out.Fractions == nil {
			out.Fractions = map[coin.Element]float64{}
		}
		out.Fractions[f.Element] = f.Share
	}
	return out
}
