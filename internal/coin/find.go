package coin

import (
	"slices"
	"strconv"
	"strings"

	"panside/internal/fault"
	"panside/internal/say"
	"panside/internal/stable"
)

func notFound(field string, why say.Line) error {
	return fault.InField(field, fault.NoSuchIssue, why)
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
		return nil, notFound("country", say.New("find-country", say.Text("given", quoteable(country)), say.List("known", say.And, b.countryList()...)))
	}
	d, ok := b.Denomination(country, denomination)
	if !ok {
		return nil, notFound("denomination", say.New("find-denomination", say.Text("given", quoteable(denomination)), say.Text("country", c.Name), say.List("known", say.And, b.denominationList(country)...)))
	}
	ofYear := b.Issues(country, denomination)
	if year != 0 {
		ofYear = slices.Clone(ofYear)
		ofYear = slices.DeleteFunc(ofYear, func(i Issue) bool { return !i.Struck(year) })
	}
	if len(ofYear) == 0 {
		return nil, notFound("year", say.New("find-year", say.Noun("coin", d.Forms()), say.Text("year", strconv.Itoa(year)), say.Text("country", c.Name),
			say.List("years", say.And, yearList(Years(b.Issues(country, denomination)))...)))
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
		return nil, notFound("mint", noMint(d, year, mint, ofYear))
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

func noMint(d Denomination, year int, mint string, issues []Issue) say.Line {
	var marks []string
	for _, i := range issues {
		marks = merge(marks, i.Mints(year))
	}
	known := markList(marks)
	switch of := strconv.Itoa(year); {
	case mint == NoMark && year != 0:
		return say.New("find-no-mark-of-year", say.Noun("coin", d.Forms()), say.Text("year", of), say.List("marks", say.Or, known...))
	case mint == NoMark:
		return say.New("find-no-mark", say.Noun("coin", d.Forms()), say.List("marks", say.Or, known...))
	case year != 0:
		return say.New("find-mark-of-year", say.Noun("coin", d.Forms()), say.Text("year", of), say.Text("mark", quoteable(mint)), say.List("marks", say.Or, known...))
	}
	return say.New("find-mark", say.Noun("coin", d.Forms()), say.Text("mark", quoteable(mint)), say.List("marks", say.Or, known...))
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

func (b *Book) countryList() (s []say.Arg) {
	for _, c := range b.countries {
		s = append(s, say.Text("", c.ID+" ("+c.Name+")"))
	}
	return s
}

func (b *Book) denominationList(country string) (s []say.Arg) {
	for _, d := range b.Denominations(country) {
		s = append(s, say.Text("", d.ID))
	}
	return s
}

func yearList(spans []Span) (s []say.Arg) {
	for _, y := range spans {
		run := strconv.Itoa(y.First)
		if y.Last > y.First {
			run += "–" + strconv.Itoa(y.Last)
		}
		s = append(s, say.Text("", run))
	}
	return s
}

func markList(marks []string) (s []say.Arg) {
	for _, m := range marks {
		if m == NoMark {
			s = append(s, say.Of("", say.New("find-unmarked")))
			continue
		}
		s = append(s, say.Text("", m))
	}
	return s
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
