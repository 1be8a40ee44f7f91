package verdict

import "strings"

// Metal is the one that a verdict names, in one or two words.
type Metal struct {
	ID   string `json:"id"`   // of the alloy, or family of alloys; the same in every language
	Name string `json:"name"` // “bronze”, “90% silver”
}

// settledMetal is the metal that the verdict's claim settles on, nil where it
// leaves several open or names none. What is counted as its likeliest alloy is of
// that one, where the alloy is as likely as that.
func (w *weighing) settledMetal(v *Verdict, p *posterior) *Metal {
	id := v.Claim.Alloy
	if v.CountAs.Noted && p.chance[p.order[0]] >= mostly {
		id = w.families[p.order[0]].id
	}
	if id == "" || strings.Contains(id, "+") {
		return nil
	}
	for f := range w.families {
		if w.families[f].id == id {
			return &Metal{id, w.shortMetal(f)}
		}
	}
	return nil
}
