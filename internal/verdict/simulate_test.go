package verdict_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"panside/internal/book/data"
	"panside/internal/coin"
	"panside/internal/mass"
	"panside/internal/verdict"
)

// The simulation makes coins by rules of its own, none of them the model's:
// making is not quite normal, wear is a gamma distribution, dirt a lognormal
// one, damage uniform, the years of a jar follow one of several laws, and the
// scale's errors are rectangular. What must hold is what the verdict claims.

// jar is how often the years turn up.
type jar struct {
	name   string
	weight func(age float64) float64
}

var jars = []jar{
	{"change", func(age float64) float64 { return math.Exp2(-age / 15) }},
	{"old jar", func(age float64) float64 { return math.Exp2(-age / 50) }},
	{"album", func(age float64) float64 {
		if age > 120 {
			return 0
		}
		return 1
	}},
}

var keys = []string{"cent", "nickel", "dime", "quarter", "half", "dollar"}

// made is a simulated coin.
type made struct {
	denomination string // the key that is tapped
	year         int    // on the coin
	mint         string
	family       string // of its alloy
	fineness     string // name of the alloy itself
	mass         float64
	ordinary     bool // regular coin of the tapped denomination
	stray        bool
	kind         verdict.Kind // of a seeded rare coin
	expected     float64      // standard mass of what it is
}

type simulator struct {
	*rand.Rand
	book *coin.Book
	jar  jar
	pool map[string][]minted
}

// minted is one issue and year with its chance.
type minted struct {
	issue coin.Issue
	year  int
	sum   float64 // cumulated
}

func newSimulator(seed uint64, j jar) *simulator {
	return &simulator{rand.New(rand.NewPCG(seed, 1)), data.Coins(), j, map[string][]minted{}}
}

func family(b *coin.Book, planchet string) string {
	a := b.Alloy(b.Planchet(planchet).Alloy)
	if a.Family != "" {
		return a.Family
	}
	return a.ID
}

// draw picks an issue and year of a denomination as the jar has them.
func (s *simulator) draw(country, denomination string) minted {
	key := country + "/" + denomination
	pool, ok := s.pool[key]
	if !ok {
		sum := 0.0
		for _, i := range s.book.Issues(country, denomination) {
			if !i.Circulating {
				continue
			}
			for _, span := range i.Spans {
				for y := span.First; y <= span.Last; y++ {
					sum += s.jar.weight(float64(2026 - y))
					pool = append(pool, minted{i, y, sum})
				}
			}
		}
		s.pool[key] = pool
	}
	x := s.Float64() * pool[len(pool)-1].sum
	n, _ := slices.BinarySearchFunc(pool, x, func(m minted, x float64) int {
		if m.sum < x {
			return -1
		}
		return 1
	})
	return pool[min(n, len(pool)-1)]
}

// spread is how unequal coins are made: somewhat better than a mint must.
func (s *simulator) spread(p coin.Planchet) float64 {
	if p.Limit.Known() && p.Limit.Scope == coin.PerPiece {
		return 0.8 * p.Limit.Value / 3
	}
	a := s.book.Alloy(p.Alloy)
	if (a.Share("Ag") > 0.3 || a.Share("Au") > 0.3) && len(p.Layers) == 1 {
		return 0.004 * p.Mass.Value
	}
	return 0.011 * p.Mass.Value
}

// bell is nearly normal with standard deviation 1, and never beyond 4.2.
func (s *simulator) bell() float64 {
	sum := 0.0
	for range 6 {
		sum += s.Float64() - 0.5
	}
	return sum * math.Sqrt2
}

// used is the mass of a coin after its years: worn, now and then soiled or
// damaged.
func (s *simulator) used(p coin.Planchet, m float64, year int) float64 {
	// Silver and gold stayed in purses until about 1970.
	until := 2026.0
	if a := s.book.Alloy(p.Alloy); a.Share("Ag")+a.Share("Au") > 0.3 {
		until = 1970
	}
	age := math.Min(math.Max(until-float64(year), 0), 40)
	rate := map[coin.WearClass]float64{coin.WearHard: 0.00025, coin.WearMedium: 0.00035, coin.WearSoft: 0.0007}[s.book.Alloy(p.Alloy).Wear]
	// gamma with shape 2
	loss := rate * age / 2 * (s.ExpFloat64() + s.ExpFloat64())
	switch x := s.Float64(); {
	case x < 0.04:
		loss -= math.Min(0.002*math.Exp(0.8*s.NormFloat64()), 0.02)
	case x < 0.055:
		loss += 0.005 + 0.115*s.Float64()
	}
	return m * (1 - loss)
}

// ordinary makes a regular coin of a mixed jar, or now and then a stray.
func (s *simulator) ordinary() made {
	key := keys[s.IntN(len(keys))]
	c := made{denomination: key, ordinary: true}
	country, denomination := "US", key
	switch x := s.Float64(); {
	case x < 0.002: // another denomination under the wrong key
		denomination = keys[s.IntN(len(keys))]
	case x < 0.004: // a foreign coin of about that size
		countries := s.book.Countries()
		k := countries[s.IntN(len(countries))]
		if f, ok := s.sameSize(k.ID, key); ok {
			country, denomination = k.ID, f
		}
	}
	m := s.draw(country, denomination)
	p := s.book.Planchet(m.issue.Planchet)
	c.stray = country != "US" || denomination != key
	c.ordinary = !c.stray
	c.year, c.family, c.expected = m.year, family(s.book, p.ID), p.Mass.Value
	c.fineness = s.book.Alloy(p.Alloy).Name
	if marks := m.issue.Mints(m.year); len(marks) > 0 {
		c.mint = marks[s.IntN(len(marks))]
	}
	c.mass = s.used(p, p.Mass.Value+s.spread(p)*s.bell(), m.year)
	return c
}

// sameSize picks a foreign denomination that could be taken for the key's.
func (s *simulator) sameSize(country, key string) (string, bool) {
	own := s.draw("US", key).issue
	d := s.book.Planchet(own.Planchet).Diameter.Value
	var fit []string
	for _, f := range s.book.Denominations(country) {
		for _, i := range s.book.Issues(country, f.ID) {
			if p := s.book.Planchet(i.Planchet); p.Diameter.Known() && math.Abs(p.Diameter.Value-d) < 0.7 && i.Circulating {
				fit = append(fit, f.ID)
				break
			}
		}
	}
	if len(fit) == 0 || country == "US" {
		return "", false
	}
	return fit[s.IntN(len(fit))], true
}

// rare makes a coin that a mint made wrongly, of a kind that exists for the
// denomination and year; false if there is none.
func (s *simulator) rare() (made, bool) {
	key := keys[s.IntN(len(keys))]
	m := s.draw("US", key)
	own := s.book.Planchet(m.issue.Planchet)
	c := made{denomination: key, year: m.year, mint: "", family: family(s.book, own.ID)}
	switch s.IntN(4) {
	case 0: // a planchet of another denomination of that year, if it fits the collar
		other := s.draw("US", keys[s.IntN(len(keys))])
		p := s.book.Planchet(other.issue.Planchet)
		if other.issue.Denomination == key || !other.issue.Struck(m.year) || p.Diameter.Value > own.Diameter.Value {
			return c, false
		}
		c.kind, c.expected, c.family = verdict.WrongPlanchet, p.Mass.Value, family(s.book, p.ID)
		c.mass = p.Mass.Value + s.spread(p)*s.bell()
	case 1: // a clad layer missing
		if len(own.Layers) < 2 || own.Layers[0].Part != coin.Face {
			return c, false
		}
		c.kind, c.expected = verdict.MissingLayer, own.Mass.Value*(1-own.Layers[0].Share/2)
		c.mass = c.expected * (1 + 0.011*s.bell())
	case 2: // strip of the dime or the quarter for a clad coin
		from := s.book.Planchet([]string{"us-dime-clad", "us-quarter-clad"}[s.IntN(2)])
		if own.Alloy != from.Alloy || own.ID == from.ID {
			return c, false
		}
		d := own.Diameter.Value / from.Diameter.Value
		c.kind, c.expected = verdict.WrongStock, from.Mass.Value*d*d
		if math.Abs(c.expected/own.Mass.Value-1) < 0.02 {
			return c, false
		}
		c.mass = c.expected * (1 + 0.014*s.bell())
	case 3: // the other metal of a year of change
		for _, i := range s.book.Issues("US", key) {
			p := s.book.Planchet(i.Planchet)
			near := i.Struck(m.year-1) || i.Struck(m.year+1)
			if !i.Circulating || i.Struck(m.year) || !near || family(s.book, p.ID) == c.family {
				continue
			}
			c.kind, c.expected, c.family = verdict.TransitionalAlloy, p.Mass.Value, family(s.book, p.ID)
			c.mass = p.Mass.Value + s.spread(p)*s.bell()
			return c, true
		}
		return c, false
	}
	c.mass *= 1 - 0.001*s.ExpFloat64() // hardly worn, as finds are; damage would hide it from any scale
	return c, true
}

// scale is one table scale of a step, within the limits it is assumed to keep.
type scale struct {
	step, off, repeat float64
}

func (s *simulator) scale(step, load float64) scale {
	mpe := 0.5 * step
	_ = load
	return scale{step, 2 * mpe * (2*s.Float64() - 1), mpe}
}

// weigh gives what the scale shows.
func (s *simulator) weigh(sc scale, m float64) mass.Decimal {
	m += sc.off + sc.repeat*(2*s.Float64()-1) + sc.step*(s.Float64()-0.5)
	places := uint8(math.Round(-math.Log10(sc.step)))
	return mass.NewDecimal(int64(math.Round(m/sc.step)), places)
}

// question asks what a person would: without a date, with it, with the mark,
// and now and then misread.
func (s *simulator) question(c made, sc scale) verdict.Question {
	shown := s.weigh(sc, c.mass)
	y := mass.Grams(shown.Float64())
	step := mass.Grams(sc.step)
	u := mass.UnprovenScale(step, y)
	q := verdict.Question{Mean: y, U: u.U(), Resolution: step, Repeatability: u.Repeatability, Country: "US", Denomination: c.denomination}
	if s.Float64() < 0.5 && !c.stray || c.kind == verdict.TransitionalAlloy {
		q.Year = c.year
		switch {
		case c.ordinary && s.Float64() < 0.01:
			q.Year += []int{-5, -3, -1, 1, 3, 5}[s.IntN(6)]
		case s.Float64() < 0.5:
			q.Mint = c.mint
		}
	}
	return q
}

func show(q verdict.Question) string {
	return fmt.Sprintf("%s %d%s %.3f±%.4f g", q.Denomination, q.Year, q.Mint, q.Mean, q.U)
}

// calls reports whether the name of a metal is true of the coin: its own alloy's,
// or that of a family whose members have the same share of the main metal, or
// one that leaves the fineness open, “silver, 90 % or 89.24 %”.
func (s *simulator) calls(name string, c made) bool {
	if name == c.fineness {
		return true
	}
	metal, list, open := strings.Cut(name, ", ")
	if own, of, ok := strings.Cut(c.fineness, " % "); ok && !strings.Contains(own, ",") {
		return open && metal == of && strings.Contains(" "+list, " "+own+" %")
	}
	return name == s.familyName(c.family)
}

// familyName is what the verdict calls a family.
func (s *simulator) familyName(id string) string {
	if a := s.book.Alloy(id); a.ID != "" {
		if slices.ContainsFunc(s.book.All(), func(i coin.Issue) bool { return s.book.Planchet(i.Planchet).Alloy == id }) {
			return a.Name
		}
	}
	for _, i := range s.book.All() {
		if family(s.book, i.Planchet) == id {
			return s.book.Alloy(s.book.Planchet(i.Planchet).Alloy).Name
		}
	}
	return id
}

// separable reports whether weight can tell a rare coin at all: its own range at
// three standard deviations, scale included, must lie clear of the range of
// every regular coin that the question allows, 99 % of wear included.
func (s *simulator) separable(c made, q verdict.Question) bool {
	u := float64(q.U)
	width := 3 * math.Hypot(0.014*c.expected, u)
	issues, err := s.book.Find("US", c.denomination, q.Year, q.Mint)
	if err != nil {
		return false
	}
	for _, i := range issues {
		p := s.book.Planchet(i.Planchet)
		making := 3 * math.Hypot(s.spread(p)/0.8, u)
		worn := p.Mass.Value * (1 - 4.6*0.0006*40)
		if s.book.Alloy(p.Alloy).Wear != coin.WearSoft {
			worn = p.Mass.Value * (1 - 4.6*0.0004*40)
		}
		if c.expected+width > worn-making && c.expected-width < p.Mass.Value+making {
			return false
		}
	}
	return true
}
