package verdict

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"panside/internal/coin"
	"panside/internal/stable"
)

// The tests a person can make at the table.
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
	testRing      = "ring"
)

// What the information of a test counts, by what it takes: each step from the eye
// to water asks for three times the information before it comes first. Assumed.
const (
	byEye      = 1.0
	byMagnet   = byEye / 3
	byLoupe    = byMagnet / 3
	byCalipers = byLoupe / 3
	byWater    = byCalipers / 3
)

// howTo tells how to make a test, and what to mind.
type howTo struct {
	name     string
	evidence string // the field of the evidence that the answer goes into
	effort   float64
	sentence string
	brief    string // the same for a headline
	caution  string
	choices  []Outcome // answered by a button; nil for a number
}

// reread is for a date that was read and fits nothing.
var reread = howTo{testDate, "date", byLoupe, "Read the date again, with a loupe.", "Recheck the date.", "", nil}

// howTos are the tests; between those worth as much, the earlier is taken.
var howTos = []howTo{
	{testDesign, "design", byEye, "Read the denomination on the coin.", "Read the denomination.", "", nil},
	{testDate, "date", byEye, "Read the date.", "Read the date.", "", nil},
	{testColour, "colour", byEye, "Look at the color of the bare metal in daylight.", "Look at its color.", "Don’t clean or scratch the coin to see it.",
		[]Outcome{{"red", "Copper-red"}, {"yellow", "Golden"}, {"white", "Silvery"}, {"grey", "Gray"}, {"two-hue", "Two colors"}}},
	{testStripe, "stripe", byEye, "Look along the edge for a line of another color.", "Check the edge.", "", []Outcome{{"yes", "A line"}, {"no", "None"}}},
	{testEdge, "edge", byEye, "Look at the edge: plain, reeded or lettered?", "Check the edge.", "",
		[]Outcome{{"plain", "Plain"}, {"reeded", "Reeded"}, {"lettered", "Lettered"}, {"other", "Another"}}},
	{testMagnet, "magnetic", byMagnet, "Hold a small, weak magnet near the coin. Does it stick?", "Try a magnet.", "Keep magnets from pacemakers, cards and children: two swallowed magnets are an emergency.",
		[]Outcome{{"no", "Doesn’t stick"}, {"weak", "Slight pull"}, {"yes", "Sticks"}}},
	{testMint, "mint", byLoupe, "Look for the mint mark, its letter and its place.", "Find the mint mark.", "", nil},
	{testRing, "ring", byLoupe, "Balance it on a fingertip, tap its rim with wood and let the phone listen.", "Ring it.", "", nil},
	{testDiameter, "diameter_mm", byCalipers, "Measure the diameter with calipers.", "Measure the diameter.", "Close the jaws without pressing; metal jaws scratch.", nil},
	{testThickness, "thickness_mm", byCalipers, "Measure the thickness at the rim with calipers.", "Measure the thickness.", "Close the jaws without pressing; metal jaws scratch.", nil},
	{testDensity, "density", byWater, "Weigh it in air, then hanging in water, for its density.", "Weigh it in water.", "Plain water only, pat dry; not for a coin whose surface matters. Solvents and acids don’t belong at the table.", nil},
}

// choicesOfTest are the buttons of a test whose answers hang on the coin, of the
// others those of the test itself.
func (c *discrimination) choicesOfTest(h *howTo) []Outcome {
	switch {
	case h.name == testDesign:
		return []Outcome{{"yes", "It’s " + a(c.noun)}, {"no", "Another coin"}}
	case h.name == testDate && c.year != 0:
		return []Outcome{{string(ReadTwice), "It is " + strconv.Itoa(c.year)}}
	case h.name == testMint:
		marks := c.marks()
		out := make([]Outcome, len(marks))
		for i, m := range marks {
			if out[i] = (Outcome{m, m}); m == coin.NoMark {
				out[i].Name = "No mark"
			}
		}
		return out
	}
	return h.choices
}

// worthwhile is the least expected information, in bits, for a test to be
// proposed.
const worthwhile = 0.05

// mostTests are proposed: the next and a few to choose from.
const mostTests = 4

// tests proposes what to try next: the tests by the information each is
// expected to give about the question that is open, times what it counts by what it
// takes,
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
	type trial struct {
		*howTo
		bits float64
		tell func() string // which result speaks for what
	}
	trials := make([]trial, 0, len(howTos))
	for i := range howTos {
		h := &howTos[i]
		if h.name == testDate && w.year != 0 {
			h = &reread
		}
		if bits, tell := c.worth(h.name); bits >= worthwhile {
			trials = append(trials, trial{h, bits, tell})
		}
	}
	stable.Sort(trials, func(a, b trial) int {
		return cmp.Compare(b.bits*b.effort, a.bits*a.effort)
	})
	for i, x := range trials[:min(len(trials), mostTests)] {
		t := Test{
			Test: x.name, Sentence: x.sentence, Caution: x.caution, Information: math.Round(1000*x.bits) / 1000,
			Evidence: x.evidence, Choices: c.choicesOfTest(x.howTo), brief: x.brief,
		}
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

// worth is what a test that wasn't made yet is expected to tell, in bits.
func (c *discrimination) worth(name string) (bits float64, tell func() string) {
	e := &c.q.Evidence
	switch {
	case name == testDesign && e.Design == "":
		return c.yesNo(func(t *observables) float64 { return t.design }, "it’s "+a(c.noun), "it’s another coin")
	case name == testDate && e.Date != ReadTwice:
		return c.date()
	case name == testMint && c.mint == "":
		return c.mintMark()
	case name == testColour && e.Colour == "":
		return c.answers(colourAnswers, func(t *observables, r int) float64 { return t.colour[r] },
			[]string{"copper-red", "golden", "silvery", "gray", "two colors"})
	case name == testStripe && e.Stripe == "":
		return c.yesNo(func(t *observables) float64 { return t.stripe }, "a line shows", "none does")
	case name == testEdge && e.Edge == "":
		return c.answers(edgeAnswers, func(t *observables, r int) float64 { return t.edge[r] },
			[]string{"plain", "reeded", "lettered", "other"})
	case name == testMagnet && e.Magnetic == "":
		return c.answers(magnetAnswers, func(t *observables, r int) float64 { return t.magnet[r] },
			[]string{"it doesn’t stick", "it pulls slightly", "it sticks"})
	case name == testDiameter && e.Diameter == 0:
		return c.measured(func(t *observables) measurement { return t.diameter }, "mm", 1)
	case name == testThickness && e.Thickness == 0:
		return c.measured(func(t *observables) measurement { return t.thickness }, "mm", 2)
	case name == testRing && e.Ring == nil:
		return c.ring()
	case name == testDensity && e.Density == 0:
		return c.measured(func(t *observables) measurement { return t.density }, "g/cm³", 2)
	}
	return 0, nil
}
