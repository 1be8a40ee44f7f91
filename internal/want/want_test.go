package want_test

import (
	"slices"
	"strings"
	"testing"

	"panside/internal/book/data"
	"panside/internal/coin"
	"panside/internal/want"

	"pgregory.net/rapid"
)

// called finds a denomination by id, name and plural, and cents by one everyday name.
func called(country, word string) (coin.Denomination, bool) {
	for _, d := range data.Coins().Denominations(country) {
		if word == d.ID || word == d.Name || word == d.Plural || word == "pennies" && country == "US" && d.ID == "cent" || word == "halves" && d.ID == "half" {
			return d, true
		}
	}
	return coin.Denomination{}, false
}

func parse(country string, entries ...string) (ids []string, unknown string) {
	kept, unknown := want.Parse(data.Coins(), country, entries, called)
	for _, w := range kept {
		ids = append(ids, w.ID)
	}
	return ids, unknown
}

// TestWaysToWriteAWant holds what people write to what it means in the United States,
// or in the country named before a slash.
func TestWaysToWriteAWant(t *testing.T) {
	for entry, ids := range map[string]string{
		"silver": "silver", "SILVER": "silver", "Silver coins": "silver", "90%": "silver", "90 percent": "silver", "90% silver": "silver", "junk silver": "silver", "pre-1965": "silver",
		"40%": "silver-40", "40 %": "silver-40", "40% silver": "silver-40", "40% Silver": "silver-40", "40 percent silver": "silver-40", "silver-40": "silver-40", "forty percent": "silver-40",
		"wartime": "wartime", "Wartime alloy": "wartime", "war nickels": "wartime", "war nickel": "wartime", "wartime silver": "wartime", "35 %": "wartime",
		"bronze": "bronze-cents", "bronze cents": "bronze-cents", "copper cents": "bronze-cents", "copper": "bronze-cents", "copper pennies": "bronze-cents", "bronze-cents": "bronze-cents",
		"wheat": "wheat-ears", "wheat ears": "wheat-ears", "Wheat-ears": "wheat-ears", "wheats": "wheat-ears", "wheaties": "wheat-ears", "wheat pennies": "wheat-ears", "wheat cent": "wheat-ears",
		"Indian head": "indian-head", "indian heads": "indian-head", "indian head pennies": "indian-head",
		"buffalo": "buffalo", "Buffalo nickels": "buffalo", "buffs": "buffalo",
		"mercury": "mercury", "Mercs": "mercury", "Mercury dimes": "mercury",
		"walkers": "walking-liberty", "Walking Liberty": "walking-liberty", "standing liberty quarters": "standing-liberty", "standing liberty": "standing-liberty",
		"barber": "barber", "Barbers": "barber", "Barber quarters": "quarter barber", "liberty nickels": "liberty-nickels", "V nickels": "liberty-nickels",
		"gold": "gold", "proofs": "from-sets", "steelies": "steel-cents", "any silver": "silver silver-40 wartime", "silver dollars": "morgan peace",
		"silver dimes": "dime silver", "dime silver": "dime silver", "40 % halves": "half silver-40", "US silver": "silver", "uk silver": "", "Canadian silver": "", "silver sixpences": "", "nickel metal": "", "tombac": "",

		"1955": "1955", "1909-S": "1909-S", "1909-s": "1909-S", "1909S": "1909-S", "1909 S": "1909-S", "1909 – 1958": "1909-1958", "1909-1958": "1909-1958", "1909-1915 S": "1909-1915 S", "1922 no mark": "1922 no mark",
		"before 1959": "before 1959", "pre-1959": "before 1959", "pre 1959": "before 1959", "from 1999": "from 1999", "1999-": "from 1999", "cents before 1959": "cent before 1959",
		"cent 1909-S": "cent 1909-S", "Cent 1909-s": "cent 1909-S", "1909-S cent": "cent 1909-S", "cents: 1909-S": "cent 1909-S", "pennies 1909-S": "cent 1909-S", "cent 1909-1958": "cent 1909-1958",
		"cent S": "cent S", "S": "S", "s": "S", "S mint": "S", "mint mark S": "S", "CC": "CC", "no mark": "no mark", "dime no mark": "dime no mark", "US cent 1909-S": "US cent 1909-S", "usa cents 1909-S": "US cent 1909-S",
		"half dime 1837": "half-dime 1837", "half 1964": "half 1964", "half dollars 1964-D": "half 1964-D", "three-cent": "three-cent", "two-cent pieces": "two-cent", "nickel 1950-D": "nickel 1950-D",
		"ca cent 1936": "", "CA cent H": "", "penny 1933": "", "EU two-euro 2004": "", "two-euro 2004": "",
		"cent 1909-S, 1914-D": "cent 1909-S|cent 1914-D", "1909-S; 1914-D": "1909-S|1914-D", "cent 1909-S, dime 1916-D": "cent 1909-S|dime 1916-D", "cent 1909-S, silver": "cent 1909-S|silver",
		"silver, 40%": "silver silver-40", "silver dimes, 1909-S": "dime silver|1909-S", "": "", " , ": "",

		"CA/silver": "silver", "CA/Canadian silver": "silver", "CA/wheat ears": "", "CA/nickel metal": "nickel-metal", "CA/silver nickels": "silver-five-cents", "CA/silver dollars": "dollar silver", "CA/CA cent H": "CA cent H", "CA/cent 1936": "cent 1936",
		"CA/bronze": "bronze-cents", "CA/S": "", "CA/tombac": "tombac", "CA/fish scales": "silver-five-cents",
		"GB/silver": "silver", "GB/pre-1947": "silver", "GB/pre-1920": "sterling", "GB/silver threepence": "silver-threepences", "GB/silver sixpence": "silver-sixpences", "GB/florin 1925": "florin 1925", "GB/UK penny 1933": "GB penny 1933", "GB/pre-decimal": "old-money", "GB/wartime": "", "GB/cent S": "",
		"EU/silver": "", "EU/before 2002": "first-euros", "EU/small coppers": "small-coppers", "EU/1999-2001": "1999-2001", "EU/cent 1909-S": "",
	} {
		country, written, ok := strings.Cut(entry, "/")
		if !ok {
			country, written = "US", entry
		}
		got, unknown := parse(country, written)
		if want := strings.ReplaceAll(ids, "|", " "); unknown != "" || strings.Join(got, " ") != want {
			t.Errorf("%q: %q, unknown %q, want %q", entry, got, unknown, want)
		}
	}
}

// TestWhatTheBookHasNothingFor is named, with what stands beside it left aside.
func TestWhatTheBookHasNothingFor(t *testing.T) {
	for entry, unknown := range map[string]string{
		"unobtainium": "unobtainium", "silver, unobtainium": "unobtainium", "1909-Q": "1909-Q", "X": "X", "dime 1909-QQQ": "dime 1909-QQQ", "gold X": "gold X", "half-dime 1837-W": "half-dime 1837-W", "19": "19", "190": "190", "19091": "19091", "3000": "3000",
		"1958-1909": "1958-1909", "cent 1909-S VDB": "cent 1909-S VDB", "before": "before", "40": "40", "GB wheat ears": "GB wheat ears", "gold cents and dimes": "gold cents and dimes", "EU": "EU", "-": "-", "dime wheat of thread": "dime wheat of thread",
	} {
		for _, country := range []string{"US", "GB"} {
			if got, said := parse(country, "buffalo", entry); said != unknown || got != nil {
				t.Errorf("%s, %q: %q, unknown %q, want %q", country, entry, got, said, unknown)
			}
		}
	}
}

func allWants() (all []coin.Want) {
	for _, c := range data.Coins().Countries() {
		all = append(all, data.Coins().Wants(c.ID)...)
	}
	return all
}

// TestEveryNameIsRead: each id, name and alias of the book finds its want, alone or
// among those that share it, and ids made of dates are read as the same again.
func TestEveryNameIsRead(t *testing.T) {
	for _, w := range allWants() {
		for _, name := range []string{w.ID, w.Name, strings.ToUpper(w.Name), strings.ReplaceAll(w.ID, "-", " ")} {
			if got, unknown := parse(w.Country, name); unknown != "" || !slices.Contains(got, w.ID) {
				t.Errorf("%s %s: %q finds %q", w.Country, w.ID, name, got)
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		country := rapid.SampledFrom([]string{"US", "CA", "GB", "EU"}).Draw(t, "country")
		var entry []string
		if rapid.Bool().Draw(t, "named") {
			entry = append(entry, country)
		}
		var d coin.Denomination
		if rapid.Bool().Draw(t, "of") {
			d = rapid.SampledFrom(data.Coins().Denominations(country)).Draw(t, "denomination")
			entry = append(entry, rapid.SampledFrom([]string{d.ID, d.Name, d.Plural}).Draw(t, "called"))
		}
		entry = append(entry, rapid.SampledFrom([]string{"1909", "1909-1958", "pre-1947", "1999-", "1982-d", "S", "1922 no mark", "1930-1935 S"}).Draw(t, "date"))
		ids, unknown := parse(country, strings.Join(entry, " "))
		if unknown != "" {
			return // no such mark there
		}
		if len(ids) != 1 {
			return // the date is a want's name there
		}
		if again, _ := parse(country, ids[0]); !slices.Equal(again, ids) {
			t.Fatalf("%q: %q, read again %q", entry, ids, again)
		}
	})
}

// TestWhoHasntChosen keeps silver and the alloys of a war.
func TestWhoHasntChosen(t *testing.T) {
	for country, ids := range map[string]string{"US": "silver silver-40 wartime", "CA": "silver", "GB": "silver", "EU": ""} {
		var got []string
		for _, w := range want.Start(data.Coins(), country) {
			got = append(got, w.ID)
		}
		if strings.Join(got, " ") != ids {
			t.Errorf("%s: %q, want %q", country, got, ids)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"silver", "cent 1909-S, 1914-D", "pre-", "US", "1909--", "no mark", "half dime -", "–%", "1909-\xff"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		kept, unknown := want.Parse(data.Coins(), "US", []string{s}, called)
		if unknown != "" && (kept != nil || !strings.Contains(s, unknown)) {
			t.Errorf("%q: %v, %q", s, kept, unknown)
		}
		for _, w := range kept {
			if w.Country != "US" || w.ID == "" || w.Name == "" || len(w.Takes) == 0 {
				t.Errorf("%q: %+v", s, w)
			}
		}
	})
}
