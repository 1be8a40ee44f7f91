package coin

import (
	"math"
	"panside/internal/stable"
	"slices"
	"strconv"
	"strings"
)

// checker holds the catalogue to its rules and notes what is in use.
type checker struct {
	*loader
	b    *Book
	used map[string]bool // "source ID", "alloy ID", "planchet ID"
}

// check validates a whole catalogue: names resolve, shares add up, figures are
// of a coin's size, years are in order, and nothing lies unused.
func (l *loader) check(b *Book) {
	c := &checker{l, b, map[string]bool{}}
	for _, i := range b.issues {
		c.issue(i)
	}
	for _, k := range b.countries {
		_, ok := b.country(k.Neighbour)
		c.want("country "+k.ID, ok || k.Neighbour == "", "has the unknown neighbor “", k.Neighbour, "”")
		c.want("country "+k.ID, k.Neighbour == "" || slices.Contains(k.Strays, k.Neighbour), "its neighbor isn’t among those it has strays from")
		for _, id := range k.Strays {
			_, ok := b.named(id)
			c.want("country "+k.ID, ok && id != k.ID, "has strays from the unknown country “", id, "”, or from itself")
		}
	}
	for _, k := range b.abroad {
		c.want("strangers "+k.ID, k.Name != "", "the country has no name")
	}
	for _, i := range b.strangers {
		c.stranger(i)
	}
	for country, of := range b.questions {
		for _, q := range of {
			c.question(country, q)
		}
	}
	for _, g := range b.foreignStrikes {
		c.foreignStrike(g)
	}
	c.wants()
	for _, o := range b.offYears {
		where := "coins of other years on " + o.Planchet
		_, ok := b.planchets[o.Planchet]
		c.want(where, ok, "names an unknown planchet")
		_, ok = b.Denomination(o.Country, o.Denomination)
		c.want(where, ok, "names the unknown denomination “", o.Denomination, "”")
		c.origin(where, o.Source, o.Grade)
		c.years(where, o.Spans)
	}
	for id, p := range b.planchets {
		c.planchet("planchet "+id, p)
	}
	for id, a := range b.alloys {
		c.alloy("alloy "+id, a)
	}
	for id, f := range b.wearRates {
		c.figure("wear rate "+id, f, 1e-5, 0.01)
	}
	for _, d := range b.denominations {
		where := "denomination " + key(d.Country, d.ID)
		c.want(where, d.ID != "" && d.Name != "" && d.Plural != "" && d.Short != "", "lacks id, name, plural or short name")
		c.want(where, len(b.byDenomination[key(d.Country, d.ID)]) > 0, "has no issue")
	}
	for id := range b.planchets {
		c.want("planchet "+id, c.used["planchet "+id], "no issue or foreign strike uses it")
	}
	for id := range b.alloys {
		c.want("alloy "+id, c.used["alloy "+id], "no planchet uses it")
	}
	for id, s := range b.sources {
		c.want("source "+id, c.used["source "+id], "nothing uses it")
		c.want("source "+id, s.Title != "", "has no title")
	}
	stable.Words(l.problems)
}

// want reports the parts of a problem, which are joined only then: hundreds of
// checks pass on every start.
func (c *checker) want(where string, ok bool, otherwise ...string) {
	if !ok {
		c.bad(where, strings.Join(otherwise, ""))
	}
}

// origin checks a source id and a grade.
func (c *checker) origin(where, source string, grade Grade) {
	_, ok := c.b.sources[source]
	c.want(where, ok, "names the unknown source “", source, "”")
	c.want(where, grade.Words() != "", "has the unknown grade “", string(grade), "”")
	c.used["source "+source] = true
}

func (c *checker) foreignStrike(g ForeignStrike) {
	where := "coin struck for others, " + g.Name
	c.want(where, g.Name != "", "has no name")
	p, ok := c.b.planchets[g.Planchet]
	c.want(where, ok, "names the unknown planchet “", g.Planchet, "”")
	c.want(where, p.Diameter.Known(), "is on a planchet without a diameter")
	c.used["planchet "+g.Planchet] = true
	c.origin(where, g.Source, g.Grade)
	c.years(where, g.Spans)
}

func (c *checker) issue(i Issue) {
	where := "issue " + i.ID
	c.want(where, i.ID != "" && !c.used[where], "id is empty or there twice")
	c.used[where] = true
	c.want(where, i.Name != "", "has no name")
	_, ok := c.b.Denomination(i.Country, i.Denomination)
	c.want(where, ok, "names the unknown denomination “", i.Denomination, "”")
	_, ok = c.b.planchets[i.Planchet]
	c.want(where, ok, "names the unknown planchet “", i.Planchet, "”")
	c.used["planchet "+i.Planchet] = true
	c.origin(where, i.Source, i.Grade)

	c.years(where, i.Spans)
}

func (c *checker) years(where string, spans []Span) {
	c.want(where, len(spans) > 0, "has no years")
	before := 1700
	for _, s := range spans {
		c.want(where, s.First > before && s.Last >= s.First, "its years are out of order near ", strconv.Itoa(s.First))
		before = s.Last
		for _, m := range s.Mints {
			c.want(where, m == NoMark || capitals(m), "“", m, "” is not a mint mark")
		}
		c.want(where, !s.MarkLost || len(s.Mints) > 0 && !slices.Contains(s.Mints, NoMark), "“(-)” is for years in which every coin should carry a mark")
	}
}

func capitals(s string) bool {
	for _, r := range s {
		if r < 'A' || r > 'Z' {
			return false
		}
	}
	return s != "" && len(s) <= 3
}

// sumTolerance is the rounding allowed in shares that must sum to 1.
const sumTolerance = 1e-4

// splitTolerance is how far the layers' sum of an element may be from the
// whole's: published wholes are rounded to a tenth of a percent or so.
const splitTolerance = 0.003

func (c *checker) planchet(where string, p Planchet) {
	c.want(where, p.Name != "", "has no name")
	c.figure(where+" mass", p.Mass, 0.3, 150)
	if p.Limit.Known() {
		c.figure(where+" limit", p.Limit.Figure, 0.0005*p.Mass.Value, 0.07*p.Mass.Value)
	}
	if p.Diameter.Known() {
		c.figure(where+" diameter", p.Diameter, 9, 65)
	}
	if p.Thickness.Known() {
		c.figure(where+" thickness", p.Thickness, 0.5, 5)
	}
	c.want(where, slices.Contains([]Edge{EdgePlain, EdgeReeded, EdgeLettered, EdgeOther, EdgeUnknown}, p.Edge), "has the unknown edge “", string(p.Edge), "”")
	if p.Edge != EdgeUnknown {
		c.origin(where+" edge", p.EdgeSource, p.EdgeGrade)
	}
	c.want(where, p.EdgeNote == "" || p.Edge != EdgeUnknown, "has a note on an unknown edge")
	_, known := pull[p.Magnetic]
	c.want(where, known || p.Magnetic == MagnetUnknown, "has the unknown magnetism “", string(p.Magnetic), "”")
	c.origin(where+" layers", p.LayersSource, p.LayersGrade)
	c.want(where, slices.Contains([]Colour{Red, Yellow, White, Grey, TwoHue}, p.Colour), "its outer layer’s alloy has no color")
	c.layers(where, p)
}

func (c *checker) layers(where string, p Planchet) {
	whole, ok := c.b.alloys[p.Alloy]
	c.want(where, ok, "names the unknown alloy “", p.Alloy, "”")
	c.used["alloy "+p.Alloy] = true
	total := 0.0
	sum := map[Element]float64{}
	for _, y := range p.Layers {
		a, ok := c.b.alloys[y.Alloy]
		c.want(where, ok, "names the unknown alloy “", y.Alloy, "”")
		c.used["alloy "+y.Alloy] = true
		c.want(where, len(a.Fractions) > 0 || !p.SplitKnown(), "a layer with a share is of an alloy without fractions")
		c.want(where, slices.Contains([]Part{Whole, Face, Core, Ring, Plating}, y.Part), "has the unknown layer “", string(y.Part), "”")
		c.want(where, y.Share > 0 == p.SplitKnown(), "gives the shares of some layers only")
		total += y.Share
		for _, f := range a.Fractions {
			sum[f.Element] += y.Share * f.Share
		}
	}
	if !p.SplitKnown() {
		c.want(where, len(whole.Fractions) == 0, "its whole has fractions but its layers have no shares")
		return
	}
	c.want(where, len(whole.Fractions) > 0, "its layers have shares but its whole has no fractions")
	c.want(where, math.Abs(total-1) <= sumTolerance, "its layers' shares don’t sum to 1")
	for _, f := range whole.Fractions {
		sum[f.Element] -= f.Share
	}
	for e, d := range sum {
		c.want(where, math.Abs(d) <= splitTolerance, "its layers don’t give the whole’s share of ", string(e))
	}
}

func (c *checker) figure(where string, f Figure, low, high float64) {
	c.origin(where, f.Source, f.Grade)
	c.want(where, f.Value >= low && f.Value <= high, "“", f.Text, "” is not of a coin’s size")
}

func (c *checker) alloy(where string, a Alloy) {
	c.want(where, a.Name != "", "has no name")
	c.origin(where, a.Source, a.Grade)
	c.origin(where+" looks", a.LooksSource, a.LooksGrade)
	total := 0.0
	for _, f := range a.Fractions {
		_, known := elementDensity[f.Element]
		c.want(where, known, "has an element without a density, ", string(f.Element))
		c.want(where, f.Share > 0 && f.Share <= 1, "has a share outside 0 to 1")
		total += f.Share
	}
	if len(a.Fractions) > 0 {
		c.want(where, math.Abs(total-1) <= sumTolerance, "its shares don’t sum to 1")
	}
	_, known := pull[a.Magnetic]
	c.want(where, known, "has the unknown magnetism “", string(a.Magnetic), "”")
	c.want(where, slices.Contains([]WearClass{WearHard, WearMedium, WearSoft, WearGold}, a.Wear), "has the unknown wear class “", string(a.Wear), "”")
	c.want(where, (a.Wear == WearGold) == (a.Share("Au") > 0.5), "gold has the wear class gold, and nothing else has")
	c.want(where, a.WearRate > 0, "its wear class has no rate")
	if a.Young.Known() {
		c.figure(where+" stiffness", a.Young, 50, 250)
		c.want(where, a.Poisson >= 0.2 && a.Poisson <= 0.45, "has a Poisson’s ratio that no coin’s metal has")
	}
	c.want(where, -0.1 < a.DensityBand[0] && a.DensityBand[0] < 0 && 0 < a.DensityBand[1] && a.DensityBand[1] < 0.1, "has a density band that isn’t around its value")
}
