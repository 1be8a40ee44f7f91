package simcoin

import (
	"math"
	"testing"
)

// TestFresnelIsTheHandbooks: straight on it is ((n − 1)² + k²) / ((n + 1)² + k²), and at 550 nm silver
// throws back 0.98, copper about 0.62, nickel about 0.61 (from memory); along the surface all of it. A
// stuff that takes up nothing throws back nothing polarized in the plane at Brewster's angle.
func TestFresnelIsTheHandbooks(t *testing.T) {
	for name, c := range map[string]struct {
		p    Polish
		want float64
	}{"silver": {BareSilver, 0.98}, "copper": {BareCopper, 0.62}, "nickel": {BareNickel, 0.61}} {
		n, k := c.p.Refraction, c.p.Absorption
		straight := ((n-1)*(n-1) + k*k) / ((n+1)*(n+1) + k*k)
		if got := c.p.fresnel(1); math.Abs(got-straight) > 1e-12 || math.Abs(got-c.want) > 0.01 {
			t.Errorf("%s: %.4f, by the formula %.4f, in the handbook %.2f", name, got, straight, c.want)
		}
		if got := c.p.fresnel(1e-9); math.Abs(got-1) > 1e-6 {
			t.Errorf("%s along the surface: %v", name, got)
		}
	}
	// At Brewster's angle glass of 1.5 throws back ((n² − 1)/(n² + 1))²/2 in all.
	glass := Polish{Refraction: 1.5}
	if got, want := glass.fresnel(1/math.Sqrt(1+1.5*1.5)), math.Pow(1.25/3.25, 2)/2; math.Abs(got-want) > 1e-9 {
		t.Errorf("glass at Brewster's angle: %v, want %v", got, want)
	}
}

// TestPolishGivesNoMoreThanItGets: over all directions to the eye no more light leaves than fell in, and
// of a perfect mirror's metal most of it at small roughness.
func TestPolishGivesNoMoreThanItGets(t *testing.T) {
	metal := Polish{0.3, 0.01, 50, 0} // throws back all but 1 in 10⁴
	for _, rough := range []float64{0.15, 0.3, 0.5} {
		for _, up := range []float64{20, 35, 60} {
			sin, cos := math.Sincos(up * math.Pi / 180)
			lamp := vec{cos, 0, sin}
			sum := 0.0
			const n = 400
			for i := range n {
				z := (float64(i) + 0.5) / n
				for j := range n {
					s, c := math.Sincos(2 * math.Pi * (float64(j) + 0.5) / n)
					r := math.Sqrt(1 - z*z)
					sum += metal.toward(vec{0, 0, 1}, lamp, vec{r * c, r * s, z}, rough, [2]float64{1, 0}) * z
				}
			}
			// ∫ L cos dω over E = π cos of a lamp that a white surface facing sends 1 of.
			got := sum * 2 * math.Pi / (n * n) / (math.Pi * sin)
			if got > 1.001 || got < 0.65 {
				t.Errorf("rough %v, lamp %v up: %.3f of the light leaves", rough, up, got)
			}
		}
	}
}

// TestPolishMovesEdgesWithTheLamp: a stroke's bright flank is the lamp's, and far brighter than on dull metal.
func TestPolishMovesEdgesWithTheLamp(t *testing.T) {
	s := Stand{Coin: Coin{Diameter: 24, Face: Obverse(24, 2).Strike(10), Metal: White, Seed: 1}, Size: 120, Share: 0.9, Polish: &BareNickel}
	a, _ := s.light([]Lamp{{From: 0, Up: 35, Strength: 0.9}})
	b, _ := s.light([]Lamp{{From: 180, Up: 35, Strength: 0.9}})
	var ab, aa, bb, ma, mb float64
	n := float64(len(a))
	for i := range a {
		ma, mb = ma+float64(a[i])/n, mb+float64(b[i])/n
	}
	for i := range a {
		x, y := float64(a[i])-ma, float64(b[i])-mb
		ab, aa, bb = ab+x*y, aa+x*x, bb+y*y
	}
	if r := ab / math.Sqrt(aa*bb); r > 0.5 {
		t.Errorf("lamps at both sides: light agrees by %.2f", r)
	}
}
