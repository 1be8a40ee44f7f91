package look

import (
	"errors"
	"slices"
	"strconv"
	"strings"
)

// FixedKinds are the kinds other programs may rely on.
var FixedKinds = []string{
	"doubled-die", "repunched-mint-mark", "over-mint-mark", "repunched-date", "overdate",
	"missing-mint-mark", "mint-mark-style", "date-style", "lettering-style", "design-type",
	"missing-designer-initials", "die-clash", "die-chip", "die-break", "cud", "retained-break",
	"shattered-die", "die-gouge", "dropped-letter", "filled-die", "struck-through",
	"double-denomination", "wrong-planchet", "wrong-thickness", "transitional-alloy",
	"missing-clad-layer", "lamination", "split-planchet", "clipped-planchet", "blank-planchet",
	"planchet-crack", "gas-bubble", "metal-streaks", "bad-annealing", "off-centre", "misaligned-die",
	"broadstrike", "partial-collar", "weak-strike", "multiple-strike", "brockage", "die-cap", "indent",
	"rotated-dies", "mule", "edge-error", "bimetal-error", "low-mintage", "proof-in-circulation",
	"strike-doubling", "worn-die-doubling", "wavy-steps", "damage", "counting-machine-damage",
	"dryer-coin", "road-damage", "environmental-damage", "plating-blister", "altered", "counterfeit",
}

// The words a field may hold.
var (
	sides    = []string{"obverse", "reverse", "either side", "both sides", "edge", "whole coin"}
	rarities = []string{"normal", "common", "uncommon", "scarce", "rare", "very rare"}
	hints    = []Hint{Light, Heavy, Regular}
)

// Check holds the book to its rules: the kinds are the fixed ones, every
// look-for has all its words, and the key can be walked. The error names every
// entry that is wrong, for the one who writes the data.
func (b *Book) Check() error {
	var errs []error
	bad := func(where, what string) { errs = append(errs, errors.New(where+": "+what)) }

	if !slices.Equal(slices.Sorted(slices.Values(b.kindOrder)), slices.Sorted(slices.Values(FixedKinds))) {
		bad("kinds", "the kinds are not the fixed ones, each once")
	}
	for _, k := range b.kinds {
		at := "kind " + k.ID
		k.words.complete(at, bad)
		if k.Name == "" {
			bad(at, "has no name")
		}
		known(at, k.Explains, bad)
		known(at, k.RuledOut, bad)
		explanations(at, k.Explanations, bad)
		if len(k.Explains) > 0 && len(k.Explanations) == 0 {
			bad(at, "explains a weight, but no explanation of a verdict is named for it")
		}
	}
	for i := range b.general {
		b.checkFact("any entry "+b.general[i].ID, &b.general[i], bad)
	}
	for id, read := range b.denominations {
		d, err := read()
		if err != nil {
			bad(id, err.Error())
			continue
		}
		for i := range d.Types {
			b.checkFact(d.at("types", &d.Types[i]), &d.Types[i], bad)
		}
		for i := range d.Dates {
			f := &d.Dates[i]
			at := d.at("dates", f)
			b.checkFact(at, f, bad)
			if f.Years == "" || f.Name == "" || f.See == "" {
				bad(at, "needs its own years, name and see")
			}
			if n := f.length(); n > longest {
				bad(at, "runs over "+strconv.Itoa(n)+" years, so it is a fact of a type")
			}
		}
	}
	b.checkCautions(bad)
	if key, err := b.key(); err != nil {
		bad("key", err.Error())
	} else {
		key.check(b.kinds, bad)
	}
	return errors.Join(errs...)
}

// at names an entry by the file of its facts, its list and its id.
func (d *denomination) at(list string, f *Fact) string {
	return strings.ToLower(d.Country) + "/" + d.Denomination + ".json " + list + " " + f.ID + " (" + f.Kind + " " + f.Years + ")"
}

// Entry is a fact of a denomination's file.
type Entry struct {
	Country, Denomination string
	At                    string // file, list and id
	Kind                  string
	Mints                 []string
	Runs                  [][2]int // first and last years; to 9999 where there is no end
}

// FactsOf lists what all the denominations' files hold, in no order, for whoever checks
// them against the catalogue. Files that can't be read are left out: Check names those.
// No method of Book, so that the phone's core doesn't carry it.
func FactsOf(b *Book) []Entry {
	var all []Entry
	for _, read := range b.denominations {
		d, err := read()
		if err != nil {
			continue
		}
		for list, facts := range map[string][]Fact{"types": d.Types, "dates": d.Dates} {
			for i := range facts {
				f := &facts[i]
				all = append(all, Entry{d.Country, d.Denomination, d.at(list, f), f.Kind, f.Mints, runs(f.spans)})
			}
		}
	}
	return all
}

func (b *Book) checkFact(at string, f *Fact, bad func(where, what string)) {
	k, ok := b.kinds[f.Kind]
	if !ok {
		bad(at, "unknown kind")
		return
	}
	f.words.or(k.words).complete(at, bad)
	known(at, f.Only, bad)
	explanations(at, f.Explanations, bad)
	if f.Explains != nil {
		known(at, *f.Explains, bad)
	}
	if f.RuledOut != nil {
		known(at, *f.RuledOut, bad)
	}
	for _, m := range f.Mints {
		if !slices.Contains([]string{"-", "P", "D", "S", "W", "O", "CC", "C", "H", "KN"}, m) {
			bad(at, "unknown mint "+m)
		}
	}
	if !validClock(f.Clock) {
		bad(at, "clock must be an hour or two, as 4 or 11-1")
	}
}

// complete reports each word that is missing or not one of the allowed.
func (w words) complete(at string, bad func(where, what string)) {
	for _, f := range []struct{ name, text string }{
		{"where", w.Where}, {"light", w.Light}, {"see", w.See}, {"mimics", w.Mimics},
		{"decides", w.Decides}, {"weight", w.Weight},
	} {
		if f.text == "" {
			bad(at, "no "+f.name)
		}
	}
	if problem := knownSureness(w.Sure, w.Source); problem != "" {
		bad(at, problem)
	}
	if !slices.Contains(sides, w.Side) {
		bad(at, "side is “"+w.Side+"”")
	}
	if !slices.Contains(tools, w.With) {
		bad(at, "with is “"+w.With+"”")
	}
	if !slices.Contains(rarities, w.Rarity) {
		bad(at, "rarity is “"+w.Rarity+"”")
	}
}

// longest is how many years a fact may run over and still be one of dates.
const longest = 12

func (f *Fact) length() int {
	n := 0
	for _, s := range f.spans {
		n += s.last - s.first + 1
	}
	return n
}

func known(at string, list []Hint, bad func(where, what string)) {
	for _, h := range list {
		if !slices.Contains(hints, h) {
			bad(at, "unknown weighing “"+string(h)+"”")
		}
	}
}

func explanations(at string, list []string, bad func(where, what string)) {
	for _, e := range list {
		if !slices.Contains(Explanations, e) {
			bad(at, "unknown explanation “"+e+"”")
		}
	}
}

func validClock(s string) bool {
	if s == "" {
		return true
	}
	hours := 0
	for len(s) > 0 {
		n := 0
		for n < len(s) && s[n] != '-' {
			n++
		}
		h, err := strconv.Atoi(s[:n])
		if err != nil || h < 1 || h > 12 {
			return false
		}
		hours++
		s = s[n:]
		if s != "" {
			s = s[1:]
			if s == "" {
				return false
			}
		}
	}
	return hours <= 2
}
