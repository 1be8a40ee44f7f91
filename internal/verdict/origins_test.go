package verdict_test

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"panside/internal/coin"
	"panside/internal/verdict"
)

// The worlds of the origins are written down here as plain lists, by other rules
// than the model's: so many of this among so many of that, years even over a span.
// What is rare is drawn oftener and counted for less, so that a claim on one coin
// in two thousand is proven by thousands of them.

// lot is one kind of thing in a source.
type lot struct {
	oneIn float64 // of so many coins
	// issues of the country's denominations whose id begins with one of these.
	country, denomination string
	metal                 string // id of the alloy's family, any if empty
	first, last           int    // years, even chances
	collector             bool
	// off is how far a false or spoiled piece may lie from what it poses as, as a
	// share of the mass; it then is of no metal that could be told.
	off float64
}

// sources are the worlds: what lies under each key.
var sources = map[verdict.Origin]map[string][]lot{
	// Rolled by machine and searched before: silver one in 2,000, a stray cent in a
	// dime roll one in 3,000.
	verdict.BankRoll: {
		"dime": {
			{oneIn: 1.002, denomination: "dime", metal: "clad", first: 1975, last: 2025},
			{oneIn: 2000, denomination: "dime", metal: "silver-900", first: 1941, last: 1964},
			{oneIn: 3000, denomination: "cent", metal: "zinc", first: 1982, last: 2025},
			{oneIn: 12000, denomination: "cent", metal: "bronze", first: 1960, last: 1981},
			{oneIn: 4000, country: "CA", denomination: "dime", first: 1968, last: 2020},
		},
		"quarter": {
			{oneIn: 1.002, denomination: "quarter", metal: "clad", first: 1970, last: 2025},
			{oneIn: 2000, denomination: "quarter", metal: "silver-900", first: 1940, last: 1964},
			{oneIn: 6000, denomination: "nickel", metal: "cupronickel", first: 1960, last: 2025},
			{oneIn: 3000, country: "CA", denomination: "quarter", first: 1968, last: 2020},
		},
		"half": {
			{oneIn: 1.002, denomination: "half", metal: "clad", first: 1971, last: 2001},
			{oneIn: 4000, denomination: "half", metal: "silver-400", first: 1965, last: 1969},
			{oneIn: 4000, denomination: "half", metal: "silver-900", first: 1948, last: 1964},
		},
		"nickel": {
			{oneIn: 1.002, denomination: "nickel", metal: "cupronickel", first: 1955, last: 2025},
			{oneIn: 2000, denomination: "nickel", metal: "silver-350", first: 1943, last: 1945},
			{oneIn: 3000, country: "CA", denomination: "nickel", first: 1982, last: 2020},
		},
		"cent": {
			{oneIn: 1.2, denomination: "cent", metal: "zinc", first: 1983, last: 2025},
			{oneIn: 6, denomination: "cent", metal: "bronze", first: 1959, last: 1981},
			{oneIn: 5000, denomination: "dime", metal: "clad", first: 1980, last: 2025},
			{oneIn: 2500, country: "CA", denomination: "cent", first: 1980, last: 2012},
		},
	},
	// Somebody's savings: a third silver, coins from abroad, boxed pieces, and a false
	// one now and then.
	verdict.Inherited: {
		"dime": {
			{oneIn: 2, denomination: "dime", metal: "silver-900", first: 1916, last: 1964},
			{oneIn: 2.5, denomination: "dime", metal: "clad", first: 1965, last: 1999},
			{oneIn: 40, denomination: "dime", first: 1992, last: 2015, collector: true},
			{oneIn: 60, country: "CA", denomination: "dime", first: 1937, last: 1990},
			{oneIn: 150, denomination: "cent", first: 1930, last: 1999},
			{oneIn: 1000, denomination: "dime", metal: "silver-900", first: 1916, last: 1945, off: 0.08},
		},
		"quarter": {
			{oneIn: 2, denomination: "quarter", metal: "silver-900", first: 1932, last: 1964},
			{oneIn: 2.5, denomination: "quarter", metal: "clad", first: 1965, last: 1999},
			{oneIn: 60, country: "CA", denomination: "quarter", first: 1937, last: 1990},
			{oneIn: 200, denomination: "nickel", first: 1946, last: 1999},
			{oneIn: 1000, denomination: "quarter", metal: "silver-900", first: 1892, last: 1945, off: 0.08},
		},
		"half": {
			{oneIn: 2, denomination: "half", metal: "silver-900", first: 1934, last: 1964},
			{oneIn: 5, denomination: "half", metal: "silver-400", first: 1965, last: 1969},
			{oneIn: 4, denomination: "half", metal: "clad", first: 1971, last: 1999},
			{oneIn: 500, denomination: "half", metal: "silver-900", first: 1892, last: 1945, off: 0.08},
		},
		"dollar": {
			{oneIn: 2, denomination: "dollar", metal: "silver-900", first: 1878, last: 1935},
			{oneIn: 5, denomination: "dollar", metal: "clad", first: 1971, last: 1999},
			{oneIn: 20, denomination: "dollar", metal: "silver-400", first: 1971, last: 1976, collector: true},
			{oneIn: 20, denomination: "dollar", metal: "silver-999", first: 1986, last: 2020, collector: true},
			{oneIn: 150, denomination: "dollar", metal: "silver-900", first: 1878, last: 1935, off: 0.08},
		},
		"nickel": {
			{oneIn: 1.2, denomination: "nickel", metal: "cupronickel", first: 1913, last: 1999},
			{oneIn: 12, denomination: "nickel", metal: "silver-350", first: 1942, last: 1945},
			{oneIn: 100, country: "CA", denomination: "nickel", first: 1922, last: 1990},
		},
		"cent": {
			{oneIn: 1.3, denomination: "cent", metal: "bronze", first: 1909, last: 1981},
			{oneIn: 6, denomination: "cent", metal: "zinc", first: 1983, last: 1999},
			{oneIn: 60, denomination: "cent", metal: "steel-zinc", first: 1943, last: 1943},
			{oneIn: 60, country: "CA", denomination: "cent", first: 1920, last: 1995},
			{oneIn: 300, denomination: "dime", first: 1930, last: 1999},
		},
	},
}

// from draws a coin of one lot.
func (s *simulator) from(key string, l lot) (made, bool) {
	country := l.country
	if country == "" {
		country = "US"
	}
	year := l.first + s.IntN(l.last-l.first+1)
	issues, err := s.book.Find(country, l.denomination, year, "")
	if err != nil {
		return made{}, false
	}
	issues = slices.DeleteFunc(slices.Clone(issues), func(i coin.Issue) bool {
		return i.Circulating == l.collector || l.metal != "" && family(s.book, i.Planchet) != l.metal
	})
	if len(issues) == 0 {
		return made{}, false
	}
	i := issues[s.IntN(len(issues))]
	p := s.book.Planchet(i.Planchet)
	c := made{
		denomination: key, year: year, family: family(s.book, p.ID), fineness: s.book.Alloy(p.Alloy).Name, expected: p.Mass.Value,
		stray: l.country != "" || l.denomination != key, ordinary: l.country == "" && l.denomination == key && l.off == 0,
	}
	if l.collector {
		c.mass = p.Mass.Value + s.spread(p)*s.bell()
	} else {
		c.mass = s.used(p, p.Mass.Value+s.spread(p)*s.bell(), year)
	}
	if l.off > 0 {
		c.mass = p.Mass.Value * (1 + l.off*(2*s.Float64()-1))
		c.family, c.fineness, c.stray = "none", "none", true
	}
	return c, true
}

// weighted is a count of claims, each for as much as its lot stands for.
type weighted struct {
	stated, good, all float64
	squares           float64
	coins             int
}

func (w *weighted) see(p float64, good bool, weight float64) {
	w.all += weight
	w.squares += weight * weight
	w.coins++
	w.stated += p * weight
	if good {
		w.good += weight
	}
}

func (w weighted) String() string {
	if w.coins == 0 {
		return "none"
	}
	return fmt.Sprintf("stated %.1f %%, true %.1f %%", 100*w.stated/w.all, 100*w.good/w.all)
}

// precious reports whether an alloy is silver.
func precious(a verdict.Alloy) bool { return share(a, "Ag") > 0.3 }

// inSource weighs n coins of each lot of a key, with or without a date, as coins
// of an origin. It gives the claims of silver, and all decisive claims.
func (s *simulator) inSource(t *testing.T, world map[string][]lot, key string, as verdict.Origin, isDated bool, n int) (silver, decisive weighted) {
	sc := s.scale(0.01, 5)
	for _, l := range world[key] {
		for k := range n {
			if k%100 == 0 {
				sc = s.scale(0.01, 5)
			}
			c, ok := s.from(key, l)
			if !ok {
				continue
			}
			weight := 1 / l.oneIn
			q := s.question(c, sc)
			q.Origin, q.Year, q.Mint = as, 0, ""
			if isDated {
				// Worn threes, fives, sixes and eights are taken for one another, in the
				// last figure as in the one before it.
				// Such dates too are drawn oftener and counted for less.
				const misread, drawn = 0.008, 0.3
				q.Year = c.year
				if weight *= (1 - misread) / (1 - drawn); s.Float64() < drawn {
					weight *= misread / drawn * (1 - drawn) / (1 - misread)
					q.Year += []int{-30, -20, -10, -5, -3, -2, 2, 3, 5, 10, 20, 30}[s.IntN(12)]
				}
			}
			v, err := verdict.Judge(s.book, q)
			if err != nil || len(v.Alloys) == 0 {
				continue // no such date: the person is told
			}
			p := 0.0
			for _, a := range v.Alloys {
				if precious(a) {
					p += float64(a.Probability)
				}
			}
			if precious(v.Alloys[0]) {
				isSilver := strings.HasPrefix(c.family, "silver")
				silver.see(p, isSilver, weight)
				if !isSilver && os.Getenv("PANSIDE_SHOW") != "" {
					t.Logf("no silver: one in %v, %+v %s -> %.3f %s", l.oneIn, c, show(q), p, v.Headline)
				}
			}
			if v.Decisive {
				good := s.calls(v.Alloys[0].Name, c)
				decisive.see(float64(v.Alloys[0].Probability), good, weight)
				if !good && os.Getenv("PANSIDE_SHOW") != "" {
					t.Logf("wrong: one in %v, %+v %s -> %s", l.oneIn, c, show(q), v.Headline)
				}
			}
		}
	}
	return silver, decisive
}

// TestCalibrationOfOrigins: in every source what is stated of silver is as often
// true, and decisive claims hold. PANSIDE_LONG=1 weighs 25 times the coins.
func TestCalibrationOfOrigins(t *testing.T) {
	n := 200
	if os.Getenv("PANSIDE_LONG") != "" {
		n = 5000
	}
	for _, origin := range []verdict.Origin{verdict.BankRoll, verdict.Inherited} {
		world := sources[origin]
		for _, key := range keys {
			if world[key] == nil {
				continue
			}
			for _, isDated := range []bool{false, true} {
				s := newSimulator(7, jars[0])
				silver, decisive := s.inSource(t, world, key, origin, isDated, n)
				what := fmt.Sprintf("%s, %s, dated %v", origin, key, isDated)
				t.Logf("%-32s silver: %v; decisive: %v", what, silver, decisive)
				if decisive.good < 0.95*decisive.all {
					t.Errorf("%s: decisive claims: %v", what, decisive)
				}
				// A dime under the cent's key is asked for, not claimed. Of wartime pieces
				// less is stated than is true, since another date may have been read.
				noise := 3 * math.Sqrt(silver.squares/4) / silver.all
				over := (silver.stated - silver.good) / silver.all
				if key != "cent" && silver.coins > n/20 && (over > 0.1+noise || over < -0.15-noise) {
					t.Errorf("%s: silver: %v", what, silver)
				}
			}
		}
	}
}

// TestTheSourceIsUsed: a dime of 2.50 g from a roll is silver three times of five,
// since a cent strays in nearly as often as silver is left. As coins of a jar the
// same ones would be called silver, nearly surely and wrongly.
func TestTheSourceIsUsed(t *testing.T) {
	world := map[string][]lot{"dime": sources[verdict.BankRoll]["dime"][:3]}
	s := newSimulator(11, jars[0])
	silver, _ := s.inSource(t, world, "dime", verdict.BankRoll, false, 1000)
	if off := math.Abs(silver.stated-silver.good) / silver.all; off > 0.08 {
		t.Errorf("as from a roll: %v", silver)
	}
	jar, _ := s.inSource(t, world, "dime", verdict.Jar, false, 1000)
	t.Logf("as from a roll: %v; as from a jar: %v", silver, jar)
	if jar.stated/jar.all < 0.9 || jar.good/jar.all > 0.75 {
		t.Errorf("as from a jar: %v: the test proves nothing", jar)
	}
}
