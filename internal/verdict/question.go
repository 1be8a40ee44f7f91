package verdict

import (
	"math"
	"slices"

	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/mass"
)

// Question is what is known of a coin.
type Question struct {
	// Mean and U are the estimate of its mass and the standard uncertainty of
	// that, in grams; both positive.
	Mean, U mass.Grams
	// Resolution is the scale's step, 0 if not known.
	Resolution mass.Grams
	// Repeatability is the part of U that averaging several weighings makes
	// smaller, 0 if not known.
	Repeatability mass.Grams

	Country      string // "US"
	Denomination string // "cent"
	Year         int    // 0 when not read
	Mint         string // "D", coin.NoMark for none; "" or "?" when not read
	Evidence     Evidence
	Answers      []Answer // to questions of the coin book, one each

	// Keep is what the hunter wants, as package want reads it; nothing if empty.
	Keep []coin.Want
	// Origin of the coins, Jar when empty.
	Origin Origin

	// Confidence is the probability asked of a tolerance claim, 0 for the
	// default.
	Confidence float64
}

// Evidence is what was seen or measured on the coin beside its weight. The
// zero value of each field means not tested.
type Evidence struct {
	Magnetic Magnet
	Edge     coin.Edge
	// Stripe: is a line of another colour seen on the edge?
	Stripe YesNo
	Colour coin.Colour
	// Diameter and Thickness in millimetres, Density in g/cm³.
	Diameter, Thickness, Density float64
	// Date and Mint say how surely they were read.
	Date, Mint Care
	// Design: is the design really that of the tapped denomination?
	Design YesNo
	// Ring is how it rang, nil if it wasn't rung.
	Ring *Ring `json:",omitempty"`
}

// Magnet is what a magnet did.
type Magnet string

// The answers of a magnet. Attracted is for an attraction without a word on
// how strong it was.
const (
	NotAttracted Magnet = "no"
	Weak         Magnet = "weak"
	Strong       Magnet = "strong"
	Attracted    Magnet = "yes"
)

// YesNo is an answer of a person; empty when not asked.
type YesNo string

// The answers.
const (
	Yes YesNo = "yes"
	No  YesNo = "no"
)

// Care is how surely something was read; empty for a usual glance.
type Care string

// The degrees.
const (
	ReadTwice Care = "sure"   // read twice, with a loupe
	Guessed   Care = "unsure" // worn or guessed
)

// heaviest is more than any coin weighs, in grams.
const heaviest = 10_000

// check refuses what no scale or person can mean.
func (q *Question) check() error {
	bad := func(field, sentence string) error {
		return fault.InField(field, fault.BadInput, sentence)
	}
	positive := func(x float64) bool { return x > 0 && !math.IsInf(x, 1) }
	y, u := float64(q.Mean), float64(q.U)
	e := &q.Evidence
	switch {
	case !positive(y):
		return bad("value", "The weight must be more than nothing. Nothing was judged; put the coin on, or check the number.")
	case y > heaviest:
		return bad("value", "No coin weighs more than 10 kg. Nothing was judged; check the number and its unit.")
	case !positive(u):
		return bad("u_g", "The uncertainty of the weight must be more than zero. Nothing was judged; leave it out to have it worked out from the scale’s step.")
	case !(q.Resolution >= 0) || math.IsInf(float64(q.Resolution), 1):
		return bad("resolution", "The scale’s step must be a number above zero. Nothing was judged; leave it out to take the last digit of the weight.")
	case !(q.Repeatability >= 0) || math.IsInf(float64(q.Repeatability), 1):
		return bad("repeatability", "The repeatability must be a number of grams, zero or more. Nothing was judged; leave it out if it wasn’t measured.")
	case q.Origin != "" && !slices.Contains(Origins(), q.Origin):
		return bad("source", "There is no such source of coins. Nothing was judged; say jar, bank-roll or inherited.")
	case q.Confidence != 0 && !(q.Confidence > 0.5 && q.Confidence < 1):
		return bad("confidence", "The confidence must lie between 0.5 and 1. Nothing was judged; leave it out for 0.975.")
	case e.Diameter != 0 && !(e.Diameter >= 5 && e.Diameter <= 100):
		return bad("evidence.diameter_mm", "A coin’s diameter lies between 5 and 100 mm. Nothing was judged; check the number.")
	case e.Thickness != 0 && !(e.Thickness >= 0.2 && e.Thickness <= 20):
		return bad("evidence.thickness_mm", "A coin’s thickness lies between 0.2 and 20 mm. Nothing was judged; check the number.")
	case e.Density != 0 && !(e.Density >= 1 && e.Density <= 25):
		return bad("evidence.density", "A coin’s density lies between 1 and 25 g/cm³. Nothing was judged; check the number.")
	}
	if e.Ring != nil {
		return e.Ring.check("evidence.ring")
	}
	return nil
}
