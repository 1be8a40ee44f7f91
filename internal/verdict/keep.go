package verdict

import (
	"math"

	"panside/internal/coin"
	"panside/internal/say"
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
func (w *weighing) keep(x *wording, v *Verdict, best int, p *posterior) {
	v.Wanted, v.CouldKeep = []Wanted{}, []Wanted{}
	if v.Call == Look || len(p.order) == 0 || w.contradiction(best) != "" {
		return
	}
	likely, sound := w.openTo(v.Call, p)
	var wanted []int // of the likely families
	var why []string
	for _, f := range likely {
		takes := false
		for i := range w.q.Keep {
			if k := &w.q.Keep[i]; w.takes(k, f) {
				takes = true
				if note(&v.Wanted, k) && !k.ByMetal() {
					why = append(why, k.Name)
				}
			}
		}
		if takes {
			wanted = append(wanted, f)
		}
	}
	if sound {
		w.couldKeep(v, likely)
	}
	line := say.Line{}
	switch {
	case sound && len(wanted) == len(likely):
		if v.Call != Ordinary {
			w.bareName(x, v, p)
		}
		line = say.New("keep")
		if why != nil {
			line = say.New("keep-as", say.List("wants", say.Comma, texts(why)...))
		}
		v.Call, v.Claim.Call = Keeper, Keeper
		v.CountAs.Keeper, v.CountAs.SetAside, v.CountAs.Noted = true, false, false
	case v.Call == Either && len(wanted) == 1 && w.unless != "" && wanted[0] == w.seenOn:
		x.headline, x.spoken = x.bare, x.bare
		line = say.New("keep-if-seen", say.Text("sign", w.unless))
	case v.Call == Either && len(wanted) > 0:
		if !x.doubt.None() {
			x.headline = then(x.doubt, x.next)
		}
		line = say.New("keep-if-metal", say.Of("metals", w.wantedMetals(wanted, p))) // what to see stands before it
	default:
		v.Wanted = v.Wanted[:0]
		if line = w.perhaps(likely[0]); v.Call != Ordinary {
			return
		}
	}
	x.headline, x.spoken = then(x.headline, line), then(x.spoken, line)
}

// bareName names a coin whose every metal is wanted, without a doubt.
func (w *weighing) bareName(x *wording, v *Verdict, p *posterior) {
	v.Claim.Alloy = w.familyIDs(remaining(p))
	metals := w.choices(p)
	if v.CountAs.Name == "" {
		v.CountAs.Name = w.capital(listed(metals))
	}
	if x.bare.None() || !x.called.None() && !allFine(metals) {
		x.bare = say.New("bare", say.Of("what", w.metalsOfCoin(metals)))
	}
	x.headline, x.spoken = x.bare, x.bare
}

// wantedMetals joins the metals wanted, “silver” for all those of silver that remain.
func (w *weighing) wantedMetals(wanted []int, p *posterior) say.Line {
	var metals []metal
	for _, f := range wanted {
		metals = append(metals, w.metal(f))
	}
	if len(metals) < 2 || !allFine(metals) {
		return listed(metals)
	}
	of := 0
	for _, m := range w.choices(p) {
		if m.fine > 0 {
			of++
		}
	}
	if of > len(metals) {
		return listed(metals)
	}
	return say.New("silver")
}

// perhaps asks for what of a dated coin isn't read yet, its mark or its design, where
// the list has one of them; nothing if it hasn't.
func (w *weighing) perhaps(f int) say.Line {
	var names []string
	for i := range w.q.Keep {
		if k := &w.q.Keep[i]; w.year != 0 && w.taken(k, f) != 0 {
			names = append(names, k.Name)
		}
	}
	if names == nil {
		return say.Line{}
	}
	return say.New("keep-if-one-of", say.List("wants", say.Comma, texts(names)...))
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
