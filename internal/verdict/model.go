package verdict

import (
	"slices"
	"strconv"
	"sync"

	"panside/internal/coin"
	"panside/internal/say"
)

// model is all that can be worked out of a denomination before a coin is
// weighed: its issues, and what else may lie on the pan.
type model struct {
	denomination coin.Denomination
	odds         odds // of the origin of the coins
	tongue       *say.Tongue
	coin         say.Forms // "cent", "nickel"
	unmarked     string    // letter of the mint without a mark
	blanks       []blank   // those of the denomination's own issues first
	ownBlanks    int
	issues       []issue
	alternatives []alternative
	questions    []coin.Question // of the country
	families     []family
	eras         []era
	eraOf        [yearCount]uint8 // 1 + index in eras of each year, 0 if nothing was struck
	heaviest     float64          // standard mass of the heaviest issue, grams
	anything     observables
	wants        []coin.Want // what hunters of the country keep
}

// blank is a planchet with what follows from it.
type blank struct {
	coin.Planchet
	alloy     coin.Alloy
	family    int     // index in model.families
	mu, sigma float64 // grams
	limit     bool    // a limit for single pieces is there
	usual     float64 // its share of the denomination's coins, before anything is read
	loss      float64 // mean relative loss of these by wear
	clean     observables
	damaged   observables
	stained   observables
	unknown   observables // of an altered or false piece in its likeness
}

// issue is a regular issue of the denomination.
type issue struct {
	coin.Issue
	blank  int
	years  yearSet
	turns  float64 // chance of turning up of all its years by the law of years
	weight float64 // chance of turning up, all years
	factor float64 // 1, less for collector issues; that of a year when it was read
	// scaled and scaledDated are what the origin has made of weight and factor: see
	// compiler.scarce.
	scaled, scaledDated float64
	rate                float64            // relative wear loss a year
	until               int                // and the year it goes on to
	loss                [wearNodes]float64 // mean relative loss when the year isn't known
}

// wearNodes is into how many parts of equal weight an issue's years are cut
// when the year isn't known, each with its own age.
const wearNodes = 3

// alternative is one thing on the pan that isn't a regular one of the denomination.
type alternative struct {
	kind   Kind
	number int // of the kind
	name   string
	blank  int // whose metal it is of
	// mu and sigma in grams; rate is the relative wear loss a year, until some
	// year.
	mu, sigma, rate float64
	until           int
	observables     observables
	// years in which it can have been made, when that binds it to the date on
	// the coin; free otherwise.
	years yearSet
	free  bool
	// aYear is the share per year of a free one: see strayShare.
	aYear float64
	// alike are the issues whose own planchets weigh the same and are of the same
	// metal; with the coins that are known, for a transitional alloy.
	alike []int
	known coin.OffYear
	// rarer is what the share within its kind is multiplied by when a date is read.
	rarer float64
	// weight is its chance beside the others of its kind when no year is given.
	weight float64
	// twin is the index of an earlier one with the same mass, or −1.
	twin      int
	confirm   say.Line
	word      say.Line    // what the headline calls it
	country   string      // a foreign coin's
	forOthers bool        // a planchet of a coin struck for another country
	stranger  bool        // a coin of a country that no judgement is made for
	struck    []coin.Span // when and, by the marks, where that was
}

// family is one answer about the metal.
type family struct {
	id        string // the same in every book: that of the family or of its only alloy
	metal     metal
	fractions []coin.Fraction
	years     []string // of this denomination, in the family's issues
	common    []string // those of issues made for use, if it has some
	struck    int      // how many years these are
	current   bool     // it is struck now
	regular   bool     // regular issues of this denomination are made of it
	usual     float64  // their share of the denomination, before anything is read or weighed
	plain     float64  // and what it would be had nobody searched the coins: see compiler.scarce
	variants  []variant
}

type modelKey struct {
	book                  *coin.Book
	country, denomination string
	origin                Origin
}

var models sync.Map // modelKey -> *model

// modelOf returns the model of a denomination for an origin of its coins, worked out
// when first asked for. Errors are the book's: fault.NoSuchIssue.
func modelOf(b *coin.Book, country, denomination string, origin Origin) (*model, error) {
	if origin == "" {
		origin = Jar
	}
	key := modelKey{b, country, denomination, origin}
	if m, ok := models.Load(key); ok {
		return m.(*model), nil
	}
	if _, err := b.Find(country, denomination, 0, ""); err != nil {
		return nil, err
	}
	m, _ := models.LoadOrStore(key, compile(b, country, denomination, oddsOf[origin]))
	return m.(*model), nil
}

// compiler builds a model.
type compiler struct {
	*model
	book     *coin.Book
	byID     map[string]int // planchet id -> index in blanks
	byFamily map[string]int
}

func compile(b *coin.Book, country, denomination string, of odds) *model {
	c := compiler{&model{odds: of}, b, map[string]int{}, map[string]int{}}
	c.wants = b.Wants(country)
	c.denomination, _ = b.Denomination(country, denomination)
	c.tongue, c.coin = b.Tongue(), c.denomination.Forms()
	for _, k := range b.Countries() {
		if k.ID == country {
			c.unmarked = k.Unmarked
		}
	}
	for _, i := range b.Issues(country, denomination) {
		c.issue(i)
	}
	c.scarce()
	c.ownBlanks = len(c.blanks)
	for f := range c.families {
		c.familyYears(f)
		c.families[f].regular = true
	}
	total, plain := 0.0, 0.0
	for _, k := range c.issues {
		total += k.weight
		plain += k.weight / k.scaled
	}
	for _, k := range c.issues {
		c.families[c.blanks[k.blank].family].usual += k.weight / total
		c.families[c.blanks[k.blank].family].plain += k.weight / k.scaled / plain
		b := &c.blanks[k.blank]
		b.usual += k.weight / total
		for _, loss := range k.loss {
			b.loss += k.weight / total * loss / wearNodes
		}
	}
	for n := range c.ownBlanks {
		if b := &c.blanks[n]; b.usual > 0 {
			b.loss /= b.usual
		}
	}
	c.questions = b.Questions(country)
	c.addAlternatives(country)
	c.shares()
	c.sortYears()
	c.anything = observables{magnet: flat3, edge: flat4, colour: flat5, stripe: 0.3, design: 0.5}.unknown()
	return c.model
}

// issue adds a regular issue.
func (c *compiler) issue(i coin.Issue) {
	n := c.blankOf(i.Planchet)
	b := &c.blanks[n]
	k := issue{Issue: i, blank: n, factor: 1, scaled: 1, scaledDated: 1, rate: b.alloy.WearRate, until: handledUntil(b.alloy), years: yearsOf(&i, "", "")}
	if !i.Circulating {
		k.factor, k.rate = c.odds.collector, k.rate*collectorWear
		k.scaledDated = c.odds.collector / collectorWeight
		k.scaled = k.scaledDated
	}
	k.turns = k.years.weight()
	kept := 1.0
	if i.Kept {
		k.factor, kept = max(collectorWeight, c.odds.collector), c.odds.kept
		k.scaledDated = k.factor / collectorWeight
		k.scaled = k.scaledDated
	}
	k.weight = k.factor * kept * k.years.weight()
	k.loss = k.losses()
	c.issues = append(c.issues, k)
	c.heaviest = max(c.heaviest, b.mu)
	c.families[b.family].vary(b.alloy)
}

// perYear is the chance of turning up of a year, as a factor of the law of years.
func (k *issue) perYear() float64 { return k.weight / k.years.weight() }

// losses are the mean losses of the middle year of each third of the issue, by
// weight.
func (k *issue) losses() (loss [wearNodes]float64) {
	total, sum, node := k.years.weight(), 0.0, 0
	for y := range k.years.all() {
		sum += turnUp[y-firstYear]
		for node < wearNodes && sum >= total*(float64(node)+0.5)/wearNodes*(1-1e-12) {
			loss[node] = k.rate * handled(y, k.until)
			node++
		}
	}
	return loss
}

// blankOf gives the index of a planchet of the book, adding it if new.
func (c *compiler) blankOf(id string) int {
	if n, ok := c.byID[id]; ok {
		return n
	}
	p := c.book.Planchet(id)
	return c.addBlank(p, c.book.Alloy(p.Alloy))
}

// addBlank adds a planchet, and its alloy's family if that is new.
func (c *compiler) addBlank(p coin.Planchet, a coin.Alloy) int {
	t := observablesOf(c.book, p)
	stain := t
	stain.colour = t.stains
	b := blank{
		Planchet: p, alloy: a, mu: p.Mass.Value, sigma: spread(p, a),
		limit: p.Limit.Known() && p.Limit.Scope == coin.PerPiece,
		clean: t, damaged: t.damaged(), stained: stain, unknown: t.unknown(),
	}
	n := len(c.blanks)
	c.byID[p.ID] = n
	id := a.Family
	if id == "" {
		id = a.ID
	}
	f, ok := c.byFamily[id]
	if !ok {
		f = len(c.families)
		c.byFamily[id] = f
		c.families = append(c.families, family{id: id, metal: metalOf(&a), fractions: a.Fractions, years: []string{}})
	}
	// The family goes by the name of the alloy whose id it bears, if a coin of
	// the denomination is made of it; else by the first one's. An alternative
	// doesn't rename it: a cent of 12 % nickel isn't one of 25 % because
	// five-cent pieces are.
	if id == a.ID && !c.families[f].regular {
		c.families[f].metal, c.families[f].fractions = metalOf(&a), a.Fractions
	}
	b.family = f
	c.blanks = append(c.blanks, b)
	return n
}

// familyYears notes in which years, and how many, a family was struck.
func (c *compiler) familyYears(f int) {
	fam := &c.families[f]
	for _, s := range c.runs(f, false) {
		fam.years = append(fam.years, runOf(s))
		fam.struck += s.Last - s.First + 1
		fam.current = fam.current || s.Open
	}
	for _, s := range c.runs(f, true) {
		fam.common = append(fam.common, runOf(s))
	}
	if fam.common == nil {
		fam.common = fam.years
	}
}

// runs are the years of a family's issues, or of those made for use only.
func (c *compiler) runs(f int, common bool) []coin.Span {
	var of []coin.Issue
	for i := range c.issues {
		if k := &c.issues[i]; c.blanks[k.blank].family == f && (k.Circulating || !common) {
			of = append(of, k.Issue)
		}
	}
	return coin.Years(of)
}

// runOf writes a run of years: “1909–1942”, “1982–” for one that goes on.
func runOf(s coin.Span) string {
	run := strconv.Itoa(s.First)
	switch {
	case s.Open:
		run += "–"
	case s.Last > s.First:
		run += "–" + strconv.Itoa(s.Last)
	}
	return run
}

// shares turns the weights of each kind into shares that sum to one, drops
// what is never looked at, and finds twins. Strangers come on top: that one more
// country is in the book makes a coin of the neighbour no rarer.
func (c *compiler) shares() {
	total, strangers := map[Kind]float64{}, 0.0
	for i := range c.alternatives {
		if s := &c.alternatives[i]; s.stranger {
			strangers += s.weight
		} else {
			total[s.kind] += s.weight
		}
	}
	if total[ForeignCoin] == 0 {
		total[ForeignCoin] = strangers
	}
	for i := range c.alternatives {
		if t := total[c.alternatives[i].kind]; t > 0 {
			c.alternatives[i].weight /= t
		}
	}
	// A free one is never looked at if its share is too small; one bound to
	// years may be likely in its own.
	c.alternatives = slices.DeleteFunc(c.alternatives, func(s alternative) bool {
		least := foreignShare
		if s.stranger {
			least = strangerShare
		}
		return s.kind == OtherCoin && s.weight < rareShare || s.kind == ForeignCoin && s.weight < least
	})
	c.strayYears()
	for i := range c.alternatives {
		s := &c.alternatives[i]
		s.twin, s.number = -1, s.kind.index()
		for j := range c.alternatives[:i] {
			o := &c.alternatives[j]
			if o.twin < 0 && o.mu == s.mu && o.sigma == s.sigma && o.rate == s.rate && o.free == s.free {
				s.twin = j
				break
			}
		}
	}
}
