package verdict

import (
	"slices"
	"strings"

	"panside/internal/coin"
)

// Keeper is the call of a regular coin of something that the hunter wants. It says
// no more of the metal than Ordinary would: the weight must be decisive for it, or
// leave nothing but what is wanted.
const Keeper Call = "keeper"

// Regular reports whether the call is that of a regular coin of a sure metal, wanted
// or not.
func (c Call) Regular() bool { return c == Ordinary || c == Keeper }

// Wanted names something of the hunter's list or of the book.
type Wanted struct {
	ID   string `json:"id"`
	Name string `json:"name"`
}

// Keeping is what a verdict says of the hunter's list.
type Keeping struct {
	// Wanted is what of the list the coin is; where the call is Either, what it may be.
	Wanted []Wanted `json:"wanted"`
	// CouldKeep are the book's wants that the coin is of and the list hasn't got.
	CouldKeep []Wanted `json:"could_keep"`
}

// sure is the share of a metal's regular coins that a want must take before a coin of
// that metal is one of it: DecisiveOdds as a probability.
const sure = float64(DecisiveOdds) / (DecisiveOdds + 1)

// keep makes a keeper of a regular coin that is wanted, and says what else of it
// hunters keep. It comes after the words, since it adds to them.
func (w *weighing) keep(v *Verdict, best int, p *posterior) {
	v.Wanted, v.CouldKeep = []Wanted{}, []Wanted{}
	if v.Call == Look || len(p.order) == 0 || w.contradiction(best) != "" {
		return
	}
	likely := w.likely(v.Call, p)
	var metals []int // of those likely, the wanted ones
	var kept []*coin.Want
	for _, f := range likely {
		of := len(kept)
		for i := range w.q.Keep {
			if k := &w.q.Keep[i]; w.takes(k, f) {
				kept = append(kept, k)
			}
		}
		if len(kept) > of {
			metals = append(metals, f)
		}
	}
	all := len(metals) == len(likely) && w.soundly(v.Call, p, likely)
	if all || v.Call == Either {
		for _, k := range kept {
			if !slices.ContainsFunc(v.Wanted, func(o Wanted) bool { return o.ID == k.ID }) {
				v.Wanted = append(v.Wanted, Wanted{k.ID, k.Name})
			}
		}
	}
	if w.soundly(v.Call, p, likely) {
		v.CouldKeep = w.couldKeep(likely)
	}
	switch {
	case all:
		w.keeper(v, p, kept)
	case v.Call == Either && len(metals) > 0:
		w.maybeKeeper(v, p, metals)
	}
}

// likely are the families that the coin may be of by the call.
func (w *weighing) likely(c Call, p *posterior) []int {
	if c == Ordinary {
		return p.order[:1]
	}
	return append(p.order[:1:1], p.rivals...)
}

// soundly reports whether the families leave no room for others, nor for coins that
// aren't regular ones of the denomination.
func (w *weighing) soundly(c Call, p *posterior, families []int) bool {
	if c == Ordinary {
		return true // it was asked for already
	}
	all := 0.0
	for _, f := range families {
		if p.regular[f] < p.chance[f]/2 || w.misfits(f) {
			return false
		}
		all += p.chance[f]
	}
	return all >= DecisiveOdds*(1-all)
}

// couldKeep are the book's wants beside the list that take every likely family.
func (w *weighing) couldKeep(likely []int) []Wanted {
	could := []Wanted{}
	for i := range w.wants {
		k := &w.wants[i]
		if !slices.ContainsFunc(w.q.Keep, func(o coin.Want) bool { return o.ID == k.ID }) &&
			!slices.ContainsFunc(likely, func(f int) bool { return !w.takes(k, f) }) {
			could = append(could, Wanted{k.ID, k.Name})
		}
	}
	return could
}

// takes reports whether a want takes the coin if it is of the family and was read
// rightly: the share that it takes of the family's issues of that date and mark,
// weighed as they fit, is sure.
func (w *weighing) takes(k *coin.Want, f int) bool {
	var taken, all float64
	for i := range w.own {
		x := w.own[i].weight * w.own[i].ordinary
		if x == 0 || !w.own[i].fits || w.blanks[w.issues[i].blank].family != f {
			continue
		}
		all += x
		// The best of its conditions counts: two of them may be about the same coins.
		part := 0.0
		for n := range k.Takes {
			part = max(part, w.part(&k.Takes[n], i))
		}
		taken += x * part
	}
	return all > 0 && taken >= sure*all
}

// part is the share of an issue's coins, of those that date and mark allow, that a
// condition takes. Without a date its years count by how likely their coins are to
// turn up, and without a mark each of a year's marks alike, which is assumed.
func (w *weighing) part(t *coin.Take, i int) float64 {
	k := &w.issues[i]
	if !t.Piece(w.book, &k.Issue) {
		return 0
	}
	if len(t.Years)+len(t.Mints) == 0 {
		return 1
	}
	var taken, all float64
	for n := range k.Spans {
		s := &k.Spans[n]
		if !carries(s, w.mint, w.unmarked) {
			continue
		}
		marks := w.marks(t, s)
		last := s.Last
		if s.Open {
			last = max(last, asOf, w.year)
		}
		for y := s.First; y <= last; y++ {
			if w.year != 0 && y != w.year || y >= firstYear+yearCount {
				continue
			}
			all += turnUp[y-firstYear]
			if t.InYear(y) {
				taken += marks * turnUp[y-firstYear]
			}
		}
	}
	if all == 0 {
		return 0
	}
	return taken / all
}

// marks is the share of a span's coins with one of the condition's marks.
func (w *weighing) marks(t *coin.Take, s *coin.Span) float64 {
	if len(t.Mints) == 0 {
		return 1
	}
	among := func(mark string) bool {
		// Philadelphia’s letter stands for its coins without a mark too, but where
		// the letter is on coins of that year.
		philadelphia := func(m string) bool { return w.unmarked != "" && (m == w.unmarked || m == coin.NoMark) }
		return slices.ContainsFunc(t.Mints, func(m string) bool {
			return m == mark || philadelphia(m) && philadelphia(mark) && !w.printed(w.unmarked)
		})
	}
	n := 0
	for _, m := range s.Mints {
		if among(m) {
			n++
		}
	}
	switch {
	case w.mint != "" && among(w.mint):
		return 1
	case w.mint != "" || n == 0:
		return 0
	}
	return float64(n) / float64(len(s.Mints))
}

// keeper turns the verdict into one: what it is, and where it goes.
func (w *weighing) keeper(v *Verdict, p *posterior, kept []*coin.Want) {
	if v.Call != Ordinary {
		v.Claim.Alloy = w.familyIDs(remaining(p))
		v.Headline = w.either(p)
		v.Spoken = v.Headline
		v.CountAs.Name = strings.TrimSuffix(v.Headline, ".")
	}
	why := ""
	for _, k := range v.Wanted {
		for _, o := range kept {
			if o.ID == k.ID && !o.ByMetal() && !strings.Contains(why, k.Name) {
				why += ", " + k.Name
				break
			}
		}
	}
	line := " Keep it."
	if why != "" {
		line = " Keep it: " + why[2:] + "."
	}
	v.Headline += line
	v.Spoken += line
	v.Call, v.Claim.Call = Keeper, Keeper
	v.CountAs.Keeper, v.CountAs.SetAside, v.CountAs.Noted = true, false, false
}

// either names a coin by the metals that remain: “Silver ten-cent piece, 80 % or 50 %.”
func (w *weighing) either(p *posterior) string {
	names := w.choices(p)
	if len(names) == 1 {
		name, _ := w.metal(p.order[0])
		line, _ := w.coinOf(name)
		return line
	}
	if metal, rest := fineness(names); metal != "" {
		return capital(metal) + " " + w.noun + ", " + rest + "."
	}
	return capital(orList(names)) + " " + w.noun + "."
}

// maybeKeeper says of which metals an undecided coin would be kept; what to see
// stands before it.
func (w *weighing) maybeKeeper(v *Verdict, p *posterior, metals []int) {
	var names []string
	for _, f := range metals {
		names = append(names, w.shortMetal(f))
	}
	of := orList(names)
	if metal, rest := fineness(names); metal != "" {
		of = rest + " " + metal
	}
	line := " Keep it if it’s " + of + "."
	v.Headline += line
	v.Spoken += line
}
