package density

import (
	"math"

	"panside/internal/say"
	"panside/internal/stable"
)

// Metal is something a coin, or a copy of one, may be made of.
type Metal struct {
	Name  string     `json:"name"`
	Low   GramsPerCC `json:"low"` // where its density lies, from Low to High
	High  GramsPerCC `json:"high"`
	Grade string     `json:"grade"` // how sure that is
	Note  string     `json:"note,omitempty"`
}

// Foreign are metals that false pieces are made of, and pure metals to compare
// with, named by the tongue. The densities of the elements are those of the catalogue's alloys
// (NIST SRD 126 table 1, read in public source files) where it has them.
func Foreign(t *say.Tongue) []Metal {
	return []Metal{
		{Name: t.Write(say.New("tungsten")), Low: 19.1, High: 19.3, Grade: "from memory", Note: t.Write(say.New("tungsten-note"))},
		{Name: t.Write(say.New("fine-gold")), Low: 19.25, High: 19.35, Grade: "S"},
		{Name: t.Write(say.New("lead")), Low: 9.0, High: 11.4, Grade: "from memory", Note: t.Write(say.New("lead-note"))},
		{Name: t.Write(say.New("fine-silver")), Low: 10.45, High: 10.52, Grade: "S"},
		{Name: t.Write(say.New("brass")), Low: 8.3, High: 8.75, Grade: "from memory"},
		{Name: t.Write(say.New("iron")), Low: 7.7, High: 7.9, Grade: "from memory", Note: t.Write(say.New("iron-note"))},
		{Name: t.Write(say.New("zinc-casting")), Low: 6.5, High: 7.15, Grade: "from memory"},
		{Name: t.Write(say.New("tin")), Low: 7.2, High: 7.5, Grade: "from memory"},
	}
}

// Match is a metal with how well the measured density agrees.
type Match struct {
	Metal
	// Misfit is how many standard uncertainties the measured density lies
	// outside the metal's band; 0 inside.
	Misfit  float64 `json:"misfit"`
	Remains bool    `json:"remains"` // it is not excluded
}

// remains is the misfit up to which a metal is not excluded: two standard
// uncertainties, about 95 %.
const remains = 2

// Compare orders metals by how well they agree with a result, the narrower
// band first where both hold it:
//
//	misfit = max(low − ρ, ρ − high, 0) / u
func Compare(r Result, metals []Metal) []Match {
	matches := make([]Match, len(metals))
	for i, m := range metals {
		outside := math.Max(float64(m.Low-r.Density), float64(r.Density-m.High))
		misfit := math.Max(outside, 0) / float64(r.U)
		matches[i] = Match{m, misfit, misfit <= remains}
	}
	stable.Sort(matches, func(a, b Match) int {
		switch {
		case a.Misfit < b.Misfit:
			return -1
		case a.Misfit > b.Misfit:
			return 1
		case a.High-a.Low < b.High-b.Low:
			return -1
		case a.High-a.Low > b.High-b.Low:
			return 1
		}
		return 0
	})
	return matches
}
