package verdict

import (
	"cmp"
	"math"
	"slices"

	"panside/internal/stable"
)

// The tests a person can make at the table; between tests worth as much, the
// earlier is taken.
const (
	testDesign    = "design"
	testDate      = "date"
	testMint      = "mint"
	testColour    = "colour"
	testStripe    = "stripe"
	testEdge      = "edge"
	testMagnet    = "magnet"
	testDiameter  = "diameter"
	testThickness = "thickness"
	testDensity   = "density"
)

// effort discounts the information of a test by how long it takes and how often
// it goes wrong at a table. Assumed.
var effort = map[string]float64{
	testDesign: 1, testDate: 1, testMint: 1, testColour: 1, testStripe: 1, testEdge: 1,
	testMagnet: 0.95, testDiameter: 0.9, testThickness: 0.8, testDensity: 0.5,
}

// how tells how to make each test, and what to mind.
var how = map[string][2]string{
	testDesign:    {"Make sure which coin it is: read the denomination on it.", ""},
	testDate:      {"Read the date with a loupe.", ""},
	testMint:      {"Look for the mint mark, its letter and its place.", ""},
	testColour:    {"Look at the colour of the bare metal in daylight.", "Don’t clean or scratch the coin to see it."},
	testStripe:    {"Look along the edge for a line of another colour.", ""},
	testEdge:      {"Look how the edge is made.", ""},
	testMagnet:    {"Hang a small, weak magnet beside the coin and see whether it is drawn.", "Keep magnets from pacemakers, cards and children: two swallowed magnets are an emergency."},
	testDiameter:  {"Measure the diameter with calipers.", "Close the jaws without pressing; metal jaws scratch."},
	testThickness: {"Measure the thickness at the rim with calipers.", "Close the jaws without pressing; metal jaws scratch."},
	testDensity:   {"Weigh it in air, then hanging in water, for its density.", "Plain water only, pat dry; not for a coin whose surface matters. Solvents and acids don’t belong at the table."},
}

var testOrder = []string{testDesign, testDate, testMint, testColour, testStripe, testEdge, testMagnet, testDiameter, testThickness, testDensity}

// worthwhile is the least expected information, in bits, for a test to be
// proposed.
const worthwhile = 0.05

// mostTests are proposed: the next and a few to choose from.
const mostTests = 4

// tests proposes what to try next: the tests by the information each is
// expected to give about the question that is open, less what it costs,
//
//	I(G; R) = Σ P(g, r)·log₂( P(g, r) / (P(g)·P(r)) )
//
// over the groups g that remain and the results r that people would report,
// misreadings included. If explanations make the person look, the groups are
// those and the ordinary coin, all alike; else the alloys with their
// probabilities.
func (w *weighing) tests(v *Verdict, best int, p *posterior, found []draft) {
	var c discrimination
	switch {
	case v.Call == Look:
		c = w.discriminationOfFinds(found)
	case !v.Decisive:
		c = w.discriminationOfAlloys(p)
	default:
		return
	}
	if len(c.groups) < 2 || w.y < w.blanks[w.issues[best].blank].mu/2 && w.likelyOther() < 0 && !slices.ContainsFunc(found, func(f draft) bool { return f.alternative >= 0 }) {
		return // or a crumb, with nothing to test
	}
	e := &w.q.Evidence
	type trial struct {
		name string
		bits float64
		tell func() string // which result speaks for what
	}
	trials := make([]trial, 0, len(testOrder))
	for _, name := range testOrder {
		var bits float64
		var tells func() string
		switch name {
		case testDesign:
			if e.Design == "" {
				bits, tells = c.yesNo(func(t *observables) float64 { return t.design }, "that of a "+w.noun, "another")
			}
		case testDate:
			if e.Date != ReadTwice {
				bits, tells = c.date()
			}
		case testMint:
			if w.mint == "" {
				bits, tells = c.mint()
			}
		case testColour:
			if e.Colour == "" {
				bits, tells = c.answers(colourAnswers, func(t *observables, r int) float64 { return t.colour[r] },
					[]string{"copper-red", "golden", "silvery", "grey", "two colours"})
			}
		case testStripe:
			if e.Stripe == "" {
				bits, tells = c.yesNo(func(t *observables) float64 { return t.stripe }, "a stripe", "none")
			}
		case testEdge:
			if e.Edge == "" {
				bits, tells = c.answers(edgeAnswers, func(t *observables, r int) float64 { return t.edge[r] },
					[]string{"plain", "reeded", "lettered", "other"})
			}
		case testMagnet:
			if e.Magnetic == "" {
				bits, tells = c.answers(magnetAnswers, func(t *observables, r int) float64 { return t.magnet[r] },
					[]string{"not drawn", "weakly drawn", "drawn"})
			}
		case testDiameter:
			if e.Diameter == 0 {
				bits, tells = c.measured(func(t *observables) measurement { return t.diameter }, "mm", 1)
			}
		case testThickness:
			if e.Thickness == 0 {
				bits, tells = c.measured(func(t *observables) measurement { return t.thickness }, "mm", 2)
			}
		case testDensity:
			if e.Density == 0 {
				bits, tells = c.measured(func(t *observables) measurement { return t.density }, "g/cm³", 2)
			}
		}
		if bits >= worthwhile {
			trials = append(trials, trial{name, bits, tells})
		}
	}
	stable.Sort(trials, func(a, b trial) int {
		return cmp.Compare(b.bits*effort[b.name], a.bits*effort[a.name])
	})
	for i, x := range trials[:min(len(trials), mostTests)] {
		t := Test{Test: x.name, Sentence: how[x.name][0], Caution: how[x.name][1], Information: math.Round(1000*x.bits) / 1000}
		if tells := x.tell(); tells != "" {
			t.Sentence += " " + tells
		}
		if i == 0 {
			v.NextTest = &t
		} else {
			v.OtherTests = append(v.OtherTests, t)
		}
	}
}
