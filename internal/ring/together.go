package ring

import (
	"math"
	"slices"
)

// Evidence is what the rings of one coin say together.
type Evidence struct {
	Hz []float64 // partials, lowest first, at most four
	U  float64   // their relative standard uncertainty
}

const (
	// sameWithin is how far, relative, the same partial may lie in two rings: a coin held
	// otherwise, a mode split in two of which one is struck more.
	sameWithin = 0.012
	// mostHeard are the partials that evidence takes.
	mostHeard = 4
	// leastU is the uncertainty that no number of rings goes below.
	leastU = 0.001
)

// group is one partial over several rings.
type group struct {
	sum, weight float64 // of Hz, by amplitude
	low, high   float64
	rings       int
	last        int // the ring that it was seen in last
	strength    float64
}

// Together takes what rings of one coin have in common: the partials that at least two of
// them have. Why says why not: fewer than two rings, or rings of different coins.
func Together(rings []Ring) (Evidence, Why) {
	if len(rings) < 2 {
		return Evidence{}, TooFew
	}
	var groups []group
	for n, r := range rings {
		for _, p := range r.Peaks {
			a := math.Pow(10, p.Level/20)
			found := false
			for i := range groups {
				g := &groups[i]
				if math.Abs(p.Hz/(g.sum/g.weight)-1) < sameWithin {
					g.sum, g.weight = g.sum+a*p.Hz, g.weight+a
					g.low, g.high = math.Min(g.low, p.Hz), math.Max(g.high, p.Hz)
					g.strength = math.Max(g.strength, a)
					if g.last != n {
						g.rings++
						g.last = n
					}
					found = true
					break
				}
			}
			if !found {
				groups = append(groups, group{a * p.Hz, a, p.Hz, p.Hz, 1, n, a})
			}
		}
	}
	var kept []group
	for _, g := range groups {
		if g.rings >= 2 {
			kept = append(kept, g)
		}
	}
	// Every ring's strongest must be among those kept, or the rings aren't of one coin.
	strange, foreign := 0, 0
	lowest := lowestOf(kept)
	for _, r := range rings {
		if holdsStrongest(kept, r) {
			continue
		}
		if strange++; mode(r.strongest()/lowest) < 0 {
			foreign++
		}
	}
	if len(kept) == 0 || 2*strange >= len(rings) || 3*foreign >= len(rings) || len(rings) == 2 && strange > 0 {
		return Evidence{}, Differ
	}
	if wanders(kept) {
		return Evidence{}, TwoCoins
	}
	for len(kept) > mostHeard {
		weakest := 0
		for i := range kept {
			if kept[i].strength < kept[weakest].strength {
				weakest = i
			}
		}
		kept = append(kept[:weakest], kept[weakest+1:]...)
	}
	var out Evidence
	for _, g := range kept {
		hz := g.sum / g.weight
		out.Hz = append(out.Hz, hz)
		out.U = math.Max(out.U, (g.high-g.low)/hz/2)
	}
	out.U = math.Max(out.U/math.Sqrt(float64(len(rings))), leastU)
	slices.Sort(out.Hz)
	return out, ""
}

func holdsStrongest(kept []group, r Ring) bool {
	for _, p := range r.Peaks {
		if p.Level < -0.01 {
			continue
		}
		for _, g := range kept {
			if math.Abs(p.Hz/(g.sum/g.weight)-1) < sameWithin {
				return true
			}
		}
	}
	return false
}

// strongest is the frequency of a ring's strongest partial, Hz; 0 for a ring without one.
func (r *Ring) strongest() float64 {
	top := Peak{Level: math.Inf(-1)}
	for _, p := range r.Peaks {
		if p.Level > top.Level {
			top = p
		}
	}
	return top.Hz
}

func lowestOf(kept []group) float64 {
	out := math.Inf(1)
	for i := range kept {
		out = math.Min(out, kept[i].hz())
	}
	return out
}

// wanders reports whether the mode that nothing splits lies elsewhere from ring to ring: now one
// coin's is louder, now another's.
func wanders(kept []group) bool {
	lowest := lowestOf(kept)
	return slices.ContainsFunc(kept, func(g group) bool {
		return mode(g.hz()/lowest) == whole && (g.high-g.low)/g.hz() > twins
	})
}

func (g *group) hz() float64 { return g.sum / g.weight }
