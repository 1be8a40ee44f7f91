package coin

import "slices"

// Dates are the years of a denomination as a person picks them at the table:
// in order, each run with the marks that its coins may show, all issues
// together. A run's Mints include NoMark where coins without their mark are
// known, and are nil where the catalogue doesn't know the marks.
func (b *Book) Dates(country, denomination string) []Span {
	issues := b.Issues(country, denomination)
	var out []Span
	for _, run := range Years(issues) {
		for year := run.First; year <= run.Last; year++ {
			next := Span{First: year, Last: year, Open: run.Open && year == run.Last, Mints: marksOf(issues, year)}
			if n := len(out); n > 0 && out[n-1].Last == year-1 && slices.Equal(out[n-1].Mints, next.Mints) {
				out[n-1].Last, out[n-1].Open = year, next.Open
				continue
			}
			out = append(out, next)
		}
	}
	return out
}

// marksOf joins the marks of a year; nil if those of one issue aren't known.
func marksOf(issues []Issue, year int) []string {
	var marks []string
	for _, i := range issues {
		s, ok := i.spanOf(year)
		switch {
		case !ok:
			continue
		case s.Mints == nil:
			return nil
		}
		marks = merge(marks, s.Mints)
		if s.MarkLost {
			marks = merge(marks, []string{NoMark})
		}
	}
	return marks
}
