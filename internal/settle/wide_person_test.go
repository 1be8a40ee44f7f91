package settle_test

import (
	"math/rand/v2"
	"slices"

	"panside/internal/simscale"
)

// widePerson is who sits at a scale: people differ in how they put coins down more
// than one person does from coin to coin.
type widePerson int

const (
	letsGo widePerson = iota // of every coin at once
	mixed                    // as wideStyles say
	leans                    // or holds most coins half put down
)

// person draws who sits at the scale of a seed.
func person(seed uint64) widePerson {
	r := rand.New(rand.NewPCG(seed, 0x9e15))
	switch x := r.Float64(); {
	case x < 0.5:
		return letsGo
	case x < 0.8:
		return mixed
	}
	return leans
}

// instead is what this person does in place of a style.
func (p widePerson) instead(w *wideTable, s wideStyle) wideStyle {
	cleanly := []wideStyle{{"gentle", 0, single(simscale.Gentle)}, {"dropped", 0, single(simscale.Dropped)}}
	held := []wideStyle{
		{"leaning", 0, single(simscale.Leaning)}, {"two-stage", 0, single(simscale.TwoStage)},
		{"slow", 0, single(simscale.SlowHand)}, {"sliding", 0, single(simscale.Sliding)},
	}
	among := func(of []wideStyle) bool {
		return slices.ContainsFunc(of, func(o wideStyle) bool { return o.name == s.name })
	}
	switch {
	case p == letsGo && among(held):
		return cleanly[w.rng.IntN(len(cleanly))]
	case p == leans && among(cleanly) && w.rng.IntN(3) > 0:
		return held[w.rng.IntN(len(held))]
	}
	return s
}
