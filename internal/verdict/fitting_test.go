package verdict_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/book/data"
	"panside/internal/coin"
	"panside/internal/mass"
	"panside/internal/verdict"
)

func fitting(t *testing.T, q verdict.Question) verdict.Fits {
	t.Helper()
	f, err := verdict.Fitting(data.Coins(), q)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// countryOf is the country of a line of worldCoins.
func countryOf(name string) string {
	for short, full := range map[string]string{"Britain": "United Kingdom", "Euro": "Euro area", "East Caribbean": "Eastern Caribbean", "New Zealand": "New Zealand", "South Africa": "South Africa"} {
		if strings.HasPrefix(name, short) {
			return full
		}
	}
	first, _, _ := strings.Cut(name, " ")
	return first
}

// TestWhatIsThis asks of each of the world's coins what it is, by weight, calipers and
// magnet. Its country must be among those named, nearly always among the first five; where it
// isn't, other coins have the same weight and size.
func TestWhatIsThis(t *testing.T) {
	named, early := 0, 0
	for _, c := range worldCoins {
		q := on(0.01, c.grams, "")
		q.Evidence.Diameter, q.Evidence.Magnetic = c.diameter, verdict.NotAttracted
		if c.magnet {
			q.Evidence.Magnetic = verdict.Attracted
		}
		f := fitting(t, q)
		at := slices.IndexFunc(f.Coins, func(x verdict.Fit) bool { return x.Country == countryOf(c.name) })
		switch {
		case at < 0:
			t.Errorf("%s isn't named among %d: %+v", c.name, len(f.Coins), f.Coins)
		case at < 5:
			early++
			fallthrough
		default:
			named++
		}
	}
	t.Logf("%d of %d named, %d among the first five", named, len(worldCoins), early)
	if early < len(worldCoins)*85/100 {
		t.Errorf("only %d of %d are among the first five", early, len(worldCoins))
	}
}

// TestFitsAreOrderedChances holds for whatever is asked.
func TestFitsAreOrderedChances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := questions.Draw(t, "question")
		f, err := verdict.Fitting(data.Coins(), q)
		if err != nil {
			t.Fatal(err)
		}
		sum, last := 0.0, 1.0
		for _, c := range f.Coins {
			chance, ratio := float64(c.Chance), float64(c.LikelihoodRatio)
			if !(chance > 0 && chance <= last) || !(ratio >= 9) || math.IsInf(ratio, 1) || c.Country == "" || c.Issue.ID == "" {
				t.Fatalf("%+v after %v", c, last)
			}
			sum, last = sum+chance, chance
		}
		if sum > 1+1e-9 || f.More > 0 && len(f.Coins) < 24 || f.Tried < 600 {
			t.Fatalf("sum %v, %d more, %d tried", sum, f.More, f.Tried)
		}
	})
}

// TestNothingFits: no coin of the book weighs 7 g at 40 mm, and a date that nobody struck
// leaves little. Errors name the field.
func TestNothingFits(t *testing.T) {
	q := on(0.01, 7, "")
	q.Evidence.Diameter = 40
	if f := fitting(t, q); len(f.Coins) != 0 || f.More != 0 || f.Caution != "" {
		t.Errorf("%+v", f)
	}
	q = on(0.01, 90, "")
	if f := fitting(t, q); len(f.Coins) != 0 {
		t.Errorf("%+v", f)
	}
	q.Evidence.Diameter = 1
	if _, err := verdict.Fitting(data.Coins(), q); err == nil || !strings.Contains(err.Error(), "diameter") {
		t.Error(err)
	}
}

// TestADateSettlesWhatItIs: a coin of 11.31 g and 28.5 mm is a florin, a ten pence or
// twenty cents; the date says of which of them it can be.
func TestADateSettlesWhatItIs(t *testing.T) {
	q := on(0.01, 11.31, "")
	q.Evidence.Diameter, q.Evidence.Colour = 28.5, coin.White
	for year, want := range map[int]string{0: "", 1936: "New Zealand 1 florin", 1987: "United Kingdom ten-pence"} {
		q.Year = year
		f := fitting(t, q)
		if len(f.Coins) < 5 {
			t.Fatalf("%d: %+v", year, f.Coins)
		}
		if want != "" && !slices.ContainsFunc(f.Coins[:5], func(c verdict.Fit) bool {
			return c.Country+" "+c.Issue.Name == want || c.Country+" "+c.Issue.Denomination == want
		}) {
			t.Errorf("%d: %+v", year, f.Coins[:5])
		}
		for _, c := range f.Coins[:3] {
			if year != 0 && !c.Issue.Struck(year) {
				t.Errorf("%d: %s comes before those of the year", year, c.Issue.ID)
			}
		}
	}
}

// TestGoldThatFitsCarriesItsCaution: a right weight is where a faker begins.
func TestGoldThatFitsCarriesItsCaution(t *testing.T) {
	for y, want := range map[float64]bool{7.98: true, 26.73: true, 2.5: false} {
		q := on(0.01, mass.Grams(y), "")
		q.Evidence.Diameter = map[float64]float64{7.98: 22, 26.73: 38.1, 2.5: 19}[y]
		q.Evidence.Colour = map[float64]coin.Colour{7.98: coin.Yellow, 26.73: coin.White, 2.5: coin.Red}[y]
		f := fitting(t, q)
		if (f.Caution != "") != want || len(f.Coins) == 0 || want && !strings.Contains(f.Caution, "licensed") {
			t.Errorf("%v g: %q %+v", y, f.Caution, f.Coins)
		}
	}
}
