package verdict

import (
	"math"
	"slices"
	"strconv"

	"panside/internal/coin"
	"panside/internal/say"
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
	sentence say.Line
	brief    say.Line // the same for a headline
	caution  say.Line
	choices  []choice // answered by a button; nil for a number
}

// choice is an answer by a button.
type choice struct {
	value string
	name  say.Line
}

// reread is for a date that was read and fits nothing.
var reread = howTo{testDate, "date", byLoupe, say.New("read-date-again"), say.New("recheck-date"), say.Line{}, nil}

// howTos are the tests; between those worth as much, the earlier is taken.
var howTos = []howTo{
	{testDesign, "design", byEye, say.New("test-design"), say.New("brief-design"), say.Line{}, nil},
	{testDate, "date", byEye, say.New("test-date"), say.New("test-date"), say.Line{}, nil},
	{testColour, "colour", byEye, say.New("test-color"), say.New("brief-color"), say.New("mind-color"), []choice{
		{"red", say.New("answer-red")}, {"yellow", say.New("answer-yellow")}, {"white", say.New("answer-white")},
		{"grey", say.New("answer-gray")}, {"two-hue", say.New("answer-two-hue")},
	}},
	{testStripe, "stripe", byEye, say.New("test-stripe"), say.New("brief-edge"), say.Line{}, []choice{{"yes", say.New("answer-line")}, {"no", say.New("answer-no-line")}}},
	{testEdge, "edge", byEye, say.New("test-edge"), say.New("brief-edge"), say.Line{}, []choice{
		{"plain", say.New("answer-plain")}, {"reeded", say.New("answer-reeded")}, {"lettered", say.New("answer-lettered")}, {"other", say.New("answer-other")},
	}},
	{testMagnet, "magnetic", byMagnet, say.New("test-magnet"), say.New("brief-magnet"), say.New("mind-magnet"), []choice{
		{"no", say.New("answer-sticks-not")}, {"weak", say.New("answer-pull")}, {"yes", say.New("answer-sticks")},
	}},
	{testMint, "mint", byLoupe, say.New("test-mint"), say.New("brief-mint"), say.Line{}, nil},
	{testRing, "ring", byLoupe, say.New("test-ring"), say.New("brief-ring"), say.Line{}, nil},
	{testDiameter, "diameter_mm", byCalipers, say.New("test-diameter"), say.New("brief-diameter"), say.New("mind-calipers"), nil},
	{testThickness, "thickness_mm", byCalipers, say.New("test-thickness"), say.New("brief-thickness"), say.New("mind-calipers"), nil},
	{testDensity, "density", byWater, say.New("test-density"), say.New("brief-density"), say.New("mind-density"), nil},
}

// choicesOfTest are the buttons of a test whose answers hang on the coin, of the
// others those of the test itself.
func (c *discrimination) choicesOfTest(h *howTo) []Outcome {
	switch {
	case h.name == testDesign:
		return []Outcome{{"yes", c.write(say.New("answer-own", say.Noun("coin", c.coin)))}, {"no", c.write(say.New("answer-another-coin"))}}
	case h.name == testDate && c.year != 0:
		return []Outcome{{string(ReadTwice), c.write(say.New("answer-date", say.Text("year", strconv.Itoa(c.year))))}}
	case h.name == testMint:
		marks := c.marks()
		out := make([]Outcome, len(marks))
		for i, m := range marks {
			if out[i] = (Outcome{m, m}); m == coin.NoMark {
				out[i].Name = c.write(say.New("answer-no-mark"))
			}
		}
		return out
	case h.choices == nil:
		return nil
	}
	out := make([]Outcome, len(h.choices))
	for i, x := range h.choices {
		out[i] = Outcome{x.value, c.write(x.name)}
	}
	return out
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
		c = w.discriminationOfFinds(v, found)
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
		tell func() say.Line // which result speaks for what
	}
	trials := make([]trial, 0, len(howTos))
	for i := range howTos {
		h := &howTos[i]
		if h.name == testDate && w.year != 0 {
			h = &reread
		}
		if bits, tell := c.worth(h.name); bits >= worthwhile {
			trials = stable.Insert(trials, trial{h, bits, tell}, func(a, b trial) bool { return a.bits*a.effort > b.bits*b.effort })
		}
	}
	for i, x := range trials[:min(len(trials), mostTests)] {
		t := Test{
			Test: x.name, Do: w.write(x.sentence), Tells: w.write(x.tell()), Caution: w.write(x.caution), Information: math.Round(1000*x.bits) / 1000,
			Evidence: x.evidence, Choices: c.choicesOfTest(x.howTo), brief: x.brief,
		}
		t.Sentence = w.joined(t.Do, t.Tells)
		if i == 0 {
			v.NextTest = &t
		} else {
			v.OtherTests = append(v.OtherTests, t)
		}
	}
}

// worth is what a test that wasn't made yet is expected to tell, in bits.
func (c *discrimination) worth(name string) (bits float64, tell func() say.Line) {
	e := &c.q.Evidence
	switch {
	case name == testDesign && e.Design == "":
		return c.yesNo(func(t *observables) float64 { return t.design }, func(c *discrimination) []say.Line {
			return []say.Line{say.New("if-own", say.Noun("coin", c.coin)), say.New("if-another-coin")}
		})
	case name == testDate && e.Date != ReadTwice:
		return c.date()
	case name == testMint && c.mint == "":
		return c.mintMark()
	case name == testColour && e.Colour == "":
		return c.answers(colourAnswers, func(t *observables, r int) float64 { return t.colour[r] }, func(*discrimination) []say.Line {
			return []say.Line{say.New("if-red"), say.New("if-yellow"), say.New("if-white"), say.New("if-gray"), say.New("if-two-hue")}
		})
	case name == testStripe && e.Stripe == "":
		return c.yesNo(func(t *observables) float64 { return t.stripe }, func(*discrimination) []say.Line {
			return []say.Line{say.New("if-line"), say.New("if-no-line")}
		})
	case name == testEdge && e.Edge == "":
		return c.answers(edgeAnswers, func(t *observables, r int) float64 { return t.edge[r] }, func(*discrimination) []say.Line {
			return []say.Line{say.New("if-plain"), say.New("if-reeded"), say.New("if-lettered"), say.New("if-other")}
		})
	case name == testMagnet && e.Magnetic == "":
		return c.answers(magnetAnswers, func(t *observables, r int) float64 { return t.magnet[r] }, func(*discrimination) []say.Line {
			return []say.Line{say.New("if-sticks-not"), say.New("if-pulls"), say.New("if-sticks")}
		})
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
