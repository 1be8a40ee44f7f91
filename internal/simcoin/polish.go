package simcoin

import (
	"math"
	"slices"
)

// Polish is bare metal that shines: small mirrors whose slopes scatter by Rough, the α of Walter and
// others' distribution (Microfacet models for refraction, EGSR 2007): 0.15 is nearly new, 0.5 long
// carried. Refraction and Absorption are the metal's optical constants n and k. Flow, 0 to 1, is how much
// the metal flowed outward under the dies: its fine radial furrows scatter light around the coin by
// 1 + Flow times Rough and outward by 1 − Flow/2 times, which makes the lustre's turning bands.
type Polish struct{ Rough, Refraction, Absorption, Flow float64 }

// Constants near 550 nm, from memory of Johnson and Christy (Phys. Rev. B 6, 1972; 9, 1974).
var (
	BareCopper = Polish{0.3, 1.00, 2.59, 0}
	BareNickel = Polish{0.3, 1.80, 3.30, 0}
	BareSilver = Polish{0.3, 0.06, 3.60, 0}
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
//	π D F G / (4 n·v),  D = 1 / (π α β ((o·h/α)² + (a·h/β)² + (n·h)²)²),
//
// with α outward (o) and β around (a), G Smith's, one factor a direction. out points outward in the
// picture, of length 1.
func (p Polish) toward(normal, lamp, eye vec, rough float64, out [2]float64) float64 {
	nl, nv := dot(normal, lamp), dot(normal, eye)
	if nl <= 0 || nv <= 0 {
		return 0
	}
	half := unit(vec{lamp[0] + eye[0], lamp[1] + eye[1], lamp[2] + eye[2]})
	a2 := rough * rough
	nh := dot(normal, half)
	// What of h lies in the surface, outward and around.
	k := out[0]*normal[0] + out[1]*normal[1]
	across := unit(vec{out[0] - k*normal[0], out[1] - k*normal[1], -k * normal[2]})
	ho := dot(half, across)
	ha2 := math.Max(1-nh*nh-ho*ho, 0)
	alpha, beta := rough*(1-p.Flow/2), rough*(1+p.Flow)
	d := ho*ho/(alpha*alpha) + ha2/(beta*beta) + nh*nh
	masked := func(c float64) float64 { return 2 * c / (c + math.Sqrt(a2+(1-a2)*c*c)) }
	return 1 / (alpha * beta * d * d) * p.fresnel(dot(lamp, half)) * masked(nl) * masked(nv) / (4 * nv)
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
	out := [2]float64{1, 0}
	if far := math.Hypot(at.x, at.y); far > 0 {
		out = [2]float64{at.x / far, at.y / far}
	}
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
		sum += strength * (facing*dull + bare*s.Polish.toward(normal, to, eye, rough, out))
	}
	return sum
}

// exposed sets the exposure so that that share of the picture comes out white.
func exposed(light []float32, white float64) {
	sorted := slices.Clone(light)
	slices.Sort(sorted)
	top := max(sorted[int(float64(len(sorted)-1)*(1-white))], 1e-6)
	for i := range light {
		light[i] /= top
	}
}
