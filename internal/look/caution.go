package look

import "slices"

// Caution is a warning that belongs beside what a sheet or the key proposes.
type Caution struct {
	ID   string `json:"id"`
	Text string `json:"text"`
	Sure string `json:"sure"`
	// Source is the title of the text it was read in; told as a part of Sure.
	Source string `json:"source,omitempty"`
	// When holds: tools, kinds, denominations, or "always". One match is enough.
	When []string `json:"when"`
}

// Cautions lists the warnings for a sheet of q, in the order of the data.
func (b *Book) Cautions(q Query, sheet []LookFor) []Caution {
	out := []Caution{}
	for _, c := range b.cautions {
		if slices.Contains(c.When, "always") || slices.Contains(c.When, q.Country+"/"+q.Denomination) ||
			slices.ContainsFunc(sheet, func(l LookFor) bool {
				return slices.Contains(c.When, l.With) || slices.Contains(c.When, l.Kind)
			}) {
			c.Sure, c.Source = b.sureness(c.Sure, c.Source), ""
			out = append(out, c)
		}
	}
	return out
}

func (b *Book) checkCautions(bad func(where, what string)) {
	for _, c := range b.cautions {
		at := "caution " + c.ID
		if c.ID == "" || c.Text == "" || c.Sure == "" || len(c.When) == 0 {
			bad(at, "needs id, text, sure and when")
		}
		if problem := knownSureness(c.Sure, c.Source); problem != "" {
			bad(at, problem)
		}
		for _, w := range c.When {
			_, denomination := b.denominations[w]
			if _, kind := b.kinds[w]; !kind && !denomination && w != "always" && !slices.Contains(tools, w) {
				bad(at, "when “"+w+"” is no tool, kind or denomination")
			}
		}
	}
}
