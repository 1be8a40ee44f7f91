package verdict_test

import (
	"encoding/json"
	"math"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/book/data"
	"panside/internal/coin"
	"panside/internal/mass"
	"panside/internal/stats"
	"panside/internal/verdict"
)

// held is a question about a coin that, at a chance, is only half put down.
func held(denomination string, year int, grams mass.Grams, chance float64) verdict.Question {
	q := on(0.01, grams, denomination)
	q.Year, q.Half, q.WholeU = year, chance, q.U
	q.U = mass.Grams(math.Hypot(float64(q.WholeU), 2*math.Sqrt(chance)*float64(grams)))
	return q
}

// TestHalfPutDownIsNotNamedAsAnotherAlloy: what a part of another coin may weigh isn't
// named until hardly any doubt is left; what none weighs is named at once.
func TestHalfPutDownIsNotNamedAsAnotherAlloy(t *testing.T) {
	for _, tc := range []struct {
		what         string
		denomination string
		year         int
		grams        mass.Grams
		chance       float64
		alloy        string // empty for not yet
	}{
		{"zinc, or four fifths of a bronze cent", "cent", 1982, 2.5, 0.01, ""},
		{"the same, all but sure", "cent", 1982, 2.5, 0.002, "zinc"},
		{"bronze, or a zinc cent under a finger", "cent", 1982, 3.11, 0.01, ""},
		{"the same, all but sure", "cent", 1982, 3.11, 0.002, "bronze"},
		{"bronze, all of that year are", "cent", 1970, 3.11, 0.05, "bronze"},
		{"half of a cent", "cent", 1982, 1.5, 0.02, ""},
		{"a clad quarter, or a silver one", "quarter", 0, 5.67, 0.02, ""},
		{"the same, all but sure", "quarter", 0, 5.67, 0.002, "clad"},
		{"a clad quarter, all of that year are", "quarter", 1990, 5.67, 0.5, "clad"},
		{"silver, or a clad quarter under a finger", "quarter", 0, 6.25, 0.02, ""},
		{"a steel cent too heavy to be ordinary, or leant on", "cent", 1943, 2.85, 0.0001, ""},
		{"bronze, and too light to be ordinary", "cent", 1964, 2.7, 0.0001, ""},
		{"a dime, under the key of the cent", "cent", 0, 2.27, 0.02, ""},
		{"no whole coin at all", "cent", 1982, 2.5, 1, ""},
	} {
		v := judge(t, held(tc.denomination, tc.year, tc.grams, tc.chance))
		name := ""
		if v.Call == verdict.Ordinary {
			name = v.Claim.Alloy
		}
		if name != tc.alloy || v.Decisive != (tc.alloy != "") {
			t.Errorf("%s: %s %d, %.2f g, half at %v: %s of %q, decisive %v; want %q",
				tc.what, tc.denomination, tc.year, tc.grams, tc.chance, v.Call, v.Alloys[0].Name, v.Decisive, tc.alloy)
		}
	}
}

// TestHalfPutDownByTheFormula: a zinc cent of 1982 is named up to the chance P of a half
// at which its whole coins are ten thousand times likelier than parts of bronze ones,
// (1 − P)·f/(P·h) = 10,000. f is the density of worn coins at the standard mass: the mint's
// limit of 0.1 g is three standard deviations, forty years take four parts in ten thousand
// each on average (metals.json), and nine coins in ten carry neither dirt, stain nor
// damage. h is uniform from a tenth to twice 3.11 g.
func TestHalfPutDownByTheFormula(t *testing.T) {
	named := func(chance float64) bool { return judge(t, held("cent", 1982, 2.5, chance)).Decisive }
	low, high := 0.0, 1.0
	for range 30 {
		if mid := (low + high) / 2; named(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	sd := math.Hypot(0.1/3, float64(on(0.01, 2.5, "cent").U))
	f := 0.91 * stats.EMG{Mu: 2.5, Sigma: sd, Tau: -2.5 * 40 * 0.0004}.PDF(2.5)
	h := 1 / (1.9 * 3.11)
	want := f / (f + 10_000*h)
	if math.Abs(low/want-1) > 0.1 { // what is dirty, stained or damaged adds a little
		t.Errorf("named up to a chance of %.4f, by the formula %.4f", low, want)
	}
}

// TestWithoutAHalfAllIsAsBefore: a question without a chance of a half, or with one that
// means nothing, has the very same answer; so has one about a coin that was looked at.
func TestWithoutAHalfAllIsAsBefore(t *testing.T) {
	text := func(q verdict.Question) string {
		b, err := json.Marshal(judge(t, q))
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	for _, d := range []string{"cent", "dime", "quarter"} {
		for _, grams := range []mass.Grams{1.2, 2.27, 2.5, 2.8, 3.11, 5.67} {
			q := on(0.01, grams, d)
			q.U *= 3
			plain, nan := text(q), math.NaN()
			for _, odd := range []struct {
				half  float64
				whole mass.Grams
			}{{0, q.U / 3}, {0, 0}, {nan, q.U / 3}, {-0.1, q.U / 3}, {1, q.U / 3}, {0.1, 0}, {0.1, mass.Grams(nan)}, {0.1, -1}, {0.1, 2 * q.U}} {
				q.Half, q.WholeU = odd.half, odd.whole
				if got := text(q); got != plain {
					t.Errorf("%s, %.2f g, half at %v, u %v: %s, without %s", d, grams, odd.half, odd.whole, got, plain)
				}
			}
			q.Evidence.Edge = coin.EdgePlain
			seen := text(q)
			q.Half, q.WholeU = 0.1, q.U/3
			if got := text(q); got != seen {
				t.Errorf("%s, %.2f g, its edge seen: %s, without a half %s", d, grams, got, seen)
			}
		}
	}
}

// TestDoubtNamesNothingElse: with any chance of a half an alloy is named only if it would
// be were the coin surely let go, and at every smaller chance, and never where parts of a
// coin of another alloy are as likely.
func TestDoubtNamesNothingElse(t *testing.T) {
	book := data.Coins()
	var denominations []string
	for _, d := range book.Denominations("US") {
		denominations = append(denominations, d.ID)
	}
	rapid.Check(t, func(r *rapid.T) {
		ask := func(q verdict.Question) verdict.Verdict {
			v, err := verdict.Judge(book, q)
			if err != nil {
				r.Skip("no such coin")
			}
			return v
		}
		q := held(
			rapid.SampledFrom(denominations).Draw(r, "denomination"), rapid.SampledFrom([]int{0, 1943, 1964, 1970, 1982}).Draw(r, "year"),
			mass.Grams(rapid.Float64Range(0.5, 15).Draw(r, "g")), math.Exp(rapid.Float64Range(-9, -0.1).Draw(r, "ln P")),
		)
		q.WholeU *= mass.Grams(math.Exp(rapid.Float64Range(-1, 2).Draw(r, "ln u")))
		q.U = max(q.U, 1.01*q.WholeU)
		v := ask(q)
		if !v.Decisive && v.Call != verdict.Ordinary {
			return
		}
		for _, chance := range []float64{0.5, 0.1, 0.001} {
			less := q
			less.Half *= chance
			if got := ask(less); got.Claim != v.Claim {
				r.Fatalf("%+v is %v at %v, %v at less", q, v.Claim, q.Half, got.Claim)
			}
		}
		let := q
		let.Half, let.U = 0, q.WholeU
		got := ask(let)
		if !got.Decisive || got.Alloys[0].Name != v.Alloys[0].Name {
			r.Fatalf("%+v is %v, let go %v", q, v.Claim, got.Claim)
		}
	})
}
