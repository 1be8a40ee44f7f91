package verdict

import (
	"math"
	"slices"

	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/say"
	"panside/internal/stats"
)

// Ruled is what a ruler found on the coin, where the coin book says what to lay it on.
type Ruled struct {
	MM, U float64     // and its standard uncertainty, mm
	Known *KnownRuled // the same on a coin of the hunter's that is known, nil for none
}

// KnownRuled is the same length on a coin of which it is known what it shows.
type KnownRuled struct {
	Choice string
	MM, U  float64
}

const (
	// ruledOdds is how much likelier than all others a choice must be for the ruler to answer with
	// it; below that the question stays open. With ruledBlunder it holds wrong answers below 1 %
	// where the book's ranges do: TestTheRulerIsSeldomWrong.
	ruledOdds = 99.0
	// ruledBlunder is the share of measurements that mean nothing, as of a ruler on another letter;
	// such a one falls anywhere within ruledReach, mm. Both assumed.
	ruledBlunder = 0.01
	ruledReach   = 1.0
	// ruledSpread is by how much two coins of one choice differ, mm: strike and wear. Assumed.
	ruledSpread = 0.015
	// ruledLeast is how well a hand and a picture measure at the very best, mm. Assumed.
	ruledLeast = 0.003
)

// check refuses what no ruler says. field is where it stands.
func (r *Ruled) check(field string, k *coin.Question) error {
	length := func(mm, u float64) bool { return mm >= 0 && mm <= 40 && u > 0 && u <= 5 }
	if k.Ruler == nil {
		return fault.InField(field, fault.BadInput, say.New("ruler-not-here"))
	}
	if !length(r.MM, r.U) || r.Known != nil && !length(r.Known.MM, r.Known.U) {
		return fault.InField(field, fault.BadInput, say.New("ruler-range"))
	}
	if r.Known != nil && !slices.ContainsFunc(k.Ruler.Ranges, func(x coin.RulerRange) bool { return x.ID == r.Known.Choice }) {
		return fault.InField(field, fault.BadInput, say.New("no-such-answer"))
	}
	return nil
}

// likelihood of what was measured on a coin that shows the choice of a range low to high: even
// over the range, blurred by the ruler's uncertainty u and by ruledSpread,
//
//	p(x) = (1 − b) [Φ((high − x)/s) − Φ((low − x)/s)] / (high − low) + b / reach,  s² = u² + spread²,
//
// and folded at 0, since a length has no sign. Where a known coin shows the choice its length
// stands in for the range: p(x) = (1 − b) N(x; known, u² + u_known² + 2 spread²) + b / reach.
func (r *Ruled) likelihood(x coin.RulerRange) float64 {
	u := math.Max(r.U, ruledLeast)
	var p float64
	if k := r.Known; k != nil && k.Choice == x.ID {
		s := math.Sqrt(u*u + k.U*k.U + 2*ruledSpread*ruledSpread)
		p = (stats.NormPDF((r.MM-k.MM)/s) + stats.NormPDF((r.MM+k.MM)/s)) / s
	} else {
		s := math.Hypot(u, ruledSpread)
		for _, at := range []float64{r.MM, -r.MM} {
			p += stats.NormBetween((x.Low-at)/s, (x.High-at)/s) / (x.High - x.Low)
		}
	}
	return (1-ruledBlunder)*p + ruledBlunder/ruledReach
}

// choice is what the ruler tells: the likeliest choice and how much likelier it is than all others
// together, before anything else is known.
func (r *Ruled) choice(k *coin.Question) (best string, odds float64) {
	var most, all float64
	for _, x := range k.Ruler.Ranges {
		p := r.likelihood(x)
		all += p
		if p > most {
			most, best = p, x.ID
		}
	}
	return best, most / (all - most)
}

// hearRuler turns what was measured into answers. What a ruler can't tell goes on open, to be asked.
func (m *model) hearRuler(q *Question) error {
	for i := range q.Answers {
		a := &q.Answers[i]
		if a.Ruled == nil {
			continue
		}
		k, _ := m.asked(*a)
		if k == nil {
			continue // said by unanswerable
		}
		if err := a.Ruled.check("evidence."+a.Question, k); err != nil {
			return err
		}
		best, odds := a.Ruled.choice(k)
		a.odds = Figure(odds)
		a.Choice = ""
		if odds >= ruledOdds {
			a.Choice = best
		}
	}
	return nil
}

// told parts the answers from what a ruler left open.
func told(answers []Answer) (told, open []Answer) {
	for _, a := range answers {
		if a.Ruled != nil && a.Choice == "" {
			open = append(open, a)
		} else {
			told = append(told, a)
		}
	}
	return told, open
}
