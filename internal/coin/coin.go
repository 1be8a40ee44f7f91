// Package coin is the catalogue: regular issues, the planchets they are struck
// on, and the alloys these are made of, every figure with its source and grade.
//
// It knows nothing of weighing or of verdicts. The figures live in data/, one
// file a country; Default loads and validates them.
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
)

// Figure is one number of the catalogue with where it comes from.
type Figure struct {
	// Quantity of a mass keeps the unit of its source, so that 48 grains stay
	// 48 grains. Lengths leave it empty.
	Quantity mass.Quantity
	// Value is in grams for masses and in millimetres for lengths.
	Value  float64
	Source string // id in Book.Sources
	Grade  Grade
}

// Known tells whether the figure is there at all.
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
	ID        string // "bronze-95-4-1"
	Name      string // "bronze"
	Fractions []Fraction
	Source    string
	Grade     Grade
	Colour    Colour
	Magnetic  Magnetism
	Wear      WearClass
}

// Colour is the metal's colour when clean.
type Colour string

// The colours a person tells apart at a table.
const (
	Red    Colour = "red"    // copper, bronze
	Yellow Colour = "yellow" // brass, gold
	White  Colour = "white"  // silver, cupronickel, nickel
	Grey   Colour = "grey"   // zinc, steel
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

// The wear classes. Their rates are the verdict's business.
const (
	WearHard   WearClass = "hard"   // cupronickel, nickel, steel
	WearMedium WearClass = "medium" // bronze, brass, zinc
	WearSoft   WearClass = "soft"   // silver, gold, pure copper
)

// Layer is one part of a planchet: a clad face, a core, a ring, a plating.
type Layer struct {
	Part  string  // "face", "core", "ring", "plating"; "whole" for a solid coin
	Alloy string  // alloy id
	Share float64 // of the coin's mass, 0 to 1; both faces of a clad coin together
}

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

// Planchet is the blank that one or more issues are struck on.
type Planchet struct {
	ID        string
	Name      string // "bronze cent planchet"
	Alloy     string // id of the whole's composition by mass, layers summed
	Mass      Figure
	Limit     Limit // not Known when none is published
	Diameter  Figure
	Thickness Figure
	Edge      Edge
	EdgeNote  string  // "118 reeds", "stars and motto"
	Layers    []Layer // at least one; shares sum to 1
	Magnetic  Magnetism
}

// Span is an inclusive run of years.
type Span struct{ First, Last int }

// Issue is one regular coin: what a mint struck on one planchet over some
// years. Two issues may share years (1982 cents of bronze and of zinc).
type Issue struct {
	ID           string
	Country      string // "US"
	Denomination string // "cent"
	Name         string // "Lincoln cent, bronze"
	Design       string // "Lincoln, wheat reverse"
	Spans        []Span
	Mints        []string // marks as printed on the coin; "" is no mark
	Planchet     string   // planchet id
	// Circulating is false for collector pieces a hunter may still meet.
	Circulating bool
	Note        string // dates that are known to be struck with either, and the like
	Source      string
	Grade       Grade
}

// Struck tells whether the issue was made in year; year 0 means any.
func (i Issue) Struck(year int) bool {
	if year == 0 {
		return true
	}
	for _, s := range i.Spans {
		if s.First <= year && year <= s.Last {
			return true
		}
	}
	return false
}
