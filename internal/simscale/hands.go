package simscale

import (
	"math"
	"math/rand/v2"
)

// lean: the coin comes down under a finger, which goes on pressing.
func lean(r *rand.Rand, g float64) force {
	comes := uniform(r, 0.03, 0.12)
	stays := comes + uniform(r, 0.2, 1)
	leaves := uniform(r, 0.03, 0.1)
	press := g * math.Exp(uniform(r, math.Log(0.1), math.Log(15)))
	shakes := 0.004
	if r.IntN(2) == 0 {
		shakes = uniform(r, 0.05, 0.3)
	}
	tremble := tremor(r, shakes*press)
	return force{lasts: stays + leaves, at: func(t float64) float64 {
		on, off := smooth(t/comes), 1-smooth((t-stays)/leaves)
		return math.Max(-g, g*(on-1)+(press+tremble(t))*on*off)
	}}
}

// inTwo: one edge comes down, 40 to 60 % of the weight, and then the other.
func inTwo(r *rand.Rand, g float64) force {
	comes, turns := uniform(r, 0.04, 0.12), uniform(r, 0.05, 0.15)
	part := uniform(r, 0.4, 0.6)
	rests := comes + uniform(r, 0.3, 1.2)
	return force{lasts: rests + turns, at: func(t float64) float64 {
		return g * (part*smooth(t/comes) + (1-part)*smooth((t-rests)/turns) - 1)
	}}
}

// slide: the weight comes on in a few jerks, as friction sticks and slips, each
// with a swing.
func slide(r *rand.Rand, g float64) force {
	takes := uniform(r, 0.3, 0.6)
	jerks := 3 + r.IntN(4)
	part, sum := make([]float64, jerks), 0.0
	at, slip := make([]float64, jerks), make([]float64, jerks)
	swing := make([]func(float64) float64, jerks)
	for i := range part {
		part[i] = uniform(r, 0.3, 1)
		sum += part[i]
		at[i] = takes * (float64(i) + uniform(r, 0, 0.8)) / float64(jerks)
		slip[i] = uniform(r, 0.01, 0.04)
		swing[i] = ringing(uniform(r, 0, 0.5)*g, uniform(r, 8, 20), 0.03)
	}
	return force{lasts: takes + 0.2, at: func(t float64) float64 {
		f := -g
		for i := range part {
			f += g * part[i] / sum * smooth((t-at[i])/slip[i])
			if t > at[i] {
				f += swing[i](t - at[i])
			}
		}
		return math.Max(-g, f)
	}}
}
