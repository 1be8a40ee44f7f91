package verdict

import (
	"math"
	"slices"

	"panside/internal/coin"
	"panside/internal/say"
)

// Gold and large silver are what fakes are made of, and a maker of fakes owns a
// scale: the right weight is where he begins. So a right weight alone never makes
// such a coin ordinary without a word on it.

// largeSilver is the mass from which a silver coin counts as large, in grams:
// dollars, crowns, ounces. Assumed.
const largeSilver = 20

// worthFaking reports whether a regular coin of that planchet is often copied in
// another metal.
func worthFaking(b *blank) bool {
	return b.alloy.Share("Au") > 0.5 || b.alloy.Share("Ag") > 0.3 && b.mu >= largeSilver
}

// notProven is what is said with a regular coin of gold or large silver, for the
// glass and for the ear: that its weight can't rule out a fake. Empty where there is
// nothing to say.
func (w *weighing) notProven(v *Verdict, best int) (long, short say.Line) {
	if v.Call == Look || v.Call == CannotTell || !worthFaking(&w.blanks[w.issues[best].blank]) {
		return long, short
	}
	switch {
	case w.q.Evidence.Density != 0:
		long = say.New("fake-density")
	case v.Call == Either || v.Hint != Regular || v.Tolerance.State == Below || v.Tolerance.State == Above:
		long = say.New("fake-weight")
	default:
		long = say.New("fake-fits")
	}
	return long, say.New("fake-spoken")
}

// guard adds to the verdict on a regular coin of gold or large silver that its
// weight doesn't prove it, and what to do next: the density, with its caution.
// It comes last, so that it holds whatever call a regular coin gets.
func (w *weighing) guard(x *wording, v *Verdict, best int) {
	long, short := w.notProven(v, best)
	if long.None() {
		return
	}
	x.headline, x.spoken = then(x.headline, long), then(x.spoken, short)
	if w.q.Evidence.Density != 0 {
		return
	}
	b := &w.blanks[w.issues[best].blank]
	h := &howTos[slices.IndexFunc(howTos, func(h howTo) bool { return h.name == testDensity })]
	tells := say.Line{}
	t := Test{Test: h.name, Evidence: h.evidence, brief: h.brief}
	t.Caution = w.write(then(h.caution, say.New("expert-caution")))
	c := discrimination{weighing: w, groups: make([]say.Line, 2), misses: -1} // genuine, and a fake
	c.add(0, 0.5, &b.clean)
	c.add(1, 0.5, &w.anything)
	bits, _ := c.measured(func(t *observables) measurement { return t.density }, "g/cm³", 1)
	t.Information = math.Round(1000*math.Max(bits, worthwhile)) / 1000
	if d := b.clean.density.mean; d > 0 {
		tells = say.New("density-about", say.Noun("metal", metalOf(&b.alloy).forms), say.Decimal("x", d, 1))
	}
	t.Do, t.Tells = w.write(h.sentence), w.write(tells)
	t.Sentence = w.joined(t.Do, t.Tells)
	if v.NextTest == nil {
		v.NextTest = &t
		return
	}
	if v.NextTest.Test == testDensity {
		v.NextTest.Caution = t.Caution
		return
	}
	for i := range v.OtherTests {
		if v.OtherTests[i].Test == testDensity {
			v.OtherTests[i].Caution = t.Caution
			return
		}
	}
	v.OtherTests = append(v.OtherTests, t)
}

// preciousReads are what people say of clean, solid silver of a high fineness:
// grey when toned, and red hardly ever, since no silver is. Assumed.
var preciousReads, preciousStained = [colourAnswers]float64{0.0004, 0.006, 0.80, 0.1886, 0.005}, [colourAnswers]float64{0.02, 0.13, 0.10, 0.72, 0.03}

// fineSilver is the fineness from which silver doesn't turn red: coins of less
// show the copper in them where they are worn. Assumed.
const fineSilver = 0.7

func isFineSilver(p *coin.Planchet, a *coin.Alloy) bool {
	return len(p.Layers) == 1 && a.Share("Ag") >= fineSilver
}
