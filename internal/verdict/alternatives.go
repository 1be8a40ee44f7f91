package verdict

import (
	"math"
	"slices"

	"panside/internal/coin"
	"panside/internal/say"
)

// addAlternatives adds everything that may lie on the pan and isn't a regular coin
// of the denomination.
func (c *compiler) addAlternatives(country string) {
	for _, d := range c.book.Denominations(country) {
		if d.ID == c.denomination.ID {
			continue
		}
		for _, i := range c.book.Issues(country, d.ID) {
			if i.Circulating {
				c.neighbour(d, i)
			}
		}
	}
	own := len(c.issues)
	for i := range own {
		c.missingLayers(&c.issues[i])
		c.splits(i)
	}
	c.transitions()
	c.struckForOthers(country)
	home, _ := c.book.Country(country)
	for _, k := range c.book.Countries() {
		if !slices.Contains(home.Strays, k.ID) {
			continue
		}
		for _, d := range c.book.Denominations(k.ID) {
			for _, i := range c.book.Issues(k.ID, d.ID) {
				c.foreign(k, i, foreignWeight(k.ID == home.Neighbour))
			}
		}
	}
	for _, i := range c.book.Strangers() {
		if k, _ := c.book.Abroad(i.Country); slices.Contains(home.Strays, k.ID) {
			c.foreign(k, i, strangerWeight)
		}
	}
}

// neighbour adds what an issue of another denomination of the same mint gives:
// its planchet under these dies, its struck coin under these dies, its strip,
// and itself under the wrong key.
func (c *compiler) neighbour(d coin.Denomination, i coin.Issue) {
	n := c.blankOf(i.Planchet)
	q := c.blanks[n]
	rate, until := q.alloy.WearRate, handledUntil(q.alloy)
	theirs := yearsOf(&i, "", "")
	// Blanks and coins of a year may be fed to a press a year later.
	at := theirs.grown(1)

	if d.Current && c.nearSize(&q) {
		t := q.clean
		t.design = 1 - designRight
		weight := theirs.weight()
		if i.Last() < asOf-pickedOutAfter {
			weight *= c.odds.old
		}
		c.add(alternative{
			kind: OtherCoin, name: q.Short, word: say.New("a-coin", say.Noun("coin", q.Forms())), blank: n, mu: q.mu, sigma: q.sigma, rate: rate, until: until,
			observables: t, free: true, years: theirs, weight: weight,
		})
	}

	var years yearSet
	for k := range c.issues {
		if own := &c.issues[k]; c.fits(&q, own) {
			years = years.or(own.years.and(at))
		}
	}
	if !years.empty() {
		t := q.clean
		for e := range t.edge {
			t.edge[e] = (c.edgeOf(years)[e] + edgeReads[0][e]) / 2 // struck in this collar, or with room around
		}
		t.diameter = measurement{q.Diameter.Value, math.Hypot(diameterU, 0.03*q.Diameter.Value)}
		t.thickness = measurement{}
		c.add(alternative{
			kind: WrongPlanchet, name: c.write(say.New("planchet-of", say.Noun("coin", q.Full()))), word: say.New("a-coin", say.Noun("coin", q.Forms())), blank: n,
			mu: q.mu, sigma: q.sigma, rate: rate, until: until, observables: t, years: years, weight: years.weight(),
			confirm: then(then(say.New("design-first", say.Noun("own", c.coin)), thenMeasure(&q)), say.New("confirm-planchet")),
		})
		t.edge = mix(q.clean.edge, c.edgeOf(years))
		c.add(alternative{
			kind: DoubleDenomination, name: c.write(say.New("struck-over", say.Noun("coin", q.Forms()))), word: say.New("a-coin", say.Noun("coin", q.Forms())), blank: n,
			mu: q.mu, sigma: q.sigma, rate: rate, until: until, observables: t, years: years, weight: years.weight(),
			confirm: say.New("confirm-struck-over", say.Noun("coin", q.Forms())),
		})
	}

	for k := range c.issues {
		c.stock(&c.issues[k], &q, n, at)
	}
}

// fits reports whether a planchet can lie in the collar of an issue. Where a
// diameter isn't published the mass must do.
func (c *compiler) fits(q *blank, own *issue) bool {
	p := &c.blanks[own.blank]
	if q.Diameter.Known() && p.Diameter.Known() {
		return q.Diameter.Value <= p.Diameter.Value+fitsCollar
	}
	return q.mu <= 1.1*p.mu
}

// edgeOf is how the edge of the denomination's coins of those years looks.
func (c *compiler) edgeOf(years yearSet) [edgeAnswers]float64 {
	for k := range c.issues {
		if both := c.issues[k].years.and(years); !both.empty() {
			return c.blanks[c.issues[k].blank].clean.edge
		}
	}
	return flat4
}

func mix(a, b [edgeAnswers]float64) [edgeAnswers]float64 {
	for i := range a {
		a[i] = (a[i] + b[i]) / 2
	}
	return a
}

// stock adds a blank of this denomination's diameter cut from strip that was
// rolled for another. A coin's mean thickness is m/(ρ·π·D²/4), the same for
// strip and blank, so
//
//	m = m_q · (D / D_q)²
//
// with the other coin's mass m_q and diameter D_q. Only strip of the same metal
// is looked at: that is what a blanking press is fed by mistake. Assumed.
func (c *compiler) stock(own *issue, q *blank, n int, at yearSet) {
	p := &c.blanks[own.blank]
	years := own.years.and(at)
	if p.family != q.family || !own.Circulating || years.empty() || !p.Diameter.Known() || !q.Diameter.Known() || p.Colour == coin.TwoHue {
		return
	}
	ratio := p.Diameter.Value / q.Diameter.Value
	ratio *= ratio
	mu := q.mu * ratio
	if math.Abs(mu/p.mu-1) < 0.02 {
		return // the same strip
	}
	t := p.clean
	t.thickness.mean *= mu / p.mu
	side := Heavy
	if mu < p.mu {
		side = Light
	}
	c.add(alternative{
		kind: WrongStock, name: c.write(say.New("strip-for", say.Noun("coin", q.Full()))), word: say.New("a-strip-for", say.Noun("coin", q.Forms())), blank: n,
		mu: mu, sigma: math.Hypot(q.sigma*ratio, 0.01*mu), rate: q.alloy.WearRate, until: handledUntil(q.alloy), observables: t, years: years, weight: years.weight(),
		confirm: say.New("confirm-strip", say.Text("side", string(side))),
	})
}

// missingLayers adds coins without one or both clad faces, or without plating.
// The mass is that of the layers left.
func (c *compiler) missingLayers(own *issue) {
	p := c.blanks[own.blank]
	if !p.SplitKnown() {
		return
	}
	var core, face coin.Layer
	for _, l := range p.Layers {
		switch l.Part {
		case coin.Core:
			core = l
		case coin.Face, coin.Plating:
			face = l
		}
	}
	if core.Alloy == "" || face.Alloy == "" {
		return
	}
	coreColour := flat5
	for i, x := range colours {
		if c.book.Alloy(core.Alloy).Colour == x {
			coreColour = colourReads[i]
		}
	}
	layer := func(name, word say.Line, gone float64, colour [colourAnswers]float64, stripe float64, confirm say.Line) {
		mu := p.mu * (1 - gone)
		t := p.clean
		t.colour, t.stripe = colour, stripe
		t.thickness.mean *= 1 - gone
		c.add(alternative{
			kind: MissingLayer, name: c.write(name), word: word, blank: own.blank, mu: mu, sigma: math.Hypot(p.sigma*(1-gone), 0.01*mu),
			rate: own.rate, until: own.until, observables: t, years: own.years, weight: own.weight, confirm: confirm,
		})
	}
	if face.Part == coin.Plating {
		layer(say.New("plating-missing"), say.New("a-coin-unplated", say.Noun("coin", c.coin)), face.Share, coreColour, p.clean.stripe, say.New("confirm-unplated"))
		return
	}
	tell := say.New("layer-takes", say.Decimal("loss", p.mu*face.Share/2, 2))
	layer(say.New("one-layer-missing"), say.New("a-coin-one-layer", say.Noun("coin", c.coin)), face.Share/2, halved(p.clean.colour, coreColour), oneStripe,
		then(tell, say.New("confirm-one-layer")))
	layer(say.New("both-layers-missing"), say.New("a-coin-no-layers", say.Noun("coin", c.coin)), face.Share, coreColour, stripeMistook,
		then(tell, say.New("confirm-both-layers")))
}

// foreignWeight is how often coins of a country stray in, beside those of one that
// isn't the neighbour.
func foreignWeight(neighbour bool) float64 {
	if neighbour {
		return neighbourWeight
	}
	return 1
}

// foreign adds a foreign coin of the denomination's size; often is how often coins of
// its country stray in.
func (c *compiler) foreign(k coin.Country, i coin.Issue, often float64) {
	p := c.book.Planchet(i.Planchet)
	const share = 0.01 // of the denomination, for an issue's size to count
	total := 0.0
	for j := range c.issues {
		total += c.issues[j].weight
	}
	near := false
	for j := range c.issues {
		if c.issues[j].weight < share*total {
			continue
		}
		own := &c.blanks[c.issues[j].blank]
		if p.Diameter.Known() && own.Diameter.Known() {
			near = near || math.Abs(p.Diameter.Value-own.Diameter.Value) <= foreignReach
		} else {
			near = near || math.Abs(p.Mass.Value/own.mu-1) < 0.1
		}
	}
	if !near || !i.Circulating {
		return
	}
	n := c.blankOf(i.Planchet)
	q := &c.blanks[n]
	t := q.clean
	t.design = 1 - designRight
	years := yearsOf(&i, "", "")
	_, stranger := c.book.Abroad(k.ID)
	weight := often * years.weight()
	short := q.Short
	if stranger {
		short = i.Name
	}
	confirm := say.New("confirm-foreign")
	if mm := q.Diameter.Value; mm > 0 {
		confirm = then(confirm, say.New("is-wide", say.Text("coin", i.Name), say.Decimal("mm", mm, 1)))
	}
	c.add(alternative{
		kind: ForeignCoin, name: c.write(say.New("coin-of-country", say.Text("coin", i.Name), say.Text("country", k.Name))), country: k.Name,
		word: say.New("a-foreign-coin", say.Text("coin", short), say.Text("country", k.Name)), blank: n, mu: q.mu, sigma: q.sigma,
		rate: q.alloy.WearRate, until: handledUntil(q.alloy), observables: t, free: true, years: years, weight: weight, stranger: stranger,
		confirm: confirm,
	})
}

// add keeps an alternative, together with an earlier one on the same planchet:
// several issues share one.
func (c *compiler) add(s alternative) {
	if s.weight <= 0 {
		return
	}
	if s.rarer == 0 {
		s.rarer = 1
	}
	for i := range c.alternatives {
		o := &c.alternatives[i]
		if o.kind == s.kind && o.blank == s.blank && o.mu == s.mu && o.name == s.name && o.rarer == s.rarer {
			o.years = o.years.or(s.years)
			o.weight += s.weight
			o.alike = append(o.alike, s.alike...)
			return
		}
	}
	c.alternatives = append(c.alternatives, s)
}

// thenMeasure says how wide the other coin is, nothing when that isn't published.
func thenMeasure(q *blank) say.Line {
	if !q.Diameter.Known() {
		return say.Line{}
	}
	return say.New("then-measure", say.Noun("coin", q.Forms()), say.Decimal("mm", q.Diameter.Value, 1))
}
