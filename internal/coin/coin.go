// Package coin is the catalogue: regular issues, the planchets they are struck
// on, and the alloys these are made of, every figure with its source and grade.
//
// It knows nothing of weighing or of verdicts. The figures live in
// internal/book/data, a folder for each country; its README.md tells the format
// and how to add one. internal/book loads them.
package coin

import "panside/internal/mass"

// Grade says how sure a figure is.
type Grade string

// The grades, surest first. Figures of shaky memory are not used at all.
const (
	Primary  Grade = "P"               // read in the primary text: statute, regulation, mint page
	Reprint  Grade = "S"               // read in something that reprints or reports the primary text
	Computed Grade = "C"               // computed from figures of grade P or S
	Practice Grade = "common practice" // what the trade uses, with no published source
	Memory   Grade = "from memory"     // remembered, not seen
	Assumed  Grade = "assumed"         // chosen for this program, with nothing behind it but sense
)

// Words puts the grade into words for a screen.
func (g Grade) Words() string {
	switch g {
	case Primary:
		return "read in the primary text"
	case Reprint:
		return "read in a reprint or report"
	case Computed:
		return "computed from published figures"
	case Practice:
		return "common practice, not published"
	case Memory:
		return "from memory, not seen"
	case Assumed:
		return "assumed"
	}
	return ""
}

// Source is a text that figures come from.
type Source struct {
	ID    string
	Title string // the text itself: "Coinage Act of 1873, 17 Stat. 424"
	Note  string // which copy was read, and what to know about it
}

// Figure is one number of the catalogue with where it comes from.
type Figure struct {
	// Text is the figure as its source writes it: "48 gr", "0.75 in".
	Text string
	// Quantity of a mass keeps the unit of its source, so that 48 grains stay
	// 48 grains. Lengths leave it empty.
	Quantity mass.Quantity
	// Value is in grams for masses and in millimetres for lengths.
	Value  float64
	Source string // id in Book.Source
	Grade  Grade
}

// Known reports whether the figure is there at all.
func (f Figure) Known() bool { return f.Grade != "" }

// Element is a chemical symbol, such as "Cu".
type Element string

// Fraction is an element's share of an alloy by mass, 0 to 1.
type Fraction struct {
	Element Element
	Share   float64
}

// Alloy is a metal mixture by mass fraction.
type Alloy struct {
	ID   string // "bronze-sn-zn"
	Name string // "bronze, 95 % copper"
	// Family joins alloys that a searcher counts as one, such as bronze with
	// and without tin; the ID where there are no others.
	Family string
	// Fractions are the largest first and sum to 1. There are none for coins
	// of two metals whose shares aren't published (ring and core).
	Fractions []Fraction
	Source    string
	Grade     Grade
	Colour    Colour
	Magnetic  Magnetism
	// LooksSource and LooksGrade are of colour and magnetism.
	LooksSource string
	LooksGrade  Grade
	Wear        WearClass
	// WearRate is the mean relative loss of mass a year of use, that of the wear
	// class.
	WearRate float64
	// DensityBand is how far, relative to the ideal-mixing value, the real
	// density may lie below and above it; see Book.Density.
	DensityBand [2]float64
	// Young is Young's modulus, its Value in GPa; not Known for an alloy whose stiffness
	// nobody is sure of. Poisson is the ratio of the same source and grade.
	Young   Figure
	Poisson float64
	Note    string
}

// Share is the alloy's mass fraction of an element, 0 for one it lacks.
func (a Alloy) Share(e Element) float64 {
	for _, f := range a.Fractions {
		if f.Element == e {
			return f.Share
		}
	}
	return 0
}

// Colour is the metal's colour when clean.
type Colour string

// The colours a person tells apart at a table.
const (
	Red    Colour = "red"     // copper, bronze
	Yellow Colour = "yellow"  // brass, gold
	White  Colour = "white"   // silver, cupronickel, nickel
	Grey   Colour = "grey"    // zinc, steel
	TwoHue Colour = "two-hue" // a ring and a core of different colours
)

// Magnetism is what a small magnet does to a metal or a coin.
type Magnetism string

// The answers of a magnet.
const (
	NotMagnetic   Magnetism = "no"
	WeakMagnetic  Magnetism = "weak"
	VeryMagnetic  Magnetism = "strong"
	MagnetUnknown Magnetism = ""
)

// WearClass groups alloys by how fast they lose mass in use.
type WearClass string

// The wear classes. Their rates stand in metals.json of internal/book/data.
const (
	WearHard   WearClass = "hard"   // cupronickel, nickel, steel
	WearMedium WearClass = "medium" // bronze, brass, zinc
	WearSoft   WearClass = "soft"   // silver, pure copper
	WearGold   WearClass = "gold"
)

// Layer is one part of a planchet: a clad face, a core, a ring, a plating.
type Layer struct {
	Part  Part
	Alloy string // alloy id
	// Share of the coin's mass, 0 to 1; both faces of a clad coin together.
	// 0 on every layer of a planchet whose split isn't published.
	Share float64
}

// Part is where a layer sits.
type Part string

// The parts. A solid coin has one layer, the whole.
const (
	Whole   Part = "whole"
	Face    Part = "face" // bonded on both sides, not on the edge
	Core    Part = "core"
	Ring    Part = "ring"
	Plating Part = "plating" // all over, edge included
)

// Edge is how the edge is made.
type Edge string

// The edges.
const (
	EdgePlain    Edge = "plain"
	EdgeReeded   Edge = "reeded"
	EdgeLettered Edge = "lettered"
	EdgeOther    Edge = "other"
	EdgeUnknown  Edge = ""
)

// Scope says what a weight limit applies to. The two are not interchangeable:
// a single coin outside a batch remedy is not thereby outside the law.
type Scope string

// The scopes.
const (
	PerPiece Scope = "piece" // limit of a single coin, as in US acts
	PerBatch Scope = "batch" // remedy of the mean of a sample (UK) or per kg of N pieces (Canada)
)

// Limit is a published deviation from the standard mass, plus or minus.
type Limit struct {
	Figure        // in grams for PerPiece; per coin of the batch for PerBatch
	Scope  Scope  // what it applies to
	Batch  string // the batch rule in words, for PerBatch
}

// Planchet is the blank that one or more issues are struck on, together with
// the law's limit on its mass: the same blank under a new limit is a planchet
// of its own.
type Planchet struct {
	ID        string
	Name      string // "bronze cent planchet"
	Alloy     string // id of the whole's composition by mass, layers summed
	Mass      Figure
	Limit     Limit // not Known when none is published
	Diameter  Figure
	Thickness Figure
	Edge      Edge
	EdgeNote  string // "118 reeds", "stars and motto"
	// EdgeSource and EdgeGrade are of edge and note.
	EdgeSource string
	EdgeGrade  Grade
	Layers     []Layer // at least one; shares sum to 1, or are all 0 when not published
	// LayersSource and LayersGrade tell where the layers come from; for a
	// solid coin they are the alloy's.
	LayersSource string
	LayersGrade  Grade
	Magnetic     Magnetism
	// Colour is that of the faces when clean.
	Colour Colour
	// Stripe: the edge shows a core of another colour.
	Stripe bool
	Note   string
}

// SplitKnown reports whether the layers' shares of the mass are known.
func (p Planchet) SplitKnown() bool { return p.Layers[0].Share > 0 }

// NoMark stands for “no mint mark” wherever a mint mark is written.
const NoMark = "-"

// Span is an inclusive run of years with the mint marks struck in all of them.
type Span struct {
	First, Last int
	// Open marks an issue still struck when the catalogue was written, in
	// Last; a few later years are taken as struck too.
	Open bool
	// Mints are the marks as printed on the coin, NoMark for none. Nil means
	// the catalogue doesn't know and no mint is refused.
	Mints []string
	// MarkLost marks years whose coins are also met without the mark they
	// should carry, because a filled or unfinished die failed to strike it.
	MarkLost bool
}

// openYears is how far beyond its own last year the catalogue believes that
// an open issue went on.
const openYears = 5

// Holds reports whether year lies in the span.
func (s Span) Holds(year int) bool {
	return s.First <= year && (year <= s.Last || s.Open && year <= s.Last+openYears)
}

// Issue is one regular coin: what the mints struck on one planchet over some
// years. Two issues may share years (1982 cents of bronze and of zinc).
type Issue struct {
	ID           string
	Country      string // "US"
	Denomination string // "cent"
	Name         string // "Lincoln cent, bronze"
	Spans        []Span // in order, not overlapping
	Planchet     string // planchet id
	// Circulating is false for collector pieces a hunter may still meet.
	Circulating bool
	// Kept: sold in a case and mostly left there, so that it turns up where
	// something was inherited and hardly ever in change.
	Kept bool
	Note string // dates that are known to be struck with either, and the like
	// Sign is what the eye tells the issue by where another weighs the same, in a
	// few words: “large mint mark above the dome”.
	Sign   string
	Source string // of the years and mints
	Grade  Grade
}

// Struck reports whether the issue was made in year; year 0 means any.
func (i Issue) Struck(year int) bool {
	_, ok := i.spanOf(year)
	return ok || year == 0
}

// First is the issue's first year.
func (i Issue) First() int { return i.Spans[0].First }

// Last is the issue's last year, or the year of the catalogue if it goes on.
func (i Issue) Last() int { return i.Spans[len(i.Spans)-1].Last }

// Mints are the marks struck in year, all of the issue's for year 0. Nil means
// not known.
func (i Issue) Mints(year int) []string {
	if year != 0 {
		s, _ := i.spanOf(year)
		return s.Mints
	}
	var all []string
	for _, s := range i.Spans {
		if s.Mints == nil {
			return nil
		}
		all = merge(all, s.Mints)
	}
	return all
}

func (i Issue) spanOf(year int) (Span, bool) {
	for _, s := range i.Spans {
		if s.Holds(year) {
			return s, true
		}
	}
	return Span{}, false
}

// Country is one that the catalogue has issues of.
type Country struct {
	ID   string // "US"
	Name string // "United States"
	// Unmarked is the letter of the mint whose coins long carried no mark,
	// such as P for Philadelphia; empty for a country without one.
	Unmarked string
	// Neighbour is the country whose coins stray in most, empty if none does.
	Neighbour string
	// Strays are the countries whose coins stray in at all, the neighbour among
	// them. A judgement looks at no others, so that it doesn't depend on which
	// happen to be loaded.
	Strays []string
}

// ForeignStrike is a coin that a country’s mint struck for another one, whose
// planchets so lay in the house beside its own.
type ForeignStrike struct {
	Name     string // "Belgian 2 francs"
	Country  string // whose mint struck it
	Spans    []Span // years, with the marks of the mints that struck it
	Where    string // these mints in words
	Planchet string // planchet id
	Source   string // of the striking and its years
	Grade    Grade
}

// OffYear are coins known on a planchet outside the years in which it was
// regularly struck.
type OffYear struct {
	Country      string
	Denomination string
	Planchet     string // planchet id
	Spans        []Span // with their marks
	Source       string
	Grade        Grade
}

// Denomination is one face value of a country.
type Denomination struct {
	ID      string // "cent"
	Name    string // "cent"
	Plural  string // "cents"
	Short   string // "1¢"
	Country string
	Order   int  // by face value, from 1
	Current bool // still struck or still met in change
}
