package verdict

import "math"

// Origin is where the coins of a hunt come from. It decides how often silver,
// old coins, strays and fakes turn up, and with that what a weight that fits
// two things most likely means.
type Origin string

// The origins. An empty one is a jar.
const (
	Jar       Origin = "jar"       // a household's mixed change of many years
	BankRoll  Origin = "bank-roll" // rolled by machine, and searched by others before
	Inherited Origin = "inherited" // somebody's collection or savings
)

// Origins lists them all.
func Origins() []Origin { return []Origin{Jar, BankRoll, Inherited} }

// odds are how often things turn up among coins of an origin.
type odds struct {
	other       float64 // another denomination under the wrong key
	twoCoins    float64 // of this denomination, put on together by a fast hand
	foreign     float64
	altered     float64
	counterfeit float64
	unknown     float64

	// collector is a collector issue's chance of turning up beside a circulating
	// one of the same year.
	collector float64
	// kept times that is the chance of issues that were sold in cases and stayed
	// there, as long as no date says that one lies here.
	kept float64
	// precious times that of the law of years is the chance of silver and gold.
	precious float64
	// preciousAtMost is the greatest share of silver and gold together in a
	// denomination that is struck of base metal now.
	preciousAtMost float64
	// old times that of the law of years is the chance of issues that ended more
	// than pickedOutAfter years ago.
	old float64
	// sizeReach is within how many millimetres of the denomination's own diameter
	// another coin must lie to stray in; 0 for any size.
	sizeReach float64
}

// pickedOutAfter is for how many years after its last an old design still lies in
// bank rolls as often as its age lets it. Assumed.
const pickedOutAfter = 60

// The odds by origin. All assumed. Silver and strays of bank rolls follow what
// hunters tell of them (common practice, from memory): one silver coin in some
// 2,000 and as many strays of about the roll's own size, among dimes three in five
// of them today's cents. Machines sort by size and throw out what is off, and most
// rolls were searched before.
var oddsOf = map[Origin]odds{
	Jar: {
		other: 3e-3, twoCoins: 5e-3, foreign: 1e-3, altered: 1e-3, counterfeit: 2e-4, unknown: 1e-3,
		collector: collectorWeight, kept: 1. / 40, precious: 1, preciousAtMost: 1, old: 1,
	},
	BankRoll: {
		other: 1. / 2000, twoCoins: 5e-3, foreign: 1. / 3000, altered: 1e-4, counterfeit: 2e-5, unknown: 1e-4,
		collector: collectorWeight / 100, kept: 1. / 40, precious: 1, preciousAtMost: 1. / 2000, old: 0.05, sizeReach: 2,
	},
	Inherited: {
		other: 5e-3, twoCoins: 5e-3, foreign: 1e-2, altered: 2e-3, counterfeit: 2e-3, unknown: 2e-3,
		collector: 5 * collectorWeight, kept: 1, precious: 3, preciousAtMost: 1, old: 3,
	},
}

// prior of a kind, per coin.
func (o *odds) prior(k Kind) float64 {
	switch k {
	case OtherCoin:
		return o.other
	case TwoCoins:
		return o.twoCoins
	case ForeignCoin:
		return o.foreign
	case Altered:
		return o.altered
	case Counterfeit:
		return o.counterfeit
	case Unknown:
		return o.unknown
	}
	return k.prior()
}

// scarce takes out of the model's issues what other hands took out before: see
// odds. An issue keeps in scaled by how much, so that the likelihood ratios that are
// shown don't depend on the origin.
func (c *compiler) scarce() {
	var precious, total float64
	for i := range c.issues {
		k := &c.issues[i]
		times := 1.0
		if k.until != asOf {
			times = c.odds.precious
		}
		if k.Last() < asOf-pickedOutAfter {
			times *= c.odds.old
		}
		k.scale(times)
		total += k.weight
		if k.until != asOf {
			precious += k.weight
		}
	}
	base := total - precious
	if !c.denomination.Current || base <= 0 || precious <= c.odds.preciousAtMost*total {
		return
	}
	times := base * c.odds.preciousAtMost / (1 - c.odds.preciousAtMost) / precious
	for i := range c.issues {
		if k := &c.issues[i]; k.until != asOf {
			k.scale(times)
		}
	}
}

// scale makes an issue so much the rarer, with and without a date: where silver is
// one coin in 2,000, dates misread on other coins are as many as those of silver.
// Of collector issues few were there to be taken out.
func (k *issue) scale(times float64) {
	k.weight *= times
	k.scaled *= times
	if k.Circulating {
		k.factor *= times
		k.scaledDated *= times
	}
}

// nearSize reports whether a coin of that diameter gets among the denomination's
// own there. Where a diameter isn't published nothing speaks against it.
func (c *compiler) nearSize(q *blank) bool {
	if c.odds.sizeReach == 0 || !q.Diameter.Known() {
		return true
	}
	known := false
	for i := range c.issues {
		p := &c.blanks[c.issues[i].blank]
		if !p.Diameter.Known() {
			continue
		}
		known = true
		if math.Abs(q.Diameter.Value-p.Diameter.Value) <= c.odds.sizeReach {
			return true
		}
	}
	return !known
}
