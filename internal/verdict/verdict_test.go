package verdict_test

import (
	"encoding/json"
	"errors"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/verdict"
)

// on a scale of a step nobody has proven.
func on(step, y mass.Grams, denomination string) verdict.Question {
	s := mass.UnprovenScale(step, y)
	return verdict.Question{Mean: y, U: s.U(), Resolution: step, Repeatability: s.Repeatability, Country: "US", Denomination: denomination}
}

func judge(t *testing.T, q verdict.Question) verdict.Verdict {
	t.Helper()
	v, err := verdict.Judge(coin.Default(), q)
	if err != nil {
		t.Fatalf("%+v: %v", q, err)
	}
	return v
}

func share(a verdict.Alloy, element coin.Element) float64 {
	for _, f := range a.Fractions {
		if f.Element == element {
			return f.Share
		}
	}
	return 0
}

// TestRegularCoins puts coins of their standard mass on a 0.01 g scale. The
// masses are those of 31 U.S.C. 5112, the act of 1873 (17 Stat. 424) and the
// acts named in the coin book.
func TestRegularCoins(t *testing.T) {
	for _, tc := range []struct {
		denomination string
		year         int
		y            mass.Grams
		element      coin.Element
		share        float64
		state        verdict.State
	}{
		{"cent", 0, 3.11, "Cu", 0.95, verdict.Within},
		{"cent", 0, 2.50, "Zn", 0.975, verdict.Within},
		{"cent", 1982, 3.11, "Cu", 0.95, verdict.Within},
		{"cent", 1982, 2.50, "Zn", 0.975, verdict.Within},
		{"cent", 1943, 2.69, "Fe", 0.99, verdict.Unpublished},
		{"cent", 1857, 10.89, "Cu", 1, verdict.Within},
		{"nickel", 1964, 5.00, "Cu", 0.75, verdict.Within},
		{"nickel", 1943, 5.00, "Ag", 0.35, verdict.Within},
		{"dime", 0, 2.27, "Cu", 0.9167, verdict.Within},
		{"dime", 0, 2.50, "Ag", 0.9, verdict.Within},
		{"quarter", 0, 5.67, "Cu", 0.9167, verdict.Within},
		{"quarter", 0, 6.25, "Ag", 0.9, verdict.Within},
		{"half", 1964, 12.50, "Ag", 0.9, verdict.Within},
		{"half", 1968, 11.50, "Ag", 0.4, verdict.Unpublished},
		{"half", 1976, 11.34, "Cu", 0.9167, verdict.Within},
		{"dollar", 1921, 26.73, "Ag", 0.9, verdict.Within},
		{"dollar", 1979, 8.10, "Cu", 0.9167, verdict.Unpublished},
		{"dollar", 2009, 8.10, "Cu", 0.885, verdict.Unpublished},
		{"double-eagle", 0, 33.44, "Au", 0.9, verdict.Within},
	} {
		q := on(0.01, tc.y, tc.denomination)
		q.Year = tc.year
		v := judge(t, q)
		if !v.Decisive || v.Call != verdict.Ordinary || math.Abs(share(v.Alloys[0], tc.element)-tc.share) > 1e-9 || v.Alloys[0].Probability < 0.95 {
			t.Errorf("%s %d of %v g: %s, decisive %v, alloys %+v", tc.denomination, tc.year, tc.y, v.Call, v.Decisive, v.Alloys)
		}
		if v.Tolerance.State != tc.state {
			t.Errorf("%s %d of %v g: tolerance %+v, want %s", tc.denomination, tc.year, tc.y, v.Tolerance, tc.state)
		}
		if len(v.Explanations) > 0 || v.NextTest != nil || v.Hint != verdict.Regular {
			t.Errorf("%s %d of %v g needs no explanation: %+v", tc.denomination, tc.year, tc.y, v)
		}
	}
}

// TestConformityOfCents are the coin cases computed for 3.11 g ± 0.13 g
// (31 U.S.C. 5112 and 5113), grade C in the table of published values.
func TestConformityOfCents(t *testing.T) {
	for _, tc := range []struct {
		y, u float64
		p    float64
	}{
		{2.99, 0.01, 0.8413}, {2.97, 0.01, 0.1587}, {3.235, 0.005, 0.8413},
	} {
		q := verdict.Question{Mean: mass.Grams(tc.y), U: mass.Grams(tc.u), Country: "US", Denomination: "cent", Year: 1982}
		v := judge(t, q)
		if math.Abs(float64(v.Tolerance.Conformity)-tc.p) > 0.00005 || v.Tolerance.State != verdict.Inconclusive || v.Tolerance.Settle == "" {
			t.Errorf("%v ± %v g: %+v, want p = %v", tc.y, tc.u, v.Tolerance, tc.p)
		}
	}
	// The guarded acceptance interval for u = 0.01, w = 2u is [3.00, 3.22]:
	// inside it the default confidence of 97.5 % is always reached.
	for _, y := range []mass.Grams{3.00, 3.11, 3.22} {
		v := judge(t, verdict.Question{Mean: y, U: 0.01, Country: "US", Denomination: "cent", Year: 1982})
		if v.Tolerance.State != verdict.Within {
			t.Errorf("%v ± 0.01 g: %+v", y, v.Tolerance)
		}
	}
	// A stricter user gets fewer claims.
	v := judge(t, verdict.Question{Mean: 3.005, U: 0.01, Country: "US", Denomination: "cent", Year: 1982, Confidence: 0.999})
	if v.Tolerance.State != verdict.Inconclusive {
		t.Errorf("at 99.9 %%: %+v", v.Tolerance)
	}
}

// TestWhatWeightCannotTell names the test that can.
func TestWhatWeightCannotTell(t *testing.T) {
	for _, tc := range []struct {
		name         string
		denomination string
		year         int
		y            mass.Grams
		alloys       []coin.Element // each in one of the first two alloys
		tests        []string       // the next test is one of these
	}{
		{"wartime five cents", "nickel", 1942, 5.00, []coin.Element{"Ag", "Ni"}, []string{"mint"}},
		{"five cents without a date", "nickel", 0, 5.00, []coin.Element{"Ni", "Ag"}, []string{"date"}},
		{"halves of 40 % silver and clad", "half", 0, 11.45, []coin.Element{"Ni", "Ag"}, []string{"date", "stripe"}},
		{"small dollars", "dollar", 0, 8.10, []coin.Element{"Mn", "Ni"}, []string{"date", "colour", "edge"}},
	} {
		q := on(0.001, tc.y, tc.denomination)
		q.Year = tc.year
		v := judge(t, q)
		if v.Decisive || v.Call != verdict.Either || len(v.Alloys) < 2 {
			t.Errorf("%s: %s, %+v", tc.name, v.Call, v.Alloys)
			continue
		}
		for _, e := range tc.alloys {
			if share(v.Alloys[0], e)+share(v.Alloys[1], e) == 0 {
				t.Errorf("%s: no alloy with %s: %+v", tc.name, e, v.Alloys)
			}
		}
		if v.NextTest == nil || !slices.Contains(tc.tests, v.NextTest.Test) {
			t.Errorf("%s: next test %+v, want one of %v", tc.name, v.NextTest, tc.tests)
		}
	}
}

// TestEvidenceDecides: what weight leaves open, the named test closes.
func TestEvidenceDecides(t *testing.T) {
	for _, tc := range []struct {
		name    string
		q       verdict.Question
		set     func(*verdict.Question)
		element coin.Element
		share   float64
	}{
		{"golden dollar", on(0.01, 8.10, "dollar"), func(q *verdict.Question) { q.Evidence.Colour = coin.Yellow }, "Cu", 0.885},
		{"silvery small dollar", on(0.01, 8.10, "dollar"), func(q *verdict.Question) { q.Evidence.Colour = coin.White }, "Ni", 0.0833},
		{"mark P of 1942", on(0.01, 5.00, "nickel"), func(q *verdict.Question) { q.Year, q.Mint = 1942, "P" }, "Ag", 0.35},
		{"no mark of 1942", on(0.01, 5.00, "nickel"), func(q *verdict.Question) { q.Year, q.Mint = 1942, coin.NoMark }, "Ni", 0.25},
		{"magnetic cent", on(0.01, 2.72, "cent"), func(q *verdict.Question) { q.Evidence.Magnetic = verdict.Strong }, "Fe", 0.99},
		{"magnetic cent, strength not told", on(0.01, 2.72, "cent"), func(q *verdict.Question) { q.Evidence.Magnetic = verdict.Attracted }, "Fe", 0.99},
		{"half with a striped edge", on(0.01, 11.42, "half"), func(q *verdict.Question) { q.Evidence.Stripe = verdict.Yes }, "Ni", 0.0833},
		{"dime of unclear weight with a stripe", on(0.1, 2.4, "dime"), func(q *verdict.Question) { q.Evidence.Stripe = verdict.Yes }, "Ni", 0.0833},
		{"five cents of density 9.26", on(0.01, 5.00, "nickel"), func(q *verdict.Question) { q.Year = 1942; q.Evidence.Density = 9.45 }, "Ag", 0.35},
	} {
		before := judge(t, tc.q)
		tc.set(&tc.q)
		after := judge(t, tc.q)
		if !after.Decisive || math.Abs(share(after.Alloys[0], tc.element)-tc.share) > 1e-9 {
			t.Errorf("%s: %s %+v", tc.name, after.Headline, after.Alloys)
		}
		if before.Decisive {
			t.Errorf("%s: was decided before the test: %+v", tc.name, before.Alloys)
		}
	}
}

// TestNoSingleMisreadingOverrulesTheScale: people misread, so one answer that
// contradicts a clear weight leaves doubt, not the opposite claim.
func TestNoSingleMisreadingOverrulesTheScale(t *testing.T) {
	q := on(0.01, 3.11, "cent")
	for _, e := range []verdict.Evidence{{Colour: coin.Grey}, {Edge: coin.EdgeReeded}, {Magnetic: verdict.Weak}, {Thickness: 1.3}, {Density: 7.5}} {
		q.Evidence = e
		v := judge(t, q)
		if v.Decisive && share(v.Alloys[0], "Cu") != 0.95 {
			t.Errorf("%+v made it %+v", e, v.Alloys[0])
		}
	}
}

// find returns the first explanation of a kind.
func find(v verdict.Verdict, k verdict.Kind) (verdict.Explanation, bool) {
	for _, e := range v.Explanations {
		if e.Kind == k {
			return e, true
		}
	}
	return verdict.Explanation{}, false
}

// TestRareCoins seeds one of each kind that weight can find.
func TestRareCoins(t *testing.T) {
	for _, tc := range []struct {
		name         string
		denomination string
		year         int
		y            mass.Grams
		kind         verdict.Kind
		expected     float64
	}{
		{"cent on a clad dime’s planchet", "cent", 1970, 2.27, verdict.WrongPlanchet, 2.268},
		{"cent on a silver dime’s planchet", "cent", 1960, 2.49, verdict.WrongPlanchet, 2.5},
		{"quarter on a five-cent planchet", "quarter", 1990, 5.01, verdict.WrongPlanchet, 5},
		{"cent struck over a dime", "cent", 1970, 2.26, verdict.DoubleDenomination, 2.268},
		{"quarter from dime strip", "quarter", 1970, 4.16, verdict.WrongStock, 2.268 * (0.955 / 0.705) * (0.955 / 0.705)},
		{"quarter without a layer", "quarter", 1990, 4.73, verdict.MissingLayer, 5.67 * (1 - 0.3332/2)},
		{"dime without both layers", "dime", 1990, 1.51, verdict.MissingLayer, 2.268 * (1 - 0.3332)},
		{"bronze cent of 1943", "cent", 1943, 3.11, verdict.TransitionalAlloy, 3.11},
		{"steel cent of 1944", "cent", 1944, 2.72, verdict.TransitionalAlloy, 2.754},
		{"brass cent of 1983", "cent", 1983, 3.10, verdict.TransitionalAlloy, 3.11},
		{"silver quarter of 1965", "quarter", 1965, 6.25, verdict.TransitionalAlloy, 6.25},
		{"clad dime of 1964", "dime", 1964, 2.27, verdict.TransitionalAlloy, 2.268},
		{"plated heavy cent", "cent", 2000, 2.90, verdict.Altered, 0},
		{"nothing known", "dime", 2000, 9.90, verdict.Unknown, 0},
	} {
		q := on(0.01, tc.y, tc.denomination)
		q.Year = tc.year
		v := judge(t, q)
		e, ok := find(v, tc.kind)
		if v.Call != verdict.Look || !ok || e.LikelihoodRatio < verdict.LookRatio || e.Confirm == "" {
			t.Errorf("%s: %s, %+v", tc.name, v.Call, v.Explanations)
			continue
		}
		if tc.expected > 0 && math.Abs(float64(e.Expected)-tc.expected) > 0.01 {
			t.Errorf("%s: expected_g %v, want %v", tc.name, e.Expected, tc.expected)
		}
		if tc.expected == 0 && !math.IsNaN(float64(e.Expected)) {
			t.Errorf("%s: a mass of %v g from nowhere", tc.name, e.Expected)
		}
		if !slices.IsSortedFunc(v.Explanations, func(a, b verdict.Explanation) int {
			return int(math.Copysign(1, float64(b.LikelihoodRatio-a.LikelihoodRatio)))
		}) {
			t.Errorf("%s: not ranked by likelihood ratio: %+v", tc.name, v.Explanations)
		}
	}
}

// TestForeignCoins: a stray is named by country.
func TestForeignCoins(t *testing.T) {
	q := on(0.01, 2.35, "cent")
	q.Evidence.Magnetic, q.Evidence.Colour = verdict.Strong, coin.Red
	v := judge(t, q)
	if e, ok := find(v, verdict.ForeignCoin); !ok || !strings.Contains(e.Name, "Canada") {
		t.Errorf("a magnetic copper-coloured 2.35 g: %+v", v.Explanations)
	}
}

// TestMissingLayerOrStain: full weight with a copper colour is a stain, a sixth
// light is a layer.
func TestMissingLayerOrStain(t *testing.T) {
	q := on(0.01, 5.66, "quarter")
	q.Evidence.Colour = coin.Red
	v := judge(t, q)
	if _, ok := find(v, verdict.MissingLayer); ok || v.Call == verdict.Look {
		t.Errorf("full weight: %s %+v", v.Call, v.Explanations)
	}
	if e, ok := find(v, verdict.Damage); !ok || !strings.Contains(e.Confirm, "stain") || !strings.Contains(v.Headline, "stain") {
		t.Errorf("full weight isn’t told to be a stain: %q %+v", v.Headline, v.Explanations)
	}
	light := on(0.01, 5.67*5/6, "quarter")
	plain := judge(t, light)
	light.Evidence.Colour = coin.Red
	copper := judge(t, light)
	a, ok := find(plain, verdict.MissingLayer)
	b, ok2 := find(copper, verdict.MissingLayer)
	if !ok || !ok2 || b.LikelihoodRatio <= a.LikelihoodRatio || copper.Explanations[0].Kind != verdict.MissingLayer {
		t.Errorf("a sixth light: %+v; with copper colour: %+v", plain.Explanations, copper.Explanations)
	}
}

// TestWear: a worn coin below the limit is told from one that lost too much.
func TestWear(t *testing.T) {
	worn := judge(t, on(0.01, 6.05, "quarter"))
	if worn.Tolerance.State != verdict.Below || !worn.Tolerance.WornOK || worn.Call != verdict.Ordinary {
		t.Errorf("worn silver quarter: %+v", worn.Tolerance)
	}
	lost := on(0.01, 5.10, "quarter")
	lost.Year = 1960
	v := judge(t, lost)
	if v.Tolerance.State != verdict.Below || v.Tolerance.WornOK {
		t.Errorf("silver quarter that lost a sixth: %+v", v.Tolerance)
	}
	fresh := on(0.01, 4.70, "nickel")
	fresh.Year = 2020
	if v := judge(t, fresh); v.Tolerance.State != verdict.Below || v.Tolerance.WornOK {
		t.Errorf("five cents of 2020 that lost 6 %%: %+v", v.Tolerance)
	}
}

// TestCoarseScales: a 0.1 g scale must not pretend.
func TestCoarseScales(t *testing.T) {
	for _, tc := range []struct {
		y            mass.Grams
		denomination string
	}{{2.4, "dime"}, {2.3, "dime"}, {2.8, "cent"}, {11.4, "half"}} {
		v := judge(t, on(0.1, tc.y, tc.denomination))
		if v.Decisive || v.Call != verdict.CannotTell && v.Call != verdict.Either || v.Call == verdict.CannotTell && v.Hint != "" {
			t.Errorf("%s of %v g on a 0.1 g scale: %s %+v", tc.denomination, tc.y, v.Call, v.Alloys)
		}
	}
	// A load that still settles has a large u, whatever the step.
	v := judge(t, verdict.Question{Mean: 2.9, U: 0.5, Resolution: 0.01, Country: "US", Denomination: "cent"})
	if v.Call != verdict.CannotTell || v.Tolerance.Settle != "Wait until the weight rests." {
		t.Errorf("moving: %s %+v", v.Call, v.Tolerance)
	}
}

// TestSettle names what would decide an inconclusive weighing.
func TestSettle(t *testing.T) {
	q := verdict.Question{Mean: 2.996, U: 0.0108, Repeatability: 0.01, Resolution: 0.01, Country: "US", Denomination: "cent", Year: 1982}
	if v := judge(t, q); !strings.HasPrefix(v.Tolerance.Settle, "Weigh it 2 times") {
		t.Errorf("reweighing: %+v", v.Tolerance)
	}
	if v := judge(t, on(0.1, 3.1, "cent")); !strings.Contains(v.Tolerance.Settle, "0.01 g") {
		t.Errorf("finer scale: %+v", v.Tolerance)
	}
	if v := judge(t, verdict.Question{Mean: 2.98, U: 0.0008, Resolution: 0.001, Country: "US", Denomination: "cent", Year: 1982}); !strings.Contains(v.Tolerance.Settle, "on the limit") {
		t.Errorf("on the limit: %+v", v.Tolerance)
	}
}

// TestBatchRemediesAreNotLimits: Canada's schedule (R.S.C. 1985, c. R-9) states
// grams per kilogram of N pieces; one piece outside breaks nothing.
func TestBatchRemediesAreNotLimits(t *testing.T) {
	q := on(0.01, 2.20, "cent")
	q.Country, q.Year = "CA", 2005
	v := judge(t, q)
	tol := v.Tolerance
	if tol.State != verdict.Unpublished || tol.Scope != coin.PerBatch || !math.IsNaN(float64(tol.Limit)) || !math.IsNaN(float64(tol.Conformity)) || !strings.Contains(tol.Sentence, "batch") {
		t.Errorf("Canadian cent: %+v", tol)
	}
	if tol.LimitSource == nil || tol.LimitSource.Title == "" {
		t.Errorf("the remedy’s source isn’t named: %+v", tol)
	}
	us := judge(t, on(0.01, 3.11, "cent")).Tolerance
	if us.Scope != coin.PerPiece || us.LimitSource == nil || us.NominalSource == nil {
		t.Errorf("US cent: %+v", us)
	}
}

// TestUnpublishedStaysUnpublished: no limit of the 8.1 g dollar was found.
func TestUnpublishedStaysUnpublished(t *testing.T) {
	q := on(0.01, 8.10, "dollar")
	q.Year = 2009
	tol := judge(t, q).Tolerance
	raw, err := json.Marshal(tol)
	if err != nil {
		t.Fatal(err)
	}
	if tol.State != verdict.Unpublished || !strings.Contains(string(raw), `"limit_g":null`) || !strings.Contains(string(raw), `"conformity":null`) || tol.LimitSource != nil {
		t.Errorf("%s", raw)
	}
	clad := judge(t, on(0.01, 5.67, "quarter")).Tolerance
	if clad.LimitSource.Grade != coin.Practice || !strings.Contains(clad.Sentence, "common practice") {
		t.Errorf("4 %% of a clad quarter must be marked as common practice: %+v", clad)
	}
}

// TestDates: an issue the date doesn’t fit isn’t forgotten, because dates are
// misread, and the surer the date the stronger the find.
func TestDates(t *testing.T) {
	q := on(0.01, 3.11, "cent")
	q.Year = 1943
	ratio := func(s verdict.Sureness) float64 {
		q.Evidence.Date = s
		e, _ := find(judge(t, q), verdict.TransitionalAlloy)
		return float64(e.LikelihoodRatio)
	}
	if unsure, usual, sure := ratio(verdict.Unsure), ratio(""), ratio(verdict.Sure); !(unsure < usual && usual < sure) {
		t.Errorf("likelihood ratios unsure %v, usual %v, sure %v", unsure, usual, sure)
	}
	q.Evidence.Date = ""
	v := judge(t, q)
	if v.NextTest == nil {
		t.Fatal("no test is proposed")
	}
	tests := append([]verdict.Test{*v.NextTest}, v.OtherTests...)
	for _, want := range []string{"date", "magnet"} {
		if !slices.ContainsFunc(tests, func(x verdict.Test) bool { return x.Test == want }) {
			t.Errorf("%s isn’t proposed for a 1943 cent of bronze weight: %+v", want, tests)
		}
	}
	for _, x := range tests {
		if x.Test == "magnet" && !strings.Contains(x.Caution, "pacemakers") {
			t.Errorf("a magnet without its caution: %+v", x)
		}
	}
}

func TestErrorsNameTheField(t *testing.T) {
	good := on(0.01, 3.11, "cent")
	nan := mass.Grams(math.NaN())
	for _, tc := range []struct {
		field string
		code  fault.Code
		set   func(*verdict.Question)
	}{
		{"value", fault.BadInput, func(q *verdict.Question) { q.Mean = -3.11 }},
		{"value", fault.BadInput, func(q *verdict.Question) { q.Mean = 0 }},
		{"value", fault.BadInput, func(q *verdict.Question) { q.Mean = nan }},
		{"value", fault.BadInput, func(q *verdict.Question) { q.Mean = 1e6 }},
		{"value", fault.BadInput, func(q *verdict.Question) { q.Mean = mass.Grams(math.Inf(1)) }},
		{"u_g", fault.BadInput, func(q *verdict.Question) { q.U = 0 }},
		{"u_g", fault.BadInput, func(q *verdict.Question) { q.U = nan }},
		{"resolution", fault.BadInput, func(q *verdict.Question) { q.Resolution = -1 }},
		{"repeatability", fault.BadInput, func(q *verdict.Question) { q.Repeatability = nan }},
		{"confidence", fault.BadInput, func(q *verdict.Question) { q.Confidence = 0.2 }},
		{"evidence.diameter_mm", fault.BadInput, func(q *verdict.Question) { q.Evidence.Diameter = -19 }},
		{"evidence.thickness_mm", fault.BadInput, func(q *verdict.Question) { q.Evidence.Thickness = math.NaN() }},
		{"evidence.density", fault.BadInput, func(q *verdict.Question) { q.Evidence.Density = 890 }},
		{"country", fault.NoSuchIssue, func(q *verdict.Question) { q.Country = "XX" }},
		{"denomination", fault.NoSuchIssue, func(q *verdict.Question) { q.Denomination = "guinea" }},
		{"year", fault.NoSuchIssue, func(q *verdict.Question) { q.Year = 1700 }},
		{"year", fault.NoSuchIssue, func(q *verdict.Question) { q.Year = 1815 }},
		{"mint", fault.NoSuchIssue, func(q *verdict.Question) { q.Year, q.Mint = 1943, "O" }},
		{"mint", fault.NoSuchIssue, func(q *verdict.Question) { q.Mint = "XYZ" }},
	} {
		q := good
		tc.set(&q)
		_, err := verdict.Judge(coin.Default(), q)
		field := ""
		var input *verdict.InputError
		var issue *coin.FindError
		if errors.As(err, &input) {
			field = input.Field
		} else if errors.As(err, &issue) {
			field = issue.Field
		}
		if f := fault.Of(err); field != tc.field || f.Code != tc.code || f.Sentence == "" {
			t.Errorf("want %s in %s, got %q: %v", tc.code, tc.field, field, err)
		}
	}
	q := good
	q.Year = 1815
	if _, err := verdict.Judge(coin.Default(), q); !strings.Contains(err.Error(), "1793–1814") {
		t.Errorf("the years there are aren’t told: %v", err)
	}
}

// TestEveryIssueOfTheBook weighs one coin of each issue at its standard mass:
// none may be taken for something rare, and its own alloy must remain.
func TestEveryIssueOfTheBook(t *testing.T) {
	book := coin.Default()
	for _, i := range book.All() {
		p := book.Planchet(i.Planchet)
		q := on(0.01, mass.Grams(math.Round(p.Mass.Value*100)/100), i.Denomination)
		q.Country, q.Year = i.Country, i.First()
		v, err := verdict.Judge(book, q)
		if err != nil {
			t.Errorf("%s: %v", i.ID, err)
			continue
		}
		if v.Call == verdict.Look || v.Call == verdict.CannotTell {
			t.Errorf("%s: %s, %s", i.ID, v.Call, v.Headline)
		}
		if v.Headline == "" || v.Spoken == "" || v.Tolerance.Sentence == "" {
			t.Errorf("%s: something is left unsaid: %+v", i.ID, v)
		}
		a := book.Alloy(p.Alloy)
		if !slices.ContainsFunc(v.Alloys, func(x verdict.Alloy) bool {
			return len(a.Fractions) == 0 || len(x.Fractions) > 0 && x.Fractions[0].Element == a.Fractions[0].Element
		}) {
			t.Errorf("%s of %s: alloys %+v", i.ID, a.Name, v.Alloys)
		}
	}
}

// questions draws anything a person or program may ask.
var questions = rapid.Custom(func(t *rapid.T) verdict.Question {
	book := coin.Default()
	all := book.All()
	i := all[rapid.IntRange(0, len(all)-1).Draw(t, "issue")]
	pick := func(name string, of ...string) string { return rapid.SampledFrom(of).Draw(t, name) }
	nominal := book.Planchet(i.Planchet).Mass.Value
	q := verdict.Question{
		Mean: mass.Grams(nominal * rapid.Float64Range(0.01, 3).Draw(t, "of nominal")), Country: i.Country, Denomination: i.Denomination,
		U:          mass.Grams(math.Pow(10, rapid.Float64Range(-6, 2).Draw(t, "log u"))),
		Resolution: mass.Grams(rapid.SampledFrom([]float64{0, 0.001, 0.01, 0.1, 1}).Draw(t, "step")),
		Evidence: verdict.Evidence{
			Magnetic: verdict.Magnet(pick("magnet", "", "no", "weak", "strong", "yes")),
			Edge:     coin.Edge(pick("edge", "", "plain", "reeded", "lettered", "other")),
			Stripe:   verdict.YesNo(pick("stripe", "", "yes", "no")),
			Colour:   coin.Colour(pick("colour", "", "red", "yellow", "white", "grey", "two-hue")),
			Date:     verdict.Sureness(pick("date", "", "sure", "unsure")),
			Design:   verdict.YesNo(pick("design", "", "yes", "no")),
		},
	}
	if rapid.Bool().Draw(t, "dated") {
		q.Year = i.First()
		if m := i.Mints(q.Year); len(m) > 0 && rapid.Bool().Draw(t, "marked") {
			q.Mint = m[0]
		}
	}
	if rapid.Bool().Draw(t, "measured") {
		q.Evidence.Diameter = rapid.Float64Range(5, 60).Draw(t, "diameter")
		q.Evidence.Thickness = rapid.Float64Range(0.5, 5).Draw(t, "thickness")
		q.Evidence.Density = rapid.Float64Range(2, 20).Draw(t, "density")
	}
	return q
})

func TestAnythingIsAnswered(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := questions.Draw(t, "question")
		v, err := verdict.Judge(coin.Default(), q)
		if err != nil {
			t.Fatalf("%+v: %v", q, err)
		}
		raw, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		again, _ := verdict.Judge(coin.Default(), q)
		if b, _ := json.Marshal(again); string(b) != string(raw) {
			t.Fatalf("two answers to one question:\n%s\n%s", raw, b)
		}
		sum := 0.0
		last := 1.0
		for _, a := range v.Alloys {
			p := float64(a.Probability)
			if !(p >= 0 && p <= last+1e-12) || a.Name == "" || a.Years == nil {
				t.Fatalf("alloys %+v", v.Alloys)
			}
			last = p
			sum += p
		}
		if sum > 1+1e-9 {
			t.Fatalf("probabilities sum to %v", sum)
		}
		if v.Decisive && v.Alloys[0].Probability < verdict.DecisiveOdds/(verdict.DecisiveOdds+1.0)-1e-12 {
			t.Fatalf("decisive at %v", v.Alloys[0].Probability)
		}
		if v.Headline == "" || v.Spoken == "" || v.Call == "" || v.Tolerance.State == "" {
			t.Fatalf("something is left unsaid: %s", raw)
		}
		if p := float64(v.Tolerance.Conformity); p < 0 || p > 1 || v.Tolerance.State == verdict.Within && p < verdict.Confidence {
			t.Fatalf("conformity %v, %s", p, v.Tolerance.State)
		}
		for _, e := range v.Explanations {
			if !slices.Contains(verdict.Kinds(), e.Kind) || e.Name == "" || e.Confirm == "" || math.IsNaN(float64(e.LikelihoodRatio)) || e.LikelihoodRatio < 0 {
				t.Fatalf("explanation %+v", e)
			}
			if e.Expert && !e.Kind.Rare() {
				t.Fatalf("an expert for %+v", e)
			}
		}
		if v.NextTest != nil && (v.NextTest.Sentence == "" || v.NextTest.Gain <= 0) {
			t.Fatalf("next test %+v", v.NextTest)
		}
	})
}

func TestKindsAreFixed(t *testing.T) {
	want := []verdict.Kind{
		"wear", "damage", "wrong-planchet", "transitional-alloy", "wrong-stock", "missing-layer",
		"foreign-coin", "double-denomination", "counterfeit", "altered", "unknown",
	}
	if !slices.Equal(verdict.Kinds(), want) {
		t.Errorf("kinds %v: phones and records know the old words", verdict.Kinds())
	}
}

// TestManyAtOnce is for the race detector: the models are shared.
func TestManyAtOnce(t *testing.T) {
	var wg sync.WaitGroup
	for n := range 8 {
		wg.Go(func() {
			for _, d := range keys {
				q := on(0.01, mass.Grams(2+n), d)
				if _, err := verdict.Judge(coin.Default(), q); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
}
