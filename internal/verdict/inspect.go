package verdict

import (
	"slices"
	"strconv"
)

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
	// Years, as “1909-1942,1944-1982”, of the issues that remain; "" where the year
	// was read.
	Years string `json:"years"`
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

// inspect says what is left of the coin.
func (w *weighing) inspect(v *Verdict, best int, p *posterior, found []draft) Inspect {
	i := Inspect{
		Country: w.q.Country, Denomination: w.q.Denomination, Year: w.year, Mint: w.mint, Hint: v.Hint, Judged: true,
		Alloys: w.left(p), Explanations: []Inspected{},
	}
	if w.year == 0 {
		i.Years = w.yearsLeft(p, found)
	}
	if v.Hint != Light && v.Hint != Heavy {
		return i
	}
	likeliest := 0.0
	for _, c := range found {
		likeliest = max(likeliest, c.ratio)
	}
	for _, c := range found {
		if c.kind == TwoCoins || c.ratio*farBehind < likeliest || c.alternative >= 0 && (c.ratio < steerRatio || !w.suits(c.alternative)) {
			continue
		}
		x := Inspected{Kind: c.kind, Name: w.explanation(c, best, v.Hint).Name}
		if c.kind == WrongPlanchet || c.kind == DoubleDenomination {
			x.Planchet = w.blanks[w.alternatives[c.alternative].blank].ID
		}
		i.Explanations = append(i.Explanations, x)
	}
	return i
}

// left are the families that the coin can be of: those that remain, and rare ones
// that explain the weight.
func (w *weighing) left(p *posterior) []string {
	ids := []string{}
	add := func(f int) {
		if id := w.families[f].id; !slices.Contains(ids, id) {
			ids = append(ids, id)
		}
	}
	for _, f := range p.order {
		if p.chance[f] >= negligible {
			add(f)
		}
	}
	for i := range w.alternatives {
		if s := &w.alternatives[i]; s.kind.Rare() && w.other[i] > 0 && w.other[i] >= possible*w.ordinary {
			add(w.blanks[s.blank].family)
		}
	}
	return ids
}

// yearsLeft are the years of the issues that remain, those made for collectors only
// where there are no others, and of what explains the weight.
func (w *weighing) yearsLeft(p *posterior, found []draft) string {
	var set, collectors yearSet
	for i := range w.own {
		k := &w.issues[i]
		if f := &w.own[i]; p.chance[w.blanks[k.blank].family] < negligible || f.weight*f.ordinary < shown*w.ordinary*w.ownTotal {
			continue
		} else if k.Circulating {
			set = set.or(k.years)
		} else {
			collectors = collectors.or(k.years)
		}
	}
	if set.empty() {
		set = collectors
	}
	for _, c := range found {
		if c.alternative >= 0 && c.kind.Rare() && c.ratio >= steerRatio && w.suits(c.alternative) {
			set = set.or(w.alternatives[c.alternative].years)
		}
	}
	return set.String()
}

// String writes the set's runs in order: “1909-1942,1944-1982”.
func (s yearSet) String() string {
	var out []byte
	first, last := 0, 0
	end := func() {
		if first == 0 {
			return
		}
		if out != nil {
			out = append(out, ',')
		}
		out = strconv.AppendInt(out, int64(first), 10)
		if last > first {
			out = strconv.AppendInt(append(out, '-'), int64(last), 10)
		}
	}
	for y := range s.all() {
		if y != last+1 {
			end()
			first = y
		}
		last = y
	}
	end()
	return string(out)
}
