package bulk

import (
	"math"

	"panside/internal/fault"
	"panside/internal/say"
)

// Count says how many coins of one kind the pile holds. Every count is as
// likely before the weighing; the answer is exact for the model of Kind:
//
//	P(n | T) ∝ p(T − wrapper | n)
//
// Errors: fault.BadInput for impossible values or more than 2,000 coins.
func Count(p Pile, kind Kind) (Answer, error) {
	if err := p.check(kind); err != nil {
		return Answer{}, err
	}
	net := float64(p.Total - p.Wrapper)
	middle := int(math.Round(net / float64(kind.Mean-kind.Wear)))
	if middle > maxCount {
		return Answer{}, fault.InField("total_g", fault.BadInput, say.New("pile-too-many", say.Count("most", maxCount)))
	}
	if middle < 1 {
		return Answer{}, fault.InField("total_g", fault.BadInput, say.New("pile-less-than-one"))
	}
	log := func(n int) float64 {
		return math.Log(newTotal(n, kind, 0, Kind{}, p.fixed()).density(net))
	}
	// Walk outwards until a count no longer matters.
	const negligible = 30.0
	peak := log(middle)
	first, last := middle, middle
	logs := []float64{peak}
	for first > 1 {
		l := log(first - 1)
		if l < peak-negligible {
			break
		}
		first, logs, peak = first-1, append([]float64{l}, logs...), math.Max(peak, l)
	}
	for last < maxCount {
		l := log(last + 1)
		if l < peak-negligible {
			break
		}
		last, logs, peak = last+1, append(logs, l), math.Max(peak, l)
	}
	if math.IsInf(peak, -1) {
		return Answer{}, fault.InField("total_g", fault.BadInput, say.New("pile-no-such-number"))
	}
	return summarise(first, logs), nil
}

// fixed is the spread that does not depend on the coins.
func (p Pile) fixed() float64 { return math.Hypot(float64(p.U), float64(p.UWrapper)) }
