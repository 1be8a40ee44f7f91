package simcoin

import (
	"math"
	"slices"
)

// Polish is bare metal that shines: small mirrors whose slopes scatter by Rough, the α of Walter and
// others' distribution (Microfacet models for refraction, EGSR 2007): 0.15 is nearly new, 0.5 long
// carried. Refraction and Absorption are the metal's optical constants n and k.
type Polish struct{ Rough, Refraction, Absorption float64 }

// Constants near 550 nm, from memory of Johnson and Christy (Phys. Rev. B 6, 1972; 9, 1974).
var (
	BareCopper = Polish{0.3, 1.00, 2.59}
	BareNickel = Polish{0.3, 1.80, 3.30}
	BareSilver = Polish{0.3, 0.06, 3.60}
)

// fresnel is the share that is thrown back of unpolarized light at that cosine from the normal:
//
//	a² + b² = |n² − k² − sin² + 2ink|,  2a² = a² + b² + n² − k² − sin²,
//	Rs = (a² + b² − 2a cos + cos²) / (a² + b² + 2a cos + cos²),
//	Rp = Rs (cos² (a² + b²) − 2a cos sin² + sin⁴) / (cos² (a² + b²) + 2a cos sin² + sin⁴).
func (p Polish) fresnel(cos float64) float64 {
	c2 := cos * cos
	s2 := 1 - c2
	re := p.Refraction*p.Refraction - p.Absorption*p.Absorption - s2
	both := math.Hypot(re, 2*p.Refraction*p.Absorption)
	a := math.Sqrt(math.Max((both+re)/2, 0))
	rs := (both - 2*a*cos + c2) / (both + 2*a*cos + c2)
	rp := rs * (c2*both - 2*a*cos*s2 + s2*s2) / (c2*both + 2*a*cos*s2 + s2*s2)
	return (rs + rp) / 2
}

// toward is the light sent to the eye, in units of what a white dull surface facing the lamp sends:
//
//	π D F G / (4 n·v),  D = α² / (π ((n·h)² (α² − 1) + 1)²),  G Smith's, one factor a direction.
func (p Polish) toward(normal, lamp, eye vec, rough float64) float64 {
	nl, nv := dot(normal, lamp), dot(normal, eye)
	if nl <= 0 || nv <= 0 {
		return 0
	}
	half := unit(vec{lamp[0] + eye[0], lamp[1] + eye[1], lamp[2] + eye[2]})
	a2 := rough * rough
	nh := dot(normal, half)
	d := nh*nh*(a2-1) + 1
	masked := func(c float64) float64 { return 2 * c / (c + math.Sqrt(a2+(1-a2)*c*c)) }
	return a2 / (d * d) * p.fresnel(dot(lamp, half)) * masked(nl) * masked(nv) / (4 * nv)
}

// place is a place under the stand, mm: seen from above, on the coin as designed, and its height.
type place struct{ x, y, dx, dy, h float64 }

// polished is the light of a place of bare metal.
func (s Stand) polished(at place, normal vec, lamps []Lamp) float64 {
	eye := vec{0, 0, 1}
	// Where no dirt lies the metal is a mirror of the room, too; worn places are rougher than others.
	shine, _ := s.surface(at.dx, at.dy, at.h)
	cover := s.cover(at.dx, at.dy, at.h)
	bare, dull := 1-cover, shine*(s.Dull*(1-cover)+cover)
	rough := s.Polish.Rough * (0.8 + 0.4*speckle(0.8*at.dx, 0.8*at.dy, s.Seed+3))
	sum := s.Ambient * (bare*s.Polish.fresnel(normal[2])*(0.4+0.6*normal[2]) + dull)
	for _, lamp := range lamps {
		lx, ly, lz, strength := lamp.toward(at.x, at.y, 0)
		to := vec{lx, ly, lz}
		facing := dot(normal, to)
		if facing <= 0 {
			continue
		}
		if s.Shadows {
			ax, ay := turned(lx, ly, -s.Turn)
			strength *= s.Face.open(at.dx, at.dy, at.h, ax, ay, lz, standReach)
		}
		sum += strength * (facing*dull + bare*s.Polish.toward(normal, to, eye, rough))
	}
	return sum
}

// exposed sets the exposure so that a hundredth of the picture comes out white.
func exposed(light []float32) {
	sorted := slices.Clone(light)
	slices.Sort(sorted)
	top := max(sorted[len(sorted)*99/100], 1e-6)
	for i := range light {
		light[i] /= top
	}
}
