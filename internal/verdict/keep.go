package verdict

import (
	"math"
	"strings"

	"panside/internal/coin"
)

// Keeper is the call of a regular coin of something that the hunter wants. It says
// no more of the metal than Ordinary would: the weight must be decisive for it, or
// leave nothing but what is wanted.
const Keeper Call = "keeper"

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
	likely, sound := w.openTo(v.Call, p)
	var metals []string // of the likely ones, those wanted
	why := ""
	for _, f := range likely {
		wanted := false
		for i := range w.q.Keep {
			if k := &w.q.Keep[i]; w.takes(k, f) {
				wanted = true
				if note(&v.Wanted, k) && !k.ByMetal() {
					why += ", " + k.Name
				}
			}
		}
		if wanted {
			metals = append(metals, w.shortMetal(f))
		}
	}
	if sound {
		w.couldKeep(v, likely)
	}
	line := ""
	switch {
	case sound && len(metals) == len(likely):
		if v.Call != Ordinary {
			v.Claim.Alloy = w.familyIDs(remaining(p))
			if v.CountAs.Name == "" {
				v.CountAs.Name = capital(metalList(w.choices(p)))
			}
			v.Headline = v.CountAs.Name
			if !strings.Contains(v.Headline, w.noun) {
				v.Headline += " " + w.noun
			}
			v.Headline += "."
			v.Spoken = v.Headline
		}
		line = " Keep it"
		if why != "" {
			line += ": " + why[2:]
		}
		v.Call, v.Claim.Call = Keeper, Keeper
		v.CountAs.Keeper, v.CountAs.SetAside, v.CountAs.Noted = true, false, false
	case v.Call == Either && len(metals) == 1 && w.unless != "" && metals[0] == w.shortMetal(w.seenOn):
		for _, s := range []*string{&v.Headline, &v.Spoken} {
			*s, _, _ = strings.Cut(strings.TrimRight(strings.Replace(*s, untold, "?", 1), ".?"), " – unless ")
			*s += "."
		}
		line = " Keep it if " + w.unless
	case v.Call == Either && len(metals) > 0:
		v.Headline = strings.Replace(v.Headline, untold, "?", 1)
		line = " Keep it if it’s " + w.short(metals, p) // what to see stands before it
	default:
		v.Wanted = v.Wanted[:0]
		if line = w.perhaps(likely[0]); line == "" || v.Call != Ordinary {
			return
		}
	}
	v.Headline += line + "."
	v.Spoken += line + "."
}

// short joins the metals wanted, “silver” for all those of silver that remain.
func (w *weighing) short(metals []string, p *posterior) string {
	metal, _ := fineness(metals)
	if metal == "" || len(metals) < 2 {
		return metalList(metals)
	}
	of := 0
	for _, name := range w.choices(p) {
		if strings.HasSuffix(name, "% "+metal) {
			of++
		}
	}
	if of > len(metals) {
		return metalList(metals)
	}
	return metal
}

// perhaps asks for what of a dated coin isn't read yet, its mark or its design, where
// the list has one of them; empty if it hasn't.
func (w *weighing) perhaps(f int) (line string) {
	for i := range w.q.Keep {
		k := &w.q.Keep[i]
		if w.year == 0 || w.taken(k, f) == 0 {
			continue
		}
		if line == "" {
			line = " Keep it if it’s one of these: " + k.Name
		} else {
			line += ", " + k.Name
		}
	}
	return line
}

// note adds a want that isn't listed yet.
func note(list *[]Wanted, k *coin.Want) bool {
	for _, o := range *list {
		if o.ID == k.ID {
			return false
		}
	}
	*list = append(*list, Wanted{k.ID, k.Name})
	return true
}

// openTo are the families that the coin may be of by the call; sound, that they leave
// no room for others, nor for coins that aren't regular ones of the denomination.
func (w *weighing) openTo(c Call, p *posterior) (families []int, sound bool) {
	if c == Ordinary {
		return p.order[:1], true // it was asked for already
	}
	families = append(p.order[:1:1], p.rivals...)
	all := 0.0
	for _, f := range families {
		all += p.regular[f]
	}
	return families, all >= DecisiveOdds*(1-all)
}

// couldKeep lists the book's wants beside the list that take every likely family.
func (w *weighing) couldKeep(v *Verdict, likely []int) {
	for i := range w.wants {
		k := &w.wants[i]
		could := true
		for n := range w.q.Keep {
			could = could && w.q.Keep[n].ID != k.ID
		}
		for _, f := range likely {
			could = could && w.takes(k, f)
		}
		if could {
			note(&v.CouldKeep, k)
		}
	}
}

// takes reports whether a want takes the coin if it is of the family.
func (w *weighing) takes(k *coin.Want, f int) bool { return w.taken(k, f) >= sure }

// taken is the share that a want takes of the family's issues of that date and mark,
// weighed as they fit.
func (w *weighing) taken(k *coin.Want, f int) float64 {
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
	return taken / math.Max(all, 1e-300)
}

// part is the share of an issue's coins, of those that date and mark allow, that a
// condition takes. Without a date its years count by how likely their coins are to
// turn up, and without a mark each of a year's marks alike, which is assumed.
func (w *weighing) part(t *coin.Take, i int) float64 {
	k := &w.issues[i]
	if !t.Piece(&k.Issue, &w.blanks[k.blank].alloy) {
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
	if w.mint != "" {
		return w.hasMark(t, w.mint)
	}
	sum := 0.0
	for _, m := range s.Mints {
		sum += w.hasMark(t, m)
	}
	return sum / math.Max(float64(len(s.Mints)), 1)
}

// hasMark is 1 for a mark of the condition's, else 0. Philadelphia’s letter stands for
// its coins without a mark too, but where the letter is on coins of that year.
func (w *weighing) hasMark(t *coin.Take, mark string) float64 {
	bare := func(m string) bool { return m == coin.NoMark || m == w.unmarked }
	for _, m := range t.Mints {
		if m == mark || w.unmarked != "" && bare(m) && bare(mark) && !w.printed(w.year, w.unmarked) {
			return 1
		}
	}
	return 0
}
