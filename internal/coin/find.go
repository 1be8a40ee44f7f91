package coin

import (
	"slices"
	"strconv"
	"strings"

	"panside/internal/fault"
	"panside/internal/stable"
)

func notFound(field, sentence string) error {
	return fault.InField(field, fault.NoSuchIssue, sentence)
}

// Find returns the issues of a denomination that a coin with this year and
// mint mark can be, by first year; at least one if err is nil. Year 0 and mint
// "" or "?" are not given; mint NoMark says that the coin carries no mark. The
// letter of a mint that struck without a mark (P in the United States) finds
// its unmarked coins too.
//
// Errors are *fault.Field with fault.NoSuchIssue, named "country",
// "denomination", "year" or "mint"; their sentence says which
// countries, denominations, years or marks there are.
func (b *Book) Find(country, denomination string, year int, mint string) ([]Issue, error) {
	c, ok := b.country(country)
	if !ok {
		return nil, notFound("country", "The coin book has no country “"+quoteable(country)+"”. It knows "+b.countryList()+".")
	}
	d, ok := b.Denomination(country, denomination)
	if !ok {
		return nil, notFound("denomination", "The coin book has no denomination “"+quoteable(denomination)+"” ("+c.Name+"). It knows "+b.denominationList(country)+".")
	}
	ofYear := b.Issues(country, denomination)
	if year != 0 {
		ofYear = slices.Clone(ofYear)
		ofYear = slices.DeleteFunc(ofYear, func(i Issue) bool { return !i.Struck(year) })
	}
	if len(ofYear) == 0 {
		return nil, notFound("year", "The coin book has no "+d.Name+" of "+strconv.Itoa(year)+" ("+c.Name+"). It has "+
			d.Plural+" of "+yearList(Years(b.Issues(country, denomination)))+". Check the year, or leave it out.")
	}
	mint = strings.ToUpper(strings.TrimSpace(mint))
	if mint == "" || mint == "?" {
		return ofYear, nil
	}
	var found []Issue
	for _, i := range ofYear {
		if i.carries(year, mint, c.Unmarked) {
			found = append(found, i)
		}
	}
	if len(found) == 0 {
		return nil, notFound("mint", noMintSentence(d, year, mint, ofYear))
	}
	return found, nil
}

// carries reports whether a coin of the issue and year can show the mark.
// unmarked is the letter of the mint whose coins long had none.
func (i Issue) carries(year int, mint, unmarked string) bool {
	for _, s := range i.Spans {
		switch {
		case year != 0 && !s.Holds(year):
		case s.Mints == nil, slices.Contains(s.Mints, mint):
			return true
		case mint == NoMark && s.MarkLost:
			return true
		case mint == unmarked && slices.Contains(s.Mints, NoMark):
			return true
		}
	}
	return false
}

func noMintSentence(d Denomination, year int, mint string, issues []Issue) string {
	var marks []string
	for _, i := range issues {
		marks = merge(marks, i.Mints(year))
	}
	of := "No " + d.Name
	those := "The " + d.Plural + " in the book"
	if year != 0 {
		of += " of " + strconv.Itoa(year)
		those = "Those of that year"
	}
	if mint == NoMark {
		return of + " is without a mint mark. " + those + " carry " + markList(marks) + ". Look for the mark again, or leave it out. One that truly lacks it may be false or from a filled die: ask an expert."
	}
	return of + " was struck with the mint mark " + quoteable(mint) + ". " + those + " carry " + markList(marks) + ". Check the mint mark, or leave it out."
}

// Years are the runs of years in which any of the issues was struck, merged
// and in order.
func Years(issues []Issue) []Span {
	var all []Span
	for _, i := range issues {
		for _, s := range i.Spans {
			all = append(all, Span{First: s.First, Last: s.Last, Open: s.Open})
		}
	}
	stable.Sort(all, func(a, b Span) int { return a.First - b.First })
	var out []Span
	for _, s := range all {
		if n := len(out); n > 0 && s.First <= out[n-1].Last+1 {
			out[n-1].Last = max(out[n-1].Last, s.Last)
			out[n-1].Open = out[n-1].Open || s.Open
			continue
		}
		out = append(out, s)
	}
	return out
}

func (b *Book) country(id string) (Country, bool) {
	for _, c := range b.countries {
		if c.ID == id {
			return c, true
		}
	}
	return Country{}, false
}

func (b *Book) countryList() string {
	var s []string
	for _, c := range b.countries {
		s = append(s, c.ID+" ("+c.Name+")")
	}
	return list(s, "and")
}

func (b *Book) denominationList(country string) string {
	var s []string
	for _, d := range b.Denominations(country) {
		s = append(s, d.ID)
	}
	return list(s, "and")
}

func yearList(spans []Span) string {
	var s []string
	for _, y := range spans {
		run := strconv.Itoa(y.First)
		if y.Last > y.First {
			run += "–" + strconv.Itoa(y.Last)
		}
		s = append(s, run)
	}
	return list(s, "and")
}

func markList(marks []string) string {
	var s []string
	for _, m := range marks {
		if m == NoMark {
			m = "no mark"
		}
		s = append(s, m)
	}
	return list(s, "or")
}

// list joins as people write: “a, b and c”.
func list(s []string, and string) string {
	if len(s) < 2 {
		return strings.Join(s, "")
	}
	n := len(s) - 1
	return strings.Join(s[:n], ", ") + " " + and + " " + s[n]
}

// quoteable cuts what a person typed so that it can stand in a sentence.
func quoteable(s string) string {
	const limit = 24
	s = strings.ToValidUTF8(s, "?")
	if r := []rune(s); len(r) > limit {
		s = string(r[:limit]) + "…"
	}
	return s
}
