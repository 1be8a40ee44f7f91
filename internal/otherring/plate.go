package otherring

import "math"

// shape is a mode of a free plain disc of radius 1, w(r) = J(λr) + c·I(λr).
type shape struct {
	n      int
	lambda float64
	c      float64
}

// besselI is the modified Bessel function of order n by its power series, for the arguments
// up to 12 that occur here.
func besselI(n int, x float64) float64 {
	half := x / 2
	term := 1.0
	for k := 1; k <= n; k++ {
		term *= half / float64(k)
	}
	sum := term
	for k := 1; k < 60; k++ {
		term *= half * half / float64(k*(k+n))
		sum += term
	}
	return sum
}

// slopeJ and slopeI are the derivatives, by the recurrences of Abramowitz and Stegun 9.1.27 and
// 9.6.26.
func slopeJ(n int, x float64) float64 { return float64(n)/x*math.Jn(n, x) - math.Jn(n+1, x) }
func slopeI(n int, x float64) float64 { return float64(n)/x*besselI(n, x) + besselI(n+1, x) }

// moments and forces are the bending moment and the edge force of J and I at the edge, but for
// a common factor. Both sums vanish at a free edge.
func edge(n int, x, nu float64) (momentJ, momentI, forceJ, forceI float64) {
	nn := float64(n * n)
	j, i, dj, di := math.Jn(n, x), besselI(n, x), slopeJ(n, x), slopeI(n, x)
	momentJ = -x*x*j - (1-nu)*(x*dj-nn*j)
	momentI = x*x*i - (1-nu)*(x*di-nn*i)
	forceJ = -x*x*x*dj - (1-nu)*nn*(x*dj-j)
	forceI = x*x*x*di - (1-nu)*nn*(x*di-i)
	return
}

// roots are the first modes with n nodal diameters of a free disc: the zeros in λ of
//
//	M(J)·V(I) − M(I)·V(J),
//	M(J) = −λ²J − (1−ν)(λJ′ − n²J),   V(J) = −λ³J′ − (1−ν)n²(λJ′ − J),
//	M(I) = +λ²I − (1−ν)(λI′ − n²I),   V(I) = +λ³I′ − (1−ν)n²(λI′ − I).
func roots(n, count int, nu float64) []shape {
	f := func(x float64) float64 {
		mj, mi, vj, vi := edge(n, x, nu)
		return (mj*vi - mi*vj) / (mi*mi + vi*vi)
	}
	var found []shape
	const step = 0.02
	for x := 1.2; len(found) < count && x < 12; x += step {
		if f(x)*f(x+step) >= 0 {
			continue
		}
		low, high := x, x+step
		for range 50 {
			if mid := (low + high) / 2; f(low)*f(mid) <= 0 {
				high = mid
			} else {
				low = mid
			}
		}
		mj, mi, _, _ := edge(n, low, nu)
		found = append(found, shape{n: n, lambda: low, c: -mj / mi})
	}
	return found
}

// at is the shape's height at the radius r, 0 to 1.
func (s shape) at(r float64) float64 {
	return math.Jn(s.n, s.lambda*r) + s.c*besselI(s.n, s.lambda*r)
}

// rim is the ratio of the frequency of a disc with a raised rim to that of a plain one of the
// same mass, by Rayleigh's quotient of s, which changes little where the thickness does:
//
//	ω² ∝ ∫h³(r)·U(r)·r dr / ∫h(r)·w²·r dr,
//	U = (w″+w′/r−n²w/r²)² − 2(1−ν)(w″(w′/r−n²w/r²) − n²(w′/r−w/r²)²)
//
// width is the rim's share of the radius, height its thickness over the mean one.
func (s shape) rim(width, height, nu float64) float64 {
	inner := 1 - width
	low := (1 - height*(1-inner*inner)) / (inner * inner)
	bent, moved := s.energies(nu, func(r float64) float64 {
		if r > inner {
			return height
		}
		return low
	})
	bentPlain, movedPlain := s.energies(nu, func(float64) float64 { return 1 })
	return math.Sqrt(bent / moved * movedPlain / bentPlain)
}

// energies are the two integrals of Rayleigh's quotient.
func (s shape) energies(nu float64, thickness func(r float64) float64) (bent, moved float64) {
	const steps, d = 200, 1e-3
	n := float64(s.n * s.n)
	for i := range steps {
		r := (float64(i) + 0.5) / steps
		before, w, after := s.at(r-d), s.at(r), s.at(r+d)
		w1, w2 := (after-before)/(2*d), (after-2*w+before)/(d*d)
		around, twist := w1/r-n*w/(r*r), w1/r-w/(r*r)
		h := thickness(r)
		bent += h * h * h * ((w2+around)*(w2+around) - 2*(1-nu)*(w2*around-n*twist*twist)) * r
		moved += h * w * w * r
	}
	return bent, moved
}

// power is the mean square of the shape over the disc; a half of that for n > 0, where the
// cosine around takes the other.
func (s shape) power() float64 {
	const steps = 100
	sum := 0.0
	for i := range steps {
		r := (float64(i) + 0.5) / steps
		w := s.at(r)
		sum += 2 * w * w * r / steps
	}
	if s.n > 0 {
		sum /= 2
	}
	return sum
}
