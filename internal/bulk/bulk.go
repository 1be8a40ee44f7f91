// Package bulk says what the weight of a closed roll or a counted pile can tell:
// how many coins it holds, what share of them is of another alloy, and whether
// one such coin is in it at all — and how little that often is.
//
// All masses are in grams.
package bulk

import (
	"math"
	"strconv"

	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
)

// Kind is the mass of one kind of coin as it is met: normal as made, less an
// exponential loss by wear.
type Kind struct {
	Mean mass.Grams // as made
	SD   mass.Grams // of single coins as made
	Wear mass.Grams // mean loss; the losses of coins are exponential and independent
	// Shared is the standard uncertainty of Mean − Wear that all coins of the
	// pile have in common: how worn this lot is on the whole, how its planchets
	// ran. It grows with the count, not with its root, and is what usually
	// limits the answer.
	Shared mass.Grams
}

// Pile is a weighed roll or heap.
type Pile struct {
	Total mass.Grams
	U     mass.Grams // standard uncertainty of weighing the total
	// Wrapper is the paper's or box's mass, UWrapper its standard uncertainty.
	Wrapper  mass.Grams
	UWrapper mass.Grams
}

const (
	maxCount = 2000
	// level of the intervals and of a firm answer.
	level = 0.95
)

func (p Pile) check(kinds ...Kind) error {
	bad := func(name string, why say.Line) error { return fault.InField(name, fault.BadInput, why) }
	digits := func(v mass.Grams) string { return strconv.FormatFloat(float64(v), 'g', 6, 64) }
	finite := func(v mass.Grams) bool { return !math.IsNaN(float64(v)) && !math.IsInf(float64(v), 0) }
	switch {
	case !finite(p.Total) || p.Total <= 0:
		return bad("total_g", say.New("pile-total", say.Figure("given", digits(p.Total))))
	case !finite(p.U) || p.U <= 0:
		return bad("u_g", say.New("pile-uncertainty", say.Figure("given", digits(p.U))))
	case !finite(p.Wrapper) || p.Wrapper < 0 || p.Wrapper >= p.Total:
		return bad("wrapper_g", say.New("pile-wrapper", say.Figure("given", digits(p.Wrapper))))
	case !finite(p.UWrapper) || p.UWrapper < 0:
		return bad("u_wrapper_g", say.New("pile-wrapper-uncertainty", say.Figure("given", digits(p.UWrapper))))
	}
	for _, k := range kinds {
		switch {
		case !finite(k.Mean) || k.Mean <= 0:
			return bad("issue", say.New("pile-coin", say.Figure("given", digits(k.Mean))))
		case !finite(k.SD) || k.SD < 0 || !finite(k.Wear) || k.Wear < 0 || !finite(k.Shared) || k.Shared < 0:
			return bad("issue", say.New("pile-coin-spread", say.Figure("given", digits(k.SD))))
		case k.Wear >= k.Mean:
			return bad("issue", say.New("pile-coin-wear", say.Figure("given", digits(k.Wear))))
		}
	}
	return nil
}

// Answer is a distribution over a whole number with its summary.
type Answer struct {
	From        int       `json:"from"`
	Probability []float64 `json:"probability"` // of From, From+1, …
	Best        int       `json:"best"`        // the most probable
	Low         int       `json:"low"`         // the shortest interval of at least 95 %
	High        int       `json:"high"`
	Firm        bool      `json:"firm"` // Best alone has 95 %
}

// P is the probability of n.
func (a Answer) P(n int) float64 {
	if n < a.From || n >= a.From+len(a.Probability) {
		return 0
	}
	return a.Probability[n-a.From]
}

// summarise turns log weights over from, from+1, … into an Answer.
func summarise(from int, logs []float64) Answer {
	top := math.Inf(-1)
	for _, l := range logs {
		top = math.Max(top, l)
	}
	a := Answer{From: from, Probability: make([]float64, len(logs))}
	var sum float64
	for i, l := range logs {
		a.Probability[i] = math.Exp(l - top)
		sum += a.Probability[i]
	}
	best := 0
	for i := range a.Probability {
		a.Probability[i] /= sum
		if a.Probability[i] > a.Probability[best] {
			best = i
		}
	}
	low, high := shortest(a.Probability)
	a.Best, a.Low, a.High = from+best, from+low, from+high
	a.Firm = a.Probability[best] >= level
	return a
}

// shortest returns the shortest run of at least 95 %, the more probable of two.
func shortest(p []float64) (low, high int) {
	high = len(p) - 1
	bestSum := 0.0
	for i := range p {
		sum := 0.0
		for j := i; j < len(p) && j-i <= high-low; j++ {
			sum += p[j]
			if sum >= level {
				if j-i < high-low || sum > bestSum {
					low, high, bestSum = i, j, sum
				}
				break
			}
		}
	}
	return low, high
}
