package look

import (
	"panside/internal/say"
	"slices"
	"strings"
)

// Left is what a verdict leaves of a coin, as far as a sheet follows it. The zero
// value is for a coin without a verdict: its sheet goes by the hint alone.
type Left struct {
	Judged bool
	// Alloys are the families that the coin can be of; none if that isn't told.
	Alloys []string
	// Years in which the issues that remain were struck, as “1909–1942” or “1982–”;
	// none where the year is known, or all remain.
	Years []string
	// Explanations of the weight, likeliest first.
	Explanations []Explanation

	spans []span
}

// Explanation is one thing that would explain the weight.
type Explanation struct {
	Kind string `json:"kind"` // one of Explanations
	Name string `json:"name"`
	// Planchet is the id of that which the coin would be struck on, if another.
	Planchet string `json:"planchet,omitempty"`
}

// mintErrors are the explanations that the mint is the cause of. Where the weight
// speaks for none of those that a look-for bears out, it rules the look-for out.
var mintErrors = []string{"wrong-planchet", "transitional-alloy", "wrong-stock", "missing-layer", "double-denomination"}

// has reports whether the coin can be one that the fact is about: by its alloys, else
// by its years.
func (l *Left) has(f *Fact) bool {
	if len(f.Alloys) > 0 {
		return len(l.Alloys) == 0 || meets(f.Alloys, l.Alloys)
	}
	if len(l.spans) == 0 || len(f.spans) == 0 {
		return true
	}
	for _, s := range f.spans {
		for _, y := range l.spans {
			if s.first <= y.last && y.first <= s.last {
				return true
			}
		}
	}
	return false
}

// borneOut is the place of the first explanation that a fact would bear out, which is
// shown by some kinds of them; −1 for none.
func (l *Left) borneOut(f *Fact, by []string) int {
	for i := range l.Explanations {
		e := &l.Explanations[i]
		if slices.Contains(by, e.Kind) && (len(f.Planchets) == 0 || slices.Contains(f.Planchets, e.Planchet)) {
			return i
		}
	}
	return -1
}

// strange reports whether the weight may be that of a planchet which the coin book lacks,
// for a fact that is shown by wrong planchets of any sort.
func (l *Left) strange(f *Fact, by []string) bool {
	return len(f.Planchets) == 0 && slices.Contains(by, "wrong-planchet") && l.borneOut(f, unknown) >= 0
}

var unknown = []string{"unknown"}

// mintMade reports whether all of these explanations are errors of the mint.
func mintMade(by []string) bool {
	for _, kind := range by {
		if !slices.Contains(mintErrors, kind) {
			return false
		}
	}
	return true
}

// weigh tells whether hint and verdict leave the fact on the sheet, and the place of the
// explanation that it would bear out, −1 for none.
func (l *Left) weigh(f *Fact, k *Kind, hint Hint) (stays bool, place int) {
	ruledOut, explains, by := k.RuledOut, k.Explains, k.Explanations
	if f.RuledOut != nil {
		ruledOut = *f.RuledOut
	}
	if f.Explains != nil {
		explains = *f.Explains
	}
	if f.Explanations != nil {
		by = f.Explanations
	}
	stays, place = !slices.Contains(ruledOut, hint), -1
	may := slices.Contains(explains, hint)
	if !l.Judged {
		if may {
			place = 0
		}
		return stays, place
	}
	errorOnly := len(explains) > 0 && mintMade(by)
	switch {
	case !l.has(f):
		return false, place
	case may:
		place = l.borneOut(f, by)
		return place >= 0 || !errorOnly || l.strange(f, by), place
	case len(f.Alloys) > 0 && len(l.Alloys) > 0:
		return true, place // what is left speaks of this coin, the hint of its issue only
	}
	return stays && !(errorOnly && hint == Regular), place
}

// called is the name of a look-for: a general one says which planchet the weight speaks
// for.
func (b *Book) called(l *Left, name string, scope Scope, place int) string {
	if !l.Judged || scope != OfAny || place < 0 {
		return name
	}
	if e := &l.Explanations[place]; e.Planchet != "" && !strings.Contains(name, e.Name) {
		return b.write(say.New("entry-of", say.Text("name", name), say.Text("explanation", e.Name)))
	}
	return name
}

// The least and the most look-fors that a sheet begins with.
const (
	firstAtLeast = 5
	firstAtMost  = 8
)

// markFirst marks those to begin with: what bears out an explanation and what is told
// of the date, five at least and eight at most.
func markFirst(sheet []LookFor) {
	n := 0
	for n < len(sheet) && (sheet[n].ExplainsWeight || sheet[n].Scope == OfDate && sheet[n].Rarity != "normal") {
		n++
	}
	for i := range sheet[:min(max(n, firstAtLeast), firstAtMost, len(sheet))] {
		sheet[i].First = true
	}
}
