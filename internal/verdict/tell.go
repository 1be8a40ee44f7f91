package verdict

import (
	"math"

	"panside/internal/coin"
	"panside/internal/plate"
	"panside/internal/stable"
)

// RingQuestion asks for a coin's metal by its ring, without a scale. Without partials it asks
// only where the metals lie.
type RingQuestion struct {
	Country, Denomination string
	Ring                  Ring
}

// Told is what a ring tells.
type Told struct {
	// Alloy is the family of the metal, empty where it can't be told; Why then says why.
	Alloy string `json:"alloy"`
	Why   Untold `json:"why"`
	// Metals of the denomination, the likeliest first.
	Metals []RungMetal `json:"metals"`
}

// Untold is why a ring tells no metal; empty where it does.
type Untold string

// The reasons.
const (
	NotRung     Untold = "not-rung"    // no partials were given
	OneMetal    Untold = "one-metal"   // there is but one
	ScaleTells  Untold = "scale"       // one of them may ring like any other; the scale tells
	SeveralFit  Untold = "several-fit" // more than one may have rung so
	NoneFits    Untold = "none-fits"   // none rings so
	ringDecides        = 50            // odds from which a metal is named
)

// RungMetal is a metal of the denomination, and where it rings.
type RungMetal struct {
	Alloy       string    `json:"alloy"`    // id of the family
	Name        string    `json:"name"`     // without what it is made of: “clad”
	Planchet    string    `json:"planchet"` // the usual one of the metal
	Probability float64   `json:"probability"`
	Hz          []float64 `json:"hz"`     // its partials, as coins are met; empty where nothing is predicted
	Spread      float64   `json:"spread"` // relative standard deviation of these
	collector   bool
}

// Shares in the question before anything is heard. Assumed: somebody who rings a coin has a
// reason to, so that what is in circulation says little, and metals made for use are alike.
const (
	collectorMetal = 0.02 // of one that only collectors' coins are of, beside one made for use
	noMetal        = 0.02 // of none of them: another coin, a washer
	seldomMetal    = 0.002
)

// Tell says by its ring alone which metal of a denomination a coin is of. Within a metal its
// planchets count as they turn up. Errors: fault.NoSuchIssue and *fault.Field.
func Tell(book *coin.Book, q RingQuestion) (Told, error) {
	told := Told{Metals: []RungMetal{}}
	m, err := modelOf(book, q.Country, q.Denomination, Jar)
	if err != nil {
		return told, err
	}
	rung := len(q.Ring.Hz) > 0
	r := &q.Ring
	if rung {
		if err := r.check("ring"); err != nil {
			return told, err
		}
	}
	if r, err = r.against(book, 0, "ring"); err != nil {
		return told, err
	}
	h := plate.Heard{Hz: r.Hz, U: r.U}
	total, predicted := 0.0, true
	if rung {
		total = noMetal * plate.Anything(h)
	}
	none, common := total, 0
	for f := range m.families {
		x, prior, ok := m.rungMetal(f, r, h, rung)
		if !ok {
			continue
		}
		if prior == 1 {
			common++
			predicted = predicted && len(x.Hz) > 0 && x.Hz[0] <= plate.Highest
		}
		total += x.Probability
		told.Metals = append(told.Metals, x)
	}
	for i := range told.Metals {
		if x := &told.Metals[i]; rung && total > 0 {
			x.Probability /= total
		}
	}
	stable.Sort(told.Metals, func(a, b RungMetal) int {
		switch {
		case a.Probability > b.Probability:
			return -1
		case a.Probability < b.Probability:
			return 1
		}
		return 0
	})
	switch {
	case common < 2:
		told.Why = OneMetal
	case !predicted:
		told.Why = ScaleTells
	case !rung:
		told.Why = NotRung
	case none > total/4:
		told.Why = NoneFits
	case told.Metals[0].Probability+told.besides() < ringDecides/(1.0+ringDecides):
		told.Why = SeveralFit
	default:
		told.Alloy = told.Metals[0].Alloy
	}
	return told, nil
}

// besides is the probability of metals that only collectors' coins are of and that ring like
// the likeliest, so that no ear tells them apart: its name stands for them.
func (t *Told) besides() (p float64) {
	top := &t.Metals[0]
	for _, x := range t.Metals[1:] {
		if x.collector && len(x.Hz) > 0 && len(top.Hz) > 0 && math.Abs(math.Log(x.Hz[0]/top.Hz[0])) < top.Spread {
			p += x.Probability
		}
	}
	return p
}

// rungMetal is a family of the denomination's own metals with, as its probability, share times
// likelihood; ok is false for one that is hardly met.
func (m *model) rungMetal(f int, r *Ring, h plate.Heard, rung bool) (x RungMetal, prior float64, ok bool) {
	fam := &m.families[f]
	if !fam.regular {
		return x, 0, false
	}
	name, _ := metalOf(fam.name)
	x = RungMetal{Alloy: fam.id, Name: name, Hz: []float64{}}
	prior = collectorMetal
	for i := range m.issues {
		if k := &m.issues[i]; k.Circulating && m.blanks[k.blank].family == f && m.blanks[k.blank].usual > seldomMetal {
			prior = 1
		}
	}
	x.collector = prior < 1
	weight, likelihood, top := 0.0, 0.0, -1.0
	for n := range m.ownBlanks {
		b := &m.blanks[n]
		if b.family != f || b.usual <= 0 {
			continue
		}
		weight += b.usual
		ratio := 1 - b.loss
		if rung && b.clean.disc == nil {
			likelihood += b.usual * plate.Anything(h)
		} else if rung {
			likelihood += b.usual * b.clean.disc.Likelihood(h, r.prior(b.clean.disc, ratio))
		}
		if b.usual <= top {
			continue
		}
		top, x.Planchet, x.Hz = b.usual, b.ID, []float64{}
		if d := b.clean.disc; d != nil {
			s := r.prior(d, ratio)
			x.Spread = math.Round(1e4*s.SD) / 1e4
			for _, hz := range d.Hz {
				if hz *= math.Exp(s.Mean); hz <= plate.Highest {
					x.Hz = append(x.Hz, math.Round(hz))
				}
			}
		}
	}
	if weight == 0 {
		return x, 0, false
	}
	x.Probability = prior
	if rung {
		x.Probability = prior * likelihood / weight
	}
	return x, prior, true
}
