package verdict

// Inspect is what the verdict leaves to inspect: handed on unchanged it gives the sheet
// of this coin.
type Inspect struct {
	Country      string `json:"country"`
	Denomination string `json:"denomination"`
	Year         int    `json:"year"`
	Mint         string `json:"mint"`
	Hint         Hint   `json:"hint"`
	// Judged tells such a question from one without a verdict.
	Judged bool `json:"judged"`
	// Alloys are the families that the coin can be of; none where that isn't told.
	Alloys []string `json:"alloys"`
	// Years of the issues that remain, as those of an alloy; none where the year was
	// read.
	Years []string `json:"years"`
	// Explanations that would be borne out by what is seen, in the verdict's order.
	Explanations []Inspected `json:"explanations"`
}

// Inspected is one of them.
type Inspected struct {
	Kind     Kind   `json:"kind"`
	Name     string `json:"name"`
	Planchet string `json:"planchet,omitempty"` // its id, where it is of another one
}

const (
	// farBehind: what the weight makes so many times less likely than another
	// explanation doesn't explain it.
	farBehind = 1000
	// possible is how likely a rare metal must make the weight, beside an ordinary
	// coin, to stay on the sheet. Its prior doesn't count: the hunter looks for it.
	possible = 0.05
)

// inspect says what is left of the coin. With an odd weight the verdict's explanations
// are those found, one by one.
func (w *weighing) inspect(v *Verdict, p *posterior, found []draft) Inspect {
	i := Inspect{
		Country: w.q.Country, Denomination: w.q.Denomination, Year: w.year, Mint: w.mint, Hint: v.Hint, Judged: true,
		Explanations: []Inspected{},
	}
	w.left(&i, p)
	if v.Hint != Light && v.Hint != Heavy {
		return i
	}
	likeliest := 0.0
	for _, c := range found {
		likeliest = max(likeliest, c.ratio)
	}
	for n, c := range found {
		if c.kind == TwoCoins || c.ratio*farBehind < likeliest || c.alternative >= 0 && (c.ratio < steerRatio || !w.suits(c.alternative)) {
			continue
		}
		x := Inspected{Kind: c.kind, Name: v.Explanations[n].Name}
		if c.kind == WrongPlanchet || c.kind == DoubleDenomination {
			x.Planchet = w.blanks[w.alternatives[c.alternative].blank].ID
		}
		i.Explanations = append(i.Explanations, x)
	}
	return i
}

// left notes the families that the coin can be of: those that remain, and rare ones
// that explain the weight. A split planchet may have any weight, so it tells no metal.
func (w *weighing) left(i *Inspect, p *posterior) {
	i.Alloys, i.Years = []string{}, []string{}
	remains := make([]bool, len(w.families))
	for k := range w.alternatives {
		if s := &w.alternatives[k]; w.other[k] > 0 && w.other[k] >= possible*w.ordinary && s.kind.Rare() && s.kind != SplitPlanchet {
			remains[w.blanks[s.blank].family] = true
		}
	}
	for n := range w.families {
		f := &w.families[n]
		likely := p.chance[n] >= negligible
		if likely || remains[n] {
			i.Alloys = append(i.Alloys, f.id)
		}
		if likely && w.year == 0 {
			i.Years = append(i.Years, f.common...)
		}
	}
}
