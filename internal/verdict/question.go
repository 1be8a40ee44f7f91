package verdict

import (
	"math"
	"slices"

	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
)

// Question is what is known of a coin.
type Question struct {
	// Mean and U are the estimate of its mass and the standard uncertainty of
	// that, in grams; both positive.
	Mean, U mass.Grams
	// Half is the chance that Mean isn't the whole coin, which a hand still holds half
	// put down or leans on, as far as U makes allowance for it; WholeU is the standard
	// uncertainty if it isn't so. Only a Half between 0 and 1 with a positive WholeU below
	// U counts: see half.go.
	Half   float64
	WholeU mass.Grams
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
	open         []Answer // those that a ruler left open

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
	bad := func(field string, why say.Line) error {
		return fault.InField(field, fault.BadInput, why)
	}
	positive := func(x float64) bool { return x > 0 && !math.IsInf(x, 1) }
	y, u := float64(q.Mean), float64(q.U)
	e := &q.Evidence
	switch {
	case !positive(y):
		return bad("value", say.New("judge-weight-not-positive"))
	case y > heaviest:
		return bad("value", say.New("judge-too-heavy"))
	case !positive(u):
		return bad("u_g", say.New("judge-uncertainty-not-positive"))
	case !(q.Resolution >= 0) || math.IsInf(float64(q.Resolution), 1):
		return bad("resolution", say.New("judge-step-not-a-number"))
	case !(q.Repeatability >= 0) || math.IsInf(float64(q.Repeatability), 1):
		return bad("repeatability", say.New("judge-repeatability-not-a-number"))
	case q.Origin != "" && !slices.Contains(Origins(), q.Origin):
		return bad("source", say.New("judge-no-such-source"))
	case q.Confidence != 0 && !(q.Confidence > 0.5 && q.Confidence < 1):
		return bad("confidence", say.New("judge-confidence-out-of-range"))
	case e.Diameter != 0 && !(e.Diameter >= 5 && e.Diameter <= 100):
		return bad("evidence.diameter_mm", say.New("judge-diameter-out-of-range"))
	case e.Thickness != 0 && !(e.Thickness >= 0.2 && e.Thickness <= 20):
		return bad("evidence.thickness_mm", say.New("judge-thickness-out-of-range", say.Decimal("least", 0.2, 1)))
	case e.Density != 0 && !(e.Density >= 1 && e.Density <= 25):
		return bad("evidence.density", say.New("judge-density-out-of-range"))
	}
	if e.Ring != nil {
		return e.Ring.check("evidence.ring")
	}
	return nil
}
