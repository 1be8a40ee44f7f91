package coin_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/book/data"
	"panside/internal/coin"
	"panside/internal/fault"
)

func ids(issues []coin.Issue) string {
	var s []string
	for _, i := range issues {
		s = append(s, i.ID)
	}
	return strings.Join(s, " ")
}

// TestOverlappingYears: years in which two kinds were struck give both, as
// generally known.
func TestOverlappingYears(t *testing.T) {
	for _, tc := range []struct {
		denomination string
		year         int
		mint, want   string
	}{
		{"cent", 1982, "", "us-cent-memorial-brass-1982 us-cent-zinc us-cent-brass-proof-1982"},
		{"cent", 1982, "D", "us-cent-memorial-brass-1982 us-cent-zinc"},
		{"cent", 1982, "S", "us-cent-brass-proof-1982"},
		{"cent", 1864, "", "us-cent-indian-cn us-cent-indian-1864"},
		{"cent", 1943, "D", "us-cent-steel-early us-cent-steel"},
		{"cent", 1944, "", "us-cent-wheat-brass"},
		{"cent", 1962, "", "us-cent-memorial-bronze us-cent-memorial-brass"},
		{"cent", 1795, "", "us-cent-1793 us-cent-cap"},
		{"nickel", 1942, "", "us-nickel-jefferson us-nickel-wartime"},
		{"nickel", 1942, "D", "us-nickel-jefferson"},
		{"nickel", 1942, "S", "us-nickel-wartime"},
		{"nickel", 1883, "", "us-nickel-shield-1873 us-nickel-liberty"},
		{"dime", 1964, "", "us-dime-silver"},
		{"dime", 1965, "", "us-dime-clad"},
		{"dime", 1853, "-", "us-dime-seated-1837 us-dime-seated-1853"},
		{"half", 1976, "S", "us-half-400-sets us-half-clad-sets"},
		{"half", 1969, "D", "us-half-400"},
		{"quarter", 1992, "S", "us-quarter-clad-proof us-quarter-silver-proof"},
		{"dollar", 1921, "-", "us-dollar-morgan us-dollar-peace"},
		{"dollar", 1921, "D", "us-dollar-morgan"},
		{"cent", 1922, "-", "us-cent-wheat-bronze"},
		{"cent", 1943, "P", "us-cent-steel-early us-cent-steel"},
		{"cent", 2017, "P", "us-cent-zinc"},
		{"nickel", 1943, "?", "us-nickel-wartime"},
		{"nickel", 1943, " p ", "us-nickel-wartime"},
	} {
		got, err := data.Coins().Find("US", tc.denomination, tc.year, tc.mint)
		if err != nil || ids(got) != tc.want {
			t.Errorf("%s %d %q: %s (%v), want %s", tc.denomination, tc.year, tc.mint, ids(got), err, tc.want)
		}
	}
}

// TestTransitionYearsSayTheMistakes: the notes name the known transitional
// pieces.
func TestTransitionYearsSayTheMistakes(t *testing.T) {
	for denomination, year := range map[string]int{"cent": 1943, "dime": 1965, "quarter": 1964} {
		issues, err := data.Coins().Find("US", denomination, year, "")
		if err != nil {
			t.Fatal(err)
		}
		for _, i := range issues {
			if !strings.Contains(i.Note, "expert") {
				t.Errorf("%s: the note %q doesn't tell of transitional pieces", i.ID, i.Note)
			}
		}
	}
}

func TestFindErrorsSayWhatThereIs(t *testing.T) {
	for _, tc := range []struct {
		country, denomination string
		year                  int
		mint, field, says     string
	}{
		{"XX", "cent", 0, "", "country", "US (United States), CA (Canada), GB (United Kingdom) and EU (Euro area)"},
		{"US", "penny", 0, "", "denomination", "half-cent, cent, two-cent"},
		{"US", "cent", 1815, "", "year", "no cent of 1815 (United States). It has cents of 1793–1814 and 1816–2026."},
		{"US", "nickel", 1922, "", "year", "1866–1921, 1923–1931 and 1934–2026"},
		{"US", "quarter", 1975, "", "year", "1932, 1934–1974 and 1976–2026"},
		{"US", "dime", 1932, "", "year", "1934–2026"},
		{"US", "cent", 2090, "", "year", "1816–2026"},
		{"US", "cent", -5, "", "year", "no cent of -5"},
		{"US", "cent", 1955, "CC", "mint", "Those of that year carry no mark, D or S."},
		{"US", "cent", 1922, "S", "mint", "Those of that year carry D."},
		{"US", "cent", 1922, "P", "mint", "Those of that year carry D."},
		{"US", "dime", 1930, "D", "mint", "Those of that year carry no mark or S."},
		{"US", "quarter", 1990, "-", "mint", "is without a mint mark. Those of that year carry D, P or S."},
		{"US", "dime", 1966, "D", "mint", "Those of that year carry no mark."},
		{"US", "half-cent", 0, "D", "mint", "The half cents in the book carry no mark."},
		{"US", strings.Repeat("ä", 300), 0, "", "denomination", "…"},
	} {
		got, err := data.Coins().Find(tc.country, tc.denomination, tc.year, tc.mint)
		var fe *fault.Field
		if !errors.As(err, &fe) {
			t.Errorf("%+v: found %s, error %v", tc, ids(got), err)
			continue
		}
		f := fault.Of(err)
		if fe.Name != tc.field || f.Code != fault.NoSuchIssue {
			t.Errorf("%+v: field %s, code %s", tc, fe.Name, f.Code)
		}
		if !strings.Contains(f.English(), tc.says) {
			t.Errorf("%+v: the sentence is\n%s", tc, f.English())
		}
	}
}

func TestYearsBeyondTheBook(t *testing.T) {
	b := data.Coins()
	if _, err := b.Find("US", "dime", 2029, "D"); err != nil {
		t.Errorf("an issue still struck ends with the book: %v", err)
	}
	if _, err := b.Find("US", "half-cent", 1858, ""); err == nil {
		t.Error("a closed issue goes on")
	}
}

// question draws a denomination of the book.
func question(t *rapid.T) coin.Denomination {
	b := data.Coins()
	c := rapid.SampledFrom(b.Countries()).Draw(t, "country")
	return rapid.SampledFrom(b.Denominations(c.ID)).Draw(t, "denomination")
}

// TestFindProperties: an answer holds exactly the issues of that year; with a
// mark it is a part of the answer without one; without an answer the error
// names a field and years or marks.
func TestFindProperties(t *testing.T) {
	b := data.Coins()
	rapid.Check(t, func(t *rapid.T) {
		d := question(t)
		year := rapid.IntRange(1780, 2040).Draw(t, "year")
		mint := rapid.SampledFrom([]string{"", "?", "-", "P", "D", "S", "O", "CC", "C", "W", "Q"}).Draw(t, "mint")

		all, err := b.Find(d.Country, d.ID, year, "")
		struck := 0
		for _, i := range b.Issues(d.Country, d.ID) {
			if i.Struck(year) {
				struck++
			}
		}
		if struck != len(all) || (err == nil) != (struck > 0) {
			t.Fatalf("%d issues struck, %d found, error %v", struck, len(all), err)
		}
		some, err := b.Find(d.Country, d.ID, year, mint)
		if (err == nil) != (len(some) > 0) {
			t.Fatalf("found %d with error %v", len(some), err)
		}
		for n, i := range some {
			if !slices.ContainsFunc(all, func(j coin.Issue) bool { return j.ID == i.ID }) {
				t.Fatalf("%s is found with the mark only", i.ID)
			}
			if n > 0 && i.First() < some[n-1].First() {
				t.Fatalf("%s is out of order", i.ID)
			}
		}
		if err != nil {
			var fe *fault.Field
			if !errors.As(err, &fe) || len(fault.Of(err).English()) < 20 {
				t.Fatalf("error %v", err)
			}
		}
	})
}

// TestEveryIssueIsFoundByItsOwnDate: for each year and mark of each issue.
func TestEveryIssueIsFoundByItsOwnDate(t *testing.T) {
	b := data.Coins()
	for _, i := range b.All() {
		for _, s := range i.Spans {
			for year := s.First; year <= s.Last; year++ {
				marks := append([]string{""}, i.Mints(year)...)
				if s.MarkLost {
					marks = append(marks, coin.NoMark)
				}
				for _, m := range marks {
					got, err := b.Find(i.Country, i.Denomination, year, m)
					if err != nil || !slices.ContainsFunc(got, func(j coin.Issue) bool { return j.ID == i.ID }) {
						t.Fatalf("%s of %d %q: %s, %v", i.ID, year, m, ids(got), err)
					}
				}
			}
		}
	}
}

func TestMintsOfAnIssue(t *testing.T) {
	b := data.Coins()
	for _, i := range b.Issues("US", "dollar") {
		if i.ID == "us-dollar-morgan" {
			if got := strings.Join(i.Mints(0), " "); got != "- CC D O S" {
				t.Errorf("all marks: %s", got)
			}
			if got := strings.Join(i.Mints(1895), " "); got != "- O S" {
				t.Errorf("marks of 1895: %s", got)
			}
			if i.Mints(1910) != nil {
				t.Errorf("marks of a year without dollars: %v", i.Mints(1910))
			}
		}
	}
	for _, i := range b.Issues("CA", "cent") {
		if i.Mints(0) != nil {
			t.Errorf("%s: Canadian marks aren't in the book", i.ID)
		}
	}
}
