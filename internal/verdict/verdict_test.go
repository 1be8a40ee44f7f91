package verdict_test

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"panside/internal/book/data"
	"panside/internal/coin"
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
	v, err := verdict.Judge(data.Coins(), q)
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
		{"half", 1968, 11.50, "Ag", 0.4, verdict.Within},
		{"half", 1976, 11.34, "Cu", 0.9167, verdict.Within},
		{"dollar", 1921, 26.73, "Ag", 0.9, verdict.Within},
		{"dollar", 1979, 8.10, "Cu", 0.875, verdict.Unpublished},
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
		// Gold and silver dollars get the density to try: see truth_test.go.
		faked := tc.denomination == "double-eagle" || tc.element == "Ag" && tc.denomination == "dollar"
		if len(v.Explanations) > 0 || (v.NextTest != nil) != faked || v.Hint != verdict.Regular {
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
		{"silvery small dollar", on(0.01, 8.10, "dollar"), func(q *verdict.Question) { q.Evidence.Colour = coin.White }, "Ni", 0.125},
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
	if v.Call != verdict.CannotTell || v.Tolerance.Settle != "Wait for the reading to settle." {
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
