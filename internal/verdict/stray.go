package verdict

// Strays are coins that lie under the wrong key or come from abroad.

// leftDate is how often the date that was given is that of another coin. Assumed.
const leftDate = 0.08

// strayShare is the share of a stray within its kind, given the date that was
// read. Without one it is its chance of turning up. A date speaks for strays of
// that year and against all others: a coin of 1985 is no two-cent piece of the
// euro, struck from 1999 on. With the chance r of a misread date and its reach R,
//
//	share = P(s) · P(date | s) / P(date | own coins)
//	P(date | s) = ((1 − r)·[struck in that year] + r/(2R)·years struck nearby) / years of s
//
// each year weighed by how likely its coins are to turn up, which cancels between
// coins of the same year. A small share of dates isn't the coin's at all but was
// left standing from the coin before.
func (w *weighing) strayShare(s *alternative) float64 {
	if w.year == 0 {
		return s.weight
	}
	wrong := misread(w.q.Evidence.Date, misreadDate)
	near := s.years.between(w.year-misreadReach, w.year+misreadReach)
	fits := 0.0
	if s.years.has(w.year) {
		near--
		fits = 1 - wrong
	}
	return s.aYear*(fits+misdated(wrong, near, 0))/w.ownTotal + leftDate*s.weight
}

// strayYears works out each stray's share of its kind per year of its own, in the
// unit of the own issues' weights for a year: see strayShare.
func (c *compiler) strayYears() {
	total := 0.0
	for i := range c.issues {
		total += c.issues[i].weight
	}
	for i := range c.alternatives {
		if s := &c.alternatives[i]; s.free {
			s.aYear = s.weight * total / s.years.weight()
		}
	}
}
