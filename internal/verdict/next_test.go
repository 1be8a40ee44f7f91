package verdict_test

import (
	"slices"
	"strings"
	"testing"

	"panside/internal/book/data"
	"panside/internal/mass"
	"panside/internal/verdict"
)

// steps of a table's tests, by what they take: the eye, the magnet, loupe and ear,
// calipers, water.
var steps = map[string]int{
	"design": 0, "date": 0, "colour": 0, "stripe": 0, "edge": 0,
	"magnet": 1, "mint": 2, "ring": 2, "diameter": 3, "thickness": 3, "density": 4,
}

// TestTheEyeComesBeforeTheMagnet and so on to water, unless a test of a later step
// tells three times as much for each step.
func TestTheEyeComesBeforeTheMagnet(t *testing.T) {
	seen := 0
	for _, denomination := range keys {
		for y := mass.Grams(0.9); y < 28; y *= 1.013 {
			for _, year := range []int{0, 1943, 1964, 1975, 1999} {
				q := on(0.01, y, denomination)
				q.Year = year
				v, err := verdict.Judge(data.Coins(), q)
				if err != nil || v.NextTest == nil {
					continue
				}
				tests := append([]verdict.Test{*v.NextTest}, v.OtherTests...)
				for i := 1; i < len(tests); i++ {
					a, b := tests[i-1], tests[i]
					step := func(x verdict.Test) int {
						if x.Test == "date" && year != 0 {
							return steps["mint"] // read again, with a loupe
						}
						return steps[x.Test]
					}
					more := 1.0
					for range max(step(a)-step(b), 0) {
						more *= 3
					}
					if seen++; a.Information < more*b.Information-0.002*more && step(a) >= step(b) {
						t.Errorf("%s %d of %.2f g: %s (%v bits) before %s (%v bits)", denomination, year, float64(y), a.Test, a.Information, b.Test, b.Information)
					}
				}
			}
		}
	}
	if seen < 1000 {
		t.Errorf("only %d pairs of tests", seen)
	}
}

// TestATestIsAnsweredByOneTap: each that isn't a number or the reading of a date has its
// answers, and they are evidence that is understood and ends the test.
func TestATestIsAnsweredByOneTap(t *testing.T) {
	numbers := []string{"diameter_mm", "thickness_mm", "density", "ring"}
	met := map[string]bool{}
	for _, denomination := range keys {
		for y := mass.Grams(0.9); y < 28; y *= 1.03 {
			for _, year := range []int{0, 1942, 1943, 1998} {
				q := on(0.01, y, denomination)
				q.Year = year
				v, err := verdict.Judge(data.Coins(), q)
				if err != nil || v.NextTest == nil {
					continue
				}
				for _, x := range append([]verdict.Test{*v.NextTest}, v.OtherTests...) {
					met[x.Test] = true
					none := slices.Contains(numbers, x.Evidence) || x.Test == "date" && year == 0
					if x.Evidence == "" || none != (len(x.Choices) == 0) {
						t.Errorf("%s %d of %.2f g: %s goes into %q with %v", denomination, year, float64(y), x.Test, x.Evidence, x.Choices)
					}
					for _, c := range x.Choices {
						if c.Value == "" || c.Name == "" {
							t.Errorf("%s: %+v", x.Test, c)
						}
					}
				}
			}
		}
	}
	if len(met) < len(steps)-1 {
		t.Errorf("met only %v", met)
	}
}

// TestAThinCladCoinStillShowsALine: with one layer gone, the other still draws its line on
// the edge, as the explanation says; without both there is none.
func TestAThinCladCoinStillShowsALine(t *testing.T) {
	for _, tc := range []struct {
		denomination string
		y            mass.Grams
	}{{"dime", 1.89}, {"quarter", 4.73}, {"half", 9.45}} {
		v := judge(t, on(0.01, tc.y, tc.denomination))
		for _, x := range append([]verdict.Test{*v.NextTest}, v.OtherTests...) {
			if x.Test == "stripe" && strings.Contains(x.Sentence, "none does: one clad layer missing") {
				t.Errorf("%s of %.2f g: %q", tc.denomination, float64(tc.y), x.Sentence)
			}
		}
		ratio := func(stripe verdict.YesNo) float64 {
			q := on(0.01, tc.y, tc.denomination)
			q.Evidence.Stripe = stripe
			e, _ := find(judge(t, q), verdict.MissingLayer)
			return float64(e.LikelihoodRatio)
		}
		if with, without := ratio(verdict.Yes), ratio(verdict.No); with < ratio("")/2 || without > 20*with {
			t.Errorf("%s: with a line %v, without one %v", tc.denomination, with, without)
		}
	}
}
