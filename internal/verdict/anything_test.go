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

	"panside/internal/book/data"
	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/verdict"
)

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
		_, err := verdict.Judge(data.Coins(), q)
		field := ""
		var in *fault.Field
		if errors.As(err, &in) {
			field = in.Name
		}
		if f := fault.Of(err); field != tc.field || f.Code != tc.code || f.English() == "" {
			t.Errorf("want %s in %s, got %q: %v", tc.code, tc.field, field, err)
		}
	}
	q := good
	q.Year = 1815
	if _, err := verdict.Judge(data.Coins(), q); !strings.Contains(err.Error(), "1793–1814") {
		t.Errorf("the years there are aren’t told: %v", err)
	}
}

// TestEveryIssueOfTheBook weighs one coin of each issue at its standard mass:
// none may be taken for something rare, and its own alloy must remain.
func TestEveryIssueOfTheBook(t *testing.T) {
	book := data.Coins()
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
	book := data.Coins()
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
			Date:     verdict.Care(pick("date", "", "sure", "unsure")),
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
		v, err := verdict.Judge(data.Coins(), q)
		if err != nil {
			t.Fatalf("%+v: %v", q, err)
		}
		raw, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		again, _ := verdict.Judge(data.Coins(), q)
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
		if v.NextTest != nil && (v.NextTest.Sentence == "" || v.NextTest.Information <= 0) {
			t.Fatalf("next test %+v", v.NextTest)
		}
	})
}

func TestKindsAreFixed(t *testing.T) {
	want := []verdict.Kind{
		"wear", "damage", "wrong-planchet", "transitional-alloy", "wrong-stock", "missing-layer",
		"foreign-coin", "double-denomination", "counterfeit", "altered", "unknown",
		"two-coins", "split-planchet",
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
				if _, err := verdict.Judge(data.Coins(), q); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
}
