package verdict_test

import (
	"slices"
	"strings"
	"testing"

	"panside/internal/book/data"
	"panside/internal/coin"
	"panside/internal/mass"
	"panside/internal/verdict"
	"panside/internal/want"

	"pgregory.net/rapid"
)

// keeping adds to a question what the hunter keeps; "start" is what one keeps who
// hasn't chosen.
func keeping(t testing.TB, q verdict.Question, list string) verdict.Question {
	t.Helper()
	if rest, ok := strings.CutPrefix(list, "start"); ok {
		list = rest
		for _, w := range want.Start(data.Coins(), q.Country) {
			list += "," + w.ID
		}
	}
	unknown := ""
	q.Keep, unknown = want.Parse(data.Coins(), q.Country, []string{list}, func(country, word string) (coin.Denomination, bool) {
		d, ok := data.Coins().Denomination(country, strings.TrimSuffix(word, "s"))
		return d, ok
	})
	if unknown != "" {
		t.Fatalf("%q is unknown", unknown)
	}
	return q
}

func wantIDs(list []verdict.Wanted) string {
	var ids []string
	for _, w := range list {
		ids = append(ids, w.ID)
	}
	return strings.Join(ids, ", ")
}

// TestKeeperIsTheCall goes through what hunters keep: the call, what of the list it
// is, what else could be on it, and the claim.
func TestKeeperIsTheCall(t *testing.T) {
	for _, tc := range []struct {
		key          string
		year         int
		mint         string
		y, step      mass.Grams
		keep         string
		call         verdict.Call
		wanted, more string
		claim        string
	}{
		// Silver, by weight alone.
		{"US/dime", 0, "", 2.49, 0.01, "start", verdict.Keeper, "silver", "", "keeper/silver-900//"},
		{"US/dime", 0, "", 2.49, 0.01, "", verdict.Ordinary, "", "silver", "ordinary/silver-900//"},
		{"US/dime", 1942, "", 2.49, 0.01, "start", verdict.Keeper, "silver", "mercury", "keeper/silver-900//"},
		{"US/dime", 1942, "", 2.49, 0.01, "mercury", verdict.Keeper, "mercury", "silver", "keeper/silver-900//"},
		{"US/dime", 0, "", 2.27, 0.01, "start", verdict.Ordinary, "", "", "ordinary/clad//"},
		{"US/quarter", 0, "", 6.2, 0.01, "start", verdict.Keeper, "silver", "", "keeper/silver-900//"},
		// Undated, a date or design isn't known.
		{"US/quarter", 0, "", 6.25, 0.01, "standing liberty, 1932-D", verdict.Ordinary, "", "silver", "ordinary/silver-900//"},
		{"US/quarter", 1927, "S", 6.2, 0.01, "standing liberty", verdict.Keeper, "standing-liberty", "silver", "keeper/silver-900//"},
		// Each of several that remain is wanted.
		{"US/dime", 0, "", 2.54, 0.01, "start", verdict.Keeper, "silver", "", "keeper/silver-900+silver-999//"},
		{"CA/dime", 0, "", 2.33, 0.01, "start", verdict.Keeper, "silver", "", "keeper/silver-500+silver-800+silver-925//"},
		{"CA/dime", 0, "", 2.33, 0.01, "sterling", verdict.Either, "sterling", "silver", "either/silver-500+silver-800+silver-925//"},
		// Some of them are.
		{"US/half", 0, "", 11.5, 0.01, "start", verdict.Either, "silver-40, silver", "", "either/clad+silver-400+silver-900//"},
		{"US/half", 0, "", 11.5, 0.01, "40%", verdict.Either, "silver-40", "", "either/clad+silver-400+silver-900//"},
		{"US/half", 1967, "-", 11.5, 0.01, "start", verdict.Keeper, "silver-40", "", "keeper/silver-400//"},
		{"US/half", 1967, "-", 11.5, 0.01, "silver", verdict.Ordinary, "", "silver-40", "ordinary/silver-400//"},
		{"US/nickel", 0, "", 5.00, 0.01, "start", verdict.Either, "wartime", "", "either/cupronickel//"},
		{"US/nickel", 0, "", 5.00, 0.01, "", verdict.Either, "", "", "either/cupronickel//"},
		// The date and mark tell, where weight can't.
		{"US/nickel", 1943, "P", 5.00, 0.01, "start", verdict.Keeper, "wartime", "", "keeper/silver-350//"},
		{"US/nickel", 1942, "", 5.00, 0.01, "start", verdict.Either, "wartime", "", "either/cupronickel+silver-350//"},
		{"US/nickel", 1937, "D", 4.95, 0.01, "start", verdict.Ordinary, "", "buffalo", "ordinary/cupronickel//"},
		{"US/nickel", 1937, "D", 4.95, 0.01, "buffalo", verdict.Keeper, "buffalo", "", "keeper/cupronickel//"},
		{"US/nickel", 1938, "", 5.00, 0.01, "buffalo", verdict.Ordinary, "", "", "ordinary/cupronickel//"},
		{"US/nickel", 1938, "S", 5.00, 0.01, "buffalo", verdict.Ordinary, "", "", "ordinary/cupronickel//"},
		// Bronze is off until it is chosen.
		{"US/cent", 0, "", 3.11, 0.01, "start", verdict.Ordinary, "", "bronze-cents", "ordinary/bronze//"},
		{"US/cent", 0, "", 3.11, 0.01, "bronze", verdict.Keeper, "bronze-cents", "", "keeper/bronze//"},
		{"US/cent", 0, "", 2.50, 0.01, "bronze", verdict.Ordinary, "", "", "ordinary/zinc//"},
		{"US/cent", 1982, "D", 3.11, 0.01, "bronze", verdict.Keeper, "bronze-cents", "", "keeper/bronze//"},
		{"US/cent", 1982, "D", 3.11, 0.01, "start", verdict.Ordinary, "", "bronze-cents", "ordinary/bronze//"},
		// Dates, marks and lists of them.
		{"US/cent", 1944, "D", 3.10, 0.01, "wheat ears", verdict.Keeper, "wheat-ears", "bronze-cents", "keeper/bronze//"},
		{"US/cent", 1959, "D", 3.10, 0.01, "wheat ears", verdict.Ordinary, "", "bronze-cents", "ordinary/bronze//"},
		{"US/cent", 1943, "", 2.69, 0.01, "wheat ears", verdict.Keeper, "wheat-ears", "steel-cents", "keeper/steel-zinc//"},
		{"US/cent", 1909, "S", 3.10, 0.01, "1909-S", verdict.Keeper, "1909-S", "bronze-cents", "keeper/bronze//"},
		{"US/cent", 1909, "S", 3.10, 0.01, "cent 1909-S, 1914-D", verdict.Keeper, "cent 1909-S", "bronze-cents", "keeper/bronze//"},
		{"US/cent", 1914, "D", 3.10, 0.01, "cent 1909-S, 1914-D", verdict.Keeper, "cent 1914-D", "bronze-cents, wheat-ears", "keeper/bronze//"},
		{"US/cent", 1914, "S", 3.10, 0.01, "cent 1909-S, 1914-D", verdict.Ordinary, "", "bronze-cents, wheat-ears", "ordinary/bronze//"},
		{"US/cent", 1914, "", 3.10, 0.01, "cent 1909-S, 1914-D", verdict.Ordinary, "", "bronze-cents, wheat-ears", "ordinary/bronze//"},
		{"US/dime", 1914, "D", 2.48, 0.01, "cent 1914-D", verdict.Ordinary, "", "silver, barber", "ordinary/silver-900//"},
		{"US/dime", 1914, "D", 2.48, 0.01, "1914-D", verdict.Keeper, "1914-D", "silver, barber", "keeper/silver-900//"},
		{"US/cent", 1971, "S", 3.11, 0.01, "S", verdict.Keeper, "S", "bronze-cents", "keeper/bronze//"},
		{"US/cent", 1971, "", 3.11, 0.01, "S", verdict.Ordinary, "", "bronze-cents", "ordinary/bronze//"},
		{"US/cent", 1971, "-", 3.11, 0.01, "P", verdict.Keeper, "P", "bronze-cents", "keeper/bronze//"},
		{"US/nickel", 1942, "-", 5.00, 0.01, "1942-P", verdict.Ordinary, "", "", "ordinary/cupronickel//"},
		{"US/nickel", 1931, "", 4.95, 0.01, "1931-S", verdict.Keeper, "1931-S", "buffalo", "keeper/cupronickel//"},
		// A date is wanted whatever the metal, also where the scale can't tell it.
		{"US/cent", 1982, "", 3, 1, "1982", verdict.Keeper, "1982", "", "keeper/bronze+zinc//"},
		{"US/cent", 1982, "", 3, 1, "bronze", verdict.CannotTell, "", "", "cannot-tell/bronze+zinc//"},
		{"US/dime", 0, "", 2.4, 0.1, "start", verdict.CannotTell, "", "", "cannot-tell/clad+silver-900//"},
		{"US/dime", 0, "", 2.4, 0.1, "dime", verdict.Keeper, "dime", "", "keeper/clad+silver-900//"},
		{"US/quarter", 1985, "S", 5.67, 0.01, "proofs", verdict.Keeper, "from-sets", "", "keeper/clad//"},
		// Too many coins of that weight aren't regular ones.
		{"US/cent", 1795, "", 13.9, 0.1, "large cents", verdict.Either, "large-cents", "", "either/copper//"},
		// A wrong metal is to be looked at, wanted or not.
		{"US/dime", 1970, "", 2.50, 0.01, "start, 1970", verdict.Look, "", "", "look/silver-900/transitional-alloy/"},
		{"US/cent", 1943, "", 3.11, 0.01, "bronze, 1943, steel", verdict.Look, "", "", "look/bronze/transitional-alloy/"},
		{"US/quarter", 0, "", 2.27, 0.01, "start, quarter", verdict.Look, "", "", "look/clad/other-coin/us-dime-clad"},
		// Gold and large silver, elsewhere.
		{"US/eagle", 0, "", 16.71, 0.01, "gold", verdict.Keeper, "gold", "", "keeper/gold-900//"},
		{"US/dollar", 1881, "S", 26.7, 0.01, "start", verdict.Keeper, "silver", "morgan", "keeper/silver-900//"},
		{"GB/sixpence", 1946, "", 2.83, 0.01, "start", verdict.Keeper, "silver", "silver-sixpences, old-money", "keeper/silver-500//"},
		{"GB/sixpence", 1947, "", 2.83, 0.01, "start", verdict.Ordinary, "", "old-money", "ordinary/cupronickel//"},
		{"GB/florin", 1915, "", 11.2, 0.01, "silver florins, pre-1920", verdict.Keeper, "silver-florins, sterling", "silver, old-money", "keeper/silver-925//"},
		{"CA/nickel", 1960, "", 4.54, 0.01, "nickel metal", verdict.Keeper, "nickel-metal", "nickel-five-cents", "keeper/nickel//"},
		{"EU/one-cent", 2010, "", 2.30, 0.01, "small coppers", verdict.Keeper, "small-coppers", "", "keeper/steel-copper//"},
	} {
		q := on(tc.step, tc.y, "")
		q.Country, q.Denomination, _ = strings.Cut(tc.key, "/")
		q.Year, q.Mint = tc.year, tc.mint
		q = keeping(t, q, tc.keep)
		v := judge(t, q)
		if v.Call != tc.call || wantIDs(v.Wanted) != tc.wanted || wantIDs(v.CouldKeep) != tc.more || v.Claim.String() != tc.claim {
			t.Errorf("%s %d%s, %.2f g, keeps %q: %s %q, wanted %q, could keep %q, want %s, %q, %q, %s",
				tc.key, tc.year, tc.mint, float64(tc.y), tc.keep, v.Claim, v.Headline, wantIDs(v.Wanted), wantIDs(v.CouldKeep), tc.call, tc.wanted, tc.more, tc.claim)
		}
		holdWords(t, q, v)
	}
}

// TestADatedCoinsMarkIsAskedFor where the list has one of that year, and its design
// where two are of it; not where the mark is read, or nothing is.
func TestADatedCoinsMarkIsAskedFor(t *testing.T) {
	for _, tc := range []struct {
		year       int
		mint, keep string
		asks       string
	}{
		{1914, "", "cent 1909-S, 1914-D", "1914-D cents"},
		{1914, "S", "cent 1909-S, 1914-D", ""},
		{1915, "", "cent 1909-S, 1914-D", ""},
		{1915, "", "S", "S mint"},
		{1909, "-", "wheat ears, steel cents", "wheat ears"},
		{0, "", "cent 1909-S, 1914-D, S, wheat ears", ""},
		{1914, "", "S, silver, cent 1914-D", "S mint, 1914-D cents"},
	} {
		q := keeping(t, on(0.01, 3.10, "cent"), tc.keep)
		q.Year, q.Mint = tc.year, tc.mint
		v := judge(t, q)
		_, asks, _ := strings.Cut(strings.TrimSuffix(v.Headline, "."), "Keep it if it’s one of these: ")
		if v.Call != verdict.Ordinary || asks != tc.asks || len(v.Wanted) != 0 || strings.Contains(v.Spoken, "Keep") != (asks != "") {
			t.Errorf("%d%s, keeps %q: %s %q, want %q", tc.year, tc.mint, tc.keep, v.Call, v.Headline, tc.asks)
		}
	}
}

// TestAKeeperGoesToThePile: hands-free it is counted as its metal and set aside for
// nothing, where the same coin of a few years would be.
func TestAKeeperGoesToThePile(t *testing.T) {
	q := on(0.001, 2.69, "cent")
	q.Evidence.Magnetic = verdict.Attracted
	if v := judge(t, keeping(t, q, "steel cents")); v.Call != verdict.Keeper || v.CountAs != (verdict.CountAs{Name: "Zinc-coated steel", Keeper: true}) {
		t.Errorf("%s: %+v", v.Call, v.CountAs)
	}
	if v := judge(t, keeping(t, on(0.01, 2.54, "dime"), "start")); v.CountAs != (verdict.CountAs{Name: "Silver dime, 90% or 99.9%", Keeper: true}) {
		t.Errorf("%s: %+v", v.Call, v.CountAs)
	}
	if v := judge(t, keeping(t, on(0.01, 5.00, "nickel"), "start")); v.CountAs.Keeper || !v.CountAs.Noted {
		t.Errorf("%s: %+v", v.Call, v.CountAs)
	}
}

// TestAContradictedMetalIsNoKeeper: what a magnet speaks against isn't put on the pile.
func TestAContradictedMetalIsNoKeeper(t *testing.T) {
	q := keeping(t, on(0.01, 5.00, "nickel"), "start")
	q.Year, q.Mint, q.Evidence.Magnetic = 1943, "P", verdict.Attracted
	if v := judge(t, q); v.Call == verdict.Keeper || len(v.Wanted)+len(v.CouldKeep) != 0 {
		t.Errorf("%s, %q, %+v", v.Call, v.Headline, v.Keeping)
	}
}

// TestAKeeperSaysNoMoreThanOrdinary: of any coin, with any list, the answer is that
// of no list but for what is said of keeping. A keeper is a coin of which all that
// remains is wanted, at the odds that a metal is named alone by; what was to be
// looked at stays so.
func TestAKeeperSaysNoMoreThanOrdinary(t *testing.T) {
	book := data.Coins()
	rapid.Check(t, func(t *rapid.T) {
		country := rapid.SampledFrom([]string{"US", "US", "CA", "GB", "EU"}).Draw(t, "country")
		d := rapid.SampledFrom(book.Denominations(country)).Draw(t, "denomination")
		i := rapid.SampledFrom(book.Issues(country, d.ID)).Draw(t, "issue")
		m := book.Planchet(i.Planchet).Mass.Value * rapid.Float64Range(0.94, 1.02).Draw(t, "of its mass")
		q := on(rapid.SampledFrom([]mass.Grams{0.1, 0.01, 0.001}).Draw(t, "step"), mass.Grams(m), d.ID)
		q.Country = country
		if rapid.Bool().Draw(t, "dated") {
			q.Year = rapid.IntRange(i.First(), i.Last()).Draw(t, "year")
		}
		bare, err := verdict.Judge(book, q)
		if err != nil {
			return // no coin of that year
		}
		wants := slices.Clone(book.Wants(country))
		q.Keep = slices.DeleteFunc(wants, func(w coin.Want) bool { return rapid.Bool().Draw(t, w.ID) })
		v, err := verdict.Judge(book, q)
		if err != nil {
			t.Fatal(err)
		}
		if v.Call != bare.Call && v.Call != verdict.Keeper || bare.Call == verdict.Look && v.Call != verdict.Look {
			t.Fatalf("%s became %s", bare.Call, v.Call)
		}
		if v.Tolerance != bare.Tolerance && v.Tolerance.Sentence != bare.Tolerance.Sentence || v.Decisive != bare.Decisive || len(v.Alloys) != len(bare.Alloys) {
			t.Fatalf("keeping changed the figures: %+v, %+v", v, bare)
		}
		if (v.Call == verdict.Keeper) != v.CountAs.Keeper || v.CountAs.Keeper && (v.CountAs.Name == "" || v.CountAs.SetAside || len(v.Wanted) == 0) {
			t.Fatalf("%s: %+v, %+v", v.Call, v.CountAs, v.Wanted)
		}
		if v.Call == verdict.Ordinary && len(v.Wanted) > 0 || v.Wanted == nil || v.CouldKeep == nil {
			t.Fatalf("%s: wanted %+v, could keep %+v", v.Call, v.Wanted, v.CouldKeep)
		}
		for _, w := range v.CouldKeep {
			if slices.ContainsFunc(q.Keep, func(k coin.Want) bool { return k.ID == w.ID }) {
				t.Fatalf("%s is kept already", w.ID)
			}
		}
		if v.Call == verdict.Keeper && !bare.Decisive {
			all := 0.0
			for _, a := range v.Alloys {
				if float64(a.Probability) >= 0.001 {
					all += float64(a.Probability)
				}
			}
			if all < 20*(1-all) {
				t.Fatalf("%s at %.3f: %+v", v.Headline, all, v.Alloys)
			}
		}
	})
}

// TestAKeeperIsAClaimOfItsOwn: two answers that differ in nothing but the list are two
// claims, and one with other figures is the same.
func TestAKeeperIsAClaimOfItsOwn(t *testing.T) {
	q := on(0.01, 2.49, "dime")
	ordinary, keeper := judge(t, q), judge(t, keeping(t, q, "start"))
	nearby := judge(t, keeping(t, on(0.01, 2.48, "dime"), "start"))
	if ordinary.Claim == keeper.Claim || keeper.Claim != nearby.Claim {
		t.Fatalf("%s, %s, %s", ordinary.Claim, keeper.Claim, nearby.Claim)
	}
}
