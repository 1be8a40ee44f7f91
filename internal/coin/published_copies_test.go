package coin_test

import (
	"maps"
	"slices"
	"testing"

	"panside/internal/book/data"
	"panside/internal/coin"
)

// TestEncyclopaedias: sizes that no law gives, as general reference works print them.
func TestEncyclopaedias(t *testing.T) {
	for _, r := range table(t, "encyclopaedias.csv") {
		for _, p := range planchets(t, r, "planchets") {
			near(t, p.ID+" diameter", p.Diameter.Value, r["diameter_mm"])
			graded(t, p.ID+" diameter", p.Diameter, r["sure"])
			if p.Diameter.Source != r["source"] {
				t.Errorf("%s: the diameter is from %s, want %s", p.ID, p.Diameter.Source, r["source"])
			}
			if r["mass_g"] != "" {
				near(t, p.ID+" mass", p.Mass.Value, r["mass_g"])
				graded(t, p.ID+" mass", p.Mass, r["sure"])
			}
		}
	}
}

// TestTheSmallCladDollarIsHalfClad: US patent 6,432,556, background: a core of half the mass
// under faces of copper-nickel, 87.5 % copper and 12.5 % nickel over all. The larger clad
// coins have 8.33 % nickel (United States Mint, coin specifications).
func TestTheSmallCladDollarIsHalfClad(t *testing.T) {
	b := data.Coins()
	p := b.Planchet("us-dollar-small-clad")
	holds(t, p.ID, b.Alloy(p.Alloy), "Cu 0.875 Ni 0.125")
	for _, y := range p.Layers {
		if y.Share != 0.5 {
			t.Errorf("%s has %v of the mass", y.Part, y.Share)
		}
	}
	if p.LayersGrade != coin.Reprint || b.Alloy(p.Alloy).Family != "clad" {
		t.Errorf("%+v", p)
	}
	holds(t, "us-dollar-clad", b.Alloy(b.Planchet("us-dollar-clad").Alloy), "Cu 0.9167 Ni 0.0833")
}

// TestTheLimitOfSilverCladHalvesIsTheTrades: no number is published.
func TestTheLimitOfSilverCladHalvesIsTheTrades(t *testing.T) {
	l := data.Coins().Planchet("us-half-400").Limit
	if l.Value != 0.4 || l.Grade != coin.Practice || l.Scope != coin.PerPiece {
		t.Errorf("%+v", l)
	}
}

// TestCanadianQuartersGrewIn1953: as a general encyclopaedia gives them.
func TestCanadianQuartersGrewIn1953(t *testing.T) {
	b := data.Coins()
	for year, mm := range map[int]float64{1920: 23.62, 1952: 23.62, 1953: 23.88, 1966: 23.88, 1999: 23.88, 2010: 23.88} {
		issues, err := b.Find("CA", "quarter", year, "")
		if err != nil {
			t.Fatal(err)
		}
		for _, i := range issues {
			if d := b.Planchet(i.Planchet).Diameter.Value; d != mm {
				t.Errorf("%d: %s is %v mm wide, want %v", year, i.ID, d, mm)
			}
		}
	}
}

// TestFewFiguresAreFromMemory prints how sure the figures are: of the coins that are judged,
// a quarter at most is remembered and was never seen in a text. Those of the strangers are
// counted apart; all of their own are from memory so far.
func TestFewFiguresAreFromMemory(t *testing.T) {
	b := data.Coins()
	strangers := map[string]bool{}
	for _, i := range b.Strangers() {
		strangers[i.Planchet] = true
	}
	for _, i := range b.All() {
		delete(strangers, i.Planchet)
	}
	judged, abroad := map[coin.Grade]int{}, map[coin.Grade]int{}
	seen := map[string]bool{}
	count := func(id string) {
		if seen[id] {
			return
		}
		seen[id] = true
		p := b.Planchet(id)
		for _, f := range []coin.Figure{p.Mass, p.Limit.Figure, p.Diameter, p.Thickness} {
			switch {
			case !f.Known():
			case strangers[id]:
				abroad[f.Grade]++
			default:
				judged[f.Grade]++
			}
		}
	}
	for _, i := range slices.Concat(b.All(), b.Strangers()) {
		count(i.Planchet)
	}
	for _, c := range b.Countries() {
		for _, g := range b.ForeignStrikes(c.ID) {
			count(g.Planchet)
		}
	}
	total := 0
	for _, n := range judged {
		total += n
	}
	share := float64(judged[coin.Memory]) / float64(total)
	t.Logf("of %d figures of coins that are judged %.1f %% are from memory", total, 100*share)
	for _, g := range slices.Sorted(maps.Keys(judged)) {
		t.Logf("%-16s %4d judged %4d strangers", g, judged[g], abroad[g])
	}
	if share > 0.25 || total < 500 {
		t.Errorf("%.1f %% of %d figures are from memory", 100*share, total)
	}
}
