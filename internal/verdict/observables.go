package verdict

import (
	"math"

	"panside/internal/coin"
	"panside/internal/plate"
)

// observables are what a coin of a hypothesis shows to eye, magnet and calipers:
// for each test the probabilities of the answers a person will give, misreading
// included.
type observables struct {
	magnet    [magnetAnswers]float64
	edge      [edgeAnswers]float64
	colour    [colourAnswers]float64
	stains    [colourAnswers]float64 // the colour when it is stained
	stripe    float64                // probability that a stripe is reported
	diameter  measurement            // mm
	thickness measurement            // mm
	density   measurement            // g/cm³
	design    float64                // probability that the design is said to be the tapped denomination's
	disc      *plate.Disc            // how it rings, nil where nothing is predicted
	discMass  float64                // g, of the coin that is predicted so
}

// measurement is a measured dimension: normal, or not known when the mean is 0.
type measurement struct{ mean, sd float64 }

const (
	magnetAnswers = 3
	edgeAnswers   = 4
	colourAnswers = 5
)

// The orders of the answers, and what people make of the truth: rows are the
// truth, columns the answers. All figures are assumed. Worn reeding looks
// plain, toned silver grey, brown bronze red; a weak pull is missed.
var (
	magnets     = [magnetAnswers]coin.Magnetism{coin.NotMagnetic, coin.WeakMagnetic, coin.VeryMagnetic}
	magnetReads = [magnetAnswers][magnetAnswers]float64{
		{0.985, 0.012, 0.003},
		{0.30, 0.60, 0.10},
		{0.01, 0.06, 0.93},
	}
	edges     = [edgeAnswers]coin.Edge{coin.EdgePlain, coin.EdgeReeded, coin.EdgeLettered, coin.EdgeOther}
	edgeReads = [edgeAnswers][edgeAnswers]float64{
		{0.96, 0.02, 0.01, 0.01},
		{0.05, 0.93, 0.005, 0.015},
		{0.05, 0.02, 0.91, 0.02},
		{0.10, 0.05, 0.05, 0.80},
	}
	colours     = [colourAnswers]coin.Colour{coin.Red, coin.Yellow, coin.White, coin.Grey, coin.TwoHue}
	colourReads = [colourAnswers][colourAnswers]float64{
		{0.88, 0.06, 0.015, 0.04, 0.005},
		{0.12, 0.825, 0.005, 0.045, 0.005},
		{0.012, 0.012, 0.83, 0.14, 0.006},
		{0.02, 0.01, 0.25, 0.715, 0.005},
		{0.02, 0.03, 0.08, 0.02, 0.85},
	}
	// stained is what people say of a stained, burnt or etched coin of any
	// metal but silver.
	stained = [colourAnswers]float64{0.50, 0.08, 0.05, 0.35, 0.02}
)

// halved is what people say of a coin with one face of another colour: that it
// has two, or one of them. Assumed.
func halved(face, other [colourAnswers]float64) [colourAnswers]float64 {
	const both, odd = 0.4, 0.5 // the face that is wrong is the one looked at
	two := colourReads[colourAnswers-1]
	var reads [colourAnswers]float64
	for i := range reads {
		reads[i] = both*two[i] + odd*other[i] + (1-both-odd)*face[i]
	}
	return reads
}

const (
	stripeSeen    = 0.93 // a stripe that is there is reported
	stripeMistook = 0.03 // one that isn't
	oneStripe     = 0.75 // the edge of a coin without one layer: light on one side only

	designRight = 0.9999 // once asked, people know which coin they hold

	// Calipers and a water weighing at the table, standard uncertainty.
	// Assumed.
	diameterU  = 0.10  // mm
	thicknessU = 0.08  // mm
	densityU   = 0.015 // relative
	// blunder is the share of measurements that mean nothing.
	blunder = 0.02
)

// The widths over which a blunder may fall.
const (
	diameterRange  = 40.0 // mm
	thicknessRange = 4.0  // mm
	densityRange   = 18.0 // g/cm³
)

// observablesOf gives the observables of a whole coin struck on a planchet.
func observablesOf(b *coin.Book, p coin.Planchet) observables {
	t := observables{
		magnet: flat3, edge: flat4, colour: flat5, stains: stained,
		stripe: stripeMistook, design: designRight,
		diameter:  measurement{p.Diameter.Value, math.Hypot(diameterU, 0.05)},
		thickness: measurement{p.Thickness.Value, math.Hypot(thicknessU, 0.05)},
	}
	for i, m := range magnets {
		if p.Magnetic == m {
			t.magnet = magnetReads[i]
		}
	}
	for i, e := range edges {
		if p.Edge == e {
			t.edge = edgeReads[i]
		}
	}
	for i, c := range colours {
		if p.Colour == c {
			t.colour = colourReads[i]
		}
	}
	if a := b.Alloy(p.Alloy); isFineSilver(&p, &a) {
		t.colour, t.stains = preciousReads, preciousStained
	}
	if p.Stripe {
		t.stripe = stripeSeen
	}
	d := b.Density(p)
	t.density = measurement{d.Value, math.Hypot(densityU*d.Value, (d.High-d.Low)/4)}
	if disc, ok := plate.Of(b, p); ok {
		t.disc, t.discMass = &disc, p.Mass.Value
	}
	return t
}

var (
	flat3 = [magnetAnswers]float64{1. / 3, 1. / 3, 1. / 3}
	flat4 = [edgeAnswers]float64{0.25, 0.25, 0.25, 0.25}
	flat5 = [colourAnswers]float64{0.2, 0.2, 0.2, 0.2, 0.2}
)

// damaged are the observables after damage or corrosion: colour may be gone, edge
// and size are less sure.
func (t observables) damaged() observables {
	for i := range t.colour {
		t.colour[i] = (t.colour[i] + t.stains[i]) / 2
	}
	for i := range t.edge {
		t.edge[i] = 0.9*t.edge[i] + 0.1*flat4[i]
	}
	t.diameter.sd = math.Hypot(t.diameter.sd, 0.2)
	t.thickness.sd = math.Hypot(t.thickness.sd, 0.1)
	return t
}

// unknown forgets what an altered or false piece needn't show.
func (t observables) unknown() observables {
	t.magnet = [magnetAnswers]float64{0.65, 0.10, 0.25} // false pieces are often steel. Assumed.
	for i := range t.colour {
		t.colour[i] = (t.colour[i] + flat5[i]) / 2
	}
	for i := range t.edge {
		t.edge[i] = (t.edge[i] + flat4[i]) / 2
	}
	t.stripe = (t.stripe + stripeMistook) / 2
	t.diameter.sd = math.Hypot(t.diameter.sd, 0.03*t.diameter.mean)
	t.thickness.sd = math.Hypot(t.thickness.sd, 0.10*t.thickness.mean)
	t.density = measurement{8.5, 1.5}
	t.disc = nil
	return t
}

// likelihood is the probability (density) of the evidence under the observables.
func (t *observables) likelihood(e *Evidence) float64 {
	p := 1.0
	switch e.Magnetic {
	case NotAttracted:
		p *= t.magnet[0]
	case Weak:
		p *= t.magnet[1]
	case Strong:
		p *= t.magnet[2]
	case Attracted:
		p *= t.magnet[1] + t.magnet[2]
	}
	for i, x := range edges {
		if e.Edge == x {
			p *= t.edge[i]
		}
	}
	for i, c := range colours {
		if e.Colour == c {
			p *= t.colour[i]
		}
	}
	p *= said(e.Stripe, t.stripe) * said(e.Design, t.design)
	p *= t.diameter.density(e.Diameter, diameterRange)
	p *= t.thickness.density(e.Thickness, thicknessRange)
	p *= t.density.density(e.Density, densityRange)
	if e.Ring != nil {
		p *= e.Ring.likelihood(t)
	}
	return p
}

// said is the probability of a yes-or-no answer when yes has probability p.
func said(a YesNo, p float64) float64 {
	switch a {
	case Yes:
		return p
	case No:
		return 1 - p
	}
	return 1
}

// density of a measured value: normal, or with a small share anything in
// reach. An unmeasured value says nothing, and neither does one whose truth
// isn't known.
func (g measurement) density(x, reach float64) float64 {
	switch {
	case x == 0:
		return 1
	case g.mean == 0:
		return 1 / reach
	}
	z := (x - g.mean) / g.sd
	return (1-blunder)*math.Exp(-z*z/2)/(g.sd*math.Sqrt(2*math.Pi)) + blunder/reach
}

// any reports whether there is evidence of the senses at all.
func (e *Evidence) any() bool {
	return e.Magnetic != "" || e.Edge != "" || e.Stripe != "" || e.Colour != "" ||
		e.Diameter != 0 || e.Thickness != 0 || e.Density != 0 || e.Design != "" || e.Ring != nil
}
