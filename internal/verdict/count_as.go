package verdict

import "panside/internal/say"

// CountAs is what a hands-free sitting does with a coin, where nobody looks at
// the screen: as what it is counted, and whether it is set aside for the eye.
type CountAs struct {
	// Name of the kind that is counted, in the singular with a capital: “Bronze”,
	// “Half dollar, clad or 40% silver”. Empty for a coin to look at and for one
	// that the scale can't tell, which are counted by their call.
	Name string `json:"name"`
	// SetAside for a look with the eye.
	SetAside bool `json:"aside"`
	// Noted: counted as the likeliest alloy, though one remains that weight
	// doesn't tell from it.
	Noted bool `json:"noted"`
	// Keeper: it goes to the pile of what the hunter wants.
	Keeper bool `json:"keeper,omitempty"`
	// Current: the alloy is one that the denomination is struck of now.
	Current bool `json:"current"`
	// Again: not to be counted, since two coins lie there most likely; each is to
	// be weighed alone.
	Again bool `json:"again,omitempty"`
}

// Common practice: a jar holds so many coins of the usual alloy that nobody
// stops at each for the one in ten that might be of another and weighs the
// same, while an alloy of a few years, such as that of a war, is worth a look
// at the date wherever it turns up.
const (
	// mostly is how likely an alloy must be for its coins to be counted as it,
	// with a rival that weight doesn't tell apart.
	mostly = 0.9
	// fewYears is for how many years at most an alloy was struck that is laid
	// aside when no year is given.
	fewYears = 4
)

// countAs says how the verdict's coin is counted: by what a doubt is called where no
// alloy is likely enough to count as it.
func (w *weighing) countAs(x *wording, v *Verdict, p *posterior) {
	v.CountAs = w.counted(x, v, p)
	if !x.counted.None() {
		v.CountAs.Name = w.capital(x.counted)
	}
}

func (w *weighing) counted(x *wording, v *Verdict, p *posterior) CountAs {
	likely := len(p.order) > 0 && p.chance[p.order[0]] >= mostly && w.families[p.order[0]].regular
	switch {
	case v.CountAs.Again:
		return CountAs{Again: true}
	case v.Call == Look:
		return CountAs{SetAside: true}
	case v.Call == CannotTell:
		return CountAs{}
	case v.Call == Either && w.byEye(p):
		x.counted = x.called
		return CountAs{Noted: true}
	case v.Call == Either && !likely || len(p.order) == 0:
		x.counted = x.called
		return CountAs{SetAside: true}
	}
	f := p.order[0]
	x.counted = say.New("metal", say.Noun("metal", w.metal(f).forms))
	t := CountAs{Noted: v.Call == Either, Current: w.families[f].current}
	if n := w.families[f].struck; v.Call == Ordinary && w.year == 0 && !t.Current {
		t.SetAside = 0 < n && n <= fewYears
	}
	return t
}
