package verdict

import (
	"cmp"
	"math"
	"slices"

	"panside/internal/coin"
	"panside/internal/stable"
)

// Fits is what a coin of no known country or denomination can be.
type Fits struct {
	// Coins are those that fit, the likeliest first; none if nothing in the book does.
	Coins []Fit
	// More is how many fit beside those listed.
	More int
	// Tried is how many coins of the book it was held against.
	Tried int
	// Caution is a sentence on gold and large silver among them, empty if there is none.
	Caution string
}

// Fit is one issue that fits.
type Fit struct {
	Issue   coin.Issue
	Country string // its name
	// LikelihoodRatio is how much likelier weight and looks are with this coin than with a
	// piece of which nothing is known, two digits.
	LikelihoodRatio Figure
	// Chance is its share among the coins that fit, if every country's lie on the table
	// alike and of each the newer more often; 0 to 1.
	Chance Figure
}

// What is kept of the coins that fit. All assumed.
const (
	mostFits = 24
	// fitsAtAll is the least likelihood ratio against a piece of which nothing is known.
	fitsAtAll = steerRatio
	// fitsBeside is the least likelihood beside that of the best fitting coin.
	fitsBeside = 1e-3
	// measuredOff is by how many standard deviations a measurement may miss the coin's.
	// Beyond it is another coin or a blunder, and this is asked by those who can measure again.
	measuredOff = 4.5
	// mostGrams is up to where the weight of a piece of which nothing is known may lie.
	mostGrams = 100
)

// Fitting holds a coin that nobody has named against every issue of the book, strangers
// too. For an issue of mean μ, spread σ and wear τ, with the evidence of eye, magnet and
// calipers as in a judgement,
//
//	L = [ (1 − d)·EMG(y; μ, √(σ² + u²), −τ) + d·EMG(y; μ, √(σ² + u²), −δ) ] · Π P(evidence | issue)
//
// with a share d of damaged coins that lost δ on average. A year that was read counts like
// in a judgement: that of another coin, or misread, is rare. Country, denomination, mint
// and Design of the question aren't used.
//
// Errors are *fault.Field: fault.BadInput.
func Fitting(book *coin.Book, q Question) (Fits, error) {
	if err := q.check(); err != nil {
		return Fits{}, err
	}
	q.Evidence.Design = ""
	q.Evidence.Ring = nil
	out := Fits{Coins: []Fit{}}
	anything := observables{magnet: flat3, edge: flat4, colour: flat5, stripe: 0.3, design: 0.5}.unknown()
	unknown := anything.likelihood(&q.Evidence) / mostGrams
	best := 0.0
	var fits []fitting
	for _, issues := range [][]coin.Issue{book.All(), book.Strangers()} {
		for i := range issues {
			out.Tried++
			f := fittingOf(book, &issues[i], &q)
			if f.likelihood >= fitsAtAll*unknown && f.chance > 0 {
				fits = append(fits, f)
				best = math.Max(best, f.likelihood)
			}
		}
	}
	fits = slices.DeleteFunc(fits, func(f fitting) bool { return f.likelihood < fitsBeside*best })
	stable.Sort(fits, func(a, b fitting) int { return cmp.Compare(b.chance, a.chance) })
	total := 0.0
	for _, f := range fits {
		total += f.chance
	}
	out.More = max(0, len(fits)-mostFits)
	for _, f := range fits[:len(fits)-out.More] {
		if f.fake {
			out.Caution = "Gold and large silver are often copied: a right weight and size can’t rule out a fake." + expertCaution
		}
		k, ok := book.Country(f.issue.Country)
		if !ok {
			k, _ = book.Abroad(f.issue.Country)
		}
		out.Coins = append(out.Coins, Fit{*f.issue, k.Name, Figure(twoDigits(math.Min(f.likelihood/unknown, highestRatio))), Figure(f.chance / total)})
	}
	return out, nil
}

type fitting struct {
	issue      *coin.Issue
	likelihood float64
	chance     float64 // of the coin's lying there, up to a factor
	fake       bool    // it is often copied
}

func fittingOf(book *coin.Book, i *coin.Issue, q *Question) fitting {
	f := fitting{issue: i}
	p := book.Planchet(i.Planchet)
	if !p.Mass.Known() {
		return f // a stranger on a planchet of a country that isn't at hand
	}
	a := book.Alloy(p.Alloy)
	mu, s := p.Mass.Value, join(spread(p, a), float64(q.U))
	y := float64(q.Mean)
	if math.Abs(y-mu) > tooFar*s && (y > mu || y < mu/2) {
		return f
	}
	seen := observablesOf(book, p)
	if seen.diameter.off(q.Evidence.Diameter) || seen.thickness.off(q.Evidence.Thickness) || seen.density.off(q.Evidence.Density) {
		return f
	}
	hurt := seen.damaged()
	years := yearsOf(i, "", "")
	age := float64(circulationLife) / 2
	f.chance = years.weight()
	if q.Year != 0 {
		wrong := misread(q.Evidence.Date, misreadDate)
		near := years.between(q.Year-misreadReach, q.Year+misreadReach)
		f.chance = misdated(wrong, near, 0)
		if years.has(q.Year) {
			f.chance = 1 - wrong
			age = handled(q.Year, handledUntil(a))
		}
	}
	wear := a.WearRate
	if !i.Circulating {
		f.chance *= collectorWeight
		wear *= collectorWear
	}
	f.likelihood = (1-damageShare)*tailed(y, mu, s, -mu*wear*age)*seen.likelihood(&q.Evidence) +
		damageShare*tailed(y, mu, s, -mu*damageMean)*hurt.likelihood(&q.Evidence)
	f.chance *= f.likelihood
	f.fake = worthFaking(&blank{alloy: a, mu: mu})
	return f
}

// off reports whether a measured value can't be that of the coin; false where either isn't
// known.
func (g measurement) off(x float64) bool {
	return x != 0 && g.mean != 0 && math.Abs(x-g.mean) > measuredOff*g.sd
}
