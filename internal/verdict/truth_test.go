package verdict_test

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"panside/internal/book/data"
	"panside/internal/coin"
	"panside/internal/mass"
	"panside/internal/verdict"
)

// weighed is a question on a scale of 0.01 g: “US/cent”, 1985, "D" or "".
func weighed(key string, year int, mint string, y mass.Grams) verdict.Question {
	q := on(0.01, y, "")
	q.Country, q.Denomination, _ = strings.Cut(key, "/")
	q.Year, q.Mint = year, mint
	return q
}

// listed is the likelihood ratio of an explanation whose kind and name fit, 0 if
// it isn't there.
func listed(v verdict.Verdict, k verdict.Kind, name string) float64 {
	for _, e := range v.Explanations {
		if e.Kind == k && strings.Contains(e.Name, name) {
			return float64(e.LikelihoodRatio)
		}
	}
	return 0
}

// TestARedFaceSpeaksForAMissingLayer: whoever sees one face copper-red says red,
// or two colours. Both raise the odds; a coin white on both sides lowers them.
func TestARedFaceSpeaksForAMissingLayer(t *testing.T) {
	for _, q := range []verdict.Question{
		weighed("US/quarter", 1999, "P", 4.73), weighed("US/dime", 0, "", 1.89), weighed("US/half", 0, "", 9.45), weighed("US/half", 1999, "", 9.45), weighed("US/dime", 1990, "D", 1.89),
	} {
		none := listed(judge(t, q), verdict.MissingLayer, "one")
		for colour, want := range map[coin.Colour]int{coin.Red: 1, coin.TwoHue: 1, coin.White: -1} {
			q.Evidence.Colour = colour
			v := judge(t, q)
			got := listed(v, verdict.MissingLayer, "one")
			if none == 0 || float64(want)*(got-none) <= 0 {
				t.Errorf("%s of %v g: odds %v become %v with the colour %s: %q", q.Denomination, q.Mean, none, got, colour, v.Headline)
			}
			if want > 0 && (v.Call != verdict.Look || q.Year != 0 && v.Claim.Kind != verdict.MissingLayer) {
				t.Errorf("%s of %v g, %s: %s, %q", q.Denomination, q.Mean, colour, v.Call, v.Headline)
			}
		}
	}
}

// TestALineOnTheEdgeDoesNotRuleOutAMissingLayer: one layer is still there, and
// shows as a light line on one side of the edge, as the confirmation says. A coin
// without both has none.
func TestALineOnTheEdgeDoesNotRuleOutAMissingLayer(t *testing.T) {
	for _, tc := range []struct {
		y    mass.Grams
		name string
		with bool
	}{{4.73, "one", true}, {3.78, "both", false}} {
		q := weighed("US/quarter", 1999, "P", tc.y)
		q.Evidence.Stripe = verdict.Yes
		with := listed(judge(t, q), verdict.MissingLayer, tc.name)
		q.Evidence.Stripe = verdict.No
		without := listed(judge(t, q), verdict.MissingLayer, tc.name)
		if tc.with != (with > without/10) || with < verdict.LookRatio || without < verdict.LookRatio {
			t.Errorf("%s: odds %v with a line, %v without", tc.name, with, without)
		}
	}
}

// TestADatedCoinOfTheWrongMetalIsNotLostAmongStrays: a coin of 1985 is no two-cent
// piece of the euro (struck from 1999 on) and a dime of 1968 no zinc cent (1982).
func TestADatedCoinOfTheWrongMetalIsNotLostAmongStrays(t *testing.T) {
	for _, tc := range []struct {
		key    string
		year   int
		mint   string
		grams  []mass.Grams
		family string
	}{
		{"US/cent", 1985, "", []mass.Grams{3.00, 3.01, 3.02, 3.03, 3.04, 3.05, 3.06, 3.11}, "bronze"},
		{"US/cent", 1989, "", []mass.Grams{3.06, 3.08, 3.11}, "bronze"},
		{"US/cent", 1989, "D", []mass.Grams{3.06, 3.08, 3.11}, "bronze"},
		{"US/cent", 1995, "", []mass.Grams{3.05, 3.08, 3.11}, "bronze"},
		{"US/dime", 1968, "", []mass.Grams{2.46, 2.48, 2.50, 2.52}, "silver-900"},
		{"US/quarter", 1980, "P", []mass.Grams{6.20, 6.25}, "silver-900"},
		{"US/dollar", 1974, "D", []mass.Grams{24.59}, "silver-400"},
		{"US/dollar", 1977, "D", []mass.Grams{24.50, 24.59}, "silver-400"},
	} {
		for _, y := range tc.grams {
			v := judge(t, weighed(tc.key, tc.year, tc.mint, y))
			if want := (verdict.Claim{Call: verdict.Look, Kind: verdict.TransitionalAlloy, Alloy: tc.family}); v.Claim != want {
				t.Errorf("%s %d%s of %v g: %v, %q", tc.key, tc.year, tc.mint, y, v.Claim, v.Headline)
			}
			// Its kind is named among the explanations too, years after the change.
			if listed(v, verdict.TransitionalAlloy, "") < verdict.LookRatio {
				t.Errorf("%s %d%s of %v g: %+v", tc.key, tc.year, tc.mint, y, v.Explanations)
			}
		}
	}
}

// TestAMetalOfLaterYearsIsLookedAt: a cent of 1970 that weighs what zinc ones of 1982
// on do, and a silvery dollar of 2003. Their dates were misread, as a rule.
func TestAMetalOfLaterYearsIsLookedAt(t *testing.T) {
	q := weighed("US/dollar", 2003, "", 8.10)
	q.Evidence.Colour = coin.White
	for _, q := range []verdict.Question{q, weighed("US/cent", 1970, "", 2.50)} {
		if v := judge(t, q); v.Call != verdict.Look || v.Claim.Kind != verdict.TransitionalAlloy || !strings.Contains(v.Headline, "wrong for ") {
			t.Errorf("%s %d: %s, %q", q.Denomination, q.Year, v.Call, v.Headline)
		}
	}
}

// TestProvenCoinsAreTold: 1989-D is known in bronze, 1985 to 1988 aren't (from
// memory); the weight speaks all the same, and both is said.
func TestProvenCoinsAreTold(t *testing.T) {
	for _, tc := range []struct {
		year            int
		mint            string
		headline, proof string
	}{
		{1989, "D", "a few are known", "A few of 1989-D are known (from memory)."},
		{1989, "", "a few of 1989-D are known", "A few of 1989-D are known (from memory)."},
		{1989, coin.NoMark, "", "The weight speaks all the same."},
		{1985, "", "", "of those of 1983, 1983-D and 1989-D (from memory). The weight speaks all the same."},
		{1988, "D", "", "The weight speaks all the same."},
	} {
		v := judge(t, weighed("US/cent", tc.year, tc.mint, 3.11))
		e, ok := find(v, verdict.TransitionalAlloy)
		if !ok || !strings.Contains(v.Headline, tc.headline) || !strings.Contains(e.Confirm, tc.proof) {
			t.Errorf("%d%s: %q, %q", tc.year, tc.mint, v.Headline, e.Confirm)
		}
	}
}

// TestCollectorPlanchetsAmongTheOthers: 40 % silver planchets of collector dollars
// and halves got under clad dies of another mint, and 90 % ones of later proofs.
// A piece that is regular by its mark is none.
func TestCollectorPlanchetsAmongTheOthers(t *testing.T) {
	for _, tc := range []struct {
		key      string
		year     int
		mint     string
		y        mass.Grams
		evidence verdict.Evidence
		want     bool
	}{
		{"US/dollar", 1974, "D", 24.59, verdict.Evidence{}, true},
		{"US/dollar", 1976, "D", 24.59, verdict.Evidence{}, true},
		{"US/dollar", 1977, "D", 24.59, verdict.Evidence{}, true},
		{"US/dollar", 1974, "S", 24.59, verdict.Evidence{}, false},
		{"US/half", 1977, "D", 11.50, verdict.Evidence{Stripe: verdict.No}, true},
		{"US/half", 1976, "D", 11.50, verdict.Evidence{Stripe: verdict.No}, true},
		{"US/half", 1976, "S", 11.50, verdict.Evidence{Stripe: verdict.No}, false},
		{"US/quarter", 1999, "P", 6.25, verdict.Evidence{}, true},
		{"US/quarter", 1999, "S", 6.25, verdict.Evidence{}, false},
	} {
		q := weighed(tc.key, tc.year, tc.mint, tc.y)
		q.Evidence = tc.evidence
		v := judge(t, q)
		if got := listed(v, verdict.TransitionalAlloy, "silver planchet") >= verdict.LookRatio; got != tc.want {
			t.Errorf("%s %d-%s of %v g: explained %v, %q %+v", tc.key, tc.year, tc.mint, tc.y, got, v.Headline, v.Explanations)
		}
	}
}

// TestSplitPlanchets: half a planchet of solid metal; clad ones come apart at the
// bond. Weight alone never names it, a thin rim does.
func TestSplitPlanchets(t *testing.T) {
	for _, tc := range []struct {
		key  string
		year int
		y    mass.Grams
		want bool
	}{
		{"US/cent", 1964, 1.80, true}, {"US/nickel", 1964, 3.50, true}, {"US/nickel", 2005, 2.60, true}, {"US/half", 1958, 7, true},
		{"US/cent", 1999, 1.40, false}, {"US/quarter", 1999, 3.00, false}, {"US/cent", 1943, 1.6, false},
	} {
		q := weighed(tc.key, tc.year, "", tc.y)
		v := judge(t, q)
		if got := listed(v, verdict.SplitPlanchet, "") >= verdict.LookRatio; got != tc.want || v.Claim.Kind == verdict.SplitPlanchet {
			t.Errorf("%s %d of %v g: split %v, %q %+v", tc.key, tc.year, tc.y, got, v.Headline, v.Explanations)
		}
		if e, ok := find(v, verdict.SplitPlanchet); ok && (!math.IsNaN(float64(e.Expected)) || !strings.Contains(e.Confirm, "one face rough") || !e.Kind.Rare()) {
			t.Errorf("%+v", e)
		}
	}
	q := weighed("US/nickel", 2005, "", 2.90)
	q.Evidence.Thickness = 1.15
	if v := judge(t, q); v.Claim.Kind != verdict.SplitPlanchet {
		t.Errorf("thin and light: %v %q %+v", v.Claim, v.Headline, v.Explanations)
	}
}

// TestARedCoinIsNoSilverDime: silver turns grey, black or yellowish, never red.
func TestARedCoinIsNoSilverDime(t *testing.T) {
	for _, year := range []int{0, 1964, 1945} {
		q := weighed("US/dime", year, "", 2.50)
		q.Evidence.Colour = coin.Red
		v := judge(t, q)
		if v.Call == verdict.Ordinary || v.Call == verdict.Either || strings.HasPrefix(v.Headline, "90% silver") {
			t.Errorf("red dime of %d: %s, %q", year, v.Call, v.Headline)
		}
	}
	q := weighed("US/dime", 0, "", 2.50)
	q.Evidence.Colour = coin.Red
	if v := judge(t, q); v.Claim.Kind != verdict.OtherCoin || v.Claim.Planchet != "us-cent-zinc" {
		t.Errorf("without a date it is a cent: %v %q", v.Claim, v.Headline)
	}
	// Toned silver is grey, and stays silver.
	q.Evidence.Colour = coin.Grey
	if v := judge(t, q); v.Call != verdict.Ordinary {
		t.Errorf("grey: %s %q", v.Call, v.Headline)
	}
}

// TestInheritedCoinsAreOrdinary: commemoratives, ounces, later silver dollars,
// sovereigns of every year, crowns. Weights of the sovereign and crown: Coinage Act
// 1870; of American gold ounces: 31 U.S.C. 5112(a)(7) to (10); of silver 40 and
// more years old: 17 Stat. 427; the others from memory, as the book says.
func TestInheritedCoinsAreOrdinary(t *testing.T) {
	type one struct {
		key  string
		year int
		y    mass.Grams
	}
	all := []one{
		{"US/dollar", 1986, 31.10}, {"US/dollar", 2021, 31.11}, {"US/dollar", 1983, 26.73}, {"US/dollar", 1995, 26.73}, {"US/dollar", 2021, 26.73}, {"US/dollar", 2023, 26.70},
		{"US/half", 1982, 12.50}, {"US/half", 1993, 12.50}, {"US/half", 1986, 11.34},
		{"US/half-eagle", 1987, 8.36}, {"US/half-eagle", 1999, 3.39}, {"US/eagle", 1984, 16.72}, {"US/eagle", 2010, 8.48}, {"US/gold-25", 1991, 16.97}, {"US/gold-50", 2008, 33.93},
		{"US/dollar-gold", 1915, 1.67}, {"US/quarter-eagle", 1926, 4.18},
		{"GB/crown", 1820, 28.20}, {"GB/crown", 1845, 28.10}, {"GB/crown", 1899, 28.20}, {"GB/crown", 1935, 28.28}, {"GB/crown", 1965, 28.28}, {"GB/crown", 1977, 28.28},
		{"GB/five-pounds", 1887, 39.94}, {"GB/five-pounds", 2002, 39.94}, {"GB/double-sovereign", 1902, 15.98},
	}
	for _, y := range []int{1892, 1893, 1915, 1918, 1920, 1921, 1922, 1923, 1924, 1925, 1926, 1927, 1928, 1933, 1934, 1935, 1936, 1937, 1938, 1939, 1946, 1947, 1948, 1949, 1950, 1951, 1952, 1953, 1954} {
		all = append(all, one{"US/half", y, 12.50})
	}
	for y := 1817; y <= 1932; y++ {
		all = append(all, one{"GB/sovereign", y, 7.98})
	}
	for y := 1817; y <= 1915; y++ {
		all = append(all, one{"GB/half-sovereign", y, 3.99})
	}
	for _, origin := range append(verdict.Origins(), "") {
		for _, c := range all {
			q := weighed(c.key, c.year, "", c.y)
			q.Origin = origin
			v := judge(t, q)
			if v.Call != verdict.Ordinary {
				t.Errorf("%s %d of %v g from %s: %s, %q", c.key, c.year, c.y, origin, v.Call, v.Headline)
			}
		}
	}
}

// TestGoldAndLargeSilverAreNeverBareOrdinary: a right weight is where a faker
// begins.
func TestGoldAndLargeSilverAreNeverBareOrdinary(t *testing.T) {
	book := data.Coins()
	seen := 0
	for _, i := range book.All() {
		p := book.Planchet(i.Planchet)
		a := book.Alloy(p.Alloy)
		if !(a.Share("Au") > 0.5 || a.Share("Ag") > 0.3 && p.Mass.Value >= 20) {
			continue
		}
		for _, worn := range []float64{1, 0.99} {
			q := on(0.01, mass.Grams(math.Round(worn*p.Mass.Value*100)/100), i.Denomination)
			q.Country, q.Year = i.Country, i.First()
			v := judge(t, q)
			if v.Call != verdict.Ordinary && v.Call != verdict.Either {
				continue
			}
			if len(v.Alloys) > 0 && share(v.Alloys[0], "Au") < 0.5 && share(v.Alloys[0], "Ag") < 0.3 {
				continue // likelier base metal of the same weight
			}
			seen++
			if !strings.Contains(v.Headline, "rule out a fake") || !strings.Contains(v.Spoken, "fake") {
				t.Errorf("%s: %q, %q", i.ID, v.Headline, v.Spoken)
			}
			tests := v.OtherTests
			if v.NextTest != nil {
				tests = append(tests, *v.NextTest)
			}
			if !slices.ContainsFunc(tests, func(x verdict.Test) bool {
				return x.Test == "density" && strings.Contains(x.Caution, "licensed")
			}) {
				t.Errorf("%s: no density with its caution: %+v %+v", i.ID, v.NextTest, v.OtherTests)
			}
		}
	}
	if seen < 60 {
		t.Errorf("only %d coins were looked at", seen)
	}
	q := weighed("US/double-eagle", 1904, "", 33.44)
	q.Evidence.Density = 17.3
	if v := judge(t, q); v.NextTest != nil || !strings.Contains(v.Headline, "rule out a fake") {
		t.Errorf("with its density: %q %+v", v.Headline, v.NextTest)
	}
	for _, small := range []verdict.Question{weighed("US/dime", 1946, "", 2.50), weighed("US/half", 1958, "", 12.50), weighed("US/cent", 1970, "", 3.11)} {
		if v := judge(t, small); strings.Contains(v.Headline, "fake") {
			t.Errorf("%q", v.Headline)
		}
	}
}

// TestPlanchetsStruckForOthersCarryTheirMints: Australian shillings came from San
// Francisco, Belgian francs from Philadelphia, ten centavos of 1944 from Denver, all
// from memory. An explanation is given only where date and mint mark agree.
func TestPlanchetsStruckForOthersCarryTheirMints(t *testing.T) {
	for _, tc := range []struct {
		key, mint string
		year      int
		y         mass.Grams
		name      string
		want      bool
	}{
		{"US/quarter", "S", 1943, 5.65, "Australian shilling", true},
		{"US/quarter", "D", 1943, 5.65, "Australian shilling", false},
		{"US/quarter", coin.NoMark, 1943, 5.65, "Australian shilling", false},
		{"US/quarter", "S", 1950, 5.65, "Australian shilling", false},
		{"US/quarter", "", 0, 5.65, "Australian shilling", false},
		{"US/cent", coin.NoMark, 1944, 2.75, "Belgian 2 francs", true},
		{"US/cent", "D", 1944, 2.75, "Belgian 2 francs", false},
		{"US/cent", "S", 1944, 2.75, "Belgian 2 francs", false},
		{"US/nickel", "D", 1944, 4.00, "Philippine twenty centavos", true},
		{"US/nickel", "P", 1944, 4.00, "Philippine twenty centavos", false},
	} {
		v := judge(t, weighed(tc.key, tc.year, tc.mint, tc.y))
		if got := listed(v, verdict.WrongPlanchet, tc.name) > 0; got != tc.want {
			t.Errorf("%s %d%s of %v g: %s listed %v: %+v", tc.key, tc.year, tc.mint, tc.y, tc.name, got, v.Explanations)
		}
	}
	for _, g := range data.Coins().ForeignStrikes("US") {
		for _, s := range g.Spans {
			if s.Mints == nil || g.Where == "" {
				t.Errorf("%s of %d: no mint", g.Name, s.First)
			}
		}
	}
}

// TestGoldenDollarsAreToldByEye: nobody needs a test, or a pile for later, to tell
// a golden dollar from a silvery one.
func TestGoldenDollarsAreToldByEye(t *testing.T) {
	v := judge(t, weighed("US/dollar", 0, "", 8.10))
	if !strings.Contains(v.Headline, "color") || strings.Contains(v.Headline, "loupe") || v.CountAs.SetAside || !v.CountAs.Noted || v.CountAs.Name == "" {
		t.Errorf("%q %+v", v.Headline, v.CountAs)
	}
	// Halves of one colour, and a steel cent that is worth its date, stay aside.
	for _, q := range []verdict.Question{weighed("US/half", 0, "", 11.42), weighed("US/cent", 0, "", 2.70)} {
		if v := judge(t, q); !v.CountAs.SetAside {
			t.Errorf("%s: %q %+v", q.Denomination, v.Headline, v.CountAs)
		}
	}
}

// TestTheDateTestLacksNoYear: half dollars of 1964 are of 90 % silver (act of 1873
// until that of 1965).
func TestTheDateTestLacksNoYear(t *testing.T) {
	for _, y := range []mass.Grams{11.34, 11.42, 11.51} {
		v := judge(t, weighed("US/half", 0, "", y))
		tests := v.OtherTests
		if v.NextTest != nil {
			tests = append(tests, *v.NextTest)
		}
		if !slices.ContainsFunc(tests, func(x verdict.Test) bool {
			return x.Test == "date" && strings.Contains(x.Sentence, "To 1964: 90% silver; 1965–1970: 40% silver")
		}) {
			t.Errorf("%v g: %+v", y, tests)
		}
	}
}

// TestWhatIsHopedForIsNamed: wartime five-cent pieces and 40 % silver half dollars are
// rare in rolls and weigh what the others weigh, so they stay named.
func TestWhatIsHopedForIsNamed(t *testing.T) {
	for _, origin := range verdict.Origins() {
		for _, tc := range []struct {
			key string
			y   mass.Grams
			say string
		}{{"US/nickel", 5.00, "35% silver"}, {"US/half", 11.50, "40%"}, {"US/half", 11.34, "40%"}} {
			q := weighed(tc.key, 0, "", tc.y)
			q.Origin = origin
			v := judge(t, q)
			shown := v.Headline
			if v.Question != nil {
				shown += " " + v.Question.Sentence
			}
			if v.Call != verdict.Either || !strings.Contains(shown, tc.say) {
				t.Errorf("%s of %v g from %s: %s, %q", tc.key, tc.y, origin, v.Call, shown)
			}
		}
	}
}

// TestLikelihoodRatiosDoNotDependOnTheOrigin: an explanation weighs the same in a
// roll as in a drawer; only what is likeliest changes.
func TestLikelihoodRatiosDoNotDependOnTheOrigin(t *testing.T) {
	for _, q := range []verdict.Question{
		weighed("US/quarter", 1999, "P", 4.73), weighed("US/cent", 1985, "", 3.05), weighed("US/dime", 1968, "", 2.50), weighed("US/dime", 0, "", 1.89), weighed("US/dollar", 1974, "D", 24.59), weighed("US/quarter", 1999, "P", 6.25),
	} {
		ratios := map[verdict.Origin]float64{}
		for _, origin := range verdict.Origins() {
			q.Origin = origin
			v := judge(t, q)
			for _, e := range v.Explanations {
				if e.Kind == verdict.MissingLayer || e.Kind == verdict.TransitionalAlloy {
					ratios[origin] = float64(e.LikelihoodRatio)
					break
				}
			}
			if v.Call != verdict.Look {
				t.Errorf("%s %d of %v g from %s: %s, %q", q.Denomination, q.Year, q.Mean, origin, v.Call, v.Headline)
			}
		}
		for _, origin := range verdict.Origins() {
			if r := ratios[origin] / ratios[verdict.Jar]; !(r > 0.8 && r < 1.25) {
				t.Errorf("%s %d of %v g: odds %v", q.Denomination, q.Year, q.Mean, ratios)
				break
			}
		}
	}
}

// TestOriginsAreKnown: an unknown one is refused by its field's name, and none is a
// jar.
func TestOriginsAreKnown(t *testing.T) {
	q := weighed("US/dime", 0, "", 2.50)
	q.Origin = "attic"
	if _, err := verdict.Judge(data.Coins(), q); err == nil || !strings.Contains(err.Error(), "source") {
		t.Errorf("%v", err)
	}
	q.Origin = ""
	jar := judge(t, q)
	q.Origin = verdict.Jar
	if same := judge(t, q); same.Headline != jar.Headline || same.Alloys[0].Probability != jar.Alloys[0].Probability {
		t.Errorf("%q, %q", jar.Headline, same.Headline)
	}
	q.Origin = verdict.BankRoll
	if v := judge(t, q); v.Call != verdict.Either || !strings.Contains(v.Headline, "zinc") {
		t.Errorf("from a bank roll: %s %q %s", v.Call, v.Headline, strconv.FormatFloat(float64(v.Alloys[0].Probability), 'f', 3, 64))
	}
}

// TestNoCoinOfAnotherAlloyIsLost weighs, for every dated coin since 1900, the
// alloys that the denomination was struck of up to 25 years before and that weigh
// clearly otherwise. Each makes the person look, and what was left over is named:
// first, or after a stray that bears the same date and weighs the same.
func TestNoCoinOfAnotherAlloyIsLost(t *testing.T) {
	book := data.Coins()
	seen, strays := 0, 0
	for _, d := range append(append(book.Denominations("US"), book.Denominations("CA")...), book.Denominations("GB")...) {
		for year := 1900; year <= 2026; year++ {
			own, err := book.Find(d.Country, d.ID, year, "")
			if err != nil || !slices.ContainsFunc(own, func(i coin.Issue) bool { return i.Circulating }) {
				continue
			}
			for _, old := range book.Issues(d.Country, d.ID) {
				p := book.Planchet(old.Planchet)
				if !old.Circulating || old.Struck(year) || old.Last() >= year || year-old.Last() > 25 {
					continue
				}
				if !slices.ContainsFunc(own, func(i coin.Issue) bool {
					return book.Planchet(i.Planchet).Diameter.Value+0.3 > p.Diameter.Value
				}) || slices.ContainsFunc(own, func(i coin.Issue) bool {
					q := book.Planchet(i.Planchet)
					return math.Abs(q.Mass.Value/p.Mass.Value-1) < 0.07 || q.Alloy == p.Alloy
				}) {
					continue
				}
				v := judge(t, weighed(d.Country+"/"+d.ID, year, "", mass.Grams(math.Round(100*p.Mass.Value)/100)))
				if v.Call != verdict.Look {
					t.Errorf("%s %s %d of %.2f g, %s: %s, %q", d.Country, d.ID, year, p.Mass.Value, p.Alloy, v.Call, v.Headline)
				}
				seen++
				if v.Claim.Kind == verdict.OtherCoin || v.Claim.Kind == verdict.ForeignCoin {
					strays++
				} else if v.Claim.Kind != verdict.TransitionalAlloy {
					t.Errorf("%s %s %d of %.2f g: %v, %q", d.Country, d.ID, year, p.Mass.Value, v.Claim, v.Headline)
				}
				if listed(v, verdict.TransitionalAlloy, "") == 0 {
					t.Errorf("%s %s %d of %.2f g, %s: %s, %q, %+v", d.Country, d.ID, year, p.Mass.Value, p.Alloy, v.Call, v.Headline, v.Explanations)
				}
			}
		}
	}
	if seen < 400 || strays > seen/10 {
		t.Errorf("of %d coins %d are called strays", seen, strays)
	}
}
